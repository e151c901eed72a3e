"""Keep a measure and the yes or no of its check telling one story.

The medians of a measure were worked out so that its healthy part lies beyond the limit with the
chance of the leak, and each fault's part with the chance of its link. Whoever changes a link or a
leak moves the median with it; whoever gives a median of his own keeps it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from statistics import NormalDist

from retrue.kinds.library import Check, Measure, Part

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
    z = NormalDist().inv_cdf(min(max(chance, 1e-6), 1 - 1e-6))
    return limit * math.exp(log_sd * (z if bad_side == "high" else -z))


def retuned(
    measures: Mapping[str, Measure],
    checks: Mapping[str, Check],
    changed_checks: set[tuple[str, ...]],
    changed_measures: set[tuple[str, ...]],
) -> dict[str, Measure]:
    """Move the medians of measures whose check was changed.

    Only a check with one measure is followed: where several numbers stand for one check, no rule
    says which of them the changed chance belongs to.

    Parameters
    ----------
    measures, checks : mapping
        Of one kind.
    changed_checks, changed_measures : set of tuple of str
        Overridden numbers, as ``(check, "links", fault)`` and ``(measure, "parts", fault, ...)``.

    Returns
    -------
    dict of Measure
        The same measures, some with moved medians.
    """
    result = dict(measures)
    for check in checks.values():
        touched = [path for path in changed_checks if path[0] == check.id]
        if not touched or len(check.measures) != 1:
            continue
        measure = result[check.measures[0]]
        for path in touched:
            if (measure.id, "check_limit") not in changed_measures:
                measure = _moved(measure, check, path, changed_measures)
        result[measure.id] = measure
    return result


def _moved(
    measure: Measure, check: Check, path: tuple[str, ...], changed: set[tuple[str, ...]]
) -> Measure:
    if path[1:] == ("leak",) and not _own(measure.id, "healthy", changed):
        return replace(measure, healthy=_part(measure, check.leak, measure.healthy.log_sd))
    if path[1] != "links" or path[2] not in check.links:
        return measure
    fault = path[2]
    if _own(measure.id, f"parts.{fault}", changed):
        return measure
    log_sd = measure.parts.get(fault, measure.healthy).log_sd
    part = _part(measure, check.links[fault], log_sd)
    return replace(measure, parts={**measure.parts, fault: part})


def _part(measure: Measure, chance: float, log_sd: float) -> Part:
    median = median_beyond(measure.check_limit, log_sd, chance, measure.bad_side)
    return Part(median=median, log_sd=log_sd, mark=MARK)


def _own(measure: str, number: str, changed: set[tuple[str, ...]]) -> bool:
    return any(path[0] == measure and ".".join(path[1:]).startswith(number) for path in changed)
