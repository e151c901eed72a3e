"""What a line in the book names: a line of the forecast, something on the shelf."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.cases.fix.known_lines import known_lines, line_problems
from retrue.cases.known import nearest
from retrue.kinds.library import Kind
from retrue.kinds.load import load
from retrue.records.fixing import Stock
from retrue.records.settling import Posting
from retrue.records.shop import RecordShop


def named_problems(
    shop: RecordShop,
    fact: Posting,
    kinds: Mapping[str, Kind] | None,
    old: Posting | None = None,
) -> Iterator[Problem]:
    """What a line names and nobody knows.

    Parameters
    ----------
    shop : RecordShop
        It is only read: what is on the shelf.
    fact : Posting
    kinds : mapping of kind id to Kind, or None
        None: the library as it is shipped.
    old : Posting or None
        The line it corrects: what that one names is not asked again.

    Yields
    ------
    Problem
        Of the field ``line``, where it looks like one of the tables' and is none (own words are
        welcome), or ``from_stock``.
    """
    asked = bool(fact.line) and (old is None or fact.line != old.line)
    if asked and not fact.line.startswith("unseen"):
        known = _known((load() if kinds is None else kinds).values())
        yield from line_problems(fact.line, sorted(known))
    if fact.from_stock and (old is None or fact.from_stock != old.from_stock):
        names = [one.fact.name for one in shop.current(Stock)]
        if fact.from_stock not in names:
            what = say("is {name}, and that is not on the shelf", name=repr(fact.from_stock))
            near = nearest(fact.from_stock, names)
            yield Problem("from_stock", what, near or say("Count it there first: it is a name."))


def _known(library: Collection[Kind]) -> Iterator[str]:
    """Lines of the tables, costs, and each fault put right in any way there is."""
    lines = known_lines(library)
    ways = {one.partition(":")[2] for one in lines if one[0] == "F"}
    yield from lines
    for kind in library:
        yield from kind.costs
        yield from (f"{fault}:{way}" for fault in kind.faults for way in ways)
