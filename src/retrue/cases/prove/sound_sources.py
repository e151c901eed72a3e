"""Which source first: levels with one source switched off at a time."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from retrue.base.formatter import number
from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.cases.prove import noise_day
from retrue.cases.prove.proof import Grid, Proof, Quantity
from retrue.cases.prove.sensed import CALIBRATED_DB, INDICATIVE_DB
from retrue.cases.prove.sensed_pairs import AGAIN_DB, AGAIN_INDICATIVE_DB
from retrue.cases.prove.sound_table import levels_in
from retrue.cases.prove.table import Table
from retrue.science.exposure import Stay
from retrue.science.sound_level import Source, mean_db, sources

NOTHING_OFF = ("", "none", "nothing", "-", "all on", "everything on")
ALL_OFF = ("all", "everything", "all off", "machine", "background")


@dataclass(frozen=True, slots=True, kw_only=True)
class SwitchedOff:
    """A table of levels, each with another source off."""

    all_db: float
    background_db: float | None
    sources: tuple[Source, ...]
    give_or_take_db: float  # of the difference of two readings, k = 2
    calibrated: bool
    level_give_or_take_db: float  # of a level itself, k = 2


def switched_off(table: Table, *, checked: bool = False) -> SwitchedOff:
    """Which source is loudest, from a table of what was off.

    Parameters
    ----------
    table : Table
        ``switched_off`` (nothing, a source, or everything) and ``level_a_db``.
    checked : bool
        The meter was checked against a known level.

    Returns
    -------
    SwitchedOff

    Raises
    ------
    Unusable
        There is no row with everything on, no row with one source off, a source stands twice, or it
        got louder when something was switched off.

    References
    ----------
    Difference of squared pressures (by definition); a source ten decibels under the rest is not
    worth treating (common practice, no source).

    Examples
    --------
    >>> from retrue.cases.prove.table import read_table
    >>> text = b"switched_off,level_a_db\\nnone,84\\npump,80\\nfan,83.9\\nall,60\\n"
    >>> made = switched_off(read_table(text, "a.csv"))
    >>> made.sources[0].name, made.background_db
    ('pump', 60.0)
    """
    column = "level_a_db" if table.has("level_a_db") or not table.has("level_db") else "level_db"
    levels = levels_in(table, column).tolist()
    whole: list[float] = []
    silent: list[float] = []
    off: dict[str, float] = {}
    twice = {}
    for index, (name, level) in enumerate(zip(table.text("switched_off"), levels, strict=True)):
        plain = " ".join(name.casefold().split())
        if plain in NOTHING_OFF:
            whole.append(level)
        elif plain in ALL_OFF:
            silent.append(level)
        elif name in off:
            twice[table.where(index, "switched_off")] = say("{name} stands twice", name=name)
        else:
            off[name] = level
    if twice:
        table.refuse(twice, say("Write each source once."))
    _complete(whole, off, table.name)
    doubt = AGAIN_DB if checked else AGAIN_INDICATIVE_DB
    everything = mean_db(whole)
    return SwitchedOff(
        all_db=everything,
        background_db=mean_db(silent) if silent else None,
        sources=sources(everything, off, doubt),
        give_or_take_db=doubt,
        calibrated=checked,
        level_give_or_take_db=CALIBRATED_DB if checked else INDICATIVE_DB,
    )


def _complete(whole: Sequence[float], off: Mapping[str, float], name: str) -> None:
    if not whole or not off:
        raise Unusable(
            say("{name} lacks the reading with everything on, or those with one source off",
                name=name),
            remedy=say("One row “none” with everything on, then one row for each source that was "
                       "switched off alone."),
        )  # fmt: skip


def told_apart(found: SwitchedOff, hours: float | None = None) -> Proof:
    """Which source first, as an answer.

    Parameters
    ----------
    found : SwitchedOff
    hours : float, optional
        Of a person in one day, with everything on.

    Returns
    -------
    Proof

    Examples
    --------
    >>> from retrue.cases.prove.table import read_table
    >>> text = b"switched_off,level_a_db\\nnone,84\\npump,80\\nfan,83.9\\n"
    >>> told_apart(switched_off(read_table(text, "a.csv"))).headline
    'First: pump. Silencing it altogether takes off 4.0 dB, give or take 2.0.'
    """
    sure, stays = found.calibrated, [Stay(found.all_db, hours)] if hours else []
    return Proof(
        deed="sound",
        title=say("Sound"),
        headline=source_headline(found),
        quantities=(
            Quantity(key="level_a_db", name=say("everything on, A-weighted"), value=found.all_db,
                     unit="dB(A)", uncertainty=found.level_give_or_take_db),
            *(Quantity(key=key, name=name, value=None, unit="dB", why=say("is not in the table"))
              for key, name in (("level_c_db", say("level, C-weighted")),
                                ("level_z_db", say("level, not weighted")))),
            *(noise_day.quantities(stays) if stays else ()),
        ),
        more={
            "bands": [],
            "calibrated": sure,
            **({} if found.background_db is None else {"background_a_db": found.background_db}),
            "notes": [],
            "sources": [
                {"name": one.name, "level_db": one.level_db, "at_most_db": one.at_most_db,
                 "gain_db": one.gain_db, "gain_at_most_db": one.gain_at_most_db,
                 "worth_treating": one.worth_treating, "why": _why(one)}
                for one in found.sources
            ],
            **noise_day.allowed(found.all_db),
        },
        finds=(
            *source_meaning(found),
            *(noise_day.finds(stays, found.level_give_or_take_db) if stays else ()),
        ),
        cannot_tell=(
            say("Why a source is loud: that is heard at the source, with its covers on and off."),
        ),
        cautions=noise_day.cautions(sure),
        method=say("each source is what is missing when it alone is off"),
        standard=say("difference of squared pressures; ten decibels: common practice, no source"),
        tables=(source_grid(found),),
    )  # fmt: skip


def _why(one: Source) -> str:
    """Why a number of a source is null; empty where none is."""
    if one.level_db is not None and one.worth_treating is not None:
        return ""
    return say("switching it off changed less than the doubt")


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
    yield from _together(found)
    if found.background_db is not None and found.all_db - found.background_db < 6:
        yield say("The background is less than 6 dB under it: the order may be that of the room.")


def _together(found: SwitchedOff) -> Iterator[str]:
    """What the sources that were told give together; more than everything is no one state."""
    told = [one for one in found.sources if one.level_db is not None]
    if len(told) < 2:
        return
    share = sum(10 ** (((one.level_db or 0.0) - found.all_db) / 10) for one in told)
    if share > 10 ** (found.give_or_take_db / 10):
        yield say(
            "Together they would give more than everything does: something else changed between "
            "the readings. Read them again, one after the other."
        )
        return
    yield say(
        "{named} give about {share} % of all sound power together.",
        named=", ".join(str(one.name) for one in told),
        share=number(min(100 * share, 100.0)),
    )


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
