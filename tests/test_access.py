"""The walk through `tests/access_matrix.py`: every address, asked by everybody, for own, foreign and missing rows.

Outside source: OWASP ASVS 5.0.0, chapter V8 (authorization): access by function and by row is denied unless allowed,
and a refusal doesn't tell what exists.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

import pytest
from allauth.mfa.models import Authenticator
from django.db import transaction
from django.urls import reverse
from django.utils import timezone
from time_machine import TimeMachineFixture

from tests.access_matrix import GET_ONLY, ROLES, ROWS, TELLS_ITS_METHODS
from tests.access_matrix_programs import PROGRAMS
from tests.access_scene import build
from tests.access_walk import LIBRARYS, Walker, patterns, rows_of, said, shown

pytestmark = pytest.mark.django_db
ASKED_BY_PROGRAMS = {"near", "schema", "docs", "alive", "ready", *PROGRAMS}  # a session is nobody there
TRIED = {name: {row.object for row in rows_of(name)} for name in ROWS}
OURS = [name for name in ROWS if not name.startswith(LIBRARYS)]


@pytest.fixture(scope="module")
def walker(django_db_setup: None, django_db_blocker: Any) -> Iterator[Walker]:
    """The scene is made once for the whole walk: each request is undone, and at the end all of it."""
    with django_db_blocker.unblock(), transaction.atomic():
        yield Walker(build())
        transaction.set_rollback(True)


# Whoever acts for no workshop is turned away before a row is looked for, whatever the database.
ACTING = [role for role in ROLES if role in ("technician", "manager", "member_of_b")]
OTHERS = [role for role in ROLES if role not in ACTING]


@pytest.mark.parametrize("roles", [ACTING, pytest.param(OTHERS, marks=pytest.mark.once)], ids=["acting", "others"])
@pytest.mark.parametrize("name", ROWS)
def test_an_address_answers_everybody_as_the_table_says(
    name: str, roles: list[str], walker: Walker, time_machine: TimeMachineFixture
) -> None:
    """And whoever is refused reads the same sentence whether the row is foreign or missing."""
    time_machine.move_to(timezone.now(), tick=False)  # every page says, for print, at which minute it was made
    wrong, refused = [], {}
    for row in rows_of(name):
        for role in roles:
            answer = walker.ask(role, name, row.method, row.object, row.payload)
            got = said(answer)
            if got != row.answers[role]:
                wrong.append(f"{row}, {role}: {got} instead of {row.answers[role]}")
            if got in ("403", "404") and name in OURS and "missing" in TRIED[name]:
                first = refused.setdefault((role, got), shown(answer))
                assert shown(answer) == first, f"{row}, {role}: {got} in other words than before"
    assert not wrong, "\n".join(wrong)


def test_every_address_is_in_the_table_and_the_table_names_no_other() -> None:
    counted = Counter(pattern.name for pattern in patterns())
    assert None not in counted, "an address without a name can't be in the table"
    assert [name for name, times in counted.items() if times > 1] == []
    assert set(counted) == set(ROWS)


def test_every_address_of_a_row_is_asked_for_a_missing_one_too() -> None:
    with_a_row = {pattern.name for pattern in patterns() if pattern.pattern.converters.keys() & {"pk", "token"}}
    asked = {name for name in ROWS for row in rows_of(name) if row.object.startswith(("missing", "link_forged"))}
    assert with_a_row - asked == set()
    assert {name for name in ROWS if {"GET", "POST"} - {row.method for row in rows_of(name)}} == set()


@pytest.mark.once
@pytest.mark.parametrize("name", OURS)
def test_no_other_method_is_answered(name: str, walker: Walker) -> None:
    """The library's own pages answer PUT as POST and tell their methods, as Django's generic views do."""
    row = rows_of(name)[0]
    for role in ("visitor", "technician", "administrator"):
        refused = row.answers[role] if row.answers[role] in ("in", "401", "403") else "405"
        for method in ("PUT", "PATCH", "DELETE", "OPTIONS"):
            wanted = "200" if method == "OPTIONS" and name in TELLS_ITS_METHODS else refused
            assert said(walker.ask(role, name, method, row.object)) == wanted, (role, method)
        head = walker.ask(role, name, "HEAD", row.object, row.payload)
        wanted = "405" if name in GET_ONLY else row.answers[role]
        assert (said(head), head.content) == (wanted, b""), role


@pytest.mark.parametrize("role", ["manager", "administrator"])
def test_managers_and_administrators_get_no_further_without_a_second_factor(role: str, walker: Walker) -> None:
    Authenticator.objects.filter(user=walker.scene.people()[role]).delete()
    for name in OURS:
        row = rows_of(name)[0]
        if name in ASKED_BY_PROGRAMS:
            continue
        answer = walker.ask(role, name, row.method, row.object)
        assert (answer.status_code, answer["Location"]) == (302, reverse("mfa_index")), name
