"""The plan of all machines: from cards to dates, rows, days of hire, and what broke."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

import numpy as np

from retrue.base.recalled import recalled
from retrue.base.refusals import Unusable
from retrue.base.say import ENGLISH, reader, say, speaking
from retrue.cases.alternatives import DAYS_A_YEAR, worth_of_work
from retrue.cases.fix.belief import Belief, belief_of
from retrue.cases.fix.broke import broken, broken_leads
from retrue.cases.fix.cards import cards_of
from retrue.cases.fix.choice_lines import StopLoss
from retrue.cases.fix.dates import NO_DATES, late_moment, order_now, range_of
from retrue.cases.fix.far import far_of, plan_of
from retrue.cases.fix.fine_print import fine_print
from retrue.cases.fix.hands import Staff
from retrue.cases.fix.hang_words import hangs_on
from retrue.cases.fix.hire import hire_days, hired_again, put_together
from retrue.cases.fix.kept import FixKept, MachineKept
from retrue.cases.fix.left import hours_left
from retrue.cases.fix.left_words import left_words, refused_lot
from retrue.cases.fix.lines import Card, Cards, Refused
from retrue.cases.fix.needed import needed
from retrue.cases.fix.no_date import lost_of
from retrue.cases.fix.plan_json import in_words, made_of
from retrue.cases.fix.plan_lines import MachineDates, PlanRow, PlanView
from retrue.cases.fix.schedule import Bundle, Laid, lay, longer
from retrue.cases.fix.stop_loss import stop_loss_of
from retrue.cases.fix.wall_clock import by_the_wall, on_the_wall
from retrue.cases.fix.worlds import card_draws, drawn_stage
from retrue.cases.prepare import Stage, chooser
from retrue.kinds.library import Kind
from retrue.plan.jobs import Order, Placed, Promise
from retrue.plan.player import Played, Player
from retrue.plan.solve import solve

Progress = Callable[[float, str], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """How a plan is made.

    Attributes
    ----------
    now : datetime
    seed, worlds : int
    seconds : float
        How long the solver may search.
    lead_times : float
        Every delivery takes so many times as long.
    """

    now: datetime
    seed: int = 7
    worlds: int = 2000
    seconds: float = 5.0
    lead_times: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Made:
    """One machine brought so far that it can be planned."""

    kept: FixKept
    machine: MachineKept
    cards: Cards
    bundle: Bundle
    stage: Stage
    stop_loss: StopLoss | None = None


def plan_of_all(
    lots: Sequence[FixKept],
    kinds: Mapping[str, Kind],
    staff: Staff,
    wish: Wish,
    *,
    before: PlanView | None = None,
    progress: Progress | None = None,
) -> PlanView:
    """Plan every machine that is worked for, together.

    Parameters
    ----------
    lots : sequence of FixKept
        Of one shop.
    kinds : mapping of str to Kind
    staff : Staff
    wish : Wish
    before : PlanView, optional
        The plan kept until now: of plans equally good the one nearest to it is taken, and
        promises it broke are told.
    progress : callable, optional
        Told a share from 0 to 1 and what is being done.

    Returns
    -------
    PlanView
    """
    language = reader()

    def tell(share: float, what: str) -> None:
        if progress:
            progress(share, recalled(what, language))

    with speaking(ENGLISH):  # it is kept in English, and read in the language of who reads it
        view = _plan_of_all(lots, kinds, staff, wish, before, tell)
    return in_words(view)


def _plan_of_all(
    lots: Sequence[FixKept], kinds: Mapping[str, Kind], staff: Staff, wish: Wish,
    before: PlanView | None, tell: Progress,
) -> PlanView:  # fmt: skip
    wish = replace(wish, now=wish.now.replace(second=0, microsecond=0))
    tell(0.0, say("reading the cards"))
    made, refused = _read(lots, kinds, wish)
    laid = lay([one.bundle for one in made], staff, wish.now)
    tell(0.15, say("looking for a good order"))
    order = _ordered(laid, staff, wish, before, tell)
    tell(0.85, say("playing it through"))
    view = _view(made, replace(laid, schedule=hired_again(laid.schedule)), order, staff, wish,
                 before, made_of(lots, staff))  # fmt: skip
    return replace(view, refused=(*refused, *view.refused))


def _read(
    lots: Sequence[FixKept], kinds: Mapping[str, Kind], wish: Wish
) -> tuple[list[Made], list[Refused]]:
    """All machines; a lot that contradicts itself is refused, as long as there is another."""
    made: list[Made] = []
    refused: list[Refused] = []
    for kept in lots:
        try:
            made += _made(kept, kinds, wish, kept is lots[0])
        except Unusable as wrong:
            if len(lots) == 1:
                raise
            refused.append(refused_lot(kept.lot_name, wrong))
    return made, refused


def _made(kept: FixKept, kinds: Mapping[str, Kind], wish: Wish, first_lot: bool) -> Iterator[Made]:
    mine = [one for one in kept.machines if one.worked_for]
    if not mine:
        return
    belief = belief_of(kept, kinds)
    stage = drawn_stage(kept, belief, wish.seed, wish.worlds)
    choices = chooser(stage)
    today = wish.now.date()
    for machine in mine:
        need = needed(kept, machine, belief, stage, first_lot=first_lot)
        cards = cards_of(kept, need, today)
        at = next(i for i, one in enumerate(kept.case.machines) if one.name == machine.name)
        far = far_of(machine.state, arrived=True)
        bundle = Bundle(
            cards=cards,
            draws=card_draws(stage, need, cards.cards, today),
            day_worth=_day_worth(kept, machine, belief, stage),
            call_out_days=machine.kind.estimates["call_out_days"].value,
        )
        plan = plan_of(machine.aim, need.level)
        stop = stop_loss_of(choices, at, plan, far, currency=kept.case.shop.currency)
        yield Made(kept=kept, machine=machine, cards=cards, bundle=bundle, stage=stage,
                   stop_loss=stop)  # fmt: skip


def _day_worth(kept: FixKept, machine: MachineKept, belief: Belief, stage: Stage) -> float:
    """What a day earlier is worth: the margin it earns; else what a day of waiting is taken for."""
    least = machine.kind.estimates["day_worth"].value
    if machine.aim not in ("keep", "new_control"):
        return least
    work = worth_of_work(kept.case, machine.kind, belief.settled, stage.drawer)
    margin = float(work.margin_a_year.mean()) / DAYS_A_YEAR
    return margin if margin > 0 else least


def _ordered(
    laid: Laid, staff: Staff, wish: Wish, before: PlanView | None, tell: Progress
) -> Order:
    """The order of all tasks, what is hired put together on few days."""
    was = order_before(before, laid) if before is not None else None

    def heard(share: float, what: str) -> None:
        tell(0.15 + 0.6 * share, say("looking for a good order"))

    order = solve(laid.schedule, seed=wish.seed, seconds=wish.seconds, progress=heard, before=was)
    tell(0.78, say("putting what is hired on the same days"))
    chances = {key: float((hours > 0).mean()) for key, hours in laid.draws.hours.items()}
    for name in sorted(staff.hire):
        order = put_together(laid.schedule, order, name, staff.day_costs, chances)
    return order


def order_before(before: PlanView, laid: Laid) -> Order:
    """The plan kept until now as an order of today's tasks.

    Parameters
    ----------
    before : PlanView
    laid : Laid

    Returns
    -------
    Order

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> order_before(SimpleNamespace(rows=(), priority=()), SimpleNamespace(task_of={})).placed
    ()
    """
    found: dict[str, Placed] = {}
    for row in before.rows:
        task = laid.task_of.get((row.card.machine, row.card.key))
        if task is not None and task not in found:
            zone = laid.schedule.start.tzinfo
            found[task] = Placed(
                key=task,
                people=row.people,
                begins=on_the_wall(row.begins).replace(tzinfo=zone),
                ends=on_the_wall(row.ends).replace(tzinfo=zone),
            )
    placed = tuple(sorted(found.values(), key=lambda one: one.begins))
    return Order(placed=placed, priority=tuple(key for key in before.priority if key in found))


def _view(
    made: Sequence[Made],
    laid: Laid,
    order: Order,
    staff: Staff,
    wish: Wish,
    before: PlanView | None,
    of: tuple[tuple[str, str], ...],
) -> PlanView:
    player = Player(laid.schedule, order)
    draws = laid.draws
    plain = None
    if wish.lead_times != 1.0:
        plain = player.promises(draws)
        draws = longer(laid, wish.lead_times)
    played = player.play(draws)
    start = laid.schedule.start
    promises = {one.machine: one for one in player.promises(draws, played)}
    currency = made[0].kept.case.shop.currency if made else "EUR"
    machines = tuple(
        _machine(one, promises.get(one.machine.key), replace(laid, draws=draws), player, wish)
        for one in made
    )
    refused = tuple(one for each in made for one in each.cards.refused)
    if plain is not None:
        lost = {one.machine.key: lost_of(one.bundle, laid, order.left_out).runs for one in made}
        was = {one.machine: range_of(one, start, lost[one.machine]).promise_on for one in plain}
        broke = broken_leads(machines, was, wish.lead_times)
    else:
        broke = broken(machines, {one.machine.key: one.cards for one in made}, before, of)
    return PlanView(
        at=wish.now.isoformat(timespec="seconds"),
        lots=tuple(dict.fromkeys(one.kept.lot for one in made)),
        machines=machines,
        rows=tuple(_rows(laid, player, played, staff.helper)),
        hire=tuple(day for name in sorted(staff.hire) for day in
                   hire_days(laid.schedule, order, name, laid.cards_of, staff.day_costs)),
        refused=(*refused, *left_words(order.left_out, laid.cards_of)),
        hands=tuple(one.name for one in staff.hands),
        proved=order.proved,
        by_rule=order.by_rule,
        gap=order.gap,
        seed=wish.seed,
        worlds=wish.worlds,
        currency=currency,
        broke=broke,
        fine=fine_print(staff, laid, order, wish.worlds),
        priority=order.priority,
        made_of=of,
    )  # fmt: skip


def _machine(
    one: Made, promise: Promise | None, laid: Laid, player: Player, wish: Wish
) -> MachineDates:
    key = one.machine.key
    lost = lost_of(one.bundle, laid, player.order.left_out)
    dates, never = NO_DATES, promise is None or bool(lost.runs.all())
    if promise is not None:
        dates = range_of(promise, laid.schedule.start, lost.runs)
    return MachineDates(
        machine=key,
        machine_name=one.machine.name,
        early_on=dates.early_on,
        even_on=dates.even_on,
        promise_on=dates.promise_on,
        expected_on=dates.expected_on,
        late_by=() if promise is None or never else hangs_on(promise, laid, key, laid.draws),
        order_now=() if never else
        order_now(one.bundle, laid, player, lead_times=wish.lead_times),
        stop_loss=one.stop_loss,
        hours_left=one.cards.hours,
        day_worth=one.bundle.day_worth,
        of_time=promise is not None and promise.of_time,
        why="" if dates.promise_on else lost.why or _no_promise(promise),
    )  # fmt: skip


def _no_promise(promise: Promise | None) -> str:
    if promise is None:
        return say("every card until its first good part is done")
    return say("more than one in ten of the ways it could go never come to an end of these "
               "evenings")  # fmt: skip


def _rows(laid: Laid, player: Player, played: Played, helper: str) -> Iterator[PlanRow]:
    """One row a card, in the order of the plan."""
    spare = player.slack()
    begins, ends = played.begins, played.ends
    start, draws = laid.schedule.start, laid.draws
    for one in player.order.placed:
        there = draws.hours.get(one.key, np.ones(draws.worlds)) > 0
        late = (
            late_moment(start, begins.get(one.key, np.zeros(len(there))), there, one.begins),
            late_moment(start, ends.get(one.key, np.zeros(len(there))), there, one.ends),
        )
        cards = laid.cards_of.get(one.key, ())
        for card in cards:
            helped = helper and (card.people > 1 or not card.alone)
            mine = part_of(one, card, cards)
            yield PlanRow(
                card=replace(card, steps=()),
                people=(*one.people, helper) if helped else one.people,
                begins=by_the_wall(mine.begins),
                ends=by_the_wall(mine.ends),
                late_begins=late[0],
                late_ends=late[1],
                slack_days=round(spare.get(one.key, 0.0), 2),
                pieces=tuple((by_the_wall(begin), by_the_wall(end)) for begin, end in mine.pieces),
            )


def part_of(placed: Placed, card: Card, cards: Sequence[Card]) -> Placed:
    """When one of the cards of a task is worked at: what is read before comes at its end.

    Parameters
    ----------
    placed : Placed
        The task.
    card : Card
    cards : sequence of Card
        All of the task.

    Returns
    -------
    Placed
        The opening ends where the reading begins, so that no hour is told twice; of what is only
        likely each may take the whole of it.
    """
    read = [one for one in cards if one.sort == "before" and one.state != "done"]
    if not read or len(read) == len(cards):
        return placed
    last = placed.pieces[-1] if placed.pieces else (placed.begins, placed.ends)
    minutes = max(1, round(60 * sum(hours_left(one) for one in read)))
    cut = max(last[1] - timedelta(minutes=minutes), last[0] + (last[1] - last[0]) / 2)
    cut = cut.replace(second=0, microsecond=0)
    if card in read:
        return replace(placed, begins=cut, ends=last[1], pieces=())
    pieces = (*placed.pieces[:-1], (last[0], cut)) if placed.pieces else ()
    return replace(placed, ends=cut, pieces=pieces)
