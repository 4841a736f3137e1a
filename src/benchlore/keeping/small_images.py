"""A picture made so small that a terminal's cells can show it."""

from __future__ import annotations

import threading
import warnings
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from benchlore.errors import NEEDS_A_LOOK, BenchloreError
from benchlore.keeping.plain_files import open_plain

if TYPE_CHECKING:
    from PIL import Image

FORMATS = ("JPEG", "PNG", "GIF", "WEBP", "TIFF")
"""What is decoded here; Pillow knows many more, which few people ever tried to break."""

MAX_PIXELS = 50_000_000
"""Pixels above which a picture is not decoded: 200 MB at four bytes each."""

_TOO_LARGE = "cannot be shown: more pixels than a preview may take"
_ONE_AT_A_TIME = threading.Lock()
"""For the memory's sake, and because filters of warnings belong to all threads."""

Colour = tuple[int, int, int]
"""Red, green, blue, 0 to 255."""

_PAPER = (255, 255, 255, 255)
"""What shows through where a picture is transparent: drawings have dark lines."""


class NotShown(BenchloreError):
    """No small picture can be made of a file."""

    exit_code = NEEDS_A_LOOK


@dataclass(frozen=True, slots=True)
class SmallImage:
    """`rows` of colours, from the top, each from the left; all of one length."""

    rows: tuple[tuple[Colour, ...], ...]


def small_image(path: Path, width: int, height: int) -> SmallImage:
    """The picture at `path`, upright, in at most `width` by `height` square pixels.

    Of an animation or a file of several pages the first. One is decoded at a time.

    Raises:
        NotShown: it is too large, damaged, cut short or of a format that is not decoded here.
    """
    # Imported here: only a picture that is looked at needs it.
    from PIL import Image

    try:
        with _ONE_AT_A_TIME, warnings.catch_warnings(), open_plain(path) as file:
            warnings.simplefilter("ignore")  # one would be written across the screen
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(file, formats=FORMATS) as image:
                if image.width * image.height > MAX_PIXELS:
                    raise NotShown(_TOO_LARGE)
                return _shrunk(image, width, height)
    except NotShown:
        raise
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise NotShown(_TOO_LARGE) from None
    except Exception as error:  # decoders of damaged files raise whatever they come across
        raise NotShown("cannot be shown: damaged, or of a kind not known here") from error


def _shrunk(image: Image.Image, width: int, height: int) -> SmallImage:
    from PIL import Image, ImageOps

    side = 2 * max(width, height)
    image.draft("RGB", (side, side))  # a JPEG need not be decoded in full
    ImageOps.exif_transpose(image, in_place=True)
    if image.mode.startswith(("I", "F")):
        raise NotShown("cannot be shown: more than 8 bits a colour")
    small = image.convert("RGBA" if image.has_transparency_data else "RGB")
    small.thumbnail((width, height))
    if small.mode == "RGBA":
        small = Image.alpha_composite(Image.new("RGBA", small.size, _PAPER), small).convert("RGB")
    data = small.tobytes()
    colours = [(data[at], data[at + 1], data[at + 2]) for at in range(0, len(data), 3)]
    columns = small.width
    return SmallImage(
        tuple(tuple(colours[at : at + columns]) for at in range(0, len(colours), columns))
    )
