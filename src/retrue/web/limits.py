"""How often, how much, how long: limits that stop a flood and keep nobody from working.

Nothing here is kept: a restart forgets it. The laptop itself is not counted.
"""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass, field
from datetime import datetime
from ipaddress import ip_address

from retrue.base.one_way import one_way

HEADER_BYTES = 16_000  # of all headers together
ADDRESS_BYTES = 8_000  # of path and query together
NAME_CHARACTERS = 200  # of a file's name; a longer one is cut, the file is kept
STRANGERS_BYTES = 1_000_000  # of a body that is not wanted, before the line is closed
STRANGERS_S = 5.0  # that is waited for it
STALLED_S = 60.0  # that a body may stand still before the line is given up

FORM_BYTES = 4_000_000  # typed: four thousand fields
TABLE_BYTES = 130_000_000  # one table, receipt, photograph or program, and a copy beside it
SOUND_BYTES = 600_000_000  # one recording or film
REQUEST_BYTES = 1_000_000_000  # a hundred whole photographs in one go

_LOT = "/lots/{lot}"
_MACHINE = _LOT + "/machines/{machine}"
_RECKONED = dict.fromkeys(
    (
        _MACHINE + "/move/{method}",
        _MACHINE + "/wake/reckon/{method}",
        _MACHINE + "/prove/reckon/{method}",
        _MACHINE + "/fix/match/{method}",
    ),
    TABLE_BYTES,
)
BODIES: dict[str, int] = _RECKONED | {
    "/lots": REQUEST_BYTES,
    _LOT + "/pictures": REQUEST_BYTES,
    _MACHINE + "/strip/shots": REQUEST_BYTES,
    _MACHINE + "/strip/apart": REQUEST_BYTES,
    _MACHINE + "/arrival/sides": REQUEST_BYTES,
    _MACHINE + "/strip/files": SOUND_BYTES,
    _MACHINE + "/strip/files/{file}": SOUND_BYTES,
    _MACHINE + "/move/data": SOUND_BYTES,
    _MACHINE + "/move/data/again": SOUND_BYTES,
    _MACHINE + "/prove/quiet": 2 * SOUND_BYTES,
    _MACHINE + "/wake/watch/{watch}/sound": SOUND_BYTES,
    _MACHINE + "/measure/{test}/new": SOUND_BYTES,
    _MACHINE + "/find": REQUEST_BYTES,
    _MACHINE + "/find/{aim}/did": REQUEST_BYTES,
    "/note": SOUND_BYTES,
    "/settle/check": TABLE_BYTES,
    "/settle/share": TABLE_BYTES,
    "/settle/import/read": TABLE_BYTES,
    "/settle/rates/file": TABLE_BYTES,
    "/settle/post": TABLE_BYTES,
    "/settle/book/{line}": TABLE_BYTES,
    "/fix/buy/read": TABLE_BYTES,
    "/screen": TABLE_BYTES,
}
"""The most that a page takes which takes files, by its route; every other takes a form."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rate:
    """How often somebody may ask.

    Attributes
    ----------
    at_once : int
        Requests, after a while of silence.
    a_second : float
        Requests, from then on.
    most : int
        How many askers are told apart; beyond that strangers share one allowance.
    """

    at_once: int
    a_second: float
    most: int


DEVICE = Rate(at_once=400, a_second=10.0, most=200)  # 50 readings, 10 photographs, a page of 60
STRANGER = Rate(at_once=60, a_second=1.0, most=500)


@dataclass(slots=True)
class _Allowance:
    left: float
    seen: datetime


@dataclass(slots=True)
class Askers:
    """Who asked how often, in a table that never grows beyond its bound."""

    rate: Rate
    table: OrderedDict[str, _Allowance] = field(default_factory=OrderedDict)

    def wait(self, who: str, now: datetime) -> float:
        """Count one request: 0 if it may go on, else the seconds after which one may.

        Examples
        --------
        >>> from datetime import UTC
        >>> askers, now = Askers(Rate(at_once=2, a_second=0.5, most=10)), datetime.now(UTC)
        >>> [askers.wait("phone-1", now) for _ in range(3)]
        [0.0, 0.0, 2.0]
        """
        mine = self._of(who, now)
        passed = max(0.0, (now - mine.seen).total_seconds())  # a clock that was set back
        mine.left = min(self.rate.at_once, mine.left + passed * self.rate.a_second)
        mine.seen = now
        if mine.left >= 1.0:
            mine.left -= 1.0
            return 0.0
        return (1.0 - mine.left) / self.rate.a_second

    def _of(self, who: str, now: datetime) -> _Allowance:
        if who not in self.table:
            if len(self.table) >= self.rate.most and not self._made_room(now):
                who = next(reversed(self.table))  # a crowd: they share what the newest has
            else:
                self.table[who] = _Allowance(float(self.rate.at_once), now)
        self.table.move_to_end(who)
        return self.table[who]

    def _made_room(self, now: datetime) -> bool:
        """Forget whoever was silent longest, if that one may ask at once again anyway."""
        oldest, allowance = next(iter(self.table.items()))
        silent = (now - allowance.seen).total_seconds() * self.rate.a_second
        if allowance.left + silent < self.rate.at_once:
            return False
        del self.table[oldest]
        return True


def asker_of(address: str) -> str:
    """Who a stranger's address is: of IPv6 the network, since a device takes many in it.

    Examples
    --------
    >>> asker_of("192.168.1.50"), asker_of("2001:db8::1:2:3")
    ('192.168.1.50', '2001:db8::')
    """
    try:
        known = ip_address(address.partition("%")[0])
    except ValueError:
        return ""
    if known.version == 4:
        return str(known)
    return str(ip_address(int(known) >> 64 << 64))


def short_name(name: str) -> str:
    """A file's name, cut in front if it is too long: its ending says what it is, and stands last.

    Examples
    --------
    >>> len(short_name("W" * 5000 + ".jpg")), short_name("mill.jpg")
    (200, 'mill.jpg')
    """
    return one_way(name)[-NAME_CHARACTERS:]
