"""The frozen sheet: one page to hold while bidding."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime

from retrue.base.formatter import minute, money, number, odds
from retrue.base.say import say
from retrue.cases.sheet import PriceSheet
from retrue.paper.press import Paper, fitting, press
from retrue.records.facts import Frozen

# The smallest letters stay above 7.5 points; then words go, last of all rows.
_TRIES = (
    (1.0, 12, True, 99),
    (0.94, 12, True, 99),
    (0.88, 12, True, 99),
    (0.88, 6, True, 99),
    (0.88, 6, False, 99),
    (0.88, 0, False, 99),
    (0.86, 0, False, 24),
    (0.86, 0, False, 18),
    (0.86, 0, False, 12),
    (0.86, 0, False, 6),
)
_CELL = 44  # letters of one cell of the title block
_LONGEST = 240  # letters of one line of the sheet; what is cut stands on the price sheet


def freeze_sheet(
    frozen: Frozen,
    sheet: PriceSheet,
    *,
    picture: str | None,
    by: str,
    at: datetime,
    paper: Paper = "a4",
    language: str = "",
) -> bytes:
    """Print the frozen price: three numbers, three dangers, what must be cleared first.

    Parameters
    ----------
    frozen : Frozen
        The frozen record: hammer price, all in, chance of being sorry, dangers.
    sheet : PriceSheet
        The price sheet it was frozen from.
    picture : str or None
        The rule as finished SVG with literal colours.
    by : str
        Who froze it.
    at : datetime
        When, with its offset.
    paper : "a4" or "us-letter"
        Size of the paper.
    language : str
        Two letters.

    Returns
    -------
    bytes
        A PDF of one page. What did not fit is left out from the bottom up (what was assumed,
        then reasons, then rows), and the page says how many.
    """
    return fitting(_printings(frozen, sheet, picture, by, at, paper, language), 1)


def _printings(
    frozen: Frozen,
    sheet: PriceSheet,
    picture: str | None,
    by: str,
    at: datetime,
    paper: Paper,
    language: str,
) -> Iterator[bytes]:
    fixed = _fixed(frozen, sheet, by, at, language) | {"paper": paper, "picture": bool(picture)}
    for scale, assumed, reasons, clear in _TRIES:
        rows = _rows(sheet, assumed=assumed, reasons=reasons, clear=clear, language=language)
        pictures = {"picture.svg": picture} if picture else {}
        yield press("freeze_sheet", fixed | rows | {"scale": scale}, at=at, pictures=pictures)


def _fixed(
    frozen: Frozen, sheet: PriceSheet, by: str, at: datetime, language: str
) -> dict[str, object]:
    """What stands on the sheet whatever its room."""
    return {
        "title": _short(sheet.lot, 110),
        "language": language,
        "by": by,
        "kicker": say(
            "Frozen before the bidding; it rises only with a typed reason", language=language
        ),
        "reason": _short(frozen.reason),
        "caution": " ".join(_short(text) for text in sheet.cautions[:2]),
        "numbers": _numbers(frozen, sheet.currency, language),
        "picture_says": say("the estimate on a graduated rule", language=language),
        "doubt": _doubt(sheet, language),
        "dangers": [_short(text) for text in frozen.dangers[:3]],
        "words": {
            key: say(text, language=language)
            for key, text in {
                "rose": "It rose because:",
                "estimate": "Estimate for planning.",
                "dangers": "Three dangers",
                "clear": "Before any money goes",
                "assumed": "Nobody said, so this was taken",
                "none": "None are known.",
            }.items()
        },
        "pencil": [
            say(text, language=language)
            for text in ("Hammer fell at", "Won, lost, walked away", "Paid on")
        ],
        "block": _block(frozen, sheet.lot, by, at, language),
    }


def _numbers(frozen: Frozen, currency: str, language: str) -> list[dict[str, str]]:
    nothing = say("do not bid", language=language)
    rows = (
        (
            "Do not go above, on the bid screen",
            money(frozen.hammer, currency) if frozen.hammer > 0 else nothing,
            "Hammer price; premium and tax come on top.",
        ),
        (
            "All in, on your floor",
            money(frozen.all_in, currency),
            "Price, premium, tax, removal and move, on average.",
        ),
        ("Chance you'd be sorry", odds(frozen.sorry), "At that hammer price."),
    )
    return [
        {"name": say(name, language=language), "value": value, "note": say(note, language=language)}
        for name, value, note in rows
    ]


def _doubt(sheet: PriceSheet, language: str) -> str:
    """What follows the number, and how far it may be off, in one line."""
    walk, currency = sheet.walk_away, sheet.currency
    parts = []
    if walk.restored is not None:
        text = "Until the first good part, on average: {amount}."
        parts.append(say(text, language=language, amount=money(walk.restored, currency)))
    if walk.prices_third_low is not None:
        text = "If our prices are a third too low: {amount}."
        parts.append(say(text, language=language, amount=money(walk.prices_third_low, currency)))
    if walk.tables_wrong is not None:
        text = "If every trouble is likelier than our tables say: {amount}."
        parts.append(say(text, language=language, amount=money(walk.tables_wrong, currency)))
    text = "The sum itself may be off by {amount}."
    parts.append(say(text, language=language, amount=money(walk.error, currency)))
    return " ".join(map(str, parts))


def _rows(
    sheet: PriceSheet, *, assumed: int, reasons: bool, clear: int, language: str
) -> dict[str, object]:
    """The lists, cut to their room; what is left out is counted."""
    hidden = len(sheet.assumed) - len(sheet.assumed[:assumed])
    uncleared = len(sheet.clear_first) - len(sheet.clear_first[:clear])
    more = "and {count} more, on the price sheet"
    return {
        "clear": [
            {
                "what": _short(_named(row.machine, row.what)),
                "why": _short(row.why) if reasons else "",
            }
            for row in sheet.clear_first[:clear]
        ],
        "more_clear": say(more, language=language, count=uncleared) if uncleared else "",
        "assumed": [
            {
                "field": _short(row.field),
                "value": _short(row.value),
                "why": _short(row.why) if reasons else "",
            }
            for row in sheet.assumed[:assumed]
        ],
        "more_assumed": say(more, language=language, count=hidden) if hidden else "",
    }


def _block(
    frozen: Frozen, lot: str, by: str, at: datetime, language: str
) -> list[dict[str, object]]:
    cells: tuple[tuple[str, str, int], ...] = (
        ("Lot", lot if len(lot) <= _CELL else f"{lot[: _CELL - 1]}…", 1),
        ("Sheet", say("frozen price", language=language), 1),
        ("By", by, 1),
        ("On", minute(at), 1),
        ("Seed, worlds", f"{frozen.seed}, {number(frozen.worlds)}", 1),
        ("Edition", f"retrue {frozen.version}", 1),
        ("Types of machine, fingerprint", frozen.kind_hash, 6),
    )
    return [
        {"name": say(name, language=language), "value": value, "span": span}
        for name, value, span in cells
    ]


def _named(machine: str | None, what: str) -> str:
    return f"{machine}: {what}" if machine else what


def _short(text: str, longest: int = _LONGEST) -> str:
    clean = " ".join(text.split())
    return clean if len(clean) <= longest else clean[: longest - 1].rstrip() + "…"
