"""Find a sheet by the hash of one of its records, whoever's it is, for `/verify/`."""

from __future__ import annotations

from diagnostics.models import Record, Sheet
from network.access import WayOut, acting_for, way_out


def sheet_with_hash(printed: str) -> Sheet | None:
    """The sheet that a record with this hash stands on, or None."""
    with way_out(WayOut.VERIFY_BY_HASH):
        found = Record.objects.filter(hash=printed).values_list("workshop_id", "sheet_id").first()
    if found is None:
        return None
    with acting_for(found[0]):
        return Sheet.objects.get(pk=found[1])
