"""How the traction battery stands, in the owner's words."""

from __future__ import annotations

from collections.abc import Sequence

from django.utils.translation import gettext as _

from diagnostics.models import Record
from diagnostics.summary import found_words
from jobs.models import Job

KIND = "battery_capacity"


def battery_words(job: Job, records: Sequence[Record]) -> list[str]:
    """What the newest capacity record says; without one, that it was not measured."""
    last = next((record for record in reversed(records) if record.kind == KIND), None)
    if last is None:
        return [_("The capacity of the traction battery was not measured on this job.")]
    return [
        found_words(last),
        _("Around 40 % of the original capacity a hybrid drives noticeably worse (common practice, no source)."),
    ]
