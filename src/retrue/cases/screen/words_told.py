"""What the words of a title or a remark say beside the type: year, number, mass, travels. Pure.

Words in six languages: common practice, no source. Only what a word names is taken for a fact; what
stands without one is a guess, told with its reason, or nothing.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from decimal import Decimal

from retrue.base.say import say
from retrue.cases.screen.cell_numbers import INSIDE, number_of
from retrue.cases.screen.cell_sizes import in_unit
from retrue.cases.screen.cell_ways import Heard, Ways
from retrue.cases.screen.cells import MOST_OF_A_LOT, year_of

_N = INSIDE
_X = r"\s*[xX×*/]\s*"
YEAR_WORDS = (
    r"b\.?j\.?|bouwjaar|jaar|bauj(?:ahr)?\.?|jg\.?|jahrgang|built|year(?: built)?|yom|"
    r"year of manufacture|manufactured|made in|ann[ée]e|anno|a[ñn]o|fabrication"
)
OF_YEAR = r"del|van|uit|de|from|von|aus"  # only before four figures
_YEAR = re.compile(
    rf"(?i)(?<!\w)(?:{YEAR_WORDS})\s*[:.]?\s*(?:ca\.?\s*|circa\s*)?"
    r"('?[0-9]{2}(?![0-9])|(?:19|20)[0-9]{2}(?![0-9]))"
    rf"|(?<!\w)(?:{OF_YEAR})\s+((?:19|20)[0-9]{{2}})(?![0-9])"
)
_LONE_YEAR = re.compile(
    r"(?:^|[,;(/|]|\s[-\u2013])\s*((?:19|20)[0-9]{2})\s*(?=$|[,;)/|]|\s[-\u2013])"
)
_TIMES = re.compile(
    r"(?i)^\W*([0-9]{1,6})\s*[x×]\s+(?=[^\W\d_])|(?:[^\W\d_]|\))\s+[x×]\s?([0-9]{1,2})\s*$|"
    r"\(\s*([0-9]{1,2})\s*[x×]?\s*\)\s*$|\(\s*[x×]\s*([0-9]{1,6})\s*\)"
)
_LOT_OF = re.compile(
    r"(?i)(?<!\w)(?:lot of|lot de|lotto di|lote de|lot van|partij van|partij|posten von|set of|"
    r"set van|konvolut)\s+([0-9]{1,6})(?![0-9.,])|(?<!\w)([0-9]{1,2})\s*(?:pcs|pieces|units|"
    r"st\.|stuks|st[üu]ck|stk\.?|pi[èe]ces|pezzi|pz\.?|unidades|uds\.?)(?!\w)"
)
_LEADING = re.compile(r"^\W*([0-9]{1,2})\s+(?=([^\W\d_]{3,}))")
NO_COUNT = ("axis", "axes", "assen", "assig", "achs", "achsen", "assi", "ejes", "jaw", "backen",
            "ton", "tons", "volt", "spindle", "speed", "position", "inch", "meter",
            "metre")  # fmt: skip
_WORD_COUNT = re.compile(
    r"(?i)^\W*(two|twee|zwei|deux|due|dos|three|drie|drei|trois|tre|tres|pair of|paar|ein paar|"
    r"paire de|coppia di|pareja de)\s+(?=[^\W\d_])"
)
COUNT_WORDS = {"three": 3, "drie": 3, "drei": 3, "trois": 3, "tre": 3, "tres": 3}
_AXES = re.compile(
    rf"(?i)(?<!\w)x\s*[:=]?\s*({_N})\s*(?:mm)?\s*[,;/x×]?\s*y\s*[:=]?\s*({_N})\s*(?:mm)?"
    rf"\s*[,;/x×]?\s*z\s*[:=]?\s*({_N})"
)
TRAVEL_WORDS = (
    r"travels?|strokes?|x\s*[/,x-]?\s*y\s*[/,x-]?\s*z|verfahrwege?|slag(?:en)?|verplaatsing(?:en)?|"
    r"courses?|cursos?|corse|corsa|recorridos?|arbeitsbereich|bereik"
)
_TRAVELS = re.compile(
    rf"(?i)(?<!\w)(?:{TRAVEL_WORDS})(?:\s*x\s*/\s*y\s*/\s*z)?\s*[:=]?\s*({_N}){_X}({_N})(?:{_X}({_N}))?"
)
_TRAVELS_BEFORE = re.compile(
    rf"(?i)({_N}){_X}({_N}){_X}({_N})\s*(?:mm)?\s*\(?(?:{TRAVEL_WORDS})(?!\w)"
)
_UNIT = r"\s*({})(?![\w/])"
_MASS = re.compile(rf"(?i)({_N})" + _UNIT.format("kg|kgs|t|to|tonnes?|tonnen|ton"))
LOAD_WORDS = re.compile(
    r"(?i)(load|belasting|tischlast|belastung|charge|carico|carga|workpiece|werkst\w*|pi[èe]ce|pezzo|"
    r"pieza|lift\w*|hijs\w*|trag\w*|hub\w*|capacity|capaciteit)\W*(?:\w+\W+){0,2}$"
)
MASS_WORDS = re.compile(
    r"(?i)(weight|gewicht|mass\w*|poids|peso|weighs|weegt|wiegt|p[èe]se)\W*(?:\w+\W+){0,2}$"
)
BROKEN = re.compile(
    r"(?i)(?<!\w)(?:defect|defective|broken|not working|does not (?:start|run|work)|for (?:parts|"
    r"spares)|spares or repair|without (?:cnc )?control|no control|incomplete|crashed|crash|scrap|"
    r"kapot|defecte?|werkt niet|start niet|voor onderdelen|zonder (?:cnc-?\s?)?besturing|"
    r"incompleet|onvolledig|en panne|hors service|h\.?s\.?|pour pi[èe]ces|sans commande|"
    r"incompl[èe]te?|defekt|ohne (?:cnc-?\s?)?steuerung|l[äa]uft nicht|ersatzteiltr[äa]ger|bastler|"
    r"unvollst[äa]ndig|guast[oa]|non funzionante|per ricambi|senza controllo|incomplet[oa]|"
    r"averiad[oa]|sin control|no funciona|para (?:piezas|repuestos))(?!\w)"
)
"""Words that say that something is wrong: they move no price, for nobody says what."""

NOT_BROKEN = re.compile(
    r"(?i)(?<!\w)(?:not|no|never|without|niet|geen|zonder|nooit|nicht|keine?|ohne|nie|pas|sans|"
    r"non|senza|mai|sin|nunca)\W+$"
)
"""Words before them that say that it is not so."""
BEFORE = 24  # characters in which they stand

NEAR = 60  # characters before a mass among which its word is looked for
LEAST_MASS_KG = 500.0  # of a machine tool; less is a workpiece or a part of it (judgement)
_SPEED = re.compile(
    rf"(?i)({_N})"
    + _UNIT.format(r"rpm|1/min|u/min|upm|tr/min|t/min|omw/min|tpm|giri/min|min-1|r/min")
)
BAR_WORDS = (
    r"bar(?: capacity| diameter| feed)?|spindle bore|stafdoorlaat|doorlaat|stangendurchlass|"
    r"spindeldurchlass|stangendurchmesser|passage (?:de )?barre|passaggio barra|paso de barra"
)
_BAR = re.compile(rf"(?i)(?<!\w)(?:{BAR_WORDS})\s*[:=]?\s*[øØ]?\s*({_N})\s*(?:mm)?(?![\w/])")
_TAPER = re.compile(
    r"(?<!\w)((?:SK|ISO|BT|CAT|CT|HSK|NT)[\s-]?(?:[A-F][\s-]?)?(?:[2-6][05]|63|100)[A-F]?)(?!\w)"
)
DIAMETER_WORDS = (
    r"swing|turning diameter|draaidiameter|drehdurchmesser|diam[èe]tre de tournage|"
    r"diametro di tornitura|di[áa]metro torneable"
)
_DIAMETER = re.compile(rf"(?i)(?<!\w)(?:{DIAMETER_WORDS})\s*[:=]?\s*[øØ]?\s*({_N})")
LENGTH_WORDS = (
    r"turning length|between cent(?:re|er)s|draailengte|drehl[äa]nge|spitzenweite|entre[ -]pointes|"
    r"longueur de tournage|lunghezza di tornitura|distanza punte|entre puntos|longitud torneable"
)
_LENGTH = re.compile(
    rf"(?i)(?<!\w)(?:{LENGTH_WORDS})\s*[:=]?\s*({_N})|({_N})\s*(?:mm)?\s*(?:tussen de (?:punten|"
    r"centers)|between cent(?:re|er)s|entre[ -]pointes|tra le punte|entre puntos)(?!\w)"
)


def facts_in(text: str, ways: Ways) -> Iterator[Heard | str]:
    """Facts of a machine in words.

    Parameters
    ----------
    text : str
    ways : Ways

    Yields
    ------
    Heard or str
        A str says why something that looks like a fact is not read.

    Examples
    --------
    >>> ways = Ways(mark=None, year=2026)
    >>> [(one.field, one.value) for one in facts_in("2x CNC lathe, bj. 1998, ca. 3500 kg", ways)]
    [('count', 2), ('age_years', 28.0), ('mass_kg', 3500.0)]
    """
    for reader in READERS:
        try:
            yield from reader(text, ways)
        except ValueError as wrong:
            yield str(wrong)
    broken = next(broken_in(text), "")
    if broken:
        yield say("{words} moves no price here: ask what is wrong", words=f"“{broken}”")


def broken_in(text: str) -> Iterator[str]:
    """Words that say that something is wrong, unless the word before them denies it.

    Parameters
    ----------
    text : str

    Yields
    ------
    str

    Examples
    --------
    >>> list(broken_in("CNC lathe, incomplete, not crashed"))
    ['incomplete']
    """
    for one in BROKEN.finditer(text):
        if NOT_BROKEN.search(text[max(one.start() - BEFORE, 0) : one.start()]) is None:
            yield one[0]


def _count(text: str, ways: Ways) -> Iterator[Heard]:
    found = _TIMES.search(text) or _LOT_OF.search(text)
    why = ""
    if found is not None:
        count = int(next(one for one in found.groups() if one))
    elif (word := _WORD_COUNT.search(text)) is not None:
        count = COUNT_WORDS.get(word[1].casefold(), 2)
    elif (lead := _LEADING.search(text)) and not lead[2].casefold().startswith(NO_COUNT):
        count = int(lead[1])
        why = say("the number before the words is read as how many")
    else:
        return
    if 1 < count <= MOST_OF_A_LOT or (count > 1 and not why):
        yield Heard(field="count", value=count, why=why)


def _year(text: str, ways: Ways) -> Iterator[Heard]:
    found = _YEAR.search(text)
    why = ""
    if found is None:
        found = _LONE_YEAR.search(text)
        why = say("a year that stands alone is read as that of make")
    if found is not None:
        made, doubt = year_of(next(one for one in found.groups() if one), ways.year)
        reason = "; ".join(filter(None, (doubt, why)))
        yield Heard(field="age_years", value=float(ways.year - made), why=reason)


def _travel(text: str, ways: Ways) -> Iterator[Heard]:
    found = _AXES.search(text) or _TRAVELS.search(text) or _TRAVELS_BEFORE.search(text)
    if found is not None:
        sizes = tuple(float(number_of(one, ways.mark)) for one in found.groups() if one)
        if all(sizes):
            yield Heard(field="travel_mm", value=sizes)


def _mass(text: str, ways: Ways) -> Iterator[Heard]:
    seen: set[str] = set()
    for found in _MASS.finditer(text):
        before = text[max(found.start() - NEAR, 0) : found.start()]
        load, mass = LOAD_WORDS.search(before), MASS_WORDS.search(before)
        size, _ = in_unit(number_of(found[1], ways.mark), found[2], "kg")
        field = "load_kg" if load and not mass else "mass_kg"
        why = "" if load or mass else say("a mass that stands alone is read as the machine’s")
        if field in seen or size <= 0 or (why and size < LEAST_MASS_KG):
            continue
        seen.add(field)
        yield Heard(field=field, value=size, why=why)


def _one(field: str, pattern: re.Pattern[str]) -> Callable[[str, Ways], Iterator[Heard]]:
    def read(text: str, ways: Ways) -> Iterator[Heard]:
        found = pattern.search(text)
        if found is not None:
            size = number_of(next(one for one in found.groups() if one), ways.mark)
            if size > Decimal(0):
                yield Heard(field=field, value=float(size))

    return read


def _taper(text: str, ways: Ways) -> Iterator[Heard]:
    found = _TAPER.search(text)
    if found is not None:
        yield Heard(field="taper", value=found[1])


READERS: tuple[Callable[[str, Ways], Iterator[Heard]], ...] = (
    _count,
    _year,
    _mass,
    _travel,
    _one("diameter", _DIAMETER),
    _one("length", _LENGTH),
    _one("speed_rpm", _SPEED),
    _one("bar_mm", _BAR),
    _taper,
)
