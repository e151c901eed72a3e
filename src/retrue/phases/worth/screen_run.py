"""A run over a catalogue in the shop: free parts are taken, done and kept, till none is left."""

from __future__ import annotations

from collections.abc import Callable, Generator, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass
from datetime import datetime
from typing import Unpack

from retrue.base.refusals import Overtaken
from retrue.cases.screen.parts import Part, PartDone, Spread
from retrue.kinds.library import Kind
from retrue.phases.worth.screen_work import (
    begun_of,
    begun_with_parts,
    keep_part,
    leave_part,
    may_be_taken,
    take_part,
)
from retrue.phases.worth.screening import library_of
from retrue.records.hand import Hand, without_id
from retrue.records.screening import Screening, Share
from retrue.records.shop import Record, RecordShop

MOST_TURNS = 8  # times as many parts as are worked on at once are taken together


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """A run of somebody on one computer.

    Attributes
    ----------
    shop : RecordShop
    begun : Screening
        What it works for; begun anew by somebody, it ends.
    parts : tuple of Part
    kinds : mapping of str to Kind
    worker : str
    clock : callable
    at_once : int
        Parts that are worked on at once.
    going : callable
        Whether whoever started it still wants it.
    hand : Hand
    """

    shop: RecordShop
    begun: Screening
    parts: tuple[Part, ...]
    kinds: Mapping[str, Kind]
    worker: str
    clock: Callable[[], datetime]
    at_once: int
    going: Callable[[], bool]
    hand: Hand

    def goes_on(self) -> bool:
        """Whether it is still wanted, by who started it and by the shop."""
        if not self.going():
            return False
        now = begun_of(self.shop, self.begun.catalogue)
        return now is not None and now.fact == self.begun

    def shares(self) -> dict[int, Record[Share]]:
        """Who has or had which part."""
        begun = self.begun
        every = self.shop.current(Share, catalogue=begun.catalogue, key=begun.key)
        return {one.fact.part: one for one in every}


def run_parts(
    shop: RecordShop,
    catalogue: str,
    kinds: Mapping[str, Kind],
    spread: Spread,
    *,
    worker: str,
    clock: Callable[[], datetime],
    going: Callable[[], bool] = lambda: True,
    at_once: int = 1,
    seed: int | None = None,
    worlds: int | None = None,
    again: bool = False,
    told: Callable[[int, int], None] = lambda done, parts: None,
    **hand: Unpack[Hand],
) -> int:
    """Screen a catalogue together with whoever else does: take a free part, work, keep it.

    Parameters
    ----------
    shop : RecordShop
    catalogue : str
        Name or id.
    kinds : mapping of str to Kind
    spread : Spread
        What works on parts: this process, several, a cluster.
    worker : str
        A name for this run on this computer, unlike any other: a random one.
    clock : callable
    going : callable
        False: no more is begun, and what is in hand is given back.
    at_once : int
        Parts that ``spread`` works on at once; up to eight times as many are taken together.
    seed, worlds, again
        As of `begin_screening`.
    told : callable
        Called after each part with how many are done, by anybody, and how many there are.
    **hand : Hand

    Returns
    -------
    int
        Parts done by this run. None is free any more, or it was stopped, or nobody wants it now.

    Raises
    ------
    Overtaken
        As of `begin_screening`; or another computer reckons otherwise.

    References
    ----------
    Polychronopoulos and Kuck 1987, Guided self-scheduling, IEEE Transactions on Computers C-36(12):
    each takes a share of what is left, so that all end together.
    """
    mine = without_id(hand)
    begun, parts = begun_with_parts(shop, catalogue, kinds, seed, worlds, again, mine)
    run = Run(shop=shop, begun=begun.fact, parts=parts, kinds=library_of(shop, kinds),
              worker=worker, clock=clock, at_once=at_once, going=going, hand=mine)  # fmt: skip
    done = 0
    while run.goes_on() and (claimed := _claimed(run)):
        with closing(_worked(run, claimed, spread)) as answers:
            for _ in answers:
                done += 1
                told(_done_by_all(run), len(parts))
    return done


def _claimed(run: Run) -> list[Part]:
    """A share of the parts that are free, no more than are soon done."""
    shares, now = run.shares(), run.clock()
    free = [
        part for part in run.parts
        if part.number not in shares or may_be_taken(shares[part.number], now)
    ]  # fmt: skip
    most = max(run.at_once, min(len(free) // 4, MOST_TURNS * run.at_once))
    mine: list[Part] = []
    for part in free:
        if len(mine) == most:
            break
        try:
            take_part(run.shop, run.begun, part.number, worker=run.worker, now=now, **run.hand)
        except Overtaken:
            continue
        mine.append(part)
    return mine


def _worked(run: Run, mine: Sequence[Part], spread: Spread) -> Generator[PartDone, None, None]:
    """Each part as it is done and kept; those that were not are given back, however it ends."""
    # Only who works on parts needs what prices them.
    from retrue.cases.screen.score import score_part

    left = {part.number for part in mine}
    answers = spread.run(score_part, mine, run.kinds)
    try:
        for one in answers:
            keep_part(run.shop, run.begun, one, **run.hand)
            left.discard(one.number)
            yield one
            if not run.goes_on():
                return
    finally:
        if isinstance(answers, Generator):
            answers.close()
        for number in sorted(left):
            leave_part(run.shop, run.begun, number, worker=run.worker, **run.hand)


def _done_by_all(run: Run) -> int:
    return sum(one.fact.state == "done" for one in run.shares().values())
