"""A second pair of eyes sees a frozen copy without customer and car, until a day, and signs a remark that is kept."""

from __future__ import annotations

import datetime
import json
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from jobs import second_looks, working
from jobs.models import Job, SecondLook
from jobs.sharing import TellsTooMuch
from jobs.waiting import waiting
from network.access import acting_for
from network.models import Membership, Notice
from tests.cast import Cast, make_family, make_job, make_member, make_record

SECRETS = ("terwold", "anneke", "1-lnr-208", "1lnr208", "jh2rc36", "186240", "23125", "2016")


@pytest.fixture
def job(cast: Cast) -> Iterator[Job]:
    made = make_job(
        cast.technician, make_family(cast.a), vehicle={"vin": "JH2RC3605MM101581"},
        complaint="Mrs Terwold says it stops uphill. Call +49 30 23125 900.",
    )  # fmt: skip
    make_record(cast.technician, made.sheet)
    with acting_for(cast.a):
        words = "Terwold's duct (1-LNR-208) was blocked"
        working.sign(job=made, step="cause", words=words, good=True, by=cast.technician)
        yield Job.objects.with_facts().get(pk=made.pk)


def ask(job: Job, cast: Cast, colleague: Membership | None = None, days: int = 14, **more: Any) -> SecondLook:
    facts: dict[str, Any] = {
        "question": "Machine or inverter?", "lapses_on": timezone.localdate() + datetime.timedelta(days=days),
    }  # fmt: skip
    return second_looks.ask(job=job, colleague=colleague or cast.member_of_b, by=cast.technician, **facts | more)


def test_the_copy_tells_nothing_of_customer_or_car_but_all_that_was_found(cast: Cast, job: Job) -> None:
    copy = ask(job, cast).copy
    text = json.dumps(copy, ensure_ascii=False).lower()
    assert not [secret for secret in SECRETS if secret in text]
    assert copy["codes"] == ["P0A94"] and copy["figures"][0]["found"] and copy["mileage_band"]
    assert copy["entries"][0]["words"] == "…'s duct (…) was blocked"
    assert copy["complaint"] == "Mrs … says it stops uphill. Call …."


def test_a_text_that_still_looks_private_is_left_out_whole(job: Job) -> None:
    assert second_looks.without_private(job, "write to a.cousin@mail.example") == "…"


def test_what_happens_to_the_job_later_does_not_reach_the_copy(cast: Cast, job: Job) -> None:
    look = ask(job, cast)
    working.sign(job=job, step="cause", words="A second cause", good=True, by=cast.technician)
    look.refresh_from_db()
    assert "second cause" not in json.dumps(look.copy)


def test_only_the_named_colleague_reads_it_and_no_other_of_that_workshop(
    cast: Cast, job: Job, client_of: Callable[..., Client]
) -> None:
    url = reverse("second_look", args=[ask(job, cast).pk])
    beside = make_member(cast.b, name="Beate Nebenan")
    assert [client_of(who).get(url).status_code for who in (cast.member_of_b, cast.manager, beside)] == [200, 200, 404]


def test_the_remark_is_signed_once_and_shown_on_the_job(cast: Cast, job: Job, client_of: Callable[..., Client]) -> None:
    look = ask(job, cast)
    with acting_for(cast.b):
        assert [kind.code for kind in waiting(cast.member_of_b)] == ["second_look"]
    second_looks.sign(look=look, words="Measure it warm.", by=cast.member_of_b)
    with pytest.raises(second_looks.CannotBeSigned, match="signed already"):
        second_looks.sign(look=look, words="Another thought.", by=cast.member_of_b)
    html = client_of(cast.technician).get(reverse("job", args=[job.pk])).content.decode()
    assert "Measure it warm." in html and "signed by Anke Brockhausen" in html
    told = Notice.objects.get(event__verb="second_look_signed")
    assert told.person == cast.technician.person and "Measure it warm." in told.body


def test_a_signature_no_longer_holds_once_copy_or_remark_are_changed(cast: Cast, job: Job) -> None:
    look = ask(job, cast)
    second_looks.sign(look=look, words="Measure it warm.", by=cast.member_of_b)
    look = SecondLook.objects.get(pk=look.pk)
    assert second_looks.holds(look)
    for change in ({"remark": "Measure it cold."}, {"copy": look.copy | {"codes": []}}):
        SecondLook.objects.filter(pk=look.pk).update(**change)
        assert not second_looks.holds(SecondLook.objects.get(pk=look.pk))
        SecondLook.objects.filter(pk=look.pk).update(remark=look.remark, copy=look.copy)


def test_it_lapses_after_its_day(cast: Cast, job: Job, client_of: Callable[..., Client]) -> None:
    look = ask(job, cast, days=0)
    url = reverse("second_look", args=[look.pk])
    colleague = client_of(cast.member_of_b)
    assert colleague.get(url).status_code == 200  # the last day still counts
    SecondLook.objects.update(lapses_on=timezone.localdate() - datetime.timedelta(days=1))
    answer = colleague.get(url)
    assert answer.status_code == 410 and "blocked" not in answer.content.decode()
    with pytest.raises(second_looks.CannotBeSigned, match="lapsed"):
        second_looks.sign(look=look, words="Too late.", by=cast.member_of_b)


def test_nobody_of_the_own_workshop_is_asked_and_no_question_names_the_customer(cast: Cast, job: Job) -> None:
    for wrong in ({"colleague": cast.manager}, {"colleague": cast.suspended}, {"days": -1}, {"days": 61}):
        with pytest.raises(second_looks.CannotBeAsked):
            ask(job, cast, **wrong)
    with pytest.raises(TellsTooMuch, match="Terwold"):
        ask(job, cast, question="Would you tell Terwold?")


def test_nothing_goes_out_before_the_preview_was_sent(cast: Cast, job: Job, client_of: Callable[..., Client]) -> None:
    client, url = client_of(cast.technician), reverse("second_look_new", args=[job.pk])
    typed = {"colleague": cast.member_of_b.pk, "question": "Machine or inverter?", "lapses_on": timezone.localdate()}
    preview = client.post(url, typed).content.decode()
    assert "exactly what your colleague will see" in preview and not SecondLook.objects.exists()
    assert preview.index('form="ask"') < preview.index('<form class="form" id="ask"'), "under what was read"
    client.post(url, typed | {"act": "ask"})
    assert SecondLook.objects.count() == 1
