"""One property of motor and drive: what is wanted, what is there, whether it fits."""

from __future__ import annotations

from dataclasses import dataclass

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.science.motor_match import Fits

Told = str | float | None


@dataclass(frozen=True, slots=True)
class Row:
    """A line of the comparison."""

    name: str
    wanted: str
    has: str
    fits: Fits
    why: str
    remedy: str
    field: str
    rule: str = ""  # how the two are held against each other, in words, and after which standard

    @classmethod
    def of(
        cls,
        name: str,
        wanted: Told,
        has: Told,
        unit: str,
        fits: Fits,
        has_field: str,
        wanted_field: str,
        *,
        why: str = "",
        rule: str = "",
    ) -> Row:
        """A line with its reason: an unknown is asked for where it is lacking."""
        told = (told_with(wanted, unit), told_with(has, unit))
        if fits == "no":
            why = why or say("{wanted} wanted, {has} there", wanted=told[0], has=told[1])
            return cls(
                name,
                *told,
                fits,
                why,
                say("Another drive, motor or setting; never by trying it out."),
                has_field,
                rule,
            )
        if fits == "ask" and (has in (None, "") or wanted in (None, "")):
            field = has_field if has in (None, "") else wanted_field
            return cls(
                name,
                *told,
                fits,
                say("not known"),
                say("Read it on the plate or in the document of motor and drive."),
                field,
                rule,
            )
        why = why or say("{wanted} wanted, {has} there: it depends", wanted=told[0], has=told[1])
        return cls(
            name,
            *told,
            fits,
            why,
            say("Ask by the documents of motor and drive, or a workshop that mends such motors."),
            has_field,
            rule,
        )


def told_with(value: Told, unit: str) -> str:
    """A value with its unit as a row shows it; a question mark where nobody knows.

    Parameters
    ----------
    value : str, float or None
    unit : str

    Returns
    -------
    str

    Examples
    --------
    >>> told_with(8.5, "A"), told_with(None, "A"), told_with("resolver", "")
    ('8.50 A', '?', 'resolver')
    """
    if value in (None, ""):
        return "?"
    if isinstance(value, str):
        return value
    shown = number(value, 0 if value == int(value) else 2) if value >= 1 else f"{value:.3g}"
    return f"{shown} {unit}".strip()
