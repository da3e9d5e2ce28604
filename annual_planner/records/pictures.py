"""Reading pictures from outside: only what decodes as one comes out, written anew.

Nothing here knows the fleet; `picture_process` runs it in a process of its own.
"""

from __future__ import annotations

import warnings
from dataclasses import dataclass
from hashlib import sha256
from io import BytesIO
from typing import TYPE_CHECKING

from annual_planner.trade.refused import Refused

if TYPE_CHECKING:
    from PIL import Image as Pictures

FORMATS = ("JPEG", "PNG", "WEBP")
MOST_BYTES = 25_000_000
MOST_PIXELS = 50_000_000
"""About what a good telephone takes; 50 million pixels are 150 MB while they are decoded."""
LONGEST_SIDE_PX, THUMBNAIL_PX = 2560, 256
"""A kept picture is made smaller to this: cracks and numbers stay readable, the fleet stays small."""
_QUALITY = 85
REMEDY = "Choose a JPEG, PNG or WebP picture of at most 25 MB and 50 million pixels."


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture written anew: nothing of the file it came from is left but what is seen."""

    jpeg: bytes
    thumbnail: bytes
    width_px: int
    height_px: int

    @property
    def digest(self) -> str:
        """SHA-256 of the JPEG, hexadecimal."""
        return sha256(self.jpeg).hexdigest()


def read_picture(content: bytes) -> Picture:
    """Decode a picture, turn it as its camera says, drop all that isn't picture, and write it as JPEG.

    Refused, with one line, for anything that isn't a whole JPEG, PNG or WebP within the limits.
    """
    if not content:
        raise Refused("The file is empty.", REMEDY)
    if len(content) > MOST_BYTES:
        raise Refused(f"The file has {len(content) / 1e6:.0f} MB.", REMEDY)
    try:
        return _rewritten(_decoded(content))
    except Refused:
        raise
    except Exception as fault:  # a decoder fed with anything may raise anything; the person needs one line
        raise Refused("That file can't be read as a picture.", REMEDY) from fault


def _decoded(content: bytes) -> Pictures.Image:
    from PIL import Image, ImageOps

    with warnings.catch_warnings():
        warnings.simplefilter("error", Image.DecompressionBombWarning)
        warnings.simplefilter("ignore", UserWarning)
        picture = Image.open(BytesIO(content), formats=FORMATS)
        if picture.width * picture.height > MOST_PIXELS or min(picture.size) < 1:
            raise Refused(f"The picture has {picture.width} × {picture.height} pixels.", REMEDY)
        picture.draft("RGB", (LONGEST_SIDE_PX, LONGEST_SIDE_PX))  # a large JPEG is decoded smaller at once
        picture.load()
        return ImageOps.exif_transpose(picture)


def _rewritten(picture: Pictures.Image) -> Picture:
    from PIL import Image

    plain = _on_white(picture)
    plain.thumbnail((LONGEST_SIDE_PX, LONGEST_SIDE_PX), Image.Resampling.LANCZOS)
    small = plain.copy()
    small.thumbnail((THUMBNAIL_PX, THUMBNAIL_PX), Image.Resampling.LANCZOS)
    return Picture(_jpeg(plain), _jpeg(small), plain.width, plain.height)


def _on_white(picture: Pictures.Image) -> Pictures.Image:
    """The pixels alone, on white where the picture is transparent; no profile, place or camera is kept."""
    from PIL import Image

    if picture.mode in ("RGBA", "LA", "PA") or "transparency" in picture.info:
        shown = picture.convert("RGBA")
        plain = Image.new("RGB", shown.size, "white")
        plain.paste(shown, mask=shown.getchannel("A"))
        return plain
    plain = Image.new("RGB", picture.size)
    plain.paste(picture.convert("RGB"))
    return plain


def _jpeg(picture: Pictures.Image) -> bytes:
    out = BytesIO()
    picture.save(out, "JPEG", quality=_QUALITY, optimize=True)
    return out.getvalue()
