"""The run-in watch at the keyboard: a logger's file judged whole, or followed as it grows."""

from __future__ import annotations

import time
from collections.abc import Iterator, Mapping
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import click

from retrue.base import formatter
from retrue.base.refusals import NotYet, Problem, Unreadable, Unusable
from retrue.base.say import say
from retrue.cases.prove.sound_calibration import calibration
from retrue.cases.prove.sound_watch import watch_rows
from retrue.cases.sheet_json import dumps
from retrue.cases.wake.watch_file import judged_file, plan_alone
from retrue.cases.wake.watch_plan import WatchPlan
from retrue.cases.wake.watch_view import Called, Watched, flat, relative_sound
from retrue.cli.house import House
from retrue.cli.lines import put
from retrue.cli.options import Between, content_of, json_option, shop_option
from retrue.cli.strip_options import amount, machine_of
from retrue.kinds.load import one_of
from retrue.phases import wake
from retrue.phases.wake import stage_of
from retrue.records.shop import RecordShop
from retrue.store.sound_file import is_sound, read_sound

EXITS = {"go": 0, "step": 0, "ended": 0, "hold": 3, "stop": 1, "no_reading": 1}
LOUD = ("stop", "no_reading")
BELL = "\a"
RINGS = 20  # of a stop that is followed
pass_house = click.make_pass_decorator(House)


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What a watch says at one moment, wherever it is kept."""

    watched: Watched
    called: Called | None
    not_taken: tuple[Problem, ...] = ()
    watch: str = ""  # id, where a shop keeps it


@click.command()
@click.argument("path", metavar="[FILE]", required=False)
@click.option("--follow", is_flag=True, help="Read on as it grows, until a stop or Ctrl-C.")
@click.option(
    "--every",
    type=Between(0.01, 60),
    default=2.0,
    show_default=True,
    help="Seconds from one look to the next.",
)
@click.option("--ring", is_flag=True, help="Ring this terminal's bell once, and end.")
@click.option("--heard", is_flag=True, help="The bell was heard once, at the machine.")
@click.option("--paper", is_flag=True, help="Paper and a kitchen timer stand in for the alarm.")
@click.option("--lot", metavar="LOT", help="Keep it in the shop: at a machine of this lot ...")
@click.option("--machine", metavar="NAME", help="... of this name.")
@click.option("--watch", "begun", metavar="ID", help="Go on with a watch that the shop keeps.")
@click.option(
    "--end", type=click.Choice(("levelled", "stopped", "left")), help="End the watch of --watch."
)
@click.option("--name", default="", help="Who ends it.")
@click.option("--stage", default="", metavar="STAGE", help="Which stage it belongs to: P8.")
@click.option("--step", type=int, help="Of the run-in.")
@click.option("--what", default="", help="What is watched, in words.")
@click.option("--room", metavar="AMOUNT", help="The room: 21 °C, 70 °F.")
@click.option("--expected-amps", type=float, help="Current expected at this step.")
@click.option(
    "--silence",
    type=float,
    default=6.0,
    show_default=True,
    help="Minutes without a reading that mean stop.",
)
@click.option("--kind", metavar="ID", help="Without a shop: bands of this kind of machine ...")
@click.option(
    "--plate",
    "plate",
    multiple=True,
    metavar="ID=VALUE",
    help="... with these values of its plate: N16=30 A; repeat it.",
)
@click.option("--fahrenheit/--celsius", default=None, help="What the file's temperatures are.")
@click.option("--clock-off", type=float, default=0.0, help="Seconds to add to its clock.")
@json_option
@shop_option
@pass_house
def watch(house: House, /, path: str | None, as_json: bool, **said: Any) -> None:
    """Judge a logger's FILE whole, or --follow it as it grows; a stop rings the bell.

    FILE is CSV: time with nose_c, amps, room_c ...; docs/wake.md has its columns; or a recording,
    WAV or FLAC, whose level is held against its own beginning. Exit 0: nothing
    calls for a stop. Exit 1: stop, or no reading for too long. Exit 3: hold, no next step yet.
    It never controls a machine: you stop it, at its own stop key.
    """  # fmt: skip
    if said["ring"]:
        click.echo(BELL + say("Did you hear it at the machine? Then begin with --heard."))
        return
    if said["follow"]:
        _heard(said)
    with _shop(house, said) as shop:
        if said["end"] is not None:
            _end(house, shop, said, as_json)
            return
        file, id = _file(path), _begin(house, shop, said) if shop is not None else ""
        plan = _plan(house, said) if shop is None else None
        looker = _Looker(house, said, file, house.clock(), shop, id, plan)
        told = _looked(looker, said, quiet=as_json)
    if as_json:
        click.echo(dumps(_row(told)))
    else:
        put(_lines(told))
    click.get_current_context().exit(EXITS[_call(told)])


def _shop(house: House, said: Mapping[str, Any]) -> AbstractContextManager[RecordShop | None]:
    if said["lot"] or said["begun"]:
        return house.open_shop(said["shop"])
    return nullcontext()


def _heard(said: Mapping[str, Any]) -> None:
    """An alarm that nobody has heard is no alarm."""
    if not said["heard"] and not said["paper"]:
        remedy = say("Run it with --ring, hear it, then add --heard; or --paper and a timer.")
        problem = Problem("heard", say("is not said"), remedy)
        raise NotYet(say("the alarm was not heard yet"), remedy=remedy, problems=(problem,))


def _file(path: str | None) -> str:
    if path is None:
        remedy = say("Name the file that the logger writes.")
        problem = Problem("file", say("is not said"), remedy)
        raise Unusable(say("nothing to judge"), remedy=remedy, problems=(problem,))
    return path


def _begin(house: House, shop: RecordShop, said: Mapping[str, Any]) -> str:
    """The id of the watch: gone on with, or begun."""
    if said["begun"]:
        return str(said["begun"])
    at = machine_of(shop, said["lot"], said["machine"])
    record = wake.begin_watch(
        shop, *at, house.kinds(), stage=said["stage"], step=said["step"], what=said["what"],
        alarm="paper" if said["paper"] else "laptop", heard=said["heard"],
        room_c=amount(said["room"], "°C", "room"), expected_a=said["expected_amps"],
        silence_minutes=said["silence"], **house.hand,
    )  # fmt: skip
    return record.id


@dataclass(slots=True)
class _Looker:
    """Looks at a file again and again; what was read last counts where it cannot be read."""

    house: House
    said: Mapping[str, Any]
    path: str
    started: datetime
    shop: RecordShop | None
    id: str
    plan: WatchPlan | None
    content: bytes | None = None
    recorded: bool = False

    def look(self) -> Told:
        """One look at the file as it stands."""
        now = self.house.clock()
        trouble: tuple[Problem, ...] = ()
        try:
            content = content_of(self.path)
            self.recorded = is_sound(content)
            self.content = _as_rows(content, self.path, self.started)
        except Unreadable as refusal:
            if self.content is None:
                raise
            trouble = (Problem(self.path, refusal.reason, refusal.remedy),)
        told = self._kept(now) if self.shop is not None else self._alone(now)
        return replace(told, not_taken=(*told.not_taken, *trouble))

    def _kept(self, now: datetime) -> Told:
        """New rows into the shop, then what the watch says."""
        shop, hand, said = self.shop, self.house.hand, self.said
        assert shop is not None
        assert self.content is not None
        not_taken: tuple[Problem, ...] = ()
        try:
            wake.follow(
                shop, self.id, Path(self.path).name, self.content, now,
                fahrenheit=said["fahrenheit"], offset_s=said["clock_off"], **hand,
            )  # fmt: skip
        except (Unusable, Unreadable) as refusal:
            not_taken = refusal.problems or (Problem(self.path, refusal.reason, refusal.remedy),)
        wake.call(shop, self.id, now, self.house.kinds(), **hand)
        stands = wake.watch_stands(shop, self.id, now, self.house.kinds())
        called = next((one for one in wake.calls(shop, self.id) if one.call in LOUD), None)
        return Told(watched=stands.watched, called=called, not_taken=not_taken, watch=self.id)

    def _alone(self, now: datetime) -> Told:
        assert self.plan is not None
        assert self.content is not None
        found = judged_file(
            self.content, Path(self.path).name, self.plan, now,
            started=self.started if self.said["follow"] else None, zone=now.tzinfo or UTC,
            fahrenheit=self.said["fahrenheit"], offset_s=self.said["clock_off"],
        )  # fmt: skip
        made = relative_sound(found.watched) if self.recorded else found.watched
        return Told(watched=made, called=found.called, not_taken=found.followed.problems)


def _as_rows(content: bytes, path: str, ended: datetime) -> bytes:
    """A recording as the table a logger would write of it; anything else as it is."""
    if not is_sound(content):
        return content
    heard = read_sound(content, Path(path).name)
    begun = ended - timedelta(seconds=heard.seconds)
    rows = watch_rows(heard, begun, calibration())
    return "\n".join(
        ["time,sound_db", *(f"{at},{level:.2f}" for at, _, level in rows), ""]
    ).encode()


def _looked(looker: _Looker, said: Mapping[str, Any], *, quiet: bool) -> Told:
    """One look, or one after another until it stops, or somebody ends it."""
    told, last = looker.look(), ""
    try:
        while said["follow"] and _call(told) not in (*LOUD, "ended"):
            if _call(told) != last and not quiet:
                put(_lines(told))
                last = _call(told)
            time.sleep(said["every"])
            told = looker.look()
    except KeyboardInterrupt:
        return told
    if _call(told) in LOUD:
        _ring(said, quiet=quiet)
    return told


def _ring(said: Mapping[str, Any], *, quiet: bool) -> None:
    """The bell, again and again where somebody works beside it; it goes to the terminal alone."""
    times = RINGS if said["follow"] else 1
    for number in range(times):
        click.echo(BELL, nl=False, err=quiet)
        if number + 1 < times:
            try:
                time.sleep(min(1.0, said["every"]))
            except KeyboardInterrupt:
                return


def _plan(house: House, said: Mapping[str, Any]) -> WatchPlan:
    kind = one_of(house.kinds(), said["kind"]) if said["kind"] else None
    if kind is None and said["stage"]:
        remedy = say("Say --kind, or keep it in the shop with --lot.")
        raise Unusable(say("whose stage?"), remedy=remedy,
                       problems=(Problem("kind", say("is not said"), remedy),))  # fmt: skip
    stage = stage_of(kind, said["stage"]) if kind is not None and said["stage"] else None
    plate = dict(one.partition("=")[::2] for one in said["plate"])
    return plan_alone(
        kind, stage, plate, step=said["step"], what=said["what"],
        room_c=amount(said["room"], "°C", "room"), expected_a=said["expected_amps"],
        silence_minutes=said["silence"],
    )  # fmt: skip


def _end(house: House, shop: RecordShop | None, said: Mapping[str, Any], as_json: bool) -> None:
    if shop is None or not said["begun"]:
        remedy = say("Name it with --watch.")
        raise Unusable(say("which watch ends?"), remedy=remedy,
                       problems=(Problem("watch", say("is not said"), remedy),))  # fmt: skip
    record = wake.end_watch(shop, said["begun"], said["end"], said["name"], **house.hand)
    if as_json:
        click.echo(dumps({"how": record.fact.how, "kept": record.id, "schema": "wake.kept.1"}))
        return
    click.echo(say("Kept: {id}", id=record.id))


def _call(told: Told) -> str:
    """A stop that was called anywhere in it is a stop."""
    if told.watched.call == "ended":
        return "ended"
    return told.called.call if told.called is not None else told.watched.call


def _row(told: Told) -> dict[str, Any]:
    row = flat(told.watched)
    called = told.called
    row |= {
        "call": _call(told),
        "called_at": called.at.isoformat() if called else None,
        "called_why": called.why if called else None,
        "not_taken": [str(problem) for problem in told.not_taken],
        "watch": told.watch or None,
    }
    whys = {"called_at": say("nothing called for a stop"), "watch": say("no shop keeps it")}
    whys["called_why"] = whys["called_at"]
    return row | {"why": row["why"] | {key: why for key, why in whys.items() if row[key] is None}}


def _lines(told: Told) -> Iterator[str]:
    watched, called = told.watched, told.called
    if called is not None:
        yield say("STOP, called at {at}: {why}", at=formatter.minute(called.at), why=called.why)
    else:
        yield watched.words.upper()
    yield from (f"  {line}" for line in (*watched.why, *watched.good, *watched.do))
    for one in watched.numbers:
        if one.value is not None:
            told_as = f"{one.name}: {formatter.number(one.value, one.digits)} {one.unit}"
            if one.give_or_take is not None:
                doubt = formatter.number(one.give_or_take, one.digits)
                told_as = say("{value}, give or take {doubt}", value=told_as, doubt=doubt)
            yield f"  {told_as}"
    if watched.settles_c is not None:
        yield "  " + say("it settles at {at} °C", at=formatter.number(watched.settles_c, 1))
    yield from (f"  {note}" for note in watched.notes)
    yield from (f"  {problem}" for problem in told.not_taken)
    if told.watch:
        yield say("Kept as the watch {id}; go on with --watch {id}.", id=told.watch)
