"""What owners of worn machines find in the end lies within what we tell them to expect.

Every figure here: common practice, no source. Each must lie between the tool's P5 and P95.
"""

from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest
from tests.cases.priced import MILL, found, kinds, lot, sound

from retrue.cases.assume import settle
from retrue.cases.case import LotCase
from retrue.cases.drawing import Drawer
from retrue.cases.evidence import evidence
from retrue.cases.network import build
from retrue.cases.view import View, look

WORLDS = 8_000
SOUND = ("F01", "F02", "F36", "F39", "F40", "F42", "F43", "F47", "F107")  # ways, screws, spindle


def view(case: LotCase) -> View:
    built = build(case, kinds())
    made, _ = evidence(case, built)
    return look(case, built, made, settle(case, built.kinds), drawer=Drawer(7, "school", WORLDS))


def within(values: np.ndarray, low: float, high: float, what: str) -> None:
    p5, p95 = np.percentile(values, [5, 95])
    assert p5 <= low <= high <= p95, f"{what}: {low} to {high} against {p5:.3g} to {p95:.3g}"


def neglected() -> LotCase:
    """One neglected machining centre: coolant left in, years idle."""
    lives = ("CN", "ID")
    said = [found(f"h{i}", "mill", history=h, answer="yes") for i, h in enumerate(lives)]
    return lot(*said, machines=("mill",))


def cleaning_hours(seen: View) -> np.ndarray:
    workshop = seen.chooser.prospects[0].workshop
    level = workshop.bench.setting.kind.levels["right"]
    hours = np.zeros(WORLDS)
    for job, done in workshop.bench.jobs_done(level.jobs):
        if job.sort == "clean":
            hours += workshop.job(job)[1] * (1.0 if done is None else done)
    return hours * workshop.bench.setting.pace


def test_cleaning_a_neglected_machining_centre_takes_its_owner_three_to_four_full_days() -> None:
    """Common practice, no source: full days of 8 to 9 hours, 24 to 36 in all."""
    within(cleaning_hours(view(neglected())), 24.0, 36.0, "hours of cleaning")


def test_it_takes_four_to_five_litres_of_degreaser() -> None:
    """Common practice, no source; the tables hold the litres as a range."""
    from retrue.plan.inverse import pert_table

    litres = kinds()[MILL].costs["E50"].amount
    row = pert_table([litres.low], [litres.likely], [litres.high])[0]
    within(row, 4.0, 5.0, "litres of degreaser")


def test_a_local_rewind_of_a_spindle_motor_costs_about_600() -> None:
    """Common practice, no source."""
    bench = view(lot(machines=("mill",))).chooser.prospects[0].workshop.bench
    money = bench.ways[bench.way[("F15", "local")]].money
    prices = np.outer(money, bench.setting.price_level[:200]).ravel()
    within(prices, 600.0, 600.0, "a local rewind, EUR")


def restored(case: LotCase, hammer: float) -> tuple[View, np.ndarray]:
    """All money until the first good part, own hours not counted, where it was finished."""
    seen = view(case)
    option = next(o for o in seen.options if o.id == "mill:keep:right")
    outcome = option.outcomes[0]
    money = option.money + hammer * seen.settled.k
    return seen, np.where(outcome.went_on, money, np.nan)


def sound_one() -> LotCase:
    """25 years, near scrap price, mechanically sound, bare."""
    case = sound(lot(machines=("mill",)), "mill", *SOUND)
    machine = replace(case.machines[0], age_years=25.0, tooling="none", new_price=Decimal(90000))
    return replace(case, machines=(machine,))


def test_restored_by_its_owner_it_comes_to_about_a_fifth_of_a_comparable_new_one() -> None:
    """Common practice, no source; bought at 1,200 on the hammer, new 90,000."""
    _, money = restored(sound_one(), 1_200.0)
    share = money[~np.isnan(money)] / 90_000.0
    within(share, 0.18, 0.20, "all in, as a share of a new one")


def test_a_like_machine_restored_brings_a_little_over_half_of_what_the_kept_one_cost() -> None:
    """Common practice, no source."""
    seen, money = restored(sound_one(), 1_200.0)
    brings = seen.chooser.prospects[0].resale("right")
    done = ~np.isnan(money)
    within(brings[done] / money[done], 0.52, 0.60, "what it brings over what it cost")


@pytest.mark.parametrize(
    ("level", "money", "hours"),
    [
        ("just_running", (3_600, 7_020, 14_170), (136, 219, 357)),
        ("right", (4_410, 8_340, 17_030), (158, 256, 412)),
        ("like_new", (6_510, 13_890, 32_590), (169, 263, 403)),
    ],
)
def test_the_tables_own_calibration_comes_out_again(
    level: str, money: tuple[int, ...], hours: tuple[int, ...]
) -> None:
    """P5, P50, P95 of an earlier, independent simulation of the same tables (judgement).

    Without purchase, storage, tooling and capital; the even chance within an eighth, the ends
    within a quarter (ours pays 8 hours and 165 for checks that clear STOP faults besides).
    """
    case = lot(machines=("mill",))
    seen = view(replace(case, shop=replace(case.shop, hour_alternative=Decimal(15))))
    prospect, shared = seen.chooser.prospects[0], seen.chooser.shared
    work = prospect.workshop.bring_to(prospect.kind.levels[level], 15.0)
    land = prospect.landing
    spent = work.money + sum(land.floor.values()) + sum(land.power.values()) + shared.money
    taken = work.hours + land.floor_hours + land.power_hours + shared.hours
    for values, expected in ((spent, money), (taken, hours)):
        p5, p50, p95 = np.percentile(values, [5, 50, 95])
        assert p50 == pytest.approx(expected[1], rel=0.125)
        assert p5 == pytest.approx(expected[0], rel=0.25)
        assert p95 == pytest.approx(expected[2], rel=0.25)
