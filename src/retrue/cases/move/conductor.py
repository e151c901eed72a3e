"""Conductor: size, drop, overload and short-circuit protection, by one of two codes."""

from __future__ import annotations

from retrue.base.formatter import number
from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.move.conductor_fields import FIELDS
from retrue.cases.move.conductor_iec import by_iec
from retrue.cases.move.conductor_nec import by_nec
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Method, Values
from retrue.cases.reckon.reckoning import Reckoning
from retrue.science.conductor import drop_volts
from retrue.science.protection import withstands
from retrue.science.wire_awg import awg_ohm_per_km
from retrue.science.wire_metric import metric_ohm_per_km

DROP = later("IEC 60364-5-52:2009, annex G; NFPA 70:2008 chapter 9, table 9, note 2 (from memory)")
REACTANCE_OHM_PER_KM = 0.08  # of a low-voltage cable, IEC 60364-5-52 annex G (from memory)


def reckon(values: Values) -> Reckoning:
    """What the line must be.

    Parameters
    ----------
    values : mapping
        By field id, None where nobody has said.

    Returns
    -------
    Reckoning

    Examples
    --------
    >>> from retrue.cases.reckon.method import values_of
    >>> made = reckon(values_of(METHOD, {"rule": "nec", "horsepower": "25", "volts": "460"}))
    >>> [round(f.value, 1) for f in made.figures if f.key.startswith(("conductor", "device_re"))]
    [42.5, 85.0]
    """
    draft = Draft("conductor", say("Conductor and protection"), FIELDS, values)
    current = by_nec(draft) if draft.get("rule") == "nec" else by_iec(draft)
    if current is not None:
        _drop(draft, current)
    _cabinet(draft)
    draft.notes.append(
        say("A licensed electrician verifies this against the edition in force where it stands.")
    )
    return draft.done(_headline(draft))


def _headline(draft: Draft) -> str:
    for key, words in (
        ("conductor_ampere", "The conductor must carry {value} A."),
        ("size_least_mm2", "Copper of {value} mm² or more."),
    ):
        found = next((one for one in draft.figures if one.key == key), None)
        if found is not None and found.value is not None:
            return say(words, value=number(found.value, 1))
    return say("The line fits by what is known.")


def _drop(draft: Draft, current: float) -> None:
    """Volts lost along the line, where its length and copper are known."""
    length, volts = draft.said("length_m"), draft.said("volts")
    ohm_per_km = _ohm_per_km(draft)
    if length is None or ohm_per_km is None or not volts:
        draft.notes.append(say("The drop needs length, volts and copper."))
        return
    drop = drop_volts(
        current, length, ohm_per_km=ohm_per_km,
        reactance_ohm_per_km=REACTANCE_OHM_PER_KM, phases=draft.get("phases"),
        power_factor_share=draft.get("power_factor_share"),
    )  # fmt: skip
    percent = 100.0 * drop / volts
    draft.figure("drop_volts", say("volts lost along the line"), drop, "V", 2, DROP)
    draft.figure("drop_percent", say("share of the voltage"), percent, "%", 2, DROP)
    most = draft.get("most_drop_percent")
    if percent > most:
        draft.stop(
            say("the line loses {percent} %, {most} % are allowed", percent=number(percent, 1),
                most=number(most, 1)),
            say("Copper about {times} times as thick, or a shorter line.",
                times=number(percent / most, 1)),
            "length_m",
        )  # fmt: skip


def _ohm_per_km(draft: Draft) -> float | None:
    """Resistance of the copper that was said, else of the least that fits."""
    if draft.get("rule") == "nec":
        size = draft.said("size_awg")
        return None if size is None else awg_ohm_per_km(size)
    least = next((one.value for one in draft.figures if one.key == "size_least_mm2"), None)
    area = draft.said("size_mm2") or least
    try:
        return None if area is None else metric_ohm_per_km(area)
    except Unusable:
        return None  # told already: no such size in the table


def _cabinet(draft: Draft) -> None:
    """Whether the machine's cabinet bears the short circuit of this supply."""
    prospective, rated = draft.said("prospective_ka"), draft.said("panel_rated_ka")
    if prospective is None:
        return
    found = withstands(1000.0 * prospective, None if rated is None else 1000.0 * rated)
    draft.figure("panel_counted_ka", say("what its cabinet bears"), found.rating_ampere / 1000.0,
                 "kA", 1, say("its plate; without one 5 kA (UL 508A, from memory)"))  # fmt: skip
    if not found.bears:
        draft.stop(
            say("its cabinet bears {rated} kA and {prospective} kA can come",
                rated=number(found.rating_ampere / 1000.0, 1),
                prospective=number(prospective, 1)),
            say("A device that limits the current, chosen by an electrician, or its real rating."),
            "panel_rated_ka",
        )  # fmt: skip


METHOD = Method(
    id="conductor",
    title=later("Conductor and protection"),
    what=later("Size, drop, overload and short-circuit protection of the line, by one of two "
               "codes."),
    fields=FIELDS,
    cautions=("X22", "X54"),
    reckon=reckon,
    standard="NFPA 70:2008, 2011 and 2023 as named; IEC 60364-4-41:2005, -4-43:2008, -5-52:2009",
    example=("--rule", "nec", "--horsepower", "25", "--volts", "460", "--device",
             "inverse_time_breaker"),
)  # fmt: skip
