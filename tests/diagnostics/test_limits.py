"""Which limits bind: the workshop's own only where stricter, until a second workshop confirms."""

from __future__ import annotations

from diagnostics.kinds import all_kinds
from diagnostics.limits import limits_that_bind
from diagnostics.models import FamilyLimit
from network.access import acting_for
from network.models import Membership, Workshop
from tests.bench import Bench

INSULATION = all_kinds()["winding_insulation"]
WINDINGS = all_kinds()["machine_windings"]


def enter(bench: Bench, value: float, by: Workshop, kind: str = "winding_insulation", **more: object) -> FamilyLimit:
    facts = {"quantity": "insulation_resistance", "shape": "minimum", "unit": "megohm", "authority": "maker"} | more
    return FamilyLimit.objects.create(
        family=bench.cast.family, kind=kind, value=value, source="Lanner 14-209", entered_by=by, **facts
    )


def values(bench: Bench) -> list[float]:
    return [limit.value for limit in limits_that_bind(INSULATION, bench.cast.family)["insulation_resistance"]]


def test_the_standard_binds_where_nobody_entered_anything(bench: Bench) -> None:
    assert values(bench) == [5.0]  # IEEE 43-2013 Table 3, as quoted


def test_an_own_stricter_limit_binds_at_once(bench: Bench) -> None:
    enter(bench, 20, bench.workshop)
    assert values(bench) == [20.0]


def test_an_own_looser_limit_never_loosens_the_standard(bench: Bench) -> None:
    enter(bench, 1, bench.workshop)
    assert values(bench) == [5.0]


def test_the_limit_of_another_workshop_binds_only_once_confirmed(bench: Bench) -> None:
    rureifel = Workshop.objects.get(name="Hybridwerk Rureifel")
    limit = enter(bench, 20, rureifel)
    assert values(bench) == [5.0]
    assert limit.confirm(by=bench.ilse)
    assert values(bench) == [5.0, 20.0]


def test_nobody_confirms_a_limit_of_their_own(bench: Bench) -> None:
    limit = enter(bench, 20, bench.workshop)
    assert not limit.confirm(by=bench.ilse)
    assert not limit.confirm(by=Membership.objects.filter(workshop=bench.workshop).first())


def test_an_unconfirmed_limit_binds_nobody_else(bench: Bench) -> None:
    enter(bench, 20, bench.workshop)
    with acting_for(Workshop.objects.get(name="Atelier Moutfort")):
        assert values(bench) == [5.0]
