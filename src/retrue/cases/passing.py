"""Whether a look was passed: by its answer, or by its reading against the check's own limit."""

from __future__ import annotations

from retrue.cases.evidence import INSULATION
from retrue.kinds.library import Kind, Measure
from retrue.records.facts import Finding
from retrue.science.insulation import at_40_c


def passes(finding: Finding, kind: Kind) -> bool | None:
    """Whether an answer passes its look.

    Parameters
    ----------
    finding : Finding
        An answer to a look of this kind.
    kind : Kind
        Of its machine.

    Returns
    -------
    bool or None
        A reading passes if it lies on the good side of the check's limit with its doubt counted
        against it. None: it says nothing ("can't tell").

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> mill = load(only=("vertical_machining_centre",))["vertical_machining_centre"]
    >>> passes(Finding(lot="a", machine="A", check="C31", answer="not_seen", grade=3), mill)
    True
    """
    measure = kind.measures.get(finding.measure or "")
    if finding.reading is not None and measure is not None:
        return _within(finding, finding.reading, measure)
    return {"not_seen": True, "seen": False, "slight": False, "severe": False}.get(finding.answer)


def _within(finding: Finding, reading: float, measure: Measure) -> bool:
    doubt = finding.uncertainty
    if doubt is None:
        relative = measure.uncertainty_kind == "rel"
        doubt = measure.uncertainty * abs(reading) if relative else measure.uncertainty
    if measure.id == INSULATION and finding.temperature_c is not None and reading > 0.0:
        scale = at_40_c(1.0, finding.temperature_c)
        reading, doubt = reading * scale, doubt * scale
    if measure.bad_side == "high":
        return reading + doubt <= measure.check_limit
    return reading - doubt >= measure.check_limit
