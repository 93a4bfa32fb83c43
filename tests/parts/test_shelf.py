"""Shelf lists: taken in whole or not at all, within bounds, matched at once, and nobody else's to see."""

import io
import zipfile

import polars
import pytest
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import SimpleUploadedFile
from openpyxl import Workbook

from network.access import acting_for
from network.models import Event, Notice
from parts import shelf, shelf_table, superseding
from parts.models import PartRequest, ShelfItem, ShelfUpload, Supersession
from tests.cast import make_administrator, make_number, make_region, make_request
from tests.parts.conftest import told

LIST = 'Teilenummer;Bezeichnung;Menge;Lagerort\nLN 27-410.0;Inverter;2;Rack 4\nth 31 902;"Stage; one machine";;\n'


def file(data, name="shelf.csv"):
    return SimpleUploadedFile(name, data if isinstance(data, bytes) else data.encode())


def book(*rows):
    made, written = Workbook(), io.BytesIO()
    for row in rows:
        made.active.append(row)
    made.save(written)
    return written.getvalue()


def read(data):
    table = shelf_table.read_table(file(data))
    return [table.headers, *[cells for _line, cells in table.rows]]


@pytest.fixture
def stocked(board):
    """Hybridwerk Rureifel has the inverter on its shelf."""
    with acting_for(board.rureifel.workshop):
        upload = shelf.put_aside(name="shelf.csv", table=shelf_table.read_table(file(LIST)), by=board.rureifel)
        shelf.take_in(upload=upload, columns={"number": 0, "description": 1, "quantity": 2, "place": 3},
                      by=board.rureifel)  # fmt: skip
    Notice.objects.all().delete()
    return board


WRITTEN = {
    "semicolons": LIST.encode(),
    "commas": LIST.replace("Stage; one", "Stage one").replace(";", ",").encode(),
    "tabs": LIST.replace("Stage; one", "Stage one").replace(";", "\t").encode(),
    "a mark before UTF-8": b"\xef\xbb\xbf" + LIST.encode(),
    "UTF-16": LIST.encode("utf-16"),
    "lone carriage returns": LIST.replace("\n", "\r").encode(),
}


@pytest.mark.parametrize("way", WRITTEN)
def test_a_list_is_read_however_it_was_written(way):
    headers, first, second = read(WRITTEN[way])
    assert (headers, first) == (["Teilenummer", "Bezeichnung", "Menge", "Lagerort"],
                                ["LN 27-410.0", "Inverter", "2", "Rack 4"])  # fmt: skip
    assert second[1].replace(";", "") == "Stage one machine"


def test_a_csv_is_read_as_polars_reads_it():
    theirs = polars.read_csv(io.BytesIO(LIST.encode()), separator=";", infer_schema=False).fill_null("")
    assert read(LIST.encode())[1:] == [list(row) for row in theirs.rows()]


def test_a_spreadsheet_is_read_with_its_figures_as_they_are_printed():
    rows = read(book(["Part number", "Pieces"], [27418, 2.0], ["LN 27 410-0", None], [None, None]))
    assert rows == [["Part number", "Pieces"], ["27418", "2"], ["LN 27 410-0", ""]]


def packed(**members):
    written = io.BytesIO()
    with zipfile.ZipFile(written, "w", zipfile.ZIP_DEFLATED) as zipped:
        for name, data in members.items():
            zipped.writestr(name, data)
    return written.getvalue()


def with_entities():
    """A workbook whose texts unfold to a milliard of letters (a well-known trick with entities of XML)."""
    laughs = "".join(f'<!ENTITY l{n} "{f"&l{n - 1};" * 10}">' for n in range(1, 10))
    texts = f'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY l0 "ha">{laughs}]><worksheet>&l9;</worksheet>'
    whole, written = zipfile.ZipFile(io.BytesIO(book(["Part number"], ["LN"]))), io.BytesIO()
    with zipfile.ZipFile(written, "w", zipfile.ZIP_DEFLATED) as zipped:
        for one in whole.namelist():
            zipped.writestr(one, texts if one.endswith("sheet1.xml") else whole.read(one))
    return written.getvalue()


REFUSED = {
    "nothing": (b"", "no row below"),
    "headers alone": (b"number;pieces\n", "no row below"),
    "too large": (b"x" * (shelf_table.LARGEST_FILE_BYTES + 1), "larger than 5 MB"),
    "large when unpacked": (packed(a=b"0" * (shelf_table.LARGEST_UNPACKED_BYTES + 1)), "when unpacked"),
    "no spreadsheet": (packed(a=b"0"), "can’t be read"),
    "a torn spreadsheet": (book(["Part number"], ["LN"])[:900], "can’t be read"),
    "entities": (with_entities(), "can’t be read"),
    "a picture": (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "neither a CSV"),
    "too many rows": (b"n\n" + b"1\n" * (shelf_table.MOST_ROWS + 1), "more than 20000 rows"),
    "too many columns": (b";" * 50 + b"\n1\n", "more than 40 columns"),
    "an endless cell": (b'n\n"' + b"x" * 2000 + b"\n", "quotation marks"),
}


@pytest.mark.parametrize("wrong", REFUSED)
def test_what_is_no_list_is_refused_with_a_sentence(wrong):
    data, sentence = REFUSED[wrong]
    with pytest.raises(ValidationError, match=sentence):
        shelf_table.read_table(file(data))


@pytest.mark.parametrize(
    ("headers", "columns"),
    [
        (
            ["Teilenummer", "Bezeichnung", "Menge", "Lagerort"],
            {"number": 0, "description": 1, "quantity": 2, "place": 3},
        ),
        (["Qty", "Référence", "Désignation"], {"number": 1, "description": 2, "quantity": 0}),
        (["onderdeelnummer", "aantal stuks", "staat"], {"number": 0, "quantity": 1, "condition": 2}),
        (["a", "b"], {}),
    ],
)
def test_columns_are_recognised_in_the_languages_of_the_region(headers, columns):
    assert shelf.guessed(headers) == columns


def test_nothing_is_taken_in_while_one_line_is_wrong(stocked, client_of):
    client = client_of(stocked.rureifel)
    text = "number,pieces\nLN 1,2\n---,1\nLN 3,none\nLN 4,-1\n" + "9" * 50 + ",1\n"
    answer = client.post("/shelf/", {"file": file(text)})
    page = client.post(answer["Location"], {"number": "0", "quantity": "1"})
    assert page.status_code == 422
    assert [error.line for error in page.context["refused"].errors] == [3, 4, 5, 6]
    with acting_for(stocked.rureifel.workshop):
        assert list(ShelfItem.objects.values_list("normalised", flat=True)) == ["LN274100", "TH31902"]


def test_a_new_list_replaces_the_one_before(stocked, client_of):
    client = client_of(stocked.rureifel)
    answer = client.post("/shelf/", {"file": file(book(["Part number", "Place"], ["MK 12 700-4", "B2"]), "a.xlsx")})
    assert client.post(answer["Location"], {"number": "0", "place": "1"})["Location"] == "/shelf/"
    with acting_for(stocked.rureifel.workshop):
        assert list(ShelfItem.objects.values_list("number", "place")) == [("MK 12 700-4", "B2")]
        assert not ShelfUpload.objects.exists()


def test_a_new_request_is_matched_at_once_and_only_the_holder_is_told(stocked):
    make_request(stocked.asker, number="ln 27 410 0")
    assert (told("shelf_matched"), told("part_asked")) == ({"Anke Brockhausen"}, {"Claude Moutfort"})
    assert Event.objects.get(verb="shelf_matched").facts == {}  # nobody who reads events learns whose shelf it was


@pytest.mark.parametrize(
    ("old", "new", "backwards", "matched"),
    [("LN 27 408-0", "LN 27 410-0", "no", True), ("LN 27 410-0", "LN 27 411-0", "yes", True),
     ("LN 27 410-0", "LN 27 411-0", "no", False), ("LN 27 410-0", "LN 27 411-0", "unknown", False)],
)  # fmt: skip
def test_what_replaced_the_number_matches_and_what_went_before_only_where_it_fits(
    stocked, old, new, backwards, matched
):
    asked = new if old == "LN 27 410-0" else old  # the shelf has LN 27 410-0
    numbers = {number: make_number(stocked.asker, number) for number in (old, new)}
    statement = Supersession(old=numbers[old], new=numbers[new], backwards=backwards, evidence="maker's list of 2016")
    superseding.state(statement=statement, by=stocked.asker)
    make_request(stocked.asker, number=asked)
    assert bool(told("shelf_matched")) is matched


NOT_MATCHED = {
    "another number": lambda board: make_request(board.asker, number="LN 27 410-9"),
    "no number": lambda board: make_request(board.asker, number=""),
    "not sent to its region": lambda board: make_request(board.asker, [make_region("mosel")], number="LN 27 410-0"),
    "its own request": lambda board: make_request(board.rureifel, number="LN 27 410-0"),
}


@pytest.mark.parametrize("case", NOT_MATCHED)
def test_what_does_not_fit_or_is_not_seen_is_not_matched(stocked, case):
    NOT_MATCHED[case](stocked)
    assert told("shelf_matched") == set()


def test_a_suspended_workshop_is_not_matched(stocked):
    stocked.rureifel.workshop.suspend(by=make_administrator(), reason="Insurance ran out.")
    make_request(stocked.asker, number="LN 27 410-0")
    assert told("shelf_matched") == set()


def test_whoever_asks_sees_nothing_of_the_shelf(stocked, client_of):
    asked = make_request(stocked.asker, number="LN 27 410-0")
    client = client_of(stocked.asker)
    pages = [client.get(path).content.decode() for path in (f"/board/{asked.pk}/", "/board/", "/shelf/", "/shelf/csv/")]
    assert not [page for page in pages if "Rack 4" in page]
    assert "Rack 4" in client_of(stocked.rureifel).get("/shelf/").content.decode()


def test_the_page_says_what_of_the_shelf_is_asked_for_now(stocked, client_of):
    # The board's example asks for LN 27 410-0 already.
    page = client_of(stocked.rureifel).get("/shelf/")
    assert [one.pk for one in page.context["asked_for"]] == [stocked.request.pk]
    PartRequest.objects.update(state="lapsed")
    assert not client_of(stocked.rureifel).get("/shelf/").context["asked_for"]


def test_no_spreadsheet_runs_a_cell_that_is_carried_away(stocked, client_of):
    # OWASP, CSV injection: cells that begin with = + - @ or a tab are led by an apostrophe.
    with acting_for(stocked.rureifel.workshop):
        for sign in "=+-@":
            ShelfItem(number="LN 1", normalised="LN1", description=f"{sign}cmd|calc").save()
    lines = client_of(stocked.rureifel).get("/shelf/csv/").content.decode().splitlines()
    assert sorted(line.split(",")[1] for line in lines if "cmd" in line) == ["'+cmd|calc", "'-cmd|calc", "'=cmd|calc",
                                                                             "'@cmd|calc"]  # fmt: skip


def test_the_list_can_be_thrown_away(stocked, client_of):
    client_of(stocked.rureifel).post("/shelf/clear/")
    assert "Nothing is on your shelf list yet" in client_of(stocked.rureifel).get("/shelf/").content.decode()
