"""Outcomes hold nothing of the customer or the car, are shared once, and are found by family, code or part."""

from __future__ import annotations

import pytest

from jobs import sharing, working
from jobs.models import Job, Outcome
from jobs.outcome_forms import OutcomeForm
from network.models import Membership
from tests.bench import Bench
from tests.jobs.test_clearance import all_but

WORDS = {"symptom": "Stops uphill when warm", "cause": "Fan duct blocked", "repair_method": "used_part_tested"}
SECRETS = ("terwold", "anneke", "1lnr208", "jh2rc36", "186240", "+49 30")


@pytest.fixture
def finished(bench: Bench) -> Bench:
    all_but(bench)
    bench.hand_over()
    bench.job.refresh_from_db()
    return bench


def share(bench: Bench) -> Outcome:
    return sharing.share(job=bench.job, by=bench.ilse, **WORDS)


def test_it_is_shared_once_and_only_after_handover(bench: Bench) -> None:
    with pytest.raises(sharing.NotFinished):
        share(bench)
    all_but(bench)
    bench.hand_over()
    share(bench)
    with pytest.raises(sharing.NotFinished):
        share(bench)


def test_what_is_stored_tells_nothing_of_customer_or_car(finished: Bench) -> None:
    outcome = share(finished)
    stored = " ".join(str(getattr(outcome, field.attname)) for field in outcome._meta.concrete_fields).lower()
    assert not [secret for secret in SECRETS if secret in stored.replace("-", "")]
    assert outcome.mileage_band == "150 to 200 thousand km"
    assert outcome.repaired_on.day == 1


@pytest.mark.parametrize("text", ["LN 27 410-0", "ln274100", "P0A94", "Vireo", "lanner"])
def test_it_is_found_by_family_code_or_part_number(finished: Bench, text: str) -> None:
    outcome = share(finished)
    assert list(Outcome.objects.shown().about(text)) == [outcome]
    assert not Outcome.objects.shown().about("P0B12").exists()


@pytest.mark.parametrize(
    "text",
    [
        "The car of Terwold stops",
        "1 lnr 208 stops",
        "VIN JH2RC3605MM101581",
        "write to someone@mail.example",
        "call +32 470 12 34 56",
    ],
)
def test_words_that_could_tell_who_it_was_are_refused_with_the_piece(finished: Bench, text: str) -> None:
    job = Job.objects.select_related("vehicle__customer").get(pk=finished.job.pk)
    form = OutcomeForm(WORDS | {"symptom": text}, job=job)
    assert not form.is_valid()
    assert "Every member will read this" in str(form.errors["symptom"])


def test_only_its_workshop_takes_it_back(finished: Bench) -> None:
    outcome = share(finished)
    other = Membership.objects.filter(person=finished.cast.rureifel).get()
    now = finished.job.booked_in_at
    assert not sharing.take_back(outcome=outcome, by=other, at=now)
    assert sharing.take_back(outcome=outcome, by=finished.ilse, at=now)
    assert not Outcome.objects.shown().exists()


def test_an_enquiry_becomes_a_job_once(bench: Bench) -> None:
    from jobs.models import Customer, Enquiry, Vehicle

    enquiry = Enquiry(
        work_wanted="inverter", vehicle="Lanner", symptom="stops", can_drive="yes", name="A", email="a@b.example"
    )
    enquiry.save()
    facts = {"by": bench.ilse, "complaint": "stops", "enquiry": enquiry}
    working.book_in(customer=Customer(name="A"), vehicle=Vehicle(description="Lanner"), **facts)
    with pytest.raises(working.EnquiryClosed):
        working.book_in(customer=Customer(name="A"), vehicle=Vehicle(description="Lanner"), **facts)
    assert Job.objects.filter(enquiry=enquiry).count() == 1
