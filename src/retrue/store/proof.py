"""What a kept file is, proved from its content; only what is proved is shown in a page."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import PurePath
from typing import Literal

from retrue.base.say import say
from retrue.store.media import MEGABYTE, UNPROVED, has_script, media_type_of, refuse_size
from retrue.store.photograph import prove_photograph
from retrue.store.pictures import begins_as_picture

NOT_SHOWN = "browsers do not show this type"
LARGEST_FILE = 500 * MEGABYTE
PICTURE_NAMES = frozenset(
    {".jpg", ".jpeg", ".jpe", ".png", ".webp", ".gif", ".tif", ".tiff", ".svg", ".bmp"}
)
FILMS = frozenset({"video/mp4", "video/quicktime"})

Shown = Literal["inline", "attachment"]

INLINE = frozenset(
    {
        "image/jpeg",
        "image/png",
        "image/webp",
        "image/gif",
        "application/pdf",
        "audio/wav",
        "audio/flac",
        "audio/ogg",
        "audio/mpeg",
        "audio/mp4",
        "video/mp4",
        "text/plain",
    }
)
"""Types a browser shows without running anything; the rest is handed out to be saved."""


@dataclass(frozen=True, slots=True)
class Proof:
    """What a file was proved to be, and how it may be handed to a browser."""

    media_type: str
    shown: Shown
    why: str = ""  # why it is not shown
    taken: str | None = None  # ISO 8601, if a photograph tells it


def prove(content: bytes, name: str = "") -> Proof:
    """Tell what a file is. A photograph is unpacked; any other file may be kept as it is.

    Parameters
    ----------
    content : bytes
        The whole file.
    name : str
        As the device calls it; what is called a photograph must be one.

    Returns
    -------
    Proof
        Its media type, ``application/octet-stream`` if it cannot be proved, and whether it may
        be shown in a page. Send it with ``X-Content-Type-Options: nosniff`` either way.

    Raises
    ------
    Unreadable
        It is empty or too large; it is called or begins as a photograph and is none, is cut off
        or has a script in it.

    References
    ----------
    RFC 6266 (inline and attachment).

    Examples
    --------
    >>> prove(b"N10 G0 X0 Y0", "O0001.nc")
    Proof(media_type='text/plain', shown='inline', why='', taken=None)
    >>> prove(b"<html><script>x()</script>", "page.html").shown
    'attachment'
    """
    refuse_size(content, LARGEST_FILE, "file")
    if begins_as_picture(content) or PurePath(name).suffix.lower() in PICTURE_NAMES:
        return _photograph(content)
    media_type = media_type_of(content)
    return Proof(media_type, *_shown(media_type, content))


def prove_picture(content: bytes, name: str = "") -> Proof:
    """Tell what a photograph or a film is, and refuse anything else.

    Parameters
    ----------
    content, name
        As for `prove`.

    Raises
    ------
    Unreadable
        As for `prove`; or it is neither a photograph nor a film.
    """
    refuse_size(content, LARGEST_FILE, "film")
    if media_type_of(content) in FILMS:
        return prove(content, name)
    return _photograph(content)


def _photograph(content: bytes) -> Proof:
    found = prove_photograph(content)  # it has no script, or it is refused
    if found.media_type in INLINE:
        return Proof(found.media_type, "inline", taken=found.taken)
    return Proof(found.media_type, "attachment", say(NOT_SHOWN), found.taken)


def _shown(media_type: str, content: bytes) -> tuple[Shown, str]:
    if media_type == UNPROVED:
        return "attachment", say("its type is not proved")
    if has_script(content):
        return "attachment", say("there is a script in it")
    if media_type not in INLINE:
        return "attachment", say(NOT_SHOWN)
    return "inline", ""
