"""How a workshop comes into the network: it applies with its people and their papers, and waits to be decided.

Whoever applies belongs to the workshop at once, as its manager, but acts for it only when it is approved. The others
are named, and belong once they agree. Nothing of it is public before an administrator approves, and no paper counts
before the network has seen it or asked its issuer.
"""

from __future__ import annotations

from collections.abc import Sequence

from django.db import IntegrityError, transaction

from network.forms import PersonForm
from network.models import Application, Event, Membership, User, Workshop
from network.telling import tell


class AlreadyApplied(Exception):
    """This person's application still waits for a decision."""


@transaction.atomic
def apply(*, workshop: Workshop, people: Sequence[PersonForm], by: User) -> Application:
    """Store the workshop, its people and their papers, and tell the administrators.

    Raises AlreadyApplied, and stores nothing, while another application of the same person waits.
    """
    workshop.save()
    try:
        with transaction.atomic():  # of its own, so that the constraint's refusal leaves the outer one usable
            application = Application.objects.create(workshop=workshop, applicant=by)
    except IntegrityError as refused:
        raise AlreadyApplied from refused
    Membership.objects.create(person=by, workshop=workshop, role=Membership.Role.MANAGER, state=Membership.State.ACTIVE)
    for form in people:
        holder = person_named(form)
        form.qualification(holder).save()
        if holder != by:
            Membership.objects.create(person=holder, workshop=workshop, role=form.cleaned_data["role"])
    event = Event.record("workshop_applied", application, by=by, workshop=workshop)
    administrators = User.objects.filter(is_administrator=True)
    path = f"/applications/{application.pk}/"
    tell(event, people=administrators, template="mail/workshop_applied.txt", facts={"workshop": workshop}, path=path)
    return application


def person_named(form: PersonForm) -> User:
    """The person with this address; one who is new chooses a password by "forgotten password"."""
    email = form.cleaned_data["email"].lower()
    known = User.objects.filter(email__iexact=email).first()
    return known or User.objects.create_user(email=email, name=form.cleaned_data["name"])
