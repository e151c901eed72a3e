"""What a sound means, in words and tables."""

from __future__ import annotations

import math
from collections.abc import Iterator

from retrue.base.formatter import number, short
from retrue.base.say import say
from retrue.cases.prove.proof import Cell, Grid
from retrue.cases.prove.sound_apart import Bare, Change
from retrue.cases.prove.sound_levels import LevelBand, Levels
from retrue.science.damping import least_share
from retrue.science.sound_level import total_db
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
    where = f"{low:g}" if low == high else say("{low} to {high}", low=short(low), high=short(high))
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


def apart_notes(
    now: Levels, alone: Bare, moved: Change | None, before: Levels | None = None
) -> Iterator[str]:
    """What does not stand side by side: a background too near, bands of one file alone.

    Parameters
    ----------
    now : Levels
    alone : Bare
    moved : Change or None
    before : Levels or None

    Yields
    ------
    str

    Examples
    --------
    >>> one = Levels(name="a", give_or_take_db=2.0)
    >>> list(apart_notes(one, Bare(level_a_db=None, correction=None, bands={}), None))
    []
    """
    if before is not None and moved is None:
        yield say("One of both files has no A level: no change can be told.")
    if moved is not None and alone.correction and alone.correction.ruling == "upper_bound":
        yield say("The background is too near: it may have got quieter by more than is said.")
    if before is not None and (before.rate_hz is None) != (now.rate_hz is None):
        yield say("A meter read one, a recorder the other: the doubts of both count in full.")
    elif before is not None and before.rate_hz and before.rate_hz != now.rate_hz and now.rate_hz:
        yield say(
            "{name} was recorded with {rate} samples a second: bands that only one has are left "
            "out, and its A level reaches less far.",
            name=before.name,
            rate=number(before.rate_hz),
        )
    near = [
        f"{band.nominal_hz:g}"
        for band in now.bands
        if band.third in alone.bands and alone.bands[band.third][1].ruling == "upper_bound"
    ]
    if near:
        yield say(
            "The background is too near in these bands, so they are upper bounds: {named} Hz.",
            named=", ".join(map(str, near)),
        )
    lost = [
        f"{b.nominal_hz:g}" for b in now.bands if moved is not None and b.third not in moved.bands
    ]
    if lost and now.bands:
        yield say(
            "Bands that only one of both files has: {named} Hz.", named=", ".join(map(str, lost))
        )


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
