"""What no page of ours would send: values, forms, methods, for the requests of strangers."""

from __future__ import annotations

import json
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from urllib.parse import quote_plus

Headers = list[tuple[bytes, bytes]]


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a form."""

    name: str
    value: str


Body = Callable[[random.Random, Sequence[Field]], tuple[Headers, bytes]]

METHODS = ("GET", "HEAD", "OPTIONS", "TRACE", "PUT", "DELETE", "PATCH", "POST", "BREW", "get", "")

VALUES = (
    "", " ", "\x00", "a\x00b", "\ud800", "\udfff\ud800", "\ufffe", "\u202e", "\r\nset-cookie: a=b",
    "0", "-0", "-1", "1e999", "1e-999", "-1e400", "NaN", "nan", "inf", "-Infinity", "1" + "0" * 400,
    "1" * 40, "9" * 5000, "0x10", "1_000", "1,5", "1.5.5", "1,234,567.8", "١٢", "½", "²", "∞",
    "1 000", "12 mm", "1/0", "99999999999999999999",
    "9223372036854775808", "0.000000000000000000001",
    "9999-99-99", "0000-00-00", "2026-02-30", "9999-12-31", "0001-01-01", "2026-11-25",
    "9999-12-31T23:59", "0001-01-01T00:00+14:00", "2026-11-25T20:00", "24:61", "99:99", "19:30",
    "2026-W48-3", "true", "yes", "no", "none", "null", "[]", "{}", "{lot}", "{0.__class__}", "%s%n",
    "{{ 7*7 }}", "<script>alert(1)</script>", '"><img src=x onerror=y>', "'; DROP TABLE records;--",
    "../../etc/passwd", "..%2f..%2f", "/", "//elsewhere.example", "javascript:alert(1)", "\\", "|",
    "a|b", "a:b", ":", "C01", "F15:local", "J05", "P1", "X", "EUR", "EURO", "W" * 300, "é" * 5000,
    "W" * 70_000, "\u0301" * 50, "😀", "owner", "laptop", "not_seen", "seen", "proved", "begun",
)  # fmt: skip

NAMES = (
    "kept", "paper", "code", "language", "place", "hours", "without", "who", "what", "step",
    "stage", "search", "picture", "on", "muck", "margin", "machine", "line", "given", "cell",
    "budget", "before", "at_switch", "as", "month", "from", "to", "lot", "of", "back", "id", "q",
    "observed_at", "text", "reading", "value", "unit", "sort", "name", "day", "amount", "currency",
    "record", "page", "level", "order", "rate", "kind", "held:picture", "words", "until_on",
)  # fmt: skip


def evil(rng: random.Random, ids: Sequence[str]) -> str:
    """A value that is wrong nearly everywhere, or the id of something else."""
    return rng.choice(ids) if ids and rng.random() < 0.35 else rng.choice(VALUES)


def harmless(rng: random.Random, one: Field, ids: Sequence[str]) -> Field:
    """A value that may well fit where a page left its field empty."""
    fits = ("1", "2.5", "2026-11-25", "oil", "yes", "", rng.choice(ids) if ids else "")
    return Field(one.name, rng.choice(fits))


def _typed(_: random.Random, fields: Sequence[Field]) -> tuple[Headers, bytes]:
    body = "&".join(f"{_coded(one.name)}={_coded(one.value)}" for one in fields)
    return [(b"content-type", b"application/x-www-form-urlencoded")], body.encode()


def _coded(text: str) -> str:
    return quote_plus(text, errors="surrogatepass")


def _twice(rng: random.Random, fields: Sequence[Field]) -> tuple[Headers, bytes]:
    return _typed(rng, [*fields, *fields, *(Field(one.name, "") for one in fields)])


def _raw(rng: random.Random, fields: Sequence[Field]) -> tuple[Headers, bytes]:
    """Bytes that are no UTF-8, neither quoted nor quoted well."""
    names = b"&".join(_coded(one.name).encode() + b"=\xff\xfe%ZZ%" for one in fields)
    return [(b"content-type", b"application/x-www-form-urlencoded; charset=utf-16")], names


def _parts(
    fields: Sequence[Field], *, charset: str = "", file: bytes | None = None, name: str = "a.jpg"
) -> tuple[Headers, bytes]:
    mark = b"x-9f3c"
    parts = []
    for one in fields:
        head = f'content-disposition: form-data; name="{one.name}"'
        held = one.value.encode("utf-8", "surrogatepass")
        if file is not None and one.name in ("picture", "pictures", "file", "table", "paper", "x"):
            head += f'; filename="{name}"\r\ncontent-type: image/jpeg'
            held = file
        parts.append(b"--" + mark + b"\r\n" + head.encode() + b"\r\n\r\n" + held + b"\r\n")
    kind = b"multipart/form-data; boundary=" + mark
    return [(b"content-type", kind + charset.encode())], b"".join(parts) + b"--" + mark + b"--\r\n"


def _in_parts(_: random.Random, fields: Sequence[Field]) -> tuple[Headers, bytes]:
    return _parts(fields)


def _foreign_letters(_: random.Random, fields: Sequence[Field]) -> tuple[Headers, bytes]:
    """Parts that say they are in a code by which half a letter can be written."""
    spoiled = [Field(one.name, "\\ud800\\x00") for one in fields]
    return _parts(spoiled, charset="; charset=unicode_escape")


def _with_file(rng: random.Random, fields: Sequence[Field]) -> tuple[Headers, bytes]:
    """Files where there are none to be, text where there are, names without end."""
    content = rng.choice(
        (b"", b"\xff\xd8\xff", b"<svg onload=x>", b"PK\x03\x04", b"%PDF-1.7", b"a,b\n1")
    )
    name = rng.choice(("a.jpg", "W" * 5000 + ".jpg", "../../a.png", "a\x00.jpg", "", "a.xlsx"))
    also = [Field(one, "") for one in ("picture", "file", "table", "paper", "x")]
    return _parts([*fields, *also], file=content, name=name)


def _cut(rng: random.Random, fields: Sequence[Field]) -> tuple[Headers, bytes]:
    headers, body = _parts(fields)
    return headers, body[: rng.randrange(len(body))]


def _no_boundary(_: random.Random, fields: Sequence[Field]) -> tuple[Headers, bytes]:
    return [(b"content-type", b"multipart/form-data")], _parts(fields)[1]


def _as_json(_: random.Random, fields: Sequence[Field]) -> tuple[Headers, bytes]:
    told = json.dumps({one.name: one.value for one in fields}).encode()
    return [(b"content-type", b"application/json")], told


def _json_as_form(rng: random.Random, fields: Sequence[Field]) -> tuple[Headers, bytes]:
    return [(b"content-type", b"application/x-www-form-urlencoded")], _as_json(rng, fields)[1]


def _nothing(_: random.Random, __: Sequence[Field]) -> tuple[Headers, bytes]:
    return [], b""


def _plain(_: random.Random, __: Sequence[Field]) -> tuple[Headers, bytes]:
    return [(b"content-type", b"text/plain; \xff")], b"\xff\x00" * 500


def _many(_: random.Random, fields: Sequence[Field]) -> tuple[Headers, bytes]:
    return [(b"content-type", b"application/x-www-form-urlencoded")], b"a=1&" * 5000


def _long(rng: random.Random, fields: Sequence[Field]) -> tuple[Headers, bytes]:
    return _typed(rng, [*fields, Field("text", "W" * 1_100_000)])


def _for_a_program(rng: random.Random, fields: Sequence[Field]) -> tuple[Headers, bytes]:
    headers, body = _typed(rng, fields)
    return [*headers, (b"accept", b"application/json")], body


BODIES: tuple[Body, ...] = (
    _typed, _in_parts, _twice, _typed, _foreign_letters, _with_file, _raw, _typed, _cut,
    _no_boundary, _as_json, _json_as_form, _nothing, _plain, _typed, _many, _long, _for_a_program,
)  # fmt: skip
