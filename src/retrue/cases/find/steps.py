"""The steps that may be done now, best first, and those that have to wait for another."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from retrue.cases.find.clearing import first_way, off_symptoms
from retrue.cases.find.dead import dead_looks_at
from retrue.cases.find.off import is_gone
from retrue.cases.find.options import Option, option_of
from retrue.cases.find.rules import Block, behind_look, blocked
from retrue.cases.find.seek import Sought
from retrue.cases.find.trying import try_first
from retrue.choose.seeking import Move

TIE = 0.01  # share of the best within which steps cannot be told apart (judgement)
DEEPEST = 6  # steps that open steps
MOST_HELD = 8


@dataclass(frozen=True, slots=True)
class Waiting:
    """A step that has to wait, and why."""

    option: Option
    block: Block
    opens: Option | None  # the step that opens it and may be done now


@dataclass(frozen=True, slots=True)
class Offered:
    """Steps as numbers, best first, and what waits."""

    options: tuple[Option, ...]
    held: tuple[Waiting, ...]


def offered(sought: Sought) -> Offered:
    """Put the steps in order, rules before prices.

    Parameters
    ----------
    sought : Sought

    Returns
    -------
    Offered
        A step that would be worth it but has to wait is replaced by the one that opens it, at
        its own expected cost where the search knows it, else at that of the step it opens and
        its own cost on top.

    Notes
    -----
    Help can always be called. What the rules ask for can thus only add to the price of a step,
    never take from it (our own rule).

    Examples
    --------
    >>> from retrue.cases.case import Happened
    >>> from retrue.cases.case import LotCase
    >>> from retrue.kinds.load import load
    >>> from retrue.records.facts import Lot, Machine, Shop, Terms
    >>> from retrue.records.seeking import Trouble
    >>> mill = Machine(lot="a", name="A", kind="vertical_machining_centre")
    >>> growls = Happened(id="1", event=Trouble(lot="a", machine="A", symptom="Y01"), place=0)
    >>> case = LotCase(shop=Shop(), lot=Lot(name="a"), terms=Terms(lot="a"), machines=(mill,),
    ...                happened=(growls,))
    >>> from retrue.cases.find.seek import seek
    >>> steps = offered(seek(case, "A", load(), goal="clear", worlds=200)).options
    >>> any(step.sort == "help" for step in steps)
    True
    """
    if sought.met:
        return Offered((), ())
    free: dict[tuple[str, int], Option] = {}
    waiting: list[Waiting] = []
    told = sought.trouble
    only_dead = told is not None and told in sought.off and is_gone(sought.case, told.id)
    options = list(_cleared_dead(sought)) if only_dead else _options(sought)
    for option in sorted(options, key=lambda one: (one.value, one.key)):
        block = blocked(sought, option)
        if block is None:
            free[option.key, option.item] = option
        else:
            waiting.append(Waiting(option, block, _opening(sought, block)))
    best = min((one.value for one in free.values()), default=float("inf"))
    for one in waiting:
        if one.opens is not None and one.option.value + one.opens.cost <= best * (1.0 + TIE):
            _open(free, one)
    options = sorted(free.values(), key=lambda one: (one.value, one.key))
    return Offered(_tied(options), _worth_it(waiting, options))


def _cleared_dead(sought: Sought) -> Iterator[Option]:
    """What is left of a trouble that is gone and means "off": clear it dead."""
    state, looks = sought.state, []
    for symptom in off_symptoms(sought):
        looks += [one.id for one in dead_looks_at(symptom, sought.kind)]
    keys = [(look, "") for look in looks if look not in state.answered]
    for look in looks:
        if look in state.failed:
            fault = behind_look(sought, look, ())
            keys.append((first_way(sought, fault), fault))
    found = [option_of(sought, key, fault) for key, fault in dict.fromkeys(keys) if key]
    yield from (replace(one, value=one.cost) for one in found if one is not None)
    yield from (_of_move(sought, move) for move in sought.found.moves if move.sort == "help")


def _options(sought: Sought) -> list[Option]:
    options = [_of_move(sought, move) for move in sought.found.moves]
    for goal, value in try_first(sought).items():
        group = sought.suspects.groups[goal]
        key = "again" if sought.trouble is not None else f"group:{group}"
        again = sought.search.goals[goal].again
        options.append(Option("again", key, -1, again, value, goal=goal))
    return options


def _of_move(sought: Sought, move: Move) -> Option:
    option = Option(move.sort, move.key, move.item, move.cost, move.value, move.tie)
    if move.sort == "test":
        return replace(option, look=sought.looks[move.key])
    if move.sort == "treat":
        goal = sought.suspects.items[move.item].goal
        return replace(option, way=sought.ways[move.item, move.key], goal=goal)
    return replace(option, goal=move.item)


def _opening(sought: Sought, block: Block) -> Option | None:
    """The step that opens a blocked one, through those that open it in turn."""
    for _ in range(DEEPEST):
        option = option_of(sought, block.opens_with, block.fault) if block.opens_with else None
        if option is None:
            return None
        deeper = blocked(sought, option)
        if deeper is None:
            return option
        block = deeper
    return None


def _open(free: dict[tuple[str, int], Option], one: Waiting) -> None:
    """Offer an opening step, at the least cost that speaks for it."""
    assert one.opens is not None
    value = one.option.value + one.opens.cost
    key = one.opens.key, one.opens.item
    known = free.get(key)
    if known is None:
        free[key] = replace(one.opens, value=value)
    elif value < known.value:
        free[key] = replace(known, value=value)


def _tied(options: list[Option]) -> tuple[Option, ...]:
    """Mark those that cannot be told from the first; of these, what may end it comes first.

    A look that saves less than the sum can tell is not worth the owner's evening.
    """
    if not options:
        return ()
    best = options[0].value
    near = [one for one in options if one.value <= best * (1.0 + TIE)]
    far = options[len(near) :]
    near.sort(key=lambda one: (one.sort == "test", _asks(one), one.value, one.key))
    shared = len(near) > 1
    return (*(replace(one, tie=shared) for one in near), *(replace(o, tie=False) for o in far))


def _asks(option: Option) -> bool:
    """Whether a look only asks somebody, or judges a picture; one's own eyes come first."""
    return option.look is not None and option.look.stage in ("photo", "call")


def _worth_it(waiting: list[Waiting], options: list[Option]) -> tuple[Waiting, ...]:
    """Those that wait and would be among the better half of what is offered, best first."""
    middle = options[len(options) // 2].value if options else float("inf")
    return tuple(one for one in waiting if one.option.value <= middle)[:MOST_HELD]
