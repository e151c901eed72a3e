"""A quantity against its limit, with its doubt: in, too close to call, out."""

from __future__ import annotations

from collections.abc import Sequence

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.prove.proof import Conditions, Quantity, Verdict
from retrue.science.conformity import ruling_of, upper_conformance


def judge(quantities: Sequence[Quantity], conditions: Conditions) -> Verdict | None:
    """Judge one of a result's quantities, if a limit is given.

    Parameters
    ----------
    quantities : sequence of Quantity
        The first is judged unless the conditions name another; its size counts, not its sign.
    conditions : Conditions
        Limit, rule, and the expanded uncertainty (k = 2) where the owner states one; else the
        quantity's own is taken.

    Returns
    -------
    Verdict or None
        None without a limit, or where the quantity is not defined.

    Raises
    ------
    Unusable
        The conditions name a quantity that this test does not give.

    Examples
    --------
    >>> from retrue.cases.prove.proof import Limit
    >>> one = Quantity(key="a_um", name="a", value=12.0, unit="µm", uncertainty=2.0)
    >>> judge([one], Conditions(limit=Limit(value=15.0))).ruling
    'proved_good'
    >>> judge([one], Conditions(limit=Limit(value=13.0))).ruling
    'not_proved'
    """
    if conditions.limit is None:
        return None
    one = _the(quantities, conditions.judged)
    if one.value is None:
        return None
    limit, size = conditions.limit, abs(one.value)
    given = conditions.uncertainty
    expanded = one.uncertainty if given is None else given
    standard = None if expanded is None else expanded / 2
    ruling = ruling_of(size, limit.value, standard, rule=conditions.rule)
    return Verdict(
        key=one.key,
        value=one.value,
        unit=one.unit,
        ruling=ruling,
        limit=limit.value,
        uncertainty=expanded,
        rule=conditions.rule,
        standard=limit.standard,
        edition=limit.edition,
        limit_mark=limit.mark,
        conformance=None if standard is None else upper_conformance(size, limit.value, standard),
        why=_why(ruling, size, limit.value, expanded),
    )


def _the(quantities: Sequence[Quantity], key: str | None) -> Quantity:
    if key is None:
        return quantities[0]
    for one in quantities:
        if one.key == key:
            return one
    named = ", ".join(q.key for q in quantities)
    raise Unusable(
        say("this test gives no {key}", key=key),
        remedy=say("Judge one of: {named}.", named=named),
        problems=(Problem("judge", say("{key} is not a result of this test", key=key)),),
    )


def _why(ruling: str, size: float, limit: float, expanded: float | None) -> str:
    if expanded is None:
        if size <= limit:
            return say("Within, not proved: nobody has said how far a reading may be off.")
        return say("Over, not proved: nobody has said how far a reading may be off.")
    if ruling == "proved_good":
        return say("Inside the limit, doubt counted.")
    if ruling == "proved_bad":
        return say("Outside the limit, doubt counted.")
    return say("Nearer to the limit than the reading may be off.")
