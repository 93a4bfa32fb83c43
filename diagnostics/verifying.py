"""Find a sheet by the hash of one of its records, whoever's it is, for `/verify/`."""

from __future__ import annotations

from diagnostics.models import Record, Sheet
from network.access import WayOut, acting_for, way_out


def sheet_with_hash(printed: str) -> tuple[Sheet, int] | None:
    """The sheet that a record with this hash stands on, and the record's place there; or None."""
    with way_out(WayOut.VERIFY_BY_HASH):
        found = Record.objects.filter(hash=printed).values_list("workshop_id", "sheet_id", "sequence").first()
    if found is None:
        return None
    with acting_for(found[0]):
        return Sheet.objects.get(pk=found[1]), found[2]
