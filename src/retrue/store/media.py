"""What a kept file is, proved from its content; only what is proved is shown in a page."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from retrue.base.refusals import Unreadable
from retrue.base.say import say
from retrue.store.pictures import form_of

MEGABYTE = 1_000_000
UNPROVED = "application/octet-stream"

_SCRIPT = (b"<script", b"<iframe", b"javascript:", b"/javascript", b"onload=", b"onerror=")
_RARER = (b"<?php", b"/launch", b"onload", b"onerror")
_SCRIPT_BLANK = re.compile(rb"<\?php\s|/launch\b|on(?:load|error)\s+=")
_MARKUP = re.compile(rb"\s*(<\?xml|<!doctype|<html|<svg|<!--|<head|<body)", re.I)
_SNIFFED = 1024  # bytes at the start that a browser may guess a page from


def media_type_of(content: bytes) -> str:
    """The media type a file is proved to be by its content, never by its name.

    Parameters
    ----------
    content : bytes
        The whole file.

    Returns
    -------
    str
        ``application/octet-stream`` if it cannot be proved.

    References
    ----------
    RFC 2046 (media types); the formats' own specifications stand beside each proof.

    Examples
    --------
    >>> media_type_of(b"N10 G0 X0 Y0")
    'text/plain'
    """
    return form_of(content) or next((name for name, holds in _PROOFS if holds(content)), UNPROVED)


def refuse_size(content: bytes, largest: int, what: str) -> None:
    """Refuse an empty or a huge file; the limit is named.

    Raises
    ------
    Unreadable
        It has no bytes, or as many as the limit or more.
    """
    if not content:
        raise Unreadable(
            say("this {what} is empty", what=what),
            remedy=say("Choose it again; it may not have been copied to this device yet."),
        )
    if len(content) >= largest:
        raise Unreadable(
            say(
                "this {what} has {megabytes} MB; the limit is {limit} MB",
                what=what,
                megabytes=format(len(content) / MEGABYTE, ".0f"),
                limit=largest // MEGABYTE,
            ),
            remedy=say("Send a smaller copy, or a part of it."),
        )


def has_script(content: bytes) -> bool:
    """Whether there is something in a file that a page could run.

    Examples
    --------
    >>> has_script(b"GIF89a/*<script src=x>*/"), has_script(b"feed override 80 %")
    (True, False)
    """
    low = content.lower()
    if any(word in low for word in _SCRIPT) or is_markup(content):
        return True
    return any(word in low for word in _RARER) and _SCRIPT_BLANK.search(low) is not None


def is_markup(content: bytes) -> bool:
    """Whether a file begins as a page or a drawing made of marks does."""
    return _MARKUP.match(content.removeprefix(b"\xef\xbb\xbf")[:_SNIFFED]) is not None


def _is_pdf(content: bytes) -> bool:
    """ISO 32000-1:2008, 7.5.2 and 7.5.5: a header first, an end-of-file mark last."""
    return re.match(rb"%PDF-[12]\.\d", content) is not None and b"%%EOF" in content[-2048:]


def _is_wav(content: bytes) -> bool:
    """RIFF: a form of type WAVE whose chunks, ``fmt`` among them, fill the file."""
    if content[:4] != b"RIFF" or content[8:12] != b"WAVE":
        return False
    at, names = 12, []
    while at + 8 <= len(content):
        names.append(content[at : at + 4])
        size = int.from_bytes(content[at + 4 : at + 8], "little")
        at += 8 + size + size % 2
    return b"fmt " in names and b"data" in names and at <= len(content) + 1


def _is_flac(content: bytes) -> bool:
    """RFC 9639, 8.1 and 8.2: the mark, then stream information of 34 bytes."""
    known = content[:4] == b"fLaC" and content[5:8] == b"\x00\x00\x22"
    return known and len(content) >= 42 and content[4] & 0x7F == 0


def _is_ogg(content: bytes) -> bool:
    """RFC 3533, 6: pages of version 0, the first of which begins a stream."""
    if len(content) < 27 or content[:5] != b"OggS\x00" or not content[5] & 2:
        return False
    segments = content[26]
    size = 27 + segments + sum(content[27 : 27 + segments])
    return len(content) == size or content[size : size + 5] == b"OggS\x00"


_BITRATES = (0, 32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320)
_BITRATES_LOW = (0, 8, 16, 24, 32, 40, 48, 56, 64, 80, 96, 112, 128, 144, 160)
_RATES = (44_100, 48_000, 32_000)


def _is_mp3(content: bytes) -> bool:
    """ISO/IEC 11172-3, 2.4.1.3: two frames of layer III that follow each other."""
    at = 0
    if content[:3] == b"ID3" and len(content) > 10:
        size = 0
        for byte in content[6:10]:
            size = size << 7 | byte & 0x7F
        at = 10 + size
    first = _mp3_frame(content[at : at + 4])
    return bool(first) and bool(_mp3_frame(content[at + first : at + first + 4]))


def _mp3_frame(head: bytes) -> int:
    """The length of a frame from its header; 0 if it is none."""
    if len(head) < 4 or head[0] != 0xFF or head[1] & 0xE6 not in (0xE2,):
        return 0
    version, rate, bits = head[1] >> 3 & 3, head[2] >> 2 & 3, head[2] >> 4
    if version == 1 or rate == 3 or bits in (0, 15):
        return 0
    full = version == 3
    kilobits = (_BITRATES if full else _BITRATES_LOW)[bits]
    hertz = _RATES[rate] // {3: 1, 2: 2, 0: 4}[version]
    return (144 if full else 72) * kilobits * 1000 // hertz + (head[2] >> 1 & 1)


def _boxes(content: bytes) -> Iterator[tuple[bytes, int]]:
    """ISO/IEC 14496-12, 4.2: the outer boxes by name, with where each ends."""
    at = 0
    while at + 8 <= len(content):
        size = int.from_bytes(content[at : at + 4], "big")
        if size == 1:
            size = int.from_bytes(content[at + 8 : at + 16], "big")
        end = len(content) if size == 0 else at + size
        if end < at + 8:
            return
        yield content[at + 4 : at + 8], end
        at = end


_AUDIO_BRANDS = (b"M4A ", b"M4B ")
_PICTURE_BRANDS = (b"heic", b"heix", b"hevc", b"mif1", b"msf1", b"avif", b"avis")


def _brand(content: bytes) -> bytes:
    return content[8:12] if content[4:8] == b"ftyp" else b""


def _is_film(content: bytes) -> bool:
    return _is_whole_mp4(content) and _brand(content) not in (*_AUDIO_BRANDS, b"qt  ")


def _is_sound_in_boxes(content: bytes) -> bool:
    return _is_whole_mp4(content) and _brand(content) in _AUDIO_BRANDS


def _is_quicktime(content: bytes) -> bool:
    return _is_whole_mp4(content) and _brand(content) == b"qt  "


def _is_whole_mp4(content: bytes) -> bool:
    """ISO/IEC 14496-12, 4.3 and 8.2.1: a file type first, a movie, and no box cut off."""
    brand = _brand(content)
    if not brand or brand in _PICTURE_BRANDS:
        return False
    boxes = list(_boxes(content))
    return b"moov" in {name for name, _ in boxes} and boxes[-1][1] == len(content)


def is_phone_picture(content: bytes) -> bool:
    """Whether it is a picture in boxes (HEIF), which most browsers cannot show."""
    return _brand(content) in _PICTURE_BRANDS


def _is_text(content: bytes) -> bool:
    """RFC 3629: UTF-8, without control characters that are no layout."""
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return not is_markup(content) and not re.search(r"[\x00-\x08\x0e-\x1f\x7f]", text)


_PROOFS: tuple[tuple[str, Callable[[bytes], bool]], ...] = (
    ("image/heif", is_phone_picture),
    ("application/pdf", _is_pdf),
    ("audio/wav", _is_wav),
    ("audio/flac", _is_flac),
    ("audio/ogg", _is_ogg),
    ("audio/mpeg", _is_mp3),
    ("audio/mp4", _is_sound_in_boxes),
    ("video/quicktime", _is_quicktime),
    ("video/mp4", _is_film),
    ("text/plain", _is_text),
)
