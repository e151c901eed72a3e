"""The condition record on paper: what was seen and measured, apart from what was only reported."""

from __future__ import annotations

import base64
from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, date, datetime, time
from io import BytesIO
from typing import Any

from retrue.base.formatter import number
from retrue.base.refusals import Unreadable
from retrue.base.say import say
from retrue.cases.prove.said import RULINGS, amount
from retrue.cases.settle.condition_file import (
    code_of_record,
    file_of,
    in_groups,
    record_of,
    sha256_of,
)
from retrue.cases.settle.condition_open import HEADINGS
from retrue.cases.settle.record_lines import (
    ConditionRecord,
    GuardLine,
    Part,
    Pictured,
    Proved,
    Untested,
)
from retrue.paper.press import Paper, press
from retrue.paper.square import square

ATTACHED = "condition-record.json"
NOON = time(12, tzinfo=UTC)
LARGEST_PX = 2000  # of a copy; ours are smaller
GUARD_SHAPES = {"proved": "proved_good", "not_fitted": "proved_good", "not_tested": "not_proved"}
PARTS: tuple[tuple[str, str], ...] = (
    ("known", "Known faults: found or believed, and not cured"),
    ("as_found", "As found, before the work began"),
    ("done", "Done"),
    ("looked", "Looked at since the work began"),
    ("stages", "First power: stages that are signed"),
    ("quiet", "Sound, vibration, light"),
    ("parts", "Parts that were moved"),
    ("title", "What is stamped on it"),
    ("data", "Data that were saved"),
    ("included", "What goes with it"),
    ("moved", "How it came and rested"),
)
TOLD = ("known", "parts", "data", "included")  # told as well where there is nothing


def condition_record(
    content: Mapping[str, Any],
    pictures: Mapping[str, bytes],
    *,
    paper: Paper = "a4",
    language: str = "",
) -> bytes:
    """Print a condition record, with the file itself attached.

    Parameters
    ----------
    content : mapping
        Of the record, as ``content_of`` gives it.
    pictures : mapping of str to bytes
        Copies of its photographs without metadata (JPEG), by their SHA-256.
    paper : "a4" or "us-letter"
        Size of the paper.
    language : str
        Two letters.

    Returns
    -------
    bytes
        A PDF; the same content gives the same bytes, for nothing of it hangs on a clock.

    Raises
    ------
    Unreadable
        The content is no record, or states as a fact what has no grade for it.
    """
    made = record_of(content)
    sha = sha256_of(content)
    shown = [one for one in made.pictures if one.copy_sha256 in pictures]
    names = {one.copy_sha256: f"photograph-{at}.svg" for at, one in enumerate(shown, start=1)}
    data = {
        "title": say("Condition record: {machine}", language=language, machine=made.machine),
        "kicker": ", ".join(map(str, (made.kind, made.made_on))),
        "by": made.made_by,
        "paper": paper,
        "language": language,
        "words": _words(language),
        "sold": made.sold_words,
        "stands_for": made.stands_for,
        "cautions": list(made.cautions),
        "counts": counts_words(made, language),
        "sha_groups": list(in_groups(sha)),
        "code": code_of_record(sha),
        "guards": [_guard(one, language) for one in made.guards],
        "open": _open(made),
        "proved": [_proved(one, language) for one in made.proved],
        "settings": [_setting(one) for one in content["settings"]],
        "live_with": list(made.live_with),
        "parts": list(_parts(made, language)),
        "untested": _by_place(made.untested, language),
        "again": _by_place(made.again, language),
        "pictures": [_picture(one, at, names) for at, one in enumerate(made.pictures, start=1)],
        "attached": ATTACHED,
        "block": _block(made, sha, language),
    }
    return press(
        "condition_record",
        data,
        at=_noon(made.made_on),
        pictures={"square.svg": square(f"sha256:{sha}")}
        | {names[one.copy_sha256]: framed(pictures[one.copy_sha256]) for one in shown},
        beside={ATTACHED: file_of(content, pictures)},
    )


def _by_place(groups: Sequence[Untested], language: str) -> list[dict[str, object]]:
    return [
        {"place": one.place, "looks": [looked_for(look, language) for look in one.looks]}
        for one in groups
    ]


def looked_for(look: str, language: str = "") -> str:
    """A look that nobody made, so that it does not read as what was found.

    Parameters
    ----------
    look : str
    language : str
        Two letters.

    Returns
    -------
    str

    Examples
    --------
    >>> looked_for("Oil film on the walls")
    'not looked for: Oil film on the walls'
    """
    return say("not looked for: {look}", language=language, look=look)


def _noon(day: str) -> datetime:
    try:
        return datetime.combine(date.fromisoformat(day), NOON)
    except ValueError:
        raise Unreadable(
            say("this is no condition record: {day} is no day", day=day or '""'),
            remedy=say("Ask whoever gave it to you for another copy."),
        ) from None


def framed(photograph: bytes) -> str:
    """A photograph as the press takes it: inside an SVG of its own size.

    Parameters
    ----------
    photograph : bytes
        JPEG, without metadata.

    Returns
    -------
    str

    Raises
    ------
    Unreadable
        It is no JPEG, or larger than a copy can be.

    References
    ----------
    SVG 2, 12.5 (the image element); RFC 2397 (data addresses).
    """
    from PIL import Image, UnidentifiedImageError

    try:
        with Image.open(BytesIO(photograph), formats=("JPEG",)) as picture:
            wide, high = picture.size
    except (UnidentifiedImageError, Image.DecompressionBombError):
        wide = high = LARGEST_PX + 1
    if max(wide, high) > LARGEST_PX:
        raise Unreadable(
            say("a photograph of this record is no small JPEG"),
            remedy=say("Ask whoever gave it to you for another copy."),
        )
    inner = base64.b64encode(photograph).decode()
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}" height="{high}" '
        f'viewBox="0 0 {wide} {high}"><image width="{wide}" height="{high}" '
        f'href="data:image/jpeg;base64,{inner}"/></svg>'
    )


def _words(language: str) -> dict[str, str]:
    sentences = {
        "guards": "Guards and interlocks",
        "open": "Open: nobody cleared these",
        "proved": "What was measured, and what it proves",
        "settings": "Settings that were changed, as they were written down",
        "live_with": "Agreed to live with",
        "untested": "Not tested: what nobody looked for",
        "untested_says": "A list of looks, not of faults: each says what one would look for, at "
        "that place. Nobody made these looks at the machine, so nobody knows whether it is there. "
        "Not tested is not good.",
        "again": "Looked for before the work, and not since",
        "reported": "Only reported: told, seen on a picture, or not standing. No fact.",
        "photographs": "Photographs",
        "photographs_says": "Each shows what it shows; captions state nothing. The originals stay "
        "with the seller; the signs are the beginning of their SHA-256.",
        "grades": "Seen: at the machine, by own eyes. Measured: with an instrument; checked: its "
        "certificate was in date. Looked for, none found: somebody looked, and it was not there. "
        "Everything else is only reported, and stands apart.",
        "test": "Test",
        "read": "Read",
        "limit": "Limit and where it comes from",
        "ruling": "What it proves",
        "when": "When, by, with",
        "doubt": "Give or take: expanded uncertainty, k = 2.",
        "setting": "Setting",
        "was": "was",
        "is": "is",
        "why": "why, when",
        "guard": "Guard or interlock",
        "stands": "How it stands",
        "how": "What would prove it",
        "none": "None.",
        "nothing": "Nothing.",
        "page": "page",
        "sum": "SHA-256 of the content",
        "sum_says": "Read it aloud in groups of four. The record itself is attached to this file "
        "as condition-record.json: retrue settle check FILE finds a changed byte. It shows that "
        "nothing was changed since it was made, not that it is true.",
        "square_says": "square pattern with the SHA-256 that stands beside it",
        "seller": "Seller, on",
        "buyer": "Buyer, has read it, on",
        "attached_says": "The condition record for programs, with its checksums.",
    }
    return {key: say(text, language=language) for key, text in sentences.items()}


def counts_words(made: ConditionRecord, language: str = "") -> str:
    """What a record comes to, in one sentence.

    Parameters
    ----------
    made : ConditionRecord
    language : str
        Two letters.

    Returns
    -------
    str
    """
    every = [part for _, _, part in _each_part(made)]
    rulings = [one.ruling for one in made.proved]
    told = [
        (sum(len(one.stated) for one in every), "{count} seen, measured or written down"),
        (sum(len(one.reported) for one in every), "{count} only reported"),
        (rulings.count("proved_good"), "{count} proved good"),
        (rulings.count("not_proved"), "{count} not proved"),
        (rulings.count("proved_bad"), "{count} proved bad"),
        (sum(bool(one.apart) for one in made.proved), "{count} provisional or old"),
        (sum(one.open for one in made.guards), "{count} guards open"),
        (sum(len(one.looks) for one in made.untested), "{count} not tested"),
    ]
    said = [say(text, language=language, count=number(many)) for many, text in told if many]
    return (
        ", ".join(map(str, said)) + "."
        if said
        else say("Nothing is known of it.", language=language)
    )


def _each_part(made: ConditionRecord) -> Iterator[tuple[str, str, Part]]:
    for key, heading in PARTS:
        part = getattr(made, key)
        assert isinstance(part, Part)
        yield key, heading, part


def _parts(made: ConditionRecord, language: str) -> Iterator[dict[str, object]]:
    for key, heading, part in _each_part(made):
        yield {
            "heading": say(heading, language=language),
            "empty": say("Nothing is written down.", language=language) if key in TOLD else "",
            "stated": [{"what": one.what, "how": one.how} for one in part.stated],
            "reported": [{"what": one.what, "how": one.how} for one in part.reported],
        }


def _guard(one: GuardLine, language: str) -> dict[str, object]:
    shape = GUARD_SHAPES.get(one.state, "proved_bad") if not one.open else ""
    if one.open:
        shape = "not_proved" if one.state == "not_tested" else "proved_bad"
    return {"name": one.name, "shape": shape, "words": one.words, "proves": one.proves}


def _open(made: ConditionRecord) -> list[dict[str, object]]:
    groups = [(sort, [one for one in made.open if one.sort == sort]) for sort in HEADINGS]
    return [
        {"heading": HEADINGS[sort], "items": [one.what for one in group]}
        for sort, group in groups
        if group
    ]


def _proved(one: Proved, language: str) -> dict[str, str]:
    digits = _digits(one.value)
    told = say("not defined", language=language) if one.value is None else ""
    if one.value is not None:
        told = amount(one.value, one.unit, digits)
        if one.uncertainty is not None:
            doubt = number(one.uncertainty, max(digits, _digits(one.uncertainty)))
            told = say("{value}, give or take {doubt}", language=language, value=told, doubt=doubt)
    limit = "" if one.limit is None else amount(one.limit, one.unit, _digits(one.limit))
    word = RULINGS.get(one.ruling, "no limit, not judged")
    whose = (one.on, one.by, one.instrument, one.certificate)
    return {
        "title": one.title,
        "value": told,
        "limit": ", ".join(str(part) for part in (limit, one.source) if part) or "\u2013",
        "ruling": one.ruling,
        "word": _standing(one, language) or say(word),
        "why": one.apart or one.words,
        "whose": ", ".join(str(part) for part in whose if part),
    }


def _standing(one: Proved, language: str) -> str:
    if not one.apart:
        return ""
    return say("of before" if one.aged else "provisional", language=language)


def _digits(value: float | None) -> int:
    """Decimals that show three figures, and no more."""
    if value is None or value == 0 or abs(value) >= 100:
        return 0
    return 1 if abs(value) >= 1 else 3


def _setting(one: Mapping[str, Any]) -> dict[str, str]:
    back = {True: say("put back"), False: say("not put back"), None: ""}[one["put_back"]]
    who = say("written down by {by}", by=one["by"]) if one["by"] else ""
    why = ", ".join(str(part) for part in (one["why"], back, who, one["on"]) if part)
    return {"name": one["name"], "old": one["old"], "new": one["new"], "why": why}


def _picture(one: Pictured, at: int, names: Mapping[str, str]) -> dict[str, str]:
    caption = one.caption or one.place
    return {
        "file": names.get(one.copy_sha256, ""),
        "number": str(at),
        "caption": caption,
        "about": ", ".join(str(part) for part in (one.place, one.on[:10], one.by) if part),
        "sha": " ".join(in_groups(one.sha256[:12])),
        "alt": say("photograph {number}: {caption}", number=at, caption=caption),
    }


def _block(made: ConditionRecord, sha: str, language: str) -> list[dict[str, object]]:
    cells: Sequence[tuple[str, str, int]] = (
        ("Machine", made.machine, 2),
        ("Sheet", say("condition record", language=language), 1),
        ("By, on", ", ".join(map(str, filter(None, (made.made_by, made.made_on)))), 1),
        ("Edition", f"retrue {made.edition}" if made.edition else "", 1),
        ("Checksum begins", " ".join(in_groups(sha)[:3]), 1),
    )
    return [
        {"name": say(name, language=language), "value": value[: 60 * span], "span": span}
        for name, value, span in cells
    ]
