"""Choices for the terminal: cautions, what fits, a sentence a fault, levels, go on or stop."""

from __future__ import annotations

from collections.abc import Iterator

from retrue.base import formatter
from retrue.base.say import say
from retrue.cases.fix.amounts import about, days_words, in_ten
from retrue.cases.fix.choice_lines import FaultOptions, LevelSum, Options, WayOption
from retrue.cases.fix.ways import level_words
from retrue.cli.lines import table
from retrue.cli.strip_options import caution_lines
from retrue.kinds.library import Kind
from retrue.records.fixing import Chosen

DOZEN = 12
UNWORKED = ("sell_as_found", "part_out")  # aims without a level
AIMS = {
    "keep": "to keep it",
    "new_control": "to keep it with another control",
    "sell_running": "to sell it running",
    "sell_proven": "to sell it proven",
    "sell_as_found": "to sell it as found",
    "part_out": "to sell it in parts",
}


def option_lines(told: Options, *, whole: bool = False) -> Iterator[str]:
    """Everything that can be chosen, cautions first.

    Parameters
    ----------
    told : Options
    whole : bool
        Every likely fault; else the first dozen.

    Yields
    ------
    str
        One line each.
    """
    yield from caution_lines(told.cautions)
    aim = say(AIMS.get(told.aim, told.aim))
    if told.aim not in UNWORKED:
        aim = say("{aim}, {level}", aim=aim, level=level_words(told.level))
    yield say("{name}, {aim}.", name=told.machine_name, aim=aim)
    if told.fits:
        yield ""
        yield told.fits
    yield from _faults(told, whole)
    if len(told.faults) == 1:
        yield from _ways(told.faults[0], told.currency)
    yield from _levels(told.levels, told.currency)
    if told.control is not None:
        yield ""
        yield from caution_lines(told.control.cautions)
        yield told.control.words
    if told.stop_loss is not None:
        yield ""
        yield say("Go on, or stop")
        yield f"  {told.stop_loss.words}"


def _faults(told: Options, whole: bool) -> Iterator[str]:
    shown = told.faults if whole else told.faults[: max(DOZEN, _found(told))]
    if not shown:
        yield ""
        yield say("Nothing is found or likely.")
    told_before = set(told.cautions)
    for title, confirmed in ((say("Found"), True), (say("Likely, nobody has seen it"), False)):
        rows = [one for one in shown if one.confirmed is confirmed]
        if rows:
            yield ""
            yield title
        for one in rows:
            fresh = [caution for caution in one.cautions if caution not in told_before]
            told_before.update(fresh)
            yield from (f"  {line}" for line in caution_lines(fresh))
            sure = _how_sure(one)
            yield f"  {one.fault}  {one.name}" + (f" ({sure})" if sure else "")
            yield f"    {one.why}"
    more = len(told.faults) - len(shown)
    if more > 0:
        yield say("  {more} more are likely: --all names them.", more=more)


def _found(told: Options) -> int:
    return sum(one.confirmed for one in told.faults)


def _how_sure(one: FaultOptions) -> str:
    if one.confirmed:
        return one.found_by  # that it is found stands above
    return formatter.odds(one.chance)


def _ways(one: FaultOptions, currency: str) -> Iterator[str]:
    rows: list[tuple[str, ...]] = [
        (say("way"), say("money"), say("hours"), say("wait"), say("cures"), say("on average"))
    ]  # fmt: skip
    rows += [
        (
            f"{way.words} ({way.way})" + (say(", chosen") if way.chosen else ""),
            f"{formatter.number(way.money.low)} - {formatter.number(way.money.high)}",
            formatter.number(way.hours.likely, 1),
            days_words(way.days),
            in_ten(way.cures),
            about(way.average, currency),
        )
        for way in one.ways
    ]
    yield ""
    yield from table(rows)
    for way in one.ways:
        yield from _besides(way, currency)


def _besides(way: WayOption, currency: str) -> Iterator[str]:
    """What a way does beside curing, and why it is not allowed."""
    told = [say("accuracy: {what}", what=way.accuracy)]
    if way.noise:
        told.append(say("noise: {what}", what=way.noise))
    if way.resale < 0.0:
        told.append(say("resale: about {lost} less", lost=about(-way.resale, currency)))
    if way.also:
        told.append(say("cures beside: {names}", names=", ".join(map(str, way.also))))
    told.append(
        say("the same again within {years} years: {chance}",
            years=formatter.number(way.again_years), chance=in_ten(way.again))
    )  # fmt: skip
    told.append(say("price {source}", source=way.source))
    yield f"  {way.words}: {'; '.join(map(str, told))}." + (
        f" {way.why_not}" if way.why_not else ""
    )


def _levels(levels: tuple[LevelSum, ...], currency: str) -> Iterator[str]:
    rows: list[tuple[str, ...]] = [
        (say("from here on"), say("most likely"), say("bad luck"), say("hours"), say("days"),
         say("brings"))
    ]  # fmt: skip
    rows += [
        (
            level_words(one.level) + (say(", aimed at") if one.chosen else ""),
            about(one.money.p50, currency),
            about(one.money.p90, currency),
            formatter.number(one.hours.p50),
            formatter.number(one.days.p50),
            about(one.resale, currency),
        )
        for one in levels
    ]
    yield ""
    yield from table(rows)


def chosen_lines(chosen: Chosen, kind: Kind, machine: str) -> Iterator[str]:
    """What was kept, in a sentence.

    Parameters
    ----------
    chosen : Chosen
    kind : Kind
    machine : str
        By name.

    Yields
    ------
    str
        One line.
    """
    if chosen.sort == "aim":
        aim = say(AIMS.get(chosen.way, chosen.way))
        level = f", {level_words(chosen.level)}" if chosen.level else ""
        yield say("{machine}: {aim}{level}.", machine=machine, aim=aim, level=level)
    elif chosen.sort == "way":
        name = kind.faults[chosen.what].name
        way = level_words(chosen.way) if chosen.way else say("what is reckoned best")
        yield say("{machine}, {name}: {way}.", machine=machine, name=name, way=way)
    else:
        done = say("is to be done") if chosen.yes else say("is left as it is")
        named = kind.renewals.get(chosen.what) or kind.upgrades[chosen.what]
        yield say("{machine}, {name}: {done}.", machine=machine, name=named.name, done=done)
