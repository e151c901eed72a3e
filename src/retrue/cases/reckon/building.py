"""How an answer is put together: what is missing comes first, then what stands against it."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from retrue.base.formatter import number
from retrue.base.refusals import Refusal
from retrue.base.say import say
from retrue.cases.reckon.method import Field, Values, book_of
from retrue.cases.reckon.reckoning import (
    Against,
    Answer,
    Caution,
    Figure,
    Listing,
    Needed,
    Reckoning,
)

HEADS = {"move": "No-go: {reason}.", "fix": "No: {reason}."}  # else a reading, which is out


@dataclass(slots=True)
class Draft:
    """An answer in the making.

    ``values`` holds what was said; ``said`` reads it and notes what had to be assumed.
    """

    method: str
    title: str
    fields: tuple[Field, ...]
    values: Values
    figures: list[Figure] = field(default_factory=list)
    against: list[Against] = field(default_factory=list)
    missing: list[Against] = field(default_factory=list)
    needs: list[Needed] = field(default_factory=list)
    assumed: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    sources: list[str] = field(default_factory=list)
    listings: list[Listing] = field(default_factory=list)
    drawing: Any = None
    cautions: list[Caution] = field(default_factory=list)  # of its own, behind the library's

    def get(self, id: str) -> Any:
        """What was said, or the default of the field, which is then told as assumed."""
        value = self.values.get(id)
        if value is not None:
            return value
        asked = self._field(id)
        if asked.default is not None and asked.mark:
            told = say(
                "{name}: {value} {unit} taken, {mark}",
                name=say(asked.name),
                value=_shown(asked),
                unit=asked.unit,
                mark=say(asked.mark),
            )
            if told not in self.assumed:
                self.assumed.append(told)
        return asked.default

    def said(self, id: str) -> Any:
        """What was said; None where nobody has."""
        return self.values.get(id)

    def wanted(self, id: str) -> Any:
        """What was said, or a line of what to get first."""
        value = self.get(id)
        if value is None:
            asked = self._field(id)
            self.lack(say("{name} is not known", name=say(asked.name)), say(asked.help), id)
        return value

    def lack(self, reason: str, remedy: str, id: str = "") -> None:
        """Something must be got first."""
        self.missing.append(Against(reason=reason, remedy=remedy, field=id))

    def stop(self, reason: str, remedy: str, id: str = "") -> None:
        """Something stands against it."""
        self.against.append(Against(reason=reason, remedy=remedy, field=id))

    def refused(self, refusal: Refusal, id: str = "") -> None:
        """A science's refusal as what stands against it."""
        self.stop(refusal.reason, refusal.remedy, id)

    def figure(
        self,
        key: str,
        name: str,
        value: float | None,
        unit: str,
        digits: int = 0,
        source: str = "",
        why: str = "",
    ) -> None:
        """One more number."""
        self.figures.append(
            Figure(
                key=key, name=name, value=value, unit=unit, digits=digits, source=source, why=why
            )
        )
        if source and source not in self.sources:
            self.sources.append(source)

    def need(self, key: str, text: str, cost: str = "") -> None:
        """Something that must be had for it."""
        self.needs.append(Needed(key=key, text=text, cost=cost))

    def done(self, headline: str) -> Reckoning:
        """The answer; where something is against it or lacking, that stands in the headline."""
        book = book_of(self.method)
        answer: Answer = "no_go" if self.against else "get_first" if self.missing else "go"
        if self.against:
            told = HEADS.get(book, "Out: {reason}.")
            headline = say(told, reason=self.against[0].reason)
        elif self.missing:
            headline = say("Get this number first: {reason}.", reason=self.missing[0].reason)
        return Reckoning(
            method=self.method,
            book=book,
            title=self.title,
            answer=answer,
            headline=headline,
            cautions=tuple(self.cautions),
            figures=tuple(self.figures),
            against=tuple(self.against),
            missing=tuple(self.missing),
            needs=tuple(self.needs),
            assumed=tuple(self.assumed),
            notes=tuple(self.notes),
            listings=tuple(self.listings),
            sources=tuple(self.sources),
            drawing=self.drawing,
        )

    def _field(self, id: str) -> Field:
        return next(one for one in self.fields if one.id == id)


def _shown(asked: Field) -> str:
    if isinstance(asked.default, bool):
        return say("yes") if asked.default else say("no")
    if isinstance(asked.default, int | float):
        return number(asked.default, 3 if asked.default % 1 else 0)
    return str(dict(asked.choices).get(asked.default, asked.default))
