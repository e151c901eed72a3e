"""In which currency the amounts of a sale are, as a line of its catalogue says it. Pure."""

from __future__ import annotations

from collections.abc import Iterator

from retrue.base.say import say
from retrue.cases.screen.cell_ways import Heard
from retrue.cases.screen.money_words import currency_in
from retrue.cases.screen.sale_days import Open
from retrue.cases.screen.sale_words import NAMES_CURRENCY, PRICES, PRICES_IN, THOUSANDS

THOUSAND = "thousands"
"""A field that nobody can type: the file has to say its amounts in full."""


def currencies_in(bare: str) -> Iterator[Heard | Open]:
    """The currency of amounts that name none.

    Parameters
    ----------
    bare : str
        A line without accents, its letters as large as they were.

    Yields
    ------
    Heard or tuple
        A tuple where it has to be typed: two are named; or amounts are to be multiplied.

    Examples
    --------
    >>> [one.value for one in currencies_in("All prices in CHF")]
    ['CHF']
    >>> [one[1] for one in currencies_in("Prices in EUR, bids in CHF")]
    ['it names EUR and CHF']
    """
    low = bare.casefold()
    if PRICES.search(low) and THOUSANDS.search(low):
        why = say("its amounts are in thousands: write them in full in the file")
        yield THOUSAND, why, ()
    codes: list[str] = []
    for pattern in (NAMES_CURRENCY, PRICES_IN):
        for found in pattern.finditer(bare):
            try:
                code = currency_in(found[1])
            except ValueError as wrong:
                yield "currency", str(wrong), ()
                return
            if "$" in found[1] and "US" not in found[1]:
                yield "currency", say("{cell} may be that of several countries", cell="“$”"), ()
                return
            codes.append(code)
    every = list(dict.fromkeys(filter(None, codes)))
    if len(every) > 1:
        named = say("it names {one} and {other}", one=every[0], other=every[1])
        yield "currency", named, ()
    elif every:
        yield Heard(field="currency", value=every[0])
