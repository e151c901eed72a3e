"""What a shop keeps of taking one machine apart, read once for every page and rule."""

from __future__ import annotations

from collections.abc import Mapping

from retrue.cases.kept_case import line_of
from retrue.cases.spot import Spot
from retrue.cases.strip.gates import Pictured, Said
from retrue.cases.strip.lines import TakenLine
from retrue.records.facts import File
from retrue.records.shop import RecordShop
from retrue.records.stripping import AsFound, Cleaned, PutBack, Taken

PICTURES = ("image/", "video/")


def pictures_of(shop: RecordShop, spot: Spot) -> tuple[Pictured, ...]:
    """Photographs of the machine's places, oldest first.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    spot : Spot

    Returns
    -------
    tuple of Pictured
    """
    kept = (line_of(shop, one) for one in shop.current(File, lot=spot.lot, machine=spot.machine))
    found = [
        (line.first.seq, Pictured(line.first.id, line.newest.fact.place, line.newest.fact.shot))
        for line in kept
        if line.newest.fact.place and line.newest.fact.media_type.startswith(PICTURES)
    ]
    return tuple(one for _, one in sorted(found, key=lambda pair: pair[0]))


def said_of(shop: RecordShop, spot: Spot) -> Mapping[str, Said]:
    """What was said of each line of the as-found list; the newest word counts.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    spot : Spot

    Returns
    -------
    mapping of str to Said
    """
    kept = shop.current(AsFound, lot=spot.lot, machine=spot.machine)
    return {one.fact.entry: Said(one.fact, one.id) for one in sorted(kept, key=lambda r: r.seq)}


def cleaned_of(shop: RecordShop, spot: Spot) -> Mapping[str, tuple[str, ...]]:
    """Sorts of muck that were taken off, by place.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    spot : Spot

    Returns
    -------
    mapping of str to tuple of str
    """
    found: dict[str, tuple[str, ...]] = {}
    for one in shop.current(Cleaned, lot=spot.lot, machine=spot.machine):
        found[one.fact.place] = (*found.get(one.fact.place, ()), one.fact.muck)
    return found


def taken_of(shop: RecordShop, spot: Spot) -> tuple[TakenLine, ...]:
    """Everything that was undone, in the order of taking apart.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    spot : Spot
        Its kind may be missing: places are then named by their ids.

    Returns
    -------
    tuple of TakenLine
        By the step that was written, else by the order in which it was first kept; of two at one
        step the written one comes first.

    Examples
    --------
    >>> class Empty:
    ...     def current(self, kind, **where):
    ...         return []
    >>> taken_of(Empty(), Spot(lot="1", lot_name="school", machine="2", name="mill", kind=None))
    ()
    """
    kept = [line_of(shop, one) for one in shop.current(Taken, lot=spot.lot, machine=spot.machine)]
    kept.sort(key=lambda line: line.first.seq)
    back = {one.fact.taken for one in shop.current(PutBack, lot=spot.lot, machine=spot.machine)}
    files: dict[str | None, list[str]] = {}
    for one in pictures_of(shop, spot) if kept else ():
        files.setdefault(one.shot, []).append(one.id)
    places = spot.kind.places if spot.kind else {}
    steps = [line.newest.fact.step or rank for rank, line in enumerate(kept, 1)]
    written = [line.newest.fact.step is not None for line in kept]
    order = sorted(range(len(kept)), key=lambda at: (steps[at], not written[at], at))
    made = []
    for at in order:
        line, fact = kept[at], kept[at].newest.fact
        names = ("code", "sort", "place", "what", "from_end", "to_end", "count", "torque_nm",
                 "shim_mm", "state", "text")  # fmt: skip
        made.append(
            TakenLine(
                id=line.first.id,
                record=line.newest.id,
                place_name=places[fact.place].name if fact.place in places else fact.place,
                step=steps[at],
                files=tuple(files.get(fact.code, ())),
                when=line.first.observed_at,
                by=line.first.by,
                back=line.first.id in back,
                **{name: getattr(fact, name) for name in names},
            )
        )
    return tuple(made)
