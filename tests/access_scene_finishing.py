"""What `tests/access_scene.py` has of the lists of fitting and proving."""

from __future__ import annotations

from typing import Any

from jobs.models import Job

PAYLOADS: dict[str, dict[str, Any]] = {
    "draft": {"words-coded": "half a sentence", "act": "draft"},
    "coded": {"words-coded": "coded by Ilse"},
    "listed_step": {"title": "Marks of paint", "ask": "Where", "how": "words"},
    "coded_up": {"code": "coded", "act": "up"},
}


def objects(of_a: Job, of_b: Job, missing: int) -> dict[str, dict[str, Any]]:
    """The list of a job of each workshop, and lists that there are not."""
    return {
        "fitting_of_a": {"pk": of_a.pk, "stage": "fitting"},
        "fitting_of_b": {"pk": of_b.pk, "stage": "fitting"},
        "no_stage_of_a": {"pk": of_a.pk, "stage": "nonsense"},
        "cause_of_a": {"pk": of_a.pk, "step": "cause"},
        "missing_fitting": {"pk": missing, "stage": "fitting"},
        "list_of_fitting": {"part": "inverter", "stage": "fitting"},
        "no_list": {"part": "nonsense", "stage": "fitting"},
    }
