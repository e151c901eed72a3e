"""Read the text of a printed sheet back, without the press that made it.

References: ISO 32000-1:2008, 7.3.4 (strings), 9.4.3 (text showing), 9.10.3 (ToUnicode maps).
Only what a plain sheet needs: two-byte codes, one content stream a page.
"""

from __future__ import annotations

import re
import zlib

_OBJECT = re.compile(rb"(?:^|\s)(\d+) 0 obj\s(.*?)\sendobj", re.S)
_PART = re.compile(rb"/(\w+) [\d.]+ Tf|(\()|\bBT/Span<<.*?>>>BDC|<([0-9A-F]+)>|\b(ET)\b", re.S)
_PAIR = re.compile(rb"<([0-9A-F]{4})> <([0-9A-F]+)>")
_ESCAPES = {b"n": b"\n", b"r": b"\r", b"t": b"\t", b"b": b"\b", b"f": b"\f"}


def text_of(pdf: bytes) -> str:
    """All text of all pages, pieces and lines parted by one space."""
    objects = {int(found[1]): found[2] for found in _OBJECT.finditer(pdf)}
    pieces = []
    for body in objects.values():
        if re.search(rb"/Type\s*/Page\b", body):
            fonts = _fonts(objects, body)
            pieces.append(_shown(_stream(objects[_reference(body, b"Contents")]), fonts))
    return " ".join(" ".join(pieces).replace("\u202f", " ").split())


def _reference(body: bytes, name: bytes) -> int:
    found = re.search(rb"/" + name + rb"\s+(\d+) 0 R", body)
    assert found, f"{name!r} stands nowhere"
    return int(found[1])


def _stream(body: bytes) -> bytes:
    head, _, rest = body.partition(b"stream")
    length = int(re.search(rb"/Length (\d+)", head)[1])  # type: ignore[index]  # a stream without a length would fail here, as it should
    raw = rest.lstrip(b"\r").removeprefix(b"\n")[:length]
    return zlib.decompress(raw) if b"FlateDecode" in head else raw


def _fonts(objects: dict[int, bytes], page: bytes) -> dict[bytes, dict[int, str]]:
    """Letters by code, for each font name of a page."""
    inside = re.search(rb"/Resources\s+(\d+) 0 R", page)
    resources = objects[int(inside[1])] if inside else page
    table = re.search(rb"/Font\s*<<(.*?)>>", resources, re.S)
    named = re.findall(rb"/(\w+) (\d+) 0 R", table[1] if table else b"")
    fonts = {}
    for name, number in named:
        letters = _stream(objects[_reference(objects[int(number)], b"ToUnicode")])
        fonts[name] = {
            int(code, 16): bytes.fromhex(letter.decode()).decode("utf-16-be")
            for code, letter in _PAIR.findall(letters)
        }
    return fonts


def _shown(content: bytes, fonts: dict[bytes, dict[int, str]]) -> str:
    letters: dict[int, str] = {}
    out = []
    place = 0
    while found := _PART.search(content, place):
        place = found.end()
        font, opened, digits, end = found.groups()
        if font is not None:
            letters = fonts.get(font, {})
        elif end is not None:
            out.append(" ")
        elif opened is not None or digits is not None:
            raw = bytes.fromhex((digits or b"").decode())
            if opened is not None:
                place = _closing(content, place)
                raw = _unescaped(content[found.end() : place - 1])
            codes = zip(raw[::2], raw[1::2], strict=False)
            out.append("".join(letters.get(high << 8 | low, "") for high, low in codes))
    return "".join(out)


def _closing(content: bytes, place: int) -> int:
    """Just behind the bracket that closes a string; balanced ones inside need no escape."""
    depth = 1
    while depth:
        sign = content[place : place + 1]
        place += 2 if sign == b"\\" else 1
        depth += (sign == b"(") - (sign == b")")
    return place


def _unescaped(literal: bytes) -> bytes:
    def plain(found: re.Match[bytes]) -> bytes:
        sign = found[1]
        return bytes([int(sign, 8)]) if sign.isdigit() else _ESCAPES.get(sign, sign)

    return re.sub(rb"\\([0-7]{1,3}|.)", plain, literal, flags=re.S)
