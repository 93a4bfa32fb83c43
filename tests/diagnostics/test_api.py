"""The interface for programs: the same cleaning, verdicts, chain and rows as the pages; nothing is done twice.

Outside sources: RFC 9457 (problem details), RFC 9110 (ETag and If-Match), the IETF draft "The Idempotency-Key HTTP
Header Field" (same key and body: same answer; same key, other body: 422).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest
from django.db import transaction

from diagnostics import kind as declared
from diagnostics.chain import first_break
from diagnostics.kinds import all_kinds
from diagnostics.models import Record, Sheet
from diagnostics.recording import as_json
from network.models import Event
from tests.bench import Bench, acting
from tests.cast import make_shared_sheet
from tests.diagnostics.programs import Program, sound_body
from tests.diagnostics.sound import SOUND

pytestmark = pytest.mark.django_db
WINDINGS = {
    "kind": "machine_windings", "state": "bench", "subject": "1", "temperature_c": 24.5, "leads_milliohm": 0.4,
    "uv_milliohm": 93.6, "vw_milliohm": 93.9, "wu_milliohm": 95.4,
}  # fmt: skip
LOG = b"s;V;A\n" + b"".join(b"%d;201.6;-20\n" % second for second in range(60))


@pytest.fixture(scope="module")
def bench(django_db_setup: None, django_db_blocker: Any) -> Iterator[Bench]:
    """The bench is made once; what a test adds to it is undone after the test."""
    with django_db_blocker.unblock(), transaction.atomic():
        with acting() as made:
            yield made
        transaction.set_rollback(True)


@pytest.fixture
def program(bench: Bench) -> Program:
    return Program(bench)


def windings(bench: Bench, **more: Any) -> dict[str, Any]:
    return WINDINGS | {"instrument_range": bench.ranges["milliohm"].pk} | more


def records_of(bench: Bench) -> str:
    return f"sheets/{bench.sheet.pk}/records"


def test_a_sheet_is_made_a_record_added_and_the_chain_read_back(bench: Bench, program: Program) -> None:
    made = program.ask("POST", "sheets", {"title": "Inverter on the bench", "part_serial": "LN27-104", "family": None})
    assert made.status_code == 201, made.content
    sheet = made.json()["id"]
    added = program.ask("POST", f"sheets/{sheet}/records", windings(bench)).json()
    read = program.get(f"sheets/{sheet}")
    assert (read["length"], read["last_hash"]) == (1, added["hash"])
    assert program.get(f"sheets/{sheet}/verify")["holds"] is True
    assert program.get(f"records/{added['id']}") == added
    assert program.get("sheets?serial=ln27 104")["results"] == [read]


def test_a_record_by_a_program_is_the_record_of_the_page(bench: Bench, program: Program) -> None:
    by_page = bench.record("machine_windings", {k: v for k, v in WINDINGS.items() if k.endswith("ohm")}, state="bench")
    by_program = program.ask("POST", records_of(bench), windings(bench, stood_by=bench.bram.person_id)).json()
    typed = {name: value for name, value in by_program["values"].items() if value is not None}
    assert typed == by_page.body["values"]
    for name in ("findings", "verdict", "concerns", "instrument"):
        assert by_program[name] == by_page.body[name], name


@pytest.mark.parametrize("code", sorted(code for code, kind in all_kinds().items() if not kind.logs))
def test_every_kind_is_taken_in_as_it_is_described(bench: Bench, program: Program, code: str) -> None:
    kind = all_kinds()[code]
    meters = {f.name: bench.ranges["V"].pk for f in kind.fields if isinstance(f, declared.Meter)}
    answer = program.ask("POST", f"sheets/{bench.sheet.pk}/judgement", sound_body(bench, kind, meters))
    refused = answer.json().get("errors", {})
    # A second instrument in another unit than this bench has is the one thing that may be refused here.
    assert set(refused) <= set(meters), answer.content
    if not refused:
        assert answer.json()["verdict"] in ("within", "outside", "unproven") and answer.json()["findings"]


def test_judging_keeps_nothing(bench: Bench, program: Program) -> None:
    answer = program.ask("POST", f"sheets/{bench.sheet.pk}/judgement", windings(bench))
    assert answer.json()["verdict"] == "within" and not Record.objects.exists()


def test_bounds_are_typed_as_on_the_display(bench: Bench, program: Program) -> None:
    body = windings(bench, uv_milliohm="> 190", vw_milliohm="OL")
    values = program.ask("POST", records_of(bench), body).json()["values"]
    assert values["uv_milliohm"] == {"figure": 190.0, "bound": "at_least"}
    assert values["vw_milliohm"] == {"figure": 200.0, "bound": "at_least"}, "the end of the meter's range"


def test_a_log_is_uploaded_and_a_record_measured_from_it(bench: Bench, program: Program) -> None:
    log = program.upload(f"sheets/{bench.sheet.pk}/logs", LOG)
    assert log.status_code == 201 and log.json()["rows"] == 60, log.content
    kind = all_kinds()["battery_capacity"]
    body = sound_body(bench, kind, {kind.logs[0].name: log.json()["id"]})
    answer = program.ask("POST", records_of(bench), body)
    assert answer.status_code == 201 and answer.json()["log_sha256"] == log.json()["sha256"], answer.content
    assert first_break(bench.sheet) is None


def test_the_bad_lines_of_a_log_are_named(bench: Bench, program: Program) -> None:
    answer = program.upload(f"sheets/{bench.sheet.pk}/logs", LOG + b"60;over;-20\n61;;-20\n")
    named = answer.json()["errors"]["file"]
    assert answer.status_code == 422 and len(named) == 2
    assert named[0].startswith("Line 62: the voltage") and named[1] == "Line 63: the voltage is empty."


def test_a_missing_field_is_named_with_what_to_do(bench: Bench, program: Program) -> None:
    errors = program.ask("POST", "sheets", {}).json()["errors"]
    assert errors["title"] == ["“title” is missing or empty. Send it with a value."]
    record = {name: value for name, value in windings(bench).items() if name != "uv_milliohm"}
    errors = program.ask("POST", records_of(bench), record).json()["errors"]
    assert errors == {"uv_milliohm": ["“U–V” is empty. Type the figure, in milliohm."]}


def test_a_correction_names_what_it_replaces_and_happens_once(bench: Bench, program: Program) -> None:
    old = program.ask("POST", records_of(bench), windings(bench)).json()
    new = program.ask("POST", f"records/{old['id']}/correction", windings(bench, uv_milliohm=93.7)).json()
    assert new["replaces"] == old["id"]
    assert program.get(f"records/{old['id']}")["corrected_by"] == new["id"]
    again = program.ask("POST", f"records/{old['id']}/correction", windings(bench, uv_milliohm=93.8))
    assert again.status_code == 409 and Record.objects.count() == 2


def test_if_match_refuses_a_write_on_what_was_not_seen(bench: Bench, program: Program) -> None:
    seen = program.ask("GET", f"sheets/{bench.sheet.pk}")["ETag"]
    assert program.ask("POST", records_of(bench), windings(bench), if_match=seen).status_code == 201
    assert program.ask("POST", records_of(bench), windings(bench), if_match=seen).status_code == 412


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"uv_milliohm": None}, "uv_milliohm"),
        ({"uv_milliohm": "ninety"}, "uv_milliohm"),
        ({"uv_milliohm": True}, "uv_milliohm"),
        ({"uv_milliohm": -1}, "uv_milliohm"),
        ({"uv_milliohm": 1e30}, "uv_milliohm"),
        ({"leads_milliohm": "0.4"}, "leads_milliohm"),
        ({"state": "live"}, "state"),
        ({"subject": 1}, "subject"),
        ({"stood_by": 10**30}, "stood_by"),
        ({"instrument_range": 999_999}, "instrument_range"),
        ({"taken_by": 999_999}, "taken_by"),
        ({"workshop": 1}, "workshop"),
        ({"verdict": "within"}, "verdict"),
        ({"kind": "nonsense"}, "kind"),
        ({"kind": ["machine_windings"]}, "kind"),
        ({"remark": "x" * 1001}, "remark"),
    ],
    ids=str,
)
def test_a_value_that_can_not_be_is_422_and_named(
    bench: Bench, program: Program, change: dict[str, Any], field: str
) -> None:
    answer = program.ask("POST", records_of(bench), windings(bench) | change)
    assert answer.status_code == 422 and list(answer.json()["errors"]) == [field], answer.content
    assert answer["Content-Type"] == "application/problem+json" and not Record.objects.exists()


@pytest.mark.parametrize(
    ("body", "status"),
    [
        (b"{", 400), (b"[]", 400), (b'"x"', 400), (b"null", 400), (b'{"kind": NaN}', 400),
        (b"[" * 100_000, 400), (b'{"a":' * 30 + b"1" + b"}" * 30, 400), (b"\xff\xfe", 400),
        (b'{"remark": "\\ud800"}', 400), (b'{"remark": "\\u0000"}', 400), (b'{"kind": ' + b"9" * 5000 + b"}", 400),
        (b" " * 1_000_001, 413),
    ],
    ids=["half", "list", "text", "null", "NaN", "deep list", "deep object", "no UTF-8", "half a pair", "NUL",
         "huge figure", "too long"],
)  # fmt: skip
def test_a_body_that_is_none_is_refused_with_a_sentence(
    bench: Bench, program: Program, body: bytes, status: int
) -> None:
    answer = program.ask("POST", records_of(bench), body)
    assert answer.status_code == status and answer.json()["detail"], answer.content


def test_a_page_that_is_not_there_is_404(bench: Bench, program: Program) -> None:
    for page in ("0", "-1", "2", "x", "9" * 40):
        assert program.ask("GET", f"{records_of(bench)}?page={page}").status_code == 404


def test_lists_come_in_pages_and_by_verdict(bench: Bench, program: Program) -> None:
    for _n in range(3):
        program.ask("POST", records_of(bench), windings(bench))
    program.ask("POST", records_of(bench), windings(bench, instrument_range=None))
    first = program.get(f"{records_of(bench)}?per_page=3")
    assert first["count"] == 4 and len(first["results"]) == 3 and "page=2" in first["next"]
    assert [one["sequence"] for one in program.get(f"{records_of(bench)}?verdict=unproven")["results"]] == [4]


# Done once


def test_the_same_key_gives_the_same_answer_and_one_record(bench: Bench, program: Program) -> None:
    first, second = (program.ask("POST", records_of(bench), windings(bench), idempotency_key="k-1") for _n in range(2))
    assert (first.status_code, second.status_code) == (201, 201) and first.json() == second.json()
    assert second["Idempotent-Replayed"] == "true" and Record.objects.count() == 1


def test_the_same_key_with_another_body_or_path_is_422(bench: Bench, program: Program) -> None:
    program.ask("POST", records_of(bench), windings(bench), idempotency_key="k-1")
    other = program.ask("POST", records_of(bench), windings(bench, uv_milliohm=93.7), idempotency_key="k-1")
    elsewhere = program.ask("POST", "sheets", {"title": "Another"}, idempotency_key="k-1")
    assert (other.status_code, elsewhere.status_code) == (422, 422)
    assert (Record.objects.count(), Sheet.objects.count()) == (1, 1)


def test_after_a_refusal_the_key_may_be_used_with_the_mended_body(bench: Bench, program: Program) -> None:
    refused = program.ask("POST", records_of(bench), windings(bench, uv_milliohm=-1), idempotency_key="k-1")
    mended = program.ask("POST", records_of(bench), windings(bench), idempotency_key="k-1")
    assert (refused.status_code, mended.status_code, Record.objects.count()) == (422, 201, 1)


def test_what_a_program_added_is_an_event_with_its_token(bench: Bench, program: Program) -> None:
    added = program.ask("POST", records_of(bench), windings(bench)).json()
    event = Event.objects.get(verb="record_added", subject_id=added["id"])
    assert event.facts == {"token": program.token.pk} and event.workshop == bench.workshop


def test_evidence_of_members_is_read_by_serial_number(bench: Bench, program: Program) -> None:
    sheet = bench.sheet
    sheet.part_serial = "LN27-104"
    sheet.save()
    program.ask("POST", records_of(bench), windings(bench))
    make_shared_sheet(bench.ilse, bench.sheet, serial="whole")
    [found] = program.get("shared-sheets?serial=ln27104")["results"]
    assert found["copy"]["records"][0]["hash"] == bench.sheet.last_hash and found["holds"]
    assert program.get(f"shared-sheets/{found['id']}") == found


def test_values_keep_their_meaning_on_the_way_through(bench: Bench, program: Program) -> None:
    """What is stored is what `SOUND` holds: no digit is lost between JSON, form and record."""
    kind = all_kinds()["vehicle_isolation"]
    values = program.ask("POST", records_of(bench), sound_body(bench, kind)).json()["values"]
    wanted = {name: as_json(value) for name, value in SOUND[kind.code].values.items() if value is not None}
    assert {name: values[name] for name in wanted} == wanted
