"""Pictures with an axis: drawn by Matplotlib, in the colours and letters of a page or of paper."""

from __future__ import annotations

import io
import re
from collections.abc import Mapping
from functools import cache
from importlib.resources import as_file, files
from typing import TYPE_CHECKING, Any, Literal

from retrue.figures.ink import Theme, attribute, escape

if TYPE_CHECKING:  # half a second to load: only when a picture is drawn
    from matplotlib.axes import Axes

Room = Literal["phone", "wide", "paper", "broad"]  # broad: a whole column of a laptop
WIDTHS: Mapping[Room, float] = {"phone": 340, "wide": 680, "paper": 520, "broad": 990}  # units
# What is drawn is drawn in these, one for each colour of a theme; they are exchanged at the end.
INK, SOFT, LINE, SHEET = "#010101", "#020202", "#030303", "#040404"
BLUE, BLUE_TINT, BRASS, BRASS_TINT = "#050505", "#060606", "#070707", "#080808"
_NAMES = {
    INK: "ink",
    SOFT: "soft",
    LINE: "line",
    SHEET: "sheet",
    BLUE: "blue",
    BLUE_TINT: "blue_tint",
    BRASS: "brass",
    BRASS_TINT: "brass_tint",
}
DEFAULT_SIZE = 10.0  # of words that were given none
_STYLE = re.compile(r' style="([^"]*)"')
_FONT = re.compile(r"(?:(\w+) )??([\d.]+)px '?([^',]+)'?.*")


def _settings(size: float) -> Any:
    return {
        "svg.fonttype": "none",
        "svg.hashsalt": "retrue",
        "font.family": "B612",
        "font.size": size,
        "text.color": INK,
        "axes.edgecolor": INK,
        "axes.labelcolor": INK,
        "axes.facecolor": "none",
        "axes.linewidth": 0.8,
        "axes.spines.top": False,
        "axes.spines.right": False,
        "axes.unicode_minus": True,
        "xtick.color": INK,
        "ytick.color": INK,
        "xtick.labelsize": size,
        "ytick.labelsize": size,
        "axes.labelsize": size,
        "axes.titlesize": size,
        "grid.color": LINE,
        "grid.linewidth": 0.6,
        "lines.linewidth": 1.4,
        "figure.facecolor": "none",
    }


@cache
def _letters() -> None:
    """Let Matplotlib measure words in the letters that pages and paper set them in."""
    from matplotlib import font_manager

    for name in ("B612-Regular.otf", "B612-Bold.otf", "B612-Italic.otf"):
        with as_file(files("retrue") / "web" / "static" / "fonts" / name) as path:
            font_manager.fontManager.addfont(path)


class Sheet:
    """A picture being drawn: make one, draw on its axes, ``finish`` it.

    ``size`` is the font size in drawing units; a phone gets its own drawing, not a shrunk one.
    """

    def __init__(self, room: Room, *, high: float, polar: bool = False, rows: int = 1) -> None:
        from matplotlib import rc_context
        from matplotlib.backends.backend_svg import FigureCanvasSVG
        from matplotlib.figure import Figure

        _letters()
        self.room = room
        self.size = 12.0 if room == "phone" else 13.0
        self.wide, self.high = WIDTHS[room], high
        with rc_context(_settings(self.size)):
            self.figure = Figure(figsize=(self.wide / 72, high / 72), dpi=72, layout="constrained")
            FigureCanvasSVG(self.figure)
            kind = {"projection": "polar"} if polar else {}
            made = self.figure.subplots(rows, 1, subplot_kw=kind, squeeze=False, sharex=not polar)
        self.panels: list[Axes] = [made[row][0] for row in range(rows)]

    @property
    def axes(self) -> Axes:
        """The first or only panel."""
        return self.panels[0]

    def _letter(self) -> None:
        """Words put in after the axes were made get their letters here."""
        from matplotlib.text import Text

        for words in self.figure.findobj(Text):
            assert isinstance(words, Text)
            words.set_fontfamily("B612")
            if words.get_color() == "black":  # of a legend: made when the settings are gone
                words.set_color(INK)
            if words.get_fontsize() == DEFAULT_SIZE:
                words.set_fontsize(self.size)

    def finish(self, theme: Theme, *, label: str, sort: str) -> str:
        """Give the picture as one ``<svg>``, with no style of its own that a strict page refuses.

        ``label`` is the picture in one sentence; ``sort`` its class names.
        """
        from matplotlib import rc_context

        self._letter()
        buffer = io.StringIO()
        nothing = {"Date": None, "Creator": None, "Format": None, "Type": None}
        with rc_context(_settings(self.size)):
            layout = self.figure.get_layout_engine()
            if layout is not None:
                layout.execute(self.figure)
                self.figure.set_layout_engine(None)  # else all is drawn twice, once for nobody
            self.figure.savefig(buffer, format="svg", metadata=nothing, transparent=True)
        return _dressed(buffer.getvalue(), theme, label, sort, (self.wide, self.high))


def _dressed(drawn: str, theme: Theme, label: str, sort: str, size: tuple[float, float]) -> str:
    """Styles as attributes, the theme's colours, the picture's name; ids of its own."""
    body = drawn[drawn.index("<svg") :]
    body = body[body.index(">") + 1 : body.rindex("</svg>")]
    body = re.sub(r"<metadata>.*?</metadata>|<style.*?</style>|<!--.*?-->", "", body, flags=re.S)
    body = _STYLE.sub(lambda found: _attributes(found[1], theme), body)
    body = _own_ids(body, sort)
    for drawn_in, name in _NAMES.items():
        body = body.replace(drawn_in, getattr(theme, name))
    body = re.sub(r"\n\s*", "\n", body)
    wide, high = (f"{side:g}" for side in size)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
        f'class={attribute(sort)} role="img" aria-label={attribute(label)} '
        f'viewBox="0 0 {wide} {high}" width="{wide}" height="{high}">{body}</svg>'
    )


def _own_ids(body: str, sort: str) -> str:
    """Two pictures on one page must not share the names of their parts."""
    stem = re.sub(r"\W+", "-", sort)
    body = re.sub(r' id="([^"]+)"', lambda found: f' id="{stem}-{found[1]}"', body)
    body = re.sub(r'href="#([^"]+)"', lambda found: f'href="#{stem}-{found[1]}"', body)
    return re.sub(r"url\(#([^)]+)\)", lambda found: f"url(#{stem}-{found[1]})", body)


def _attributes(style: str, theme: Theme) -> str:
    """``fill: #010101; font: 12px 'B612'`` as attributes of SVG."""
    made = []
    for one in style.split(";"):
        name, _, value = one.partition(":")
        name, value = name.strip(), value.strip()
        if name == "font" and (found := _FONT.match(value)):
            made.append(f"font-size={attribute(found[2])} font-family={attribute(theme.letters)}")
            if found[1] in {"bold", "700"}:
                made.append('font-weight="bold"')
        elif name and name != "mix-blend-mode":
            made.append(f"{name}={attribute(value)}")
    return " " + " ".join(map(str, made)) if made else ""


def caption(text: str) -> str:
    """Words that go into a picture, safe for it."""
    return escape(text).replace("$", r"\$")
