"""Photos of the demo, drawn here: a dashboard, a power stage with a burnt switch, a packed air duct, a plate."""

from __future__ import annotations

import io
import math
import random
from collections.abc import Callable

from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image, ImageDraw, ImageFilter, ImageFont

from network.pictures import Cleaned, cleaned

SIZE = (1200, 900)
Draw = ImageDraw.ImageDraw
MOST_SHADE = 70


def _photo(name: str, ground: tuple[int, int, int], paint: Callable[[Draw], None]) -> Cleaned:
    """A drawing with the soft light and the grain of a photo, through the same cleaning as anybody's."""
    picture = Image.new("RGB", SIZE, ground)
    paint(ImageDraw.Draw(picture))
    picture = picture.filter(ImageFilter.GaussianBlur(1.2))
    shade = Image.radial_gradient("L").resize(SIZE).point(lambda level: level * MOST_SHADE // 255)
    picture = Image.composite(Image.new("RGB", SIZE, (0, 0, 0)), picture, shade)
    picture = Image.blend(picture, Image.effect_noise(SIZE, 60).convert("RGB"), 0.06)
    written = io.BytesIO()
    picture.save(written, "JPEG", quality=88)
    return cleaned(SimpleUploadedFile(f"{name}.jpg", written.getvalue()))


def dashboard() -> Cleaned:
    """A round dial and a red triangle that is lit."""

    def paint(draw: Draw) -> None:
        draw.rounded_rectangle((60, 140, 1140, 780), 120, fill=(24, 26, 30), outline=(70, 74, 80), width=6)
        draw.ellipse((150, 220, 630, 700), fill=(34, 36, 42), outline=(150, 152, 156), width=5)
        for step in range(25):
            turn = math.radians(135 + step * 270 / 24)
            out, inner = 225, 180 if step % 4 == 0 else 200
            ends = [(390 + r * math.cos(turn), 460 + r * math.sin(turn)) for r in (inner, out)]
            draw.line(ends, fill=(220, 222, 226), width=6 if step % 4 == 0 else 3)
        needle = math.radians(150)
        tip = (390 + 190 * math.cos(needle), 460 + 190 * math.sin(needle))
        draw.line([(390, 460), tip], fill=(230, 90, 40), width=9)
        draw.ellipse((360, 430, 420, 490), fill=(60, 62, 68))
        draw.polygon([(860, 300), (740, 520), (980, 520)], outline=(235, 40, 30), fill=(70, 16, 14), width=16)
        draw.rectangle((851, 372, 869, 455), fill=(235, 40, 30))
        draw.ellipse((849, 470, 871, 492), fill=(235, 40, 30))
        draw.text((700, 590), "186 240 km", font=ImageFont.load_default(54), fill=(120, 190, 180))

    return _photo("dashboard", (92, 86, 80), paint)


def power_stage() -> Cleaned:
    """Six switches on a cold plate; the fourth is burnt, with soot around it."""

    def paint(draw: Draw) -> None:
        draw.rectangle((90, 120, 1110, 790), fill=(168, 172, 176), outline=(90, 94, 98), width=6)
        for column in range(3):
            for row in range(2):
                left, top = 170 + column * 310, 200 + row * 290
                burnt = (column, row) == (1, 1)
                if burnt:
                    for ring in range(14):
                        tone = 150 - ring * 9
                        reach = (14 - ring) * 9
                        spot = (left - reach + 40, top - reach + 60, left + 220 + reach - 40, top + 200 + reach - 60)
                        draw.ellipse(spot, fill=(tone, tone - 4, tone - 10))
                draw.rounded_rectangle(
                    (left, top, left + 220, top + 200), 14,
                    fill=(34, 28, 24) if burnt else (58, 62, 60), outline=(24, 24, 24), width=5,
                )  # fmt: skip
                for leg in range(3):
                    x = left + 40 + leg * 60
                    draw.rectangle((x, top + 200, x + 20, top + 246), fill=(196, 160, 96))
                if burnt:
                    draw.polygon(
                        [
                            (left + 70, top + 50),
                            (left + 130, top + 80),
                            (left + 120, top + 150),
                            (left + 60, top + 120),
                        ],
                        fill=(206, 190, 170),
                    )
                    crack = [(left + 20, top + 20), (left + 90, top + 90), (left + 200, top + 180)]
                    draw.line(crack, fill=(12, 10, 8), width=7)
        for x, y in ((130, 160), (1070, 160), (130, 750), (1070, 750)):
            draw.ellipse((x - 22, y - 22, x + 22, y + 22), fill=(110, 114, 118), outline=(70, 72, 74), width=4)

    return _photo("power-stage", (64, 60, 56), paint)


def air_duct() -> Cleaned:
    """A grille, two thirds of it grown over with hair and dust."""
    dice = random.Random(27)  # the same picture each time

    def paint(draw: Draw) -> None:
        draw.rounded_rectangle((150, 130, 1050, 770), 40, fill=(40, 42, 46), outline=(100, 102, 106), width=10)
        for slot in range(200, 1030, 56):
            draw.rectangle((slot, 180, slot + 22, 720), fill=(16, 17, 19))
        for _hair in range(2600):
            x, y = dice.uniform(190, 800), dice.uniform(190, 715)
            turn, length = dice.uniform(0, math.tau), dice.uniform(20, 80)
            tone = dice.randint(110, 180)
            ends = [(x, y), (x + length * math.cos(turn), y + length * math.sin(turn))]
            draw.line(ends, fill=(tone, tone - 14, tone - 34), width=dice.randint(1, 4))

    return _photo("air-duct", (120, 112, 100), paint)


def plate() -> Cleaned:
    """The plate of a unit with its number and two dots of paint."""

    def paint(draw: Draw) -> None:
        draw.rectangle((140, 250, 1060, 650), fill=(214, 214, 206), outline=(120, 120, 114), width=5)
        draw.text((200, 300), "LN 27 410-0", font=ImageFont.load_default(96), fill=(30, 30, 30))
        draw.text((200, 430), "serial 0147 7731", font=ImageFont.load_default(60), fill=(60, 60, 60))
        for bar in range(46):
            draw.rectangle((200 + bar * 12, 540, 204 + bar * 12 + bar * 7 % 5, 610), fill=(40, 40, 40))
        for x in (860, 950):
            draw.ellipse((x, 470, x + 60, 530), fill=(150, 60, 36))

    return _photo("plate", (132, 136, 138), paint)
