"""Signing in the bay: a short code on a device that somebody of the workshop is signed in on.

It says who of the workshop's own people stands at the device, no more: it opens no page and works on no other device.
Tries are counted before the code is looked at, so that nobody learns it by trying.
"""

from __future__ import annotations

import datetime

from django.contrib.auth.hashers import check_password, make_password
from django.core.exceptions import ValidationError
from django.db.models import F, Q
from django.utils import timezone
from django.utils.translation import gettext as _

from network.models import Event, Membership, SigningCode, User

SHORTEST, LONGEST = 6, 8
MOST_TRIES = 5
PAUSE = datetime.timedelta(minutes=15)
RUNS = ("01234567890123456789", "98765432109876543210")


class NotSigned(Exception):
    """The code doesn't sign; the text is the sentence that says why."""


def check_new(code: str) -> None:
    """Raises ValidationError for a code that anybody would try first."""
    if not code.isascii() or not code.isdecimal() or not SHORTEST <= len(code) <= LONGEST:
        raise ValidationError(_("Use %(least)d to %(most)d digits.") % {"least": SHORTEST, "most": LONGEST})
    if len(set(code)) < 3 or any(code in run for run in RUNS):
        raise ValidationError(_("That is tried first. Use digits that follow no order."))


def set_code(*, person: User, code: str) -> None:
    """Set or change one's own code; raises ValidationError for one that is too easy."""
    check_new(code)
    SigningCode.objects.update_or_create(
        person=person, defaults={"hashed": make_password(code), "tries": 0, "last_try_at": None}
    )
    Event.record("signing_code_set", person, by=person)


def signer(*, device: Membership, person: int, code: str) -> Membership:
    """Who signs: a colleague of whoever the device is signed in as. Raises NotSigned.

    Call it outside of the transaction that signs: a wrong try must stay counted.
    """
    who = Membership.objects.able_to_act().filter(workshop=device.workshop_id, person=person)
    membership = who.select_related("person", "workshop").first()
    if membership is None:
        raise NotSigned(_("Choose who signs from the people of this workshop."))
    kept = SigningCode.objects.filter(person=person).first()
    if kept is None:
        raise NotSigned(_("%(who)s has set no signing code yet.") % {"who": membership.person})
    rested = Q(tries__lt=MOST_TRIES) | Q(last_try_at__lt=timezone.now() - PAUSE)
    tries = F("tries") + 1 if kept.tries < MOST_TRIES else 1
    if not SigningCode.objects.filter(rested, pk=kept.pk).update(tries=tries, last_try_at=timezone.now()):
        raise NotSigned(_("Too many wrong codes. Wait a quarter of an hour, or set a new code."))
    if not check_password(code, kept.hashed):
        raise NotSigned(_("The code is not the one of %(who)s.") % {"who": membership.person})
    SigningCode.objects.filter(pk=kept.pk).update(tries=0)
    return membership
