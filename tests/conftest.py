"""What every test may use: the cast, a client that is signed in as somebody, and counters that start at nought."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable

import pytest
from django.core.cache import cache
from django.db import connection
from django.test import Client
from hypothesis import settings

from network.models import Membership, User
from tests.cast import Cast, make_cast

DATABASE = {"db", "transactional_db", "django_db_reset_sequences", "django_db_serialized_rollback", "live_server"}
TOUCHES = DATABASE | {"django_db_setup"}

settings.register_profile("suite", deadline=None)  # how long an example takes says how busy the machine is, no more
settings.load_profile("suite")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """The longest go first, so that two workers end together; what touches no database is left out on PostgreSQL.

    It was tried on SQLite already, and is counted as deselected.
    """
    of_file = Counter(item.path for item in items)
    items.sort(key=lambda item: (item.get_closest_marker("both") is None, -of_file[item.path]))  # stable within a file
    if connection.vendor != "postgresql":
        return
    plain = [item for item in items if not TOUCHES & set(getattr(item, "fixturenames", ())) and not _marked(item)]
    config.hook.pytest_deselected(items=plain)
    items[:] = [item for item in items if item not in set(plain)]


def _marked(item: pytest.Item) -> bool:
    return item.get_closest_marker("django_db") is not None


@pytest.fixture(autouse=True)
def fresh_counts(request: pytest.FixtureRequest) -> None:
    """Limits (sign-in attempts, enquiries a day) are counted in the cache, which lives in the database."""
    if DATABASE & set(request.fixturenames) or request.node.get_closest_marker("django_db"):
        request.getfixturevalue("db")  # whichever kind of database the test asked for
        cache.clear()


@pytest.fixture
def cast(db: None) -> Cast:
    """Everybody of `tests/cast.py`."""
    return make_cast()


@pytest.fixture
def client_of() -> Callable[..., Client]:
    """A client that is signed in as a person, or as the person of a membership; None: a visitor."""

    def signed_in(somebody: User | Membership | None = None) -> Client:
        client = Client()
        if somebody is not None:
            client.force_login(somebody.person if isinstance(somebody, Membership) else somebody)
        return client

    return signed_in
