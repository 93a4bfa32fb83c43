"""The work: enquiries, customers, vehicles, jobs and what is signed on them (private); outcomes (shared copies)."""

from jobs.models.enquiries import Enquiry
from jobs.models.following import FollowedRepair, FollowUp
from jobs.models.jobs import Customer, Job, JobCode, SignedEntry, Vehicle
from jobs.models.outcomes import Opinion, Outcome, OutcomeCode, OutcomePart
from jobs.models.second_looks import JobLook, SecondLook

__all__ = [
    "Customer",
    "Enquiry",
    "FollowUp",
    "FollowedRepair",
    "Job",
    "JobCode",
    "JobLook",
    "Opinion",
    "Outcome",
    "OutcomeCode",
    "OutcomePart",
    "SecondLook",
    "SignedEntry",
    "Vehicle",
]
