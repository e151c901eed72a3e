"""What a person typed, as values: every problem is gathered before anything is refused."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal

from starlette.datastructures import FormData, UploadFile

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.base.units import number
from retrue.web.limits import short_name


def _what(wrong: Unusable) -> str:
    return wrong.problems[0].what if wrong.problems else wrong.reason


def refuse_unwritable(form: FormData) -> None:
    """Refuse a form with what no page can show again: half a letter, or the sign that ends texts.

    Raises
    ------
    Unusable
        Every such field is named.

    Examples
    --------
    >>> refuse_unwritable(FormData([("text", "oil")]))
    """
    bad = [name for name, value in form.multi_items()
           if not is_text(name) or (isinstance(value, str) and not is_text(value))]  # fmt: skip
    if bad:
        raise Unusable(
            say("This form holds characters that are not text"),
            remedy=say("Open the page again and type it anew."),
            problems=tuple(
                Problem(name if is_text(name) else "?", say("holds a character that is not text"),
                        say("Type it again."))
                for name in dict.fromkeys(bad)
            ),
        )  # fmt: skip


def is_text(value: str) -> bool:
    """Whether a text can be written down: as UTF-8, without the sign that ends texts.

    Examples
    --------
    >>> is_text("Ghent"), is_text("a\\x00b"), is_text("\\ud800")
    (True, False, False)
    """
    try:
        value.encode()
    except UnicodeEncodeError:
        return False
    return "\x00" not in value


@dataclass(slots=True)
class Typed:
    """One form as it was sent; reading a field that is wrong writes the problem down."""

    form: FormData
    problems: list[Problem] = field(default_factory=list)

    def text(self, name: str) -> str:
        """The field as typed, without blanks around it; empty if it was not sent."""
        value = self.form.get(name, "")
        return value.strip() if isinstance(value, str) else ""

    def many(self, name: str) -> tuple[str, ...]:
        """Every value sent under one name."""
        return tuple(v for v in self.form.getlist(name) if isinstance(v, str) and v)

    def files(self, name: str) -> tuple[UploadFile, ...]:
        """The files that were picked; an empty picker sends none. A name without end is cut."""
        sent = self.form.getlist(name)
        picked = tuple(v for v in sent if isinstance(v, UploadFile) and v.filename)
        for one in picked:
            one.filename = short_name(one.filename or "")
        return picked

    def amount(self, name: str, *, signed: bool = False) -> Decimal | None:
        """A number, or None for an empty field."""
        text = self.text(name)
        if not text:
            return None
        try:
            value = number(text, field=name)
        except Unusable as wrong:
            self.problems.append(Problem(name, _what(wrong), wrong.remedy))
            return None
        if value < 0 and not signed:
            self.problems.append(
                Problem(name, say("a number below zero"), say("Leave the minus away."))
            )
            return None
        return value

    def real(self, name: str, *, signed: bool = False) -> float | None:
        """A number for the sciences."""
        value = self.amount(name, signed=signed)
        return None if value is None else float(value)

    def share(self, name: str) -> float | None:
        """A per-cent field as a share of one."""
        value = self.amount(name)
        if value is not None and value > 100:
            self.problems.append(
                Problem(name, say("more than 100 per cent"), say("Type per cent: 18 for 18 %."))
            )
            return None
        return None if value is None else float(value / 100)

    def whole(self, name: str) -> int | None:
        """A whole number."""
        value = self.amount(name)
        if value is None or value == int(value):
            return None if value is None else int(value)
        self.problems.append(Problem(name, say("not a whole number"), say("Leave the decimals.")))
        return None

    def moment(self, name: str) -> str | None:
        """A moment as picked, with this computer's own offset from world time."""
        text = self.text(name)
        if not text:
            return None
        try:
            return datetime.fromisoformat(text).astimezone().isoformat(timespec="minutes")
        except (ValueError, OverflowError):
            self.problems.append(
                Problem(
                    name, say("not a day and a time"), say("Pick it, or type 2026-11-25 20:00.")
                )
            )
            return None

    def day(self, name: str) -> str | None:
        """A day as picked."""
        text = self.text(name)
        if not text:
            return None
        try:
            return date.fromisoformat(text).isoformat()
        except ValueError:
            self.problems.append(
                Problem(name, say("not a day"), say("Pick it, or type it as 2026-11-25."))
            )
            return None

    def yes_no(self, name: str) -> bool | None:
        """Two joined keys; neither pressed means nobody has said."""
        return {"yes": True, "no": False}.get(self.text(name))

    def check(self) -> None:
        """Refuse if any field was wrong, naming all of them."""
        if self.problems:
            raise Unusable(
                say("Some fields cannot be used yet"),
                remedy=say("Correct the marked fields; all others are kept as you typed them."),
                problems=tuple(self.problems),
            )
