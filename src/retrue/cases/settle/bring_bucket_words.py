"""Words by which it is guessed what money was spent on, in four languages.

Judgement, no source: a guess is shown with its reason, and what no word tells stays unplaced.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from retrue.cases.settle.bring_words import plain

BUCKET_WORDS: Mapping[str, str] = {
    "move": "haulage haulier transport truck lorry vervoer camion spedition",
    "removal": "rigging rigger crane loading kraan grue levage kran",
    "insurance": "insurance insurer verzekering assurance versicherung",
    "hook_up": "electrician wiring installateur elektricien electricien elektriker",
    "storage": "storage opslag stalling entreposage lagerung lagermiete",
    "premium": "premium opgeld veilingkosten auctionfee aufgeld",
    "parts": (
        "bearing bearings lager lagers roulement roulements kugellager walzlager belt belts riem "
        "riemen courroie keilriemen contactor schutz magneetschakelaar contacteur relay relais "
        "encoder seal seals dichting joint dichtung fuse fuses zekering fusible sicherung "
        "hose hoses slang flexible schlauch pump pomp pompe pumpe motor moteur wiper wipers "
        "ballscrew capacitor condensator condensateur kondensator battery cell"
    ),
    "consumables": (
        "oil olie huile coolant koelmiddel koelvloeistof kuhlschmierstoff grease vet "
        "graisse degreaser ontvetter degraissant rags lappen chiffons absorbent filter filters "
        "filtre skip container afval dechets"
    ),
    "outside": (
        "grinding slijpwerk rectification schleiferei winder winding wikkelaar bobinage wickelei "
        "welding laswerk soudure repair reparatie reparation reparatur regrind"
    ),
    "tooling": (
        "endmill endmills drill drills boor boren foret bohrer insert inserts wisselplaat "
        "plaquette wendeplatte toolholder gereedschap outillage werkzeug collet spantang pince "
        "spannzange tap taps"
    ),
    "hire": "hire rent rental huur verhuur location miete mietgerat leihgerat",
    "visit": "fuel petrol diesel benzine essence tankstation parking parkeren train trein hotel",
    "sale": "advert advertisement advertentie annonce anzeige",
    "running": "electricity stroom elektriciteit electricite strom energie",
}
"""Bucket to the words that tell it."""

_BY_WORD: Mapping[str, str] = {
    word: bucket for bucket, words in BUCKET_WORDS.items() for word in words.split()
}
MACHINE_WORDS: Mapping[str, tuple[str, ...]] = {
    "vertical_machining_centre": (
        "mill", "milling", "freesmachine", "freesbank", "fraiseuse", "frasmaschine",
    ),
    "milling_machine": ("mill", "milling", "freesmachine", "freesbank", "fraiseuse",
                        "frasmaschine"),
    "turning_centre": ("lathe", "turning", "draaibank", "tour", "drehmaschine", "drehbank"),
    "surface_grinder": ("grinder", "vlakslijper", "rectifieuse", "schleifmaschine"),
}  # fmt: skip
"""What a machine of a kind is called beside its name."""

_LEGAL = (
    "bv bvba nv sa srl sprl gmbh kg ag ltd llc inc plc co and en et und the de het van le la les "
    "der die das of for voor pour fur"
)
LEGAL = frozenset(_LEGAL.split())
"""Words that tell nobody apart."""
FIRST_LETTERS, LAST_LETTERS = 3, 4  # of the two words that a longer one is joined of
SHORTEST = 3  # letters of a word that tells somebody apart
_WORD = re.compile(r"[a-z0-9]+")


def words_of(*texts: str) -> frozenset[str]:
    """The words of some texts that tell anything.

    Parameters
    ----------
    *texts : str

    Returns
    -------
    frozenset of str
        In small letters without accents.

    Examples
    --------
    >>> sorted(words_of("De Lagerwinkel BV", "Gent"))
    ['gent', 'lagerwinkel']
    """
    found = (word for text in texts for word in _WORD.findall(plain(text)))
    return frozenset(word for word in found if len(word) >= SHORTEST and word not in LEGAL)


def buckets_by_words(words: frozenset[str]) -> Iterator[tuple[str, str]]:
    """Each bucket that a word tells, with that word, in the order of the table.

    Parameters
    ----------
    words : frozenset of str

    Yields
    ------
    tuple of (bucket, word)

    Examples
    --------
    >>> list(buckets_by_words(frozenset({"lagers", "spindle"})))
    [('parts', 'lagers')]
    >>> list(buckets_by_words(frozenset({"kogellagers"})))
    [('parts', 'kogellagers')]
    """
    told: dict[str, str] = {}
    for word in sorted(words):
        bucket = _bucket_of(word)
        if bucket:
            told.setdefault(bucket, word)
    for bucket in BUCKET_WORDS:
        if bucket in told:
            yield bucket, told[bucket]


def _bucket_of(word: str) -> str:
    """By the word itself, or by what a longer word of Dutch or German ends in."""
    if word in _BY_WORD:
        return _BY_WORD[word]
    for begin in range(FIRST_LETTERS, len(word) - LAST_LETTERS + 1):
        if word[begin:] in _BY_WORD:
            return _BY_WORD[word[begin:]]
    return ""
