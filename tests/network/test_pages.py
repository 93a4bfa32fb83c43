"""The public pages and the workshop's own: what an owner reads, and that nonsense is refused and never an error."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client

from network.models import Qualification, Workshop
from tests.cast import Cast, make_member, make_place, make_qualification, make_workshop

pytestmark = pytest.mark.django_db
NONSENSE = [
    "",
    " ",
    "\0",
    "9" * 4000,
    "-1",
    "9e99",
    "NaN",
    "é\u202e🚗",
    "<script>",
    "' OR 1=1",
    "%",
    "../..",
    "\r\nX: y",
]


@pytest.fixture
def qualified(db: None) -> Workshop:
    """A workshop 5 km from the postcode, whose technician's paper for inverters was verified."""
    make_place("BE", "4020", "Liège", 50.64, 5.61)
    shop = make_workshop("Ateliers Hautpré", latitude=50.685, longitude=5.61)
    make_qualification(make_member(shop, name="Ilse Vandamme").person, ["inverter"])
    return shop


def find(**query: Any) -> Any:
    given = {"country": "BE", "place": "4020", "radius_km": "25", "work": "inverter"} | query
    return Client().get("/", {name: value for name, value in given.items() if value is not None})


def text_of(answer: Any) -> str:
    return " ".join(answer.content.decode().split())


def test_the_first_page_asks_and_answers_nothing_yet() -> None:
    answer = Client().get("/")
    assert answer.status_code == 200 and 'name="place"' in text_of(answer) and "Nearest workshop" not in text_of(answer)


def test_the_nearest_is_named_first_with_its_distance_and_the_proof(qualified: Workshop) -> None:
    text = text_of(find())
    # 0.045 degrees of latitude at 111.195 km each: 5.0 km, told in whole kilometres
    assert "Nearest workshop qualified for inverters: <strong>Ateliers Hautpré, 5 km." in text
    assert "Ilse Vandamme" in text and "paper seen by the network" in text and "runs to" in text
    assert f"/enquire/{qualified.pk}/" in text and f"/workshops/{qualified.pk}/" in text


def test_the_sources_of_the_places_are_named(qualified: Workshop) -> None:
    assert "ODbL" in text_of(find()) and "CC BY" in text_of(find())


def test_a_workshop_without_proof_is_counted_and_not_named(qualified: Workshop) -> None:
    make_workshop("Carrosserie Sans-Papiers", latitude=50.66, longitude=5.61)
    text = text_of(find())
    assert "One further workshop inside the circle holds no valid proof" in text and "Sans-Papiers" not in text


def test_none_in_the_radius_names_the_nearest_beyond_and_says_so(qualified: Workshop) -> None:
    Workshop.objects.filter(pk=qualified.pk).update(latitude=51.0, band=510)
    text = text_of(find())
    assert "None within 25 km; these are the nearest beyond it." in text and "Ateliers Hautpré" in text


def test_the_nearest_beyond_the_circle_is_named_beside_the_map(qualified: Workshop) -> None:
    far = make_workshop(
        "Werkstatt Hohe Heide", country="BE", postcode="4700", town="Eupen", latitude=50.94, longitude=5.61
    )
    make_qualification(make_member(far).person, ["inverter"])
    text = text_of(find())
    # 0.3 degrees of latitude at 111.195 km each
    assert "Beyond the circle: Werkstatt Hohe Heide, 4700 Eupen, 33 km (pin 2)." in text
    assert "Send an enquiry to Werkstatt Hohe Heide" not in text


def test_none_anywhere_says_so(qualified: Workshop) -> None:
    assert "No workshop in the network is qualified for this now." in text_of(find(work="board_repair"))


def test_an_unknown_postcode_gets_a_sentence_and_near_matches_as_links(qualified: Workshop) -> None:
    answer = find(place="4021")
    text = text_of(answer)
    assert answer.status_code == 404 and "Nobody here knows this postcode or place" in text and 'value="4021"' in text
    assert "place=4020%20Li%C3%A8ge" in text
    assert "Nearest workshop" in text_of(find(place="4020 Liège"))


@pytest.mark.parametrize("field", ["work", "country", "place", "radius_km"])
@pytest.mark.parametrize("value", NONSENSE)
def test_nonsense_in_the_search_is_refused_and_never_an_error(qualified: Workshop, field: str, value: str) -> None:
    assert find(**{field: value}).status_code in (200, 404, 422)


def test_a_link_that_names_no_radius_looks_within_25_km(qualified: Workshop) -> None:
    answer = find(radius_km=None)
    assert answer.status_code == 200 and answer.context["radius_km"] == 25
    assert '<option value="25" selected>' in text_of(answer)


def test_a_missing_field_is_named(qualified: Workshop) -> None:
    answer = find(place=None)
    assert answer.status_code == 422 and answer.context["form"].errors["place"]


def test_a_proof_that_soon_runs_out_is_drawn_in_the_other_colour(qualified: Workshop) -> None:
    today = datetime.date.today()
    Qualification.objects.update(verified_on=today, expires_on=today + datetime.timedelta(days=59))
    assert 'class="proof soon"' in text_of(find())
    Qualification.objects.update(expires_on=today + datetime.timedelta(days=60))
    assert 'class="proof valid"' in text_of(find())


def test_the_public_page_shows_the_valid_proofs_only(qualified: Workshop) -> None:
    person = Qualification.objects.get().holder
    make_qualification(person, ["charging"], state="claimed", title="Claimed paper")
    old = make_qualification(person, ["machine"], title="Old paper")
    Qualification.objects.filter(pk=old.pk).update(expires_on=datetime.date.today() - datetime.timedelta(days=1))
    text = text_of(Client().get(f"/workshops/{qualified.pk}/"))
    assert "One proof</strong> holds today" in text
    assert "High-voltage technician" in text and "Claimed paper" not in text and "Old paper" not in text


@pytest.mark.parametrize("key", ["0", "999999", "9" * 40])
def test_a_workshop_that_is_not_there_is_404(key: str) -> None:
    assert Client().get(f"/workshops/{key}/").status_code == 404


def test_how_proof_works_is_told() -> None:
    assert "Runs out" in text_of(Client().get("/proof/"))


def test_a_manager_changes_what_owners_read_and_a_technician_may_not(
    cast: Cast, client_of: Callable[..., Client]
) -> None:
    change = {
        "phone": "+49 30 23125 321",
        "email": "new@bench.example",
        "languages": "French",
        "first_look": "Mondays.",
    }
    assert client_of(cast.technician).post("/our-workshop/", change).status_code == 403
    assert client_of(cast.manager).post("/our-workshop/", change).status_code == 302
    cast.a.refresh_from_db()
    assert (cast.a.phone, cast.a.email) == ("+49 30 23125 321", "new@bench.example")


@pytest.mark.parametrize("field", ["phone", "email", "languages", "first_look"])
@pytest.mark.parametrize("value", ["\0", "9" * 5000])
def test_a_wrong_change_is_refused_and_kept_as_typed(
    cast: Cast, client_of: Callable[..., Client], field: str, value: str
) -> None:
    change = {"phone": "1", "email": "new@bench.example", "languages": "", "first_look": "Thursdays only"} | {
        field: value
    }
    answer = client_of(cast.manager).post("/our-workshop/", change)
    assert answer.status_code == 422 and answer.context["form"].errors[field]
    assert answer.context["form"]["first_look"].value() == change["first_look"]


@pytest.mark.parametrize("value", NONSENSE)
def test_choosing_a_workshop_that_is_none_is_404(cast: Cast, client_of: Callable[..., Client], value: str) -> None:
    assert client_of(cast.technician).post("/act-for/", {"membership": value}).status_code == 404


def test_every_member_sees_people_and_proofs(cast: Cast, client_of: Callable[..., Client]) -> None:
    make_qualification(cast.technician.person, ["inverter"], title="High-voltage vehicles, level 3")
    text = text_of(client_of(cast.technician).get("/our-workshop/"))
    assert "Ilse Vandamme" in text and "High-voltage vehicles, level 3" in text and "verified" in text
