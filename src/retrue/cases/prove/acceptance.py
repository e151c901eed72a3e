"""The newest word of every test of one machine, as a sheet of paper or a list tells it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class AcceptanceRow:
    """One line of the acceptance sheet: what was read, ``when`` and ``by`` whom.

    ``ruling`` is empty where nothing was judged; ``why`` then says so, as "not tested".
    """

    test: str
    title: str
    value: float | None = None
    unit: str = ""
    uncertainty: float | None = None
    limit: float | None = None
    mark: str = ""
    ruling: str = ""
    why: str = ""
    when: datetime | None = None
    by: str = ""
    instrument: str = ""
    standard: str = ""
    edition: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Acceptance:
    """The newest word of every test of one machine; what is provisional stands apart."""

    lot: str
    machine: str
    rows: tuple[AcceptanceRow, ...]
    provisional: tuple[str, ...]
    cautions: tuple[str, ...]
