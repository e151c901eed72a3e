"""Evening by evening through many runs at once: nobody idles while there is a card he can do."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from retrue.plan.blocks import AFTER_ALL, NEVER
from retrue.plan.calendar import QUARTERS_A_DAY, days_after
from retrue.plan.ground import BEGUN, TASK, Ground, Lot, Whole, drawn
from retrue.plan.jobs import Draws
from retrue.plan.waited import Waited
from retrue.plan.walked import Walked

Floats = NDArray[np.float64]
Numbers = NDArray[np.int64]
Marks = NDArray[np.bool_]
FEWER = 0.7  # as soon as so few of the runs still go on, the others are put aside


def walk(made: Ground, priority: Sequence[str], draws: Draws, *, why: bool = False) -> Walked:
    """Walk through every run that was drawn.

    Parameters
    ----------
    made : Ground
    priority : sequence of str
        Keys of tasks, the most pressing first.
    draws : Draws
        What the tasks took in every run, shape (worlds,) each.
    why : bool
        Keep what each task waited for.

    Returns
    -------
    Walked

    Notes
    -----
    Who is there takes the most pressing card that can be done: all before it done and waited for,
    people and things free; first what needs people who are rarely there together, then what was
    begun, then by the list. What may be broken off goes on whenever its people are there again;
    what may not is begun only where it fits into the time its people stay, and where it takes
    longer than they ever stay it runs over. A task with nothing to do passes at once. Where
    places are held so that nothing goes on any more, they are cleared.

    References
    ----------
    Parallel schedule generation, Kelley 1963, Kolisch 1996; on calendars, with work that is broken
    off, our own.

    Examples
    --------
    >>> from datetime import datetime
    >>> from retrue.plan.ground import ground
    >>> from retrue.plan.jobs import Hands, Schedule, Task
    >>> me = Hands(name="me", evenings=((3, 20.0, 22.0), (4, 20.0, 22.0)))
    >>> late = Task(key="b", machine="V", hours=1.0, not_before=3.0)
    >>> shop = Schedule(start=datetime(2026, 11, 26), hands=(me,),
    ...                 tasks=(late, Task(key="a", machine="V", hours=1.0)))
    >>> draws = Draws(worlds=2, not_before={"b": np.array([3.0, 0.0])})
    >>> walk(ground(shop), ("b", "a"), draws).ends["a"].tolist()
    [0.875, 0.9166666666666666]
    """
    lists = np.array(made.numbers(priority), dtype=np.int64)
    return walk_lists(made, lists, drawn(made, draws), why=why)


def walk_lists(made: Ground, lists: Numbers, lot: Lot, *, why: bool = False) -> Walked:
    """The same for what is prepared; by one list, or by one for every run.

    Parameters
    ----------
    made : Ground
    lists : ndarray, shape (jobs,) or (worlds, jobs)
        Numbers of the jobs, the most pressing first.
    lot : Lot
    why : bool

    Returns
    -------
    Walked
    """
    walker = _Walk(made, lot, made.scores(lists), why)
    walker.play()
    net = made.net
    shift = days_after(net.schedule.start, 0)
    last: dict[str, Whole] = {}
    for at, job in enumerate(net.jobs):
        if job.machine and job.good_part:
            row = walker.ended[at]
            last[job.machine] = np.maximum(last[job.machine], row) if job.machine in last else row
    days = {
        machine: np.asarray(row / QUARTERS_A_DAY + shift + lot.run_in_days[machine])
        for machine, row in last.items()
    }
    return Walked(made, lot, walker.began, walker.ended, walker.who, walker.given, days,
                  walker.waited, walker.pieces)  # fmt: skip


class _Walk:
    """One walk; every run has a clock of its own, at the next moment at which anything changes."""

    def __init__(self, made: Ground, lot: Lot, scores: Whole, why: bool) -> None:
        self.made, self.lot = made, lot
        jobs, worlds = lot.sizes.shape
        net = made.net
        self.began = np.full((jobs, worlds), AFTER_ALL, dtype=np.int32)
        self.ended = self.began.copy()
        self.who = np.zeros((jobs, worlds), dtype=np.int32)
        self.given = np.zeros(worlds, dtype=np.int32)
        self.waited = Waited.empty(made, worlds) if why else None
        self.pieces: dict[int, list[tuple[int, int]]] = {}
        self.ids = np.arange(worlds)
        self.left = lot.sizes.copy()
        self.ready = np.full((jobs, worlds), NEVER, dtype=np.int32)
        self.over = lot.gates.copy()  # of what comes before, as far as it is done
        before = np.array([len(job.before) for job in net.jobs], dtype=np.int32)
        self.waits = np.repeat(before[:, None], worlds, axis=1)
        self.begun = np.zeros((jobs, worlds), dtype=bool)
        self.score = np.repeat(scores, worlds, axis=1) if scores.shape[1] == 1 else scores.copy()
        self.open = np.zeros(jobs, dtype=np.int64)  # runs in which a job is to do, or soon
        self.todo = np.full(worlds, jobs)
        self.block = np.full(worlds, np.searchsorted(made.blocks.ends, net.start, "right"))
        self.now = np.maximum(made.blocks.begins[self.block], np.int32(net.start))
        self.held = np.zeros((len(net.counts), worlds), dtype=np.int32)
        for thing, count, _ in net.held:
            self.held[thing] += np.int32(count)
        self.counts = np.array(net.counts, dtype=np.int32)[:, None]
        self.holders = np.flatnonzero(made.crews.holds.any(axis=1)).tolist()
        self.table: _Table | None = None
        people = max(len(net.schedule.hands), 1)
        self.slots = np.full((people, worlds), -1)
        self.crew = np.zeros((people, worlds), dtype=np.int32)

    def play(self) -> None:
        first = np.flatnonzero(self.waits.ravel() == 0)
        self._finish(*self._opened(first))
        while self._compact():
            self._step()

    def _compact(self) -> bool:
        """Put aside runs that are through, when there are many; tell whether any goes on."""
        on = (self.todo > 0) & (self.block < len(self.made.blocks.begins) - 1)
        left = int(on.sum())
        if left and left > FEWER * len(on):
            return True
        keep = np.flatnonzero(on)
        jobs, worlds = np.nonzero(self.ready < NEVER)
        np.subtract.at(self.open, jobs[~on[worlds]], 1)
        for name in ("left", "ready", "over", "waits", "begun", "score", "held", "slots", "crew"):
            setattr(self, name, np.ascontiguousarray(getattr(self, name)[:, keep]))
        for name in ("ids", "todo", "block", "now"):
            setattr(self, name, getattr(self, name)[keep])
        return left > 0

    def _step(self) -> None:
        """Let everybody take what he can do, and go to the next moment at which that changes."""
        cols = np.flatnonzero(self.open)
        ready = self.ready.take(cols, axis=0)
        able = ready <= self.now
        soon = np.where(able, NEVER, ready).min(axis=0, initial=NEVER)
        self._man(cols, able.copy())
        stuck = self._stuck(cols)
        until = np.minimum(self.made.blocks.ends[self.block], soon)
        runs = np.arange(len(self.ids))
        for row in self.slots:
            on = row >= 0
            rest = self.left[np.where(on, row, 0), runs]
            until = np.minimum(until, np.where(on, self.now + rest, NEVER))
        until = np.where(stuck, self.now, until)
        self._advance(cols, able, until)

    def _table(self, cols: Numbers) -> _Table:
        """That of the jobs to do now; while they stay the same only their scores change."""
        if self.table is None or not np.array_equal(self.table.cols, cols):
            self.table = _Table(self, cols)
        else:
            self.table.score = self.score.take(cols, axis=0)
        return self.table

    def _man(self, cols: Numbers, able: Marks) -> None:
        """Fill the hands of all who are there, one after the other."""
        made, crews, table = self.made, self.made.crews, self._table(cols)
        free = made.blocks.present[self.block]
        rest = made.blocks.here[:, self.block] * table.counts - self.held
        for row, crew in zip(self.slots, self.crew, strict=True):
            on = np.flatnonzero(row >= 0)
            able[table.place[row[on]], on] = False
            free = free & ~np.where(row >= 0, crew, 0)
            rest[:, on] -= crews.takes[row[on]].T
        for _ in range(len(self.slots)):
            if not bool(np.any(table.usable[free])):
                break
            best = table.best(able, free, rest)
            runs = np.flatnonzero(best)
            if not runs.size:
                break
            jobs = (best[runs] & TASK).astype(np.int64)
            crew = self._crew(jobs, runs, free[runs])
            slot = (self.slots[:, runs] < 0).argmax(axis=0)
            self.slots[slot, runs], self.crew[slot, runs] = jobs, crew
            able[table.place[jobs], runs] = False
            free[runs] &= ~crew
            rest[:, runs] -= crews.takes[jobs].T
            self._begin(jobs, runs, crew, rest)

    def _crew(self, jobs: Numbers, runs: Numbers, free: Whole) -> Whole:
        """Who takes a job: whom one can spare; who stays long enough, where it goes in one go."""
        crew = self.made.crews.pick[jobs, free]
        whole = (self.made.least[jobs] > 0) & ~self.begun[jobs, runs]
        for at in np.flatnonzero(whole):
            job, run = int(jobs[at]), int(runs[at])
            block, size = self.block[run], min(self.left[job, run], self.made.least[job])
            for one in self.made.crews.crews[job]:
                room = self.made.blocks.stays[one, block] - self.now[run]
                enough = min(size, self.made.blocks.longest[one, block])
                if one & free[at] == one and room >= enough:
                    crew[at] = one
                    break
        return crew

    def _begin(self, jobs: Numbers, runs: Numbers, crew: Whole, rest: Whole) -> None:
        new = ~self.begun[jobs, runs]
        jobs, runs = jobs[new], runs[new]
        self.who[jobs, self.ids[runs]] = crew[new]
        self.begun[jobs, runs] = True
        self.score[jobs, runs] += np.int32(BEGUN)
        self.began[jobs, self.ids[runs]] = self.now[runs]
        held = self.made.crews.holds[jobs].T
        self.held[:, runs] += held
        rest[:, runs] -= held

    def _stuck(self, cols: Numbers) -> Marks:
        """Runs in which nothing can go on whoever comes: what is held there is cleared away."""
        idle = np.asarray((self.slots < 0).all(axis=0) & (self.held > 0).any(axis=0))
        runs = np.flatnonzero(idle)
        if runs.size:
            table = self._table(cols)
            wide = np.full(len(self.ids), self.made.crews.people - 1)
            can = table.best(self.ready.take(cols, axis=0) < NEVER, wide,
                             table.counts - self.held, fit=False) > 0  # fmt: skip
            idle &= ~can
            self.held[:, idle] = 0
            self.given[self.ids[idle]] += 1
        return idle

    def _advance(self, cols: Numbers, able: Marks, until: Whole) -> None:
        blocks = self.made.blocks
        passed = until - self.now
        ended_jobs, ended_runs = [], []
        for row in self.slots:
            runs = np.flatnonzero(row >= 0)
            jobs = row[runs]
            rest = self.left[jobs, runs] - passed[runs]
            self.left[jobs, runs] = rest
            ended_jobs.append(jobs[rest == 0])
            ended_runs.append(runs[rest == 0])
        if self.waited is not None and self.ids[0] == 0:
            self._note(int(until[0]))
        before, block = self.now, self.block
        last = len(blocks.begins) - 1
        self.block = np.minimum(block + (until >= blocks.ends[block]), last)
        self.now = np.maximum(until, blocks.begins[self.block])
        if self.waited is not None:
            over = self.left.take(cols, axis=0) == 0
            time = np.where(able, np.where(over, passed, self.now - before), np.int32(0))
            self.waited.add(self.ids, cols, time, self.slots, blocks.present[block],
                            blocks.here[:, block])  # fmt: skip
        jobs, runs = np.concatenate(ended_jobs), np.concatenate(ended_runs)
        whole = self.made.unbroken[self.slots] & (self.slots >= 0) & (self.now == until)
        whole &= (self.crew & blocks.present[self.block]) == self.crew
        whole &= self.left[np.maximum(self.slots, 0), np.arange(len(self.ids))] > 0
        self.slots = np.where(whole, self.slots, -1)
        np.subtract.at(self.open, jobs, 1)
        self._finish(jobs, runs, until[runs])

    def _note(self, until: int) -> None:
        """What the first run works at until the next moment, on to what it was before."""
        now = int(self.now[0])
        for job in self.slots[:, 0].tolist():
            if job >= 0:
                mine = self.pieces.setdefault(job, [])
                begin = mine.pop()[0] if mine and mine[-1][1] == now else now
                mine.append((begin, until))

    def _opened(self, flat: Numbers) -> tuple[Numbers, Numbers, Whole]:
        """Jobs with all before them done: to be worked at; with nothing to do, over."""
        jobs, runs = np.divmod(flat, len(self.ids))
        some = self.left.ravel()[flat] > 0
        self.ready.ravel()[flat[some]] = self.over.ravel()[flat[some]]
        np.add.at(self.open, jobs[some], 1)
        jobs, runs = jobs[~some], runs[~some]
        at = self.over[jobs, runs]
        self.began[jobs, self.ids[runs]] = at
        return jobs, runs, at + self.made.solo[jobs]

    def _finish(self, jobs: Numbers, runs: Numbers, at: Whole) -> None:
        """Tell all that comes after; what of it has nothing to do is over too."""
        made, worlds = self.made, len(self.ids)
        while jobs.size:
            self.ready[jobs, runs] = NEVER
            self.ended[jobs, self.ids[runs]] = at
            np.subtract.at(self.todo, runs, 1)
            self._let_go(jobs, runs)
            degree = made.degree[jobs]
            which = np.repeat(np.arange(len(jobs)), degree)
            nth = np.arange(len(which)) - np.repeat(np.cumsum(degree) - degree, degree)
            edge = made.first[jobs[which]] + nth
            run = runs[which]
            flat = made.to[edge] * worlds + run
            np.maximum.at(self.over.ravel(), flat, at[which] + self.lot.lags[edge, self.ids[run]])
            np.subtract.at(self.waits.ravel(), flat, 1)
            jobs, runs, at = self._opened(np.unique(flat[self.waits.ravel()[flat] == 0]))

    def _let_go(self, jobs: Numbers, runs: Numbers) -> None:
        """What was held until these jobs is free again."""
        net = self.made.net
        if not self.holders and not net.held:
            return
        for holder in self.holders:
            mine = runs[jobs == net.jobs[holder].until]
            mine = mine[self.begun[holder, mine]]
            self.held[:, mine] -= self.made.crews.holds[holder][:, None]
        for thing, count, until in net.held:
            self.held[thing, runs[jobs == until]] -= np.int32(count)
        np.maximum(self.held, 0, out=self.held)


class _Table:
    """The tables of who can do what, for the jobs that are to do now."""

    def __init__(self, walk: _Walk, cols: Numbers) -> None:
        crews = walk.made.crews
        self.walk, self.cols = walk, cols
        self.place = np.zeros(len(walk.left), dtype=np.int64)
        self.place[cols] = np.arange(len(cols))
        self.begin = crews.begin[cols]
        self.score = walk.score.take(cols, axis=0)
        self.usable = np.asarray((crews.pick[cols] > 0).any(axis=0))
        self.counts = walk.counts
        self.holders = np.flatnonzero(crews.holds[cols].any(axis=1))
        self.whole = np.flatnonzero(walk.made.least[cols] > 0)

    def best(self, able: Marks, free: Whole, rest: Whole, *, fit: bool = True) -> Whole:
        """The highest score that can be done in every run; 0: none."""
        crews, walk = self.walk.made.crews, self.walk
        state = free + (
            crews.strides[:, None] * np.clip(rest, 0, crews.caps[:, None])
        ).sum(axis=0)  # fmt: skip
        can = self.begin.take(state, axis=1)
        for at in self.holders:
            job = self.cols[at]
            can[at] = np.where(walk.begun[job], crews.go_on[job, state], can[at])
        can &= able
        for at in self.whole if fit else ():
            if can[at].any():
                can[at] &= self._fits(int(self.cols[at]), free)
        return np.asarray((can * self.score).max(axis=0, initial=0))

    def _fits(self, job: int, free: Whole) -> Marks:
        """Where somebody who is free stays long enough; what was begun goes on in any case."""
        walk, blocks = self.walk, self.walk.made.blocks
        found: Marks = walk.begun[job].copy()
        for crew in walk.made.crews.crews[job]:
            room = blocks.stays[crew, walk.block] - walk.now
            size = np.minimum(walk.left[job], walk.made.least[job])
            enough = np.minimum(size, blocks.longest[crew, walk.block])
            found |= ((free & crew) == crew) & (room >= enough)
        return found
