"""The facts of two at once: what met something that its writer had not seen."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal


@dataclass(frozen=True, slots=True, kw_only=True)
class SetAside:
    """What somebody wanted kept in the place of something he had not seen; it waits for a word."""

    KIND: ClassVar[str] = "set_aside"
    SCHEMA: ClassVar[int] = 1
    of: tuple[str, ...]  # ids of what stood there when it came
    kinds: tuple[str, ...]  # of what was wanted, one for each of them
    wanted: tuple[str, ...]  # each as canonical JSON
    path: str  # where its form goes
    form: tuple[tuple[str, str], ...] = ()  # name and value, as typed; held:NAME is a kept file
    late: bool = False  # it had waited on its device
    decided: Literal["", "mine", "theirs"] = ""


Meeting = SetAside
"""Every fact of this room."""
