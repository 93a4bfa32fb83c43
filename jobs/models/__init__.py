"""The work: enquiries, customers, vehicles, jobs and what is signed on them (private); outcomes (shared copies)."""

from jobs.models.enquiries import Enquiry
from jobs.models.following import FollowedRepair, FollowUp
from jobs.models.jobs import Customer, Job, JobCode, SignedEntry, Vehicle
from jobs.models.outcomes import Opinion, Outcome, OutcomeCode, OutcomePart

__all__ = [
    "Customer",
    "Enquiry",
    "FollowUp",
    "FollowedRepair",
    "Job",
    "JobCode",
    "Opinion",
    "Outcome",
    "OutcomeCode",
    "OutcomePart",
    "SignedEntry",
    "Vehicle",
]
