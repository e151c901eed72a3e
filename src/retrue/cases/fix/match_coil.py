"""A coil against the control circuit that feeds it; contactors and relays share it."""

from __future__ import annotations

from retrue.base.say import later, say
from retrue.cases.fix.match_rows import COMMON, Property, range_words, rows_of, told
from retrue.cases.reckon.building import Draft
from retrue.cases.wake.matching_rows import Row
from retrue.science.control_contact import coil
from retrue.science.fitting import between
from retrue.science.motor_match import Fits, alike

KINDS = (("ac", "alternating"), ("dc", "direct"), ("both", "either: electronic coil"))
BAND = later("IEC 60947-4-1, limits of operation: 85 to 110 per cent (from memory)")

VOLTS = Property(
    id="coil_volts", name=later("coil, volts"), how="near", unit="V", rule="", source="",
    old="Of the control circuit, as measured by an electrician.", new="Printed on the coil.",
)  # fmt: skip
KIND = Property(
    id="coil_kind", name=later("coil, current"), how="same", choices=KINDS, rule="", source="",
)  # fmt: skip
DRAWS = (
    Property(id="coil_ampere", name=later("coil, what it draws"), how="most", unit="A",
             rule=later("no more than output or transformer gives, pulling in too"),
             source="by definition", old="What the output or the fuse of the control gives."),
    Property(id="coil_hz", name=later("coil, frequency"), how="same", unit="Hz", asked=False,
             rule=later("the same; another draws another current"), source=COMMON),
)  # fmt: skip
DAMPERS = (("none", "none"), ("diode", "diode"), ("varistor", "varistor"), ("rc", "RC"))
COIL_FIELDS = (VOLTS, KIND, *DRAWS)
SUPPRESSION = Property(
    id="suppression", name=later("suppression over the coil"), how="same", choices=DAMPERS, rule="",
    source="",
)  # fmt: skip


def coil_rows(draft: Draft) -> list[Row]:
    """Volts, kind of current and draw of a coil, and what dampens it.

    Parameters
    ----------
    draft : Draft
        With the fields of ``COIL_FIELDS`` and ``SUPPRESSION``.

    Returns
    -------
    list of Row

    Examples
    --------
    >>> from retrue.cases.fix.match_rows import fields_of
    >>> draft = Draft("relay", "", fields_of((*COIL_FIELDS, SUPPRESSION)), {
    ...     "need_coil_volts": 110.0, "has_coil_volts": 120.0, "need_coil_kind": "ac",
    ...     "has_coil_kind": "both", "need_suppression": "diode", "has_suppression": "none"})
    >>> [row.fits for row in coil_rows(draft)]
    ['ask', 'yes', 'ask', 'no']
    """
    return [_volts(draft), _kind(draft), *rows_of(draft, DRAWS), _damped(draft)]


def _volts(draft: Draft) -> Row:
    needs, has = draft.said("need_coil_volts"), draft.said("has_coil_volts")
    low, high = draft.said("has_coil_low_volts"), draft.said("has_coil_high_volts")
    shown, fits = has, coil(needs, has)
    if low is not None and high is not None:
        shown, fits = range_words(low, high), between(low, high, needs)
    return told(draft, say("coil, volts"), needs, shown, fits,
                ("need_coil_volts", "has_coil_volts"),
                rule=say("the control's volts within a twentieth of the coil's; within 85 to 110 "
                         "per cent it is asked how far they sag"), source=BAND, unit="V",
                remedy=say("Have an electrician measure them with everything pulled in.")
                if fits == "ask" else "")  # fmt: skip


def _kind(draft: Draft) -> Row:
    needs, has = draft.said("need_coil_kind"), draft.said("has_coil_kind")
    fits: Fits = "yes" if needs and has == "both" else alike(has, needs)
    shown = dict(KINDS)
    return told(draft, say("coil, current"), shown.get(needs), shown.get(has), fits,
                ("need_coil_kind", "has_coil_kind"),
                rule=say("the same kind: an alternating coil burns on direct current, a direct one "
                         "hums and drops"), source=COMMON)  # fmt: skip


def _damped(draft: Draft) -> Row:
    """One too few kills the output; a diode has a side, and lets go late."""
    needs, has = draft.said("need_suppression"), draft.said("has_suppression")
    fits: Fits = alike(has, needs)
    if fits == "no" and has != "none":
        fits = "ask"
    more = (say("Put one of the old sort over its coil, or its output dies.") if fits == "no" else
            say("A diode has a side and lets go late: ask whether that matters here."))  # fmt: skip
    known = needs is None or has is None
    shown = dict(DAMPERS)
    return told(draft, say("suppression over the coil"), shown.get(needs), shown.get(has), fits,
                ("need_suppression", "has_suppression"), rule=say("the same sort"), source=COMMON,
                remedy="" if known else more)  # fmt: skip
