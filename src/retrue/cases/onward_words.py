"""A next step as page, command and list tell it."""

from __future__ import annotations

from dataclasses import dataclass

PAY, MOVE, APART, SEEK, WORK, POWER, MEASURE, MONEY = range(8)
"""Places on the path, in its order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One act.

    Attributes
    ----------
    sort : str
        watch, off, stage, card ...: for programs.
    phase : int
        Its place on the path, from 0.
    act, why : str
        What, and why it is worth it.
    path : str
        The page that it is done on, with the field where there is one.
    button : str
    minutes : float or None
    money : float or None
        What it costs, in ``currency``.
    hands : str
        Who is needed, in words; empty: one pair of hands.
    gains : float or None
        What it is expected to be worth, where that is known.
    """

    sort: str
    phase: int
    act: str
    why: str
    path: str
    button: str
    minutes: float | None = None
    money: float | None = None
    currency: str = ""
    hands: str = ""
    gains: float | None = None


def step(
    sort: str,
    phase: int,
    act: str,
    why: str,
    path: str,
    button: str,
    *,
    minutes: float | None = None,
    money: float | None = None,
    currency: str = "",
    hands: str = "",
    gains: float | None = None,
) -> Step:
    """A step, in the order in which it is told.

    Parameters
    ----------
    sort, act, why, path, button, currency, hands : str
    phase : int
    minutes, money, gains : float or None

    Returns
    -------
    Step

    Examples
    --------
    >>> step("card", WORK, "Oil the ways", "They are dry.", "/fix", "The card").phase
    4
    """
    return Step(
        sort=sort, phase=phase, act=act, why=why, path=path, button=button, minutes=minutes,
        money=money, currency=currency, hands=hands, gains=gains,
    )  # fmt: skip


def sentence(text: str) -> str:
    """Words as a sentence.

    Parameters
    ----------
    text : str

    Returns
    -------
    str

    Examples
    --------
    >>> sentence("they are dry"), sentence("")
    ('They are dry.', '')
    """
    return text[:1].upper() + text[1:] + ("." if text and text[-1] not in ".?!:" else "")
