"""What a line of a catalogue says of the sale in words alone, or with a number that may be none.

Words of six languages, without accents and in small letters: common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from retrue.base.say import say
from retrue.cases.screen.cell_ways import Heard
from retrue.cases.screen.sale_asked import Asked, some_lots
from retrue.cases.screen.sale_narrow import NARROWS
from retrue.cases.screen.sale_words import (
    BARE,
    CLAUSE,
    COMES_BACK,
    MARGIN,
    NONE_AT_ALL,
    NOT,
    PRICES_HOLD,
    STILL,
    TAX,
    WITHOUT_TAX,
    What,
)


def bare_number(field: What, low: str) -> Asked | None:
    """A number with no sign of a share, alone behind the name of one.

    Parameters
    ----------
    field : str
        premium, tax_rate.
    low : str
        A line in small letters without accents.

    Returns
    -------
    Asked or None
        None: the line is no such name and number.

    Examples
    --------
    >>> bare_number("premium", "premium: 0,18").values
    (0.18,)
    """
    found = BARE.fullmatch(low.strip())
    if found is None or field != ("tax_rate" if TAX.search(low) else "premium"):
        return None
    value = float(found[1].replace(",", "."))
    share = value if value < 1 else value / 100.0
    why = say("no % stands beside {number}", number=found[1])
    return Asked(field=field, why=why, values=(round(share, 6),))


def words_in(low: str, *, some: bool, premium: bool) -> Iterator[Heard | Asked]:
    """What is said without a figure: no premium; whether the tax comes back; its scheme.

    Parameters
    ----------
    low : str
        A line in small letters without accents.
    some : bool
        Whether it speaks of some lots only.
    premium : bool
        Whether a figure of it is the premium, or may be.

    Yields
    ------
    Heard or Asked

    Examples
    --------
    >>> [one.value for one in words_in("no buyer's premium", some=False, premium=False)]
    [0.0]
    >>> [one.why for one in words_in("no premium for dealers", some=False, premium=False)]
    ['“for dealers” stands beside it']
    """
    none = NONE_AT_ALL.search(low)
    if none is not None and not some and not premium:
        rest = CLAUSE.split(low[none.end() :])[0]
        others = [one for one in re.findall(r"[\w%]+", rest) if one not in STILL]
        why = say("{words} stands beside it", words=f"“{' '.join(others[:3])}”")
        yield (
            Asked(field="premium", why=why) if others
            else Heard(field="premium", value=0.0, why=say("the line says that there is none"))
        )  # fmt: skip
    hold = PRICES_HOLD.search(low)
    if hold and not some and not WITHOUT_TAX.search(hold[0]) and not NOT.search(hold[0]):
        yield Heard(field="prices_hold_tax", value=True)
    back = COMES_BACK.search(low)
    if back is not None and TAX.search(low) and not some:
        clause = low[max(back.start() - 24, 0) : back.end() + 12]
        if not NARROWS.search(low[max(back.start() - 24, 0) : back.end() + 40]):
            yield Heard(field="tax_reclaimable", value=NOT.search(clause) is None)
    yield from _margin(low, some=some)


def _margin(low: str, *, some: bool) -> Iterator[Heard | Asked]:
    found = MARGIN.search(low)
    if found is None:
        return
    before = CLAUSE.split(low[: found.start()])[-1]
    after = CLAUSE.split(low[found.end() :])[0]
    beside = NOT.search(before) or NARROWS.search(before) or NARROWS.search(after)
    if some:
        yield Asked(field="tax_scheme", why=some_lots())
    elif beside:
        why = say("{words} stands beside it", words=f"“{beside[0]}”")
        yield Asked(field="tax_scheme", why=why)
    else:
        yield Heard(field="tax_scheme", value="margin")
