"""Work that was done and is not proved: the look that still stands against it."""

from __future__ import annotations

from retrue.base.say import say
from retrue.cases.find.standing import Standing
from retrue.cases.fix.licensed import is_his
from retrue.kinds.library import Check, Kind


def look_again(kind: Kind, state: Standing, fault: str) -> str:
    """What still speaks against a fault that was put right, in words.

    Parameters
    ----------
    kind : Kind
        Of the machine.
    state : Standing
        As it is after the work.
    fault : str
        Its id.

    Returns
    -------
    str
        Empty: nothing does. A look that failed stands until it is made again, and so does the
        look that clears a danger that was found.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> from retrue.kinds.load import load
    >>> state = SimpleNamespace(treated=set(), absent=set(), present=set(), failed={"C22"},
    ...     found=set(), ways_tried={"F04": {"replace"}})
    >>> look_again(load()["vertical_machining_centre"], state, "F04")[:40]
    'done, and a look still stands against it'
    """
    if fault not in state.ways_tried or fault in (state.treated | state.absent) - state.present:
        return ""
    failed = [one for one in sorted(state.failed) if fault in kind.checks[one].links]
    cover = kind.stop_cover.get(fault)
    looks = failed or ([cover.check] if cover is not None and fault in state.found else [])
    if not looks:
        return ""
    named = "; ".join(_named(kind.checks[one]) for one in looks if one in kind.checks)
    return say(
        "done, and a look still stands against it: look again, and keep what you see ({look})",
        look=named,
    )


def _named(look: Check) -> str:
    """A look in words; one of a licensed electrician by its number alone."""
    if is_his(look):
        return say("{look}, by a licensed electrician", look=look.id)
    return look.text.rstrip(".")
