"""Pages of the work: bad input gets a sentence and keeps what was typed; the owner's link opens only its own page."""

from __future__ import annotations

import re
from html import unescape
from urllib.parse import urlencode

import pytest
from django.test import Client
from django.urls import reverse

from diagnostics.kinds import all_kinds
from diagnostics.models import Record
from jobs.models import Enquiry
from jobs.owner_link import path_for
from tests.bench import PROOF, Bench

HORRORS = ["\0", "9e99", "NaN", "-1", "1" * 400, "\ud800", "0x10", "1e400", "<b>", "OL", "> OL", "²", "٣"]


@pytest.mark.parametrize("kind", list(all_kinds()))
def test_no_horror_in_a_record_form_is_a_server_error(bench: Bench, technician: Client, kind: str) -> None:
    names = [*(field.name for field in all_kinds()[kind].fields), "state", "temperature_c", "instrument_range"]
    url = reverse("record_new", args=[bench.sheet.pk, kind])
    technician.raise_request_exception = False
    for horror in HORRORS:
        body = urlencode(dict.fromkeys(names, horror), errors="surrogatepass")
        answers = [
            technician.post(to, body, content_type="application/x-www-form-urlencoded").status_code
            for to in (url, f"{url}judge/")
        ]
        assert answers == [422, 200], horror


def test_a_form_of_a_record_sent_empty_keeps_nothing(bench: Bench, technician: Client) -> None:
    """The form of the six diodes asks for no single one of them; a button pressed by mistake is no record."""
    typed = {"state": "dead", "stage": "machine_1", "technology": "silicon"}
    for kind in all_kinds():
        page = technician.post(reverse("record_new", args=[bench.sheet.pk, kind]), typed)
        assert page.status_code == 422, kind
    page = technician.post(reverse("record_new", args=[bench.sheet.pk, "power_stage_diodes"]), typed)
    assert "Type one reading at least" in page.content.decode()
    assert not Record.objects.filter(sheet=bench.sheet).exists()


def test_an_empty_row_of_figures_is_asked_for_in_its_unit(bench: Bench, technician: Client) -> None:
    page = technician.post(reverse("record_new", args=[bench.sheet.pk, "load_run"]), {"state": "live"})
    assert "“Minutes” is empty. Type the figures, in min." in page.content.decode()


def test_a_wrong_figure_keeps_what_was_typed_and_says_what_to_do(bench: Bench, technician: Client) -> None:
    typed = {
        "positive_to_negative_v": "0,3",
        "positive_to_body_v": "abc",
        "makers_wait": "Lanner 14-001",
        "state": "dead",
    }
    page = technician.post(reverse("record_new", args=[bench.sheet.pk, "absence_of_voltage"]), typed)
    assert page.status_code == 422
    text = page.content.decode()
    assert 'value="abc"' in text and 'value="0,3"' in text and "Lanner 14-001" in text
    assert "is not a figure. Type digits with one comma or point." in text


def test_a_log_that_cant_be_read_names_its_line(bench: Bench, technician: Client) -> None:
    from django.core.files.uploadedfile import SimpleUploadedFile

    log = SimpleUploadedFile("log.csv", b"time,voltage,current\n0,200,5\n1,oops,5\n2,198,5\n")
    fields = {"method": "bench", "log": log, "state": "bench"}
    page = technician.post(reverse("record_new", args=[bench.sheet.pk, "battery_capacity"]), fields)
    assert "Line 3" in page.content.decode()


def test_a_capacity_from_a_log_is_counted_and_the_file_is_kept(bench: Bench, technician: Client) -> None:
    from django.core.files.uploadedfile import SimpleUploadedFile

    rows = "".join(f"{second},{202 - second / 1000:.3f},2.0\n" for second in range(0, 7201, 60))
    fields = {
        "method": "bench", "log": SimpleUploadedFile("log.csv", b"time,voltage,current\n" + rows.encode()),
        "zero_before_a": "0.00", "zero_after_a": "0.00", "state": "bench", "stood_by": bench.bram.person.pk,
        "cut_off_v": "195", "temperature_c": "21", "instrument_range": bench.ranges["A"].pk,
    }  # fmt: skip
    answer = technician.post(reverse("record_new", args=[bench.sheet.pk, "battery_capacity"]), fields)
    assert answer.status_code == 302, answer.content.decode()
    record = bench.sheet.records.get()
    # 2 A over two hours are 4 Ah; of 6.5 Ah rated that is 61.5 %. The cut-off at 195 V comes at 7000 s: 3.9 Ah, 59.8 %.
    assert record.body["findings"][0]["value"] == pytest.approx(100 * (7020 * 2 / 3600) / 6.5, rel=1e-3)
    assert record.log is not None and record.log.rows == 121
    assert record.verdict == "within"  # 40 % for hybrids: common practice, no source


def test_the_verdict_comes_while_typing_without_anything_being_kept(bench: Bench, technician: Client) -> None:
    bench.steps()
    typed = {**PROOF, "state": "dead", "stood_by": bench.bram.person.pk, "instrument_range": bench.ranges["V"].pk}
    page = technician.post(reverse("record_judge", args=[bench.sheet.pk, "absence_of_voltage"]), typed)
    assert "Within the entered limit" in page.content.decode()
    assert not bench.sheet.records.exists()


def test_the_owners_link_opens_its_page_and_no_other_opens_anything(bench: Bench, client: Client) -> None:
    enquiry = Enquiry(
        work_wanted="inverter", vehicle="Lanner", symptom="stops", can_drive="yes", name="A", email="a@b.example"
    )
    enquiry.save()
    path = path_for(enquiry)
    assert client.get(path).status_code == 200
    assert client.get(path[:-3] + "xx/").status_code == 404
    assert client.get(reverse("enquiry_private", args=["1-1-guess~sig"])).status_code == 404


def test_an_enquiry_is_sent_without_an_account_and_both_sides_are_told(bench: Bench, client: Client) -> None:
    from network.models import Notice

    fields = {
        "work_wanted": "inverter", "vehicle": "Lanner", "symptom": "stops", "can_drive": "yes", "name": "Ann Owner",
        "email": "ann@owner.example", "consent": "on",
    }  # fmt: skip
    answer = client.post(reverse("enquire", args=[bench.workshop.pk]), fields)
    assert answer.status_code == 302 and "/enquiry/" in answer["Location"]
    told = Notice.objects.filter(event__verb__startswith="enquiry_").values_list("email", flat=True)
    assert {"ann@owner.example", bench.ilse.person.email} <= set(told)
    assert not [n for n in Notice.objects.all() if "stops" in n.body or "Ann Owner" in n.body]


def test_one_address_gets_only_so_many_mails_a_day(bench: Bench, client: Client) -> None:
    fields = {
        "work_wanted": "inverter", "vehicle": "Lanner", "symptom": "stops", "can_drive": "yes", "name": "Ann",
        "email": "flooded@owner.example", "consent": "on",
    }  # fmt: skip
    answers = [client.post(reverse("enquire", args=[bench.workshop.pk]), fields).status_code for _ in range(6)]
    assert answers == [302] * 5 + [429]


def test_the_job_offers_the_one_thing_to_do_now_before_everything_else(bench: Bench, technician: Client) -> None:
    page = technician.get(reverse("job", args=[bench.job.pk])).content.decode()
    first = re.search(r'<a class="button" href="([^"]+)">', page.partition("<main")[2])
    assert first and first[1] == reverse("job_safe", args=[bench.job.pk])
    bench.steps()
    bench.record("absence_of_voltage", PROOF)
    page = technician.get(reverse("job", args=[bench.job.pk])).content.decode()
    first = re.search(r'<a class="button" href="([^"]+)">([^<]+)</a>', page.partition("<main")[2])
    assert first and first[1] == reverse("entry_sign", args=[bench.job.pk, "makers_procedure"])
    assert unescape(first[2]) == "Sign: Maker's procedure"
