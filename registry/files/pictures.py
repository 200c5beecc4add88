"""Photographs made fit to be shown: read by their content, turned upright, made smaller, with nothing but what is seen.

What a camera writes beside the picture (the position above all) does not pass: the picture is painted anew.
"""

import struct
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from io import BytesIO

from PIL import ExifTags, Image, ImageOps, UnidentifiedImageError

from registry.files.store import LaidFile, lay_aside
from registry.rules.papers.files import JPEG, PNG, WEBP
from registry.rules.reading import Reading, refusal, shown

KINDS = (JPEG, PNG, WEBP)
# A page shows no more; the original is kept beside it.
LONGEST_SIDE = 1600
# A small file may unfold to a picture that fills the memory; no camera in a hall makes a larger one.
MOST_PIXELS = 80_000_000
QUALITY = 85
# What the library raises of files that are damaged, in the picture or in what the camera wrote beside it.
BROKEN = (
    UnidentifiedImageError, OSError, ValueError, SyntaxError, TypeError, LookupError, ArithmeticError, EOFError,
    struct.error,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class LaidPicture:
    """A photograph laid aside twice: as it came, and as it is shown. Sides in pixels of the shown one."""

    original: LaidFile
    picture: LaidFile
    width: int
    height: int
    had_place: bool


def lay_picture_aside(original: LaidFile, content: bytes) -> Reading[LaidPicture]:
    """Make the picture to be shown of a file that is laid aside; refused when it cannot be read as one."""
    called = shown(original.name)
    try:
        with _in_our_own_words(), Image.open(BytesIO(content), formats=[k.key.upper() for k in KINDS]) as opened:
            if opened.width * opened.height > MOST_PIXELS:
                return refusal("too_large", _too_many(called, opened.width, opened.height), original.name)
            had_place = bool(opened.getexif().get_ifd(ExifTags.IFD.GPSInfo))
            upright = ImageOps.exif_transpose(opened).convert("RGB")
    except Image.DecompressionBombError:
        return refusal("too_large", _too_many(called), original.name)
    except BROKEN:
        text = f"“{called}” cannot be read as a picture; it may be cut off. Save it again as JPEG, or take it again."
        return refusal("broken_file", text, original.name)
    upright.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    # A new canvas: no metadata of the old one hangs on it.
    bare = Image.new("RGB", upright.size)
    bare.paste(upright)
    painted = BytesIO()
    bare.save(painted, "JPEG", quality=QUALITY, optimize=True)
    picture = lay_aside([painted.getvalue()], f"{original.sha256[:12]}.jpg")
    return Reading(LaidPicture(original, picture, *bare.size, had_place))


@contextmanager
def _in_our_own_words() -> Iterator[None]:
    """Keep what the library thinks of a picture to itself: it is said in our own words."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        yield


def _too_many(called: str, width: int = 0, height: int = 0) -> str:
    size = f"{width} × {height}" if width else "far too many"
    return (
        f"“{called}” has {size} pixels; at most {MOST_PIXELS // 1_000_000} million are taken. "
        "Set the camera to a smaller picture."
    )
