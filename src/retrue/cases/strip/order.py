"""What was undone, in the order of taking apart, and what is not yet back, in reverse order."""

from __future__ import annotations

from collections.abc import Iterable

from retrue.base.refusals import NotYet, Problem
from retrue.base.say import say
from retrue.cases.strip.lines import TakenLine

DASH = " \u2013 "
SORTS = ("wire", "hose", "connector", "bag", "part")


def not_back(taken: Iterable[TakenLine]) -> tuple[TakenLine, ...]:
    """What is not yet back, the last undone first: the order of putting together.

    Parameters
    ----------
    taken : iterable of TakenLine
        In the order of taking apart.

    Returns
    -------
    tuple of TakenLine

    Examples
    --------
    >>> not_back(())
    ()
    """
    return tuple(line for line in reversed(tuple(taken)) if not line.back)


def title(line: TakenLine) -> str:
    """One thing that was undone, in a few words.

    Parameters
    ----------
    line : TakenLine

    Returns
    -------
    str
        Its sort, what it is, and where its ends belong.
    """
    ends = [end for end in (line.from_end, line.to_end) if end]
    what = " ".join(str(word) for word in (say(line.sort), line.what) if word)
    return f"{what} ({DASH.join(ends)})" if ends else what


def refuse_power(taken: Iterable[TakenLine]) -> None:
    """Refuse first power while something that was undone is not back.

    Parameters
    ----------
    taken : iterable of TakenLine
        In the order of taking apart.

    Raises
    ------
    NotYet
        With one problem for each thing that is off, in the order of putting together.

    Examples
    --------
    >>> refuse_power(())
    """
    off = not_back(taken)
    if not off:
        return
    raise NotYet(
        say("no first power: of what was undone, {count} not back yet", count=len(off)),
        remedy=say("Put them back in this order and say so. What stays off for good is put back in "
                   "the list with a word on why."),
        problems=tuple(Problem(line.code, title(line)) for line in off),
    )  # fmt: skip
