"""What may stand in for a bearing: class, arrangement, and how fast it is by its size."""

from __future__ import annotations

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.science.motor_match import Fits

PRECISION = ("P0", "P6", "P5", "P4", "P2")  # ISO 492, rising; of angular contact P4A and more: P4
PAIRS = ("back_to_back", "face_to_face", "tandem")


def speed_number(bore_mm: float, outside_mm: float, speed_rpm: float) -> float:
    """The mean diameter of a bearing times its speed.

    Parameters
    ----------
    bore_mm, outside_mm, speed_rpm : float

    Returns
    -------
    float
        Millimetre times revolutions a minute.

    Raises
    ------
    Unusable
        The bore is not smaller than the outside.

    References
    ----------
    By definition; what grease or oil bears of it is its maker's.

    Examples
    --------
    >>> speed_number(70, 110, 8000)
    720000.0
    """
    if not 0 < bore_mm < outside_mm:
        raise Unusable(
            say("the bore is not smaller than the outside"),
            remedy=say("Measure both rings again."),
        )
    return (bore_mm + outside_mm) / 2.0 * abs(speed_rpm)


def arrangement(has: str | None, needs: str | None) -> Fits:
    """Whether bearings are matched for the arrangement they will stand in.

    Parameters
    ----------
    has, needs : str or None
        single, universal, back_to_back, face_to_face, tandem or set (three and more).

    Returns
    -------
    str
        Universal ones of one batch stand in for any pair; for a set of three and more that is
        asked. A single one stands in for none.

    References
    ----------
    Common practice, no source.

    Examples
    --------
    >>> arrangement("universal", "back_to_back"), arrangement("tandem", "back_to_back")
    ('yes', 'no')
    >>> arrangement("universal", "set"), arrangement("universal", "single")
    ('ask', 'yes')
    """
    if has is None or needs is None:
        return "ask"
    if has == needs or (has == "universal" and (needs in PAIRS or needs == "single")):
        return "yes"
    return "ask" if has == "universal" else "no"
