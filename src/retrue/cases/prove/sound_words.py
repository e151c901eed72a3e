"""What a sound means, in words and tables."""

from __future__ import annotations

import math
from collections.abc import Iterator

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.prove.proof import Cell, Grid
from retrue.cases.prove.sound_apart import Bare, Change, SwitchedOff
from retrue.cases.prove.sound_levels import LevelBand, Levels
from retrue.science.damping import least_share
from retrue.science.sound_level import Source, total_db
from retrue.science.weighting import weight_db

CARRIES = 0.5  # bands that carry so much of the A level are named


def headline(now: Levels, moved: Change | None) -> str:
    """The answer in one sentence.

    Parameters
    ----------
    now : Levels
    moved : Change or None

    Returns
    -------
    str

    Examples
    --------
    >>> one = Levels(name="a", level_a_db=84.24, give_or_take_db=2.0, calibrated=True)
    >>> headline(one, None)
    '84.2 dB(A), give or take 2.0.'
    """
    if moved is not None:
        return _moved(moved)
    if now.level_a_db is None:
        known = next(
            (say("{level} dB(C)", level=number(one, 1)) for one in (now.level_c_db,) if one), None
        )
        known = known or say("{level} dB", level=number(now.level_z_db or 0.0, 1))
        return say("{level}; without an A level nothing is said of hours.", level=known)
    told = {"level": number(now.level_a_db, 1), "doubt": number(now.give_or_take_db, 1)}
    if now.clipped_share:
        return say("At least {level} dB(A): its loudest moments are cut off.", **told)
    if not now.calibrated:
        return say("About {level} dB(A), give or take {doubt}: indicative.", **told)
    return say("{level} dB(A), give or take {doubt}.", **told)


def _moved(moved: Change) -> str:
    told = {
        "by": number(abs(moved.change_db), 1),
        "doubt": number(moved.give_or_take_db, 1),
        "before": number(moved.before_db, 1),
        "after": number(moved.after_db, 1),
    }
    if moved.told == "quieter":
        return say(
            "Quieter by {by} dB(A), give or take {doubt}: {before} before, {after} after.", **told
        )
    if moved.told == "louder":
        return say(
            "Louder by {by} dB(A), give or take {doubt}: {before} before, {after} after.", **told
        )
    return say(
        "No change that these readings can tell: {before} before, {after} after, give or take "
        "{doubt}.",
        **told,
    )


def meaning(
    now: Levels, alone: Bare, moved: Change | None, background: Levels | None
) -> tuple[str, ...]:
    """What the readings mean.

    Parameters
    ----------
    now : Levels
    alone : Bare
    moved : Change or None
    background : Levels or None

    Returns
    -------
    tuple of str

    References
    ----------
    ISO 3744:2010, 8.2.3; sum of sound powers (by definition).

    Examples
    --------
    >>> one = Levels(name="a", level_a_db=83.0, give_or_take_db=2.0)
    >>> made = Change(before_db=93.0, after_db=83.0, change_db=-10.0, give_or_take_db=1.0, bands={})
    >>> meaning(one, Bare(level_a_db=83.0, correction=None, bands={}), made, None)[0][-33:]
    'at least 90 % of the sound power.'
    """
    return (
        *_background(alone, background),
        *_share(moved),
        *_loudest(now),
    )


def _background(alone: Bare, background: Levels | None) -> Iterator[str]:
    if background is None or alone.correction is None or alone.level_a_db is None:
        return
    told = {"level": number(alone.level_a_db, 1), "off": number(alone.correction.k1_db, 1)}
    if alone.correction.ruling == "nothing":
        yield say("The background is more than 15 dB under it: nothing is taken off.")
    elif alone.correction.ruling == "taken":
        yield say("Without the background the machine gives {level} dB(A): {off} dB taken off.",
                  **told)  # fmt: skip
    else:
        yield say(
            "The background is less than 6 dB under it: the machine gives {level} dB(A) or less, "
            "and how much less cannot be told. Read at a quieter hour, or nearer.",
            **told,
        )


def _share(moved: Change | None) -> Iterator[str]:
    """What was treated must have given the share that is gone."""
    if moved is None or moved.told != "quieter":
        return
    sure = max(-moved.change_db - moved.give_or_take_db, 0.0)
    yield say(
        "If only one thing was treated, it gave at least {share} % of the sound power.",
        share=number(math.floor(100 * least_share(-moved.change_db) + 0.05)),
    )
    yield say(
        "With the doubt on the other side it is at least {share} %.",
        share=number(math.floor(100 * least_share(sure))),
    )


def _loudest(now: Levels) -> Iterator[str]:
    """The few bands that carry half of what the ear hears."""
    if len(now.bands) < 5:
        return
    weighted = {band: band.level_db + _a(band) for band in now.bands}
    whole = total_db(list(weighted.values()))
    carried, named = 0.0, []
    for band in sorted(weighted, key=lambda one: -weighted[one]):
        carried += 10 ** ((weighted[band] - whole) / 10)
        named.append(band)
        if carried >= CARRIES:
            break
    low, high = (pick(band.nominal_hz for band in named) for pick in (min, max))
    where = f"{low:g}" if low == high else say("{low} to {high}", low=f"{low:g}", high=f"{high:g}")
    yield say(
        "{share} % of what the ear hears lies at {where} Hz: treat what sounds there.",
        share=number(100 * carried),
        where=where,
    )


def cannot_tell(now: Levels, moved: Change | None) -> Iterator[str]:
    """What these readings cannot determine, and what would.

    Parameters
    ----------
    now : Levels
    moved : Change or None

    Yields
    ------
    str

    Examples
    --------
    >>> len(list(cannot_tell(Levels(name="a", give_or_take_db=2.0, calibrated=True), None)))
    1
    """
    if not now.calibrated:
        yield say(
            "How loud it is on any scale that counts: hold a calibrator, or a checked meter, "
            "beside it. Differences hold if recorder, gain and place stayed the same."
        )
    if moved is None:
        yield say("Which source it is: switch them off one at a time and write the levels down.")
    else:
        yield say("Whether speed, work and place were the same: only who was there knows.")


def apart_notes(now: Levels, alone: Bare, moved: Change | None) -> Iterator[str]:
    """Bands whose background is too near, or that only one file has.

    Parameters
    ----------
    now : Levels
    alone : Bare
    moved : Change or None

    Yields
    ------
    str

    Examples
    --------
    >>> one = Levels(name="a", give_or_take_db=2.0)
    >>> list(apart_notes(one, Bare(level_a_db=None, correction=None, bands={}), None))
    []
    """
    near = [
        f"{band.nominal_hz:g}"
        for band in now.bands
        if band.third in alone.bands and alone.bands[band.third][1].ruling == "upper_bound"
    ]
    if near:
        yield say(
            "The background is too near in these bands, so they are upper bounds: {named} Hz.",
            named=", ".join(near),
        )
    lost = [
        f"{b.nominal_hz:g}" for b in now.bands if moved is not None and b.third not in moved.bands
    ]
    if lost and now.bands:
        yield say("Bands that only one of both files has: {named} Hz.", named=", ".join(lost))


def band_grid(now: Levels, alone: Bare, moved: Change | None) -> Grid:
    """The bands as a table.

    Parameters
    ----------
    now : Levels
    alone : Bare
    moved : Change or None

    Returns
    -------
    Grid

    Examples
    --------
    >>> one = Levels(name="a", give_or_take_db=2.0, bands=(
    ...     LevelBand(exact_hz=1000.0, nominal_hz=1000.0, level_db=80.0),))
    >>> band_grid(one, Bare(level_a_db=None, correction=None, bands={}), None).rows
    (('1000', 80.0, 80.0),)
    """
    columns = [say("band, Hz"), say("level, dB"), say("as heard, dB(A)")]
    off = any(correction.ruling != "nothing" for _, correction in alone.bands.values())
    columns += [say("machine alone, dB")] if off else []
    columns += [say("before, dB"), say("change, dB"), say("give or take")] if moved else []
    rows: list[tuple[Cell, ...]] = []
    for band in now.bands:
        row: list[Cell] = [f"{band.nominal_hz:g}", band.level_db, band.level_db + _a(band)]
        row += [alone.bands[band.third][0]] if off else []
        row += list(moved.bands.get(band.third, (None, None, None))) if moved else []
        rows.append(tuple(row))
    return Grid(
        title=say("Third octaves") if now.thirds else say("Octaves"),
        columns=tuple(columns),
        rows=tuple(rows),
    )


def _a(band: LevelBand) -> float:
    return float(weight_db(band.exact_hz, "A"))


def source_headline(found: SwitchedOff) -> str:
    """Which source first, in one sentence.

    Parameters
    ----------
    found : SwitchedOff

    Returns
    -------
    str

    Examples
    --------
    >>> pump = Source("pump", 82.0, 83.0, 4.0, 5.0, True)
    >>> source_headline(SwitchedOff(all_db=84.0, background_db=None, sources=(pump,),
    ...     give_or_take_db=1.0, calibrated=True, level_give_or_take_db=2.0))
    'First: pump. Silencing it altogether takes off 4.0 dB, give or take 1.0.'
    """
    first = next((one for one in found.sources if one.worth_treating), None)
    if first is None:
        return say(
            "No single source is worth treating alone: switching off any one of them changes too "
            "little."
        )
    return say(
        "First: {name}. Silencing it altogether takes off {gain} dB, give or take {doubt}.",
        name=first.name,
        gain=number(first.gain_db, 1),
        doubt=number(found.give_or_take_db, 1),
    )


def source_meaning(found: SwitchedOff) -> Iterator[str]:
    """What each source is worth, given the others.

    Parameters
    ----------
    found : SwitchedOff

    Yields
    ------
    str

    References
    ----------
    Ten decibels under the rest is not worth treating (common practice, no source).

    Examples
    --------
    >>> fan = Source("fan", None, 70.0, 0.1, 0.3, False)
    >>> next(source_meaning(SwitchedOff(all_db=84.0, background_db=None, sources=(fan,),
    ...     give_or_take_db=0.2, calibrated=True, level_give_or_take_db=2.0)))
    'fan: ten decibels or more under the rest, not worth treating before them.'
    """
    for one in found.sources:
        yield _worth(one)
    treated = [one for one in found.sources if one.worth_treating and one.level_db is not None]
    if len(treated) > 1:
        first, second = treated[:2]
        off = 10 ** (found.all_db / 10) - sum(
            10 ** ((t.level_db or 0) / 10) for t in (first, second)
        )
        if off > 0:
            yield say(
                "{first} and {second} both silenced: {level} dB(A) are left.",
                first=first.name,
                second=second.name,
                level=number(10 * math.log10(off), 1),
            )
    if found.background_db is not None and found.all_db - found.background_db < 6:
        yield say("The background is less than 6 dB under it: the order may be that of the room.")


def _worth(one: Source) -> str:
    told = {
        "name": one.name,
        "most": number(one.gain_at_most_db, 1),
        "level": number(one.level_db if one.level_db is not None else one.at_most_db, 1),
    }
    if one.worth_treating is False:
        return say("{name}: ten decibels or more under the rest, not worth treating before them.",
                   **told)  # fmt: skip
    if one.level_db is None:
        return say(
            "{name}: {level} dB(A) of its own or less; treating it gains {most} dB at most. "
            "Switching it off changed less than the doubt.",
            **told,
        )
    return say("{name}: {level} dB(A) of its own; treating it gains {most} dB at most.", **told)


def source_grid(found: SwitchedOff) -> Grid:
    """The sources as a table, loudest first.

    Parameters
    ----------
    found : SwitchedOff

    Returns
    -------
    Grid

    Examples
    --------
    >>> pump = Source("pump", 82.0, 83.0, 4.0, 5.0, True)
    >>> source_grid(SwitchedOff(all_db=84.0, background_db=None, sources=(pump,),
    ...     give_or_take_db=1.0, calibrated=True, level_give_or_take_db=2.0)).rows
    (('pump', 82.0, 83.0, 4.0, 5.0),)
    """
    return Grid(
        title=say("Sources, loudest first"),
        columns=(
            say("source"),
            say("of its own, dB(A)"),
            say("at most, dB(A)"),
            say("off it takes, dB"),
            say("gains at most, dB"),
        ),
        rows=tuple(
            (one.name, one.level_db, one.at_most_db, one.gain_db, one.gain_at_most_db)
            for one in found.sources
        ),
    )
