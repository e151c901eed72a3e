"""The best questions as a message to the seller, in his language."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from retrue.base.refusals import Unknown
from retrue.base.say import say, speaking, teach
from retrue.cases.case import LotCase
from retrue.cases.sheet import PriceSheet
from retrue.kinds.library import Kind

LANGUAGES = ("en", "nl", "fr", "de")
GREETING = "Good day,"
ABOUT = "I am interested in {lot}. Before I bid, may I ask you this?"
THANKS = "Pictures just as they are will do. Many thanks for your trouble, and kind regards"
OF_MACHINE = "{machine}: {ask}"

teach(
    "nl",
    {
        GREETING: "Goedendag,",
        ABOUT: "Ik heb interesse in {lot}. Mag ik u, voor ik een bod doe, het volgende vragen?",
        THANKS: "Foto's zoals ze zijn volstaan. Hartelijk dank voor de moeite, en vriendelijke "
        "groeten",
    },
)
teach(
    "fr",
    {
        GREETING: "Bonjour,",
        ABOUT: "Je suis intéressé par {lot}. Avant de faire une offre, puis-je vous demander "
        "ceci ?",
        THANKS: "Des photos toutes simples suffisent. Merci beaucoup pour votre peine, et bien "
        "cordialement",
    },
)
teach(
    "de",
    {
        GREETING: "Guten Tag,",
        ABOUT: "ich interessiere mich für {lot}. Darf ich Sie vor meinem Gebot Folgendes fragen?",
        THANKS: "Einfache Bilder genügen. Vielen Dank für Ihre Mühe und freundliche Grüße",
    },
)


def questions_for_seller(
    sheet: PriceSheet,
    case: LotCase,
    kinds: Mapping[str, Kind],
    *,
    language: str = "en",
    count: int = 5,
) -> str:
    """The best questions as a polite message in the seller's language.

    Parameters
    ----------
    sheet : PriceSheet
        Its questions, best first.
    case : LotCase
        For the names of lot and machines, and for what was asked already.
    kinds : mapping of str to Kind
        Texts of pictures to ask for and of telephone questions.
    language : str
        en, nl, fr, de.
    count : int
        How many at most.

    Returns
    -------
    str
        A message to paste: greeting, numbered questions, thanks.

    Raises
    ------
    Unknown
        A language we do not have.
    """
    if language not in LANGUAGES:
        raise Unknown(
            say("there is no text in the language {wanted}", wanted=language),
            remedy=say("Languages: {words}.", words=", ".join(LANGUAGES)),
        )
    with speaking(language):
        asks = list(dict.fromkeys(_asks(sheet, case, kinds, language)))[:count]
        lines = [say(GREETING), "", say(ABOUT, lot=case.lot.name), ""]
        lines += [f"{place}. {ask}" for place, ask in enumerate(asks, start=1)]
        return "\n".join([*lines, "", say(THANKS)])


def _asks(
    sheet: PriceSheet, case: LotCase, kinds: Mapping[str, Kind], language: str
) -> Iterator[str]:
    """Yield what to ask, best first; one picture answers several looks and is asked for once."""
    asked = {(row.machine, row.what) for row in case.asked}
    of = {machine.name: kinds[machine.kind] for machine in case.machines}
    given: set[tuple[str, str]] = set()
    for machine, check in _wanted(sheet, case, of):
        found = _source(of[machine], check)
        if found is None or (machine, found[0]) in asked | given:
            continue
        given.add((machine, found[0]))
        texts = found[1]
        text = texts.get(language) or texts.get("en", "")
        one = len(case.machines) == 1
        yield text if one else say(OF_MACHINE, machine=machine, ask=text)


def _wanted(sheet: PriceSheet, case: LotCase, of: Mapping[str, Kind]) -> Iterator[tuple[str, str]]:
    """Yield looks by what their answer is worth, then every telephone question in its order."""
    yield from ((row.machine, row.check) for row in sheet.questions if row.machine in of)
    answered = {(kept.finding.machine, kept.finding.check) for kept in case.findings}
    for place in range(max((len(kind.questions) for kind in of.values()), default=0)):
        for machine, kind in of.items():
            for question in list(kind.questions.values())[place : place + 1]:
                says = [chip for option in question.options for chip in option.says]
                if not any((machine, chip.id) in answered for chip in says):
                    yield machine, question.id


def _source(kind: Kind, what: str) -> tuple[str, Mapping[str, str]] | None:
    """The picture to ask for that shows a look, or the telephone question that answers it."""
    if what in kind.questions:
        return what, kind.questions[what].ask
    for shot in kind.shots.values():
        if what in shot.checks and not shot.view and shot.ask:
            return shot.id, shot.ask
    for question in kind.questions.values():
        if any(chip.id == what for option in question.options for chip in option.says):
            return question.id, question.ask
    return None
