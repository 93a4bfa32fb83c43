"""Dangerous goods on every page of the way: the likely UN number, damage, charge by air, who decides, the take-back."""

import pytest

from parts import sourcing
from parts.carriage import carriage
from parts.models import Shipment
from tests.cast import make_answer, make_family, make_request

# UN numbers and names: the published list of dangerous goods of ADR 2025, chapter 3.2, table A (from memory but for the
# lithium and nickel-metal hydride lines, which batteriestransport.org states).
LISTED = [
    ("traction_battery", {"lithium_ion"}, {"UN 3480", "UN 3481"}),
    ("battery_module", {"nickel_metal_hydride"}, {"UN 3496"}),
    ("traction_battery", (), {"UN 3480", "UN 3481", "UN 3496"}),
    ("battery_12v", (), {"UN 2794", "UN 2800", "UN 3480", "UN 3481"}),
    ("capacitor", (), {"UN 3499", "UN 3508"}),
    ("airbag", (), {"UN 3268"}),
    ("inverter", (), set()),
]
SEEN = {"number_as_ordered": True, "marks_as_ordered": True, "remark": ""}


@pytest.mark.parametrize(("kind", "chemistries", "numbers"), LISTED)
def test_the_number_that_is_likely_follows_from_kind_and_chemistry(kind, chemistries, numbers):
    found = carriage(kind=kind, chemistries=chemistries)
    assert {entry.number for entry in found.entries} == numbers
    assert bool(found.choices) == bool(numbers)


@pytest.fixture
def battery(board):
    """A request for a battery that no member knows by number, answered, with a core that goes back."""
    asked = make_request(
        board.asker, number="", description="Traction battery, 62 kWh", part_kind="traction_battery",
        family=make_family(board.asker.workshop, chemistry="lithium_ion"),
    )  # fmt: skip
    return make_answer(asked, board.rureifel, core_deposit=100, core_criteria="whole", core_days=20)


def cautions(page):
    return [word for word in ("UN 3480", "UN 3496", "Special provision 376", "30 %", "a trained shipper decides",
                              "ask our depot", "outdoors first", "because it failed")
            if word in page]  # fmt: skip


ALWAYS = ["UN 3480", "Special provision 376", "30 %", "a trained shipper decides", "ask our depot"]


def test_each_page_of_the_way_says_what_carriage_asks(board, battery, client_of, settings):
    settings.BATTERY_TAKE_BACK = "Waste batteries: ask our depot."
    asker, sender = client_of(board.asker), client_of(board.rureifel)
    path, answer = f"/board/{battery.request_id}/", f"/answers/{battery.pk}/"
    assert cautions(client_of(board.moutfort).get(f"{path}answer/").content.decode()) == ALWAYS
    sourcing.accept(answer=battery, by=board.asker)
    page = sender.get(path).content.decode()
    assert cautions(page) == ALWAYS
    assert page.index("Before it leaves") < page.index('name="carrier"')
    assert cautions(asker.get(path).content.decode()) == [*ALWAYS, "outdoors first"]
    sourcing.receive(request=battery.request, by=board.asker, **SEEN)
    assert cautions(asker.get(path).content.decode()) == [*ALWAYS, "because it failed"]
    asker.post(f"{answer}core/sent/", {"carrier": "Maasbode", "carried_as": "other"})
    page = sender.get(path).content.decode()
    assert cautions(page) == [*ALWAYS, "outdoors first"]
    assert "Maasbode · another number, see its papers" in page


def test_whoever_sends_dangerous_goods_says_what_a_trained_shipper_decided(board, battery, client_of):
    sourcing.accept(answer=battery, by=board.asker)
    sender, path = client_of(board.rureifel), f"/answers/{battery.pk}/sent/"
    assert "trained to ship dangerous goods" in sender.post(path, {"carrier": "Maasbode"}).content.decode()
    assert sender.post(path, {"carrier": "Maasbode", "carried_as": "UN 3496"}).status_code == 422
    assert sender.post(path, {"carrier": "Maasbode", "carried_as": "UN 3480"}).status_code == 302
    assert Shipment.objects.get().carried_as == "UN 3480"
    assert "as UN 3480" in sender.get(f"/board/{battery.request_id}/").content.decode()
