"""Tax as a parts list writes it: a rate, and whether its amounts hold it."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from retrue.cases.settle.bring_amounts import DecimalMark, amount_of
from retrue.cases.settle.bring_words import WITH_TAX, WITHOUT_TAX, plain

MOST_TAX = 30  # per cent


def tax_share(cell: str, mark: DecimalMark) -> Decimal | None:
    """A rate of tax as a share: 21, 21 % and 0.21 are 0.21; None: it is no rate.

    Parameters
    ----------
    cell : str
    mark : str
        comma or point.

    Returns
    -------
    Decimal or None

    Examples
    --------
    >>> tax_share("21 %", "comma"), tax_share("0,06", "comma"), tax_share("212,40", "comma")
    (Decimal('0.21'), Decimal('0.06'), None)
    """
    text = cell.strip()
    if not text:
        return None
    try:
        value = amount_of(text.rstrip("% "), mark).value
    except ValueError:
        return None
    if text.endswith("%") or value > 1:
        return value / 100 if value <= MOST_TAX else None
    return value


def tax_in_heading(headings: Iterable[str]) -> bool | None:
    """Whether amounts under these headings hold the tax; None: they do not say.

    Parameters
    ----------
    headings : iterable of str
        As written, the one that counts most first.

    Returns
    -------
    bool or None

    Examples
    --------
    >>> tax_in_heading(["Total excl. VAT"]), tax_in_heading(["Prix TTC"]), tax_in_heading(["Total"])
    (False, True, None)
    """
    for heading in headings:
        bare = f" {plain(heading)} "
        if any(f" {word} " in bare for word in WITHOUT_TAX):
            return False
        if any(f" {word} " in bare for word in WITH_TAX):
            return True
    return None
