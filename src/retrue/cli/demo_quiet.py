"""The demo's sound, vibration, light: covers damped between two recordings, hours beside it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from retrue.base.say import say
from retrue.cases.prove.quiet import Quiet
from retrue.cases.prove.sensed_aim import heard
from retrue.cli.demo_days import kept_at
from retrue.cli.house import House
from retrue.cli.prove_sense import hours_lines, step_words
from retrue.phases import prove
from retrue.records.shop import RecordShop
from retrue.store.sound_file import sound_or_table

MACHINE = "mill"
FOLDER = "quiet"
KNOWN = "known-94.wav"
SPINDLE_RPM, NOSE_RPM = 7500.0, 3000.0
HOURS = 5.0  # a day beside it
BEARING = {"unit": "g", "full_scale": "5", "balls": "9", "ball_mm": "7.94", "pitch_mm": "38.5"}


def quieting(house: House, shop: RecordShop, lot: str) -> Quiet:
    """Keep a recording before and one after the covers were damped, the nose, the light.

    Parameters
    ----------
    house : House
    shop : RecordShop
        With the lot in it.
    lot : str
        By name.

    Returns
    -------
    Quiet
    """
    kinds, known = house.kinds(), _example(house, KNOWN)
    for when, name in (("before", "before.wav"), ("after", "after.wav")):
        prove.keep_sensed(
            shop, lot, MACHINE, "sound", kinds, content=_example(house, name), name=name,
            when="before" if when == "before" else "after", speed_rpm=SPINDLE_RPM, known=known,
            hear=sound_or_table, **kept_at(house, when),
        )  # fmt: skip
    prove.keep_sensed(
        shop, lot, MACHINE, "vibration", kinds, content=_example(house, "nose.wav"),
        name="nose.wav", speed_rpm=NOSE_RPM, options=BEARING | {"bearing": "spindle"},
        hear=sound_or_table, **kept_at(house, "after"),
    )  # fmt: skip
    prove.keep_sensed(
        shop, lot, MACHINE, "light", kinds, content=_example(house, "light.csv"),
        name="light.csv", hear=sound_or_table, **kept_at(house, "after"),
    )  # fmt: skip
    return prove.quiet(shop, lot, MACHINE, kinds)


def quiet_words(view: Quiet) -> Iterator[str]:
    """What became of it in a few lines.

    Parameters
    ----------
    view : Quiet

    Yields
    ------
    str
        One line each.
    """
    for caution in view.cautions["sound"]:
        yield say("Caution: {caution}", caution=caution)
    yield from (step_words(pair) for pair in view.pairs)
    yield from hours_lines(heard(view.lines, view.pairs, HOURS))


def quiet_paper(house: House, view: Quiet, folder: Path) -> Path:
    """Write the before-and-after sheet.

    Parameters
    ----------
    house : House
    view : Quiet
    folder : Path

    Returns
    -------
    Path
    """
    path = folder / f"{MACHINE}-quiet.pdf"
    path.write_bytes(house.printer.quiet(view, house.by))
    return path


def _example(house: House, name: str) -> bytes:
    return (house.examples / FOLDER / name).read_bytes()
