"""What in a spoken quote may mean something else: named, so that nothing wrong is kept."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.cases.fix.typed import CODES, DAY, MONTHS, PLAIN_TERM, WEEKDAY

_GRANTED = r"warranty|guarantee"
_LASTING = rf"(?:{PLAIN_TERM}|(?:a|one|two|[0-9]+)\s+years?)"
GRANTED = re.compile(
    rf"(?<!\S)(?:(?:with\s+)?{_LASTING}(?:'s?)?\s+(?:of\s+)?(?:{_GRANTED})"
    rf"|(?:with\s+)?(?:{_GRANTED})\s*(?:of|for|:)?\s*{_LASTING}|(?:no|without)\s+(?:{_GRANTED}))"
    r"(?=[\s,;]|$)",
    re.I,
)
"""How long it is answered for: no part of how long it takes."""

_TO_COME = re.compile(
    rf"(?<!\S)(?:(?:by|before|after|from|since|ready|here|promised|deliver\w*|coming|this|next|for)\s+)+"
    rf"(?:on\s+|by\s+)?(?P<day>{DAY}|(?:week|month)\b)(?=[\s,;]|$)|\btomorrow\b",
    re.I,
)
_NUMBER = r"[€£$]?\s*[0-9][0-9.,]*+"
_BETWEEN = re.compile(rf"\bbetween\s+{_NUMBER}", re.I)
_HEDGED = re.compile(
    r"\b(?:from|over|under|about|around|circa|roughly|maybe|perhaps|least|most|up\s+to|min|max|"
    rf"minimum|maximum|below|above|not|less|minus|plus|extra|deposit)\.?\s*(?:of\s+)?{_NUMBER}"
    r"(?![^\s,;]*\s*(?:(?:-|–|to)\s*\w+\s*)?(?:working\s+days?|workdays?|days?|weeks?|months?)\b)"
    r"(?![0-9.,]*\s*%\s*(?:vat|tax)\b)",
    re.I,
)
_HOLDS_ELSE = re.compile(
    r"\b(?:incl|excl)(?:\.|u\w+)?\s+(?!(?:of|the|vat|tax|each|apiece|a\s+piece|per|and|in|within|at|on|"
    rf"for|said|valid|rate|until|till|{'|'.join(sorted(CODES))}|{DAY}|{PLAIN_TERM})\b)[^\W\d_]+",
    re.I,
)
_PARTED = re.compile(
    r"(?P<before>[^\s,;]+)[ ](?P<number>[0-9]{1,3}(?:[ ][0-9]{3})+(?:[.,][0-9]+)?)(?=[\s,;]|$)"
)
_TWO_MARKS = re.compile(r"(?<![^\s€£$])[0-9]{1,3}(?:([.,])[0-9]{3})+(?!\1)[.,][0-9]+(?![^\s,;])")
_JOINS = ("x", "at", "and", "on", "by", "from", "for", "said", "says", "asks", "quoted", "is")
_NAMED = re.compile(r"[^\W\d_][^\d]*\s#?[0-9]{1,3}[a-z]?(?:\s+(?:in|at|of|near)\s\D+)?", re.I)
_TURNS = re.compile(
    r"\b(?:not|n't|never|without|deposit|advance|down\s+payment|discount|minus|plus|less|extra|ago|"
    rf"next|tomorrow|between|about|around|circa|roughly|or|pieces?|pcs|both|pair|total|{_GRANTED})\b"
    r"|[%+=]",
    re.I,
)
_SOME_TIME = re.compile(
    r"\b(?:than|least|most|sooner|earlier|later|weeks?|months?|years?|weekend|christmas|easter)\b",
    re.I,
)
_MONTH = re.compile(rf"\b(?:{'|'.join(MONTHS)})\b", re.I)
_TAXED = re.compile(r"\b(?:vat|tax|taxes|incl|excl)\b", re.I)
_DAY = re.compile(rf"(?<!\S){DAY}(?!\S)", re.I)
_LIKE_A_DAY = re.compile(r"[0-9]{4}-[0-9]|[0-9]/[0-9]|[0-9]\.[0-9]{1,2}\.")
_TERM = re.compile(rf"(?<!\S){PLAIN_TERM}(?!\S)", re.I)
_NAMES = re.compile(r"\s+[A-Z]")  # a name goes on behind it: the firm Sunday Motors
_NAME_OF_DAY = re.compile(rf"(?:^|[,;]\s*)(?P<day>(?i:{WEEKDAY}))\s+(?P<name>[A-Z]\w+)")


def doubts(text: str) -> Iterator[Problem]:
    """What a spoken line holds that would be read wrongly, before any of it is read.

    Parameters
    ----------
    text : str
        Behind the line it is for.

    Yields
    ------
    Problem
        A range, a figure somebody hedged, a day still to come, a weekday that may be a name, a
        number that may be one or two, thousands with a mark of their own.

    Examples
    --------
    >>> [one.where for one in doubts("winder, between 500 and 700, next Tuesday")]
    ['quoted_on', 'amount']
    """
    if (found := _TO_COME.search(text)) is not None:
        what = say("{words} is a day to come", words=_quoted(found[0]))
        remedy = say("Say on which day it was quoted, and how long it takes: Tuesday, 3 weeks.")
        yield Problem("quoted_on", what, remedy)
    named = _NAME_OF_DAY.search(text)
    if named is not None and named["name"] not in CODES:
        words = f"{named['day']} {named['name']}"
        what = say("{words} may be a day or a name", words=_quoted(words))
        remedy = say(
            "Write {day}, {name} with a comma; or the firm {words}.",
            day=named["day"], name=named["name"], words=words,
        )  # fmt: skip
        yield Problem("vendor", what, remedy)
    if (found := _HOLDS_ELSE.search(text)) is not None:
        what = say("{words} says nothing of tax", words=_quoted(found[0]))
        yield Problem("tax", what, say("Say incl VAT or excl VAT, or leave it out."))
    yield from _amounts(text)


def _amounts(text: str) -> Iterator[Problem]:
    one_figure = say("Say one figure, as 600; what else was said can stand in the notes.")
    for pattern in (_BETWEEN, _HEDGED):
        if (found := pattern.search(text)) is not None:
            what = say("{words} is not one figure", words=_quoted(found[0]))
            yield Problem("amount", what, one_figure)
            return
    if (found := _TWO_MARKS.search(text)) is not None:
        tail = re.search(r"[.,][0-9]+$", found[0])
        mark = tail[0] if tail is not None else ""
        whole = re.sub("[.,]", "", found[0].removesuffix(mark))
        what = say("{words} has two sorts of marks", words=_quoted(found[0]))
        remedy = say(
            "Write thousands with an apostrophe or not at all: {plain}.", plain=whole + mark
        )
        yield Problem("amount", what, remedy)
    for found in _PARTED.finditer(text):
        word = found["before"]
        if re.search(r"[^\W\d_]$", word) and word.casefold() not in _JOINS and word not in CODES:
            what = say("{words} may be one number or two", words=_quoted(found["number"]))
            remedy = say(
                "Write {whole}, or put a comma before the amount.",
                whole=found["number"].replace(" ", ""),
            )
            yield Problem("amount", what, remedy)


def left_over(pieces: Sequence[str], vendor: str, *, bare: bool) -> Iterator[Problem]:
    """What is wrong with the words that no part was found in.

    Parameters
    ----------
    pieces : sequence of str
        In the order in which they were said.
    vendor : str
        The one that names who asks it.
    bare : bool
        Whether the price was a bare number behind words.

    Yields
    ------
    Problem
        For a second number, a second day or term, and for words that turn a meaning round. A name
        may hold one small number, as hall 3, where the price was told apart from it.

    Examples
    --------
    >>> list(left_over(("hall 3", "ask for the son"), "hall 3", bare=False))
    []
    >>> [one.where for one in left_over(("hall 3", "deposit 100"), "hall 3", bare=False)]
    ['amount']
    """
    for piece in pieces:
        where = _where(piece, piece == vendor, bare)
        if where:
            what = say("{words} was not understood", words=_quoted(piece))
            remedy = say(
                "One amount, one day and one term are kept: leave out what is more, and say it as "
                "600 incl, Tuesday, 3 weeks."
            )
            yield Problem(where, what, remedy)


def _where(piece: str, name: bool, bare: bool) -> str:
    """Which field words that are left over put in doubt; empty: none."""
    if _TAXED.search(piece):
        return "tax"
    days = [
        found for found in _DAY.finditer(piece) if not (name and _NAMES.match(piece, found.end()))
    ]
    if days or _LIKE_A_DAY.search(piece) or (not name and _MONTH.search(piece)):
        return "quoted_on"
    if _TERM.search(piece):
        return "days"
    small = name and not bare and _NAMED.fullmatch(piece)
    if re.search(r"[0-9]", piece) and not small:
        return "amount"
    if _SOME_TIME.search(piece):
        return "days"
    return "amount" if _TURNS.search(piece) else ""


def _quoted(words: str) -> str:
    return f"“{' '.join(words.split())}”"
