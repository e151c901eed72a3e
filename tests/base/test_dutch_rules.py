"""What Dutch owes its reader beside its words: two meanings of one word, marks, kept sentences."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from retrue.base.catalogue import doubts, program_sentences, read
from retrue.base.formatter import THIN
from retrue.base.recalled import recall, recalled
from retrue.base.say import english, later, say, speaking

# Between these a point or a comma is of a clause, a command, a grade or a list of what is typed.
NO_DECIMAL = re.compile(
    r"\b(?:IEC|ISO|EN|ASME|CFR|NFPA|OSHA|NIOSH|IEEE|NEC|DIN|VDI|ANSI|LOLER|IP)\b|retrue |`|--"
    r"|\bG\d|https?:|\.\d+\.\d|0\.\.3|'250\.5|\d\.\d; |, \d+\.\d|HTTP|TLS|versie"
)


@pytest.fixture
def dutch() -> Iterator[None]:
    with speaking("nl"):
        yield


@pytest.mark.parametrize(
    ("word", "sense", "said"),
    [
        ("in", "", "binnen"),
        ("in", "so much time from now", "over"),
        ("right", "", "in orde"),
        ("right", "side", "rechts"),
        ("left", "", "links"),
        ("left", "what stays", "blijft over"),
        ("line", "", "lijn"),
        ("line", "of a list", "regel"),
    ],
)
def test_one_english_word_has_each_of_its_meanings(dutch: None, word: str, sense: str, said: str):
    assert say(word, sense=sense) == said


def test_what_is_said_later_keeps_its_meaning(dutch: None):
    marked = later("line", sense="of a list")
    assert (str(marked), english(marked), marked == "line") == ("regel", "line", True)


def test_decimals_have_a_comma_and_thousands_a_thin_space():
    """Unicode CLDR, locale nl: decimal comma. ISO 80000-1:2022, 7.3: thousands apart."""
    wrong = [
        one.told
        for one in program_sentences()
        if re.search(r"(?<![\w.])\d+\.\d+(?![\w.])|\b[1-9]\d{0,2},\d{3}\b(?! (?:mm|lux))", one.told)
        and not NO_DECIMAL.search(one.told)
        and not NO_DECIMAL.search(one.text)
    ]
    assert wrong == []


def test_a_number_may_have_the_marks_of_the_other_language():
    (one,) = read(
        f'msgid "{{n}} after 20,000 h, 0.5 mm"\nmsgstr "{{n}} na 20{THIN}000 h, 0,5 mm"\n'
    )
    assert doubts([one], [one]) == ()
    (other,) = read('msgid "after 20,000 h"\nmsgstr "na 2000 h"\n')
    assert [found.what for found in doubts([other], [other])] == ["the number 20,000 is gone"]


def test_a_caution_out_of_a_kept_plan_is_said_when_it_is_shown(dutch: None):
    kept = recall("Main switch off, locked with your own key, key in your pocket. Try the start "
                  "button. Then touch.")  # fmt: skip
    assert f"{kept}".startswith("Hoofdschakelaar uit, vergrendeld met je eigen sleutel")
    assert english(kept).startswith("Main switch off")


def test_a_kept_sentence_with_values_is_said_again(dutch: None):
    kept = "your own hours: about 225 (most: X ways and screw, 12 h; Electrical cabinet, 3 h)"
    assert recalled(kept) == (
        "je eigen uren: ongeveer 225 (meeste: X-leibanen en spindel, 12 h; "
        "Elektrische schakelkast, 3 h)"
    )


@pytest.mark.parametrize("own", ["two: blue, and red", "olive crushed, new one wanted", "J01", ""])
def test_words_of_a_person_stay(dutch: None, own: str):
    assert recalled(own) == own


def test_english_is_what_was_kept():
    assert recalled("your own hours: about 225 (most: )") == "your own hours: about 225 (most: )"
