"""Finding equals brute force over the whole network, whatever the index of work says."""

from __future__ import annotations

import datetime
import random
from collections.abc import Iterator
from functools import reduce
from operator import or_

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from haversine import Unit, haversine

from network import finding, work
from network.models import Membership, Qualification, User, Workshop
from network.models.workshops import band_of
from tests.cast import make_administrator, make_member, make_qualification, make_region, make_workshop

pytestmark = pytest.mark.django_db

TODAY = datetime.date.today
CODES = work.Work.values


def test_an_approved_and_qualified_workshop_is_found_with_its_distance() -> None:
    shop = make_workshop(latitude=50.66, longitude=5.63)
    make_qualification(make_member(shop).person, ["inverter"])
    near = finding.find_near(latitude=50.63, longitude=5.57, radius_km=50, work_codes=["inverter"])
    # The package haversine, an independent implementation with the same mean radius.
    assert near.results[0].distance_km == pytest.approx(haversine((50.63, 5.57), (50.66, 5.63)), abs=1e-6)
    assert near.results[0].work == ["inverter"]


@pytest.mark.parametrize("state", ["applied", "declined", "suspended"])
def test_a_workshop_that_is_not_approved_is_never_found(state: str) -> None:
    shop = make_workshop(state=state)
    member = make_member(shop)
    make_qualification(member.person, ["inverter"])
    Workshop.objects.filter(pk=shop.pk).update(work_bits=511)
    near = finding.find_near(latitude=50.66, longitude=5.63, radius_km=100)
    assert near.results == near.beyond == ()


@pytest.mark.parametrize("state", ["claimed", "refused"])
def test_a_paper_that_the_network_did_not_verify_counts_for_nothing(state: str) -> None:
    shop = make_workshop()
    make_qualification(make_member(shop).person, ["inverter"], state=state)
    Workshop.objects.filter(pk=shop.pk).update(work_bits=511)
    assert finding.find_near(latitude=50.66, longitude=5.63, radius_km=100).results == ()


def test_a_proof_counts_on_its_last_day_and_not_on_the_day_after() -> None:
    shop = make_workshop()
    paper = make_qualification(make_member(shop).person, ["inverter"], expires_on=TODAY())
    assert len(finding.find_near(latitude=50.66, longitude=5.63, radius_km=9, work_codes=["inverter"]).results) == 1
    Qualification.objects.filter(pk=paper.pk).update(expires_on=TODAY() - datetime.timedelta(days=1))
    assert Workshop.objects.get(pk=shop.pk).work_bits  # nobody brought the index up to date
    assert finding.find_near(latitude=50.66, longitude=5.63, radius_km=9, work_codes=["inverter"]).results == ()


def test_people_who_left_or_did_not_agree_or_may_not_sign_in_do_not_count() -> None:
    shop = make_workshop()
    member = make_member(shop)
    make_qualification(member.person, ["inverter"])
    for change in ({"state": "left"}, {"state": "named"}):
        Membership.objects.filter(pk=member.pk).update(**change)
        assert finding.find_near(latitude=50.66, longitude=5.63, radius_km=9).results == ()
    Membership.objects.filter(pk=member.pk).update(state="active")
    User.objects.filter(pk=member.person_id).update(is_active=False)
    assert finding.find_near(latitude=50.66, longitude=5.63, radius_km=9).results == ()


def test_two_people_together_cover_all_of_the_work() -> None:
    shop = make_workshop()
    for code in ("inverter", "charging"):
        make_qualification(make_member(shop).person, [code])
    both = ["inverter", "charging"]
    assert len(finding.find_near(latitude=50.66, longitude=5.63, radius_km=9, work_codes=both).results) == 1
    assert not finding.find_near(latitude=50.66, longitude=5.63, radius_km=9, work_codes=[*both, "machine"]).results


def test_beyond_names_the_three_nearest_and_only_where_the_radius_is_empty() -> None:
    for step in range(5):
        shop = make_workshop(latitude=51.0 + step, longitude=5.0)
        make_qualification(make_member(shop).person, ["inverter"])
    near = finding.find_near(latitude=50.0, longitude=5.0, radius_km=20)
    assert near.results == () and [round(f.distance_km) for f in near.beyond] == [111, 222, 334]
    assert finding.find_near(latitude=50.0, longitude=5.0, radius_km=112).beyond == ()


def build_network(seed: int, size: int) -> None:
    """Workshops of every state all over the globe, thick in one corner, with proofs valid or not, and stale indexes."""
    dice = random.Random(seed)
    region, verifier = make_region(), make_administrator()
    people = User.objects.bulk_create(User(email=f"p{n}-{seed}@bench.example", name=f"P {n}") for n in range(size))
    shops = Workshop.objects.bulk_create(_shop(dice, n, region) for n in range(size))
    Membership.objects.bulk_create(
        Membership(person=p, workshop=w, role="technician", state=dice.choice(["active", "active", "active", "left"]))
        for p, w in zip(people, shops, strict=True)
    )
    papers = [_paper(dice, person, verifier) for person in people for _ in range(dice.randint(0, 2))]
    Qualification.objects.bulk_create(papers)
    for shop, person in zip(shops, people, strict=True):
        held = [p.work_bits for p in papers if p.holder_id == person.pk and p.state == "verified"]
        shop.work_bits = reduce(or_, held, 0)  # as it was on the day of the verifying: names too much, never too little
    Workshop.objects.bulk_update(shops, ["work_bits"])


def _shop(dice: random.Random, n: int, region: object) -> Workshop:
    if dice.random() < 0.5:
        latitude, longitude = dice.gauss(50.6, 0.6), dice.gauss(5.5, 0.9)
    else:
        latitude = dice.choice([dice.uniform(-90, 90), 90.0, -90.0, dice.uniform(84, 90)])
        longitude = dice.choice(
            [dice.uniform(-180, 180), 180.0, -180.0, dice.uniform(178, 180), dice.uniform(-180, -178)]
        )
    return Workshop(
        name=f"Shop {n}", street="s", postcode="1", town="t", country="BE", latitude=latitude, longitude=longitude,
        band=band_of(latitude), region=region, email="s@bench.example", phone="1", business_number="1",
        state=dice.choice(["approved"] * 8 + ["suspended", "applied"]),
    )  # fmt: skip


def _paper(dice: random.Random, holder: User, verifier: User) -> Qualification:
    state = dice.choice(["verified", "verified", "verified", "claimed"])
    return Qualification(
        holder=holder, title="t", issuer="i", certificate="c", state=state, work_bits=dice.randint(1, 511),
        expires_on=TODAY() + datetime.timedelta(days=dice.choice([-1, 0, 1, 300])),
        verified_on=TODAY() if state == "verified" else None, verified_by=verifier if state == "verified" else None,
    )  # fmt: skip


def brute_force(here: tuple[float, float], bits: int) -> Iterator[tuple[float, int]]:
    """Every workshop that is approved and qualified, by definition: nothing of the product's finding is used."""
    for shop in Workshop.objects.filter(state="approved"):
        held = Qualification.objects.filter(
            state="verified", expires_on__gte=TODAY(), holder__memberships__workshop=shop,
            holder__memberships__state="active", holder__is_active=True,
        )  # fmt: skip
        covered = reduce(or_, (paper.work_bits for paper in held), 0)
        if covered and covered & bits == bits:
            # The package haversine as the measure, not our own formula.
            yield haversine(here, (shop.latitude, shop.longitude), unit=Unit.KILOMETERS, normalize=True), shop.pk


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_finding_equals_brute_force_on_random_networks(seed: int) -> None:
    build_network(seed, 150)
    dice = random.Random(seed + 100)
    corners = [(90.0, 0.0), (-90.0, 12.0), (0.0, 180.0), (10.0, -180.0), (89.5, 179.9), (-0.04, -179.99), (50.6, 5.5)]
    for here in corners + [(dice.uniform(-90, 90), dice.uniform(-180, 180)) for _ in range(8)]:
        codes = dice.sample(CODES, dice.choice([0, 1, 1, 2, 3]))
        everyone = sorted(brute_force(here, work.to_bits(codes)))
        radius, limit = dice.choice([1, 25, 60, 250, 500, 5000, 20_100]), dice.choice([1, 3, 20, 100])
        near = finding.find_near(latitude=here[0], longitude=here[1], radius_km=radius, work_codes=codes, limit=limit)
        inside = [pair for pair in everyone if pair[0] <= radius]
        _same(near.results, inside[:limit])
        _same(near.beyond, [] if inside else everyone[:3])


def _same(found: tuple[finding.Found, ...], expected: list[tuple[float, int]]) -> None:
    assert [f.workshop.pk for f in found] == [key for _distance, key in expected]
    assert [f.distance_km for f in found] == pytest.approx([distance for distance, _key in expected], abs=1e-6)


def test_as_many_questions_go_to_the_database_for_ten_workshops_as_for_thirty() -> None:
    counts = []
    for _ in range(2):
        for _n in range(10 if not counts else 20):
            shop = make_workshop()
            make_qualification(make_member(shop).person, ["inverter"])
        with CaptureQueriesContext(connection) as asked:
            assert len(finding.find_near(latitude=50.66, longitude=5.63, radius_km=50, limit=30).results) >= 10
        counts.append(len(asked))
    assert counts[0] == counts[1] <= 6
