"""What stands between supply and machine: transformer and tap, converter, another frequency."""

from __future__ import annotations

from retrue.base.formatter import number
from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.move.supply_source import start_and_stop
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.reckoning import Listing
from retrue.science.frequency import Changed, changed_frequency, same_frequency
from retrue.science.supply import ROOT_3, on_one_phase, transformer_kva
from retrue.science.transformer import Taps, choose_tap

DRIVE_SOURCE = later("twice the motor's current (secondary source)")
ROUNDED = 1e-9
BAND = 0.10  # volts of the running band
BAND_SOURCE = later("NEMA MG 1: volts within 10 % (secondary source)")
INRUSH = (8.0, 12.0)  # times full load, for about a tenth of a second


def own_volts(draft: Draft, tap: float | None) -> float | None:
    """The volts that the machine is set for.

    Parameters
    ----------
    draft : Draft
    tap : float or None
        To be set, as :func:`own_tap` finds it: it goes before the tap in use and the plate.

    Returns
    -------
    float or None
    """
    volts: float | None = tap or draft.said("tap_volts") or draft.said("plate_volts")
    return volts


def on_converter(draft: Draft) -> bool:
    """Whether a machine of three phases is to run from one.

    Parameters
    ----------
    draft : Draft

    Returns
    -------
    bool
    """
    one_phase = bool(draft.said("supply_phases") == 1 and draft.get("plate_phases") != 1)
    return one_phase and bool(draft.said("converter") != "none")


def feed(draft: Draft, current: float | None, tap: float | None) -> float | None:
    """Whether the volts fit, and the transformer if they do not.

    Parameters
    ----------
    draft : Draft
    current : float or None
        In each line at the machine, ampere.
    tap : float or None
        Of its own transformer, which fits the supply.

    Returns
    -------
    float or None
        In each line at your side, ampere.

    Examples
    --------
    >>> from retrue.cases.move.supply import METHOD
    >>> from retrue.cases.reckon.method import values_of
    >>> typed = {"plate_volts": "200", "supply_volts": "400"}
    >>> draft = Draft("supply", "", METHOD.fields, values_of(METHOD, typed))
    >>> feed(draft, 57.7, None), draft.needs[0].text
    (28.85, 'a transformer of 25.0 kVA, 400 to 200 V')
    """
    if tap is not None:
        return current
    built, ours = own_volts(draft, None), draft.said("supply_volts")
    if built is None:
        draft.wanted("plate_volts")
    if ours is None:
        draft.wanted("supply_volts")
    if built is None or ours is None:
        return current
    if draft.said("tap_volts") is None:
        draft.assumed.append(
            say("the tap of its transformer is as on the plate; nobody has looked")
        )
    off = ours / built - 1.0
    draft.figure("volts_off_share", say("your volts against its own"), off, "", 3, BAND_SOURCE)
    most = _most_volts(draft, built)
    if abs(off) <= BAND + ROUNDED and ours <= most * (1.0 + ROUNDED):
        return current
    yours = _transformer(draft, current, built, ours)
    draft.notes.append(
        say("With no load its secondary must stay below {most} V: the tap is chosen for that.",
            most=number(most))
    )  # fmt: skip
    return yours


def _most_volts(draft: Draft, built: float) -> float:
    """Most volts at the machine's terminals; a drive's limit counts behind its transformer."""
    drive, secondary = draft.said("drive_most_volts"), draft.said("secondary_volts")
    band = built * (1.0 + BAND)
    if drive is None:
        return band
    if secondary is not None:
        return float(drive * built / secondary)
    if drive < built * (1.0 - BAND):  # so low that a transformer of its own must stand before it
        draft.wanted("secondary_volts")
        return band
    return float(drive)


def _transformer(draft: Draft, current: float | None, built: float, ours: float) -> float | None:
    """The transformer between, and the current in each line at your side of it."""
    if current is None:
        draft.need("transformer",
                   say("a transformer, {ours} to {built} V", ours=number(ours),
                       built=number(built)), "E44")  # fmt: skip
        return None
    yours = current * built / ours
    if not on_converter(draft):  # there the one phase's own current is told
        draft.figure("supply_line_ampere", say("current in each line of your supply"), yours, "A",
                     1, say("the same power at your volts (by definition)"))  # fmt: skip
    kva = transformer_kva(current, built, continuous=True)
    if draft.get("plate_phases") == 1:
        kva /= ROOT_3
    draft.figure("transformer_kva", say("transformer, a quarter more for hours of load"), kva,
                 "kVA", 2, "three-phase power; the quarter is common practice")  # fmt: skip
    low, high = (times * yours for times in INRUSH)
    draft.figure("inrush_low_ampere", say("its inrush at your side, from"), low, "A", 0,
                 "8 to 12 times for about 0.1 s (from memory)")  # fmt: skip
    draft.figure("inrush_high_ampere", say("its inrush at your side, to"), high, "A", 0)
    draft.need("transformer",
               say("a transformer of {kva} kVA, {ours} to {built} V",
                   kva=number(kva, 1), ours=number(ours), built=number(built)), "E44")  # fmt: skip
    return yours


def own_tap(draft: Draft) -> float | None:
    """The tap of the machine's own transformer that fits this supply.

    Parameters
    ----------
    draft : Draft

    Returns
    -------
    float or None
        Its volts; None where none fits, or taps or supply are not known.

    Examples
    --------
    >>> from retrue.cases.move.supply import METHOD
    >>> from retrue.cases.reckon.method import values_of
    >>> typed = {"supply_volts": "230", "taps": "230, 400", "secondary_volts": "200"}
    >>> own_tap(Draft("supply", "", METHOD.fields, values_of(METHOD, typed)))
    230.0
    """
    text, secondary = draft.said("taps"), draft.said("secondary_volts")
    ours = draft.said("supply_volts")
    if not text or ours is None:
        return None
    if secondary is None:
        draft.wanted("secondary_volts")
        return None
    try:
        taps = [float(part) for part in text.replace(";", ",").split(",") if part.strip()]
        found = choose_tap(ours, taps, secondary, secondary,
                           most_volts=draft.said("drive_most_volts"))  # fmt: skip
    except ValueError:
        draft.stop(say("the taps cannot be read"), say("Write volts parted by commas: 200, 220."),
                   "taps")  # fmt: skip
        return None
    except Unusable as refusal:
        draft.refused(refusal, "taps")
        return None
    return _told_taps(draft, found)


def _told_taps(draft: Draft, found: Taps) -> float | None:
    rows = tuple((one.tap_volts, one.secondary_volts, one.deviation_percent) for one in found.taps)
    draft.listings.append(
        Listing(title=say("What each tap gives with no load"),
                columns=("tap_volts", "secondary_volts", "deviation_percent"), rows=rows)
    )  # fmt: skip
    if found.best is None:
        draft.notes.append(say("None of its own taps fits your volts."))
        return None
    draft.figure("best_tap_volts", say("tap to be set"), found.best.tap_volts, "V", 0,
                 "ratio of turns (by definition)")  # fmt: skip
    draft.figure("secondary_no_load_volts", say("which gives with no load"),
                 found.best.secondary_volts, "V", 1)  # fmt: skip
    draft.notes.append(say("An electrician sets the tap and measures the secondary with no load."))
    return found.best.tap_volts


def converter(draft: Draft, current: float | None, yours: float | None) -> None:
    """What a one-phase supply needs so that the spindle starts and stops.

    Parameters
    ----------
    draft : Draft
    current : float or None
        In each line at the machine, ampere.
    yours : float or None
        The same at your side of a transformer, ampere.
    """
    ours, asked = draft.said("supply_phases"), draft.get("plate_phases")
    if ours is None:
        draft.wanted("supply_phases")
        return
    if ours == 3 or asked == 1:
        return
    sort = draft.said("converter") or "rotary"
    if sort == "none":
        draft.stop(
            say("three phases are asked and your supply has one"),
            say("A rotary or solid-state converter, or a three-phase connection."),
            "converter",
        )
        return
    motor = draft.wanted("largest_motor_kw")
    if motor is None or current is None or yours is None:
        draft.need("rotary_converter" if sort == "rotary" else "solid_state_converter",
                   say("a phase converter"), "E42" if sort == "rotary" else "E43")  # fmt: skip
        return
    asks = on_one_phase(current, motor, efficiency_share=draft.get("converter_efficiency_share"))
    draft.figure("input_ampere", say("current it takes from your one phase"),
                 asks.input_ampere * yours / current, "A", 2,
                 "three-phase power (by definition)")  # fmt: skip
    start_and_stop(draft, sort)
    if sort == "rotary":
        _rotary(draft, asks.idler_kw_low, asks.idler_kw_high)
    else:
        _solid_state(draft, asks.drive_ampere)


def _rotary(draft: Draft, low: float, high: float) -> None:
    source = say("start and stop: common practice, no source (from memory)")
    draft.figure("idler_low_kw", say("idler, from"), low, "kW", 1, source)
    draft.figure("idler_high_kw", say("idler, to"), high, "kW", 1, source)
    draft.need(
        "rotary_converter",
        say("a rotary converter of {low} to {high} kW", low=number(low, 1), high=number(high, 1)),
        "E42",
    )
    draft.notes.append(
        say("The control transformer stands on the two lines of the grid, not on the made one.")
    )


def _solid_state(draft: Draft, drive_ampere: float) -> None:
    draft.figure("drive_ampere", say("rating of a drive that feeds one motor from one phase"),
                 drive_ampere, "A", 1, DRIVE_SOURCE)  # fmt: skip
    draft.need("solid_state_converter", say("a solid-state converter"), "E43")
    brake = draft.said("brake")
    if draft.said("converter_kw") is not None or draft.said("converter_returns"):
        return  # told by start_and_stop
    if brake == "line":
        draft.stop(
            say("a stopping spindle sends its energy back, and this converter cannot take it"),
            say("A converter that feeds back, a brake resistor, or a longer stop by the drive's "
                "own manual."),
            "brake",
        )  # fmt: skip
    elif brake in (None, "unknown"):
        draft.lack(
            say("where a stopping spindle sends its energy is not known"),
            say("Look for a brake resistor; read the drive's own manual."),
            "brake",
        )


def frequency(draft: Draft, tap: float | None = None) -> None:
    """What another frequency does to pumps, fans and iron.

    Parameters
    ----------
    draft : Draft
    tap : float or None
        Of its own transformer, which is to be set.
    """
    built, ours = draft.said("plate_hz"), draft.get("supply_hz")
    if built is None:
        draft.wanted("plate_hz")
        return
    if same_frequency(built, ours):
        return
    volts = own_volts(draft, tap) or draft.said("supply_volts")
    if volts is None:
        return  # told already: the volts are not known
    found = changed_frequency(
        built, ours, made_for_volts=volts, supply_volts=volts * _fed_share(draft, volts)
    )
    _changed(draft, found)
    if found.flux_share > 1.0 + BAND:
        draft.stop(
            say("built for {built} Hz: at {ours} Hz and these volts its iron is driven "
                "{percent} % harder", built=number(built), ours=number(ours),
                percent=number(100.0 * (found.flux_share - 1.0))),
            say("Feed it with volts lowered alike, or have motors and transformers checked; "
                "drives behind a bus do not mind."),
            "supply_hz",
        )  # fmt: skip
    elif found.flow_share < 1.0:
        draft.notes.append(
            say("At {ours} Hz its pumps and fans move {percent} % less: filters and coolers clean, "
                "and look at temperatures.", ours=number(ours),
                percent=number(100.0 * (1.0 - found.flow_share)))
        )  # fmt: skip
    else:
        draft.notes.append(
            say("At {ours} Hz pumps and fans on the line run faster and ask more power: look at "
                "their overloads.", ours=number(ours))
        )  # fmt: skip


def _changed(draft: Draft, found: Changed) -> None:
    source = say("affinity laws and V/f (by definition)")
    draft.figure(
        "speed_share", say("speed of motors on the line"), found.speed_share, "", 3, source
    )
    draft.figure("flow_share", say("flow of fans and pumps"), found.flow_share, "", 3, source)
    draft.figure("pump_power_share", say("power of fans and pumps"), found.power_share, "", 3,
                 source)  # fmt: skip
    draft.figure("flux_share", say("flux of motors and transformers as fed"), found.flux_share, "",
                 3, source)  # fmt: skip
    draft.figure("volts_for_flux", say("volts that keep the flux"), found.volts_for_same_flux, "V",
                 0, source)  # fmt: skip


def _fed_share(draft: Draft, built: float | None) -> float:
    """Volts at the machine against its own: yours where they fit, its own behind a transformer."""
    ours = draft.said("supply_volts")
    if built is None or ours is None or abs(ours / built - 1.0) > BAND:
        return 1.0
    return float(ours / built)
