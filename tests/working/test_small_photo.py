"""Photos made small: upright, without what a camera adds, never too much of them in memory.

The pictures are made by the imaging library itself, and what comes out is read by it again.
"""

import io
import struct
import zlib
from typing import Any

import pytest
from PIL import ExifTags, Image

from baycompanion.sheets.handover.pictures import Small
from baycompanion.working import small_photo
from baycompanion.working.small_photo import (
    DAMAGED,
    LONGEST_SIDE,
    TOO_LARGE,
    UNREADABLE,
    make_small,
)

WIDE = (1600, 400)


def picture(mode: str = "RGB", size: tuple[int, int] = WIDE, **save: Any) -> bytes:
    """Return a picture whose left half is dark and whose right half is light."""
    image = Image.new("L", size, 250)
    image.paste(5, (0, 0, size[0] // 2, size[1]))
    out = io.BytesIO()
    image.convert("RGB").convert(mode).save(out, save.pop("format", "JPEG"), **save)
    return out.getvalue()


def small(content: bytes) -> Image.Image:
    """Return the small picture, as any reader finds it."""
    made = make_small(content)
    assert isinstance(made, Small), made
    return Image.open(io.BytesIO(made.jpeg))


def located(orientation: int = 1) -> bytes:
    """Return a photo as a telephone takes it: with where, when and by what it was taken."""
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = orientation
    exif[ExifTags.Base.Make] = "MAKER-OF-IT"
    exif.get_ifd(ExifTags.IFD.GPSInfo)[ExifTags.GPS.GPSLatitude] = (51.0, 30.0, 26.0)
    exif.get_ifd(ExifTags.IFD.GPSInfo)[ExifTags.GPS.GPSLatitudeRef] = "N"
    return picture(exif=exif.tobytes(), comment=b"COMMENT-IN-IT")


def test_a_large_picture_becomes_small_and_keeps_its_shape() -> None:
    assert small(picture()).size == (LONGEST_SIDE, LONGEST_SIDE // 4)


def test_a_small_picture_is_not_blown_up() -> None:
    assert small(picture(size=(40, 30))).size == (40, 30)


def test_a_place_a_maker_and_a_remark_stay_in_the_shop() -> None:
    content = located()
    assert Image.open(io.BytesIO(content)).getexif().get_ifd(ExifTags.IFD.GPSInfo)
    made = make_small(content)
    assert isinstance(made, Small)
    again = Image.open(io.BytesIO(made.jpeg))
    assert not again.getexif()
    assert not again.getexif().get_ifd(ExifTags.IFD.GPSInfo)
    assert not {"exif", "xmp", "comment", "icc_profile"} & set(again.info)
    for trace in (b"Exif", b"MAKER-OF-IT", b"COMMENT-IN-IT", b"http://ns.adobe.com"):
        assert trace not in made.jpeg


def test_remarks_in_a_png_stay_in_the_shop_too() -> None:
    from PIL.PngImagePlugin import PngInfo

    remarks = PngInfo()
    remarks.add_text("Comment", "REMARK-IN-IT")
    content = picture(format="PNG", pnginfo=remarks)
    assert b"REMARK-IN-IT" in content
    made = make_small(content)
    assert isinstance(made, Small)
    assert b"REMARK-IN-IT" not in made.jpeg


@pytest.mark.parametrize(
    ("orientation", "upright", "dark"),
    [(1, False, "left"), (3, False, "right"), (6, True, "top"), (8, True, "bottom")],
)
def test_a_picture_held_turned_is_shown_upright(orientation: int, upright: bool, dark: str) -> None:
    """The meaning of the four turns: Exif 2.3, tag 274, from memory."""
    shown = small(located(orientation)).convert("L")
    width, height = shown.size
    assert (height > width) is upright
    at = {
        "left": (2, height // 2),
        "right": (width - 3, height // 2),
        "top": (width // 2, 2),
        "bottom": (width // 2, height - 3),
    }
    level = {side: shown.getpixel(place) for side, place in at.items()}
    assert min(level, key=lambda side: level[side]) == dark  # type: ignore[arg-type, return-value]


@pytest.mark.parametrize("format_", ["BMP", "GIF", "JPEG", "PNG", "TIFF", "WEBP"])
def test_every_format_that_is_read_becomes_a_jpeg(format_: str) -> None:
    assert small(picture(format=format_)).format == "JPEG"


@pytest.mark.parametrize(
    ("mode", "format_"),
    [("CMYK", "JPEG"), ("L", "PNG"), ("P", "PNG"), ("1", "PNG"), ("I;16", "PNG"), ("LA", "PNG")],
)
def test_every_kind_of_pixel_can_be_shown(mode: str, format_: str) -> None:
    if mode == "I;16":
        out = io.BytesIO()
        Image.new("I;16", (30, 20), 40_000).save(out, format_)
        content = out.getvalue()
    elif mode == "LA":
        out = io.BytesIO()
        Image.new("LA", (30, 20), (9, 0)).save(out, format_)
        content = out.getvalue()
    else:
        content = picture(mode, format=format_)
    assert small(content).mode == "RGB"


def test_what_is_see_through_lies_on_white() -> None:
    out = io.BytesIO()
    Image.new("RGBA", (8, 8), (0, 0, 0, 0)).save(out, "PNG")
    assert small(out.getvalue()).getpixel((4, 4)) == (255, 255, 255)


def forged_png(width: int, height: int) -> bytes:
    """Return a tiny file that claims a picture of that size (PNG, section 11.2.2, from memory)."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return (
            struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        )

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", head)
        + chunk(b"IDAT", zlib.compress(b"\0" * 99))
        + chunk(b"IEND", b"")
    )


@pytest.mark.parametrize("size", [(9_000, 9_000), (60_000, 60_000), (2_000_000_000, 2)])
def test_a_picture_that_would_fill_the_memory_is_refused_unopened(
    size: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(small_photo, "_jpeg", lambda _: pytest.fail("it was unpacked"))
    assert make_small(forged_png(*size)) == TOO_LARGE


@pytest.mark.parametrize(
    "content",
    [b"", b"no picture", b"%PDF-1.7", b"<svg xmlns='http://www.w3.org/2000/svg'/>", b"\xff\xd8"],
)
def test_what_is_no_picture_is_told(content: bytes) -> None:
    assert make_small(content) == UNREADABLE


@pytest.mark.parametrize("content", [picture()[:400], forged_png(40, 40)])
def test_a_picture_cut_off_is_told(content: bytes) -> None:
    assert make_small(content) == DAMAGED


def test_a_decoder_that_stumbles_is_told_and_never_raises(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def stumble(_: object) -> bytes:
        raise RuntimeError("forged")

    monkeypatch.setattr(small_photo, "_jpeg", stumble)
    assert make_small(picture()) == DAMAGED
