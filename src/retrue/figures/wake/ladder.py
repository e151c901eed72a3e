"""The stages of first power as marks on a rule that stands upright."""

from __future__ import annotations

from dataclasses import dataclass

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.cases.wake.drawing import LadderDrawing, Rung
from retrue.figures.axes import WIDTHS, Room
from retrue.figures.ink import Theme, bar, line, path, plain, svg, words
from retrue.figures.letters import wrap

SIZE = {"phone": 14.0, "wide": 14.0, "paper": 11.5}
SMALL = {"phone": 12.5, "wide": 12.5, "paper": 10.5}
LEFT, BODY, SIDE = 22.0, 26.0, 15.0  # of the rule; width of the rule; side of a square
WORDS = LEFT + BODY + 14 + SIDE + 10
STATES = {
    "signed": "signed", "begun": "begun, not signed", "open": "may begin", "closed": "closed",
    "aborted": "stopped: find the cause first", "strip": "stopped twice: take it apart first",
}  # fmt: skip


def rows(drawing: LadderDrawing) -> tuple[tuple[str, str], ...]:
    """The picture's words as a table: stage and how it stands.

    Parameters
    ----------
    drawing : LadderDrawing

    Returns
    -------
    tuple of (str, str)

    Examples
    --------
    >>> rows(LadderDrawing(rungs=(Rung(stage="P0-V", title="Dead", state="closed", wants=2),)))
    (('P0-V Dead', 'closed: 2 things are open'),)
    """
    return tuple((f"{rung.stage} {rung.title}", told(rung)) for rung in drawing.rungs)


def told(rung: Rung) -> str:
    """How a stage stands, in words.

    Parameters
    ----------
    rung : Rung

    Returns
    -------
    str

    Examples
    --------
    >>> told(Rung(stage="P1-V", title="Supply", state="signed", when="2026-11-20", by="Bea"))
    'signed 2026-11-20, Bea'
    """
    word = say(STATES[rung.state])
    if rung.state == "signed":
        word = " ".join(map(str, filter(None, (word, rung.when))))
        return ", ".join(filter(None, (word, rung.by)))
    if rung.state == "closed" and rung.wants == 1:
        return say("{word}: one thing is open", word=word)
    if rung.state == "closed" and rung.wants:
        return say("{word}: {count} things are open", word=word, count=rung.wants)
    return word


@dataclass(frozen=True, slots=True)
class _Laid:
    """A rung with its lines of words and where it stands."""

    rung: Rung
    top: float
    title: tuple[str, ...]
    note: tuple[str, ...]


def draw(drawing: LadderDrawing, *, theme: Theme, room: Room) -> str:
    """Draw the ladder: the first stage on top, what is signed filled, a pointer at the next.

    Parameters
    ----------
    drawing : LadderDrawing
    theme : Theme
    room : "phone", "wide" or "paper"

    Returns
    -------
    str
        One ``<svg>``.

    Raises
    ------
    Unusable
        It has no stage.
    """
    if not drawing.rungs:
        raise Unusable(say("a ladder without stages cannot be drawn"),
                       remedy=say("Name the type of machine first."))  # fmt: skip
    laid, low = _lay(drawing, room)
    wide = WIDTHS[room]
    parts = _rule(laid, low, theme)
    for one in laid:
        parts += _rung(one, theme, room, next_one=one.rung.stage == drawing.next)
    signed = sum(rung.state == "signed" for rung in drawing.rungs)
    label = say("{signed} of {count} stages of first power are signed", signed=signed,
                count=len(drawing.rungs))  # fmt: skip
    if drawing.next:
        label = say("{label}; next is {stage}", label=label, stage=drawing.next)
    return svg(parts, size=(wide, low + 12), label=label + ".", sort=f"picture ladder-{room}")


def _lay(drawing: LadderDrawing, room: Room) -> tuple[list[_Laid], float]:
    size, small = SIZE[room], SMALL[room]
    wide = WIDTHS[room] - WORDS - 4
    top, laid = 10.0, []
    for rung in drawing.rungs:
        name = f"{rung.stage}  {rung.title}" + (f" ({say('live work')})" if rung.live else "")
        title, note = wrap(name, wide, size), wrap(told(rung), wide, small)
        laid.append(_Laid(rung, top, title, note))
        top += 1.25 * (size * len(title) + small * len(note)) + 12
    return laid, top


def _rule(laid: list[_Laid], low: float, theme: Theme) -> list[str]:
    """The rule's body, filled as far as stages are signed one after the other."""
    right = LEFT + BODY
    done = 4.0
    for one in laid:
        if one.rung.state != "signed":
            break
        done = one.top + SIDE + 6
    foot = low + 6
    shape = (
        f"M{plain(LEFT)} 4H{plain(right)}V{plain(low)}"
        f"Q{plain(right)} {plain(foot)} {plain(right - 6)} {plain(foot)}"
        f"H{plain(LEFT + 6)}Q{plain(LEFT)} {plain(foot)} {plain(LEFT)} {plain(low)}Z"
    )
    parts = [path(shape, fill=theme.sheet)]
    if done > 4:
        parts.append(bar(LEFT, 4, BODY, done - 4, fill=theme.blue_tint, stroke="none"))
    ends = [one.top for one in laid[1:]] + [low]
    for one, end in zip(laid, ends, strict=True):
        y = one.top + SIDE / 2 + 1
        parts.append(line(right - 16, y, right, y, theme.ink, thick=1.2))
        for cut in range(1, 5):
            small = y + (end - one.top) * cut / 5
            if small < low:
                parts.append(line(right - 7, small, right, small, theme.ink, thick=0.7))
    parts.append(path(shape, stroke=theme.ink, thick=1.4))
    return parts


def _rung(one: _Laid, theme: Theme, room: Room, *, next_one: bool) -> list[str]:
    size, small = SIZE[room], SMALL[room]
    parts = _square(one, theme)
    base = one.top + size
    for text in one.title:
        parts.append(words(WORDS, base, text, theme, size=size, bold=next_one))
        base += 1.25 * size
    base += small - size
    for text in one.note:
        parts.append(words(WORDS, base, text, theme, size=small, colour=theme.soft))
        base += 1.25 * small
    if next_one:
        y = one.top + SIDE / 2 + 1
        parts.append(path(f"M{plain(LEFT - 3)} {plain(y)}l-14 -8v16z", fill=theme.brass))
        parts.append(line(LEFT - 3, y, LEFT + BODY, y, theme.brass, thick=3))
    return parts


def _square(one: _Laid, theme: Theme) -> list[str]:
    """Signed: full. Begun: half. Not yet: open. Stopped: open with a corner cut."""
    x, y = LEFT + BODY + 14, one.top + 1
    state = one.rung.state
    if state in ("aborted", "strip"):
        cut = SIDE * 0.42
        right, low = x + SIDE, y + SIDE
        shape = (
            f"M{plain(x)} {plain(y)}H{plain(right - cut)}L{plain(right)} {plain(y + cut)}"
            f"V{plain(low)}H{plain(x)}Z"
        )
        return [path(shape, stroke=theme.ink, thick=1.6)]
    fill = theme.ink if state == "signed" else "none"
    parts = [bar(x, y, SIDE, SIDE, fill=fill, stroke=theme.ink, thick=1.6)]
    if state == "begun":
        parts.append(path(f"M{plain(x)} {plain(y + SIDE)}H{plain(x + SIDE)}V{plain(y)}Z",
                          fill=theme.ink))  # fmt: skip
    return parts
