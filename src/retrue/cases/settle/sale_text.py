"""A plain text for the listing: it states what the condition record states, and nothing more."""

from __future__ import annotations

from collections.abc import Iterator

from retrue.base.formatter import money, number
from retrue.base.refusals import Unknown
from retrue.base.say import say, speaking, teach
from retrue.cases.settle.record_lines import ConditionRecord, Part, Proved
from retrue.records.settling import SoldAs

LANGUAGES = ("en", "nl", "fr", "de")
MOST = 12  # lines of one part; the record has all
OFFERED = "For sale: {machine} ({kind})."
AS_SOLD: dict[SoldAs, str] = {
    "as_found": "Sold as found, not tested in work.",
    "running": "Sold running, as described here and in its condition record.",
    "proven": "Sold running and measured, as described here and in its condition record.",
    "parts": "For parts or repair only. Not to be put to use as it stands.",
}
PRICE = "Asking price: {sum}."
SEEN = "Seen or measured by us:"
PROVED = "Measured, with what the reading may be off by:"
DONE = "Done to it:"
GOES_WITH = "Goes with it:"
OPEN = "Open, not cleared: {count} points, listed in its condition record."
UNTESTED = "Not tested, or not all of it: {places}."
REPORTED = "What we were only told, and did not see, is listed apart in its condition record."
RECORD = "The condition record is dated and carries a checksum. Ask for it before you come."
NO_PROMISE = (
    "This text states what was seen or measured on the days named. It promises no fitness for "
    "any work."
)
MORE = "and {count} more in the record"
KNOWN = "Known faults, found by us:"
KNOWN_TOLD = "Faults reported or suspected, not seen by us:"
BAD = "Measured and proved bad:"
GUARDS = "Guards and interlocks that are not proved:"
LIVED = "Lived with, as agreed:"
LIMIT = "limit {limit}"
RULED = {"proved_good": "proved good", "not_proved": "not proved", "proved_bad": "proved bad"}

teach(
    "nl",
    {
        OFFERED: "Te koop: {machine} ({kind}).",
        AS_SOLD["as_found"]: "Verkocht zoals aangetroffen, niet in bedrijf getest.",
        AS_SOLD["running"]: "Verkocht draaiend, zoals hier en in het toestandsrapport beschreven.",
        AS_SOLD["proven"]: "Verkocht draaiend en gemeten, zoals hier en in het toestandsrapport "
        "beschreven.",
        AS_SOLD["parts"]: "Alleen voor onderdelen of herstelling. Niet te gebruiken in deze "
        "toestand.",
        PRICE: "Vraagprijs: {sum}.",
        SEEN: "Door ons gezien of gemeten:",
        PROVED: "Gemeten, met de meetonzekerheid erbij:",
        DONE: "Eraan gedaan:",
        GOES_WITH: "Hoort erbij:",
        OPEN: "Open, niet vrijgegeven: {count} punten, vermeld in het toestandsrapport.",
        UNTESTED: "Niet of niet geheel getest: {places}.",
        REPORTED: "Wat ons alleen verteld is en wat wij niet zagen, staat apart in het "
        "toestandsrapport.",
        RECORD: "Het toestandsrapport is gedateerd en draagt een controlegetal. Vraag het voor u "
        "komt.",
        NO_PROMISE: "Deze tekst zegt wat op de genoemde dagen gezien of gemeten is. Hij belooft "
        "geen geschiktheid voor enig werk.",
        MORE: "en nog {count} in het rapport",
        KNOWN: "Gekende gebreken, door ons vastgesteld:",
        KNOWN_TOLD: "Gebreken gemeld of vermoed, niet door ons gezien:",
        BAD: "Gemeten en slecht bevonden:",
        GUARDS: "Afschermingen en vergrendelingen die niet bewezen zijn:",
        LIVED: "Waarmee geleefd wordt, zoals afgesproken:",
        LIMIT: "grens {limit}",
        RULED["proved_good"]: "goed bewezen",
        RULED["not_proved"]: "niet bewezen",
        RULED["proved_bad"]: "slecht bewezen",
    },
)
teach(
    "fr",
    {
        OFFERED: "À vendre : {machine} ({kind}).",
        AS_SOLD["as_found"]: "Vendue dans l’état trouvé, non essayée en travail.",
        AS_SOLD["running"]: "Vendue en marche, comme décrit ici et dans son rapport d’état.",
        AS_SOLD["proven"]: "Vendue en marche et mesurée, comme décrit ici et dans son rapport "
        "d’état.",
        AS_SOLD["parts"]: "Uniquement pour pièces ou réparation. À ne pas utiliser dans cet état.",
        PRICE: "Prix demandé : {sum}.",
        SEEN: "Vu ou mesuré par nous :",
        PROVED: "Mesuré, avec l’incertitude de la mesure :",
        DONE: "Travaux faits :",
        GOES_WITH: "Est fourni avec :",
        OPEN: "Ouvert, non levé : {count} points, énumérés dans son rapport d’état.",
        UNTESTED: "Non essayé, ou pas entièrement : {places}.",
        REPORTED: "Ce qui nous a seulement été dit, sans que nous l’ayons vu, est énuméré à part "
        "dans son rapport d’état.",
        RECORD: "Le rapport d’état est daté et porte une somme de contrôle. Demandez-le avant de "
        "venir.",
        NO_PROMISE: "Ce texte dit ce qui a été vu ou mesuré aux jours indiqués. Il ne promet "
        "l’aptitude à aucun travail.",
        MORE: "et {count} de plus dans le rapport",
        KNOWN: "Défauts connus, constatés par nous :",
        KNOWN_TOLD: "Défauts signalés ou supposés, non vus par nous :",
        BAD: "Mesuré et prouvé mauvais :",
        GUARDS: "Protecteurs et verrouillages non prouvés :",
        LIVED: "Laissé en l’état, comme convenu :",
        LIMIT: "limite {limit}",
        RULED["proved_good"]: "prouvé bon",
        RULED["not_proved"]: "non prouvé",
        RULED["proved_bad"]: "prouvé mauvais",
    },
)
teach(
    "de",
    {
        OFFERED: "Zu verkaufen: {machine} ({kind}).",
        AS_SOLD["as_found"]: "Verkauft wie vorgefunden, nicht in Arbeit geprüft.",
        AS_SOLD["running"]: "Verkauft laufend, wie hier und im Zustandsbericht beschrieben.",
        AS_SOLD["proven"]: "Verkauft laufend und gemessen, wie hier und im Zustandsbericht "
        "beschrieben.",
        AS_SOLD["parts"]: "Nur für Teile oder zur Reparatur. So nicht in Betrieb zu nehmen.",
        PRICE: "Preisvorstellung: {sum}.",
        SEEN: "Von uns gesehen oder gemessen:",
        PROVED: "Gemessen, mit der Unsicherheit der Messung:",
        DONE: "Daran gemacht:",
        GOES_WITH: "Geht mit:",
        OPEN: "Offen, nicht freigegeben: {count} Punkte, im Zustandsbericht aufgeführt.",
        UNTESTED: "Nicht oder nicht ganz geprüft: {places}.",
        REPORTED: "Was uns nur gesagt wurde und was wir nicht gesehen haben, steht getrennt im "
        "Zustandsbericht.",
        RECORD: "Der Zustandsbericht ist datiert und trägt eine Prüfsumme. Fragen Sie danach, "
        "bevor Sie kommen.",
        NO_PROMISE: "Dieser Text sagt, was an den genannten Tagen gesehen oder gemessen wurde. Er "
        "verspricht keine Eignung für irgendeine Arbeit.",
        MORE: "und {count} weitere im Bericht",
        KNOWN: "Bekannte Mängel, von uns festgestellt:",
        KNOWN_TOLD: "Gemeldete oder vermutete Mängel, von uns nicht gesehen:",
        BAD: "Gemessen und als schlecht erwiesen:",
        GUARDS: "Schutzeinrichtungen und Verriegelungen, die nicht erwiesen sind:",
        LIVED: "Womit man lebt, wie vereinbart:",
        LIMIT: "Grenze {limit}",
        RULED["proved_good"]: "als gut erwiesen",
        RULED["not_proved"]: "nicht erwiesen",
        RULED["proved_bad"]: "als schlecht erwiesen",
    },
)


def listing_text(
    record: ConditionRecord, ask: float | None, currency: str, *, language: str = "en"
) -> str:
    """The listing in plain words.

    Parameters
    ----------
    record : ConditionRecord
        As it stands on that day.
    ask : float or None
        In ``currency``; None: no price is named.
    currency : str
    language : str
        en, nl, fr, de: of the sentences around; what the record states stays as it states it.

    Returns
    -------
    str
        A text to paste. Known faults, what is proved bad and guards not proved stand first and
        uncut. Only grades of 3 and better stand in it as facts.

    Raises
    ------
    Unknown
        A language we do not have.

    Examples
    --------
    >>> listing_text(None, None, "EUR", language="xx")
    Traceback (most recent call last):
    retrue.base.refusals.Unknown: there is no text in the language xx
    """
    if language not in LANGUAGES:
        raise Unknown(
            say("there is no text in the language {wanted}", wanted=language),
            remedy=say("Languages: {words}.", words=", ".join(LANGUAGES)),
        )
    with speaking(language):
        return "\n".join(_lines(record, ask, currency, language))


def _lines(
    record: ConditionRecord, ask: float | None, currency: str, language: str
) -> Iterator[str]:
    yield say(OFFERED, language=language, machine=record.machine, kind=record.kind)
    yield say(AS_SOLD[record.sold_as], language=language)
    if record.open:
        yield say(OPEN, language=language, count=len(record.open))
    if ask is not None:
        yield say(PRICE, language=language, sum=money(ask, currency))
    yield from _faults(record, language)
    good = [one for one in record.proved if not one.apart and one.ruling != "proved_bad"]
    yield from _block(SEEN, _stated(record.looked), language)
    yield from _block(PROVED, [_proved(one, language) for one in good], language)
    yield from _block(DONE, _stated(record.done), language)
    yield from _block(GOES_WITH, _stated(record.included), language)
    yield ""
    if record.untested:
        places = ", ".join(str(one.place) for one in record.untested)
        yield say(UNTESTED, language=language, places=places)
    yield say(REPORTED, language=language)
    yield say(RECORD, language=language)
    yield say(NO_PROMISE, language=language)


def _faults(record: ConditionRecord, language: str) -> Iterator[str]:
    """What speaks against it, first and uncut: found, reported, proved bad, guards not proved."""
    told = [f"{one.what} ({one.how})" for one in record.known.reported]
    bad = [one for one in record.proved if one.ruling == "proved_bad"]
    guards = [f"{one.name}: {one.words}" for one in record.guards if one.open]
    for heading, lines in (
        (KNOWN, _stated(record.known)),
        (LIVED, list(record.live_with)),
        (BAD, [_proved(one, language) for one in bad]),
        (GUARDS, guards),
        (KNOWN_TOLD, told),
    ):
        yield from _block(heading, lines, language, most=len(lines))


def _stated(part: Part) -> list[str]:
    return [f"{one.what} ({one.how})" for one in part.stated]


def _proved(one: Proved, language: str) -> str:
    """A result with its limit and its ruling; a reading alone would say nothing."""
    read = "" if one.value is None else f" {_sum(one.value, one.uncertainty)} {one.unit},"
    ruled = [say(RULED[one.ruling], language=language)] if one.ruling else []
    if one.limit is not None:
        limit = f"{number(one.limit, _digits(one.limit))} {one.unit}"
        ruled.insert(0, say(LIMIT, language=language, limit=limit))
    if one.apart:
        ruled.append(one.apart)
    tail = f"; {', '.join(map(str, ruled))}" if ruled else ""
    return f"{one.title}:{read} {one.on}{tail}"


def _sum(value: float, uncertainty: float | None) -> str:
    read = number(value, _digits(value))
    return read if uncertainty is None else f"{read} ± {number(uncertainty, _digits(uncertainty))}"


def _digits(value: float) -> int:
    return 0 if abs(value) >= 100 else 1 if abs(value) >= 1 else 3


def _block(heading: str, lines: list[str], language: str, *, most: int = MOST) -> Iterator[str]:
    if not lines:
        return
    yield ""
    yield say(heading, language=language)
    for line in lines[:most]:
        yield f"- {line}"
    if len(lines) > most:
        yield "- " + say(MORE, language=language, count=len(lines) - most)
