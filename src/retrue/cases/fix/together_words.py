"""While you're in there, in words: what to renew, what it comes to, how sure that is."""

from __future__ import annotations

from collections.abc import Sequence

from retrue.base.formatter import money, number, odds
from retrue.base.say import say
from retrue.cases.fix.ageing_parts import AgeingPart
from retrue.choose.together import Renewed

SMALL = 1.0  # of the currency: less is not worth a sentence


def told(parts: Sequence[AgeingPart], best: Renewed, years: float, currency: str) -> str:
    """The answer in two or three sentences.

    Parameters
    ----------
    parts : sequence of AgeingPart
    best : Renewed
    years : float
    currency : str

    Returns
    -------
    str
    """
    if not parts:
        return say("Nothing that stands open here is known to age.")
    now = [part for part, renew in zip(parts, best.renew, strict=True) if renew]
    return summed(
        [part.renewal.name for part in now],
        money_now=sum(part.money for part in now),
        hours_now=sum(part.hours for part in now),
        best=best,
        years=years,
        currency=currency,
    )


def summed(
    names: Sequence[str],
    *,
    money_now: float,
    hours_now: float,
    best: Renewed,
    years: float,
    currency: str,
) -> str:
    """What to renew, and what renewing all or none would cost more.

    Parameters
    ----------
    names : sequence of str
        Of what is renewed.
    money_now, hours_now : float
        What that takes.
    best : Renewed
    years : float
    currency : str

    Returns
    -------
    str

    Examples
    --------
    >>> import numpy as np
    >>> from retrue.choose.together import Opening, cheapest, parts_of
    >>> parts = parts_of([40.0, 300.0], [0.6, 0.02])
    >>> best = cheapest(parts, [Opening(np.array([120.0]), np.array([True, True]))])
    >>> said = summed(["Drive belt"], money_now=40.0, hours_now=1.2, best=best, years=5,
    ...               currency="EUR")
    >>> said.replace("\u202f", " ").split(" It ")[0]
    'Renew now: drive belt.'
    >>> said.replace("\u202f", " ").split(". ")[2]
    'Renewing all would cost € 292 more over 5 years than it saves'
    """
    span = {"years": spoken(years)}
    said = []
    if names:
        listed = _listed(names)
        took = {"money": money(money_now, currency), "hours": number(hours_now, 1)}
        said.append(
            say("Renew now: {names}. It takes {money} and {hours} h.", names=listed, **took)
        )
    elif len(best.renew) == 1:
        cost = money(best.cost, currency)
        said.append(say("Keep it: that costs {cost} on average over {years}.", cost=cost, **span))
    else:
        cost = money(best.cost, currency)
        said.append(say("Keep them all: that costs {cost} on average over {years}.",
                        cost=cost, **span))  # fmt: skip
    more_all, more_none = best.cost_all - best.cost, best.cost_none - best.cost
    if more_all >= SMALL and len(best.renew) > 1:
        more = money(more_all, currency)
        said.append(say("Renewing all would cost {more} more over {years} than it saves.",
                        more=more, **span))  # fmt: skip
    elif more_all >= SMALL:
        said.append(say("Renewing it would cost {more} more than it saves.",
                        more=money(more_all, currency)))  # fmt: skip
    if names and more_none >= SMALL:
        said.append(
            say("Renewing nothing would cost {more} more.", more=money(more_none, currency))
        )
    return " ".join(map(str, said))


def why(
    part: AgeingPart, best: Renewed, at: int, years: float, currency: str, *, against: bool
) -> str:
    """Why one part is renewed or kept.

    Parameters
    ----------
    part : AgeingPart
    best : Renewed
    at : int
        Its place in the choice.
    years : float
    currency : str
    against : bool
        The owner chose otherwise than reckoned.

    Returns
    -------
    str
    """
    kept, new = float(best.if_kept[at]), float(best.if_renewed[at])
    said = [kept_or_renewed(float(part.kept.mean()), kept, new, years, currency)]
    if part.fixed is not None:
        said.append(
            say("You chose so; reckoned it would be the other way.") if against
            else say("You chose so, and so it is reckoned.")
        )  # fmt: skip
    return " ".join(map(str, said))


def kept_or_renewed(chance: float, kept: float, renewed: float, years: float, currency: str) -> str:
    """How likely a part fails, and what it costs either way.

    Parameters
    ----------
    chance : float
        That it fails within the years.
    kept, renewed : float
        Expected money.
    years : float
    currency : str

    Returns
    -------
    str

    Examples
    --------
    >>> kept_or_renewed(0.5, 92.0, 41.0, 5.0, "EUR").replace("\u202f", " ")
    'It fails within 5 years: about 1 in 2. Kept it costs € 92 on average, renewed € 41.'
    """
    fails = say("It fails within {years}: {chance}.", chance=odds(chance), years=spoken(years))
    either = {"kept": money(kept, currency), "new": money(renewed, currency)}
    return f"{fails} {say('Kept it costs {kept} on average, renewed {new}.', **either)}"


def how_sure(best: Renewed) -> str:
    """Whether a cheaper choice can be.

    Parameters
    ----------
    best : Renewed

    Returns
    -------
    str
    """
    if best.exact:
        return say("No other choice is cheaper.")
    if best.sure:
        return say("Every choice was weighed over the ways it could be: none is cheaper.")
    return say("The best that was found; that none is cheaper was not shown.")


def spoken(years: float) -> str:
    """A span of years in words.

    Parameters
    ----------
    years : float

    Returns
    -------
    str

    Examples
    --------
    >>> spoken(1.0), spoken(5.0), spoken(2.5)
    ('one year', '5 years', '2.5 years')
    """
    if years == 1.0:
        return say("one year")
    return say("{years} years", years=number(years, 0 if years == int(years) else 1))


def _listed(names: Sequence[str]) -> str:
    small = [_small(name) for name in names]
    if len(small) == 1:
        return small[0]
    return say("{some} and {last}", some=", ".join(map(str, small[:-1])), last=small[-1])


def _small(name: str) -> str:
    """A name inside a sentence: ``Drive belt`` becomes ``drive belt``, ``DC fan`` stays."""
    return name[:1].lower() + name[1:] if name[1:2].islower() or name[1:2] == " " else name
