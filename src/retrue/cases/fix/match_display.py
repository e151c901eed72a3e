"""Display: may this one replace that one, or is there a converter between."""

from __future__ import annotations

from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.fix.match_rows import (
    COMMON,
    NEEDED,
    OFFERED,
    Property,
    fields_of,
    range_words,
    rows_of,
    settled,
    told,
)
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field, Method, Values
from retrue.cases.reckon.reckoning import Caution, Reckoning
from retrue.cases.wake.matching_rows import Row
from retrue.science.fitting import between
from retrue.science.motor_match import Fits, alike, enough
from retrue.science.picture_signal import line_hz, pixel_hz

TIMING = later("lines and dots of a whole frame times its frequency (by definition)")
SIGNALS = (("mono", "one colour, TTL"), ("ttl", "colours, TTL"), ("rgb", "red, green, blue, 0.7 V"),
           ("vga", "VGA, 15 pins"), ("composite", "one wire with everything"), ("dvi", "DVI"),
           ("hdmi", "HDMI"), ("lvds", "LVDS, to the glass"),
           ("panel", "parallel, to the glass"))  # fmt: skip
SYNCS = (("two", "two wires"), ("one", "one wire for both"), ("green", "on green"),
         ("inside", "within the signal"))  # fmt: skip
TUBE = Caution(
    text=later("A picture tube holds thousands of volts long after it is off, and its glass bursts "
             "inward. It comes out whole, by who mends such screens; nobody opens it here."),
    defers_to=later("IEC 62368-1 family (from memory); local code and licensed practice"),
)  # fmt: skip
CONVERTER = later("Ask for a converter for exactly this signal, shown working on a like control, "
                "before the screen is bought.")  # fmt: skip

PICTURE = (
    Property(id="dots", name=later("dots in a line that are seen"), how="least", whole=True,
             rule=later("no fewer"), source="by definition"),
    Property(id="lines", name=later("lines that are seen"), how="least", whole=True,
             rule=later("no fewer"), source="by definition"),
)  # fmt: skip
SYNC = Property(
    id="sync", name=later("how the picture is held"), how="same", choices=SYNCS, unlike="ask",
    rule=later("the same wires; else a converter"), source=COMMON, remedy=CONVERTER,
)  # fmt: skip
BODY = (
    Property(id="volts", name=later("volts of its supply"), how="near", unit="V", yes_share=0.05,
             ask_share=0.1, rule=later("within a twentieth of what there is"), source=COMMON,
             old="As measured by an electrician."),
    Property(id="ampere", name=later("current it draws"), how="most", unit="A",
             rule=later("no more than that supply gives"), source="by definition"),
    Property(id="seen_mm", name=later("picture, across its corners"), how="near", unit="mm",
             yes_share=0.05, unlike="ask", rule=later("within a twentieth: keys stand beside it"),
             source=COMMON),
    Property(id="wide_mm", name=later("width"), how="most", unit="mm", source="by definition",
             rule=later("no wider than its opening")),
    Property(id="high_mm", name=later("height"), how="most", unit="mm", source="by definition",
             rule=later("no higher than its opening")),
    Property(id="deep_mm", name=later("depth, plugs too"), how="most", unit="mm",
             source="by definition", rule=later("no deeper")),
    Property(id="mounting", name=later("mounting"), how="words", source=COMMON,
             rule=later("the same holes, or a frame is made")),
    Property(id="enclosure", name=later("protection class of its front"), how="enclosure",
             rule=later("each digit no lower"), source="IEC 60529 (from memory)"),
    Property(id="touch", name=later("keys or touch on it"), how="there", source=COMMON,
             rule=later("where the old one has them, on the same plug")),
)  # fmt: skip
SIGNAL = Property(id="signal", name=later("signal"), how="same", choices=SIGNALS, rule="",
                  source="",
                  old="By its plug and the control's document.")  # fmt: skip
FIELDS = (
    *fields_of((SIGNAL, SYNC, *PICTURE, *BODY)),
    Field(id="frames_hz", name="pictures a second", unit="Hz", help="In the control's document.",
          group=NEEDED),
    Field(id="whole_lines", name="lines of a whole picture, those unseen too", sort="whole",
          help="In the control's document: 525 for 480 seen.", group=NEEDED),
    Field(id="line_khz", name="or: lines a second", unit="kHz",
          help="In the control's document, or measured by who mends such screens.", group=NEEDED),
    Field(id="whole_dots", name="dots of a whole line, those unseen too", sort="whole",
          help="In the control's document: 800 for 640 seen.", group=NEEDED),
    Field(id="has_low_khz", name="lines a second it takes, from", unit="kHz",
          help="In its document.", group=OFFERED),
    Field(id="has_high_khz", name="lines a second it takes, to", unit="kHz",
          help="In its document.", group=OFFERED),
    Field(id="has_low_frames_hz", name="pictures a second it takes, from", unit="Hz",
          help="In its document.", group=OFFERED),
    Field(id="has_high_frames_hz", name="pictures a second it takes, to", unit="Hz",
          help="In its document.", group=OFFERED),
    Field(id="has_clock_mhz", name="highest dots a second", unit="MHz", help="In its document.",
          group=OFFERED),
    Field(id="converter", name="a converter stands between them, shown working", sort="flag",
          help="On a like control, with this very signal.", group=OFFERED),
)  # fmt: skip


def reckon(values: Values) -> Reckoning:
    """Every property of a display against the one it replaces.

    Parameters
    ----------
    values : mapping
        By field id, None where nobody has said.

    Returns
    -------
    Reckoning

    Examples
    --------
    >>> from retrue.cases.reckon.method import values_of
    >>> made = reckon(values_of(METHOD, {"whole_lines": "525", "frames_hz": "59.94",
    ...     "whole_dots": "800"}))
    >>> [(f.key, round(f.value, 3)) for f in made.figures]
    [('lines_khz', 31.468), ('clock_mhz', 25.175)]
    """
    draft = Draft("display", say("Display"), FIELDS, values)
    draft.cautions.append(TUBE)
    lines, clock = _timing(draft)
    rows = [_signal(draft), *_sync(draft, lines), *rows_of(draft, PICTURE), _clock(draft, clock)]
    return settled(draft, [*rows, *rows_of(draft, BODY)])


def _timing(draft: Draft) -> tuple[float | None, float | None]:
    """Lines in thousands and dots in millions a second."""
    lines, frames, dots = (draft.said(id) for id in ("whole_lines", "frames_hz", "whole_dots"))
    told_khz = draft.said("line_khz")
    rate = None if told_khz is None else 1000.0 * told_khz
    try:
        if rate is None and lines and frames:
            rate = line_hz(lines, frames)
        clock = None if rate is None or not dots else pixel_hz(dots, rate) / 1e6
    except Unusable as refusal:
        draft.refused(refusal, "whole_lines")
        return None, None
    if rate is not None:
        draft.figure("lines_khz", say("lines a second"), rate / 1000.0, "kHz", 2, TIMING)
    if clock is not None:
        draft.figure("clock_mhz", say("dots a second"), clock, "MHz", 2, TIMING)
    return None if rate is None else rate / 1000.0, clock


def _between(draft: Draft, fits: Fits) -> Fits:
    """With a converter that was shown working another signal is no hindrance."""
    return "yes" if draft.said("converter") and fits != "yes" else "ask" if fits == "no" else fits


def _signal(draft: Draft) -> Row:
    needs, has = draft.said("need_signal"), draft.said("has_signal")
    shown = dict(SIGNALS)
    known = needs is not None and has is not None
    fits = alike(has, needs)
    return told(draft, say("signal"), shown.get(needs), shown.get(has),
                _between(draft, fits) if known else fits, ("need_signal", "has_signal"),
                rule=say("the same; else a converter between them"), source=COMMON,
                remedy=CONVERTER if known else "")  # fmt: skip


def _sync(draft: Draft, lines: float | None) -> list[Row]:
    """Frequencies of lines and pictures within what it takes."""
    frames = draft.said("frames_hz")
    made = []
    for name, needs, low, high, field, unit in (
        (say("lines a second"), lines, "has_low_khz", "has_high_khz", "line_khz", "kHz"),
        (say("pictures a second"), frames, "has_low_frames_hz", "has_high_frames_hz", "frames_hz",
         "Hz"),
    ):  # fmt: skip
        ends = draft.said(low), draft.said(high)
        fits = between(*ends, needs)
        known = needs is not None and None not in ends
        made.append(told(
            draft, name, needs, range_words(*ends), _between(draft, fits) if known else fits,
            (field, low if ends[0] is None else high), unit=unit, source=TIMING,
            rule=say("within what it takes; old controls often lie under it"),
            remedy=CONVERTER if known else "",
        ))  # fmt: skip
    return [*rows_of(draft, () if draft.said("converter") else (SYNC,)), *made]


def _clock(draft: Draft, clock: float | None) -> Row:
    has = draft.said("has_clock_mhz")
    fits = enough(has, clock)
    known = clock is not None and has is not None
    return told(draft, say("dots a second"), clock, has, _between(draft, fits) if known else fits,
                ("whole_dots", "has_clock_mhz"), unit="MHz", source=TIMING,
                rule=say("no more than it takes"), remedy=CONVERTER if known else "")  # fmt: skip


METHOD = Method(
    id="display",
    title=later("Display"),
    what=later("Whether a display may replace another: signal, sync, picture, size; converter."),
    fields=FIELDS,
    cautions=("X02", "X05", "X17", "X37"),
    reckon=reckon,
    standard="timing by definition; IEC 60529; the documents of both",
    example=("--need-signal", "rgb", "--has-signal", "vga", "--whole-lines", "525", "--frames-hz",
             "59.94", "--whole-dots", "800", "--has-low-khz", "30", "--has-high-khz", "80",
             "--has-clock-mhz", "80"),
)  # fmt: skip
