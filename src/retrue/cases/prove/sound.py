"""Sound: how loud, in which bands, before and after, which source first, how many hours."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import later, say
from retrue.cases.prove import noise_day
from retrue.cases.prove.proof import Proof, Quantity
from retrue.cases.prove.recording import Recording
from retrue.cases.prove.sense_drawing import BandLevels, BandsDrawing
from retrue.cases.prove.sound_apart import Bare, Change, bare, change
from retrue.cases.prove.sound_calibration import Calibration, calibration
from retrue.cases.prove.sound_levels import LevelBand, Levels, levels_of, loudest
from retrue.cases.prove.sound_sources import switched_off, told_apart
from retrue.cases.prove.sound_table import levels_of_table
from retrue.cases.prove.sound_words import (
    apart_notes,
    band_grid,
    cannot_tell,
    headline,
    meaning,
)
from retrue.cases.prove.table import Table
from retrue.science.exposure import Stay

TITLE = later("Sound")
METHOD = later(
    "levels and bands by transform of the whole recording, weighted at exact frequencies; "
    "background by K1"
)
STANDARD = "IEC 61672-1:2013, IEC 61260-1:2014, ISO 3744:2010"
Sound = Recording | Table


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Asked:
    """A file of sound and what stands beside it."""

    sound: Sound
    known: Recording | None = None  # of a known level
    known_db: float | None = None
    offset_db: float | None = None
    background: Sound | None = None  # the machine off, same place
    before: Sound | None = None  # before something was done, same place and state
    hours: float | None = None  # of a person at this level, in one day
    channel: int | None = None  # counted from 1; else the loudest
    checked: bool = False  # of a table: the meter was held against a known level


def sound(asked: Asked) -> Proof:
    """What a file of sound says.

    Parameters
    ----------
    asked : Asked

    Returns
    -------
    Proof
        Of the deed ``sound``: ``flat`` gives ``bands``, ``level_a_db``, ``level_c_db``,
        ``level_z_db``, ``calibrated`` and all else as one flat object.

    Raises
    ------
    Unusable
        Something cannot be used; it is named, with what to do.

    References
    ----------
    IEC 61672-1:2013 (levels), IEC 61260-1:2014 (bands), ISO 3744:2010 (background); 29 CFR 1910.95,
    NIOSH 98-126, 2003/10/EC (hours).

    Examples
    --------
    >>> from retrue.cases.prove.proof import flat
    >>> from retrue.cases.prove.table import read_table
    >>> table = read_table(b"level_a_db\\n93\\n93\\n", "ear.csv")
    >>> told = flat(sound(Asked(sound=table, checked=True, hours=2)))
    >>> told["level_a_db"], told["calibrated"], round(told["osha_dose_percent"], 1)
    (93.0, True, 37.9)
    >>> told["schema"], told["cautions"][0][:12]
    ('prove.sound.1', 'Over 80 dBA:')
    """
    _fits(asked)
    if isinstance(asked.sound, Table) and asked.sound.has("switched_off"):
        return told_apart(switched_off(asked.sound, checked=asked.checked), asked.hours)
    heard_by = asked.channel  # the known level of another microphone says nothing of this one
    if heard_by is None and asked.known is not None and isinstance(asked.sound, Recording):
        heard_by = loudest(asked.sound)
    how = calibration(
        asked.known, level_db=asked.known_db, offset_db=asked.offset_db, channel=heard_by
    )
    if isinstance(asked.sound, Recording) and asked.channel is not None:
        asked.sound.channel(asked.channel)
    now = _read(asked.sound, how, asked, asked.channel)
    background = _beside(asked, "background", how, now.channel)
    before = _beside(asked, "before", how, now.channel)
    alone = bare(now, background)
    moved = change(before, now, background) if before is not None else None
    return _proof(asked, now, background, before, alone, moved)


def _fits(asked: Asked) -> None:
    """Refuse what does not belong to a table or to a recording."""
    if isinstance(asked.sound, Table):
        wrong = {
            "calibration_file": asked.known is not None,
            "calibration_db": asked.known_db is not None,
            "channel": asked.channel is not None,
        }
        if asked.sound.has("switched_off"):
            wrong |= {
                "before": asked.before is not None,
                "background": asked.background is not None,
                "offset_db": asked.offset_db is not None,
            }
    else:
        wrong = {"checked": asked.checked}
    problems = tuple(
        Problem(name, say("does not belong to this sort of file"), say("Leave it out."))
        for name, given in wrong.items()
        if given
    )
    if asked.hours is not None and not 0 < asked.hours <= 24:
        problems += (Problem("hours", say("is not between 0 and 24"), say("Of one day.")),)
    if problems:
        raise Unusable(
            say("this cannot be answered for {name}", name=asked.sound.name),
            remedy=say("Correct what is named."),
            problems=problems,
        )


def _read(one: Sound, how: Calibration, asked: Asked, channel: int | None = None) -> Levels:
    if isinstance(one, Table):
        return levels_of_table(one, checked=asked.checked, offset_db=asked.offset_db or 0.0)
    taken = channel if channel is not None and channel <= one.channels else None
    return levels_of(one, how, channel=taken)


def _beside(asked: Asked, which: str, how: Calibration, channel: int | None) -> Levels | None:
    """The file beside it, its same channel; or the column of that name in a table of bands."""
    given: Sound | None = getattr(asked, which)
    column = f"{which}_db"
    if given is not None:
        return _read(given, how, asked, channel)
    if isinstance(asked.sound, Table) and asked.sound.has("frequency_hz", column):
        return levels_of_table(
            asked.sound, checked=asked.checked, column=column, offset_db=asked.offset_db or 0.0
        )
    return None


def _proof(
    asked: Asked,
    now: Levels,
    background: Levels | None,
    before: Levels | None,
    alone: Bare,
    moved: Change | None,
) -> Proof:
    beside = [one for one in (background, before) if one is not None]
    day, day_finds = _day(asked, now)
    return Proof(
        deed="sound",
        title=TITLE,
        headline=headline(now, moved),
        quantities=(*_quantities(now), *_beside_quantities(now, alone, moved, background), *day),
        more=_more(now, alone, moved, background, before),
        finds=(*meaning(now, alone, moved, background), *day_finds),
        cannot_tell=tuple(cannot_tell(now, moved)),
        warnings=_once(now.warnings, *(one.warnings for one in beside)),
        cautions=noise_day.cautions(now.calibrated),
        assumed=_once(now.assumed, *(one.assumed for one in beside)),
        method=METHOD,
        standard=STANDARD,
        tables=tuple(_tables(now, alone, moved)),
        drawing=_drawing(now, before),
    )


def _quantities(now: Levels) -> Iterator[Quantity]:
    doubt, known = now.give_or_take_db, ("level_a_db", "level_c_db", "level_z_db")
    names = (
        ("level_a_db", say("level, A-weighted"), now.level_a_db, "dB(A)"),
        ("level_c_db", say("level, C-weighted"), now.level_c_db, "dB(C)"),
        ("level_z_db", say("level, not weighted"), now.level_z_db, "dB"),
        ("peak_c_db", say("highest peak, C-weighted"), now.peak_c_db, "dB(C)"),
    )
    for key, name, value, unit in names:
        yield Quantity(
            key=key,
            name=name,
            value=value,
            unit=unit,
            uncertainty=doubt if value is not None and key in known else None,
            why=now.why.get(key, ""),
        )


def _beside_quantities(
    now: Levels, alone: Bare, moved: Change | None, background: Levels | None
) -> Iterator[Quantity]:
    if background is not None:
        yield Quantity(
            key="machine_a_db",
            name=say("the machine alone, A-weighted"),
            value=alone.level_a_db,
            unit="dB(A)",
            uncertainty=now.give_or_take_db if alone.level_a_db is not None else None,
            why=say("no A level was read"),
        )
    if moved is not None:
        yield Quantity(
            key="before_a_db", name=say("before, A-weighted"), value=moved.before_db, unit="dB(A)"
        )
        yield Quantity(
            key="change_a_db",
            name=say("change, A-weighted"),
            value=moved.change_db,
            unit="dB",
            uncertainty=moved.give_or_take_db,
            signed=True,
        )


def _day(asked: Asked, now: Levels) -> tuple[tuple[Quantity, ...], tuple[str, ...]]:
    """A day of so many hours at this level."""
    if now.level_a_db is None or asked.hours is None:
        return (), ()
    stays = [Stay(now.level_a_db, asked.hours)]
    finds = noise_day.finds(stays, now.give_or_take_db, now.peak_c_db)
    return noise_day.quantities(stays), finds


def _more(
    now: Levels,
    alone: Bare,
    moved: Change | None,
    background: Levels | None,
    before: Levels | None,
) -> dict[str, Any]:
    notes = tuple(apart_notes(now, alone, moved, before))
    told: dict[str, Any] = {
        "bands": [_band(band, alone, moved, background) for band in now.bands],
        "bands_per_octave": (3 if now.thirds else 1) if now.bands else None,
        "calibrated": now.calibrated,
        "channel": now.channel,
        "channels": now.channels,
        "clipped_share": now.clipped_share,
        "notes": list(_once(now.notes, notes)),
        "rate_hz": now.rate_hz,
        "seconds": now.seconds,
        "low_a_db": now.low_a_db,
        "high_a_db": now.high_a_db,
    }
    if background is not None:
        ruling = alone.correction.ruling if alone.correction is not None else None
        told |= {"background_a_db": background.level_a_db, "background_ruling": ruling}
    if moved is not None:
        told["change"] = moved.told
    if now.level_a_db is not None:
        told |= noise_day.allowed(now.level_a_db)
    return {key: value for key, value in told.items() if value is not None}


def _band(
    band: LevelBand, alone: Bare, moved: Change | None, background: Levels | None
) -> dict[str, Any]:
    told: dict[str, Any] = {
        "frequency_hz": band.nominal_hz,
        "exact_hz": band.exact_hz,
        "level_db": band.level_db,
        "give_or_take_db": band.scatter_db,
    }
    if background is not None:
        told["machine_db"], correction = alone.bands[band.third]
        told["background_ruling"] = correction.ruling
    if moved is not None and band.third in moved.bands:
        before, by, doubt = moved.bands[band.third]
        told |= {"before_db": before, "change_db": by, "change_give_or_take_db": doubt}
    return told


def _tables(now: Levels, alone: Bare, moved: Change | None) -> Iterator[Any]:
    if now.bands:
        yield band_grid(now, alone, moved)
    if now.level_a_db is not None:
        yield noise_day.allowed_grid(now.level_a_db, now.give_or_take_db)


def _drawing(now: Levels, before: Levels | None) -> BandsDrawing | None:
    if not now.bands:
        return None
    series = [(say("after") if before else now.name, now)]
    if before is not None and before.bands:
        series.insert(0, (say("before"), before))
    thirds = sorted({band.third for _, one in series for band in one.bands})
    named: Mapping[int, float] = {
        band.third: band.nominal_hz for _, one in series for band in one.bands
    }
    levels = [{band.third: band.level_db for band in one.bands} for _, one in series]
    return BandsDrawing(
        nominal_hz=tuple(named[third] for third in thirds),
        series=tuple(
            BandLevels(
                name=name,
                level_db=tuple(each.get(third) for third in thirds),
                level_a_db=one.level_a_db,
            )
            for (name, one), each in zip(series, levels, strict=True)
        ),
        thirds=now.thirds,
        calibrated=now.calibrated,
    )


def _once(*groups: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(line for group in groups for line in group))
