"""An invented sale that is kept in a shop: two machines among cabinets."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from tests.cases.priced import LATHE, MILL, kinds, lot, used

from retrue.cases.screen.parts import Part, PartDone, Work
from retrue.kinds.library import Kind
from retrue.phases import worth
from retrue.records.screening import Catalogue
from retrue.records.shop import Record, RecordShop

WORLDS = 100
NAME = "school sale"
MACHINES = "1;CNC turning centre;2001;500\n2;vertical machining centre;1999;500\n"


def table(lots: int = 30, *, machines: bool = True) -> bytes:
    """A table of so many lots; the first two are machines, if wanted."""
    first, begin = (MACHINES, 3) if machines else ("", 1)
    rows = "".join(f"{number};cabinet with drawers;;20\n" for number in range(begin, lots + 1))
    return f"lot;title;year;asking\n{first}{rows}".encode()


def said(**more: object) -> Catalogue:
    """What is said of the sale."""
    plain: dict[str, object] = {"name": NAME, "premium": 0.16, "distance_km": 40.0}
    return Catalogue(content_sha256="", file_name="sale.csv", year=0, **(plain | more))


def buying(shop: RecordShop) -> None:
    """A shop that needs both machines, and what else would do."""
    case = lot()
    worth.keep_shop(shop, case.shop, by="An")
    for need in case.needs:
        worth.keep_need(shop, need, by="An")
    for kind in (MILL, LATHE):  # dear: the machines of the sale are worth having
        worth.keep_alternative(shop, used(kind, 36_000, 40_000, 46_000), by="An")


def keep(
    shop: RecordShop, lots: int = 30, by: str = "An", *, machines: bool = True
) -> Record[Catalogue]:
    """The sale, kept."""
    return worth.keep_catalogue(shop, table(lots, machines=machines), said(), kinds(), by=by)


class Counting:
    """One part after the other; what was worked on is counted, and it may break."""

    def __init__(self, breaks_at: int | None = None) -> None:
        self.worked: list[int] = []
        self.breaks_at = breaks_at

    def run(
        self, work: Work, parts: Sequence[Part], kinds: Mapping[str, Kind]
    ) -> Iterator[PartDone]:
        """Every part once."""
        for part in parts:
            if len(self.worked) == self.breaks_at:
                raise RuntimeError("the power is gone")
            self.worked.append(part.number)
            yield work(part, kinds)
