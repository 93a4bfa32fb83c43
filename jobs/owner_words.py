"""How an enquiry and the job made of it stand, in the words of an owner who has never seen a workshop from inside."""

from __future__ import annotations

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from jobs.models import Enquiry, Job
from jobs.telling_owner import stand_of


def standing(enquiry: Enquiry, job: Job | None) -> str:
    """The sentence that the owner's page opens with."""
    name = {"name": enquiry.workshop.name}
    match enquiry.state:
        case Enquiry.State.SENT:
            return _("%(name)s has your enquiry and has not answered yet.") % name
        case Enquiry.State.ANSWERED if enquiry.date_chosen:
            day = date_format(timezone.localtime(enquiry.date_chosen), "DATETIME_FORMAT")
            return _("%(name)s expects you on %(day)s.") % {**name, "day": day}
        case Enquiry.State.ANSWERED:
            return _("%(name)s has answered.") % name
        case Enquiry.State.WITHDRAWN:
            return _("You have withdrawn this enquiry.")
        case Enquiry.State.PASSED_ON:
            return _("You had this enquiry sent on to %(name)s.") % {"name": enquiry.better}
    return stand_of(job) if job else _("%(name)s has taken your car on.") % name
