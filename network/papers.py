"""Papers of an approved workshop's people: its manager enters one, an administrator says whether it was verified.

So a proof that runs out is renewed, and people who come later are named, without applying anew. Whoever is named
belongs to the workshop once they agree; a paper counts once the network has seen it or asked its issuer.
"""

from __future__ import annotations

from django.db import transaction
from django.db.models import QuerySet

from network.forms import PersonForm
from network.membership import person_named
from network.models import Event, Membership, Qualification, User
from network.telling import tell


def waiting() -> QuerySet[Qualification]:
    """What administrators have to look at, oldest first: papers of people of approved workshops."""
    seats = Membership.objects.filter(workshop__state="approved").exclude(state=Membership.State.LEFT)
    claimed = Qualification.objects.filter(state=Qualification.State.CLAIMED, holder__memberships__in=seats)
    return claimed.select_related("holder").distinct().order_by("pk")


@transaction.atomic
def enter(*, form: PersonForm, by: Membership) -> Qualification:
    """Store the paper of somebody of the workshop, or of somebody who is named by it; administrators are told."""
    paper = form.qualification(person_named(form))
    paper.save()
    _name(paper.holder, role=form.cleaned_data["role"], by=by)
    tell(
        Event.record("paper_entered", paper, by=by.person, workshop=by.workshop),
        people=User.objects.filter(is_administrator=True),
        template="mail/paper_entered.txt",
        facts={"workshop": by.workshop},
        path=f"/papers/{paper.pk}/",
    )
    return paper


def _name(person: User, *, role: str, by: Membership) -> None:
    """Ask somebody who doesn't belong to the workshop whether they do; whoever belongs keeps their role."""
    seat, made = Membership.objects.get_or_create(person=person, workshop=by.workshop, defaults={"role": role})
    back = not made and Membership.objects.filter(pk=seat.pk, state=Membership.State.LEFT).update(
        state=Membership.State.NAMED, role=role
    )
    if made or back:
        event = Event.record("member_named", seat, by=by.person, workshop=by.workshop)
        facts = {"workshop": by.workshop}
        tell(event, people=[person], template="mail/membership_named.txt", facts=facts, path="/application/")


@transaction.atomic
def decide(*, paper: Qualification, proof: str, reason: str, by: User) -> bool:
    """Verify it (`proof` says how) or refuse it; holder and managers are told. False: somebody decided first."""
    done = paper.verify(by=by, proof=proof) if proof else paper.refuse(by=by, reason=reason)
    if not done:
        return False
    verb = "paper_verified" if proof else "paper_refused"
    tell(
        Event.record(verb, paper, by=by),
        people=concerned(paper),
        template=f"mail/{verb}.txt",
        facts={"paper": paper, "reason": reason},
        path="/our-workshop/",
    )
    return True


def concerned(paper: Qualification) -> list[User]:
    """Its holder, and the managers of the workshops that they work for."""
    workshops = paper.holder.memberships.able_to_act().values("workshop")
    managers = Membership.objects.able_to_act().filter(workshop__in=workshops, role=Membership.Role.MANAGER)
    return [paper.holder, *User.objects.filter(memberships__in=managers).exclude(pk=paper.holder_id).distinct()]
