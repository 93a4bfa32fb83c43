"""Estimates from the draft to what the owner agreed to, and the tables for the workshop's own invoice."""

from __future__ import annotations

import csv
import datetime
import hashlib
import io
import re
from typing import Any

import pytest
import tablib
from django.core.management import call_command
from django.db import IntegrityError, transaction
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from jobs import estimating
from jobs.estimate_lapsing import tell_of_lapsed
from jobs.models import Customer, Estimate, EstimateAnswer, EstimateLine, Job, UsedLine
from jobs.owner_link import path_for_job
from network.models import Notice, User, Workshop
from tests.bench import Bench
from tests.cast import make_request

LABOUR = {"kind": "labour", "words": "Find and mend it", "quantity": "2,5", "price": "95", "tax_percent": "21"}
PART = {"kind": "part", "words": "Inverter", "part_number": "LN 27 410-0", "quantity": "1", "price": "412.50"}
FORMULA = {"kind": "other", "words": "=1+1 taken off", "quantity": "1", "price": "-12.50", "tax_percent": "21"}
# 2.5 x 95.00 + 412.50 - 12.50 = 637.50; 21 % of it are 133.875, halves up
TOTAL = "771.38"


def rows(*lines: dict[str, str], kept: int = 0) -> dict[str, str]:
    """Rows as a browser sends them; the blank ones that stand below are sent with their kind and rate."""
    blank = {"kind": "labour", "words": "", "part_number": "", "quantity": "", "price": "", "tax_percent": "21"}
    sent = {"line-TOTAL_FORMS": str(len(lines) + 1), "line-INITIAL_FORMS": str(kept)}
    for number, line in enumerate((*lines, {})):
        sent |= {f"line-{number}-{name}": value for name, value in (blank | line).items()}
    return sent


def draft_of(seen: int = 0, **more: Any) -> dict[str, Any]:
    return {"words": "The stage is burnt.", "holds_until": timezone.localdate(), "seen": seen} | more


@pytest.fixture
def technician(bench: Bench, client: Client) -> Client:
    client.force_login(bench.ilse.person)
    Customer.objects.filter(vehicles=bench.job.vehicle_id).update(email="anneke@terwold.example")
    bench.job.refresh_from_db()
    return client


def written(technician: Client, job: Job, *lines: dict[str, str]) -> Estimate:
    """A draft with these lines, through the pages."""
    technician.post(reverse("job_estimate", args=[job.pk]))
    draft = Estimate.objects.get(job=job, state="draft")
    page = reverse("estimate", args=[draft.pk])
    answer = technician.post(page, rows(*lines) | draft_of(draft.edit) | {"act": "ready"})
    assert answer.status_code == 302, answer.content.decode()
    draft.refresh_from_db()
    return draft


def sent(technician: Client, job: Job, *lines: dict[str, str]) -> Estimate:
    draft = written(technician, job, *lines)
    technician.post(reverse("estimate", args=[draft.pk]), {"act": "send", "seen": draft.edit})
    draft.refresh_from_db()
    assert draft.state == "sent"
    return draft


def owners(estimate: Estimate) -> str:
    return path_for_job(estimate.job, "car_estimate", number=estimate.number)


def answered(estimate: Estimate, act: str = "agree", **more: str) -> Any:
    """What the owner's browser does: open the page, type a name, press."""
    owner = Client()
    page = owner.get(owners(estimate)).content.decode()
    seen = re.search(r'name="seen" value="([0-9a-f]{64})"', page)
    assert seen
    return owner.post(owners(estimate), {"name": "Anneke Terwold", "seen": seen[1], "act": act} | more)


def test_the_owner_agrees_to_what_they_saw(bench: Bench, technician: Client) -> None:
    estimate = sent(technician, bench.job, LABOUR, PART, FORMULA)
    told = Notice.objects.get(email="anneke@terwold.example")
    assert told.path == owners(estimate) and "burnt" not in told.body  # nothing typed goes out in a mail
    page = Client().get(owners(estimate)).content.decode()
    assert TOTAL in page and "LN 27 410-0" in page
    assert TOTAL in Client().get(path_for_job(bench.job)).content.decode()
    assert answered(estimate).status_code == 302
    said = EstimateAnswer.objects.get()
    assert (said.agreed, said.name) == (True, "Anneke Terwold")
    assert said.digest == hashlib.sha256(said.text.encode()).hexdigest()
    assert f"Total: {TOTAL} EUR" in said.text and "Find and mend it: 2.5 h × 95.00 = 237.50 EUR" in said.text
    assert Notice.objects.filter(person=bench.bram.person, event__verb="estimate_agreed").count() == 1
    for url in (reverse("job", args=[bench.job.pk]), reverse("job_estimate", args=[bench.job.pk])):
        assert f"The owner agreed to version 1 on {today()}: {TOTAL} EUR." in technician.get(url).content.decode()
    assert said.digest in technician.get(reverse("estimate", args=[estimate.pk])).content.decode()


def today() -> str:
    from django.utils.formats import date_format

    return date_format(timezone.localdate(), "DATE_FORMAT")


def test_another_text_than_the_one_seen_is_not_agreed_to(bench: Bench, technician: Client) -> None:
    estimate = sent(technician, bench.job, LABOUR)
    owner = Client()
    answer = owner.post(owners(estimate), {"name": "Anneke", "seen": "0" * 64, "act": "agree"})
    assert (answer.status_code, EstimateAnswer.objects.count()) == (409, 0)
    Workshop.objects.filter(pk=bench.workshop.pk).update(name="Ateliers Autres")  # stands in the text
    page = owner.get(owners(estimate))
    assert page.status_code == 200
    assert answered(estimate).status_code == 302
    assert answered_again(estimate) == 409


def answered_again(estimate: Estimate) -> int:
    return Client().post(owners(estimate), {"name": "Piet", "seen": "0" * 64, "act": "decline"}).status_code


def test_a_changed_estimate_says_what_changed_and_needs_a_new_answer(bench: Bench, technician: Client) -> None:
    first = sent(technician, bench.job, LABOUR, PART)
    answered(first)
    second = sent(technician, bench.job, LABOUR | {"quantity": "4"}, FORMULA)
    page = Client().get(owners(second)).content.decode()
    assert "What changed since version 1, which was agreed to" in page
    assert "Find and mend it: 2.5 h × 95.00 is now 4 h × 95.00" in page
    assert "left out: Inverter, 1 × 412.50" in page and "new: =1+1 taken off" in page
    stands = estimating.standing(bench.job)
    assert stands.agreed == first and "Until then version 1 stands" in stands.sentence
    assert answered(second, "decline", reason="Too much.").status_code == 302
    assert estimating.standing(bench.job).agreed == first
    assert "Too much." in technician.get(reverse("job_estimate", args=[bench.job.pk])).content.decode()
    third = sent(technician, bench.job, LABOUR | {"quantity": "3"})
    answered(third)
    assert estimating.standing(bench.job).agreed == third
    first.refresh_from_db()
    assert first.answer.agreed  # what was once agreed to stays as it was


def test_a_later_version_replaces_one_that_waits(bench: Bench, technician: Client) -> None:
    first = sent(technician, bench.job, LABOUR)
    second = sent(technician, bench.job, PART | {"tax_percent": "21"})
    page = Client().get(owners(first)).content.decode()
    assert "A later estimate has taken the place" in page and owners(second) in page
    assert 'name="act"' not in page
    with pytest.raises(estimating.Overtaken):
        estimating.answer(estimate=first, agreed=True, name="Anneke", text="x")


def test_it_lapses_and_can_be_taken_back(bench: Bench, technician: Client) -> None:
    estimate = sent(technician, bench.job, LABOUR)
    Estimate.objects.filter(pk=estimate.pk).update(holds_until=timezone.localdate() - datetime.timedelta(days=1))
    assert "This estimate held until" in Client().get(owners(estimate)).content.decode()
    assert "lapsed on" in estimating.standing(bench.job).sentence
    with pytest.raises(estimating.Overtaken):
        estimating.answer(estimate=estimate, agreed=True, name="Anneke", text="x")
    technician.post(reverse("estimate", args=[estimate.pk]), {"act": "take_back"})
    assert "took this estimate back" in Client().get(owners(estimate)).content.decode()


def lapsed(technician: Client, job: Job) -> Estimate:
    estimate = sent(technician, job, LABOUR)
    Estimate.objects.filter(pk=estimate.pk).update(holds_until=timezone.localdate() - datetime.timedelta(days=1))
    return estimate


def told_of_lapse() -> list[str]:
    return sorted(Notice.objects.filter(event__verb__endswith="estimate_lapsed").values_list("email", flat=True))


def test_owner_and_workshop_are_told_once_that_it_lapsed(bench: Bench, technician: Client) -> None:
    estimate = lapsed(technician, bench.job)
    call_command("deliver_notices", "--once")
    assert tell_of_lapsed() == 0  # the deliverer's sweep was first
    people = User.objects.filter(memberships__workshop=bench.workshop).values_list("email", flat=True)
    assert told_of_lapse() == sorted(["anneke@terwold.example", *people])
    owner = Notice.objects.get(email="anneke@terwold.example", event__verb="owners_estimate_lapsed")
    assert owner.path == owners(estimate) and "You have agreed to nothing by it." in owner.body
    assert bench.job.number not in owner.body and bench.workshop.phone in owner.body
    ours = Notice.objects.get(person=bench.ilse.person, event__verb="estimate_lapsed")
    assert technician.get(ours.path).status_code == 200 and bench.job.number in ours.subject


@pytest.mark.parametrize("meanwhile", ["still holds", "answered", "handed over", "taken back"])
def test_nobody_is_told_of_a_lapse_that_is_none(bench: Bench, technician: Client, meanwhile: str) -> None:
    estimate = sent(technician, bench.job, LABOUR)  # holds for today and longer
    if meanwhile == "answered":
        answered(estimate)
    elif meanwhile == "handed over":
        Job.objects.filter(pk=bench.job.pk).update(handed_over_at=timezone.now())
    elif meanwhile == "taken back":
        technician.post(reverse("estimate", args=[estimate.pk]), {"act": "take_back"})
    last_day = estimate.holds_until
    assert tell_of_lapsed(last_day) == 0
    assert tell_of_lapsed(last_day + datetime.timedelta(days=1)) == (meanwhile == "still holds")


def test_two_who_write_at_one_draft_see_each_other(bench: Bench, technician: Client) -> None:
    draft = written(technician, bench.job, LABOUR)
    page = reverse("estimate", args=[draft.pk])
    late = technician.post(page, rows(PART) | draft_of(0))
    assert late.status_code == 409 and b"Somebody kept this draft" in late.content
    assert [line.words for line in draft.lines.all()] == ["Find and mend it"]
    technician.post(page, {"act": "send", "seen": "0"})
    draft.refresh_from_db()
    assert draft.state == "draft"  # whoever sends has seen what is sent
    technician.post(page, {"act": "drop"})
    assert not Estimate.objects.exists() and not EstimateLine.objects.exists()


WRONG = [
    (LABOUR | {"words": ""}, "Say in words what it is."),
    (LABOUR | {"quantity": "0"}, "above 0"),
    (LABOUR | {"quantity": "abc"}, "is not a figure"),
    (LABOUR | {"price": "-1"}, "may be below zero"),
    (LABOUR | {"price": "1.005"}, "has 2 decimals at most"),
    (LABOUR | {"tax_percent": "101"}, "between 0 and 100"),
    (LABOUR | {"price": ""}, "At what price"),
]


def test_a_wrong_line_is_named_and_a_line_can_be_left_out(bench: Bench, technician: Client) -> None:
    draft = written(technician, bench.job, LABOUR, PART | {"tax_percent": "21"})
    page = reverse("estimate", args=[draft.pk])
    for line, sentence in WRONG:
        answer = technician.post(page, rows(line) | draft_of(draft.edit))
        assert (answer.status_code, sentence in answer.content.decode()) == (422, True), sentence
    blank = {"words": "", "quantity": "", "price": "", "part_number": ""}
    ticked = PART | {"DELETE": "on", "tax_percent": "21"}
    technician.post(page, rows(LABOUR | blank, ticked, FORMULA, kept=2) | draft_of(draft.edit))
    assert [line.words for line in draft.lines.all()] == ["=1+1 taken off"]
    technician.post(page, {"act": "send", "seen": draft.edit + 1})
    draft.refresh_from_db()
    assert draft.state == "draft"  # below zero in all


def test_work_beyond_the_agreed_amount_is_said_first(bench: Bench, technician: Client) -> None:
    answered(sent(technician, bench.job, LABOUR, PART))
    used = reverse("job_used", args=[bench.job.pk])
    assert b"Find and mend it" in technician.get(used).content  # it begins with what was agreed
    technician.post(used, rows(LABOUR | {"quantity": "3"}, PART) | {"seen": "0"})
    said = "57.48 EUR beyond what the owner agreed to"  # half an hour, 47.50, with 21 %: 844.28 less 786.80
    page = technician.get(reverse("job", args=[bench.job.pk])).content.decode()
    assert said in page.split("</h1>")[1].split("</p>")[0]
    for step, told in (("fitted", True), ("handed_over", True), ("makers_procedure", False)):
        assert (said in technician.get(reverse("entry_sign", args=[bench.job.pk, step])).content.decode()) is told
    assert technician.post(used, rows(LABOUR) | {"seen": "0"}).status_code == 409
    technician.post(used, rows(LABOUR, PART) | {"seen": UsedLine.objects.last().pk})
    assert estimating.standing(bench.job).beyond is None


def test_lines_go_out_as_tables_without_formulas(bench: Bench, technician: Client) -> None:
    answered(sent(technician, bench.job, LABOUR, FORMULA))
    technician.post(reverse("job_used", args=[bench.job.pk]), rows(LABOUR | {"words": "@done"}) | {"seen": "0"})
    plain = technician.get(reverse("job_lines_csv", args=[bench.job.pk]))
    table = list(csv.DictReader(io.StringIO(plain.content.decode())))
    assert [row["In words"] for row in table] == ["Find and mend it", "'=1+1 taken off", "'@done"]
    assert [row["Net"] for row in table] == ["237.50", "-12.50", "237.50"]
    assert [row["Stands for"] for row in table] == ["agreed, version 1"] * 2 + ["used"]
    sheet = technician.get(reverse("job_lines_xlsx", args=[bench.job.pk])).content
    read = tablib.Dataset().load(io.BytesIO(sheet), format="xlsx").dict
    assert [row["In words"] for row in read] == ["Find and mend it", "'=1+1 taken off", "'@done"]
    assert [float(row["Net"]) for row in read] == [237.5, -12.5, 237.5]


def test_the_database_holds_what_must_never_be_false(bench: Bench, technician: Client) -> None:
    estimate = sent(technician, bench.job, LABOUR)
    wrong: list[Any] = [
        lambda: EstimateLine.objects.filter(estimate=estimate).update(price=-1),
        lambda: EstimateLine.objects.filter(estimate=estimate).update(tax_percent=101),
        lambda: Estimate.objects.filter(pk=estimate.pk).update(total=None),
        lambda: Estimate(job=bench.job, number=1, currency="EUR", holds_until=timezone.localdate(),
                         made_by=bench.ilse.person).save(),
    ]  # fmt: skip
    for attempt in wrong:
        with pytest.raises(IntegrityError), transaction.atomic():
            attempt()


def test_a_draft_without_a_line_says_so_and_offers_no_sending(bench: Bench, technician: Client) -> None:
    draft = written(technician, bench.job)
    page = technician.get(reverse("estimate", args=[draft.pk]), {"ready": "1"}).content.decode()
    assert "There is no line yet" in page and 'value="send"' not in page


def test_nothing_is_estimated_once_the_car_is_gone(bench: Bench, technician: Client) -> None:
    Job.objects.filter(pk=bench.job.pk).update(handed_over_at=timezone.now())
    technician.post(reverse("job_estimate", args=[bench.job.pk]))
    assert not Estimate.objects.exists()


def test_a_currency_without_cents_has_none(bench: Bench, technician: Client) -> None:
    Workshop.objects.filter(pk=bench.workshop.pk).update(currency="ISK")
    estimate = sent(technician, bench.job, LABOUR | {"price": "9500", "quantity": "1.5", "tax_percent": "24"})
    assert (estimate.total, str(estimate.amount)) == (17670, "17670")  # 14250 and 3420


def test_the_morning_says_whose_estimate_is_not_agreed_to(bench: Bench, technician: Client) -> None:
    estimate = sent(technician, bench.job, LABOUR)
    assert "Its estimate waits for the owner." in technician.get(reverse("waiting")).content.decode()
    answered(estimate, "decline")
    assert "The owner declined its estimate." in technician.get(reverse("waiting")).content.decode()


def test_the_first_draft_has_the_part_that_the_job_waits_for(bench: Bench, technician: Client) -> None:
    make_request(bench.ilse, job=bench.job)
    technician.post(reverse("job_estimate", args=[bench.job.pk]))
    draft = Estimate.objects.get()
    page = technician.get(reverse("estimate", args=[draft.pk])).content.decode()
    assert 'value="LN 27 410-0"' in page and "Tax, %" in page
    answer = technician.post(reverse("estimate", args=[draft.pk]), rows(PART | {"price": ""}) | draft_of())
    assert "At what price, without tax?" in answer.content.decode()


NONSENSE = ["9" * 5000, "-1", "\0", "1e9", "NaN", "٣", "\x0b\x1b"]


@pytest.mark.parametrize("typed", NONSENSE, ids=ascii)
def test_nonsense_gets_a_page_and_keeps_nothing(bench: Bench, technician: Client, typed: str) -> None:
    draft = written(technician, bench.job, LABOUR)
    page, used = reverse("estimate", args=[draft.pk]), reverse("job_used", args=[bench.job.pk])
    wrong = {"line-0-quantity": typed, "line-0-words": typed, "line-0-price": typed, "line-0-tax_percent": typed}
    assert technician.post(page, rows(LABOUR) | draft_of(draft.edit) | wrong).status_code == 422
    assert technician.post(page, rows(LABOUR) | draft_of() | {"seen": typed}).status_code in (409, 422)
    assert technician.post(page, {"act": "send", "seen": typed}).status_code == 302
    assert technician.post(page, rows() | draft_of() | {"line-TOTAL_FORMS": typed}).status_code in (409, 422)
    assert technician.post(used, rows() | {"line-INITIAL_FORMS": typed, "seen": typed}).status_code in (409, 422)
    assert [line.words for line in draft.lines.all()] == ["Find and mend it"]
    technician.post(page, {"act": "send", "seen": draft.edit})
    answer = Client().post(owners(draft), {"name": typed, "reason": typed, "seen": typed, "act": "agree"})
    assert answer.status_code in (409, 422) and not EstimateAnswer.objects.exists()
