"""Lamp: may this one replace that one inside a machine, beside something that turns."""

from __future__ import annotations

from retrue.base.formatter import number, short
from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.fix.match_rows import (
    COMMON,
    OFFERED,
    Property,
    fields_of,
    rows_of,
    settled,
    told,
)
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field, Method, Values
from retrue.cases.reckon.reckoning import Caution, Reckoning
from retrue.cases.wake.matching_rows import Row
from retrue.science.light_flicker import flicker_of_mains_hz, standing_still, told_standing
from retrue.science.motor_match import Fits

STROBE = later("stroboscopic effect (by definition); IEC TR 63158 (from memory)")
MOST_SVM = 0.4  # stroboscopic visibility of lamps sold in the Union (EU 2019/2020, from memory)
SHOWN = 4
MOST_PLACES = 200.0  # like places in one flicker: beyond, nobody lists speeds
TURNS = "what turns beside it"
CURRENTS = (("dc", "direct"), ("ac", "alternating, mains"), ("hf", "electronic ballast"))
SHIELDED = Caution(
    text=later("Light that flickers can make what turns look as if it stood. Nobody judges by the "
             "eye whether a chuck or cutter stands: door shut, stop proved."),
    defers_to=later("EN 12464-1, IEC TR 63158 (from memory); local code and licensed practice"),
)  # fmt: skip

LIGHT = (
    Property(id="lm", name=later("light"), how="least", unit="lm", rule=later("no less"),
             source="EN 12464-1 by the lamps calculator"),
    Property(id="volts", name=later("volts"), how="near", unit="V", yes_share=0.05, ask_share=0.1,
             rule=later("within a twentieth of what it is fed"), source=COMMON,
             old="Of the supply of the old one, as measured by an electrician."),
    Property(id="current", name=later("current"), how="same", choices=CURRENTS,
             rule=later("the same kind; a ballast of old tubes is taken out or kept by an "
                      "electrician"), source=COMMON),
    Property(id="watt", name=later("heat"), how="most", unit="W",
             rule=later("no more than the old one: glass and oil beside it bear no more"),
             source="by definition"),
    Property(id="enclosure", name=later("protection class"), how="enclosure",
             rule=later("each digit no lower; in coolant IP65 or IP67"),
             source="IEC 60529 (from memory)"),
    Property(id="glass", name=later("glass that bears chips and coolant"), how="there",
             rule=later("where chips fly"), source=COMMON),
    Property(id="mounting", name=later("mounting"), how="words", source=COMMON,
             rule=later("the same holes and room")),
    Property(id="ra", name=later("colours told apart, Ra"), how="least",
             rule=later("no lower; 80 where people work"), source="EN 12464-1 (from memory)"),
    Property(id="colour_k", name=later("colour"), how="near", unit="K", yes_share=0.15,
             unlike="ask", asked=False, rule=later("as the lamps around it, within a sixth"),
             source=COMMON),
)  # fmt: skip
FIELDS = (
    *fields_of(LIGHT),
    Field(id="has_svm", name="visible strobing, SVM", zero=True,
          help="In its document; 0 is none, 0.4 is the most of lamps sold in the Union.",
          group=OFFERED),
    Field(id="has_flicker_hz", name="flicker, where there is one", unit="Hz", zero=True,
          help="0 where its document says none; else twice the mains for a plain one.",
          group=OFFERED),
    Field(id="mains_hz", name="mains", unit="Hz", default=50.0, mark="as in Europe",
          help="50 or 60.", group=TURNS),
    Field(id="most_rpm", name="highest speed of what turns beside it", unit="rpm",
          help="Spindle or chuck.", group=TURNS),
    Field(id="alike", name="like faces of what turns", sort="whole", default=3,
          mark="three jaws", help="Three jaws, six corners, four flutes.", group=TURNS),
)  # fmt: skip


def reckon(values: Values) -> Reckoning:
    """Every property of a lamp against the one it replaces, and what it makes of what turns.

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
    >>> made = reckon(values_of(METHOD, {"has_flicker_hz": "100", "most_rpm": "4000"}))
    >>> made.answer, [f.value for f in made.figures]
    ('no_go', [2000.0])
    """
    draft = Draft("lamp", say("Lamp"), FIELDS, values)
    draft.cautions.append(SHIELDED)
    return settled(draft, [*rows_of(draft, LIGHT), _flicker(draft)])


def _flicker(draft: Draft) -> Row:
    """None, or so little that nobody sees it, or at no speed that there is."""
    svm, hertz = draft.said("has_svm"), draft.said("has_flicker_hz")
    if hertz is None and draft.said("has_current") == "ac":
        hertz = flicker_of_mains_hz(draft.get("mains_hz"))
    fits: Fits = "ask"
    why = ""
    little = svm is not None and svm <= MOST_SVM
    if hertz == 0:
        fits = "yes" if svm is None or little else "ask"
    elif hertz is not None:
        fits, why = _stands(draft, hertz)
        if little and fits == "no":  # it is seen little on hands and balls, not on a chuck
            fits = "ask"
    elif svm is not None:
        why = say("that is a measure for what moves in a room, not for a chuck")
    shown = (say("SVM {svm}", svm=short(svm)) if svm is not None else
             None if hertz is None else say("{hertz} Hz", hertz=short(hertz)))  # fmt: skip
    return told(
        draft,
        say("flicker"),
        say("none that is seen"),
        shown,
        fits,
        ("has_flicker_hz", "has_svm"),
        source=STROBE,
        why=why,
        rule=say(
            "none; else what turns seems to stand where turns times faces is a whole multiple of "
            "the flicker, and SVM up to 0.4 says only that it is asked"
        ),
        remedy=say("One fed by direct current or without flicker, by its document."),
    )


def _stands(draft: Draft, hertz: float) -> tuple[Fits, str]:
    most = draft.wanted("most_rpm")
    if most is None:
        return "ask", say("the highest speed beside it is not known")
    if most * draft.get("alike") > MOST_PLACES * 60.0 * hertz:
        return "no", say("it flickers so slowly that a part seems to stand at nearly any speed")
    try:
        found = standing_still(hertz, draft.get("alike"), most)
    except Unusable as refusal:
        draft.refused(refusal, "has_flicker_hz")
        return "ask", ""
    if not found:
        return "ask", say("it flickers, and at none of its speeds seems a part to stand")
    shown, _ = told_standing(found, SHOWN)
    plain = next((one for one in found if one.faces == draft.get("alike")), found[0])
    draft.figure("stands_rpm", say("seems to stand first at"), plain.speed_rpm, "rpm", 0, STROBE)
    return "no", say("a part seems to stand at {speeds} a minute",
                     speeds=", ".join(number(one.speed_rpm) for one in shown))  # fmt: skip


METHOD = Method(
    id="lamp",
    title=later("Lamp"),
    what=later("Whether a lamp may replace another inside a machine: light, volts, flicker."),
    fields=FIELDS,
    cautions=("X02", "X05", "X17"),
    reckon=reckon,
    standard="EN 12464-1; IEC 60529; IEC TR 63158",
    example=("--need-lm", "800", "--has-lm", "900", "--need-watt", "60", "--has-watt", "9",
             "--need-volts", "24", "--has-volts", "24", "--need-enclosure", "IP65",
             "--has-enclosure", "IP67", "--has-flicker-hz", "0"),
)  # fmt: skip
