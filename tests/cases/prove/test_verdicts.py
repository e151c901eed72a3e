"""A result against its limit: which quantity, whose doubt, whose limit."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.base.refusals import Unusable
from retrue.cases.prove.proof import Conditions, Limit, Quantity, Verdict
from retrue.cases.prove.verdicts import judge


def quantity(value: float | None = 12.0, uncertainty: float | None = 2.0, key: str = "a_um"):
    return Quantity(key=key, name=key, value=value, unit="µm", uncertainty=uncertainty)


def ruled(value: float, limit: float, **other) -> Verdict:
    made = judge([quantity(value)], Conditions(limit=Limit(value=limit), **other))
    assert made is not None
    return made


def test_the_expanded_uncertainty_is_halved_before_it_makes_the_guard_band():
    """ISO 14253-1:2017 (from memory): limit 20 and U = 2 (u = 1) prove up to 18.3551."""
    assert ruled(18.3551, 20).ruling == "proved_good"
    assert ruled(18.3552, 20).ruling == "not_proved"
    assert ruled(21.6449, 20).ruling == "proved_bad"
    assert ruled(21.6448, 20).ruling == "not_proved"
    assert ruled(18.0, 20).conformance == pytest.approx(0.97725, abs=5e-6)
    assert ruled(18.0, 20).uncertainty == 2.0


def test_the_simple_rule_lets_the_value_decide():
    assert ruled(20.0, 20, rule="simple").ruling == "proved_good"
    assert ruled(20.01, 20, rule="simple").ruling == "proved_bad"
    assert ruled(20.0, 20, rule="simple").rule == "simple"


def test_what_the_owner_states_goes_before_what_was_worked_out():
    assert ruled(18.0, 20, uncertainty=10.0).ruling == "not_proved"
    assert ruled(18.0, 20, uncertainty=0.0).ruling == "proved_good"
    assert ruled(18.0, 20, uncertainty=10.0).uncertainty == 10.0


def test_without_doubt_nothing_is_proved_and_the_sentence_says_why():
    conditions = Conditions(limit=Limit(value=20.0))
    inside, outside = (judge([quantity(v, None)], conditions) for v in (12.0, 30.0))
    assert (inside.ruling, outside.ruling) == ("not_proved", "not_proved")
    assert inside.why.startswith("Within, not proved")
    assert outside.why.startswith("Over, not proved")
    assert inside.conformance is None


def test_without_a_limit_or_a_value_nothing_is_judged():
    assert judge([quantity()], Conditions()) is None
    assert judge([quantity(None)], Conditions(limit=Limit(value=1.0))) is None


def test_the_size_counts_and_the_sign_is_kept():
    made = ruled(-30.0, 20)
    assert made.ruling == "proved_bad"
    assert made.value == -30.0
    assert ruled(-12.0, 20).ruling == "proved_good"
    assert ruled(-12.0, 20).conformance == ruled(12.0, 20).conformance


def test_the_first_quantity_is_judged_unless_another_is_named():
    both = [quantity(1.0), quantity(99.0, key="b_um")]
    limit = Limit(value=20.0, standard="ISO 230-2", edition="2014", mark="from memory, unverified")
    first = judge(both, Conditions(limit=limit))
    second = judge(both, Conditions(limit=limit, judged="b_um"))
    assert (first.key, first.ruling) == ("a_um", "proved_good")
    assert (second.key, second.ruling) == ("b_um", "proved_bad")
    assert (second.standard, second.edition) == ("ISO 230-2", "2014")
    assert second.limit_mark == "from memory, unverified"


def test_a_quantity_that_the_test_does_not_give_is_refused_with_those_it_gives():
    with pytest.raises(Unusable) as refused:
        judge([quantity()], Conditions(limit=Limit(value=1.0), judged="c_um"))
    assert "a_um" in refused.value.remedy
    assert "c_um" in refused.value.problems[0].what


@given(st.floats(-100, 100), st.floats(0.1, 100), st.floats(0, 50))
def test_the_sentence_says_what_the_ruling_says(value: float, limit: float, uncertainty: float):
    made = judge([quantity(value, uncertainty)], Conditions(limit=Limit(value=limit)))
    told = {
        "proved_good": "Inside the limit, doubt counted.",
        "proved_bad": "Outside the limit, doubt counted.",
        "not_proved": "Nearer to the limit than the reading may be off.",
    }
    assert made.why == told[made.ruling]
    assert 0 <= made.conformance <= 1
