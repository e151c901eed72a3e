"""Copper wire by American gauge: its area, its resistance, what it carries where it lies."""

from __future__ import annotations

from dataclasses import dataclass

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.science.conductor import COPPER_75_C

# ASTM B258, area in circular mils, as NFPA 70 chapter 9, table 8 rounds it (from memory).
AREA_CMIL = {
    "14": 4110, "12": 6530, "10": 10380, "8": 16510, "6": 26240, "4": 41740, "3": 52620,
    "2": 66360, "1": 83690, "1/0": 105600, "2/0": 133100, "3/0": 167800, "4/0": 211600,
}  # fmt: skip
# NFPA 70, chapter 9, table 8: stranded, uncoated copper, direct current, 75 degrees C, ohm in
# 1,000 ft (from memory). 3.07, 1.93, 1.21 and 0.764 belong to solid wire; a page calls them
# stranded.
STRANDED_OHM_PER_KFT = {
    "14": 3.14, "12": 1.98, "10": 1.24, "8": 0.778, "6": 0.491, "4": 0.308, "3": 0.245,
    "2": 0.194, "1": 0.154, "1/0": 0.122, "2/0": 0.0967, "3/0": 0.0766, "4/0": 0.0608,
}  # fmt: skip
KFT_IN_KM = 0.3048
COPPER_PER_KELVIN_AT_75 = 0.00323  # NFPA 70, chapter 9, table 8, note 2 (secondary source)
# NFPA 70, table 310.16, copper at 60 degrees C, where editions differ (secondary sources).
SMALL_60_C = {"older": {"14": 20, "12": 25}, "2023": {"14": 15, "12": 20}}
# NFPA 70, 310.15(B), 75 degrees C, base 30: up to this ambient, factor (0.88 secondary source,
# the others from memory).
AMBIENT_75_C = (
    (10.0, 1.20), (15.0, 1.15), (20.0, 1.11), (25.0, 1.05), (30.0, 1.00), (35.0, 0.94),
    (40.0, 0.88), (45.0, 0.82), (50.0, 0.75), (55.0, 0.67), (60.0, 0.58), (65.0, 0.47),
    (70.0, 0.33),
)  # fmt: skip
# NFPA 70, 310.15(C)(1), more than three conductors that carry current: up to, factor (0.8
# secondary source, the others from memory).
GROUPED = ((3, 1.0), (6, 0.8), (9, 0.7), (20, 0.5), (30, 0.45), (40, 0.4))
MANY = 0.35
# NFPA 70, 240.4(D), most that protects a small conductor outside a motor's line (from memory).
SMALL_MOST_AMPERE = {"14": 15, "12": 20, "10": 30}


@dataclass(frozen=True, slots=True)
class Carries:
    """What a conductor carries where it lies, and how that came about."""

    ampere: float
    table_ampere: float
    ambient_factor: float
    grouped_factor: float


def awg_carries(size: str, *, ambient_c: float = 30.0, conductors: int = 3) -> Carries:
    """What a copper conductor at 75 degrees C carries in warm air and in company.

    Parameters
    ----------
    size : str
        14 to 1, 1/0 to 4/0.
    ambient_c : float
        Around it.
    conductors : int
        That carry current, in one raceway or cable.

    Returns
    -------
    Carries
        For planning; a licensed electrician must verify it against the edition in force.

    Raises
    ------
    Unusable
        No such size, or air over 70 degrees C.

    References
    ----------
    NFPA 70, table 310.16 and 310.15(B), (C) (secondary source; factors partly from memory).

    Examples
    --------
    >>> awg_carries("12", ambient_c=40).ampere
    22.0
    >>> round(awg_carries("12", ambient_c=40, conductors=6).ampere, 1)
    17.6
    """
    if size not in COPPER_75_C or not ambient_c <= AMBIENT_75_C[-1][0] or conductors < 1:
        raise Unusable(
            say("the table has no such conductor or no such air"),
            remedy=say("Take a size of the table and air up to 70 °C."),
        )
    ambient = next(factor for most, factor in AMBIENT_75_C if ambient_c <= most)
    grouped = next((factor for most, factor in GROUPED if conductors <= most), MANY)
    table = float(COPPER_75_C[size])
    return Carries(table * ambient * grouped, table, ambient, grouped)


def awg_for(ampere: float, *, ambient_c: float = 30.0, conductors: int = 3) -> str:
    """The smallest copper conductor of the table that carries a current where it lies.

    Parameters
    ----------
    ampere : float
        That it must carry: a quarter more than a motor's current by the code's table.
    ambient_c : float
    conductors : int

    Returns
    -------
    str
        Its gauge; the drop along the line may ask for more.

    Raises
    ------
    Unusable
        No current, or more than the table's largest carries.

    References
    ----------
    NFPA 70, table 310.16 and 310.15(B), (C) (secondary source; factors partly from memory).

    Examples
    --------
    >>> awg_for(42.5), awg_for(42.5, ambient_c=40, conductors=6)
    ('8', '6')
    """
    for size in COPPER_75_C if ampere > 0 else ():
        if awg_carries(size, ambient_c=ambient_c, conductors=conductors).ampere >= ampere - 1e-9:
            return size
    raise Unusable(
        say("no conductor of the table carries this current"),
        remedy=say("Read the current again, or have an electrician plan parallel conductors."),
    )


def awg_ohm_per_km(size: str, *, copper_c: float = 75.0) -> float:
    """The resistance of one stranded copper conductor.

    Parameters
    ----------
    size : str
        14 to 1, 1/0 to 4/0.
    copper_c : float
        Of the copper under load.

    Returns
    -------
    float
        Ohm a kilometre.

    Raises
    ------
    Unusable
        No such size.

    References
    ----------
    NFPA 70, chapter 9, table 8, stranded uncoated copper (from memory).

    Examples
    --------
    >>> round(awg_ohm_per_km("8"), 4)
    2.5525
    """
    if size not in STRANDED_OHM_PER_KFT:
        raise Unusable(
            say("the table has no such conductor"), remedy=say("Take a gauge from 14 to 4/0.")
        )
    at_75 = STRANDED_OHM_PER_KFT[size] / KFT_IN_KM
    return at_75 * (1.0 + COPPER_PER_KELVIN_AT_75 * (copper_c - 75.0))
