"""A result in words, as paper and terminal tell it alike."""

from __future__ import annotations

from retrue.base.formatter import decimals, number
from retrue.base.say import say
from retrue.cases.prove.proof import Quantity, ThenRead, Verdict

RULINGS: dict[str, str] = {
    "proved_good": "proved good",
    "not_proved": "not proved",
    "proved_bad": "proved bad",
}
RULES = {
    "guarded": "guarded rule: the doubt counts against whoever claims",
    "simple": "simple rule: the value alone decides, the risk is shared",
}
_FINEST = 6


def amount(value: float, unit: str, digits: int = 1, *, signed: bool = False) -> str:
    """A number with its unit, never broken over a line.

    Parameters
    ----------
    value : float
        In the unit.
    unit : str
        As printed; may be empty.
    digits : int
        Decimals to show.
    signed : bool
        Show a plus as well.

    Returns
    -------
    str

    Examples
    --------
    >>> amount(12.04, "µm") == "12.0\\u202fµm", amount(3.0, "")
    (True, '3.0')
    """
    told = number(value, digits, signed=signed)
    return f"{told}\u202f{unit}" if unit else told


def quantity_words(one: Quantity) -> str:
    """A quantity's value with its give or take, or why there is none.

    Parameters
    ----------
    one : Quantity
        Of a result.

    Returns
    -------
    str

    Examples
    --------
    >>> one = Quantity(key="a_um", name="a", value=12.0, unit="µm", uncertainty=2.0)
    >>> quantity_words(one).replace("\\u202f", " ")
    '12.0 µm, give or take 2.0'
    """
    if one.value is None:
        return say("not defined: {why}", why=one.why) if one.why else say("not defined")
    told = amount(one.value, one.unit, one.digits, signed=one.signed)
    if one.uncertainty is None:
        return told
    beside = doubt(one.uncertainty, one.digits)
    return say("{value}, give or take {doubt}", value=told, doubt=beside)


def doubt(uncertainty: float, digits: int) -> str:
    """A give or take in as many decimals as its number, more only where it would read as nothing.

    Parameters
    ----------
    uncertainty : float
        Expanded, k = 2.
    digits : int
        Decimals of the number it belongs to.

    Returns
    -------
    str

    Examples
    --------
    >>> doubt(0.8, 1), doubt(0.004, 1)
    ('0.8', '0.004')
    """
    while digits < _FINEST and uncertainty > 0 and round(uncertainty, digits) == 0:
        digits += 1
    return number(uncertainty, digits)


def then_read_words(one: ThenRead) -> str:
    """What a gauge shows if the remedy was right.

    Parameters
    ----------
    one : ThenRead
        Of a result.

    Returns
    -------
    str

    Examples
    --------
    >>> one = ThenRead(where="front left", value=0.0, unit="µm/m", give_or_take=10.0, digits=0)
    >>> then_read_words(one).replace("\\u202f", " ")
    'front left: 0 µm/m, give or take 10'
    """
    told = amount(one.value, one.unit, one.digits, signed=one.signed)
    if one.give_or_take is None:
        return say("{where}: {value}", where=one.where, value=told)
    return say(
        "{where}: {value}, give or take {doubt}",
        where=one.where,
        value=told,
        doubt=doubt(one.give_or_take, one.digits),
    )


def verdict_words(verdict: Verdict, digits: int = 1) -> tuple[str, ...]:
    """A verdict with the limit it was held against and where that limit comes from.

    Parameters
    ----------
    verdict : Verdict
        Of a result.
    digits : int
        Decimals of the judged quantity.

    Returns
    -------
    tuple of str
        The ruling and its reason; then limit, rule and mark.

    Examples
    --------
    >>> from retrue.cases.prove.proof import Conditions, Limit
    >>> from retrue.cases.prove.verdicts import judge
    >>> one = Quantity(key="a_um", name="a", value=12.0, unit="µm", uncertainty=2.0)
    >>> verdict_words(judge([one], Conditions(limit=Limit(value=15.0))))[0]
    'Proved good. Inside the limit, doubt counted.'
    """
    ruling = say(RULINGS[verdict.ruling])
    source = " ".join(str(part) for part in (verdict.standard, verdict.edition) if part)
    limit = number(verdict.limit, max(digits, decimals(verdict.limit)))
    held = [say("Limit {limit} {unit}", limit=limit, unit=verdict.unit)]
    held += [source] if source else []
    held += [say(verdict.limit_mark)] if verdict.limit_mark else []
    return (
        f"{ruling[0].upper()}{ruling[1:]}. {verdict.why}".rstrip(),
        f"{', '.join(map(str, held))}; {say(RULES[verdict.rule])}.",
    )
