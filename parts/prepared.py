"""A statement of our own whose plan PostgreSQL keeps: planning a recursive walk takes it longer than walking.

SQLite's driver keeps statements by itself. Behind a pooler that shares connections between transactions nothing can be
kept; such an installation sets DISABLE_SERVER_SIDE_CURSORS, as Django's documentation asks of it, and plans each time.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any
from weakref import WeakKeyDictionary

from django.db import connection


class Statement:
    """`sql` with %s for each value; `types` are PostgreSQL's names of their types, in the same order."""

    def __init__(self, name: str, types: Sequence[str], sql: str) -> None:
        self.name, self.types, self.sql = name, types, sql
        self._kept_by: WeakKeyDictionary[Any, bool] = WeakKeyDictionary()  # connections that know it

    def rows(self, *values: Any) -> list[tuple[Any, ...]]:
        with connection.cursor() as cursor:
            cursor.execute(self._known_to(cursor), values)
            return cursor.fetchall()

    def _known_to(self, cursor: Any) -> str:
        """The text to be sent: the statement itself, or the name under which this connection keeps it."""
        database = cursor.db  # the connection itself: asking it by its proxy is slower than the walk's first step
        if database.vendor != "postgresql" or database.settings_dict.get("DISABLE_SERVER_SIDE_CURSORS"):
            return self.sql
        if database.connection not in self._kept_by:
            numbered = self.sql % tuple(f"${place}" for place in range(1, len(self.types) + 1))
            cursor.execute(f"PREPARE {self.name} ({', '.join(self.types)}) AS {numbered}")
            self._kept_by[database.connection] = True
        return f"EXECUTE {self.name} ({', '.join(['%s'] * len(self.types))})"
