"""The same write asked twice is done once: `Idempotency-Key`, kept per workshop with the answer that was given.

The key's row, what the write does and the answer are one transaction, so there is no answer without its write and no
write without its answer. The second of two at once waits for the first at the key's unique index and then gives the
same answer. Answers that changed nothing (4xx) aren't kept: the program may mend its body and ask again with its key.
"""

from __future__ import annotations

import datetime
import hashlib
import json
from collections.abc import Callable
from typing import Any

from django.core.files.uploadedfile import UploadedFile
from django.db import IntegrityError, transaction
from django.utils import timezone
from django.utils.translation import gettext as _
from drf_spectacular.utils import OpenApiParameter
from rest_framework.request import Request
from rest_framework.response import Response

from network.api_tokens import body_of
from network.models import KeptAnswer
from network.problems import problem

KEPT_FOR = datetime.timedelta(days=30)
LONGEST_KEY = 255
HEADER = "Idempotency-Key"
KEY = OpenApiParameter(
    HEADER,
    {"type": "string", "maxLength": LONGEST_KEY},
    OpenApiParameter.HEADER,
    description="Your own mark of this request: asked again with it, the same answer and nothing done twice.",
)


class _NotKept(Exception):
    """Rolls back what a refused write did."""

    def __init__(self, answer: Any) -> None:
        self.answer = answer


def once(request: Request, write: Callable[[], Any]) -> Any:
    """The answer of `write`, done in a transaction; with a key that was used before, the answer of then."""
    key = request.headers.get(HEADER, "")
    if len(key) > LONGEST_KEY or not key.isprintable():
        return problem(400, _("An Idempotency-Key has at most 255 printable characters."))
    try:
        with transaction.atomic():
            return _first(key, fingerprint(request), write) if key else _or_undone(write())
    except _NotKept as refused:
        return refused.answer
    except IntegrityError:
        kept = KeptAnswer.objects.filter(key=key).first() if key else None
        if kept is None:
            raise
        return _again(kept, fingerprint(request))


def _first(key: str, print_of_body: str, write: Callable[[], Any]) -> Any:
    kept = KeptAnswer.objects.filter(key=key).first()
    if kept is not None:
        return _again(kept, print_of_body)
    KeptAnswer.objects.filter(made_at__lt=timezone.now() - KEPT_FOR).delete()
    kept = KeptAnswer(key=key, fingerprint=print_of_body)
    kept.save()
    answer = _or_undone(write())
    KeptAnswer.objects.filter(pk=kept.pk).update(status=answer.status_code, body=json.dumps(answer.data))
    return answer


def _or_undone(answer: Any) -> Any:
    if answer.status_code >= 400:
        raise _NotKept(answer)
    return answer


def _again(kept: KeptAnswer, print_of_body: str) -> Any:
    if kept.fingerprint != print_of_body:
        return problem(422, _("This Idempotency-Key was used for another request. Use a new key."))
    return Response(json.loads(kept.body), status=kept.status, headers={"Idempotent-Replayed": "true"})


def fingerprint(request: Request) -> str:
    """What makes two requests the same: method, path, and the body's fields and files; not its spelling."""
    fields: dict[str, Any] = {}
    for name, value in body_of(request).items():
        if isinstance(value, UploadedFile):
            fields[name] = hashlib.sha256(value.read()).hexdigest()
            value.seek(0)
        else:
            fields[name] = value
    whole = json.dumps([request.method, request.path, fields], sort_keys=True)
    return hashlib.sha256(whole.encode()).hexdigest()
