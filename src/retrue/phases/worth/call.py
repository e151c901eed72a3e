"""The telephone: questions with ready answers, and the five best questions as a text."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Unpack

from retrue.cases.case import LotCase
from retrue.cases.sheet import PriceSheet
from retrue.kinds.library import Kind, Question
from retrue.phases.worth.judge import Judged
from retrue.records.hand import Hand
from retrue.records.shop import RecordShop


@dataclass(frozen=True, slots=True)
class CallLine:
    """One question to one machine, with its ready answers and the one given."""

    machine: str
    question: Question
    given: int | None  # index of the option given, None: not asked yet


def call_sheet(shop: RecordShop, lot: str, kinds: Mapping[str, Kind]) -> list[CallLine]:
    """All questions of the telephone call, machine by machine."""
    ...


def answer_call(
    shop: RecordShop,
    lot: str,
    machine: str,
    question: str,
    option: int,
    kinds: Mapping[str, Kind],
    *,
    informant: str = "seller",
    seed: int = 7,
    worlds: int = 20000,
    **hand: Unpack[Hand],
) -> Judged:
    """Keep the answer to one question of the call, as told by the informant (grade 0).

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    question : str
        Q01 ...
    option : int
        Index of the ready answer, from 0.
    kinds : mapping of str to Kind
        The library.
    informant : str
        Who said it; his candour is one hidden thing for all he says.
    seed, worlds : int
        Of the price.
    **hand : Hand
        Who writes.

    Returns
    -------
    Judged
        Findings kept, price before and after. Asked again, the new answer takes the old one's place.
    """
    ...


def questions_for_seller(
    sheet: PriceSheet,
    case: LotCase,
    kinds: Mapping[str, Kind],
    *,
    language: str = "en",
    count: int = 5,
) -> str:
    """The best questions as a polite message in the seller's language.

    Parameters
    ----------
    sheet : PriceSheet
        Its questions, best first.
    case : LotCase
        For the names of lot and machines.
    kinds : mapping of str to Kind
        Texts of pictures to ask for and of telephone questions.
    language : str
        en, nl, fr, de.
    count : int
        How many at most.

    Returns
    -------
    str
        A message to paste: greeting, numbered questions, thanks.
    """
    ...
