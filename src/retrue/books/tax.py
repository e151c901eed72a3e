"""Tax on one line of a paper: how much of it is tax, and how much of that comes back."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from retrue.base.currencies import Rounding, to_step
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say

SCHEMES = ("", "ordinary", "margin", "private", "import")


@dataclass(frozen=True, slots=True)
class Taxed:
    """One line with its tax apart, all in the currency of the paper.

    ``gross`` is paid, ``net`` is without tax, ``tax`` is the difference, ``back`` is what of the
    tax comes back.
    """

    gross: Decimal
    net: Decimal
    tax: Decimal
    back: Decimal

    @property
    def cost(self) -> Decimal:
        """What is left to bear: gross less what comes back."""
        return self.gross - self.back


def taxed(
    amount: Decimal,
    currency: str,
    *,
    rate: Decimal | None,
    included: bool = True,
    scheme: str = "",
    reclaimable: bool | None = None,
    rounding: Rounding = "half_up",
) -> Taxed:
    """A line of a paper by its scheme; local law and an accountant come first.

    Parameters
    ----------
    amount : Decimal
        In ``currency``; gross where the tax is in it, else net. Of an import where the tax is
        not in it: the value it is taken on, duty in it.
    currency : str
        Three letters.
    rate : Decimal or None
        A share: 0.21; None: no tax was named.
    included : bool
        Whether the amount holds the tax.
    scheme : str
        ordinary (or empty); margin: the seller pays tax on his margin, none is shown and none
        comes back; private: the seller is no business, there is none; import: paid at the border,
        comes back like ordinary tax, while duty is a cost.
    reclaimable : bool or None
        None: ordinary and import tax comes back, as to a business that reclaims it.
    rounding : str
        Of the tax to the smallest coin.

    Returns
    -------
    Taxed
        Amounts in ``currency``; gross is net and tax to the cent.

    Raises
    ------
    Unusable
        No such scheme, a rate that is no share, tax shown on a line whose scheme has none.

    References
    ----------
    Council Directive 2006/112/EC: articles 73 and 78 (what tax is taken on), 168 (what comes
    back), 312 to 325 (margin scheme: 325 forbids to show the tax), 85 and 86 (import, duty in
    the value); from memory, local law first.

    Examples
    --------
    >>> told = taxed(Decimal("121.00"), "EUR", rate=Decimal("0.21"))
    >>> str(told.net), str(told.tax), str(told.back), str(told.cost)
    ('100.00', '21.00', '21.00', '100.00')
    >>> taxed(Decimal("121.00"), "EUR", rate=None, scheme="margin").back
    Decimal('0.00')
    """
    wrong = tax_problems(rate=rate, scheme=scheme, reclaimable=reclaimable)
    if wrong:
        raise Unusable(
            say("the tax of this line cannot be: {what}", what=wrong[0].what),
            remedy=wrong[0].remedy,
            problems=wrong,
        )
    nothing = to_step(Decimal(0), currency)
    share = rate or Decimal(0)
    if share == 0:
        return Taxed(amount, amount, nothing, nothing)
    if included:
        tax = to_step(amount * share / (1 + share), currency, rounding)
        gross, net = amount, amount - tax
    else:
        tax = to_step(amount * share, currency, rounding)
        gross, net = amount + tax, amount
    comes_back = reclaimable if reclaimable is not None else scheme in ("", "ordinary", "import")
    return Taxed(gross, net, tax, tax if comes_back else nothing)


def tax_problems(
    *, rate: Decimal | None, scheme: str, reclaimable: bool | None
) -> tuple[Problem, ...]:
    """What cannot be about the tax of one line, each by its field.

    Parameters
    ----------
    rate : Decimal or None
        A share.
    scheme : str
    reclaimable : bool or None

    Returns
    -------
    tuple of Problem

    References
    ----------
    Council Directive 2006/112/EC, articles 313 to 325 (from memory).

    Examples
    --------
    >>> [one.where for one in tax_problems(rate=Decimal(21), scheme="odd", reclaimable=None)]
    ['tax_scheme', 'tax_rate']
    """
    wrong = []
    if scheme not in SCHEMES:
        named = ", ".join(one for one in SCHEMES if one)
        what = say("is {value}", value=repr(scheme))
        wrong.append(Problem("tax_scheme", what, say("It can be {named}.", named=named)))
    if rate is not None and not 0 <= rate < 1:
        what = say("is {value}, not a share", value=rate)
        wrong.append(Problem("tax_rate", what, say("Write 0.21 for 21 %.")))
    if scheme in ("margin", "private"):
        if rate:
            what = say("stands on a line whose scheme shows no tax")
            wrong.append(Problem("tax_rate", what, say("Leave it out, or choose ordinary.")))
        if reclaimable:
            what = say("says that tax comes back where none is shown")
            wrong.append(Problem("tax_reclaimable", what, say("Leave it out.")))
    return tuple(wrong)
