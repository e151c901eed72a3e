"""The whole job of one invented lot, from its listing to the surplus machine that is sold.

Once by thumb on a telephone, once on a laptop whose browser runs no script; in both everything is
tapped and typed on the pages, as its owner would. What stands for an owner's hands and is kept
otherwise is told in `tests.browser.job_wake`.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path

import pytest
from playwright.sync_api import Browser, ViewportSize
from tests.browser import (
    job_buy,
    job_end,
    job_find,
    job_fix,
    job_measure,
    job_move,
    job_settle,
    job_strip,
    job_wake,
)
from tests.browser.conftest import PATIENCE_MS, PHONE, now
from tests.browser.job_house import Owner, job_house
from tests.planned import little_search

from retrue.kinds.library import Kind
from retrue.phases import fix

LAPTOP: ViewportSize = {"width": 1180, "height": 800}
STEPS_FOLLOWED = 6  # at least so many keys of the machine's page led to the page that was wanted
JOB: tuple[tuple[Callable[[Owner], None], ...], ...] = (
    (job_buy.first_run, job_buy.whose_shop, job_buy.terms, job_buy.photographs, job_buy.call,
     job_buy.visit, job_buy.own_figures, job_buy.frozen_and_won),
    (job_move.numbers, job_move.data_copy, job_move.arrival, job_move.at_rest),
    (job_strip.first_night, job_strip.as_found, job_strip.cleaned, job_strip.off_and_back),
    (job_find.told, job_find.answered, job_find.opened, job_find.learned),
    (job_fix.hands, job_fix.way, job_fix.ordered, job_fix.tonight, job_fix.plan),
    (job_wake.dead_stage, job_wake.supply, job_wake.watched),
    (job_measure.instruments, job_measure.level, job_measure.positioning, job_measure.limits,
     job_measure.sound),
    (job_settle.evening, job_settle.receipt, job_settle.bank, job_settle.reckoned,
     job_settle.put_up, job_settle.checked, job_settle.sold),
    (job_end.found_again,),
)  # fmt: skip


@pytest.mark.parametrize("device", ["phone", "laptop without scripts"])
def test_the_whole_job_from_the_listing_to_the_sold_machine(
    browser: Browser, kinds: Mapping[str, Kind], tmp_path: Path, device: str,
    monkeypatch: pytest.MonkeyPatch,
) -> None:  # fmt: skip
    monkeypatch.setattr(fix, "plan", partial(fix.plan, seconds=0.1, worlds=10))  # little time
    little_search(monkeypatch)
    phone = device == "phone"
    with job_house(kinds, tmp_path) as house:
        context = browser.new_context(
            viewport=PHONE if phone else LAPTOP, has_touch=phone, java_script_enabled=phone,
            locale="en-GB", reduced_motion="reduce", accept_downloads=True,
        )  # fmt: skip
        try:
            context.set_default_timeout(PATIENCE_MS)
            owner = Owner(context.new_page(), house, kinds, tmp_path, scripted=phone)
            if phone:
                owner.sets_on(house.days.now() - now())
            for phase in JOB:
                for act in phase:
                    act(owner)
            assert len(set(owner.followed)) >= STEPS_FOLLOWED, owner.followed
            assert owner.troubles == []
        finally:
            context.close()
        job_end.whole(house)
