"""Mail that came back: a delivery status notification (RFC 3464) tells which notice did not arrive, and why.

The operator's mail server pipes what comes back to the sender's address into `manage.py take_returned_mail`.
"""

from __future__ import annotations

import email
import email.policy
from collections.abc import Sequence
from dataclasses import dataclass
from email.message import Message

from django.db import transaction

from network.models import Notice, User


@dataclass(frozen=True, kw_only=True)
class Returned:
    """What a notification says of one recipient: the status by RFC 3463, and the mail it speaks of."""

    recipient: str
    status: str
    why: str
    message_id: str

    @property
    def for_good(self) -> bool:
        """Class 5 is permanent (RFC 3463, section 3.1): the address fails, and not only this delivery."""
        return self.status.startswith("5")


def read(data: bytes) -> list[Returned]:
    """The failed recipients that a notification names; an empty list for any other mail."""
    whole = email.message_from_bytes(data, policy=email.policy.default)
    parts = list(whole.walk())
    original = next(
        (str(part["Message-ID"]) for part in reversed(parts) if part is not whole and part["Message-ID"]), ""
    )
    if not original:
        original = _in_headers_only(parts)
    status = [part for part in parts if part.get_content_type() == "message/delivery-status"]
    groups = [group for part in status for group in _groups(part)]
    return [
        Returned(
            recipient=_address(group["Final-Recipient"]),
            status=str(group["Status"] or "").strip(),
            why=" ".join(str(group["Diagnostic-Code"] or group["Status"] or "").split())[:150],
            message_id=original.strip(),
        )
        for group in groups
        if str(group["Action"] or "").strip().lower() == "failed" and group["Final-Recipient"]
    ]


@transaction.atomic
def take(data: bytes) -> int:
    """Mark what was given up: the notice is stuck; where the address itself fails, its person is shown that."""
    marked = 0
    for one in read(data):
        # A forged mail could name any address; only one that we wrote to under that identity counts.
        notice = Notice.objects.filter(message_id=one.message_id, email__iexact=one.recipient).first()
        if notice is None:
            continue
        marked += Notice.objects.filter(pk=notice.pk).update(state=Notice.State.STUCK, last_error=one.why)
        if notice.person_id and one.for_good:
            User.objects.filter(pk=notice.person_id).came_back(one.why)
    return marked


def _groups(part: Message) -> list[Message]:
    payload = part.get_payload()
    return [group for group in payload if isinstance(group, Message)] if isinstance(payload, list) else []


def _in_headers_only(parts: Sequence[Message]) -> str:
    """Where only the headers came back (text/rfc822-headers, RFC 6522, section 4)."""
    for part in parts:
        if part.get_content_type() == "text/rfc822-headers":
            return str(email.message_from_string(str(part.get_payload()))["Message-ID"] or "")
    return ""


def _address(field: object) -> str:
    """The address behind its kind: "rfc822; arathib@vnet.example"."""
    return str(field).rpartition(";")[2].strip().strip("<>")
