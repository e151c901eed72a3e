"""The note of damage to a carrier, for paper, e-mail and terminal; its dates as text."""

from __future__ import annotations

import textwrap
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from retrue.base.formatter import day, minute
from retrue.base.say import say
from retrue.cases.move.damage import CMR, DamageDates, damage_dates
from retrue.paper.press import Paper, press
from retrue.records.moving import Arrived

HASH_SIGNS = 12
WIDE = 76  # letters of a line of the text
_LONGEST = 600


@dataclass(frozen=True, slots=True)
class Photograph:
    """A photograph that is kept: its name, the beginning of its checksum, when it was taken."""

    name: str
    sha256: str = ""
    when: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class DamageNote:
    """What the carrier is told. Empty words print as blanks."""

    arrived: Arrived
    machine: str
    lot: str
    shop: str
    address: tuple[str, ...] = ()  # lines under the shop's name
    photographs: tuple[Photograph, ...] = ()
    holidays: tuple[date, ...] = ()  # public holidays where it was delivered
    by: str = ""
    version: str = ""


def damage_text(note: DamageNote, *, on: date, language: str = "") -> str:
    """The note as plain text, for a terminal or an e-mail.

    Parameters
    ----------
    note : DamageNote
    on : date
        The day of writing.
    language : str
        Two letters.

    Returns
    -------
    str
        Lines of at most 76 letters. The dates stand at its end, behind what goes before them.

    Raises
    ------
    Unusable
        The day of delivery is no date.
    """
    letter = _letter(note, damage_dates(note.arrived, note.holidays), language)
    blocks = [
        "\n".join(filter(None, (note.shop, *note.address))),
        letter["to"],
        day(on),
        letter["subject"],
        *letter["body"],
        letter["broken"] + "\n" + _filled(letter["what"]),
    ]
    if note.photographs:
        rows = [
            " ".join(("-", one.name, one.sha256[:HASH_SIGNS], one.when)).rstrip()
            for one in note.photographs
        ]
        blocks.append("\n".join([letter["photographs"], *rows]))
    blocks += [letter["asks"], note.by or note.shop, letter["before"]]
    blocks += [letter["dates"] + "\n" + "\n".join(_filled("- " + one) for one in letter["told"])]
    blocks.append(letter["source"])
    return "\n\n".join(_filled(block) for block in blocks if block) + "\n"


def _filled(text: str) -> str:
    """Every line of a block at most so wide; a checksum or name is never parted."""
    return "\n".join(
        textwrap.fill(line, WIDE, break_long_words=False, break_on_hyphens=False,
                      subsequent_indent="  " if line.startswith("- ") else "")
        for line in text.splitlines()
    )  # fmt: skip


def damage_note(
    note: DamageNote, *, at: datetime, paper: Paper = "a4", language: str = ""
) -> bytes:
    """The note as a sheet to be sent or handed over.

    Parameters
    ----------
    note : DamageNote
    at : datetime
        When it was written, with its offset.
    paper : "a4" or "us-letter"
        Size of the paper.
    language : str
        Two letters.

    Returns
    -------
    bytes
        A PDF.

    Raises
    ------
    Unusable
        The day of delivery is no date.
    """
    dates = damage_dates(note.arrived, note.holidays)
    letter = _letter(note, dates, language)
    data = letter | {
        "title": letter["subject"],
        "by": note.by or note.shop,
        "language": language,
        "paper": paper,
        "shop": note.shop,
        "address": [_clean(line) for line in note.address],
        "day": day(at),
        "photos": [
            [_short(one.name, 80), one.sha256[:HASH_SIGNS], one.when] for one in note.photographs
        ],
        "photos_head": [
            say(name, language=language) for name in ("name", "checksum begins", "taken")
        ],
        "facts": _facts(note, language),
        "boxes": [
            say(name, language=language)
            for name in (
                "for us: name, signature, on",
                "taken in by the carrier: name, signature, on",
            )
        ],
        "page": say("page", language=language),
        "block": [
            {"name": say(name, language=language), "value": _short(value, 46)}
            for name, value in _cells(note, dates, at, language)
        ],
    }
    return press("damage_note", data, at=at)


def _letter(note: DamageNote, dates: DamageDates, language: str) -> dict[str, Any]:
    """Every sentence of the note."""
    came = note.arrived
    waybill = came.waybill or say("without a number we know", language=language)
    subject = say("Notice of damage: {machine}, delivered on {day}", language=language,
                  machine=note.machine, day=day(dates.delivered_on))  # fmt: skip
    received = say(
        "On {day} you delivered to us the machine named above, waybill {waybill}.",
        language=language, day=day(dates.delivered_on), waybill=waybill,
    )  # fmt: skip
    return {
        "to": came.carrier or say("To the carrier", language=language),
        "subject": _short(subject, 140),
        "body": [received, *_how_seen(came, language)],
        "broken": say("What is broken:", language=language),
        "what": _short(came.text, 3000) or say("(described on the photographs)", language=language),
        "photographs": say("Photographs, kept with their checksums:", language=language),
        "asks": say(
            "We make this reservation in writing and keep every claim. Please confirm it and name "
            "a day for looking at the machine together; until then it stays as it was found, as "
            "far as it can.",
            language=language,
        ),
        "before": say(
            "Before it is sent: estimate for planning, no legal advice. Ask who knows the local "
            "law of carriage, and tell your own insurer the same day.",
            language=language,
        ),
        "dates": say("Dates:", language=language),
        "told": list(dates.text),
        "source": CMR,
    }


def _how_seen(came: Arrived, language: str) -> list[str]:
    if came.damage == "visible":
        return [say("It is damaged. The damage could be seen at delivery.", language=language)]
    if came.damage == "hidden":
        told = say("It is damaged. The damage could not be seen at delivery.", language=language)
        if came.found_on:
            told += " " + say("It was found on {day}.", language=language, day=came.found_on)
        return [told]
    if came.damage == "none":
        return [say("No damage was seen at delivery; we keep the right to tell of damage that "
                    "could not be seen.", language=language)]  # fmt: skip
    return [say("It could not be looked at closely at delivery; we keep the right to tell of "
                "damage that could not be seen.", language=language)]  # fmt: skip


def _facts(note: DamageNote, language: str) -> list[dict[str, str]]:
    came = note.arrived
    seen = {"none": "none seen", "visible": "visible", "hidden": "hidden",
            "not_looked": "not looked at closely yet"}[came.damage]  # fmt: skip
    rows = (
        ("Machine", note.machine),
        ("Carrier", came.carrier),
        ("Waybill", came.waybill),
        ("Delivered on", came.delivered_on),
        ("Damage", say(seen, language=language)),
        ("Found on", came.found_on or ""),
    )
    return [{"name": say(name, language=language), "value": _short(v, 90)} for name, v in rows]


def _cells(
    note: DamageNote, dates: DamageDates, at: datetime, language: str
) -> tuple[tuple[str, str], ...]:
    return (
        ("Lot", note.lot),
        ("Machine", note.machine),
        ("Sheet", say("note of damage", language=language)),
        (
            "In writing until, by the rules below",
            day(dates.write_by) if dates.term_known else say("today", language=language),
        ),
        ("By", note.by),
        ("On", minute(at)),
        ("Sent on, how", ""),
        ("Edition", f"retrue {note.version}" if note.version else ""),
    )


def _clean(text: str) -> str:
    return " ".join(text.split())


def _short(text: str, longest: int = _LONGEST) -> str:
    clean = _clean(text)
    return clean if len(clean) <= longest else clean[: longest - 1].rstrip() + "…"
