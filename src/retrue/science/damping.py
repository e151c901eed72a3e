"""What damping a panel or closing a gap can gain, given everything else that sounds."""

from __future__ import annotations

import numpy as np

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.science.sound_level import total_db, without_db

STEEL_KG_M3 = 7850.0
MASS_LAW_DB = 47.0  # random incidence; 47 to 48 in handbooks (from memory)


def after_db(all_db: float, part_db: float, drop_db: float) -> float:
    """The level after one of its parts was made quieter.

    Parameters
    ----------
    all_db, part_db : float
        Level of everything, and of the part alone.
    drop_db : float
        By how much the part gets quieter; infinity takes it away altogether.

    Returns
    -------
    float
        Decibels.

    Raises
    ------
    Unusable
        The part is louder than everything, or it would get louder.

    References
    ----------
    Sum of squared pressures (by definition).

    Examples
    --------
    >>> round(after_db(82.01, 79, 10), 2), round(after_db(82.01, 79, float("inf")), 2)
    (79.41, 79.0)
    """
    if not drop_db >= 0:
        raise Unusable(
            say("a treatment that makes it louder is none"),
            remedy=say("Write by how much the part gets quieter, without a minus."),
        )
    if part_db == all_db:
        return all_db - drop_db
    return total_db([without_db(all_db, part_db), part_db - drop_db])


def loss_drop_db(before: float, after: float) -> float:
    """By how much a resonant panel gets quieter when it is damped.

    Parameters
    ----------
    before, after : float
        Loss factor as it is and with the sheet on.

    Returns
    -------
    float
        Decibels, for sound that the panel takes up from the structure and rings with; sound that
        goes through it is hardly changed.

    Raises
    ------
    Unusable
        A loss factor that is none.

    References
    ----------
    ``10 lg(after / before)``: Cremer, Heckl, Petersson, Structure-Borne Sound (from memory).

    Examples
    --------
    >>> round(loss_drop_db(0.005, 0.05), 3)
    10.0
    """
    _over_zero(before)
    _over_zero(after)
    return float(10.0 * np.log10(after / before))


def free_layer_share(stiffness_ratio: float, thickness_ratio: float) -> float:
    """Which share of its own loss factor a sheet that is glued on gives the panel.

    Parameters
    ----------
    stiffness_ratio : float
        Modulus of the sheet over that of the panel.
    thickness_ratio : float
        Thickness of the sheet over that of the panel.

    Returns
    -------
    float
        Loss factor of both over that of the sheet.

    Raises
    ------
    Unusable
        A ratio that is none.

    References
    ----------
    Oberst, Acustica 2 (1952); Cremer, Heckl, Petersson, Structure-Borne Sound (from memory).

    Examples
    --------
    >>> round(free_layer_share(5e8 / 2.1e11, 2.0), 4)
    0.1276
    """
    e, h = stiffness_ratio, thickness_ratio
    _over_zero(e)
    _over_zero(h)
    bend = 3.0 + 6.0 * h + 4.0 * h**2 + 2.0 * e * h**3 + e**2 * h**4
    stiff = (1.0 + e * h) * (1.0 + 4.0 * e * h + 6.0 * e * h**2 + 4.0 * e * h**3 + e**2 * h**4)
    return e * h * bend / stiff


def mass_law_db(mass_kg_m2: float, frequency_hz: float) -> float:
    """What a limp wall without gaps keeps back.

    Parameters
    ----------
    mass_kg_m2 : float
        Mass of one square metre.
    frequency_hz : float

    Returns
    -------
    float
        Decibels, from sound that comes from all sides; less near where the panel coincides.

    Raises
    ------
    Unusable
        No mass or no frequency.

    References
    ----------
    ``20 lg(m f) - 47``: field-incidence mass law (handbooks of acoustics; from memory).

    Examples
    --------
    >>> round(mass_law_db(11.7, 1000), 1)
    34.4
    """
    _over_zero(mass_kg_m2)
    _over_zero(frequency_hz)
    return float(20.0 * np.log10(mass_kg_m2 * frequency_hz) - MASS_LAW_DB)


def least_share(drop_db: float) -> float:
    """Which share of all sound power a part must have given, if treating it took so much off.

    Parameters
    ----------
    drop_db : float
        By how much the whole got quieter, from zero up.

    Returns
    -------
    float
        At least this share of one: just this if the part is silent now, more if it is not.

    Raises
    ------
    Unusable
        It got louder.

    References
    ----------
    ``1 - 10 ** (-0.1 drop)``: sum of sound powers (by definition).

    Examples
    --------
    >>> least_share(10.0), round(least_share(3.0), 3)
    (0.9, 0.499)
    """
    if not 0 <= drop_db < np.inf:
        raise Unusable(
            say("it did not get quieter"),
            remedy=say("Read before and after at the same place, speed and gain."),
        )
    return float(1.0 - 10.0 ** (-drop_db / 10.0))


def part_from_drop_db(all_db: float, after_all_db: float, part_drop_db: float) -> float:
    """How loud a part must have been, from what treating it did to the whole.

    Parameters
    ----------
    all_db, after_all_db : float
        Level of everything before and after.
    part_drop_db : float
        By how much the part itself got quieter; infinity if it is silent now.

    Returns
    -------
    float
        Decibels, before.

    Raises
    ------
    Unusable
        The whole got louder, or quieter than the part alone can make it.

    References
    ----------
    Sum of squared pressures (by definition).

    Examples
    --------
    >>> round(part_from_drop_db(82.01, 79.413, 10.0), 2)
    79.0
    """
    share = least_share(all_db - after_all_db)
    kept = 1.0 - 10.0 ** (-part_drop_db / 10.0)
    if not 0 < share <= kept:
        raise Unusable(
            say("this part alone cannot have changed so much"),
            remedy=say("Look what else was changed, or read again."),
        )
    return all_db + 10.0 * float(np.log10(share / kept))


def _over_zero(value: float) -> None:
    if not 0 < value < np.inf:
        raise Unusable(
            say("a value that must be over zero is not"),
            remedy=say("Take it from the sheet of the material or measure it."),
        )
