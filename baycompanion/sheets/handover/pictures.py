"""Photos made small enough to print, without anything in them but the picture."""

import base64
import io
import warnings
from dataclasses import dataclass

LONGEST_SIDE = 480
"""Pixels of the longer side of a small picture: sharp at 40 mm in print. Own choice."""

MOST_PIXELS = 120_000_000
"""Pixels of the largest picture that is opened: above today's telephones, below 500 MB unpacked
in colour. Own choice."""

FORMATS = ("BMP", "GIF", "JPEG", "PNG", "TIFF", "WEBP")
"""The formats that are read; a decoder that nobody needs is a door that nobody watches."""


@dataclass(frozen=True, slots=True)
class Small:
    """A picture made small: its bytes as JPEG."""

    jpeg: bytes

    @property
    def uri(self) -> str:
        """The picture as a data URI."""
        return f"data:image/jpeg;base64,{base64.b64encode(self.jpeg).decode('ascii')}"


def make_small(content: bytes) -> Small | str:
    """Return the picture in `content` made small and upright, or why it cannot be shown.

    Only pixels are taken over: no position, no camera, no time, no preview of the whole. The
    size is looked at before a pixel is unpacked.
    """
    from PIL import Image, UnidentifiedImageError  # 40 ms, and only where there is a photo

    try:
        with warnings.catch_warnings(), Image.open(io.BytesIO(content), formats=FORMATS) as image:
            warnings.simplefilter("ignore")  # of a large picture; its size is judged below
            if image.width * image.height > MOST_PIXELS:
                return f"it has more than {MOST_PIXELS // 1_000_000} million pixels"
            return Small(_jpeg(image))
    except UnidentifiedImageError:
        return "its format cannot be read here"
    except Image.DecompressionBombError:
        return f"it has more than {MOST_PIXELS // 1_000_000} million pixels"
    except (OSError, ValueError, SyntaxError, EOFError, MemoryError, OverflowError):
        return "the picture in it is damaged"
    except Exception:  # a decoder that stumbles over a forged file raises whatever it likes
        return "the picture in it is damaged"


def _jpeg(image: "Image.Image") -> bytes:  # type: ignore[name-defined]  # noqa: F821
    """Return `image` small, upright, on white, as the bytes of a JPEG file."""
    from PIL import Image, ImageOps

    image.draft("RGB", (LONGEST_SIDE * 2, LONGEST_SIDE * 2))  # a JPEG unpacks no more than that
    image.thumbnail((LONGEST_SIDE * 2, LONGEST_SIDE * 2))
    upright = ImageOps.exif_transpose(image).convert("RGBA")
    upright.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    paper = Image.new("RGB", upright.size, "white")
    paper.paste(upright, mask=upright.getchannel("A"))
    out = io.BytesIO()
    paper.save(out, "JPEG", quality=80, optimize=True)
    return out.getvalue()
