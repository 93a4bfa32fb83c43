"""Pictures are refused or made anew. Outside source: OWASP ASVS 5.0.0, chapter V5 (size after decompression, type from
the content); the position in a photo is Exif 2.32, tag GPSInfo (0x8825)."""

from __future__ import annotations

import io
import struct
import zlib
from typing import Any

import pytest
from django import forms
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db.models.fields import BLANK_CHOICE_DASH
from django.utils.datastructures import MultiValueDict
from PIL import Image

from network import pictures
from network.access import acting_for
from network.models import SharedPicture
from tests import cast as made

GPS = 0x8825


def upload(data: bytes, name: str = "photo.jpg") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, data)


def written(size: tuple[int, int] = (60, 40), format: str = "JPEG", **how: Any) -> bytes:
    file = io.BytesIO()
    Image.new("RGB", size, "grey").save(file, format, **how)
    return file.getvalue()


def png_claiming(width: int, height: int) -> bytes:
    """A PNG of a few hundred bytes whose header claims a size."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    header = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", header) + chunk(b"IDAT", zlib.compress(b"\0" * 100)) + chunk(b"IEND", b"")
    )


def with_position() -> bytes:
    exif = Image.Exif()
    exif.get_ifd(GPS)[1] = "N"
    exif[0x010F] = "Camera of somebody"  # Make
    return written(exif=exif)


def test_the_position_and_the_camera_stay_behind() -> None:
    assert b"Camera of somebody" in with_position()
    made_anew = Image.open(io.BytesIO(pictures.cleaned(upload(with_position())).data))
    assert not made_anew.getexif() and not made_anew.info.get("comment")


def test_a_photo_lying_on_its_side_is_turned() -> None:
    exif = Image.Exif()
    exif[0x0112] = 6  # Exif 2.32, Orientation: the 0th row is the visual right-hand side
    turned = pictures.cleaned(upload(written((60, 40), exif=exif)))
    assert (turned.width, turned.height) == (40, 60)


@pytest.mark.parametrize("format", ["JPEG", "PNG", "WEBP"])
def test_what_is_kept_is_a_jpeg_of_at_most_2400_pixels(format: str) -> None:
    kept = pictures.cleaned(upload(written((3000, 1500), format)))
    assert (kept.width, kept.height) == (2400, 1200)
    assert Image.open(io.BytesIO(kept.data)).format == "JPEG"


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (png_claiming(12_000, 12_000), "too_many_pixels"),
        (png_claiming(60_000, 60_000), "too_many_pixels"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "no_picture"),
        (written(format="GIF"), "no_picture"),
        (written()[:200], "no_picture"),
        (b"\xff\xd8\xff\xe0" + b"\0" * 40, "no_picture"),
        (b"\0" * 15_000_001, "too_large"),
    ],
    ids=["a bomb", "a larger bomb", "svg", "gif", "cut off", "only a beginning", "too many bytes"],
)
@pytest.mark.filterwarnings("ignore::PIL.Image.DecompressionBombWarning")  # read from the header, nothing is decoded
def test_what_is_no_picture_or_a_bomb_is_refused_with_a_sentence(data: bytes, code: str) -> None:
    with pytest.raises(ValidationError) as refused:
        pictures.cleaned(upload(data))
    assert refused.value.code == code and "photo.jpg" in refused.value.messages[0]


def test_a_form_takes_several_and_says_how_many_at_most() -> None:
    field = pictures.PicturesField(most=2)
    assert [one.width for one in field.clean([upload(written()), upload(written((80, 40)))])] == [60, 80]
    assert field.clean(None) == []
    with pytest.raises(ValidationError, match="2 pictures at most"):
        field.clean([upload(written())] * 3)


class Asked(forms.Form):
    name = forms.CharField()
    work = forms.ChoiceField(choices=[*BLANK_CHOICE_DASH, ("board", "Board")], required=False)
    photos = pictures.PicturesField()


def test_a_form_that_comes_back_says_that_its_pictures_are_to_be_chosen_again() -> None:
    files = MultiValueDict({"photos": [upload(written()), upload(written())]})
    again = "Choose the pictures again"
    assert again in str(Asked({"name": ""}, files))
    for quiet in (Asked({"name": ""}, MultiValueDict()), Asked({"name": "x"}, files), Asked()):
        assert again not in str(quiet)


def test_the_empty_choice_of_any_list_is_one_dash() -> None:
    drawn = str(Asked())
    assert '<option value="" selected>—</option>' in drawn and "---" not in drawn


@pytest.mark.django_db
def test_a_shared_picture_is_a_copy_and_not_the_private_file() -> None:
    member = made.make_member(made.make_workshop("Ateliers Hautpré"), name="Ilse Verhoeven")
    with acting_for(member.workshop):
        kept = pictures.keep(made.make_picture(), by=member.person, caption="label")
        pictures.share(kept, by=member.person, workshop=member.workshop)
    shown = SharedPicture.objects.get()
    assert shown.file.name != kept.file.name and shown.caption == "label"


@pytest.mark.django_db
def test_it_is_served_as_a_file_that_no_browser_runs() -> None:
    member = made.make_member(made.make_workshop("Ateliers Hautpré"), name="Ilse Verhoeven")
    with acting_for(member.workshop):
        answer = pictures.served(pictures.keep(made.make_picture(), by=member.person))
    assert answer["Content-Disposition"].startswith("attachment") and "sandbox" in answer["Content-Security-Policy"]
