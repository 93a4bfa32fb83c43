"""The PDF of the report: it opens, is tagged (ISO 14289-1), has language and title, and no text of a user is markup."""

from __future__ import annotations

import io

import pytest
from django.utils import timezone
from pypdf import PdfReader

from jobs.models import Job
from jobs.report import report_of
from jobs.report.pdf import pdf_of, with_glyphs
from parts import sourcing
from parts.models import Answer
from tests.bench import Bench
from tests.cast import make_answer, make_member, make_request, make_workshop
from tests.jobs.test_clearance import all_but

VERIFY = "https://bench.example/verify/?hash="


def read(bench: Bench) -> PdfReader:
    job = Job.objects.select_related("vehicle__customer", "vehicle__family", "sheet__family", "part_request").get(
        pk=bench.job.pk
    )
    report = report_of(job, bench.workshop)
    made = pdf_of(report, verify_url=VERIFY + report.last_hash, made_at=job.booked_in_at)
    return PdfReader(io.BytesIO(made))


@pytest.mark.parametrize(
    ("offered", "first"),
    [
        ({"condition": "used"}, "A used inverter was fitted"),
        ({"condition": "new_old_stock"}, "A new inverter was fitted"),
        ({"condition": "rebuilt"}, "A rebuilt inverter was fitted"),
        ({"offer": "can_be_repaired"}, "The repaired inverter was fitted"),
        (None, "The inverter was fitted"),
    ],
)
def test_the_first_sentence_calls_the_part_what_its_offer_called_it(
    bench: Bench, offered: dict[str, str] | None, first: str
) -> None:
    request = make_request(bench.ilse)
    if offered:
        answer = make_answer(request, make_member(make_workshop("Werkstatt Rureifel")))
        sourcing.accept(answer=answer, by=bench.ilse)
        Answer.objects.filter(pk=answer.pk).update(**offered)
    Job.objects.filter(pk=bench.job.pk).update(part_request=request, handed_over_at=timezone.now())
    job = Job.objects.select_related("vehicle__customer", "part_request").get(pk=bench.job.pk)
    assert report_of(job, bench.workshop).sentence.startswith(first)


@pytest.fixture
def handed_over(bench: Bench) -> Bench:
    all_but(bench)
    bench.hand_over()
    return bench


def test_it_is_tagged_with_language_and_title_as_pdf_ua_asks(handed_over: Bench) -> None:
    pdf = read(handed_over)
    root = pdf.root_object
    # ISO 14289-1:2014, 7.1: MarkInfo with Marked true, a structure tree, DisplayDocTitle; 7.2: a natural language.
    assert root["/MarkInfo"]["/Marked"] == True  # noqa: E712  (a PDF boolean)
    assert root["/StructTreeRoot"]["/K"]
    assert root["/Lang"] == "en"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"] == True  # noqa: E712
    assert pdf.metadata and handed_over.job.number in str(pdf.metadata.title)
    xmp = root["/Metadata"].get_data().decode()
    assert "<pdfuaid:part>1</pdfuaid:part>" in xmp


def test_the_qr_code_has_words_for_those_who_dont_see_it(handed_over: Bench) -> None:
    pdf = read(handed_over)
    things = [pdf.get_object(number) for number in range(1, int(pdf.trailer["/Size"]))]
    assert [one["/Alt"] for one in things if isinstance(one, dict) and one.get("/S") == "/Figure"] == [
        "QR code that leads to the page where the hash below is verified"
    ]


def test_it_holds_every_reading_its_source_and_the_last_hash(handed_over: Bench) -> None:
    text = " ".join("\n".join(page.extract_text() for page in read(handed_over).pages).split())
    for words in ("Machine windings, machine 1", "Meter milliohm, serial 4471", "Ilse Vandamme", "93.6 milliohm"):
        assert words in text
    assert handed_over.sheet.last_hash in text.replace(" ", "").replace("\u200b", "")


@pytest.mark.parametrize(
    "typed", ['#import "x": y', "*bold* _it_ $x$ @ref <label>", "日本 😀 \u202e abc", "a\\b`c` // d"]
)
def test_what_was_typed_is_set_as_text_and_nothing_else(bench: Bench, typed: str) -> None:
    Job.objects.filter(pk=bench.job.pk).update(complaint=typed)
    text = " ".join(page.extract_text() for page in read(bench).pages)
    assert " ".join(with_glyphs(typed).split()) in " ".join(text.split())


@pytest.mark.parametrize(
    ("typed", "drawn"),
    [("Łódź Москва", "Łódź Москва"), ("㎏", "kg"), ("日", "◊"), ("a\tb\x00c", "a bc"), ("e\u0301", "é"), ("２", "2")],
)
def test_a_character_without_a_glyph_is_replaced(typed: str, drawn: str) -> None:
    assert with_glyphs(typed) == drawn
