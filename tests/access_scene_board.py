"""The rows of the sourcing board that `tests/access_matrix_board.py` names, and what is typed there."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.utils import timezone

from network.access import acting_for
from network.models import Membership
from parts import asking_back, sending, shelf, sourcing, watching
from parts.models import Answer, PartRequest, ShelfUpload, Watch
from parts.shelf_table import Table
from tests import cast as made
from tests.cast import Cast

BORDER_RATE = {
    "from_country": "ch", "into_country": "BE", "duty_percent": "2.7", "tax_percent": "21", "carriage_in_value": "on",
    "uplift_percent": "0", "fee": "14.50", "duty_free_up_to": "150", "currency": "EUR", "valid_from": "2026-01-01",
    "source": "tariff of the example, heading 8504",
}  # fmt: skip
PAYLOADS: dict[str, dict[str, Any]] = {
    "border_rate": BORDER_RATE,
    "sent": {"carrier": "Maasbode", "tracking": "MB 11"},
    "core": {"as_described": "yes"},
    "deposit": {"given_back": "180"},
    "question": {"text": "Is the coolant pipe with it?"},
    "reply_to_nothing": {"text": "Yes.", "replies_to": str(987_654_321)},
    "watch": {"part_kind": "machine"},
    "columns": {"number": "0"},
}


def board_rows(cast: Cast, third: Membership) -> dict[str, dict[str, Any]]:
    """Requests seen by both, by one, settled, withdrawn; and answers to each."""
    a, b = cast.technician, cast.member_of_b
    asked = {
        "request_of_a": made.make_request(a),
        "request_of_b": made.make_request(b),
        "request_of_c": made.make_request(third),
        "fresh_request_of_a": made.make_request(a),
        "fresh_request_of_b": made.make_request(b),
        "quiet_request_of_a": made.make_request(a, [a.workshop.region], remark="only for the Meuse"),
        "quiet_request_of_b": made.make_request(b, [b.workshop.region], remark="only for the Rur"),
        "accepted_request_of_a": made.make_request(a),
        "accepted_request_of_b": made.make_request(b),
    }
    answers = {
        "answer_of_b_to_a": made.make_answer(asked["request_of_a"], b),
        "answer_of_a_to_b": made.make_answer(asked["request_of_b"], a),
        "answer_of_b_to_c": made.make_answer(asked["request_of_c"], b, remark="for C alone"),
        "taken_answer_of_b_to_a": made.make_answer(asked["accepted_request_of_a"], b),
        "taken_answer_of_a_to_b": made.make_answer(asked["accepted_request_of_b"], a),
    }
    asked |= {"lapsed_request_of_a": made.make_request(a)}
    PartRequest.objects.filter(pk=asked["lapsed_request_of_a"].pk).update(state="lapsed")
    for name, steps in (("received", 0), ("core_sent", 1), ("core_seen", 2)):
        answers[f"{name}_answer_of_b_to_a"] = _core_way(a, b, steps)
    question = asking_back.ask(request=asked["quiet_request_of_b"], text="How many pins?", by=b)
    sourcing.accept(answer=answers["taken_answer_of_b_to_a"], by=a)
    sourcing.accept(answer=answers["taken_answer_of_a_to_b"], by=b)
    watches = {f"watch_of_{letter}": _watch(member) for letter, member in (("a", a), ("b", b))}
    shelves = {f"shelf_upload_of_{letter}": _shelf(member) for letter, member in (("a", a), ("b", b))}
    rows = asked | answers | watches | shelves | {"question_of_b": question}
    return {name: {"pk": row.pk} for name, row in rows.items()}


def _shelf(member: Membership) -> ShelfUpload:
    """A list in use, and another that waits for its columns to be named."""
    table = Table(headers=["Part number", "Place"], rows=[(2, ["TH 31 902-9", "Rack 4"])])
    with acting_for(member.workshop):
        first = shelf.put_aside(name="shelf.csv", table=table, by=member)
        shelf.take_in(upload=first, columns={"number": 0, "place": 1}, by=member)
        return shelf.put_aside(name="newer.csv", table=table, by=member)


def _watch(member: Membership) -> Watch:
    with acting_for(member.workshop):
        return watching.watch(wanted=Watch(part_kind="inverter"), by=member)


def _core_way(a: Membership, b: Membership, steps: int) -> Answer:
    """B's part was received by A; the core is not sent yet, on its way, or looked at."""
    request = made.make_request(a)
    answer = made.make_answer(request, b, core_deposit=Decimal(180), core_criteria="housing whole", core_days=20)
    sourcing.accept(answer=answer, by=a)
    sourcing.receive(request=request, by=a, number_as_ordered=True, marks_as_ordered=True, remark="")
    today = timezone.localdate()
    if steps:
        sending.send_core(answer=answer, by=a, sent_on=today, carrier="Maasbode")
    if steps > 1:
        sending.look_at_core(answer=answer, by=b, arrived_on=today, as_described=True)
    return answer
