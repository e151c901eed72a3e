"""How far a stage is: begun, signed, aborted, at which step; folded from what was kept of it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from retrue.kinds.waking import RunInStep, Stage
from retrue.records.seeking import Act
from retrue.records.shop import Record
from retrue.records.stripping import Taken
from retrue.records.waking import CauseFound, StageBegun, StageEnded

Change = Literal["off", "repaired"]
REPAIRS = ("clean", "adjust", "repair", "replace", "send_out")
WIRING = ("wire", "connector")
TOO_MANY = 2  # aborts in a row, after which it is taken apart


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """How far one stage is.

    Attributes
    ----------
    stage : Stage
    signed : bool
        All of it, and nothing has come off since that opens it again.
    begun : Record or None
        Of what is going on.
    ended : Record or None
        The newest end.
    aborts : int
        In a row.
    strip : bool
        Aborted twice, and nothing taken off or repaired since.
    uncaused : Record or None
        The abort whose cause nobody has found yet.
    step : int or None
        Of the run-in: going on, or next; None where it has no steps.
    begins : tuple of str
        Ids of the starts whose attended hours count.
    starts : tuple of Record
        Those starts.
    proof : Record or None
        The start that was signed last.
    since : int
        Place in the order of records since which what was read counts.
    tried : bool
        It was begun once, with its bands written: so the machine has what it wakes.
    """

    stage: Stage
    signed: bool = False
    begun: Record[StageBegun] | None = None
    ended: Record[StageEnded] | None = None
    aborts: int = 0
    strip: bool = False
    uncaused: Record[StageEnded] | None = None
    step: int | None = None
    begins: tuple[str, ...] = ()
    proof: Record[StageBegun] | None = None
    since: int = -1
    tried: bool = False
    starts: tuple[Record[StageBegun], ...] = ()


@dataclass(slots=True)
class _Fold:
    """The running state of one stage."""

    last_step: int | None
    signed: bool = False
    begun: Record[StageBegun] | None = None
    ended: Record[StageEnded] | None = None
    aborts: int = 0
    strip: bool = False
    uncaused: Record[StageEnded] | None = None
    step: int = 1
    starts: tuple[Record[StageBegun], ...] = ()
    proof: Record[StageBegun] | None = None
    since: int = -1
    tried: bool = False

    def change(self, seq: int, change: Change) -> None:
        if self.strip:
            self.strip, self.aborts = False, 0
        if change == "off":
            self.signed, self.begun, self.step, self.starts, self.proof = False, None, 1, (), None
            self.since = seq

    def take(self, record: Record[Any]) -> None:
        fact = record.fact
        if isinstance(fact, StageBegun):
            self.begun, self.signed = record, False
            self.tried = self.tried or bool(fact.bands)
            self.starts = (*self.starts, record)
        elif isinstance(fact, CauseFound):
            if self.uncaused is not None and fact.ended == self.uncaused.id:
                self.uncaused = None
        elif self.begun is not None and fact.begun == self.begun.id:
            self._end(record, self.begun.fact.step)

    def _end(self, record: Record[StageEnded], step: int | None) -> None:
        self.ended, was, self.begun = record, self.begun, None
        if record.fact.how == "signed":
            self.proof = was
            if self.last_step is None or step is None or step >= self.last_step:
                self.signed, self.aborts = True, 0
            else:
                self.step = step + 1
        elif record.fact.how == "aborted":
            self.aborts += 1
            self.uncaused, self.starts = record, ()
            self.strip = self.aborts >= TOO_MANY
            self.step = _lower(step) if step else 1


def _lower(step: int) -> int:
    # Only after an abort; what shows a ladder shall not wait for the sciences.
    from retrue.science.run_in import step_after_abort

    return step_after_abort(step)


def progress_of(
    stage: Stage,
    steps: Sequence[RunInStep],
    events: Iterable[Record[Any]],
    changes: Iterable[tuple[int, Change]],
) -> Progress:
    """Fold what was kept of one stage.

    Parameters
    ----------
    stage : Stage
    steps : sequence of RunInStep
        Of its run-in; empty: none.
    events : iterable of Record
        Starts, ends and causes of this stage that count, in any order.
    changes : iterable of (int, str)
        When the machine was changed, as :func:`changes_of` gives it.

    Returns
    -------
    Progress

    Notes
    -----
    An end counts only for the start that was going on: what was undone meanwhile makes that start
    void. A run-in goes on two steps lower after an abort, and begins anew once something came off.

    References
    ----------
    Second abort: strip. Common practice, no source.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> stage = load()["turning_centre"].stages["P3-L"]
    >>> progress_of(stage, (), (), ()).signed
    False
    """
    line: list[tuple[int, Any]] = [*((one.seq, one) for one in events), *changes]
    fold = _Fold(last_step=max((one.step for one in steps), default=None))
    for seq, what in sorted(line, key=lambda pair: pair[0]):
        if isinstance(what, str):
            fold.change(seq, "off" if what == "off" else "repaired")
        else:
            fold.take(what)
    step = fold.begun.fact.step if fold.begun else fold.step
    return Progress(
        stage=stage, signed=fold.signed, begun=fold.begun, ended=fold.ended, aborts=fold.aborts,
        strip=fold.strip, uncaused=fold.uncaused, step=step if steps else None,
        begins=tuple(one.id for one in fold.starts), proof=fold.proof, since=fold.since,
        tried=fold.tried, starts=fold.starts,
    )  # fmt: skip


def changes_of(
    stage: Stage, taken: Iterable[tuple[int, Taken]], acts: Iterable[tuple[int, Act]]
) -> tuple[tuple[int, Change], ...]:
    """When a machine was changed so that a stage is open again, or may be tried again.

    Parameters
    ----------
    stage : Stage
    taken : iterable of (int, Taken)
        What was undone, with its place in the order of records.
    acts : iterable of (int, Act)
        Likewise what was done.

    Returns
    -------
    tuple of (int, str)
        off: it is signed anew; repaired: only "strip" is lifted. What a licensed person signed
        of live work stands unless a wire or a connector came off.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> stages = load()["turning_centre"].stages
    >>> hose = Taken(lot="l", machine="m", place="hydraulics", sort="hose", code="AB12CD34")
    >>> [changes_of(stages[id], [(7, hose)], ())[0][1] for id in ("P0-L", "P1-L")]
    ['off', 'repaired']
    """
    found: list[tuple[int, Change]] = [
        (seq, "repaired" if stage.live and one.sort not in WIRING else "off") for seq, one in taken
    ]
    found += [(seq, "repaired") for seq, one in acts if one.sort in REPAIRS]
    return tuple(found)
