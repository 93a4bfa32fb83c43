"""What is stated of a number or a revision is put right: by whom, with what stood before, and confirmed by a second."""

import pytest

from diagnostics.models import SystemFamily
from network.access import acting_for
from network.models import Event, Workshop
from parts import correcting, entering, watching
from parts.models import Correction, PartNumber, PartRevision, Watch
from parts.watching import watchers_of
from tests.cast import make_family, make_number, make_request
from tests.parts.conftest import told


@pytest.fixture
def number(board):
    return make_number(board.asker, "LN 27 410-0", families=[make_family(board.asker.workshop)])


@pytest.fixture
def revision(board, number):
    made = PartRevision(part_number=number, name="Two dots", dots=2)
    return entering.enter_revision(revision=made, photos=[], by=board.asker)


def correct(row, by, *, families=None, why="read wrongly", seen="", **words):
    fresh = PartNumber.objects.get(pk=row.pk)
    seen = seen or correcting.sign_of_number(fresh)
    families = list(fresh.families.all()) if families is None else families
    for name, text in words.items():
        setattr(fresh, name, text)
    return correcting.correct_number(number=fresh, families=families, why=why, seen=seen, by=by)


def correct_revision(revision, by, seen="", **words):
    fresh = PartRevision.objects.get(pk=revision.pk)
    seen = seen or correcting.sign_of_revision(fresh)
    for name, text in words.items():
        setattr(fresh, name, text)
    return correcting.correct_revision(revision=fresh, why="looked again", seen=seen, by=by)


def test_any_member_puts_right_what_it_is_and_the_earlier_words_stay(board, number):
    other = make_family(board.asker.workshop, name="Kestrel (LN 40)")
    kept = correct(number, board.rureifel, kind="charger", description="Charger", families=[other])
    number.refresh_from_db()
    assert (number.kind, list(number.families.all())) == ("charger", [other])
    assert kept.earlier == {
        "kind": "inverter", "description": "Inverter with two machine stages",
        "families": [str(SystemFamily.objects.exclude(pk=other.pk).get())],
    }  # fmt: skip
    (event,) = Event.objects.filter(verb="part_number_corrected")
    assert (event.by, event.facts) == (board.rureifel.person, {"fields": ["description", "families", "kind"]})
    (line,) = correcting.history(number, shown_to=board.moutfort.workshop)
    assert ("what kind of part", "inverter") in line.earlier
    assert line.person == ""
    with pytest.raises(correcting.NothingDiffers):
        correct(number, board.rureifel)


def test_the_printed_number_is_its_workshops_to_correct_until_others_build_on_it(board, number):
    with pytest.raises(correcting.NotYours):
        correct(number, board.rureifel, number="LN 27 411-0")
    correct(number, board.asker, number="LN 27 411-0")
    assert PartNumber.objects.called("ln274110").get() == number
    entering.enter_revision(
        revision=PartRevision(part_number=number, name="Grey", connector_colour="grey"), photos=[], by=board.rureifel
    )
    with pytest.raises(correcting.NotYours):
        correct(number, board.asker, number="LN 27 412-0")
    make_number(board.rureifel, "LN 27 500-0")
    mine = make_number(board.asker, "LN 27 501-0")
    with pytest.raises(entering.KnownAlready):
        correct(mine, board.asker, number="LN 27 500 0")
    assert not mine.corrections.exists()


def test_of_two_corrections_of_the_same_words_the_second_is_told(board, number):
    read = correcting.sign_of_number(number)
    correct(number, board.rureifel, description="Inverter, first series")
    with pytest.raises(correcting.CorrectedMeanwhile):
        correct(number, board.moutfort, description="Converter", seen=read)
    assert Correction.objects.count() == 1


def test_a_second_workshop_confirms_a_revision_and_a_correction_ends_that_and_tells_it(board, revision):
    read = correcting.sign_of_revision(revision)
    assert not correcting.confirm_revision(revision=revision, seen=read, by=board.colleague)
    assert correcting.confirm_revision(revision=revision, seen=read, by=board.rureifel)
    assert not correcting.confirm_revision(revision=revision, seen=read, by=board.moutfort)
    with pytest.raises(correcting.NotYours):
        correct_revision(revision, board.rureifel, dots=1)
    kept = correct_revision(revision, board.colleague, dots=1, board_print="CB-4")
    revision.refresh_from_db()
    assert (revision.dots, revision.confirmed_at) == (1, None)
    assert (kept.earlier, kept.was_confirmed_by) == ({"dots": 2, "board_print": ""}, board.rureifel.workshop)
    assert told("revision_corrected") == {"Anke Brockhausen"}
    with pytest.raises(correcting.CorrectedMeanwhile):
        correcting.confirm_revision(revision=revision, seen=read, by=board.moutfort)


def test_anybody_puts_a_revision_right_once_its_workshop_has_left(board, revision):
    Workshop.objects.filter(pk=board.asker.workshop_id).update(state="suspended")
    correct_revision(revision, board.moutfort, dots=3)


def test_the_pages_show_what_stood_and_keep_what_was_typed_where_somebody_was_first(board, revision, client_of):
    asker, rureifel = client_of(board.asker), client_of(board.rureifel)
    number, path = revision.part_number, f"/revisions/{revision.pk}/correct/"
    assert rureifel.get(path).status_code == 404
    form = asker.get(path).context["form"]
    sent = {**{f.name: f.value() for f in form if f.value() is not None}, "dots": "1", "reason": "looked again"}
    assert asker.post(path, sent).status_code == 302
    late = asker.post(path, sent | {"dots": "4"})
    assert late.status_code == 409
    assert "Somebody corrected it meanwhile" in late.content.decode()
    assert asker.post(path, sent | {"dots": "4", "seen": late.context["form"]["seen"].value()}).status_code == 302
    page = rureifel.get(f"/numbers/{number.pk}/").content.decode()
    assert "dots on the label, before: 2" in page
    assert "dots on the label, before: 1" in page
    seen = rureifel.get(f"/numbers/{number.pk}/").context["known"].plates[0].sign
    rureifel.post(f"/revisions/{revision.pk}/confirm/", {"seen": seen})
    assert "confirmed by Hybridwerk Rureifel" in asker.get(f"/board/{board.request.pk}/").content.decode()


def test_a_number_of_others_keeps_its_print_whatever_is_sent(board, number, client_of):
    rureifel, path = client_of(board.rureifel), f"/numbers/{number.pk}/correct/"
    seen = rureifel.get(path).context["form"]["seen"].value()
    sent = {"number": "XX 1", "maker": "Marsk", "kind": "charger", "description": "Charger", "seen": seen}
    assert rureifel.post(path, sent).status_code == 422
    assert rureifel.post(path, sent | {"reason": "it charges"}).status_code == 302
    number.refresh_from_db()
    assert (number.number, number.maker, number.kind) == ("LN 27 410-0", "Lanner", "charger")
    assert not number.families.exists()


def test_a_request_is_found_and_watched_by_what_is_known_of_its_number(board, number, client_of):
    asked = make_request(board.asker, number="ln 27 410 0")
    plain = make_request(board.asker, number="", description="A pump")
    family = number.families.get()
    with acting_for(board.rureifel.workshop):
        watching.watch(wanted=Watch(part_kind="inverter", family=family), by=board.rureifel)
    assert asked.part_kind == "inverter"
    assert watchers_of(asked) == [board.rureifel.person_id]
    assert watchers_of(plain) == []
    rureifel = client_of(board.rureifel)
    for query in ("kind=inverter", f"family={family.pk}", f"kind=inverter&family={family.pk}"):
        page = rureifel.get(f"/board/?{query}")
        found = {one.pk for one in page.context["page"]}
        assert asked.pk in found
        assert plain.pk not in found
    assert "Be told when such a part" in page.content.decode()
    watch = rureifel.get(f"/watches/?part_kind=inverter&family={family.pk}").context["form"]
    assert (watch["part_kind"].value(), watch["family"].value()) == ("inverter", str(family.pk))
