"""Which lines belong together: those of a bearing's parts, and those of what else turns."""

from __future__ import annotations

from collections.abc import Mapping

from retrue.science.bearing import Frequencies
from retrue.science.envelope_lines import Comb

SHAFT_SLIP, BELT_SLIP, MAINS_SLIP = 0.01, 0.02, 0.002
PLAIN = ((1, 0), (2, 0), (3, 0))
MANY = tuple((order, 0) for order in range(1, 9))
SIDED = ((1, 0), (2, 0), (1, -1), (1, 1))


def combs_of(found: Frequencies, shaft_hz: float, slip: float) -> dict[str, Comb]:
    """The lines that each defect draws.

    Parameters
    ----------
    found : Frequencies
    shaft_hz : float
    slip : float
        Share by which a real bearing may differ from rolling without slip.

    Returns
    -------
    dict of str to Comb

    References
    ----------
    McFadden and Smith (1984); ISO 13373-3 (from memory): an inner race's lines carry sidebands of
    the shaft, a rolling element's those of the cage.

    Examples
    --------
    >>> from retrue.science.bearing import Bearing, frequencies
    >>> made = combs_of(frequencies(Bearing(9, 7.9375, 38.5), 10.0), 10.0, 0.03)
    >>> made["inner_race"].side_hz, round(made["outer_race"].base_hz, 1)
    (10.0, 35.7)
    """
    cage = found.cage_hz
    return {
        "outer_race": Comb("outer_race", found.outer_race_hz, PLAIN, shaft_hz, slip, (6, 1)),
        "inner_race": Comb("inner_race", found.inner_race_hz, SIDED, shaft_hz, slip, (4, 4)),
        "rolling_element": Comb(
            "rolling_element", found.rolling_element_hz, SIDED, cage, slip, (4, 4)
        ),
        "cage": Comb("cage", cage, (*PLAIN, (4, 0)), 0.0, slip, (8, 0)),
    }


def distractors_of(
    shaft_hz: float, others_hz: Mapping[str, float] | None, mains_hz: tuple[float, ...]
) -> dict[str, Comb]:
    """Lines that are no defect of the bearing: the shaft's own, belts, the mains.

    Parameters
    ----------
    shaft_hz : float
    others_hz : mapping of str to float or None
        What else turns or meshes, by name; None where nobody has said.
    mains_hz : tuple of float
        50, 60, or both where nobody has said.

    Returns
    -------
    dict of str to Comb

    References
    ----------
    Kinematics (by definition); a motor hums at twice its supply's frequency.

    Examples
    --------
    >>> list(distractors_of(10.0, {"belt": 3.0}, (50.0, 60.0)))
    ['shaft', 'mains', 'mains_60', 'belt']
    """
    made = {"shaft": Comb("shaft", shaft_hz, MANY, 0.0, SHAFT_SLIP, (24, 0))}
    for at, one in enumerate(mains_hz):
        name = f"mains_{one:g}" if at else "mains"
        made[name] = Comb(name, 2 * one, PLAIN, 0.0, MAINS_SLIP, (6, 0))
    for name, hz in (others_hz or {}).items():
        made[name] = Comb(name, hz, MANY, 0.0, BELT_SLIP, (60, 0))
    return made
