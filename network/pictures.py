"""Pictures: taken in as files that strangers chose, kept as plain JPEG made anew, with nothing of the camera in them.

What comes in is refused or decoded and written again: position, camera and comments stay behind (OWASP ASVS 5.0.0,
chapter V5, file handling). The size is read from the header before anything is decoded, so that a small file which
unfolds to a huge picture costs nothing.
"""

from __future__ import annotations

import hashlib
import io
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.core.files.base import ContentFile
from django.core.files.uploadedfile import UploadedFile
from django.db import transaction
from django.http import HttpResponse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from network.models import Picture, SharedPicture, User, Workshop

LARGEST_FILE_BYTES = 15_000_000
LARGEST_PIXELS = 50_000_000
LONGEST_SIDE_KEPT = 2400
FORMATS = ("JPEG", "PNG", "WEBP")


@dataclass(frozen=True, kw_only=True)
class Cleaned:
    """A picture made anew: JPEG bytes, and its size in pixels."""

    data: bytes
    width: int
    height: int


def cleaned(upload: UploadedFile) -> Cleaned:
    """The picture in an uploaded file, decoded and written again; raises ValidationError with what to do instead."""
    from PIL import Image, ImageOps, UnidentifiedImageError  # loaded where one is uploaded

    if (upload.size or 0) > LARGEST_FILE_BYTES:
        raise ValidationError(
            _("%(name)s is larger than 15 MB. Send a smaller picture.") % {"name": upload.name}, code="too_large"
        )
    try:
        with Image.open(upload, formats=FORMATS) as opened:
            if opened.width * opened.height > LARGEST_PIXELS:
                raise Image.DecompressionBombError
            picture = ImageOps.exif_transpose(opened).convert("RGB")
    except Image.DecompressionBombError as bomb:
        raise ValidationError(
            _("%(name)s has more than 50 megapixels. Send a smaller picture.") % {"name": upload.name},
            code="too_many_pixels",
        ) from bomb
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError) as wrong:
        raise ValidationError(
            _("%(name)s can't be read as a picture. Send a JPEG, PNG or WebP file.") % {"name": upload.name},
            code="no_picture",
        ) from wrong
    picture.thumbnail((LONGEST_SIDE_KEPT, LONGEST_SIDE_KEPT))
    written = io.BytesIO()
    picture.save(written, "JPEG", quality=85, optimize=True)
    return Cleaned(data=written.getvalue(), width=picture.width, height=picture.height)


def keep(picture: Cleaned, *, by: User | None, caption: str = "") -> Picture:
    """Store a picture for the acting workshop; `by` is None where an owner sent it by a private link."""
    stored = Picture(
        sha256=hashlib.sha256(picture.data).hexdigest(),
        width=picture.width,
        height=picture.height,
        caption=caption,
        added_by=by,
    )
    stored.file.save(f"{stored.sha256[:24]}.jpg", ContentFile(picture.data), save=False)
    stored.save()
    return stored


def copied(picture: Picture) -> Cleaned:
    """The picture as it was taken in, to be kept once more: for a workshop that it is handed on to."""
    with picture.file.open("rb") as file:
        return Cleaned(data=file.read(), width=picture.width, height=picture.height)


def remove(picture: Picture) -> None:
    """Delete the row, and its file once that is certain. Nothing may point at it any more."""
    name, storage = picture.file.name or "", picture.file.storage
    picture.delete()
    transaction.on_commit(lambda: storage.delete(name), robust=True)


def share(picture: Picture, *, by: User, workshop: Workshop) -> SharedPicture:
    """A copy of its own that every member may see, made by an explicit act; the private picture stays private."""
    return share_new(copied(picture), by=by, workshop=workshop, caption=picture.caption)


def share_new(picture: Cleaned, *, by: User, workshop: Workshop, caption: str = "") -> SharedPicture:
    """Store a picture that was meant for every member from the start: a revision's mark, a part that is offered."""
    stored = SharedPicture(
        width=picture.width, height=picture.height, caption=caption, shared_by=by, shared_by_workshop=workshop
    )
    stored.file.save(f"{hashlib.sha256(picture.data).hexdigest()[:24]}.jpg", ContentFile(picture.data), save=False)
    stored.save()
    return stored


def served(picture: Picture | SharedPicture) -> HttpResponse:
    """The bytes, as a file that no browser runs: attachment, sandboxed; private pages' headers forbid keeping it."""
    with picture.file.open("rb") as file:
        answer = HttpResponse(file.read(), content_type="image/jpeg")
    answer["Content-Disposition"] = f'attachment; filename="picture-{picture.pk}.jpg"'
    answer["Content-Security-Policy"] = "default-src 'none'; sandbox; frame-ancestors 'none'"
    return answer


class _ManyFiles(forms.ClearableFileInput):
    allow_multiple_selected = True


class _BoundPictures(forms.BoundField):
    @property
    def lost(self) -> str:
        """What to say where the form comes back: a browser doesn't fill in files again."""
        sent = self.data if self.form.is_bound and self.form.errors else None
        return _("Choose the pictures again: they didn't stay chosen when the page came back.") if sent else ""


class PicturesField(forms.FileField):
    """Several pictures of a form, each cleaned: a list of `Cleaned`, empty where none was chosen."""

    def __init__(self, *, most: int = 8, **kwargs: Any) -> None:
        self.most = most
        kwargs.setdefault("required", False)
        kwargs.setdefault("label", gettext_lazy("Pictures"))
        kwargs.setdefault("help_text", gettext_lazy("JPEG, PNG or WebP; the position in them is removed."))
        super().__init__(widget=_ManyFiles(attrs={"accept": "image/jpeg,image/png,image/webp"}), **kwargs)

    def get_bound_field(self, form: forms.BaseForm, field_name: str) -> forms.BoundField:
        return _BoundPictures(form, self, field_name)

    def clean(self, data: Any, initial: Any = None) -> Any:
        files: Sequence[UploadedFile] = data if isinstance(data, list | tuple) else [data] if data else []
        if len(files) > self.most:
            raise ValidationError(_("Send %(most)d pictures at most.") % {"most": self.most}, code="too_many")
        if self.required and not files:
            raise ValidationError(_("Choose a picture."), code="required")
        return [cleaned(super(PicturesField, self).clean(file, initial)) for file in files]
