"""Sets of readings: begun, kept as a whole table, found again by id or by the code of a sheet."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any, Unpack

from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.cases.prove.deed import Cell, Deed, deed, options_of
from retrue.cases.prove.proof import Conditions, not_level
from retrue.cases.prove.table import unit_of
from retrue.kinds.library import Kind
from retrue.phases.prove.instruments import Gauge, gauge, instrument_of
from retrue.phases.prove.limits import chosen_limit, judged_by, limit_for
from retrue.phases.prove.order import LevelState, level_state
from retrue.phases.prove.places import Spot, find
from retrue.phases.prove.views import LimitLine, SetView
from retrue.records.hand import Hand
from retrue.records.measuring import Reading, ReadingSet
from retrue.records.packing import pack
from retrue.records.shop import Record, RecordShop

FILE = "file:"  # before the hash of an option that is a file of its own
HEADING = 4096  # bytes within which the columns of a file are named
LIMIT = "limit"  # beside the options of a test: which limit of the table it stands against


@dataclass(frozen=True, slots=True)
class Around:
    """What is said of a set beside its readings."""

    place: str = ""
    instrument: str | None = None
    air_c: float | None = None
    machine_c: float | None = None
    state: str = ""
    code: str = ""
    before: str | None = None


def begin(
    shop: RecordShop,
    lot: str,
    machine: str,
    test: str,
    typed: Mapping[str, Any],
    kinds: Mapping[str, Kind],
    *,
    place: str = "",
    instrument: str | None = None,
    air_c: float | None = None,
    machine_c: float | None = None,
    state: str = "",
    code: str = "",
    before: str | None = None,
    **hand: Unpack[Hand],
) -> Record[ReadingSet]:
    """Begin a set of readings; numbers come one by one, and it may be left at any of them.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    test : str
        level, sweep, taper ...
    typed : mapping
        The test's options as typed; an option that is a file is its bytes. ``limit`` beside them
        names the limit it stands against, where the table has several for this test.
    kinds : mapping of str to Kind
        The library.
    place : str
        Axis or place, in one's own words.
    instrument : str or None
        Name or id.
    air_c, machine_c : float or None
        Temperatures.
    state : str
        Of the machine: cold, after the move.
    code : str
        Of the blank sheet it is typed from.
    before : str or None
        The set it is to be compared with.
    **hand : Hand
        Who measures; with an ``id``, sent twice is begun once.

    Returns
    -------
    Record of ReadingSet

    Raises
    ------
    Unknown
        No such lot, machine, test, instrument or set.
    Unusable
        An option is wrong.
    """
    around = Around(place, instrument, air_c, machine_c, state, code, before)
    spot = find(shop, lot, machine, kinds)
    return shop.add(_fact(shop, spot, deed(test), typed, around), **hand)


def keep_table(
    shop: RecordShop,
    lot: str,
    machine: str,
    test: str,
    content: bytes,
    name: str,
    typed: Mapping[str, Any],
    kinds: Mapping[str, Kind],
    *,
    place: str = "",
    instrument: str | None = None,
    air_c: float | None = None,
    machine_c: float | None = None,
    state: str = "",
    code: str = "",
    before: str | None = None,
    **hand: Unpack[Hand],
) -> Record[ReadingSet]:
    """Keep a whole table of readings as a set: the file first, by its hash; it is judged after.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine, test : str
        As for :func:`begin`.
    content : bytes
        As it came; kept whatever stands in it.
    name : str
        Of the file.
    typed, kinds, place, instrument, air_c, machine_c, state, code, before, **hand
        As for :func:`begin`.

    Returns
    -------
    Record of ReadingSet
        What is wrong in the file is told when it is worked out.
    """
    sha256 = shop.keep_file(content)
    around = Around(place, instrument, air_c, machine_c, state, code, before)
    spot = find(shop, lot, machine, kinds)
    fact = _fact(shop, spot, deed(test), typed, around, sha256, name.strip() or say("readings"))
    return shop.add(fact, **hand)


def open_set(shop: RecordShop, set_id: str, kinds: Mapping[str, Kind]) -> SetView:
    """A set as it stands, with its form and the next number to type.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    set_id : str
        Of any record of its line.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    SetView

    Raises
    ------
    Unknown
        No such set.
    """
    key, record = set_line(shop, set_id)
    said = record.fact
    one = deed(said.test)
    options = options_of(one, _typed(shop, said))
    cells = () if said.file else one.cells(options)
    unit = unit_of_file(shop.file(said.file), one) if said.file else unit_of_form(cells, one)
    read = read_by_cell(shop, key)
    values = {cell.id: read[cell.id].fact.text for cell in cells if cell.id in read}
    level = LevelState("")
    if one.needs_level:
        level = level_state(shop, said.lot, said.machine)
    kind = find(shop, said.lot, said.machine, kinds).kind
    line = limit_for(shop, one, kind, dict(said.options).get(LIMIT, ""))
    tool = gauge(shop, said.instrument, unit, record.observed_at.date())
    return _view(record, one, options, cells, values, level, line, tool)


def set_by_code(shop: RecordShop, code: str) -> str:
    """The id of the newest set typed from the sheet with that code; a dash does not matter."""
    bare = _bare(code)
    found = [one for one in shop.current(ReadingSet) if bare and _bare(one.fact.code) == bare]
    if not found:
        raise Unknown(
            say("no readings are kept from a sheet with the code {code}", code=code),
            remedy=say("Compare the eight signs with the sheet, or begin the set again."),
        )
    return set_line(shop, found[-1].id)[0]


def set_line(shop: RecordShop, set_id: str) -> tuple[str, Record[ReadingSet]]:
    """What readings name a set by, and its newest record."""
    line = shop.history(shop.get(ReadingSet, set_id).id)
    newest = line[-1]
    if not isinstance(newest.fact, ReadingSet):
        raise Unknown(
            say("this set of readings was taken back"), remedy=say("Open another one, or begin.")
        )
    return line[0].id, newest


def read_by_cell(shop: RecordShop, key: str) -> dict[str, Record[Reading]]:
    """The readings of a set that count, by cell; of two phones the later one."""
    return {record.fact.cell: record for record in shop.current(Reading, set=key)}


def fingerprint(view: SetView) -> str:
    """The hash of all that a result depends on: readings, options, limit, instrument, order."""
    said = view.record.fact
    told = {
        "values": dict(view.values),
        "file": said.file,
        "options": said.options,
        "conditions": asdict(view.conditions),
        "provisional": view.provisional,
        "warnings": view.warnings,
        "instrument": pack(view.instrument) if view.instrument else None,
    }
    text = json.dumps(told, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()


def unit_of_form(cells: Sequence[Cell], one: Deed) -> str:
    """The unit of one reading: some tests take a level or an indicator, each in its own."""
    units = {cell.unit for cell in cells}
    return next(iter(units)) if len(units) == 1 else one.reading_unit


def unit_of_file(content: bytes, one: Deed) -> str:
    """The same by the names of a file's columns."""
    lines = content[:HEADING].decode("utf-8-sig", errors="replace").splitlines()
    names = next((line for line in lines if line.strip() and not line.startswith("#")), "")
    named = names.casefold()
    if "_um_per_m" in named:
        return unit_of("tilt_um_per_m")
    return unit_of("height_um") if "_um" in named else one.reading_unit


def _view(
    record: Record[ReadingSet],
    one: Deed,
    options: Mapping[str, Any],
    cells: tuple[Cell, ...],
    values: Mapping[str, str],
    level: LevelState,
    line: LimitLine | None,
    tool: Gauge,
) -> SetView:
    return SetView(
        record=record,
        deed=one,
        options=options,
        cells=cells,
        values=values,
        next=next((cell for cell in cells if cell.id not in values), None),
        done=len(values),
        provisional=not_level() if level.why else "",
        instrument=tool.fact,
        conditions=_conditions(line, tool),
        limit_id=line.limit.id if line else "",
        warnings=tuple(one for one in (level.why, level.warning, *tool.warnings) if one),
        checked=tool.checked,
    )


def _conditions(line: LimitLine | None, tool: Gauge) -> Conditions:
    return Conditions(
        limit=judged_by(line) if line else None,
        judged=line.limit.key if line else None,
        reading_uncertainty=tool.uncertainty,
    )


def _fact(
    shop: RecordShop,
    spot: Spot,
    one: Deed,
    typed: Mapping[str, Any],
    around: Around,
    file: str | None = None,
    name: str = "",
) -> ReadingSet:
    """A set as it will be kept, everything it names looked up first."""
    options_of(one, typed)
    options = _options(shop, one, typed)
    if limit := str(typed.get(LIMIT) or "").strip():
        options = (*options, (LIMIT, chosen_limit(one, spot.kind, limit)))
    return ReadingSet(
        lot=spot.lot,
        machine=spot.machine,
        test=one.id,
        place=around.place.strip(),
        options=options,
        instrument=instrument_of(shop, around.instrument)[0] if around.instrument else None,
        air_c=around.air_c,
        machine_c=around.machine_c,
        state=around.state.strip(),
        file=file,
        file_name=name,
        code=around.code.strip(),
        before=set_line(shop, around.before)[0] if around.before else None,
    )


def _options(shop: RecordShop, one: Deed, typed: Mapping[str, Any]) -> tuple[tuple[str, str], ...]:
    """Options as typed, in the order of the test; a file is kept and named by its hash."""
    kept: list[tuple[str, str]] = []
    for option in one.options:
        given = typed.get(option.id)
        if isinstance(given, bytes):
            given = FILE + shop.keep_file(given)
        elif isinstance(given, bool):
            given = "yes" if given else "no"
        text = "" if given is None else str(given).strip()
        if text:
            kept.append((option.id, text))
    return tuple(kept)


def _typed(shop: RecordShop, said: ReadingSet) -> dict[str, Any]:
    return {
        id: shop.file(text.removeprefix(FILE)) if text.startswith(FILE) else text
        for id, text in said.options
    }


def _bare(code: str) -> str:
    return "".join(sign for sign in code.upper() if sign.isalnum())
