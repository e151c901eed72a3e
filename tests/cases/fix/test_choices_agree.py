"""Options, price and cards begin with the same way, for what was chosen and for all the rest."""

from tests.cases.fix.choosing import burnt, scene, way
from tests.cases.priced import kinds

from retrue.cases.fix.belief import belief_of, deciding_stage
from retrue.cases.fix.kept import fix_of_case
from retrue.cases.fix.needed import needed
from retrue.cases.fix.ways import listed


def test_cards_and_options_begin_with_the_same_way() -> None:
    case = burnt(chosen=(way("F15", "outside"), way("F01", "local")))
    kept = fix_of_case(case, kinds())
    belief = belief_of(kept, kinds())
    need = needed(kept, kept.machines[0], belief, deciding_stage(kept, belief))
    cards = {one.fault.id: one for one in need.faults}
    assert (cards["F15"].steps[0], cards["F01"].steps[0]) == ("outside", "local")
    compared = 0
    for one in listed(scene(case)):
        card = cards.get(one.fault.id)
        if card is not None:
            assert card.steps[0] == one.options.ways[0].way, one.fault.id
            assert card.confirmed == one.options.confirmed
            compared += 1
    assert compared > 20
