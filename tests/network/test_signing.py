"""Signing by a short code: on a device of the workshop only, counted before it is looked at.

Outside source: OWASP ASVS 5.0.0, chapter V6 (secrets stored by a slow hash, tries limited); six digits and more as for
NIST SP 800-63B's memorized secrets that a verifier throttles (from memory).
"""

from __future__ import annotations

import datetime

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone
from time_machine import TimeMachineFixture

from network import signing
from network.models import SigningCode
from tests import cast as made
from tests.cast import Cast

CODE = "604819"


def signs(cast: Cast, code: str) -> bool:
    try:
        return signing.signer(device=cast.manager, person=cast.technician.person_id, code=code) == cast.technician
    except signing.NotSigned:
        return False


@pytest.mark.parametrize("code", ["12345", "123456789", "654321", "111111", "121212", "60481a", "٦٠٤٨١٩", ""])
def test_what_is_tried_first_is_refused(cast: Cast, code: str) -> None:
    with pytest.raises(ValidationError):
        signing.set_code(person=cast.technician.person, code=code)


def test_it_stands_for_the_person_and_is_kept_hashed(cast: Cast) -> None:
    signing.set_code(person=cast.technician.person, code=CODE)
    assert signs(cast, CODE) and not signs(cast, "604818")
    assert CODE not in SigningCode.objects.get().hashed


def test_nobody_signs_on_a_device_of_another_workshop(cast: Cast) -> None:
    signing.set_code(person=cast.technician.person, code=CODE)
    with pytest.raises(signing.NotSigned, match="people of this workshop"):
        signing.signer(device=cast.member_of_b, person=cast.technician.person_id, code=CODE)


def test_whoever_left_or_may_not_sign_in_signs_nothing(cast: Cast) -> None:
    signing.set_code(person=cast.inactive, code=CODE)
    with pytest.raises(signing.NotSigned, match="people of this workshop"):
        signing.signer(device=cast.manager, person=cast.inactive.pk, code=CODE)


def test_after_five_wrong_codes_even_the_right_one_waits(cast: Cast, time_machine: TimeMachineFixture) -> None:
    signing.set_code(person=cast.technician.person, code=CODE)
    time_machine.move_to(timezone.now(), tick=False)
    assert not any(signs(cast, "604818") for _try in range(5))
    assert not signs(cast, CODE)
    time_machine.shift(datetime.timedelta(minutes=16))
    assert signs(cast, CODE) and SigningCode.objects.get().tries == 0


def test_without_a_code_of_ones_own_nothing_is_signed(cast: Cast) -> None:
    made.make_member(cast.a, name="Bram Osselaer")
    assert not signs(cast, CODE)
