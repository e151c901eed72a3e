from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from retrue.base.refusals import Unusable
from retrue.paper.codes import LENGTH, SIGNS, code_of, read_code

CODES = st.builds(code_of, st.text(max_size=20), st.text(max_size=20))


def test_no_sign_looks_like_another():
    assert not set(SIGNS) & set("0O1IL2Z5S8BQUG") - set("8")
    assert len(set(SIGNS)) == len(SIGNS) == 23


@given(CODES)
def test_a_code_is_read_as_it_was_written_in_any_manner(code):
    assert len(code.replace("-", "")) == LENGTH
    for typed in (code, code.lower(), code.replace("-", ""), " ".join(code)):
        assert read_code(typed) == code


@given(CODES, st.integers(0, LENGTH - 1), st.sampled_from(SIGNS))
def test_one_wrong_sign_is_never_taken(code, place, sign):
    signs = code.replace("-", "")
    wrong = signs[:place] + sign + signs[place + 1 :]
    if wrong != signs:
        with pytest.raises(Unusable):
            read_code(wrong)


@given(CODES, st.integers(0, LENGTH - 2))
def test_two_neighbours_exchanged_are_never_taken(code, place):
    signs = code.replace("-", "")
    wrong = signs[:place] + signs[place + 1] + signs[place] + signs[place + 2 :]
    if wrong != signs:
        with pytest.raises(Unusable):
            read_code(wrong)


@pytest.mark.parametrize("typed", ["", "ABC", "0000-0000", "ÄÖÜß-1234", "A" * 9])
def test_what_is_no_code_is_refused(typed):
    with pytest.raises(Unusable, match="not a code"):
        read_code(typed)


def test_the_parts_of_a_code_cannot_run_into_one_another():
    assert code_of("ab", "c") != code_of("a", "bc")
