"""What screening says of one lot of a catalogue; ``cases.screen.score`` makes it."""

from __future__ import annotations

from dataclasses import dataclass

from retrue.cases.sheet import Band


@dataclass(frozen=True, slots=True, kw_only=True)
class AskFirst:
    """One thing to ask for, and what the answer is worth less what asking costs, shop money."""

    check: str
    text: str
    worth: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ScreenedLot:
    """One lot of a catalogue, screened. Money in the shop's currency unless said.

    Attributes
    ----------
    number, line, title : str, int, str
        As in the catalogue.
    kinds : tuple of str
    stand_in : bool
        Whether the belief was widened because the kind is not known here.
    why : str
        Why there is no price, or why it is nothing; empty where there is one.
    walk_away : float or None
        Hammer price not to go above, in the lot's currency, rounded down to the bid step.
    currency : str
        Of the lot.
    option : str
        Id of the option that carries the price.
    pays : float
        Hammer price it is expected to go for where it is won, in the lot's currency.
    wins : float
        Chance of winning it without going above ``walk_away``.
    gain : float
        Expected gain of going for it: over the worlds in which it is won, nothing in the others.
    at_risk : float
        Expected money out until the first good part (or the sale), over the worlds in which it
        is won: hammer, all that goes up with it, removal, repair.
    hours : float
        Expected own hours, over the same worlds.
    gain_per_risk : float
        ``gain`` by ``at_risk``; 0 where nothing is risked.
    gain_per_hour : float or None
        ``gain`` by ``hours``; None where no own hour is needed.
    floor_m2 : float
        Floor its machines take.
    days : Band
        Until the first good part.
    sorry : float
        Chance of being sorry at ``walk_away``.
    error : float
        Standard error of ``gain`` by the luck of the draw, the price being learnt from it as well.
    ask : tuple of AskFirst
        Best first; empty until it is among the best.
    assumed : tuple of str
        What nobody said and was taken wide, in words.
    tenths : tuple of float
        Gain in each tenth of the worlds, its price learnt anew; lots are held against one another
        by them. Empty where there is no price.
    wrong : tuple of str
        Words of the catalogue that say that something is wrong with it, or lacks: they move no
        price.
    """

    number: str
    line: int
    title: str
    kinds: tuple[str, ...]
    stand_in: bool
    why: str
    walk_away: float | None
    currency: str
    option: str
    pays: float
    wins: float
    gain: float
    at_risk: float
    hours: float
    gain_per_risk: float
    gain_per_hour: float | None
    floor_m2: float
    days: Band
    sorry: float
    error: float
    ask: tuple[AskFirst, ...]
    assumed: tuple[str, ...]
    tenths: tuple[float, ...] = ()
    wrong: tuple[str, ...] = ()
