"""What an answer can be: an offer with evidence, core and warranty, a number that replaced it, or advice."""

from decimal import Decimal

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import IntegrityError, transaction

from diagnostics import sharing_sheets
from network.access import acting_for
from network.models import Notice
from parts import borders, evidence, sourcing
from parts.comparing import compared
from parts.models import Answer
from parts.trade_terms import TradeTerms
from tests.cast import make_answer, make_picture, make_record, make_request, make_sheet

USED = {"donor_km": 92_000, "removal_reason": "hit from behind", "storage": "dry, in the hall"}
ADVICE = {"offer": "advice", "price": None, "condition": "", "days_to_arrive": 0, "freight": Decimal(0)}


def test_the_terms_of_trade_are_the_eleven_of_incoterms_2020():
    # arcopost.com, Incoterms 2020: any mode EXW FCA CPT CIP DAP DPU DDP; by sea FAS FOB CFR CIF.
    assert TradeTerms.values == ["EXW", "FCA", "CPT", "CIP", "DAP", "DPU", "DDP", "FAS", "FOB", "CFR", "CIF"]


def test_advice_is_read_and_cannot_be_accepted(board, client_of):
    advice = make_answer(board.request, board.rureifel, **ADVICE, remark="Look at the fan first.")
    page = client_of(board.asker).get(f"/board/{board.request.pk}/")
    assert "Look at the fan first." in page.content.decode()
    assert f"/answers/{advice.pk}/accept/" not in page.content.decode()
    with pytest.raises(sourcing.NotOnOffer):
        sourcing.accept(answer=advice, by=board.asker)
    assert "has advice" in Notice.objects.get(event__verb="part_answered").body


def test_a_number_that_replaced_it_may_come_with_a_price_or_without(board):
    said = {"offer": "replaced_by", "replacement": "LN 27 411-0"}
    only_said = make_answer(board.request, board.moutfort, **ADVICE | said)
    offered = make_answer(board.request, board.rureifel, "650.00", **said)
    assert (only_said.can_be_accepted, offered.can_be_accepted) == (False, True)
    assert "replaced by LN 27 411-0" in Notice.objects.filter(event__verb="part_answered").earliest("pk").body


WRONG = {
    "advice with a price": {"offer": "advice"},
    "an offer without one": {"price": None},
    "no condition": {"condition": ""},
    "replaced by nothing": {"offer": "replaced_by"},
    "a core without criteria": {"core_deposit": Decimal(1)},
    "leaves after it arrived": {"days_to_ship": 8},
    "a deposit below zero": {"core_deposit": Decimal(-1), "core_criteria": "whole", "core_days": 1},
}


@pytest.mark.parametrize("wrong", WRONG)
def test_the_database_itself_refuses_what_no_answer_can_be(board, wrong):
    answer = make_answer(board.request, board.rureifel)
    with pytest.raises(IntegrityError), transaction.atomic():
        Answer.objects.filter(pk=answer.pk).update(**WRONG[wrong])


def test_a_used_part_is_untested_while_one_piece_of_evidence_lacks(board):
    # The shop's list for used parts: sheets by kind, mileage, why removed, storage, picture of the plate.
    answer = sourcing.answer(
        answer=Answer(offer="have_one", price=Decimal(340), currency="EUR", condition="used", days_to_arrive=7, **USED),
        request=board.request, by=board.rureifel, plate=[make_picture()],
    )  # fmt: skip
    assert [str(word) for word in evidence.lacking(answer, "inverter")] == ["a bench sheet"]
    for name, words in (("donor_km", "the donor’s mileage"), ("storage", "how it was stored"),
                        ("removal_reason", "why it was taken out"), ("plate", "a picture of its serial plate")):  # fmt: skip
        kept = getattr(answer, name)
        setattr(answer, name, None)
        assert words in map(str, evidence.lacking(answer, "inverter"))
        setattr(answer, name, kept)


def sheet_of(member, *kinds):
    sheet = make_sheet(member)
    for kind, values in kinds:
        make_record(member, sheet, kind, values)
    with acting_for(member.workshop):
        return sharing_sheets.freeze(sheet, by=member)


def test_a_shared_bench_sheet_of_the_right_kinds_is_evidence_until_it_is_taken_back(board, client_of):
    copy = sheet_of(board.rureifel, ("machine_windings", None))
    answer = make_answer(board.request, board.rureifel, sheet=copy, **USED)
    answer.plate_id = 1
    assert [str(one) for one in evidence.lacking(answer, "sensor")] == ["Position sensor"]
    assert evidence.lacking(answer, "other") == []
    assert [str(one) for one in evidence.lacking(answer, "machine")] == ["Winding insulation"]
    page = client_of(board.asker).get(f"/board/{board.request.pk}/").content.decode()
    assert f"/shared-sheets/{copy.pk}/" in page and "0 of 1 within" in page
    with acting_for(board.rureifel.workshop):
        sharing_sheets.take_back(copy, by=board.rureifel)
    answer.refresh_from_db()
    assert "a bench sheet" in map(str, evidence.lacking(answer, "other"))


def test_only_the_own_workshops_copies_can_be_chosen(board, client_of):
    theirs = sheet_of(board.moutfort, ("machine_windings", None))
    page = client_of(board.rureifel).post(f"/board/{board.request.pk}/answer/", offered(sheet=theirs.pk))
    assert (page.status_code, list(page.context["form"].errors)) == (422, ["sheet"])


def test_new_parts_and_repairs_of_the_own_unit_have_nothing_to_show(board):
    new = make_answer(board.request, board.rureifel, condition="new")
    repair = make_answer(board.request, board.moutfort, offer="can_be_repaired", condition="rebuilt")
    assert evidence.lacking(new, "inverter") == evidence.lacking(repair, "inverter") == []


def test_packing_freight_insurance_and_deposit_stand_in_their_own_lines(board):
    parts = {"packing": Decimal(10), "freight": Decimal(60), "insurance": Decimal("2.50")}
    core = {"core_deposit": Decimal(180), "core_criteria": "whole", "core_days": 20}
    answer = make_answer(board.request, board.rureifel, "340.00", **parts, **core)
    cost = borders.landed(answer, into_country="BE", currency="EUR", on=answer.answered_at.date()).cost
    assert [(line.code, line.amount) for line in cost.lines] == [
        ("goods", 340), ("packing", 10), ("freight", 60), ("insurance", Decimal("2.50")),
    ]  # fmt: skip
    assert (cost.total, cost.deposit) == (Decimal("412.50"), 180)


def test_delivered_duty_paid_has_no_line_at_the_border(board):
    board.rureifel.workshop.country = "CH"
    board.rureifel.workshop.save()
    # Incoterms 2020, DDP: the seller pays duty and tax of the import (from memory).
    answer = make_answer(board.request, board.rureifel, "340.00", trade_terms="DDP")
    landed = borders.landed(answer, into_country="BE", currency="EUR", on=answer.answered_at.date())
    assert landed.sender_pays and [line.code for line in landed.cost.lines] == ["goods", "freight"]


def test_it_leaves_and_arrives_by_its_own_days(board):
    answer = make_answer(board.request, board.rureifel, days_to_ship=2, days_to_arrive=7)
    table = compared([answer], board.asker.workshop, answer.answered_at.date())
    ((one, _row),) = table.rows
    assert (one.arrives - one.leaves).days == 5


def offered(**more):
    return {"offer": "have_one", "condition": "used", "price": "340", "freight": "72.50", "currency": "EUR",
            "days_to_arrive": "7"} | more  # fmt: skip


BAD = [
    ({"offer": "advice", "price": "", "remark": ""}, "remark", "Write your advice"),
    ({"offer": "replaced_by", "price": ""}, "replacement", "Name the number"),
    ({"offer": "replaced_by", "replacement": "--"}, "replacement", "letters or figures"),
    ({"days_to_arrive": ""}, "days_to_arrive", "in how many days"),
    ({"days_to_ship": "9"}, "days_to_ship", "after it has arrived"),
    ({"core_deposit": "180"}, "core_criteria", "until when"),
    ({"core_deposit": "180", "core_criteria": "whole"}, "core_days", "until when"),
    ({"core_deposit": "1.234", "core_criteria": "whole", "core_days": "3"}, "core_deposit", "EUR has 2 decimals"),
    ({"trade_terms": "DDU"}, "trade_terms", "can’t be chosen"),
    ({"warranty_months": "-1"}, "warranty_months", "the least is 0"),
    ({"warranty_exclusions": "ring +49 30 23125 900"}, "warranty_exclusions", "without a phone number"),
    ({"plate": SimpleUploadedFile("plate.svg", b"<svg/>")}, "plate", "can't be read as a picture"),
]


@pytest.mark.parametrize(("typed", "field", "sentence"), BAD)
def test_a_bad_answer_is_refused_at_its_field(board, client_of, typed, field, sentence):
    page = client_of(board.rureifel).post(f"/board/{board.request.pk}/answer/", offered(**typed))
    assert page.status_code == 422
    assert sentence in " ".join(page.context["form"].errors[field])
    assert not Answer.objects.exists()


def test_a_whole_answer_is_kept_and_shown(board, client_of):
    typed = offered(
        packing="8", core_deposit="180", core_criteria="housing whole", core_days="20", warranty_months="12",
        warranty_km="20000", warranty_labour="to_a_sum", warranty_labour_limit="300", warranty_freight="sender",
        warranty_exclusions="water in it", warranty_decided_by="Garage Klaverblad", trade_terms="DAP", donor_km="92000",
        removal_reason="hit from behind", storage="dry", days_to_ship="2",
    )  # fmt: skip
    picture = SimpleUploadedFile("plate.jpg", make_picture().data)
    client_of(board.rureifel).post(f"/board/{board.request.pk}/answer/", typed | {"plate": picture})
    page = client_of(board.asker).get(f"/board/{board.request.pk}/").content.decode()
    for words in ("12 months", "20\u202f000 km", "labour to 300.00 EUR", "excludes water in it", "Garage Klaverblad",
                  "core back within 20 days, deposit 180.00 EUR", "92\u202f000 km", "DAP: delivered at place",
                  "Deposit for the core", "/shared-pictures/"):  # fmt: skip
        assert words in page, words


def test_a_part_without_a_number_is_asked_for_by_what_it_is(board, client_of):
    asked = make_request(board.asker, number="", description="Coolant pump with a grey plug")
    page = client_of(board.rureifel).get(f"/board/{asked.pk}/")
    assert "Coolant pump with a grey plug" in page.content.decode()
    assert "Coolant pump with a grey plug" in client_of(board.rureifel).get("/board/").content.decode()
    assert Notice.objects.filter(subject__startswith="Coolant pump with a grey plug").exists()
