"""What a way brings along, what a like machine gives, what adds up over faults: sums by hand."""

from __future__ import annotations

import numpy as np
import pytest

from retrue.base.chance import two_sixteens
from retrue.plan.inverse import Table, coarse, pert_table
from retrue.plan.restore import Restorer, Steps, WayNumbers

WORLDS = 20_000


def table(low: float, likely: float, high: float) -> Table:
    return coarse(pert_table([low], [likely], [high])[0])


def way(
    key: str, money: float, hours: float = 0.0, cures: float = 1.0, **more: object
) -> WayNumbers:
    """A way whose money and hours are certain."""
    given: dict[str, object] = {"paid_if_it_fails": 1.0, "lead_days": 0.0, "opens": 0}
    return WayNumbers(
        key=key, money=table(money, money, money), hours=table(hours, hours, hours), cures=cures,
        **(given | more),
    )  # fmt: skip


def draw(name: str) -> np.ndarray:
    return two_sixteens(1, "a lot", name, worlds=WORLDS)


def restorer(*ways: WayNumbers, faults: int = 1) -> Restorer:
    """Every fault is there in every world."""
    return Restorer(np.ones((faults, WORLDS), dtype=bool), ways, draw)


def one(row: int, *ways: int, surest: int | None = None, units: int = 1) -> Steps:
    return Steps(row=row, ways=ways, surest=ways[-1] if surest is None else surest, units=units)


def test_what_one_way_heals_beside_is_healed_independently() -> None:
    """By hand: 1/2, 1/4 and 4/5; all three in a tenth (product of chances)."""
    rewind = way("rewind", 600.0, also=((1, 0.5), (2, 0.25), (3, 0.8)))
    ways = (rewind, way("a", 1.0), way("b", 10.0), way("c", 100.0))
    plan = (one(0, 0), one(1, 1), one(2, 2), one(3, 3))
    made = restorer(*ways, faults=4).effort(plan).parts - 600
    for left, chance in ((0.0, 0.1), (1.0, 0.1), (10.0, 0.3), (11.0, 0.3), (100.0, 0.025),
                         (101.0, 0.025), (110.0, 0.075), (111.0, 0.075)):  # fmt: skip
        sd = np.sqrt(chance * (1 - chance) / WORLDS)
        assert (made == left).mean() == pytest.approx(chance, abs=4.5 * sd)


def test_a_way_that_fails_heals_nothing_beside() -> None:
    """Half of the rewinds fail; the bearings come along with those that do not, and at last all."""
    ways = (way("rewind", 600.0, cures=0.5, also=((1, 1.0),)), way("other", 50.0), way("b", 10.0))
    made = restorer(*ways, faults=2).effort((one(0, 0, 1), one(1, 2))).parts
    assert set(np.unique(made)) == {600.0, 660.0}
    assert (made == 660).mean() == pytest.approx(0.5, abs=0.02)
    again = restorer(*ways, faults=2).effort((one(0, 0), one(1, 2))).parts
    assert set(np.unique(again)) == {600.0, 1_200.0}  # the surest one cures, and heals beside


def test_parts_that_a_like_machine_could_give_are_counted_beside() -> None:
    """By hand: a drive of 900 twice, a belt of 40 that none gives."""
    ways = (
        way("drive", 900.0, donated=True),
        way("belt", 40.0),
        way("abroad", 70.0, bucket="outside"),
    )
    plan = (one(0, 0, units=2), one(1, 1), one(2, 2))
    made = restorer(*ways, faults=3).effort(plan)
    assert set(made.donated) == {1_800.0}
    assert set(made.parts) == {1_840.0}
    assert set(made.outside) == {70.0}


def test_over_faults_money_adds_up_places_join_and_drops_multiply() -> None:
    """By hand: places 1 and 4 and 6 are opened; nine tenths of nineteen twentieths are left."""
    ways = (
        way("a", 5.0, 2.0, opens=0b0010, log_drop=np.log(0.9)),
        way("b", 7.0, 3.0, opens=0b1010000, log_drop=np.log(0.95), lead_days=4.0),
    )
    made = restorer(*ways, faults=2).effort((one(0, 0), one(1, 1)))
    assert set(made.parts) == {12.0}
    assert set(made.hours) == {5.0}
    assert set(made.opened) == {0b1010010}
    assert set(made.lead_days) == {4.0}
    np.testing.assert_allclose(np.exp(made.log_drop), 0.855, rtol=1e-6)


def test_only_worlds_that_get_so_far_wait_and_open_for_the_second_way() -> None:
    """By hand: the first way cures four in ten."""
    ways = (way("clean", 0.0, 1.0, cures=0.4), way("swap", 80.0, opens=2, lead_days=9.0))
    made = restorer(*ways).effort((one(0, 0, 1),))
    further = made.parts > 0
    assert further.mean() == pytest.approx(0.6, abs=0.016)
    assert set(made.lead_days[further]) == {9.0}
    assert set(made.opened[further]) == {2}
    assert not made.lead_days[~further].any()
    assert not made.opened[~further].any()


def test_money_hours_and_luck_of_a_way_are_independent() -> None:
    """Mean and standard deviation of PERT's beta (Malcolm et al. 1959), correlations near none."""
    ranged = WayNumbers(
        key="F:r", money=table(100.0, 200.0, 600.0), hours=table(1.0, 3.0, 8.0), cures=0.5,
        paid_if_it_fails=1.0, lead_days=0.0, opens=0,
    )  # fmt: skip
    ways = (ranged, way("last", 10_000.0))
    made = restorer(*ways).effort((one(0, 0, 1),))
    failed = made.parts > 5_000
    money = made.parts - 10_000.0 * failed
    assert money.mean() == pytest.approx(250.0, rel=0.01)
    assert made.hours.mean() == pytest.approx(3.5, rel=0.01)
    assert np.abs(np.corrcoef([money, made.hours, failed]) - np.eye(3)).max() < 0.035


def test_what_is_paid_for_a_failure_is_its_share_of_each_unit() -> None:
    """By hand: three motors, a fifth is paid where it fails; the surest is paid in full."""
    ways = (way("F:o", 100.0, 2.0, cures=0.5, paid_if_it_fails=0.2),)
    made = restorer(*ways).effort((one(0, 0, units=3),))
    assert sorted(set(np.round(made.parts, 2))) == [300.0, 360.0]
    assert sorted(set(made.hours)) == [6.0, 12.0]  # the work is done whether it cures or not
