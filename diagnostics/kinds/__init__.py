"""The kinds of record, one file each. To add a kind, copy a file: this registry finds it."""

from __future__ import annotations

import pkgutil
from functools import cache
from importlib import import_module

from diagnostics.kind import Kind


@cache
def all_kinds() -> dict[str, Kind]:
    """Every kind by its code, in the order of the work."""
    modules = [import_module(f"{__name__}.{found.name}") for found in pkgutil.iter_modules(__path__)]
    return {kind.code: kind for kind in sorted((module.KIND for module in modules), key=lambda kind: kind.order)}


def kind_of(code: str) -> Kind | None:
    return all_kinds().get(code)
