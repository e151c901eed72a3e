"""One network for a whole lot: what is shared, what is apart, and the shares that must hold."""

import numpy as np
import pytest
from tests.cases.lots import kinds, lot, said

from retrue.base.refusals import Unknown
from retrue.belief.posterior import update
from retrue.cases.case import LotCase
from retrue.cases.evidence import evidence
from retrue.cases.network import build, gated
from retrue.records.facts import Asked, Finding, Lot, Machine, Shop, Terms


@pytest.mark.parametrize("kind", sorted(kinds()))
def test_listed_shares_hold_with_past_lives_unknown(kind: str):
    machine = Machine(lot="one", name="A", kind=kind)
    case = LotCase(shop=Shop(), lot=Lot(name="one"), terms=Terms(lot="one"), machines=(machine,))
    built = build(case, kinds())
    believed = update(built.network, []).marginal
    for fault in kinds()[kind].faults.values():
        listed = min(max(fault.prior, 1e-7), 1 - 1e-7)
        assert believed[built.faults["A", fault.id]] == pytest.approx(listed, abs=1e-6), fault.id


def test_listed_shares_hold_in_a_lot_of_two_as_well():
    built = build(lot("AB"), kinds())
    believed = update(built.network, []).marginal
    for (machine, id), variable in built.faults.items():
        listed = built.kinds[machine].faults[id].prior
        assert believed[variable] == pytest.approx(listed, abs=1e-6), (machine, id)


def test_the_lots_past_lives_are_shared_and_the_machines_own_are_not():
    built = build(lot("AB"), kinds())
    assert built.histories["A", "DS"] == built.histories["B", "DS"]
    assert built.histories["A", "HH"] != built.histories["B", "HH"]
    names = built.network.names
    assert names[built.histories["A", "DS"]] == "lot.DS"
    assert names[built.histories["B", "HH"]] == "B.HH"
    assert len(set(names)) == len(names)


def test_faults_of_the_lot_and_of_the_shop_are_there_once():
    built = build(lot("AB"), kinds())
    for id in ("F94", "F80", "F106", "F108", "F109"):
        assert built.faults["A", id] == built.faults["B", id]
    assert "lot.F94" in built.network.names
    assert "shop.F108" in built.network.names
    assert built.faults["A", "F14"] != built.faults["B", "F14"]


def test_one_machine_of_the_lot_found_damp_makes_the_other_suspect():
    case = lot("AB", (said("1", "A", history="DS", answer="yes", grade=3, channel="visit_dead"),))
    built = build(case, kinds())
    seen, _ = evidence(case, built)
    before, after = update(built.network, []).marginal, update(built.network, seen).marginal
    damp = [f.id for f in built.kinds["B"].faults.values() if "DS" in f.raisers]
    assert damp
    for id in damp:
        assert after[built.faults["B", id]] > before[built.faults["B", id]]


def test_the_owners_own_supply_moves_only_what_hangs_on_it():
    case = lot("A", shop=Shop(histories=(("PQ", "yes"),)))
    built = build(case, kinds())
    seen, _ = evidence(case, built)
    before, after = update(built.network, []).marginal, update(built.network, seen).marginal
    soft = built.faults["A", "F109"]
    assert after[soft] > before[soft] + 0.1
    others = [v for (_, id), v in built.faults.items() if id != "F109"]
    assert after[others] == pytest.approx(before[others], abs=1e-12)
    assert built.shop_histories["PQ"] != built.histories["A", "PQ"]


def test_what_is_not_fitted_cannot_be_wrong():
    built = build(lot("A", not_fitted=("F03", "F04")), kinds())
    assert ("A", "F03") not in built.faults
    assert "A.F04" not in built.network.names
    assert ("A", "F01") in built.faults


def test_a_lot_fault_leans_on_each_machines_past_life_alike():
    built = build(lot("AB"), kinds())
    place = built.faults["A", "F106"] - built.network.roots
    parents = built.network.parents[place]
    stripped = [parents.index(built.histories[m, "ST"]) for m in "AB"]
    table = built.network.tables[place]
    odds = table / (1 - table)
    none = (0,) * table.ndim
    one, other = (tuple(int(i == s) for i in range(table.ndim)) for s in stripped)
    both = tuple(int(i in stripped) for i in range(table.ndim))
    assert odds[one] == pytest.approx(odds[other], rel=1e-12)
    assert odds[both] / odds[none] == pytest.approx(3.0, rel=1e-9)


def test_candour_is_asked_only_of_those_who_told_something():
    told = said("1", check="C15", answer="seen", grade=0, channel="call", informant="seller")
    shown = said("2", check="C01", answer="seen", grade=1, channel="photo", informant="agent")
    own = said("3", check="C01", answer="seen", grade=3, channel="visit_dead", informant="agent")
    built = build(lot("A", (told, shown, own)), kinds())
    assert set(built.candid) == {"seller"}
    assert built.network.root_prior[built.candid["seller"]] == 0.7
    silent = Asked(lot="school", machine=None, what="S01", informant="agent", came=False)
    assert set(build(lot("A", (), (silent,)), kinds()).candid) == {"agent"}


@pytest.mark.parametrize(
    ("grade", "channel", "informant", "owes"),
    [
        (0, "call", "seller", True),
        (2, "call", "seller", True),
        (1, "photo", "seller", False),
        (3, "visit_dead", "seller", False),
        (0, "call", None, False),
    ],
)
def test_only_what_was_told_owes_to_candour(grade, channel, informant, owes):
    finding = Finding(
        lot="x", machine="A", check="C01", grade=grade, channel=channel, informant=informant
    )
    assert gated(finding) is owes


def test_a_kind_nobody_knows_is_named():
    strange = Machine(lot="x", name="Z", kind="perpetual_motion")
    case = LotCase(shop=Shop(), lot=Lot(name="x"), terms=Terms(lot="x"), machines=(strange,))
    with pytest.raises(Unknown) as refused:
        build(case, kinds())
    assert refused.value.problems[0].where == "Z"
    assert "perpetual_motion" in str(refused.value.problems[0])


def test_building_twice_gives_the_same_bits():
    one, two = build(lot("AB"), kinds()), build(lot("AB"), kinds())
    assert one.network.names == two.network.names
    for a, b in zip(one.network.tables, two.network.tables, strict=True):
        assert np.array_equal(a, b)
