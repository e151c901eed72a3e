"""The acceptance sheet: one machine, the newest word of every test, and what nobody has tested."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from retrue.base.formatter import day, minute
from retrue.base.say import say
from retrue.cases.prove.acceptance import Acceptance, AcceptanceRow
from retrue.cases.prove.said import RULINGS, amount, doubt
from retrue.paper.press import Paper, fitting, press

_SCALES = (1.0, 0.93, 0.86)
_LONGEST = 300


def acceptance_sheet(
    accepted: Acceptance,
    *,
    at: datetime,
    by: str = "",
    version: str = "",
    paper: Paper = "a4",
    language: str = "",
) -> bytes:
    """Print what is proved about one machine, and what is not.

    Parameters
    ----------
    accepted : Acceptance
        Its results, what is provisional, and the cautions that stand before the numbers. A row
        without a time was not tested.
    at : datetime
        When it is printed, with its offset.
    by : str
        Who prints it.
    version : str
        Of this program.
    paper : "a4" or "us-letter"
        Size of the paper.
    language : str
        Two letters.

    Returns
    -------
    bytes
        A PDF of one page, of more where there are many results.
    """
    tested = [one for one in accepted.rows if one.when is not None]
    fixed = {
        "words": _words(language),
        "title": _short(
            say("Acceptance: {machine}", language=language, machine=accepted.machine), 90
        ),
        "kicker": _short(accepted.lot, 110),
        "paper": paper,
        "language": language,
        "by": by,
        "answer": _answer(tested, accepted, language),
        "cautions": [_short(text) for text in accepted.cautions],
        "rows": [_row(one, language) for one in tested],
        "provisional": [_short(text) for text in accepted.provisional],
        "untested": _untested(accepted),
        "block": _block(accepted, by, version, at, language),
    }
    printings = (press("acceptance_sheet", fixed | {"scale": s}, at=at) for s in _SCALES)
    return fitting(printings, 1)


def _words(language: str) -> dict[str, str]:
    sentences = {
        "estimate": "Estimate for planning.",
        "is_no": "A sheet of numbers that were read; it allows nothing and promises nothing.",
        "test": "Test",
        "read": "Read",
        "limit": "Limit and where it comes from",
        "ruling": "Ruling",
        "when": "When, by, with",
        "provisional": "Provisional: shown, kept, not accepted",
        "untested": "Not tested",
        "none": "None.",
        "page": "page",
        "signed": "Signed, on",
        "witness": "Seen by, on",
        "remarks": "Remarks",
        "doubt": "Give or take: expanded uncertainty, k = 2.",
    }
    return {key: say(text, language=language) for key, text in sentences.items()}


def _answer(tested: Sequence[AcceptanceRow], accepted: Acceptance, language: str) -> str:
    """What the sheet comes to, in one sentence: nothing is accepted while anything is out."""
    count = {ruling: sum(one.ruling == ruling for one in tested) for ruling in RULINGS}
    unjudged = sum(one.ruling not in RULINGS for one in tested)
    parts = [
        (count["proved_good"], "{count} proved good"),
        (count["not_proved"], "{count} not proved"),
        (count["proved_bad"], "{count} proved bad"),
        (unjudged, "{count} without a limit"),
        (len(accepted.provisional), "{count} provisional"),
        (len(_untested(accepted)), "{count} not tested"),
    ]
    told = [say(text, language=language, count=many) for many, text in parts if many]
    return ", ".join(map(str, told)) + "."


def _untested(accepted: Acceptance) -> list[str]:
    """Tests that gave no number yet."""
    return [one.title for one in accepted.rows if one.when is None]


def _row(one: AcceptanceRow, language: str) -> dict[str, str]:
    told = _value(one, language)
    source = " ".join(str(part) for part in (one.standard, one.edition) if part)
    limit = "" if one.limit is None else amount(one.limit, one.unit, _digits(one.limit))
    held = [part for part in (limit, source, say(one.mark) if one.mark else "") if part]
    word = say(RULINGS.get(one.ruling, "no limit, not judged"), language=language)
    whose = (day(one.when) if one.when else "", one.by, one.instrument)
    return {
        "title": _short(one.title, 90),
        "value": told,
        "limit": ", ".join(map(str, held)) or "\u2013",
        "ruling": one.ruling,
        "word": word,
        "why": _short(one.why, 120),
        "whose": _short(", ".join(str(part) for part in whose if part), 110),
    }


def _value(one: AcceptanceRow, language: str) -> str:
    if one.value is None:
        return say("not defined", language=language)
    digits = _digits(one.value)
    told = amount(one.value, one.unit, digits)
    if one.uncertainty is None:
        return told
    beside = doubt(one.uncertainty, digits)
    return say("{value}, give or take {doubt}", language=language, value=told, doubt=beside)


def _digits(value: float) -> int:
    """Decimals that show three figures, and no more.

    Examples
    --------
    >>> _digits(123.4), _digits(12.34), _digits(0.004)
    (0, 1, 3)
    """
    if abs(value) >= 100 or value == 0:
        return 0
    return 1 if abs(value) >= 1 else 3


def _block(
    accepted: Acceptance, by: str, version: str, at: datetime, language: str
) -> list[dict[str, object]]:
    cells: tuple[tuple[str, str, int], ...] = (
        ("Lot, machine", ", ".join(map(str, filter(None, (accepted.lot, accepted.machine)))), 2),
        ("Sheet", say("acceptance", language=language), 1),
        ("By, on", ", ".join(map(str, filter(None, (by, minute(at))))), 2),
        ("Edition", f"retrue {version}" if version else "", 1),
    )
    return [
        {"name": say(name, language=language), "value": _short(value, 46 * span), "span": span}
        for name, value, span in cells
    ]


def _short(text: str, longest: int = _LONGEST) -> str:
    clean = " ".join(text.split())
    return clean if len(clean) <= longest else clean[: longest - 1].rstrip() + "…"
