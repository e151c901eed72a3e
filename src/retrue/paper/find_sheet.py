"""Fault-finding on paper: the next steps, each after its caution, with boxes; what was tried."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from retrue.base.formatter import minute, money, number
from retrue.base.say import say
from retrue.cases.find.advice import Advice, Step
from retrue.paper.press import Paper, fitting, press

PAGES = 2
STEPS = 6
_SCALES = (1.0, 0.93, 0.86)
_LONGEST = 260
_ANSWERS = ("seen", "not seen", "can't tell")
_DONE = ("it is gone", "it still does it")
_PROVED = ("right", "not right")
_LOOKS = ("observe", "measure", "swap")
_WHO = {
    "anyone": "",
    "competent": "only who may lock off and prove dead",
    "electrician": "only a licensed electrician",
}


@dataclass(frozen=True, slots=True)
class TriedRow:
    """One thing that was tried, as its owner knows it."""

    when: str
    what: str
    expected: str = ""
    seen: str = ""
    decided: str = ""
    paid: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FindSheet:
    """What is known, what comes next, what was tried. Empty words print as blanks."""

    advice: Advice
    lot: str = ""
    tried: tuple[TriedRow, ...] = ()
    by: str = ""


def find_sheet(
    sheet: FindSheet,
    *,
    picture: str | None = None,
    at: datetime,
    paper: Paper = "a4",
    language: str = "",
) -> bytes:
    """Print where fault-finding stands, to be taken to the machine.

    Parameters
    ----------
    sheet : FindSheet
        The advice, and what was tried, oldest first.
    picture : str or None
        What each way to begin costs, as finished SVG with the colours of paper.
    at : datetime
        When it is printed, with its offset.
    paper : "a4" or "us-letter"
        Size of the paper.
    language : str
        Two letters.

    Returns
    -------
    bytes
        A PDF of at most two pages; of what was tried the newest is printed where room is short,
        and the sheet says how much is left out.
    """
    pictures = {"picture.svg": picture} if picture else {}
    fixed = _fixed(sheet, at, language) | {"paper": paper, "picture": bool(picture)}

    def printing(scale: float, rows: int) -> bytes:
        data = fixed | _tried(sheet.tried, rows, language) | {"scale": scale}
        return press("find_sheet", data, at=at, pictures=pictures)

    tries = ((scale, rows) for rows in (40, 12, 5) for scale in _SCALES)
    return fitting((printing(scale, rows) for scale, rows in tries), PAGES)


def _fixed(sheet: FindSheet, at: datetime, language: str) -> dict[str, object]:
    advice = sheet.advice
    told = {
        "estimate": say("Estimate for planning.", language=language),
        "steps": say("What to do next", language=language),
        "suspects": say("What we think is wrong", language=language),
        "tried": say("What I tried", language=language),
        "held": say("Not yet", language=language),
        "costs": say("What each way to begin costs on average", language=language),
        "note": say("Tonight: what was done, expected, seen, decided, paid", language=language),
        "page": say("page", language=language),
        "first": say("first what killed it", language=language),
    }
    title = say("{machine}: {title}", language=language, machine=advice.machine, title=advice.title)
    return {
        "title": _short(title, 120),
        "by": sheet.by,
        "language": language,
        "words": told,
        "headline": _short(advice.headline, 400),
        "switch_off": _clean(advice.switch_off),
        "cautions": [_clean(text) for text in advice.cautions],
        "steps": [
            _step(step, place, advice, language) for place, step in enumerate(advice.steps[:STEPS])
        ],
        "held": [
            {"text": _short(one.text), "reason": _short(one.reason), "remedy": _short(one.remedy)}
            for one in advice.held[:6]
        ],
        "suspects": [
            {"name": _short(one.name, 90), "words": one.words, "first": _short(one.first, 120)}
            for one in advice.suspects[:10]
        ],
        "picture_says": told["costs"],
        "fine": _fine(advice, language),
        "block": [
            {"name": say(name, language=language), "value": _short(value, 46)}
            for name, value in _cells(sheet, at, language)
        ],
    }


def _step(step: Step, place: int, advice: Advice, language: str) -> dict[str, object]:
    boxes: tuple[str, ...] = _ANSWERS if step.sort in _LOOKS else _DONE
    if step.sort == "try_again" and step.id.startswith("group:"):
        boxes = _PROVED
    if step.sort == "sign":
        boxes = ()
    cost = say(
        "about {cost}, {minutes} min",
        language=language,
        cost=money(step.cost, advice.currency),
        minutes=number(step.minutes),
    )
    who = _WHO.get(step.who, "")
    return {
        "number": place + 1,
        "text": _short(step.text),
        "why": _short(step.why, 420),
        "cost": cost,
        "opens": ", ".join(map(str, step.opens)),
        "who": say(who, language=language) if who else "",
        "cautions": [_clean(text) for text in step.cautions],
        "boxes": [say(box, language=language) for box in boxes],
        "tie": say("as good as the first", language=language) if step.tie and place else "",
    }


def _tried(rows: tuple[TriedRow, ...], most: int, language: str) -> dict[str, object]:
    """The newest of what was tried, oldest of them first."""
    kept = rows[-most:]
    left = len(rows) - len(kept)
    more = say("{count} older ones are left out here.", language=language, count=left)
    return {
        "tried": [
            [_short(text, 120) for text in (r.when, r.what, r.expected, r.seen, r.decided, r.paid)]
            for r in kept
        ],
        "tried_head": [
            say(name, language=language)
            for name in ("when", "what", "expected", "seen", "decided", "paid")
        ],
        "more": more if left else "",
    }


def _fine(advice: Advice, language: str) -> list[str]:
    """What stands in small letters: what guessing costs, what nobody could better."""
    lines = [
        say(
            "By the first step {cost} on average; the most likely part first {guess}.",
            language=language,
            cost=money(advice.expected_cost, advice.currency),
            guess=money(advice.guess_cost, advice.currency),
        ),
        say(
            "Who knew everything beforehand would pay {bound}.",
            language=language,
            bound=money(advice.bound, advice.currency),
        ),
    ]
    return [] if advice.met else lines


def _cells(sheet: FindSheet, at: datetime, language: str) -> tuple[tuple[str, str], ...]:
    advice = sheet.advice
    edition = f"retrue {advice.version} {advice.kind_hash[:8]}" if advice.version else ""
    return (
        ("Lot", sheet.lot),
        ("Machine", advice.machine),
        ("Sheet", say("fault-finding", language=language)),
        ("By", sheet.by),
        ("On", minute(at)),
        ("Filled in by, on", ""),
        ("Seed, worlds", f"{advice.seed}, {number(advice.worlds)}"),
        ("Edition", edition),
    )


def _clean(text: str) -> str:
    """A text on one line, whole: a caution is never cut."""
    return " ".join(text.split())


def _short(text: str, longest: int = _LONGEST) -> str:
    clean = _clean(text)
    return clean if len(clean) <= longest else clean[: longest - 1].rstrip() + "…"
