"""Who sees what on the board: foreign and missing are the same 404."""

import pytest

from parts.models import Answer, PartRequest
from tests.cast import make_administrator, make_answer, make_member, make_region, make_request, make_workshop


def seen_by(membership):
    return set(PartRequest.objects.visible_to(membership))


def test_a_request_is_seen_in_its_regions_and_by_whoever_asked(board):
    quiet = make_request(board.asker, [make_region("rur")])
    for membership, sees in ((board.asker, True), (board.colleague, True), (board.rureifel, True)):
        assert (quiet in seen_by(membership)) is sees
    assert quiet not in seen_by(board.moutfort)


def test_another_region_and_a_missing_request_are_the_same_404(board, client_of):
    quiet = make_request(board.asker, [make_region("rur")])
    client = client_of(board.moutfort)
    foreign, missing = client.get(f"/board/{quiet.pk}/"), client.get(f"/board/{quiet.pk + 999}/")
    assert (foreign.status_code, missing.status_code) == (404, 404)
    assert client.post(f"/board/{quiet.pk}/answer/", {}).status_code == 404
    assert quiet.number not in foreign.content.decode()


def test_requests_of_a_suspended_workshop_drop_out(board):
    assert board.request in seen_by(board.rureifel)
    board.asker.workshop.suspend(by=make_administrator(), reason="Insurance ran out.")
    assert board.request not in seen_by(board.rureifel)


def test_whoever_asked_sees_all_answers_and_whoever_answers_only_their_own(board):
    ours, theirs = make_answer(board.request, board.rureifel), make_answer(board.request, board.moutfort)
    assert set(Answer.objects.visible_to(board.asker)) == {ours, theirs}
    assert set(Answer.objects.visible_to(board.rureifel)) == {ours}


def test_no_page_shows_the_answer_of_another_workshop(board, client_of):
    make_answer(board.request, board.rureifel, "340.00", remark="canary-of-rureifel")
    make_answer(board.request, board.moutfort, "555.00", remark="canary-of-moutfort")
    page = client_of(board.moutfort).get(f"/board/{board.request.pk}/").content.decode()
    assert "canary-of-moutfort" in page
    assert "canary-of-rureifel" not in page and "340.00" not in page


def test_what_was_seen_on_receipt_is_for_the_two_sides(board, client_of):
    answer = make_answer(board.request, board.rureifel)
    client = client_of(board.asker)
    client.post(f"/answers/{answer.pk}/accept/")
    client.post(
        f"/board/{board.request.pk}/receive/",
        {"number_as_ordered": "yes", "marks_as_ordered": "no", "as_described": "yes", "remark": "canary-on-receipt"},
    )
    pages = [client_of(one).get(f"/board/{board.request.pk}/") for one in (board.asker, board.rureifel, board.moutfort)]
    assert ["canary-on-receipt" in page.content.decode() for page in pages] == [True, True, False]


@pytest.mark.parametrize("action", ["receive", "withdraw"])
def test_a_member_of_the_region_cannot_act_on_anothers_request(board, client_of, action):
    assert client_of(board.rureifel).post(f"/board/{board.request.pk}/{action}/").status_code == 404


def test_a_huge_number_in_the_address_is_a_404(board, client_of):
    client = client_of(board.asker)
    for path in (f"/board/{'9' * 30}/", f"/answers/{'9' * 30}/accept/"):
        assert client.post(path).status_code in (404, 405)
        assert client.get(path).status_code in (404, 405)


def test_two_regions_of_one_member_list_a_request_once(board):
    both = make_workshop("Garage Sûre", region=make_region("mosel"))
    assert list(PartRequest.objects.visible_to(make_member(both))) == [board.request]
