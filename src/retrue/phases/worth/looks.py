"""A photograph and what can be said of it: its view, its machine, its four to six chips."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from retrue.base.say import say
from retrue.kinds.library import Chip, Kind, Shot
from retrue.phases.worth.lots import LotView
from retrue.records.facts import File
from retrue.records.shop import Record

NOTHING_BAD = "nothing_bad"
CANT_TELL = "cant_tell"
FEWEST_CHIPS = 4  # a view that can answer less is of another type of machine
BOTH = " / "  # between the words of two chips that answer one look


@dataclass(frozen=True, slots=True)
class Answer:
    """One key below a picture: its words, all that one tap on it says, and what it said.

    ``key`` is what a form sends: the words themselves, or nothing_bad, cant_tell; ``kept`` holds
    the ids of the findings it left, for taking them back.
    """

    key: str
    words: str
    says: tuple[Chip, ...]
    kept: tuple[str, ...] = ()

    @property
    def tapped(self) -> bool:
        """Something it said still counts."""
        return bool(self.kept)


@dataclass(frozen=True, slots=True)
class Look:
    """One photograph with what can be said of it.

    Attributes
    ----------
    id : str
        Of the photograph's first record; findings name it.
    file : Record of File
    shot : Shot or None
        None: nobody has said what it shows; then ``views`` are offered.
    machine : str or None
        Its machine's name.
    answers : tuple of Answer
        Four to six chips, then "nothing bad" and "can't tell"; empty while unsorted.
    views : tuple of Shot
        What it may be, for this machine's kind.
    judged : bool
        Something was said of it.
    left : int
        Photographs of the lot still unjudged, this one counted.
    """

    id: str
    file: Record[File]
    shot: Shot | None
    machine: str | None
    answers: tuple[Answer, ...]
    views: tuple[Shot, ...]
    judged: bool
    left: int


def look_at(
    view: LotView,
    key: str,
    record: Record[File],
    said: list[tuple[str, str]],
    kinds: Mapping[str, Kind],
    left: int,
) -> Look:
    """Put a photograph together with its answers and what was said of it so far."""
    file = record.fact
    only = view.machines[0][0] if len(view.machines) == 1 else None
    machine = file.machine or only
    shots = shots_of(view, kinds, machine)
    shot = shots.get(file.shot or "")
    name = next((m.fact.name for at, m in view.machines if at == machine), None)
    answers = _answers(shot, said) if shot else ()
    return Look(key, record, shot, name, answers, tuple(shots.values()), bool(said), left)


def shots_of(view: LotView, kinds: Mapping[str, Kind], machine: str | None) -> dict[str, Shot]:
    """What a picture may show: general views first, then the pictures worth asking for."""
    shots = {
        shot.id: shot
        for key, record in view.machines
        if machine in (None, key) and record.fact.kind in kinds
        for shot in kinds[record.fact.kind].shots.values()
        if len({chip.words for chip in shot.chips}) >= FEWEST_CHIPS
    }
    return dict(sorted(shots.items(), key=lambda pair: (not pair[1].view, pair[0])))


def _answers(shot: Shot, said: list[tuple[str, str]]) -> tuple[Answer, ...]:
    """The keys below a picture: its chips by their words, then nothing bad, then can't tell."""
    words = list(dict.fromkeys(chip.words for chip in shot.chips))
    keys = [
        (word, word, tuple(chip for chip in shot.chips if chip.words == word)) for word in words
    ]
    for key, word, answer in (
        (NOTHING_BAD, say("nothing bad"), "not_seen"),
        (CANT_TELL, say("can't tell"), "cant_tell"),
    ):
        fill = tuple(
            Chip(words=word, target="check", id=check, answer=answer) for check in shot.checks
        )
        keys.append((key, word, fill))
    return tuple(
        Answer(key, word, says, tuple(id for id, text in said if word in text.split(BOTH)))
        for key, word, says in keys
    )
