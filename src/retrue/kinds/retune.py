"""Keep a measure and the yes or no of its check telling one story.

The medians of a measure were worked out so that its healthy part lies beyond the limit with the
chance of the leak, and each fault's part with the chance of its link, or less where the number
sees less than the whole check does. Whoever changes a link or a leak moves those chances in
proportion; whoever gives a median of his own keeps it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from statistics import NormalDist
from typing import Any

from retrue.kinds.library import Check, Measure, Part

Changed = Mapping[tuple[str, ...], Any]  # path of an own number -> what was shipped there

NEAR = 1e-6  # a chance of 0 or 1 is taken as this near to it
MARK = "worked out from the changed chance of its check"


def median_beyond(limit: float, log_sd: float, chance: float, bad_side: str) -> float:
    """Median of a lognormal part that lies beyond a limit with a given chance.

    Parameters
    ----------
    limit : float
        The limit, in the measure's unit.
    log_sd : float
        Standard deviation of the natural logarithm.
    chance : float
        Chance of lying beyond it, 0 to 1; the ends are taken as one in a million.
    bad_side : str
        ``high`` or ``low``: on which side of the limit is beyond.

    Returns
    -------
    float
        The median, in the measure's unit.

    Examples
    --------
    >>> median_beyond(5.0, 1.3, 0.5, "low")
    5.0
    >>> round(median_beyond(0.01, 0.4, 0.06, "high"), 5)
    0.00537
    """
    z = NormalDist().inv_cdf(min(max(chance, NEAR), 1 - NEAR))
    return limit * math.exp(log_sd * (z if bad_side == "high" else -z))


def chance_beyond(limit: float, part: Part, bad_side: str) -> float:
    """Chance that a lognormal part lies beyond a limit; undoes :func:`median_beyond`.

    Parameters
    ----------
    limit : float
        The limit, in the measure's unit.
    part : Part
        Median and log standard deviation.
    bad_side : str
        ``high`` or ``low``.

    Returns
    -------
    float
        0 to 1.

    Examples
    --------
    >>> round(chance_beyond(0.01, Part(median=0.00537, log_sd=0.4, mark=""), "high"), 2)
    0.06
    """
    z = math.log(part.median / limit) / part.log_sd
    return NormalDist().cdf(z if bad_side == "high" else -z)


def retuned(
    measures: Mapping[str, Measure],
    checks: Mapping[str, Check],
    own_checks: Changed,
    own_measures: Changed,
) -> dict[str, Measure]:
    """Move the medians of measures whose check was changed.

    Parameters
    ----------
    measures, checks : mapping
        Of one kind.
    own_checks, own_measures : mapping of path to shipped value
        Own numbers, as ``(check, "links", fault)`` and ``(measure, "parts", fault, "median")``.

    Returns
    -------
    dict of Measure
        The same measures, some with moved medians.
    """
    result = dict(measures)
    for path, before in own_checks.items():
        check = checks[path[0]]
        for name in check.measures:
            if (name, "check_limit") not in own_measures:
                result[name] = _moved(result[name], check, path[1:], before, own_measures)
    return result


def _moved(
    measure: Measure, check: Check, path: tuple[str, ...], before: Any, own: Changed
) -> Measure:
    if path == ("leak",) and not _own(measure.id, ("healthy",), own):
        return replace(measure, healthy=_scaled(measure, measure.healthy, check.leak, before))
    fault = path[-1]
    if path[0] != "links" or fault not in check.links or _own(measure.id, ("parts", fault), own):
        return measure
    part = measure.parts.get(fault)
    if part is None and before is not None:
        return measure  # the number never saw this fault
    moved = _scaled(measure, part or measure.healthy, check.links[fault], before)
    return replace(measure, parts={**measure.parts, fault: moved})


def _scaled(measure: Measure, part: Part, chance: float, before: Any) -> Part:
    """Move a part so that its chance beyond the limit follows the chance of the check."""
    beyond = chance
    if isinstance(before, int | float) and before > 0:
        beyond *= chance_beyond(measure.check_limit, part, measure.bad_side) / before
    median = median_beyond(measure.check_limit, part.log_sd, beyond, measure.bad_side)
    return Part(median=median, log_sd=part.log_sd, mark=MARK)


def _own(measure: str, number: tuple[str, ...], own: Changed) -> bool:
    return any(path[0] == measure and path[1 : 1 + len(number)] == number for path in own)
