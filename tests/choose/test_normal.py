"""The normal distribution against a general-purpose library."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import special

from retrue.choose.normal import inverse_normal, normal_chance


def test_the_inverse_normal_agrees_with_a_reference_library_to_the_last_digits():
    """Wichura 1988, AS 241, against SciPy's ndtri over all numbers a 24-bit generator can give."""
    share = np.concatenate((np.arange(1, 2**24, 4_099) / 2**24, [2.0**-25, 1 - 2.0**-25]))
    assert inverse_normal(share) == pytest.approx(special.ndtri(share), abs=1e-12)


def test_one_number_and_a_table_of_numbers_keep_their_shape():
    assert float(inverse_normal(0.99)) == pytest.approx(2.3263479)
    assert inverse_normal(np.full((2, 3), 0.99)).shape == (2, 3)


def test_the_ends_of_the_uniform_numbers_stay_finite():
    assert np.isfinite(inverse_normal([0.0, 1.0])).all()


def test_the_normal_chance_agrees_with_a_reference_library():
    """Hart 1968, as arranged by West 2005, against SciPy's ndtr."""
    z = np.linspace(-38, 38, 20_001)
    assert normal_chance(z) == pytest.approx(special.ndtr(z), abs=1e-14)
