"""The guard: private rows are reached only while somebody acts, and only those of the acting workshop."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from django.apps import apps
from django.test import Client, RequestFactory

from jobs.models import Customer, Job, Vehicle
from network import access
from network.access import ForeignRow, NobodyActs, PrivateModel, WayOut, acting_for, way_out
from network.models import Membership, Workshop
from tests.cast import Cast, make_job, make_member, make_workshop

pytestmark = pytest.mark.django_db

PRIVATE = [model for model in apps.get_models() if issubclass(model, PrivateModel)]


def test_there_are_private_models_to_guard() -> None:
    assert {"Job", "Customer", "Vehicle", "Enquiry", "Sheet", "Record"} <= {model.__name__ for model in PRIVATE}


@pytest.mark.parametrize("model", PRIVATE, ids=lambda model: model.__name__)
def test_the_guarded_manager_is_the_default_and_the_base_manager_too(model: Any) -> None:
    for manager in (model._default_manager, model._base_manager):
        with pytest.raises(NobodyActs):
            manager.exists()


@pytest.mark.parametrize("nobody", [None, 0.5, "1", True, Workshop()])
def test_acting_for_nothing_is_refused(nobody: Any) -> None:
    with pytest.raises(NobodyActs), acting_for(nobody):
        pass


def test_only_the_acting_workshops_rows_are_seen(cast: Cast) -> None:
    mine, theirs = make_job(cast.technician), make_job(cast.member_of_b)
    with acting_for(cast.a):
        assert list(Job.objects.all()) == [mine]
        assert not Job.objects.filter(pk=theirs.pk).exists()
        assert not Customer.objects.exclude(workshop=cast.a).exists()
    with pytest.raises(NobodyActs):
        Job.objects.exists()


def test_acting_ends_with_the_block_even_after_an_error(cast: Cast) -> None:
    with pytest.raises(ZeroDivisionError), acting_for(cast.a), acting_for(cast.b):
        raise ZeroDivisionError
    with pytest.raises(NobodyActs):
        access.acting_workshop_id()


def test_a_foreign_row_is_neither_saved_nor_linked(cast: Cast) -> None:
    theirs = make_job(cast.member_of_b)
    with acting_for(cast.b):
        customer = theirs.vehicle.customer
    with acting_for(cast.a):
        with pytest.raises(ForeignRow):
            customer.save()
        with pytest.raises(ForeignRow):
            Customer(workshop=cast.b, name="x", email="x@bench.example").save()
        with pytest.raises(ForeignRow):
            Vehicle(customer=customer, description="x").save()
        with pytest.raises(Customer.DoesNotExist):
            Vehicle(customer_id=customer.pk, description="x").save()
        with pytest.raises(ForeignRow):
            Customer.objects.bulk_create([Customer(workshop=cast.b, name="x", email="x@bench.example")])


def test_a_new_row_gets_the_acting_workshop_whatever_was_meant(cast: Cast) -> None:
    with acting_for(cast.a):
        customer = Customer(name="Anneke", email="a@bench.example")
        customer.save()
    assert customer.workshop_id == cast.a.pk


def test_the_ways_out_are_counted() -> None:
    """A new way to read everybody's rows has to be written down here, with a reason."""
    assert {way.name for way in WayOut} == {"VERIFY_BY_HASH", "VERIFY_SHEET", "MATCH_WATCHES", "MATCH_SHELVES"}


def test_a_way_out_reads_all_rows_and_ends_with_its_block(cast: Cast) -> None:
    jobs = {make_job(cast.technician), make_job(cast.member_of_b)}
    with way_out(WayOut.VERIFY_SHEET):
        assert set(Job.objects.all()) == jobs
    with pytest.raises(NobodyActs):
        Job.objects.exists()


def acting_in_request(person: Any, chosen: int | None = None) -> int | None:
    """Whom the middleware acts for while a view runs."""
    request = RequestFactory().get("/")
    request.user, request.session = person, {"acting_membership": chosen}
    seen: list[int | None] = []
    access.ActingMiddleware(lambda r: seen.append(access._acting.get()))(request)  # type: ignore[arg-type,return-value]
    return seen[0]


def test_a_request_acts_for_the_membership_that_was_chosen(cast: Cast) -> None:
    person = cast.technician.person
    second = Membership.objects.create(person=person, workshop=cast.b, role="technician", state="active")
    assert acting_in_request(person) == cast.a.pk
    assert acting_in_request(person, second.pk) == cast.b.pk


def test_a_membership_that_is_not_theirs_or_not_able_is_never_acted_with(cast: Cast) -> None:
    person = cast.technician.person
    assert acting_in_request(person, cast.member_of_b.pk) == cast.a.pk
    assert acting_in_request(cast.suspended.person, cast.suspended.pk) is None
    assert acting_in_request(cast.applicant) is None


def test_suspension_ends_acting_at_the_next_request(cast: Cast, client_of: Callable[..., Client]) -> None:
    page = client_of(cast.technician)
    assert page.get("/our-workshop/").status_code == 200
    cast.a.suspend(by=cast.administrator, reason="Insurance ran out.")
    assert page.get("/our-workshop/").status_code == 403


def test_somebody_with_two_workshops_chooses_one_of_their_own(cast: Cast, client_of: Callable[..., Client]) -> None:
    other = make_workshop("Second Garage")
    second = Membership.objects.create(person=cast.technician.person, workshop=other, role="technician", state="active")
    foreign = make_member(cast.b, name="Stranger")
    page = client_of(cast.technician)
    assert page.post("/act-for/", {"membership": foreign.pk}).status_code == 404
    assert page.post("/act-for/", {"membership": second.pk}).status_code == 302
    assert page.get("/our-workshop/").context["request"].membership.workshop == other
