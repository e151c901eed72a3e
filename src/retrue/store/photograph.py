"""Is it a photograph? It is unpacked wholly before it is believed to be one."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from retrue.base.refusals import Unreadable
from retrue.base.say import say
from retrue.store.media import (
    MEGABYTE,
    has_script,
    is_markup,
    is_phone_picture,
    refuse_size,
)
from retrue.store.pictures import DAMAGE, FORMS, open_picture

if TYPE_CHECKING:
    from PIL.Image import Image

LARGEST_PHOTOGRAPH = 60 * MEGABYTE

_EXIF_BLOCK, _TAKEN, _TAKEN_OFFSET, _ORIENTATION = 0x8769, 0x9003, 0x9011, 0x0112


@dataclass(frozen=True, slots=True)
class Photograph:
    """What a proved photograph tells of itself."""

    media_type: str
    width_px: int  # as it is seen, turned upright
    height_px: int
    taken: str | None  # ISO 8601, with an offset only if the camera knew it


def prove_photograph(content: bytes) -> Photograph:
    """Unpack a picture wholly and tell what it is; the bytes themselves stay as they came.

    Parameters
    ----------
    content : bytes
        The whole file: JPEG, PNG, WebP, GIF or TIFF.

    Returns
    -------
    Photograph
        Its media type, size in pixels and when it was taken.

    Raises
    ------
    Unreadable
        It is empty, too large, no picture, cut off, unpacks to too many pixels, is a page or a
        drawing made of marks, or has a script in it; each with what to do.

    References
    ----------
    Exif 2.32 (CIPA DC-008), 4.6.4 and 4.6.5, for the moment and the way up.
    """
    refuse_size(content, LARGEST_PHOTOGRAPH, "photograph")
    _refuse_what_it_is_not(content)
    picture = open_picture(content)
    if picture is None:
        raise Unreadable(
            say("this is not a photograph, or its beginning is damaged"),
            remedy=say("Send a JPEG, PNG or WebP picture; other files can be kept as a file."),
        )
    with picture:
        unpack(picture)
        width, height = picture.size
        if way_up(picture) in (5, 6, 7, 8):
            width, height = height, width
        return Photograph(FORMS[picture.format or ""], width, height, _taken(picture))


def _refuse_what_it_is_not(content: bytes) -> None:
    if is_phone_picture(content):
        raise Unreadable(
            say("this picture is in a form that browsers do not show (HEIF)"),
            remedy=say("Set the camera to its most compatible form (JPEG), or send a JPEG copy."),
        )
    if is_markup(content):
        raise Unreadable(
            say("this is a page or a drawing made of marks (SVG, HTML), not a photograph"),
            remedy=say("Send a photograph, or a picture of the screen as PNG."),
        )
    if has_script(content):
        raise Unreadable(
            say("this photograph has a script in it"),
            remedy=say(
                "Do not open it elsewhere; take the photograph again or ask for another copy."
            ),
        )


def unpack(picture: Image) -> None:
    """Unpack the pixels, and refuse a picture that is damaged or cut off."""
    try:
        picture.load()
    except DAMAGE:
        raise _refuse_cut_off() from None


def _refuse_cut_off() -> Unreadable:
    return Unreadable(
        say("this photograph is damaged or cut off"),
        remedy=say("Send it again, and stay on the page until it is there."),
    )


def _taken(picture: Image) -> str | None:
    try:
        block = picture.getexif().get_ifd(_EXIF_BLOCK)
    except DAMAGE:
        return None
    found = re.fullmatch(r"(\d{4}):(\d\d):(\d\d) (\d\d:\d\d:\d\d)\x00?", str(block.get(_TAKEN, "")))
    if found is None:
        return None
    offset = re.fullmatch(r"([+-]\d\d:\d\d)\x00?", str(block.get(_TAKEN_OFFSET, "")))
    year, month, day, clock = found.groups()
    moment = f"{year}-{month}-{day}T{clock}{offset.group(1) if offset else ''}"
    return moment if _is_moment(moment) else None


def _is_moment(text: str) -> bool:
    from datetime import datetime

    try:
        datetime.fromisoformat(text)
    except ValueError:
        return False
    return True


def way_up(picture: Image) -> int:
    """How the camera was held: 1 upright, up to 8 (Exif 2.32, 4.6.4)."""
    try:
        way = picture.getexif().get(_ORIENTATION, 1)
    except DAMAGE:
        return 1
    return way if isinstance(way, int) else 1
