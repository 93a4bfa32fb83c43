"""Questions under a request, watching the board, and lapsing politely."""

import datetime

import pytest
from django.core.management import call_command
from django.utils import timezone

from diagnostics.models import SystemFamily
from network.access import acting_for
from network.models import Notice
from parts import asking_back, lapsing, sourcing, watching
from parts.models import PartRequest, Watch
from tests.cast import make_answer, make_family, make_member, make_region, make_request
from tests.parts.conftest import told


def ask(board, text="How many pins?", by=None, **more):
    return asking_back.ask(request=board.request, text=text, by=by or board.rureifel, **more)


def test_a_question_is_told_to_whoever_asks_and_the_reply_to_whoever_put_it(board):
    question = ask(board)
    assert told("question_asked") == {"Ilse Vandamme"}
    ask(board, "Twelve.", board.colleague, replies_to=question)
    assert told("question_replied") == {"Ilse Vandamme", "Anke Brockhausen"}


def test_a_question_of_whoever_asks_goes_to_those_who_answered(board):
    make_answer(board.request, board.moutfort)
    ask(board, "Is it still there?", board.asker)
    assert told("question_asked") == {"Claude Moutfort"}


def test_everybody_who_sees_the_request_reads_question_and_reply(board, client_of):
    path = f"/board/{board.request.pk}/"
    client_of(board.rureifel).post(f"{path}questions/", {"text": "How many pins?"})
    question = board.request.questions.get()
    client_of(board.asker).post(f"{path}questions/", {"text": "Twelve.", "replies_to": question.pk})
    page = client_of(board.moutfort).get(path).content.decode()
    assert page.index("How many pins?") < page.index("Twelve.")


@pytest.mark.parametrize("text", ["", "  ", "\0", "ring +49 30 23125 900", "x" * 1001])
def test_a_question_that_cannot_stand_there_is_refused_and_kept(board, client_of, text):
    page = client_of(board.rureifel).post(f"/board/{board.request.pk}/questions/", {"text": text})
    assert page.status_code == 422 and not board.request.questions.exists()


def test_a_reply_to_a_reply_or_to_another_request_is_refused(board):
    question, other = ask(board), make_request(board.asker)
    reply = ask(board, "Twelve.", board.asker, replies_to=question)
    for wrong in ({"request": board.request, "replies_to": reply}, {"request": other, "replies_to": question}):
        with pytest.raises(asking_back.Closed):
            asking_back.ask(text="And?", by=board.rureifel, **wrong)


# Watching


@pytest.fixture
def technician(board):
    """Of Hybridwerk Rureifel: not a manager, so only told of what they watch for."""
    return make_member(board.rureifel.workshop, name="Tim Technik")


def watch(member, **wanted):
    with acting_for(member.workshop):
        return watching.watch(wanted=Watch(**wanted), by=member)


WANTED = [
    ({"part_kind": "inverter"}, True), ({"part_kind": "machine"}, False),
    ({"family": "theirs"}, True), ({"family": "other"}, False),
    ({"region": "meuse"}, True), ({"region": "rur"}, False),
    ({"part_kind": "inverter", "family": "other"}, False),
    ({"part_kind": "inverter", "family": "theirs", "region": "meuse"}, True),
]  # fmt: skip


@pytest.mark.parametrize(("wanted", "is_told"), WANTED)
def test_whoever_watches_is_told_where_all_that_they_named_fits(board, technician, wanted, is_told):
    families = {"theirs": make_family(board.asker.workshop), "other": make_family(board.asker.workshop, name="Tarsis")}
    named = {"family": families.get(wanted.get("family"))}
    if "region" in wanted:
        named["region"] = make_region(wanted["region"])
    watch(technician, **wanted | named)
    Notice.objects.all().delete()
    make_request(board.asker, part_kind="inverter", family=families["theirs"])
    assert ("Tim Technik" in told("part_asked")) is is_told


def test_a_watch_shows_no_request_that_is_not_sent_to_the_own_region(board, technician):
    watch(technician, part_kind="inverter")
    Notice.objects.all().delete()
    make_request(board.asker, [make_region("mosel")], part_kind="inverter")
    assert told("part_asked") == {"Claude Moutfort"}


def test_a_request_that_names_no_kind_fits_no_watch_for_a_kind(board, technician):
    watch(technician, part_kind="inverter")
    Notice.objects.all().delete()
    make_request(board.asker)
    assert "Tim Technik" not in told("part_asked")


def test_the_same_watch_twice_is_one_and_it_can_be_stopped(board, technician, client_of):
    client = client_of(technician)
    for _twice in range(2):
        assert client.post("/watches/", {"part_kind": "machine"})["Location"] == "/watches/"
    with acting_for(technician.workshop):
        assert Watch.objects.count() == 1
        key = Watch.objects.get().pk
    assert client_of(board.rureifel).post(f"/watches/{key}/stop/").status_code == 404  # a colleague's is not one's own
    client.post(f"/watches/{key}/stop/")
    assert "Name the first one below" in client.get("/watches/").content.decode()
    refused = client.post("/watches/", {})
    assert refused.status_code == 422 and "Constraint" not in refused.content.decode()
    assert refused.context["form"].non_field_errors()[0].startswith("Name a family")


def test_nobody_watches_for_more_than_one_can_follow(board, technician, monkeypatch):
    monkeypatch.setattr(watching, "MOST", 1)
    watch(technician, part_kind="machine")
    with pytest.raises(watching.TooMany):
        watch(technician, part_kind="inverter")
    assert SystemFamily.objects.count() == 0


# Lapsing


def in_days(days):
    return timezone.localdate() + datetime.timedelta(days=days)


def test_a_request_lapses_after_it_was_told_five_days_before(board, time_machine):
    make_answer(board.request, board.rureifel)
    assert lapsing.look_after() == (0, 0)
    time_machine.move_to(timezone.now() + datetime.timedelta(days=25, minutes=1))
    assert (lapsing.look_after(), lapsing.look_after()) == ((1, 0), (0, 0))
    assert told("request_lapses_soon") == {"Ilse Vandamme"}
    time_machine.move_to(timezone.now() + datetime.timedelta(days=5, minutes=1))
    assert (lapsing.look_after(), lapsing.look_after()) == ((0, 1), (0, 0))
    board.request.refresh_from_db()
    assert (board.request.state, board.request.answers.get().state) == ("lapsed", "not_chosen")
    assert told("request_lapsed") == {"Ilse Vandamme", "Anke Brockhausen"}


def test_where_the_clock_stood_still_it_is_still_told_five_days_before(board, time_machine):
    time_machine.move_to(timezone.now() + datetime.timedelta(days=60))
    assert lapsing.look_after() == (1, 0)
    time_machine.move_to(timezone.now() + datetime.timedelta(days=4))
    assert lapsing.look_after() == (0, 0)


def test_a_prolonged_request_waits_another_month_and_is_told_again(board, client_of, capsys):
    PartRequest.objects.update(lapses_on=in_days(2))
    call_command("lapse_requests")
    assert capsys.readouterr().out == "1 told, 0 lapsed\n"
    path = f"/board/{board.request.pk}/"
    assert "lapses on" in client_of(board.asker).get(path).content.decode()
    client_of(board.colleague).post(f"{path}prolong/")
    board.request.refresh_from_db()
    assert (board.request.lapses_on, board.request.lapse_told_at) == (in_days(30), None)


def test_what_is_settled_neither_lapses_nor_is_prolonged(board):
    sourcing.accept(answer=make_answer(board.request, board.rureifel), by=board.asker)
    PartRequest.objects.update(lapses_on=in_days(-40))
    assert lapsing.look_after() == (0, 0)
    assert not lapsing.prolong(request=board.request, by=board.asker)
    assert not lapsing.prolong(request=make_request(board.asker), by=board.moutfort)
