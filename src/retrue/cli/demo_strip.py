"""The demo's first night and taking apart: gates that hold, labels, what is not yet back."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from retrue.base.refusals import NotYet
from retrue.base.say import say
from retrue.cases.strip.table_file import read_taken
from retrue.cli.demo_days import kept_at
from retrue.cli.house import House
from retrue.phases import strip
from retrue.phases.strip import StripLog, TakenLine
from retrue.records.shop import RecordShop

LIST = "strip/mill.csv"
MACHINE = "mill"
# A drawn photograph of the example, and the place it is kept at on the first night.
SHOTS = (
    ("a-01-front-W_outside.jpg", "outside"),
    ("a-13-plate-S01.jpg", "outside"),
    ("a-02-cabinet-S03.jpg", "cabinet"),
    ("a-03-ways-S06.jpg", "axis_x"),
    ("a-04-lube-S11.jpg", "lube_unit"),
    ("a-15-feet-S15.jpg", "foundation"),
)
NOT_POSSIBLE = (("A11", "numbers are under the dust; each plug is photographed as it comes off"),)
TICKS = ("T01", "T02", "T03", "T04", "T05", "T06")


@dataclass(frozen=True, slots=True)
class Stripped:
    """How it stands after the demo's evening.

    Attributes
    ----------
    refused : tuple of str
        What a cleaning too early was refused with.
    """

    log: StripLog
    refused: tuple[str, ...]
    left: tuple[TakenLine, ...]


def stripping(house: House, shop: RecordShop, lot: str) -> Stripped:
    """Keep a first night, try to clean too early, take apart what the list says, put some back.

    Parameters
    ----------
    house : House
    shop : RecordShop
        With the lot in it.
    lot : str
        By name.

    Returns
    -------
    Stripped
    """
    kinds, hand = house.kinds(), kept_at(house, "first_night")
    for item in TICKS:
        strip.tick(shop, lot, MACHINE, "first_night", item, kinds, **hand)
    for name, place in SHOTS:
        content = (house.examples / "photographs" / name).read_bytes()
        strip.keep_shot(shop, lot, MACHINE, place, content, name, house.prove, kinds, **hand)
    refused = tuple(_too_early(house, shop, lot))
    hand = kept_at(house, "apart")
    strip.tick(shop, lot, MACHINE, "allowed", "A75", kinds, **hand)
    for entry, why in NOT_POSSIBLE:
        strip.say_entry(
            shop, lot, MACHINE, entry, kinds, state="not_possible", why=say(why), **hand
        )
    _take_apart(house, shop, lot)
    return Stripped(
        strip.strip_log(shop, lot, MACHINE, kinds),
        refused,
        strip.remaining(shop, lot, MACHINE, kinds),
    )


def _too_early(house: House, shop: RecordShop, lot: str) -> Iterator[str]:
    try:
        strip.clean(shop, lot, MACHINE, "cabinet", "conductive", house.kinds(),
                    **kept_at(house, "apart"))  # fmt: skip
    except NotYet as refusal:
        yield from (problem.what for problem in refusal.problems)


def _take_apart(house: House, shop: RecordShop, lot: str) -> None:
    content, kinds = (house.examples / LIST).read_bytes(), house.kinds()
    places = [row["place"] for row in csv.DictReader(io.StringIO(content.decode()), delimiter=";")]
    for line, place in zip(read_taken(content, LIST), places, strict=True):
        named = {
            name: getattr(line, name)
            for name in ("what", "from_end", "to_end", "count", "torque_nm", "shim_mm", "state")
        }
        kept = strip.take_off(shop, lot, MACHINE, place, line.sort, kinds, text=line.text,
                              **named, **kept_at(house, "apart"))  # fmt: skip
        if line.back:
            strip.put_back(shop, lot, MACHINE, kept.id, **kept_at(house, "apart"))


def stripping_lines(found: Stripped) -> Iterator[str]:
    """The evening in a few lines.

    Parameters
    ----------
    found : Stripped

    Yields
    ------
    str
        One line each.
    """
    night = found.log.night
    ticked = sum(1 for one in night.ticks if one.done)
    yield say("{machine}, first night: {ticked} of {ticks} ticks, {shots} photographs kept.",
              machine=found.log.machine, ticked=ticked, ticks=len(night.ticks),
              shots=night.shots)  # fmt: skip
    yield say("Cleaning the cabinet now is refused; lacking: {count} lines.",
              count=len(found.refused))  # fmt: skip
    yield say("Oil on bare iron: never refused.")
    yield say("Taken off {count}, not yet back {left}, the last undone first:",
              count=len(found.log.taken), left=len(found.left))  # fmt: skip
    for one in found.left:
        ends = " → ".join(str(part) for part in (one.from_end, one.to_end) if part)
        how = "" if one.state == "whole" else f", {say(one.state)}"
        yield f"  {one.code}  {one.what}, {ends}{how}"


def stripping_papers(house: House, found: Stripped, folder: Path) -> tuple[Path, ...]:
    """Write the log and the labels of what is off.

    Parameters
    ----------
    house : House
    found : Stripped
    folder : Path

    Returns
    -------
    tuple of Path
    """
    from retrue.paper.label_sheet import LabelRow, LabelSheet

    rows = tuple(
        LabelRow(
            code=one.code,
            sort=one.sort,
            what=one.what,
            from_end=one.from_end,
            to_end=one.to_end,
            place=one.place_name,
        )
        for one in found.left
    )
    labels, log = folder / f"{MACHINE}-labels.pdf", folder / f"{MACHINE}-apart.pdf"
    sheet = LabelSheet(machine=found.log.machine, lot=found.log.lot, rows=rows, by=house.by)
    labels.write_bytes(house.printer.labels(sheet))
    log.write_bytes(house.printer.strip_log(found.log, house.by, blank=False))
    return labels, log
