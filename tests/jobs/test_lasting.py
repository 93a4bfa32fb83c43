"""How long repairs last, on the page: the published remission data entered as outcomes give the published table.

Outside source: Freireich et al., Blood 21 (1963) 699, remission in weeks under 6-MP and placebo (the data set ships
with lifelines, whose rows are compared with those below); survival table and log-rank value as printed in Kleinbaum
and Klein, Survival Analysis (from memory), which lifelines, statsmodels and scipy agree with. One week is entered as
one completed month.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
from dateutil.relativedelta import relativedelta
from django.db import transaction
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from lifelines.datasets import load_leukemia

from jobs import following, lasting, sharing
from jobs.models import FollowedRepair, Outcome
from network.access import acting_for
from network.models import Membership
from tests.cast import make_cast, make_family, make_member, make_workshop

pytestmark = pytest.mark.django_db

SIX_MP = "6 6 6 6+ 7 9+ 10 10+ 11+ 13 16 17+ 19+ 20+ 22 23 25+ 32+ 32+ 34+ 35+"
PLACEBO = "1 1 2 2 3 4 4 5 5 8 8 8 8 11 11 12 12 15 17 22 23"
# week, at risk, survival, standard error of the 6-MP group, as published
PUBLISHED = [
    (6, 21, 0.8571, 0.0764), (7, 17, 0.8067, 0.0869), (10, 15, 0.7529, 0.0963), (13, 12, 0.6902, 0.1068),
    (16, 11, 0.6275, 0.1141), (22, 7, 0.5378, 0.1282), (23, 6, 0.4482, 0.1346),
]  # fmt: skip
REPAIRED_ON = timezone.localdate().replace(day=15) - relativedelta(months=40)


@pytest.fixture(scope="module")
def reader(django_db_setup: None, django_db_blocker: Any) -> Iterator[Client]:
    """A member who reads, once three workshops have entered every remission as a repair that came back or runs."""
    with django_db_blocker.unblock(), transaction.atomic():
        cast = make_cast()
        third = make_member(make_workshop("Atelier Moutfort"), name="Claude Wagener")
        members = [cast.technician, cast.member_of_b, third]
        for method, weeks in (("revised_part", SIX_MP), ("used_part_untested", PLACEBO)):
            for number, week in enumerate(weeks.split()):
                enter(members[number % 3], method, week)
        client = Client()
        client.force_login(cast.technician.person)
        yield client
        transaction.set_rollback(True)


def enter(by: Membership, method: str, week: str, ended: str = "same_fault", number: str = "LN 27 410-0") -> Outcome:
    """Share a repair and say how it stands after so many months; a plus means that it ran then."""
    months, runs = int(week.rstrip("+")), week.endswith("+")
    with acting_for(by.workshop):
        outcome = sharing.share_earlier(
            by=by, symptom="Stops uphill", cause="Switch burnt", repair_method=method, family=None,
            part_kind="inverter", parts=[number], repaired_on=REPAIRED_ON, known_as=f"book {week}",
        )  # fmt: skip
        following.say(
            repair=FollowedRepair.objects.get(outcome=outcome),
            answer="still_runs" if runs else ended,
            by=by,
            seen_on=REPAIRED_ON + relativedelta(months=months, days=3),
        )
    return outcome


def page(reader: Client, **asked: str) -> str:
    answer = reader.get(reverse("outcomes_lasting"), asked)
    assert answer.status_code == 200
    return answer.content.decode()


def figures_of(html: str, caption: str) -> list[list[str]]:
    """The body of the table with this caption, cell by cell."""
    table = next(t for t in html.split("<table>")[1:] if f"<caption>{caption}" in t).split("</table>")[0]
    rows = re.findall(r"<tr>(.*?)</tr>", table.split("<tbody>")[1], re.S)
    return [[re.sub(r"<[^>]+>", "", cell) for cell in re.findall(r"<t[hd].*?</t[hd]>", row, re.S)] for row in rows]


def test_the_weeks_are_those_that_lifelines_carries() -> None:
    data = load_leukemia()
    carried = {
        rx: sorted((int(t), bool(s)) for t, s in rows[["t", "status"]].values) for rx, rows in data.groupby("Rx")
    }
    ours = [sorted((int(w.rstrip("+")), not w.endswith("+")) for w in text.split()) for text in (SIX_MP, PLACEBO)]
    assert [carried[0], carried[1]] == ours


def test_the_page_shows_the_published_survival_table(reader: Client) -> None:
    rows = figures_of(page(reader), "Revised part")
    shown = [(int(t), int(n), float(s), float(se)) for t, n, _d, s, se, *_ends in rows]
    assert shown == PUBLISHED
    assert "half of them came back within 23 months" in page(reader)


def test_the_page_shows_the_published_log_rank_value(reader: Client) -> None:
    html = page(reader)
    assert "chi-square 16.79, degrees of freedom 1, p = 0.000042" in html
    assert "19.25" in html and "10.75" in html  # expected failures, as lifelines and statsmodels have them
    assert "differ by more than chance alone" in html


def test_after_two_years_the_answer_stands_first(reader: Client) -> None:
    head = re.sub(r"<[^>]+>|\s+", " ", page(reader).split("<h1")[1].split("</h1>")[0])
    # 45 of 100 after week 23 in the published table; of the placebo group none was left to tell.
    assert "45 of 100 (Revised part) still run" in re.sub(r" +", " ", head)


def test_numbers_at_risk_are_those_still_followed(reader: Client) -> None:
    group = next(g for g in lasting.groups(Outcome.objects.shown(), by="method", related=False) if "Revised" in g.label)
    weeks = [int(w.rstrip("+")) for w in SIX_MP.split()]
    assert [group.at_risk(m) for m in (0, 6, 12, 24)] == [sum(w >= m for w in weeks) for m in (0, 6, 12, 24)]
    assert group.at_risk(12) == 12  # weeks 13 and later, counted by hand


def test_at_a_date_those_known_are_counted_with_their_wilson_interval(reader: Client) -> None:
    group = lasting.groups(
        Outcome.objects.shown().filter(repair_method="used_part_untested"), by="method", related=False
    )[0]
    known = group.known_at(12)
    # 4 of 21 still in remission after week 12; Wilson 0.0767 to 0.4000 by statsmodels' proportion_confint.
    from statsmodels.stats.proportion import proportion_confint

    low, high = proportion_confint(4, 21, method="wilson")
    assert known is not None and (known.running, known.known) == (4, 21)
    assert (known.share.lower, known.share.upper) == pytest.approx((low, high))
    assert f"{round(100 * low)} to {round(100 * high)}" in page(reader)


def test_part_numbers_and_families_are_told_apart_too(reader: Client) -> None:
    by_part = lasting.groups(Outcome.objects.shown(), by="part", related=False)
    assert [(g.label, g.repairs, g.workshops, g.came_back) for g in by_part] == [("LN 27 410-0", 42, 3, 30)]
    with transaction.atomic():
        family = make_family(Membership.objects.get(person__pk=int(reader.session["_auth_user_id"])).workshop)
        Outcome.objects.filter(repair_method="revised_part").update(family=family)
        [told] = lasting.groups(Outcome.objects.shown(), by="family", related=False)
        assert (told.label, told.repairs) == (str(family), 21)
        transaction.set_rollback(True)


@pytest.mark.parametrize("by", ["method", "part", "family"])
def test_one_repair_less_than_five_or_two_workshops_say_nothing(reader: Client, by: str) -> None:
    with transaction.atomic():
        reader_member = Membership.objects.get(person__pk=int(reader.session["_auth_user_id"]))
        for week in ("3", "5", "9", "11", "12"):
            enter(reader_member, "board_repaired", week, number="MK 7")
        html = page(reader, by=by, q="MK 7")
        assert "Too few repairs to tell how long they last." in html
        assert "chart broad" not in html and "Survival tables" not in html
        transaction.set_rollback(True)


@pytest.mark.parametrize(("failed", "came_back"), [("same", 0), ("related", 1)])
def test_a_related_fault_counts_only_where_so_chosen(reader: Client, failed: str, came_back: int) -> None:
    with transaction.atomic():
        members = list(Membership.objects.filter(workshop__state="approved", role="technician").order_by("pk")[:3])
        enter(members[0], "rebuilt_unit", "4", "related")
        for number, ended in enumerate(("unrelated", "sold", "scrapped", "sold", "sold")):
            enter(members[number % 3], "rebuilt_unit", "9", ended)
        counted = lasting.groups(
            Outcome.objects.shown().filter(repair_method="rebuilt_unit"), by="method", related=failed == "related"
        )[0]
        assert (counted.repairs, counted.came_back) == (6, came_back)
        transaction.set_rollback(True)


def test_words_that_fit_twice_count_a_repair_once(reader: Client) -> None:
    with transaction.atomic():
        outcome = Outcome.objects.shown().order_by("pk")[0]
        outcome.codes.create(code="P0A94")
        outcome.codes.create(code="P0A94-1C")
        assert "one repair by one workshop" in re.sub(r"\s+", " ", page(reader, q="P0A94"))
        transaction.set_rollback(True)
