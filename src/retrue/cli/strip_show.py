"""How taking apart stands: the first night, an evening, one place, the files of a machine."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import asdict
from datetime import date
from pathlib import Path
from typing import Any

import click

from retrue.base import formatter
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.sheet_json import dumps
from retrue.cases.strip.cautions import general
from retrue.cases.strip.lines import EntryLine, FileLine, FirstNight, PlaceStands, TickLine
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import content_of, json_option, shop_option
from retrue.cli.strip_options import (
    caution_lines,
    columns,
    lot_argument,
    machine_of,
    machine_option,
    name_of,
)
from retrue.cli.strip_rows import place_row, tick_row, with_why
from retrue.phases import strip

pass_house = click.make_pass_decorator(House)
STATES = {"open": "open", "done": "done", "later": "later", "not_possible": "not possible"}


@click.command()
@lot_argument
@machine_option
@json_option
@shop_option
@pass_house
def night(house: House, lot: str, machine: str | None, as_json: bool, shop: str | None) -> None:
    """The first night, in the order of the evening: safe to leave, what dies first, the places."""
    kinds = house.kinds()
    with house.open_shop(shop) as opened:
        at = machine_of(opened, lot, machine)
        names = name_of(opened, *at)
        stands = strip.first_night(opened, *at, kinds)
    cautions = general(next(iter(kinds.values())))
    if as_json:
        counts = ("shots", "wanted_shots", "wipes", "wanted_wipes")
        told: dict[str, Any] = {name: getattr(stands, name) for name in counts}
        for name in ("ticks", "dies_first", "allowed"):
            told[name] = [tick_row(line) for line in getattr(stands, name)]
        told |= {"may_clean": list(stands.may_clean), "not_yet": list(stands.not_yet)}
        told |= {"places": [place_row(one) for one in stands.places]}
        told |= {"cautions": list(cautions), "lot": names[0], "machine": names[1]}
        click.echo(dumps(told | {"schema": "strip.night.1"}))
        return
    put(_night_lines(stands, cautions))


@click.command()
@lot_argument
@machine_option
@click.option("--day", metavar="DATE", help="Which evening, as 2026-11-26; else today.")
@json_option
@shop_option
@pass_house
def evening(
    house: House, lot: str, machine: str | None, day: str | None, as_json: bool, shop: str | None
) -> None:
    """The five ticks to leave it, of one evening."""
    kinds = house.kinds()
    which = _day(day) if day else house.clock().date().isoformat()
    with house.open_shop(shop) as opened:
        at = machine_of(opened, lot, machine)
        names = name_of(opened, *at)
        ticks = strip.evening(opened, *at, kinds, which)
    if as_json:
        told = {"day": which, "lot": names[0], "machine": names[1]}
        rows = [tick_row(line) for line in ticks]
        click.echo(dumps(told | {"schema": "strip.evening.1", "ticks": rows}))
        return
    put(_tick_lines(ticks))


def _day(text: str) -> str:
    """A day as it was typed; nothing is ticked on a day that is none."""
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError:
        remedy = say("Write it as 2026-11-26.")
        problem = Problem("day", say("{text} is no date", text=f"“{text}”"), remedy)
        raise Unusable(say("there is no such day"), remedy=remedy, problems=(problem,)) from None


@click.command()
@lot_argument
@click.argument("place", metavar="PLACE")
@machine_option
@json_option
@shop_option
@pass_house
def place(
    house: House, lot: str, place: str, machine: str | None, as_json: bool, shop: str | None
) -> None:
    """One place: every line of its list, and what still keeps a gate shut."""
    with house.open_shop(shop) as opened:
        at = machine_of(opened, lot, machine)
        names = name_of(opened, *at)
        stands = strip.place_stands(opened, *at, place, house.kinds())
    if as_json:
        told = {"lot": names[0], "machine": names[1], "schema": "strip.place.1"}
        click.echo(dumps(place_row(stands) | told))
        return
    put(_place_lines(stands))


@click.command()
@lot_argument
@click.argument("paths", metavar="[FILE]...", nargs=-1)
@machine_option
@click.option(
    "--sort",
    type=click.Choice(list(strip.FILE_SORTS)),
    default="other",
    show_default=True,
    help="What each FILE is.",
)
@click.option(
    "--read-back",
    nargs=2,
    metavar="ID COPY",
    help="Hold a copy against the kept file; exit 1 unless every byte is the same.",
)
@json_option
@shop_option
@pass_house
def files(
    house: House, lot: str, paths: tuple[str, ...], machine: str | None, sort: str,
    read_back: tuple[str, str] | None, as_json: bool, shop: str | None,
) -> None:  # fmt: skip
    """Files of a machine with their checksums: parameters, programs, manuals.

    Each FILE is kept first, by its content; it is never run.
    """
    same = None
    with house.open_shop(shop) as opened:
        at = machine_of(opened, lot, machine)
        names = name_of(opened, *at)
        for path in paths:
            content, bare = content_of(path), Path(path).name
            strip.keep_machine_file(
                opened, *at, content, bare, house.prove, sort=sort, **house.hand
            )
        if read_back is not None:
            same = strip.read_back(opened, read_back[0], content_of(read_back[1]), **house.hand)
        lines = strip.machine_files(opened, *at)
    if as_json:
        told: dict[str, Any] = {"files": [_file_row(line) for line in lines], "lot": names[0]}
        told |= {"machine": names[1], "same": same, "schema": "strip.files.1"}
        click.echo(dumps(with_why(told, "no copy was held against a file")))
    else:
        put(_file_lines(lines, same))
    click.get_current_context().exit(1 if same is False else 0)


def _file_row(line: FileLine) -> dict[str, Any]:
    told = asdict(line)
    told["on"] = told.pop("when").date().isoformat()
    return with_why(told, "nobody has tried")


def _file_lines(lines: Iterable[FileLine], same: bool | None) -> Iterator[str]:
    if same is not None:
        yield say("The same, every byte.") if same else say("Not the same: read it again.")
    rows = [
        (line.id, line.name, line.kind_words, line.sha256[:12], _read_back(line)) for line in lines
    ]
    if not rows:
        yield say("No file is kept of this machine.")
    yield from columns(rows)


def _read_back(line: FileLine) -> str:
    if line.read_back is None:
        return say("not read back")
    return say("read back, the same") if line.read_back else say("read back, not the same")


def _night_lines(stands: FirstNight, cautions: tuple[str, ...]) -> Iterator[str]:
    yield from caution_lines(cautions)
    yield say("It may be left:")
    yield from _tick_lines(stands.ticks)
    yield say("What dies first:")
    yield from _tick_lines(stands.dies_first)
    yield say(
        "Photographs: {shots} kept, {wanted} lines want one; wipes: {wipes} of {wanted_wipes}.",
        shots=stands.shots,
        wanted=stands.wanted_shots,
        wipes=stands.wipes,
        wanted_wipes=stands.wanted_wipes,
    )
    rows = [
        (
            one.id,
            one.name,
            f"{one.shots}/{one.wanted_shots}",
            say("may be cleaned") if one.may_clean else say("not before it is kept as found"),
        )
        for one in stands.places
    ]
    yield from columns(rows)
    yield say("Always allowed:")
    yield from _tick_lines(stands.allowed)


def _tick_lines(ticks: Iterable[TickLine]) -> Iterator[str]:
    for line in ticks:
        if line.caution and not line.done:
            yield "  " + say("Caution: {caution}", caution=line.caution)
        yield f"  [{'x' if line.done else ' '}] {line.id}  {line.text}"


def _place_lines(stands: PlaceStands) -> Iterator[str]:
    yield from caution_lines(stands.cautions)
    yield stands.name + (f" ({stands.needs})" if stands.needs else "")
    yield from columns(
        [(one.entry.id, say(STATES[one.state]), _entry(one)) for one in stands.entries]
    )
    shut = ", ".join(str(one.entry.id) for one in stands.before_clean)
    yield (
        say("It is not cleaned before: {lines}.", lines=shut) if shut else say("It may be cleaned.")
    )
    apart = ", ".join(str(one.entry.id) for one in stands.before_apart)
    if apart:
        yield say("It does not come apart before: {lines}.", lines=apart)
    else:
        yield say("It may come apart.")
    if stands.cleaned:
        mucks = ", ".join(muck.replace("_", " ") for muck in stands.cleaned)
        yield say("Cleaned of: {mucks}.", mucks=mucks)


def _entry(line: EntryLine) -> str:
    told = line.why if line.state == "not_possible" else line.text
    if line.reading is not None:
        told = f"{formatter.number(line.reading, 3)} {line.unit}".strip()
    if line.files:
        told = say("{count} photographs", count=len(line.files))
    return line.entry.text + (f": {told}" if told else "")
