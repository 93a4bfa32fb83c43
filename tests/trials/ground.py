"""A database of its own for a trial, gone when it ends."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def ground() -> Iterator[None]:
    """Django set up on an empty database: SQLite, or what TEST_DATABASE_URL names."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")
    import django

    django.setup()
    from django.db import connection
    from django.test.utils import setup_test_environment, teardown_test_environment

    setup_test_environment()
    connection.creation.create_test_db(verbosity=0, autoclobber=True, serialize=False)
    try:
        yield
    finally:
        connection.creation.destroy_test_db(old_database_name="", verbosity=0)
        teardown_test_environment()
