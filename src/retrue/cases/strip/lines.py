"""How taking apart stands, as frozen values that page, paper and command read alike."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

from retrue.kinds.judged import Three
from retrue.kinds.stripping import AsFoundEntry

EntryState = Literal["open", "done", "later", "not_possible"]
Ruling = Literal["proved_good", "not_proved", "proved_bad"]


@dataclass(frozen=True, slots=True)
class TickLine:
    """One tick of a list.

    Attributes
    ----------
    id : str
        Of the list: T01; of an act that is always allowed: A75.
    text : str
    caution : str
        What stands before it, with what it defers to; empty where nothing does.
    done : bool
    at : datetime or None
        When it was ticked, by the device's claim.
    record : str or None
        Id of the newest record: what ``untick`` takes; None of what is always allowed.
    """

    id: str
    text: str
    caution: str
    done: bool
    at: datetime | None = None
    record: str | None = None


@dataclass(frozen=True, slots=True)
class EntryLine:
    """One line of the as-found list at one machine.

    Attributes
    ----------
    entry : AsFoundEntry
    state : str
        open, done, later or not_possible. Photographs and wipes are done when a photograph is
        kept of them, whatever else was said.
    why : str
        Not possible because.
    files : tuple of str
        Ids of the first records of its kept photographs, oldest first.
    reading : float or None
    unit, text : str
    record : str or None
        Id of the newest record of what was said.
    """

    entry: AsFoundEntry
    state: EntryState
    why: str = ""
    files: tuple[str, ...] = ()
    reading: float | None = None
    unit: str = ""
    text: str = ""
    record: str | None = None

    @property
    def settled(self) -> bool:
        """No gate waits for it: it is done, or not possible with a reason; later is not done."""
        return self.state in ("done", "not_possible")


@dataclass(frozen=True, slots=True)
class PlaceStands:
    """One place: what was kept of it as found, and which gates are open.

    Attributes
    ----------
    id, name, needs : str
        Of the kind; ``needs`` says what must be so before it is opened.
    cautions : tuple of str
        Stand before everything else, each with what it defers to.
    entries : tuple of EntryLine
    shots, wipes : int
        Photographs kept of shots (those tied to no line among them) and of wipes.
    wanted_shots, wanted_wipes : int
        How many lines need one before the place is cleaned.
    before_clean, before_apart : tuple of EntryLine
        The open ones that keep the gate shut.
    may_clean, may_take_apart : bool
    cleaned : tuple of str
        Sorts of muck that were taken off already.
    next : EntryLine or None
        What the shutter takes next.
    files : tuple of str
        Ids of the first records of all photographs of the place, oldest first.
    """

    id: str
    name: str
    needs: str
    cautions: tuple[str, ...]
    entries: tuple[EntryLine, ...]
    shots: int
    wipes: int
    wanted_shots: int
    wanted_wipes: int
    before_clean: tuple[EntryLine, ...]
    before_apart: tuple[EntryLine, ...]
    may_clean: bool
    may_take_apart: bool
    cleaned: tuple[str, ...]
    next: EntryLine | None
    files: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FirstNight:
    """The first night on one page, in the order of the evening.

    Attributes
    ----------
    ticks : tuple of TickLine
        Six: it may be left.
    dies_first : tuple of TickLine
    allowed : tuple of TickLine
        Never refused.
    places : tuple of PlaceStands
    shots, wanted_shots, wipes, wanted_wipes : int
        Over all places.
    may_clean, not_yet : tuple of str
        Names of places that may be cleaned tomorrow, and of those that may not.
    """

    ticks: tuple[TickLine, ...]
    dies_first: tuple[TickLine, ...]
    allowed: tuple[TickLine, ...]
    places: tuple[PlaceStands, ...]
    shots: int
    wanted_shots: int
    wipes: int
    wanted_wipes: int
    may_clean: tuple[str, ...]
    not_yet: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TakenLine:
    """Something that was undone.

    Attributes
    ----------
    id : str
        Of the first record of its line: what putting back names it by.
    record : str
        Id of the newest record.
    code : str
        On its label.
    sort : str
        wire, hose, connector, bag or part.
    place, place_name, what, from_end, to_end : str
    count : int or None
    torque_nm, shim_mm : float or None
    state : str
        whole, stuck or broken.
    step : int
        Place in the order of taking apart, from 1.
    text : str
    files : tuple of str
        Ids of the first records of its photographs.
    when : datetime or None
        By the device's claim; None where it comes from a list without dates.
    by : str
    back : bool
    """

    id: str
    record: str
    code: str
    sort: str
    place: str
    place_name: str
    what: str
    from_end: str
    to_end: str
    count: int | None
    torque_nm: float | None
    shim_mm: float | None
    state: str
    step: int
    text: str
    files: tuple[str, ...]
    when: datetime | None
    by: str
    back: bool


@dataclass(frozen=True, slots=True)
class CleaningLine:
    """How one sort of muck is taken off.

    Attributes
    ----------
    muck, name, how, never : str
        ``never``: what must not be done to it.
    quantities : tuple of (str, float, float, float, str)
        What, low, likely, high, unit; judged for one machine.
    waste : tuple of str
        Classes, each its own bin.
    hours : Three
        Judged, low, likely, high.
    cautions : tuple of str
        Stand before everything, each with what it defers to.
    accept, mark : str
        What shows that it is clean; where the numbers come from.
    """

    muck: str
    name: str
    how: str
    never: str
    quantities: tuple[tuple[str, float, float, float, str], ...]
    waste: tuple[str, ...]
    hours: Three
    cautions: tuple[str, ...]
    accept: str
    mark: str


@dataclass(frozen=True, slots=True)
class ReadingLine:
    """Readings of one point: before, after, after running, and what they say together.

    Attributes
    ----------
    point : str
        Where exactly, after the place.
    sort : str
        insulation, winding, tape, wipe, sludge or other.
    before, after, after_running : float or None
        In ``unit``; None where nothing was read.
    before_seen, after_seen, after_running_seen : str
        Of a wipe or a tape: clean, grey, dirty; empty where nobody looked.
    unit : str
        Empty for what was only seen.
    ruling : str or None
        proved_good, not_proved, proved_bad; None where no rule is known for this sort.
    why : str
    """

    point: str
    sort: str
    before: float | None
    after: float | None
    after_running: float | None
    unit: str
    ruling: Ruling | None
    why: str
    before_seen: str = ""
    after_seen: str = ""
    after_running_seen: str = ""


@dataclass(frozen=True, slots=True)
class CleaningStands:
    """The plan of cleaning and what readings say of it.

    Attributes
    ----------
    plan : tuple of CleaningLine
    readings : tuple of ReadingLine
    accepted : bool or None
        True: all proved good. False: something is proved bad. None: not proved.
    why : str
    """

    plan: tuple[CleaningLine, ...]
    readings: tuple[ReadingLine, ...]
    accepted: bool | None
    why: str


@dataclass(frozen=True, slots=True)
class FileLine:
    """A kept file of a machine that is no photograph of a place: parameters, program, manual.

    Attributes
    ----------
    id : str
        Of its first record.
    name, sha256 : str
    size_bytes : int
    kind_words : str
        What it is, in words.
    when : datetime
        By the device's claim.
    read_back : bool or None
        True: a copy of it was read back and is the same; None: nobody has tried.
    """

    id: str
    name: str
    sha256: str
    size_bytes: int
    kind_words: str
    when: datetime
    read_back: bool | None
