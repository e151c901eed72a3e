"""Every way the house says no.

* Refusal
  - Unreadable    a file cannot be read: missing, empty, huge, wrong encoding, not what it claims
  - Unusable      values were read but cannot be used; every bad field is named
    - TooHard     the mathematics cannot answer this question at all
  - Unknown       no such kind, check, lot, machine, record
  - NotYet        a step is out of order
  - Overtaken     somebody else wrote first, or wrote something else under this id
  - NotAllowed    this device or this page may not do that
  - TooOften      somebody asks more often than the limit; later it goes on
  - NotKept       the store could not keep it: full, read-only, newer than us, on a network drive
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong with one field: where it stands and what is wrong with it."""

    where: str
    what: str
    remedy: str = ""

    def __str__(self) -> str:
        tail = f" {self.remedy}" if self.remedy else ""
        return f"{self.where}: {self.what}.{tail}"


class Refusal(Exception):
    """We decline, and say what would help."""

    def __init__(self, reason: str, *, remedy: str, problems: tuple[Problem, ...] = ()) -> None:
        super().__init__(reason)
        self.reason = reason
        self.remedy = remedy
        self.problems = problems


class Unreadable(Refusal):
    """A file cannot be read: missing, empty, huge, wrong encoding, not what it claims."""


class Unusable(Refusal):
    """Values were read but cannot be used; every bad field is named."""


class TooHard(Unusable):
    """The mathematics cannot answer this question at all."""


class Unknown(Refusal):
    """No such kind, check, lot, machine, record."""


class NotYet(Refusal):
    """A step is out of order."""


class Overtaken(Refusal):
    """Somebody else wrote first, or wrote something else under this id."""


class NotAllowed(Refusal):
    """This device or this page may not do that."""


class TooOften(Refusal):
    """Somebody asks more often than the limit; later it goes on."""

    wait_s: int = 1  # after which one may ask again


class NotKept(Refusal):
    """The store could not keep it: full, read-only, newer than us, on a network drive."""
