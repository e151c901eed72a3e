"""What a catalogue says is wrong with a lot stands in its row, before the price.

Oracle: by hand.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.cases.priced import kinds
from tests.cases.screen.catalogues import read, rows

from retrue.cases.screen.done_text import done_of, text_of
from retrue.cases.screen.parts import PartDone
from retrue.cases.screen.said_wrong import caution_of, wrong_words
from retrue.cases.screen.score import score
from retrue.cases.screen.table import screen_table


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("CNC draaibank zonder besturing, kapot", ("zonder besturing", "kapot")),
        ("draaibank, voor onderdelen", ("voor onderdelen",)),
        ("CNC lathe, defective", ("defective",)),
        ("Drehmaschine ohne Steuerung", ("ohne Steuerung",)),
        ("tour cnc sans commande, en panne", ("sans commande", "en panne")),
        ("tornio CNC non funzionante", ("non funzionante",)),
        ("torno CNC averiado", ("averiado",)),
        ("CNC lathe, never crashed", ()), ("draaibank, geen defect", ()), ("VMC, complete", ()),
    ],
)  # fmt: skip
def test_words_that_say_that_something_is_wrong_in_six_languages(text, words):
    assert wrong_words([text]) == words


def test_the_row_of_a_lot_says_it_in_every_form():
    text = rows("Lot;What;Hall;Opm.", "1;CNC lathe zonder besturing;defect;", "2;CNC lathe;B;x")
    one, other = read(text).lots
    assert (one.wrong, other.wrong) == (("zonder besturing", "defect"), ())
    row = score(one, kinds(), seed=7, worlds=200)
    assert row.wrong == one.wrong
    assert done_of(text_of(PartDone(number=0, rows=(row,)))).rows[0].wrong == one.wrong
    caution = caution_of(one.wrong)
    assert caution.startswith("The catalogue says “zonder besturing”, “defect”: ")
    table = screen_table([row, replace(row, wrong=())], "EUR")
    at = table[0].index("caution")
    assert [line[at] for line in table[1:]] == [caution, None]
