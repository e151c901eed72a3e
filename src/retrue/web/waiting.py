"""Which forms may wait on a telephone while the laptop is away, and which may not."""

from __future__ import annotations

import re

LOT = r"/lots/[^/]+"
MACHINE = rf"{LOT}/machines/[^/]+"
STRIP = rf"{MACHINE}/strip"
AIM = rf"{MACHINE}/find/[^/]+"

WAITS: tuple[str, ...] = (
    r"/note(/alarm|/setting)?",
    rf"{LOT}/pictures",
    rf"{LOT}/pictures/[^/]+/(sort|tap|untap)",
    rf"{LOT}/call",
    r"/visits/[^/]+",
    rf"{MACHINE}/looks/[^/]+",
    rf"{MACHINE}/move/(steps|back)",
    rf"{MACHINE}/arrival(/sides)?",
    rf"{MACHINE}/rest/rounds",
    rf"{STRIP}/(ticks|shots|cleaning|apart|back)",
    rf"{STRIP}/places/[^/]+(/cleaned)?",
    rf"{STRIP}/apart/[^/]+",
    rf"{AIM}/(look|did|again|guess|opened|swap)",
    rf"{AIM}/answers/[^/]+(/back)?",
    rf"{MACHINE}/prove/quiet(/back)?",
    rf"{MACHINE}/wake/stages/[^/]+/(readings|found)",
    rf"{MACHINE}/wake/watch/[^/]+/(readings|back)",
    r"/sets/[^/]+(/all|/entered)?",
    r"/fix/mark(/back)?",
    r"/fix/waiting/[^/]+/(ring|back)",
    r"/settle/hours(/clock|/back)?",
)
"""Readings, ticks, notes, photographs, answers, hours: what is said once, where one stands."""

_WAITS = re.compile("|".join(f"({one})" for one in WAITS))


def may_wait(action: str) -> bool:
    """Whether what a form says is kept on the device until the laptop answers.

    Parameters
    ----------
    action : str
        Where the form goes.

    Returns
    -------
    bool
        False for what is agreed, signed, paid or set up: that needs an answer at once.

    Examples
    --------
    >>> may_wait("/note"), may_wait("/lots/a/machines/b/strip/ticks"), may_wait("/lots/a/freeze")
    (True, True, False)
    """
    return _WAITS.fullmatch(action.partition("?")[0]) is not None
