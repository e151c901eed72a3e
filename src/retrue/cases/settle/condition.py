"""The condition record of one machine, put together from what its shop keeps."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from datetime import date

from retrue.base.say import later, say
from retrue.cases.settle import condition_came as came
from retrue.cases.settle import condition_done as work
from retrue.cases.settle import condition_found as found
from retrue.cases.settle import condition_proved as results
from retrue.cases.settle.condition_kept import RecordKept
from retrue.cases.settle.condition_open import open_items
from retrue.cases.settle.guards import guard_lines
from retrue.cases.settle.record_lines import (
    ConditionRecord,
    OpenItem,
    Part,
    Reported,
    Stated,
    part,
)
from retrue.kinds.library import Kind
from retrue.records.settling import SoldAs

SETTLE = "settle"  # the word by which a caution says that it stands before a sale
TURNED = "P8"  # the stage of first power at which the spindle turns
AS_SOLD: dict[SoldAs, str] = {
    "as_found": later("Sold as found: as it stood on the day of this record."),
    "running": later("Sold as running: its stages of first power are signed, as listed."),
    "proven": later("Sold as proven: with the results that are listed, as of their days."),
    "parts": later("Sold as parts. Not to be put in use as a machine."),
}
STANDS_FOR = later(
    "States what was seen and measured on the dates given. No promise of fitness for any use. "
    "Local law comes first; duties of seller and user on guards (as in EU 2009/104/EC and US "
    "OSHA 1910.212, both from memory, unverified) are for a competent person to look up."
)


def condition(
    kept: RecordKept,
    *,
    on: date,
    sold_as: SoldAs,
    by: str = "",
    version: str = "",
    shares: Mapping[str, float] | None = None,
) -> ConditionRecord:
    """Put a condition record together; whether it may be given is asked of ``still_open``.

    Parameters
    ----------
    kept : RecordKept
    on : date
        The day it is made.
    sold_as : str
        as_found, running, proven or parts.
    by : str
        Who makes it.
    version : str
        Of the program.
    shares : mapping of str to float or None
        Chance of each fault to be there now; None: not reckoned.

    Returns
    -------
    ConditionRecord
        Of a machine sold as parts with everything that is open.

    References
    ----------
    Grades: 3 saw it, 4 measured, 5 with a checked instrument; below that it is reported. By
    definition.
    """
    as_found, looked = found.found_parts(kept)
    never, again = found.untested(kept)
    left = still_open(kept, sold_as)
    made = ConditionRecord(
        machine=kept.spot.name,
        kind=kept.kind.name,
        made_on=on.isoformat(),
        made_by=by,
        sold_as=sold_as,
        sold_words=sold_words(sold_as, left),
        stands_for=STANDS_FOR,
        cautions=cautions(kept.kind),
        title=part(came.title(kept)),
        as_found=as_found,
        looked=looked,
        done=part(work.done(kept)),
        proved=results.proved(kept),
        stages=part([*results.stages(kept), *found.tried(kept)]),
        quiet=part(results.quiet(kept)),
        settings=work.settings(kept),
        parts=part(work.parts(kept)),
        known=found.known_part(kept, shares or {}),
        live_with=found.live_with(kept),
        guards=guard_lines(kept),
        open=left if sold_as == "parts" else (),
        untested=never,
        again=again,
        data=part(work.data(kept)),
        included=part(work.included(kept)),
        moved=part(came.moved(kept)),
        pictures=came.pictures(kept),
        edition=version,
    )
    return _nothing_to_come(made)


def _nothing_to_come(made: ConditionRecord) -> ConditionRecord:
    """Nothing that is dated after the day of the record stands in it as a fact."""
    every = {one.name: getattr(made, one.name) for one in fields(made)}
    later = {
        name: Part(
            stated=tuple(fact for fact in one.stated if fact.on <= made.made_on),
            reported=(*one.reported, *(_to_come(f) for f in one.stated if f.on > made.made_on)),
        )
        for name, one in every.items()
        if isinstance(one, Part)
    }
    return ConditionRecord(**every | later)


def _to_come(fact: Stated) -> Reported:
    how = say("dated {day}, after the day of this record", day=fact.on)
    return Reported(what=fact.what, how=how, on=fact.on)


def still_open(kept: RecordKept, sold_as: SoldAs) -> tuple[OpenItem, ...]:
    """Everything that keeps a record closed, as what the machine is sold for.

    Parameters
    ----------
    kept : RecordKept
    sold_as : str

    Returns
    -------
    tuple of OpenItem
        What is sold as running needs its spindle's first turn signed; as proven, a result that
        is proved good, none that is proved bad, and none measured before later work.
    """
    items = list(open_items(kept))
    if sold_as in ("running", "proven") and not _turned(kept):
        what = say("the first turn of its spindle is not signed")
        items.append(OpenItem(id=TURNED, sort="power", what=what,
                              clears=say("Sign it, or sell it as found.")))  # fmt: skip
    if sold_as == "proven":
        every = results.proved(kept)
        rulings = {one.ruling for one in every}
        items += [
            OpenItem(id="proven", sort="power", what=f"{one.title}: {one.apart}",
                     clears=say("Measure it again, or sell it as running."))
            for one in every
            if one.aged
        ]  # fmt: skip
        if "proved_bad" in rulings or "proved_good" not in rulings:
            what = say("nothing is proved good, or something is proved bad")
            items.append(OpenItem(id="proven", sort="power", what=what,
                                  clears=say("Measure it, or sell it as running.")))  # fmt: skip
    return tuple(items)


def _turned(kept: RecordKept) -> bool:
    return any(one.signed and one.stage.stage == TURNED for one in kept.power.progress.values())


def sold_words(sold_as: SoldAs, left: tuple[OpenItem, ...]) -> str:
    """As what it is sold, in words.

    Parameters
    ----------
    sold_as : SoldAs
    left : tuple of OpenItem

    Returns
    -------
    str

    Examples
    --------
    >>> sold_words("parts", ())
    'Sold as parts. Not to be put in use as a machine.'
    """
    told = AS_SOLD[sold_as]
    if sold_as != "parts" or not left:
        return told
    return say(
        "{told} {count} things are open, and listed here: nobody cleared them.",
        told=told, count=len(left),
    )  # fmt: skip


def cautions(kind: Kind) -> tuple[str, ...]:
    """What stands before everything else: the cautions of a sale, each with what it defers to.

    Parameters
    ----------
    kind : Kind

    Returns
    -------
    tuple of str
    """
    every = [one for one in kind.cautions.values() if SETTLE in _words(one.shown_before)]
    return tuple(
        say("{text} ({source}; from memory, unverified)", text=one.text, source=one.defers_to)
        if one.defers_to
        else one.text
        for one in every
    )


def _words(text: str) -> list[str]:
    return text.replace(",", " ").split()


def shares_of(kept: RecordKept, kinds: Mapping[str, Kind]) -> dict[str, float]:
    """Chance of each fault of the machine to be there now, from all that was found and done.

    Parameters
    ----------
    kept : RecordKept
    kinds : mapping of str to Kind

    Returns
    -------
    dict of str to float
        Empty where what was answered contradicts itself.
    """
    from retrue.belief.network import Impossible
    from retrue.belief.posterior import update
    from retrue.cases.evidence import evidence
    from retrue.cases.network import build

    built = build(kept.power.case, kinds)
    said, _ = evidence(kept.power.case, built)
    try:
        marginal = built.marginal_now(update(built.network, said).marginal)
    except Impossible:  # told where prices are told
        return {}
    return {
        fault: float(marginal[row])
        for (machine, fault), row in built.faults.items()
        if machine == kept.spot.name
    }
