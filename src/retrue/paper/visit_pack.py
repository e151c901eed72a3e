"""The visit pack: the looks that decide the price, on at most two pages, to be ticked in pencil."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from itertools import count, groupby

from retrue.base.formatter import minute, number
from retrue.base.say import say
from retrue.paper.codes import code_of
from retrue.paper.press import Paper, fitting, fullest, pages, press
from retrue.paper.square import square

PAGES = 2
_SCALES = (1.0, 0.93, 0.86)  # the smallest letters stay above 6.5 points
_BOXES = {
    "yes_no": ("not seen", "seen", "can't tell"),
    "degree": ("not seen", "slight", "severe", "can't tell"),
    "measure": ("can't tell",),
}
_WHO = {
    "anyone": "",
    "competent": "only who may lock off and prove dead",
    "electrician": "only a licensed electrician",
}
_LONGEST = 220


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitLook:
    """One look on the sheet, in walking order."""

    check: str  # id; what the typed-in answer goes to
    machine: str
    place: str
    text: str
    answers: str  # yes_no, degree or measure
    who: str = "anyone"  # anyone, competent or electrician
    hazard: str = ""
    cautions: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    readings: tuple[tuple[str, str], ...] = ()  # what is read, its unit
    worth: float = 0.0  # what the answer is worth; the least goes first where room is short
    number: int | None = None  # of its box where the list is kept; None: counted on the paper


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitPack:
    """Everything a visitor takes along. Empty words print as blanks to be filled by hand."""

    set_name: str  # short name of the set, in the square pattern beside the code
    lot: str
    looks: tuple[VisitLook, ...]
    caution: str  # stands before the first look
    by: str = ""
    where: str = ""
    seed: int | None = None
    worlds: int | None = None
    version: str = ""
    kind_hash: str = ""
    code: str = ""  # under which the list is kept; empty: made from the looks
    address: str = ""  # where it is typed in; empty: the pattern holds the set's name and code


def visit_code(pack: VisitPack) -> str:
    """The code under which the answers of this sheet are typed in.

    Parameters
    ----------
    pack : VisitPack
        The pack as it is printed.

    Returns
    -------
    str
        Eight signs in two groups; the same looks of the same lot give the same code. A list that
        is kept under a code of its own prints that one.
    """
    if pack.code:
        signs = pack.code.replace("-", "")
        return f"{signs[:4]}-{signs[4:]}"
    return code_of(
        pack.set_name, pack.lot, *(f"{look.machine}\x1e{look.check}" for look in pack.looks)
    )


def visit_pack(pack: VisitPack, *, at: datetime, paper: Paper = "a4", language: str = "") -> bytes:
    """Print a visit pack.

    Parameters
    ----------
    pack : VisitPack
        Its looks in walking order, machine by machine.
    at : datetime
        When it was printed, with its offset.
    paper : "a4" or "us-letter"
        Size of the paper.
    language : str
        Two letters.

    Returns
    -------
    bytes
        A PDF of at most two pages. Where the looks do not fit, letters shrink a little first;
        then the looks that decide least are left out, and the sheet says how many.
    """
    code = visit_code(pack)
    fixed = _fixed(pack, code, at, language) | {"paper": paper}
    pictures = {"square.svg": square(pack.address or f"{pack.set_name} {code}")}

    def printing(kept: int, scale: float = _SCALES[-1]) -> bytes:
        looks = _most_worth(pack.looks, kept)
        data = fixed | _looks(looks, len(pack.looks) - kept, language) | {"scale": scale}
        return press("visit_pack", data, at=at, pictures=pictures)

    count = len(pack.looks)
    whole = fitting((printing(count, scale) for scale in _SCALES), PAGES)
    return whole if pages(whole) <= PAGES else fullest(printing, count - 1, PAGES)


def _most_worth(looks: tuple[VisitLook, ...], kept: int) -> tuple[VisitLook, ...]:
    """Those worth most, still in walking order."""
    best = sorted(range(len(looks)), key=lambda index: (-looks[index].worth, index))[:kept]
    return tuple(looks[index] for index in sorted(best))


def _fixed(pack: VisitPack, code: str, at: datetime, language: str) -> dict[str, object]:
    """What stands on the sheet however many looks it holds."""
    sentences = {
        "title": "Visit: {lot}",
        "kicker": "Tick in pencil. A line without a tick counts as not looked.",
        "note": "Notes, numbers on the plates, what was said",
        "tools": "To bring",
        "estimate": "For planning.",
        "before": "Before",
        "page": "page",
        "square_says": "square pattern with the name of this set and the code printed beside it",
    }
    cells = (
        ("Lot", pack.lot),
        ("Sheet", say("visit", language=language)),
        ("By", pack.by),
        ("On", minute(at)),
        ("Where", pack.where),
        ("Visited by, on", ""),
        ("Seed, worlds", _seed(pack)),
        ("Edition", f"retrue {pack.version} {pack.kind_hash[:8]}" if pack.version else ""),
    )
    return {
        "words": {
            key: say(text, language=language, lot=_short(pack.lot, 90))
            for key, text in sentences.items()
        },
        "title": say(sentences["title"], language=language, lot=_short(pack.lot, 90)),
        "by": pack.by,
        "language": language,
        "caution": _short(pack.caution, 400),
        "set_name": _short(pack.set_name, 40),
        "code": code,
        "block": [
            {"name": say(name, language=language), "value": _short(value, 46)}
            for name, value in cells
        ],
    }


def _seed(pack: VisitPack) -> str:
    return "" if pack.seed is None else f"{pack.seed}, {number(pack.worlds or 0)}"


def _looks(looks: tuple[VisitLook, ...], left_out: int, language: str) -> dict[str, object]:
    """Groups by machine and place; each caution in full once, then by its letter."""
    letters: dict[str, str] = {}
    groups = []
    numbers = count(1)
    for (machine, place), rows in groupby(looks, key=lambda look: (look.machine, look.place)):
        lines = list(rows)
        new: list[dict[str, str]] = []
        for text in dict.fromkeys(text for look in lines for text in look.cautions):
            if text not in letters:
                letters[text] = _letter(len(letters))
                new.append({"letter": letters[text], "text": _short(text, 400)})
        groups.append(
            {
                "machine": _short(machine, 60),
                "place": _short(place, 60),
                "cautions": new,
                "looks": [
                    _line(look, letters, language) | {"number": look.number or next(numbers)}
                    for look in lines
                ],
            }
        )
    tools = dict.fromkeys(tool for look in looks for tool in look.tools)
    more = "{count} more looks are left out here; they decide least."
    return {
        "groups": groups,
        "tools": list(tools),
        "more": say(more, language=language, count=left_out) if left_out else "",
    }


def _line(look: VisitLook, letters: dict[str, str], language: str) -> dict[str, object]:
    who = _WHO[look.who]
    return {
        "text": _short(look.text),
        "who": say(who, language=language) if who else "",
        "hazard": _short(look.hazard, 120),
        "letters": [letters[text] for text in look.cautions],
        "boxes": [say(word, language=language) for word in _BOXES[look.answers]],
        "readings": [{"name": _short(name, 60), "unit": unit} for name, unit in look.readings[:2]],
    }


def _letter(index: int) -> str:
    """A, B ... Z, AA, AB ... for cautions in the order of their need."""
    first, second = divmod(index, 26)
    return (chr(ord("A") + first - 1) if first else "") + chr(ord("A") + second)


def _short(text: str, longest: int = _LONGEST) -> str:
    clean = " ".join(text.split())
    return clean if len(clean) <= longest else clean[: longest - 1].rstrip() + "…"
