"""What the fields of a record are called, in which unit they stand, and which are not shown."""

from __future__ import annotations

from collections.abc import Mapping

from retrue.base.say import later, say

UNITS: Mapping[str, str] = {
    "_um": "µm", "_mm": "mm", "_km": "km", "_kg": "kg", "_kg_m2": "kg/m²", "_nm": "Nm", "_c": "°C",
    "_rpm": "1/min", "_m2": "m²", "_volts": "V", "_kva": "kVA", "_percent": "%",
}  # fmt: skip
"""By the end of a field's name."""

NOT_SHOWN = frozenset(
    {
        "sha256", "file_sha256", "content_sha256", "last_sha256", "kind_hash", "version", "seed",
        "worlds", "inputs", "sheet", "plan", "content", "compared", "bands", "first_row",
        "media_type", "of_kind", "wanted", "form", "kinds", "path", "evening", "source", "whole",
        "cautions", "currency", "into_currency", "device", "key", "rate_currencies",
    }
)  # fmt: skip
"""What a program made for itself; money says its currency, and a sum is shown where it was made."""

NOT_SHOWN_OF: Mapping[str, frozenset[str]] = {
    "result": frozenset({"readings", "answer"}),
    "sensed_result": frozenset({"answer"}),
    "reading_set": frozenset({"file"}),
    "sensed": frozenset({"file"}),
    "included": frozenset({"file"}),
    "posting": frozenset({"receipt"}),
    "act": frozenset({"pictures"}),
    "set_aside": frozenset({"of"}),
    "share": frozenset({"part", "worker"}),
    "part_screened": frozenset({"part"}),
}

FIELD_WORDS: Mapping[str, str] = {
    "after": later("price after"),
    "also": later("also"),
    "at": later("at"),
    "at_switch": later("at the main switch"),
    "before": later("before"),
    "begun": later("of the stage begun"),
    "bought": later("bought for it"),
    "bucket": later("where the money goes"),
    "by_name": later("done by"),
    "by_telephone": later("by phone"),
    "channel": later("how it was seen"),
    "check": later("looked at"),
    "closes_at": later("closes"),
    "columns": later("columns are read as"),
    "comes_and_goes": later("comes and goes"),
    "cures": later("chance that it works"),
    "dates": later("first in a date"),
    "decimal": later("mark of its decimals"),
    "dangers": later("dangers"),
    "decided": later("decided"),
    "doing": later("what I was doing"),
    "dump": later("let it go at"),
    "dump_on": later("goes for what it brings from"),
    "ended": later("of the abort"),
    "entry": later("line", sense="of a list"),
    "every_days": later("a round every, days"),
    "fault": later("what may be wrong"),
    "first_row": later("first row"),
    "floor_kg_m2": later("the floor carries"),
    "from_end": later("from"),
    "from_machine": later("from the machine"),
    "from_slot": later("from the slot"),
    "from_stock": later("from the shelf"),
    "given": later("may read"),
    "grade": later("how sure"),
    "group": later("group"),
    "hammer": later("hammer price"),
    "have": later("have"),
    "heard": later("the alarm was heard"),
    "histories": later("own supply"),
    "history": later("past life"),
    "hour_alternative": later("what that hour could have earned"),
    "hour_full": later("full rate of an hour"),
    "how": later("how"),
    "informant": later("who said it"),
    "into_amount": later("what came in"),
    "into_place": later("where it came in"),
    "item": later("which"),
    "job": later("job"),
    "judged": later("judged"),
    "kept_on": later("kept on"),
    "kind": later("type of machine"),
    "laptop": later("the laptop stands beside it"),
    "late": later("it had waited on its device"),
    "lift_kg": later("own hoist lifts"),
    "limit": later("limit"),
    "line": later("what it is for"),
    "list": later("list"),
    "live_with": later("lived with"),
    "lot_count": later("lots in it"),
    "local_days": later("days to say so, by the local law"),
    "muck": later("sort of muck"),
    "name": later("name"),
    "needed": later("needed after all"),
    "new": later("it is now"),
    "nobody": later("nobody answered"),
    "none": later("not possible because"),
    "of": later("of the line"),
    "old": later("it was"),
    "other_serial": later("serial of the other"),
    "only": later("only these"),
    "out": later("what is awaited"),
    "paid_from": later("paid from"),
    "part_count": later("parts in it"),
    "passes": later("passes"),
    "place": later("place"),
    "posted_on": later("day of the paper"),
    "provisional": later("provisional because"),
    "put_back": later("put back again"),
    "reach": later("phone or address"),
    "read_back": later("read back and the same"),
    "readings": later("readings"),
    "reason": later("why"),
    "records": later("records"),
    "rigger": later("lifted by"),
    "ring_on": later("ring on"),
    "rows": later("readings"),
    "ruling": later("result"),
    "same_type": later("same type on both plates"),
    "second_place": later("the other copy lies"),
    "sensed": later("measured as"),
    "set": later("of the test"),
    "share": later("guessed share"),
    "base_rate": later("share before any look"),
    "shared_by": later("shared by"),
    "short_list": later("so many of the best"),
    "shot": later("what it shows"),
    "sorry": later("chance you'd be sorry"),
    "split": later("shared by the rule"),
    "sure": later("looked at twice"),
    "symptom": later("what it does"),
    "take": later("lowest I take"),
    "taken": later("taken"),
    "taken_by": later("read by"),
    "tax_held": later("tax it holds"),
    "tax_in": later("tax is in it"),
    "text": later("in words"),
    "to_end": later("to"),
    "trouble": later("of the trouble"),
    "uncertainty": later("give or take"),
    "until_on": later("until"),
    "watch": later("of the watch"),
    "was": later("it was so"),
    "way": later("way"),
    "what": later("what"),
    "when": later("when"),
    "whom": later("whom"),
    "why": later("why"),
    "words": later("in the owner's words"),
    "written_on": later("carrier written to on"),
    "yes": later("to be done"),
}
"""Where a field's own name, its unit apart, is not what a page would say."""

OWN_NAMES = (
    later("age years"), later("all in"), later("answer"), later("asking"), later("away"),
    later("begin"), later("bid now"), later("call"), later("came"), later("carrier"),
    later("cases"), later("catalogue"), later("cell changed"), later("cell years"),
    later("certificate"),
    later("certified"), later("changes"), later("code"), later("confirmed"),
    later("control family"), later("cost now per hour"), later("cost per hour"), later("count"),
    later("damage"), later("day costs"), later("delivered"), later("deposit"),
    later("deposit back"), later("door height"), later("door width"), later("due"),
    later("edition"), later("end"), later("evenings"), later("file name"), later("floor rented"),
    later("helps only"), later("hire a day"), later("horizon years"), later("hours a week"),
    later("humidity"), later("insurance wanted"), later("interest"), later("kilometre cost"),
    later("language"), later("late fine per day"), later("law"), later("left hours"),
    later("listing"), later("loader fee"), later("loader named"), later("loading help"),
    later("logger"), later("lots"), later("marked"), later("may"), later("method"),
    later("new price"), later("nose"), later("nothing left behind"), later("odds"),
    later("options"), later("parcel"), later("person"), later("picture"), later("premium"),
    later("question"), later("quote"), later("removal by"), later("removal days"),
    later("resale share"), later("resolution"), later("rivals"), later("role"), later("sale"),
    later("serial"), later("since"), later("size bytes"), later("slot"), later("stage"),
    later("standard"), later("storage days free"), later("storage eur m2 month"), later("supply"),
    later("supply outlet"), later("supply phases"), later("tax reclaimable"), later("tax scheme"),
    later("tolerance"), later("tooling"), later("torque"), later("travel"), later("units"),
    later("uses rigger"), later("valid until"), later("values"), later("vendor"), later("waste"),
    later("waybill"), later("weights"), later("wet"),
    later("year"),
)  # fmt: skip
"""Fields whose own name is what a page says; here they are found by who translates."""


def field_word(name: str) -> str:
    """What a field is called.

    Parameters
    ----------
    name : str
        Of a record's field.

    Returns
    -------
    str
        A field without words of its own is called by its name, without its unit and its day.

    Examples
    --------
    >>> field_word("door_width_mm"), field_word("worked_on"), field_word("grade")
    ('door width', 'worked', 'how sure')
    """
    told = FIELD_WORDS.get(name)
    return say(told) if told is not None else say(_bare(name).replace("_", " "))


def unit_of(name: str) -> str:
    """The unit of a field, by the end of its name.

    Parameters
    ----------
    name : str
        Of a record's field.

    Returns
    -------
    str
        Empty where it has none.

    Examples
    --------
    >>> unit_of("mass_kg"), unit_of("floor_kg_m2"), unit_of("name")
    ('kg', 'kg/m²', '')
    """
    ends = sorted((end for end in UNITS if name.endswith(end)), key=len)
    return UNITS[ends[-1]] if ends else ""


def is_shown(kind: str, name: str) -> bool:
    """Whether a field of a kind of record is told on its page.

    Parameters
    ----------
    kind, name : str
        Of the record, of the field.

    Returns
    -------
    bool

    Examples
    --------
    >>> is_shown("frozen", "sheet"), is_shown("frozen", "hammer")
    (False, True)
    """
    return name not in NOT_SHOWN and name not in NOT_SHOWN_OF.get(kind, ())


def _bare(name: str) -> str:
    ends = sorted((end for end in (*UNITS, "_on") if name.endswith(end)), key=len)
    return name.removesuffix(ends[-1]) if ends else name
