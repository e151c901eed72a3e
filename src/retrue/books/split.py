"""An amount shared out to the cent: the shares add up to it, whatever the weights."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction

from retrue.base.currencies import minor_units
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say


def shared_out(
    amount: Decimal, weights: Sequence[Decimal | float | int], currency: str
) -> tuple[Decimal, ...]:
    """An amount by weights, each share whole in the smallest unit of its currency.

    Parameters
    ----------
    amount : Decimal
        In ``currency``, whole in its smallest unit; below nothing it is shared like its opposite.
    weights : sequence of number, shape (shares,)
        0 or more; a weight of 0 gets nothing. All 0: equal shares.
    currency : str
        Three letters.

    Returns
    -------
    tuple of Decimal, shape (shares,)
        In ``currency``; they add up to the amount exactly. What is left after rounding down goes
        to the largest remainders, a tie to the first.

    Raises
    ------
    Unusable
        A weight below 0 or no number, nobody to share, or an amount finer than its currency.

    References
    ----------
    Balinski and Young 2001, Fair Representation, chapter 3: the method of Hamilton, largest
    remainders.

    Examples
    --------
    >>> shared_out(Decimal("100.00"), [1, 1, 1], "EUR")
    (Decimal('33.34'), Decimal('33.33'), Decimal('33.33'))
    >>> shared_out(Decimal("-0.05"), [2, 0, 1], "EUR")
    (Decimal('-0.03'), Decimal('0.00'), Decimal('-0.02'))
    """
    decimals = minor_units(currency)
    units = amount.scaleb(decimals)
    _refuse(units, weights)
    if len(weights) == 1:
        return (abs(amount) if amount == 0 else amount,)
    parts = [Fraction(weight) for weight in weights]
    total = sum(parts)
    if total == 0:
        parts, total = [Fraction(1)] * len(parts), Fraction(len(parts))
    whole = abs(int(units))
    exact = [whole * part / total for part in parts]
    given = [int(one) for one in exact]
    left = whole - sum(given)
    order = sorted(range(len(parts)), key=lambda at: (given[at] - exact[at], at))
    for at in order[:left]:
        given[at] += 1
    sign = -1 if units < 0 else 1
    return tuple(Decimal(sign * one if one else 0).scaleb(-decimals) for one in given)


def _refuse(units: Decimal, weights: Sequence[Decimal | float | int]) -> None:
    wrong = []
    if not weights:
        wrong.append(Problem("weights", say("are none"), say("Say who shares it.")))
    for at, weight in enumerate(weights, 1):
        if not Decimal(weight).is_finite() or weight < 0:
            what = say("the weight of share {at} is {weight}", at=at, weight=weight)
            wrong.append(Problem("weights", what, say("Give 0 or more.")))
    if units != int(units):
        what = say("is finer than its currency")
        wrong.append(Problem("amount", what, say("Round it to the smallest coin.")))
    if wrong:
        raise Unusable(
            say("this cannot be shared out: {what}", what=wrong[0].what),
            remedy=wrong[0].remedy,
            problems=tuple(wrong),
        )
