"""Photos made small for print, with nothing in them but the picture."""

import io
import warnings
from typing import TYPE_CHECKING

from baycompanion.sheets.handover.pictures import Small

if TYPE_CHECKING:
    from PIL.Image import Image as Picture

LONGEST_SIDE = 480
"""Pixels of the longer side of a small picture: sharp at 40 mm in print. Own choice."""

MOST_PIXELS = 64_000_000
"""Pixels of the largest picture that is unpacked, which takes some 250 MB. Own choice."""

FORMATS = ("BMP", "GIF", "JPEG", "PNG", "TIFF", "WEBP")
"""The formats that are read; a decoder that nobody needs is a door that nobody watches."""

TOO_LARGE = f"it has more than {MOST_PIXELS // 1_000_000} million pixels"
UNREADABLE = "its format cannot be read here"
DAMAGED = "the picture in it is damaged"


def make_small(content: bytes, longest: int = LONGEST_SIDE) -> Small | str:
    """Return the picture in `content` made small and upright, or why it cannot be shown.

    Its longer side has `longest` pixels, or as many as there are.

    Only pixels are taken over: no position, no camera, no time, no preview of the whole. The
    size is looked at before a pixel is unpacked.
    """
    from PIL import Image, UnidentifiedImageError  # 40 ms, and only where there is a photo

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # of a large picture; its size is judged here
            with Image.open(io.BytesIO(content), formats=FORMATS) as picture:
                if picture.width * picture.height > MOST_PIXELS:
                    return TOO_LARGE
                return Small(_jpeg(picture, longest))
    except UnidentifiedImageError:
        return UNREADABLE
    except Image.DecompressionBombError:
        return TOO_LARGE
    except Exception:  # a decoder that stumbles over a forged file raises whatever it likes
        return DAMAGED


def _jpeg(picture: "Picture", longest: int) -> bytes:
    """Return `picture` small, upright, on white paper, as the bytes of a JPEG file."""
    from PIL import Image, ImageOps

    picture.thumbnail((2 * longest, 2 * longest))  # a JPEG unpacks little more than this
    upright = ImageOps.exif_transpose(picture)
    upright = upright.convert("RGBA" if upright.has_transparency_data else "RGB")
    upright.thumbnail((longest, longest))
    paper = Image.new("RGB", upright.size, "white")
    paper.paste(upright, mask=upright if upright.mode == "RGBA" else None)
    out = io.BytesIO()
    paper.save(out, "JPEG", quality=80, optimize=True)
    return out.getvalue()
