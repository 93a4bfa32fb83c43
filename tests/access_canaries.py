"""Unique words in everything that B keeps to itself, so that a single one of them anywhere in A's sight shows a leak.

Sown: every text field of every private model's rows of B (found by walking the fields, so a new field is sown too);
and what is B's own although its table is shared: requests to other regions, answers to others, what it took back, what it asked of colleagues elsewhere,
its application, its people's certificate numbers and notices; and all of the workshops that aren't approved.

Not sown, because B shows it to A by an act of its own: the workshop's public page and its people's names and papers,
requests that were sent to A's region, answers to A's requests, outcomes that stand, system families and limits.
"""

from __future__ import annotations

import itertools
import json
from collections.abc import Iterable, Iterator
from typing import Any

from django.db import models

from jobs.models import SecondLook
from network.access import acting_for
from network.models import Application, Notice, Qualification, Workshop
from parts.models import Answer, PartRequest
from tests.access_scene import Scene, private_models

# Texts whose value is no secret: what a printed sheet shows, for anybody to verify it by.
PRINTED = {"hash", "previous_hash", "last_hash"}


class Sower:
    def __init__(self) -> None:
        self.words: dict[str, str] = {}  # the word, lower case: where it was sown
        self._numbers = itertools.count(100)

    def sow(self, row: models.Model, names: Iterable[str] = ()) -> None:
        """Put a new word into each text field of the row (or those named), past `save` and its checks."""
        fresh: dict[str, Any] = {}
        for field in text_fields(type(row)):
            if not names or field.attname in names:
                word = f"zq{next(self._numbers)}xk"
                self.words[word] = f"{row._meta.label}.{field.name}"
                fresh[field.attname] = _with(word, str(getattr(row, field.attname) or ""))
        type(row)._base_manager.filter(pk=row.pk).update(**fresh)


def text_fields(model: type[models.Model]) -> Iterator[models.Field[Any, Any]]:
    """Fields in which people, instruments or the portal put words; not codes of a list, nor what is too short."""
    for field in model._meta.concrete_fields:
        texts = isinstance(field, models.CharField | models.TextField | models.FileField)
        if texts and not field.choices and field.name not in PRINTED and (field.max_length or 99) >= 7:
            yield field


def _with(word: str, text: str) -> str:
    """The word alone; within a canonical text as one more value, so that it can still be read."""
    return json.dumps({**json.loads(text), "remark": word}) if text.startswith("{") else word


def sow(scene: Scene) -> dict[str, str]:
    """Sow all of B; gives the words with where each stands."""
    sower = Sower()
    b = scene.cast.b
    with acting_for(b):
        for model in private_models():
            for row in model._default_manager.all():
                sower.sow(row)
    for row in Workshop.objects.exclude(state=Workshop.State.APPROVED):
        sower.sow(row)
    sower.sow(PartRequest.objects.get(**scene.objects["quiet_request_of_b"]))
    sower.sow(Answer.objects.get(**scene.objects["answer_of_b_to_c"]))
    sower.sow(SecondLook.objects.get(**scene.objects["look_of_b_by_c"]), ["question", "copy_sha256"])
    sower.sow(Application.objects.get(workshop=b))
    sower.sow(b, ["business_number"])
    for row in Qualification.objects.filter(holder__memberships__workshop=b):
        sower.sow(row, ["certificate"])
    for row in Notice.objects.filter(person__memberships__workshop=b):
        sower.sow(row, ["subject", "body", "path", "last_error"])
    return sower.words
