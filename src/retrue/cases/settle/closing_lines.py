"""A machine about to be closed, or closed: its table, and what the tables learn from it."""

from __future__ import annotations

from dataclasses import dataclass

from retrue.cases.settle.closed_case import ClosedCase
from retrue.kinds.learned import Family
from retrue.kinds.learned_ranges import MovedRange


@dataclass(frozen=True, slots=True, kw_only=True)
class Closing:
    """One machine: guessed, was, and what is said next time.

    Attributes
    ----------
    case : ClosedCase
        As it stands today, or as it was closed.
    closed_on : str
        ISO date; empty: it is not closed.
    changes : str
        What we change, in the owner's words.
    still : float
        Money still to come, on average, if it is closed today.
    waits : tuple of str
        What is still open, in words; nothing of it forbids closing.
    seen : int
        Faults whose truth somebody saw.
    moved : tuple of MovedRange
        Ranges before, and after this machine and all that were closed before it.
    families : tuple of Family
        Counts of faults by family, of all machines that count.
    others : int
        Machines of other shops among what was learned from.
    """

    lot: str
    lot_name: str
    machine: str
    machine_name: str
    case: ClosedCase
    closed_on: str = ""
    changes: str = ""
    still: float = 0.0
    waits: tuple[str, ...] = ()
    seen: int = 0
    moved: tuple[MovedRange, ...] = ()
    families: tuple[Family, ...] = ()
    others: int = 0
