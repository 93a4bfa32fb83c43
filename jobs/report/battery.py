"""How the traction battery stands, in the owner's words."""

from __future__ import annotations

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from jobs.models import Job
from jobs.outlook import outlook_of


def battery_words(job: Job) -> list[str]:
    """The outlook in one sentence, then every capacity that it rests on; without one, that none was measured."""
    outlook = outlook_of(job.vehicle)
    found = [
        _("%(day)s: %(figure)s of the rated capacity")
        % {"day": date_format(one.on, "DATE_FORMAT"), "figure": one.figure}
        for one in outlook.counted
    ]
    if not found:
        return [_("The capacity of the traction battery was not measured; how long it will do can't be told.")]
    return [str(outlook.sentence), "; ".join(found) + "."]
