"""The demo's first power: what is refused, then every stage with its readings, signed."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from retrue.base.refusals import NotYet
from retrue.base.say import say
from retrue.cases.spot import Spot
from retrue.cases.spot import find as spot_of
from retrue.cli.demo_days import example, kept_at
from retrue.cli.house import House
from retrue.phases import find, strip, wake, worth
from retrue.phases.wake import Ladder
from retrue.records.facts import Finding
from retrue.records.hand import Hand
from retrue.records.seeking import Act
from retrue.records.shop import RecordShop

FILE = "wake/mill.toml"
LOOKED = timedelta(minutes=40)  # before a stage its looks are taken
BETWEEN = timedelta(minutes=3)  # from one reading of a stage to the next
LAG_SHARE = 6.0  # a step lasts six times as long as its nose takes to settle


@dataclass(frozen=True, slots=True)
class Woken:
    """How it stands after the demo's first power.

    Attributes
    ----------
    refused : tuple of (str, str)
        What was tried, and what it was refused with.
    """

    ladder: Ladder
    refused: tuple[tuple[str, str], ...]


def waking(house: House, shop: RecordShop, lot: str) -> Woken:
    """Put everything back, try what must be refused, then go through every stage.

    Parameters
    ----------
    house : House
    shop : RecordShop
        With the lot in it, its mill taken apart.
    lot : str
        By name.

    Returns
    -------
    Woken
    """
    tale = tomllib.loads(example(house, FILE).decode())
    spot = spot_of(shop, lot, tale["machine"], house.kinds())
    walk = Walk(house, shop, spot, tale)
    off = strip.remaining(shop, spot.lot, spot.machine, house.kinds())
    refused = [walk.refused(say("power while something is off"), "P1", off[0].code)]
    for one in off:
        strip.put_back(shop, spot.lot, spot.machine, one.code,
                       **kept_at(house, "back"))  # fmt: skip
    for entry, value in tale["plate"].items():
        worth.keep_plate(shop, spot.lot, spot.machine, entry, value, house.kinds(),
                         **kept_at(house, "plate"))  # fmt: skip
    for stage in tale["stage"]:
        if stage["id"] == "P1":
            refused.append(walk.refused(say("P3 before P1 and P2"), "P3", "P1-V"))
            refused.append(
                walk.refused(say("P1, nobody at the switch"), "P1", "at_switch", switch="")
            )
        if stage["id"] == "P9":
            early = walk.refused(say("a dry run before the drawbar is measured"), "P10", "F03")
            refused.append(early)
        walk.close(stage)
        if stage["id"] == "P8":
            refused.append(walk.refused(say("P8, alarm not heard"), "P8", "heard", heard=False))
        walk.go(stage)
    ladder = wake.ladder(shop, spot.lot, spot.machine, house.kinds(), at_switch=tale["switch"])
    return Woken(ladder, tuple(refused))


@dataclass(frozen=True, slots=True)
class Walk:
    """Somebody going through the stages of one machine, as a file tells it."""

    house: House
    shop: RecordShop
    spot: Spot
    told: Mapping[str, Any]

    def refused(self, what: str, stage: str, where: str, **but: Any) -> tuple[str, str]:
        """Something tried that must not be, and what of all that is wanting keeps it closed."""
        try:
            self._begin(stage, at=self.at(stage), **but)
        except NotYet as refusal:
            return what, next(one.what for one in refusal.problems if one.where == where)
        raise AssertionError(what)

    def at(self, stage: str) -> datetime:
        """When a stage is begun."""
        when: datetime = next(one["at"] for one in self.told["stage"] if one["id"] == stage)
        return when

    def close(self, stage: Mapping[str, Any]) -> None:
        """What is done and looked at before a stage."""
        shop, kinds, hand = self.shop, self.house.kinds(), self._hand(stage["at"] - LOOKED)
        lot, machine = self.spot.lot, self.spot.machine
        for act in stage.get("acts", ()):
            said = Act(lot=lot, machine=machine, sort="clean", fault=act["fault"], way=act["way"],
                       seen=act["text"])  # fmt: skip
            find.did(shop, lot, machine, said, kinds, **hand)
        for job in stage.get("jobs", ()):
            done = Act(lot=lot, machine=machine, sort="clean", job=job)
            find.did(shop, lot, machine, done, kinds, **hand)
        for look in stage.get("looks", ()):
            said_of = Finding(lot=lot, machine=machine, check=look, answer="not_seen", grade=3,
                              channel="apart")  # fmt: skip
            find.saw(shop, said_of, kinds, **hand)
        for look, value in stage.get("measured", {}).items():
            assert self.spot.kind is not None
            measure = self.spot.kind.checks[look].measures[0]
            read = Finding(lot=lot, machine=machine, check=look, measure=measure,
                           reading=float(value), grade=4, channel="apart")  # fmt: skip
            find.saw(shop, read, kinds, **hand)

    def go(self, stage: Mapping[str, Any]) -> None:
        """Begin a stage, read it, sign it; a spindle step by step, each beside its watch."""
        at, nose = stage["at"], stage.get("room", 0.0)
        for step in stage.get("steps", (None,)):
            self._begin(stage["id"], at=at, choice=stage.get("choice", ""))
            if step is not None:
                at, nose = self._watched(stage, step, at, nose), step[0]
            if "watched" in stage:
                self._watched(stage, stage["watched"], at, nose)
            for name, point, value, *when in stage.get("readings", ()):
                at = when[0] if when else at + BETWEEN
                wake.read(self.shop, self.spot.lot, self.spot.machine, stage["id"], name,
                          float(value), self.house.kinds(), point=point,
                          taken_by=self._who(stage["id"]), **self._hand(at))  # fmt: skip
            wake.sign(self.shop, self.spot.lot, self.spot.machine, stage["id"],
                      self._who(stage["id"]), self.house.kinds(), **self._hand(at))  # fmt: skip

    def _watched(
        self, stage: Mapping[str, Any], step: tuple[float, float, float], at: datetime, nose: float
    ) -> datetime:
        """A watch with a reading a minute: the nose settles from where it was; when it ended."""
        last, amps, minutes = step
        watch = wake.begin_watch(
            self.shop, self.spot.lot, self.spot.machine, self.house.kinds(), stage=stage["id"],
            heard=True, room_c=stage["room"], **self._hand(at),
        )  # fmt: skip
        rows = []
        for minute in range(1, int(minutes) + 1):
            moment = (at + timedelta(minutes=minute)).isoformat()
            left = math.exp(-LAG_SHARE * minute / minutes)
            rows += [(moment, "nose", last - (last - nose) * left), (moment, "amps", amps)]
        wake.add_readings(self.shop, watch.id, rows, **self._hand(at))
        until = at + timedelta(minutes=minutes)
        wake.end_watch(self.shop, watch.id, "levelled", self._who(stage["id"]),
                       **self._hand(until))  # fmt: skip
        return until

    def _hand(self, at: datetime) -> Hand:
        return {**self.house.hand, "observed_at": at}

    def _begin(
        self, id: str, *, switch: str | None = None, heard: bool = True,
        at: datetime, choice: str = "",
    ) -> None:  # fmt: skip
        assert self.spot.kind is not None
        stage = next(one for one in self.spot.kind.stages.values() if one.stage == id)
        wake.begin(
            self.shop, self.spot.lot, self.spot.machine, id, self.house.kinds(),
            by_name=self._who(id), at_switch=self.told["switch"] if switch is None else switch,
            licence=self.told["licence"] if stage.licensed else "", cautions=stage.cautions,
            laptop=True if stage.watch else None, heard=stage.watch and heard,
            choice=choice, **self._hand(at),
        )  # fmt: skip

    def _who(self, id: str) -> str:
        assert self.spot.kind is not None
        stage = next(one for one in self.spot.kind.stages.values() if one.stage == id)
        name: str = self.told["electrician" if stage.licensed else "does"]
        return name


def waking_lines(found: Woken) -> Iterator[str]:
    """First power in a few lines.

    Parameters
    ----------
    found : Woken

    Yields
    ------
    str
        One line each.
    """
    yield say("{machine}, first power:", machine=found.ladder.name)
    for tried, why in found.refused:
        yield say("  refused: {tried} ({why})", tried=tried, why=why)
    for one in found.ladder.stages:
        by = one.ended.fact.name if one.ended else "-"
        yield say("  {stage}  {title}: {state}, {by}", stage=one.stage.stage.ljust(3),
                  title=one.stage.title, state=say(one.state), by=by)  # fmt: skip
    yield say("{answer}.", answer=found.ladder.answer)


def waking_papers(house: House, found: Woken, folder: Path) -> tuple[Path, ...]:
    """Write the sheets of two stages: one to be signed by the electrician, one beside the spindle.

    Parameters
    ----------
    house : House
    found : Woken
    folder : Path

    Returns
    -------
    tuple of Path
    """
    papers = []
    for one in found.ladder.stages:
        if one.stage.stage in ("P1", "P8"):
            path = folder / f"{found.ladder.name}-{one.stage.id}.pdf"
            path.write_bytes(house.printer.stage(one, found.ladder, house.by))
            papers.append(path)
    return tuple(papers)
