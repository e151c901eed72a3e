"""Pictures opened by Pillow, with its guard against pictures that unpack to too much."""

from __future__ import annotations

import io
import struct
from typing import TYPE_CHECKING

from retrue.base.refusals import Unreadable
from retrue.base.say import say

if TYPE_CHECKING:
    from PIL.Image import Image

MOST_PIXELS = 130_000_000  # telephones take up to 108 million

FORMS = {
    "JPEG": "image/jpeg",
    "MPO": "image/jpeg",  # several pictures in one JPEG file, as telephones write
    "PNG": "image/png",
    "WEBP": "image/webp",
    "GIF": "image/gif",
    "TIFF": "image/tiff",
}
BEGINNINGS = (b"\xff\xd8\xff", b"\x89PNG\r\n", b"GIF87a", b"GIF89a", b"II*\x00", b"MM\x00*")
OPENED = ("JPEG", "PNG", "WEBP", "GIF", "TIFF")

DAMAGE = (
    ArithmeticError,
    EOFError,
    LookupError,
    MemoryError,
    OSError,
    SyntaxError,
    TypeError,
    ValueError,
    struct.error,
)
"""What Pillow raises over damaged files; found by damaging some on purpose."""


def open_picture(content: bytes) -> Image | None:
    """Read the head of a picture; its pixels are not unpacked yet.

    Parameters
    ----------
    content : bytes
        The whole file.

    Returns
    -------
    PIL.Image.Image or None
        None if it is no JPEG, PNG, WebP, GIF or TIFF picture.

    Raises
    ------
    Unreadable
        It would unpack to more pixels than this computer should hold; the limit is named.
    """
    from PIL import Image  # dear to load, not always needed

    Image.MAX_IMAGE_PIXELS = MOST_PIXELS
    try:
        picture = Image.open(io.BytesIO(content), formats=OPENED)
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise _refuse_pixels() from None
    except DAMAGE:
        return None
    if picture.width * picture.height > MOST_PIXELS:
        raise _refuse_pixels()
    return picture


def begins_as_picture(content: bytes) -> bool:
    """Whether the first bytes are those of a picture, whole or not.

    Examples
    --------
    >>> begins_as_picture(b"GIF89a"), begins_as_picture(b"GRIFFIN")
    (True, False)
    """
    return content.startswith(BEGINNINGS) or (content[:4], content[8:12]) == (b"RIFF", b"WEBP")


def form_of(content: bytes) -> str:
    """The media type of a picture from its head; empty if it is none.

    Examples
    --------
    >>> form_of(b"no picture")
    ''
    """
    try:
        picture = open_picture(content)
    except Unreadable:
        return ""
    if picture is None:
        return ""
    with picture:
        return FORMS[picture.format or ""]


def _refuse_pixels() -> Unreadable:
    return Unreadable(
        say(
            "this picture would unpack to more than {millions} million pixels",
            millions=MOST_PIXELS // 1000000,
        ),
        remedy=say("Send a copy of ordinary size; twelve million pixels show all there is to see."),
    )
