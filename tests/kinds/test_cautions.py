"""Every caution defers, and no text puts waiting in the place of measuring."""

from __future__ import annotations

from tests.library import load

KINDS = load()


def test_cautions_defer_to_the_local_code_and_to_licensed_practice():
    for caution in KINDS["turning_centre"].cautions.values():
        assert caution.defers_to.endswith("local code and licensed practice")


def test_live_work_is_an_electricians_and_no_text_puts_waiting_in_place_of_measuring():
    for kind in KINDS.values():
        for check in kind.checks.values():
            assert not check.hazard.startswith("LIVE") or check.who == "electrician", check.id
            assert "wait" not in check.hazard, check.id
        assert "measure" in kind.cautions["X03"].text
