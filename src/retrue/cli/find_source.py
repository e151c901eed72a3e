"""A case of fault-finding, whether it stands in a file or in the shop; one manner for both."""

from __future__ import annotations

import contextlib
import hashlib
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Protocol

from retrue.base.refusals import NotYet, Unknown
from retrue.base.say import say
from retrue.cases.case import Event, Happened, LotCase
from retrue.cases.find.advice import Advice, Goal
from retrue.cases.known import nearest
from retrue.cases.lot_events import new_id
from retrue.cases.lot_file import block, read_lot
from retrue.cli.file_notes import add_finding, below, written
from retrue.cli.house import House
from retrue.cli.options import content_of, is_file
from retrue.kinds.library import Kind
from retrue.phases import find, note, worth
from retrue.records.facts import Finding
from retrue.records.seeking import Act, Hunch, PartMoved, Signed, Trial, Trouble
from retrue.records.shop import RecordShop


class Seeker(Protocol):
    """A case, what is next in it, and what happens to it."""

    def case(self) -> LotCase:
        """As it stands."""
        ...

    def advise(
        self, machine: str, *, goal: Goal, trouble: str | None, seed: int, worlds: int
    ) -> Advice:
        """The next step."""
        ...

    def keep(self, event: Event) -> str:
        """Keep what happened; its id."""
        ...

    def saw(self, finding: Finding) -> str:
        """Keep what a look showed; its id."""
        ...

    def picture(self, path: str, machine: str) -> str:
        """Keep a photograph; its SHA-256."""
        ...


class InShop:
    """A lot kept in the shop."""

    def __init__(self, house: House, shop: RecordShop, lot: str) -> None:
        self.house, self.shop, self.lot = house, shop, lot

    def case(self) -> LotCase:
        """As it stands."""
        return worth.case_of(self.shop, self.lot)

    def advise(
        self, machine: str, *, goal: Goal, trouble: str | None, seed: int, worlds: int
    ) -> Advice:
        """The next step; remembered."""
        return find.advise(
            self.shop, self.lot, machine, self.house.kinds(), goal=goal, trouble=trouble,
            seed=seed, worlds=worlds,
        )  # fmt: skip

    def keep(self, event: Event) -> str:
        """Keep what happened; its id."""
        shop, kinds, hand, at = self.shop, self.house.kinds(), self.house.hand, event.machine
        match event:
            case Trouble():
                goes = event.comes_and_goes
                return find.tell(
                    shop, self.lot, at, event.symptom, event.words, kinds, comes_and_goes=goes,
                    picture=event.picture, **hand,
                ).id  # fmt: skip
            case Hunch():
                who = event.informant
                return find.guess_cause(
                    shop, event.trouble, event.fault, who, event.text, kinds, **hand
                ).id
            case Trial() if event.group is not None:
                return find.prove_group(
                    shop, self.lot, at, event.group, event.level, event.passes, kinds, event.text,
                    **hand,
                ).id  # fmt: skip
            case Trial():
                return find.try_again(
                    shop, event.trouble or "", event.passes, event.text, **hand
                ).id
            case Act():
                return find.did(shop, self.lot, at, event, kinds, **hand).id
            case PartMoved():
                return find.swap(shop, event, kinds, **hand).id
            case Signed():
                return find.sign(
                    shop, self.lot, at, event.stage, event.name, event.text, kinds, **hand
                ).id

    def saw(self, finding: Finding) -> str:
        """Keep what a look showed; its id."""
        return find.saw(self.shop, finding, self.house.kinds(), **self.house.hand).id

    def picture(self, path: str, machine: str) -> str:
        """Keep a photograph beside its machine; its SHA-256."""
        view = worth.view_lot(self.shop, self.lot)
        return note.keep_file(
            self.shop, content_of(path), Path(path).name, self.house.prove, lot=view.id,
            machine=view.machine_id(machine), **self.house.hand,
        ).fact.sha256  # fmt: skip


class InFile:
    """A lot that stands in a file of its owner's; what happens is written below it."""

    def __init__(self, house: House, path: str) -> None:
        self.house, self.path = house, path
        self.content = content_of(path)

    def case(self) -> LotCase:
        """As the file says."""
        return read_lot(self.content, self.path, self.house.kinds())

    def advise(
        self, machine: str, *, goal: Goal, trouble: str | None, seed: int, worlds: int
    ) -> Advice:
        """The next step."""
        return find.advise_case(
            self.case(), machine, self.house.kinds(), goal=goal, trouble=trouble, seed=seed,
            worlds=worlds,
        )  # fmt: skip

    def keep(self, event: Event) -> str:
        """Write what happened below what the owner wrote; its id."""
        if isinstance(event, PartMoved):
            raise _needs_shop(self.path)
        case = self.case()
        taken = [*(one.id for one in case.findings), *(one.id for one in case.happened)]
        today: datetime = self.house.clock()
        one = Happened(
            id=new_id(event, taken), event=event, place=len(case.findings),
            on=today.date().isoformat(),
        )  # fmt: skip
        self._write(below(self.content, "\n".join(block(event.KIND, one))))
        return one.id

    def saw(self, finding: Finding) -> str:
        """Write what a look showed below it; its id."""
        text, id = add_finding(self.content, self.case(), finding, self.path)
        self._write(text)
        return id

    def picture(self, path: str, machine: str) -> str:
        """Its SHA-256; the photograph stays where it is."""
        content = content_of(path)
        self.house.prove(content, Path(path).name)
        return hashlib.sha256(content).hexdigest()

    def _write(self, text: bytes) -> None:
        read_lot(text, self.path, self.house.kinds())
        written(Path(self.path), text)
        self.content = text


@contextlib.contextmanager
def open_case(house: House, case: str, shop: str | None) -> Iterator[Seeker]:
    """The case in a file, or the lot of that name in the shop.

    Parameters
    ----------
    house : House
        What the wiring gave.
    case : str
        A path that ends in .toml or exists, else a name.
    shop : str or None
        --shop.

    Yields
    ------
    Seeker
    """
    if is_file(case):
        yield InFile(house, case)
        return
    with house.open_shop(shop) as opened:
        yield InShop(house, opened, worth.find_lot(opened, case).fact.name)


@contextlib.contextmanager
def open_kept(house: House, case: str, shop: str | None) -> Iterator[InShop]:
    """The lot of that name in the shop; refused for a file."""
    if is_file(case):
        raise _needs_shop(case)
    with house.open_shop(shop) as opened:
        yield InShop(house, opened, worth.find_lot(opened, case).fact.name)


def machine_in(case: LotCase, machine: str | None) -> str:
    """The machine that is meant: the one named, the only one, or the last one told of.

    Parameters
    ----------
    case : LotCase
    machine : str or None
        --machine.

    Returns
    -------
    str
        Its name.

    Raises
    ------
    Unknown
        The lot has no such machine, or nobody said which of several.
    """
    names = [one.name for one in case.machines]
    if machine is not None:
        if machine not in names:
            raise Unknown(
                say("the lot has no machine {name}", name=machine),
                remedy=nearest(machine, names) or say("retrue lot show names them."),
            )
        return machine
    told = [one.event.machine for one in case.happened if isinstance(one.event, Trouble)]
    if told:
        return told[-1]
    if len(names) == 1:
        return names[0]
    raise Unknown(
        say("which machine is it? The lot has {names}", names=", ".join(map(str, names))),
        remedy=say("Say it: --machine {name}", name=names[0]),
    )


def trouble_in(case: LotCase, machine: str, trouble: str | None) -> str | None:
    """The id of a trouble named by its id or by its symptom; the newest such one.

    Parameters
    ----------
    case : LotCase
    machine : str
        By name.
    trouble : str or None
        --trouble.

    Returns
    -------
    str or None
        None: nobody said which.

    Raises
    ------
    Unknown
        The machine has no such trouble.
    """
    if trouble is None:
        return None
    mine = {
        one.id: one.event.symptom
        for one in case.happened
        if isinstance(one.event, Trouble) and one.event.machine == machine
    }
    found = [id for id, symptom in mine.items() if trouble in (id, symptom)]
    if not found:
        known = ", ".join(map(str, dict.fromkeys(mine.values())))
        raise Unknown(
            say("{machine} has no trouble {trouble}", machine=machine, trouble=trouble),
            remedy=say("Told so far: {known}.", known=known)
            if known
            else say("Tell it first: retrue find tell CASE SYMPTOM"),
        )
    return found[-1]


def open_trouble(case: LotCase, machine: str, trouble: str | None) -> str:
    """The trouble that is meant; the newest one that is not met where nobody said which.

    Parameters
    ----------
    case : LotCase
    machine : str
        By name.
    trouble : str or None
        --trouble.

    Returns
    -------
    str
        Its id.

    Raises
    ------
    NotYet
        Nothing that still stands was told of this machine.
    """
    named = trouble_in(case, machine, trouble)
    if named is not None:
        return named
    met: dict[str, bool] = {}
    for one in case.happened:
        if isinstance(one.event, Trouble) and one.event.machine == machine:
            met[one.id] = False
        elif isinstance(one.event, Trial) and one.event.trouble in met:
            met[one.event.trouble] = one.event.passes
    standing = [id for id, done in met.items() if not done]
    if not standing:
        raise NotYet(
            say("no trouble of {machine} stands", machine=machine),
            remedy=say("Tell what it does: retrue find tell CASE SYMPTOM"),
        )
    return standing[-1]


def kind_of(case: LotCase, machine: str, house: House) -> Kind:
    """The type of one machine of a case."""
    name = next(one.kind for one in case.machines if one.name == machine)
    return house.kinds()[name]


def _needs_shop(path: str) -> NotYet:
    return NotYet(
        say("this needs a lot in the shop, where looks, numbers and guesses are kept together"),
        remedy=say("Keep it first: retrue lot new NAME --from {path}", path=path),
    )
