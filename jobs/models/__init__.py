"""The work: enquiries, customers, vehicles, jobs and what is signed on them (private); outcomes (shared copies)."""

from jobs.models.bays import Bay
from jobs.models.causes import Cause, PictureMark
from jobs.models.codes import CodeDescription, CodeReading, JobCode
from jobs.models.drafts import StepDraft
from jobs.models.enquiries import Enquiry
from jobs.models.estimates import Estimate, EstimateAnswer, EstimateLine, PricedLine, UsedLine
from jobs.models.evidence import Disturbance, Waiver
from jobs.models.following import FollowedRepair, FollowUp
from jobs.models.jobs import Customer, DrivenWheels, Job, SignedEntry, Triage, Vehicle, WatchedTemperature
from jobs.models.lists import ListedStep
from jobs.models.outcomes import Opinion, Outcome, OutcomeCode, OutcomePart
from jobs.models.safety import SafeStep, StateChange
from jobs.models.second_looks import JobLook, SecondLook

__all__ = [
    "Bay",
    "Cause",
    "CodeDescription",
    "CodeReading",
    "Customer",
    "Disturbance",
    "DrivenWheels",
    "Enquiry",
    "Estimate",
    "EstimateAnswer",
    "EstimateLine",
    "FollowUp",
    "FollowedRepair",
    "Job",
    "JobCode",
    "JobLook",
    "ListedStep",
    "Opinion",
    "Outcome",
    "OutcomeCode",
    "OutcomePart",
    "PictureMark",
    "PricedLine",
    "SafeStep",
    "SecondLook",
    "SignedEntry",
    "StateChange",
    "StepDraft",
    "Triage",
    "UsedLine",
    "Vehicle",
    "Waiver",
    "WatchedTemperature",
]
