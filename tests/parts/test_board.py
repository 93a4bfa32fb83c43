"""The page of the board: its sentence, its search and filters, and how many queries it costs."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests.cast import make_answer, make_region, make_request

NUMBERS = [
    "XLN 27 410-0",
    "LN 27 410-01",
    "LN 27 411-0",
    "LN 27 41O-0",
]  # beside the "LN 27 410-0" of the cast; the last has a letter O


def shown(response):
    return [one.number for one in response.context["page"]]


def test_the_first_sentence_counts_what_waits_for_the_members_region(board, client_of):
    make_request(board.asker, [make_region("mosel")], number="LN 27 418")
    page = client_of(board.rureifel).get("/board/").content.decode()
    assert "<strong>One request</strong> waits for an answer from your region." in page
    make_answer(board.request, board.rureifel)
    assert "<strong>0 requests</strong>" in client_of(board.rureifel).get("/board/").content.decode()


def test_a_number_is_found_exact_then_beginning_then_contained(board, client_of):
    for number in NUMBERS:
        make_request(board.asker, number=number)
    client = client_of(board.rureifel)
    assert shown(client.get("/board/", {"q": "ln27-4100"})) == ["LN 27 410-0", "LN 27 410-01", "XLN 27 410-0"]
    assert shown(client.get("/board/", {"q": "LN2741O"})) == ["LN 27 41O-0"]


@pytest.mark.parametrize(
    ("wanted", "found"), [("2741", 1), ("inverter with", 1), ("zz", 0), ("%", 0), ("_", 0), ("--", 0), ("\0", 1)]
)
def test_search_takes_any_text(board, client_of, wanted, found):
    assert len(shown(client_of(board.rureifel).get("/board/", {"q": wanted}))) == found


def test_the_board_is_filtered_by_state_and_by_whose(board, client_of):
    answered = make_request(board.asker, number="LN 27 418")
    make_answer(answered, board.rureifel)
    client = client_of(board.rureifel)
    make_request(board.rureifel, number="TH 31 902")
    assert shown(client.get("/board/", {"whose": "answered"})) == ["LN 27 418"]
    assert shown(client.get("/board/", {"whose": "unanswered"})) == ["LN 27 410-0"]
    assert shown(client.get("/board/", {"whose": "ours"})) == ["TH 31 902"]
    assert shown(client.get("/board/", {"state": "received"})) == []
    assert len(shown(client.get("/board/", {"state": "all"}))) == 3


def test_numbers_of_answers_are_shown_for_the_own_requests_only(board, client_of):
    make_answer(board.request, board.rureifel)
    make_answer(board.request, board.moutfort)
    assert "2 answers" in client_of(board.colleague).get("/board/").content.decode()
    assert "2 answers" not in client_of(board.rureifel).get("/board/").content.decode()


@pytest.mark.parametrize("page", ["-1", "0", "9e99", "nan", "9" * 5000, "\0", ""])
def test_any_page_number_is_answered(board, client_of, page):
    assert client_of(board.asker).get("/board/", {"page": page}).status_code == 200


def test_the_page_costs_the_same_queries_at_one_row_and_at_many(board, client_of):
    client = client_of(board.colleague)
    few = queries_of(client, "/board/?state=all&q=27")
    for number in range(40):
        make_answer(make_request(board.asker, number=f"LN 27 {number:03d}"), board.rureifel)
    many = queries_of(client, "/board/?state=all&q=27")
    assert len(client.get("/board/").context["page"]) == 25
    assert few <= many <= 12


def test_the_page_of_a_request_costs_at_most_twelve_queries(board, client_of):
    make_answer(board.request, board.rureifel)
    make_answer(board.request, board.moutfort)
    assert queries_of(client_of(board.asker), f"/board/{board.request.pk}/") <= 12


def queries_of(client, path):
    with CaptureQueriesContext(
        connection,
    ) as caught:
        assert client.get(path).status_code == 200
    return len(caught)
