"""The price of a lot: what must hold whatever the numbers are."""

from dataclasses import replace
from decimal import Decimal
from functools import cache
from itertools import pairwise

import numpy as np
import pytest
from tests.cases.priced import LATHE, MILL, found, kinds, lot, sound

from retrue.cases.assume import settle
from retrue.cases.case import LotCase
from retrue.cases.drawing import Drawer
from retrue.cases.evidence import evidence
from retrue.cases.network import build
from retrue.cases.pricing import price
from retrue.cases.sheet import PriceSheet
from retrue.cases.view import View, look, price_of
from retrue.choose.looking import perfect_information
from retrue.choose.walkaway import walk_away
from retrue.records.facts import CostLine, Machine, Need

WORLDS = 2_000


@cache
def sheet(case: LotCase, *, worlds: int = WORLDS, questions: bool = False) -> PriceSheet:
    """A case's sheet, worked out once for all who only read it."""
    return price(case, kinds(), worlds=worlds, questions=questions)


def hammer(case: LotCase) -> float:
    """The price not to go above; there is one."""
    amount = sheet(case).walk_away.amount
    assert amount is not None
    return amount


@cache
def view(case: LotCase, worlds: int = WORLDS, seed: int = 7) -> View:
    built = build(case, kinds())
    made, _ = evidence(case, built)
    return look(case, built, made, settle(case, built.kinds), drawer=Drawer(seed, "school", worlds))


def test_the_same_seed_gives_the_same_sheet() -> None:
    case = lot(found("a", "mill", check="C20", answer="not_seen"))
    one, two = (price(case, kinds(), worlds=WORLDS) for _ in range(2))
    assert one == two


def test_the_order_of_findings_changes_nothing() -> None:
    one = found("a", "mill", check="C20", answer="severe")
    two = found("b", "lathe", check="C23", answer="slight")
    first, second = sheet(lot(one, two)), sheet(lot(two, one))
    assert first.walk_away == second.walk_away
    assert first.options == second.options


def test_insulation_under_its_limit_lowers_the_price_and_withdrawn_it_is_back_to_the_cent() -> None:
    case = lot()
    low = found(
        "r1",
        "mill",
        check="C31",
        measure="M07",
        reading=0.3,
        uncertainty=0.05,
        grade=4,
        channel="visit_dead",
    )
    before = sheet(case)
    assert hammer(replace(case, findings=(low,))) < hammer(case) - 100
    assert price(replace(case, findings=()), kinds(), worlds=WORLDS, questions=False) == before


def test_a_good_insulation_reading_raises_it() -> None:
    good = found("r1", "mill", check="C31", measure="M07", reading=200.0, grade=4)
    assert hammer(lot(good)) > hammer(lot())


def test_the_price_rule_is_the_one_of_the_walk_away_function() -> None:
    """Two ways to the same number: over all options at once, and the documented function."""
    seen = view(lot())
    assert price_of(seen.gains, seen.settled) == seen.exact[seen.best]
    for row, quick in zip(seen.gains, seen.exact, strict=True):
        slow = walk_away(row, odds=seen.settled.odds, k=seen.settled.k, step=10)
        assert quick == pytest.approx(slow.exact, abs=1e-9)


def test_more_worlds_leave_the_first_ones_as_they_were() -> None:
    few, many = view(lot(), worlds=600), view(lot(), worlds=2_400)
    same = {o.id: i for i, o in enumerate(many.options)}
    for i, option in enumerate(few.options):
        if not any(o.plan.works for o in option.outcomes):
            assert np.allclose(few.gains[i], many.gains[same[option.id], :600], rtol=1e-5)


def test_questions_are_worth_nothing_less_than_nothing_and_no_more_than_the_truth() -> None:
    case = lot(asking=Decimal(6000))
    made = sheet(case, questions=True, worlds=8_000)
    seen = view(case, worlds=8_000)
    rows = np.vstack((np.zeros(8_000), seen.gains - seen.settled.k * 6000))
    most = perfect_information(rows)
    assert made.questions
    for row in made.questions:
        assert 0 <= row.worth <= most + 4 * row.error
        assert row.net == pytest.approx(row.worth - row.asking_costs)


def test_a_choice_never_reads_what_was_drawn() -> None:
    """Going on or giving up, at one set of faults, is the same whatever costs were drawn."""
    seen = view(lot(machines=("mill",)), worlds=6_000)
    outcome = next(o for o in seen.options if o.id == "mill:keep:like_new").outcomes[0]
    states = seen.chooser.prospects[0].workshop.bench.states
    decided: dict[bytes, set[bool]] = {}
    for world in range(states.shape[1]):
        decided.setdefault(states[:, world].tobytes(), set()).add(bool(outcome.went_on[world]))
    assert all(len(choices) == 1 for choices in decided.values())
    hopeless = ~outcome.went_on
    assert 0 < hopeless.mean() < 1
    assert states[:, hopeless].sum(axis=0).mean() > states[:, ~hopeless].sum(axis=0).mean()


def test_giving_up_when_apart_is_better_on_average_than_never_giving_up() -> None:
    """With the choice at strip-down the mean cannot fall: it is taken where expected better."""
    seen = view(lot(machines=("mill",)), worlds=10_000)
    outcome = next(o for o in seen.options if o.id == "mill:keep:like_new").outcomes[0]
    stopped = ~outcome.went_on
    assert outcome.money[stopped].mean() < outcome.money[~stopped].mean()


def test_a_stop_fault_is_never_lived_with() -> None:
    from retrue.cases.orders import allowed

    bench = view(lot(machines=("lathe",)), worlds=1_000).chooser.prospects[0].workshop.bench
    for fault in bench.faults:
        for level in bench.setting.kind.levels.values():
            ways = {fix.way for fix in allowed(bench, fault, level)}
            assert ways, fault.id
            if fault.urgency == "STOP" or level.id == "like_new":
                assert "live_with" not in ways


def test_a_must_fault_is_lived_with_only_where_the_owner_agrees() -> None:
    from retrue.cases.orders import allowed

    plain = lot(machines=("mill",))
    agreed = replace(plain, machines=(replace(plain.machines[0], live_with=("F01",)),))
    for case, expected in ((plain, False), (agreed, True)):
        bench = view(case, worlds=1_000).chooser.prospects[0].workshop.bench
        fault = bench.setting.kind.faults["F01"]
        level = bench.setting.kind.levels["just_running"]
        assert ("live_with" in {f.way for f in allowed(bench, fault, level)}) is expected


def test_an_opening_is_paid_once_for_all_who_need_it() -> None:
    """Two faults behind one cover cost the hours of the cover once."""
    bench = view(lot(machines=("mill",)), worlds=1_000).chooser.prospects[0].workshop
    axis = bench.bench.setting.kind.places["axis_x"]
    opened = np.full(1_000, bench.bench.mask("axis_x"), dtype=np.uint32)
    hours, closing, _ = bench._openings(opened)
    both = bench._openings(opened | np.uint32(bench.bench.mask("enclosure")))
    assert np.array_equal(hours, both[0])
    assert closing.mean() >= axis.close_hours.low


def test_the_kept_machine_waits_for_no_one_and_the_other_waits_for_it() -> None:
    seen = view(lot())
    option = next(o for o in seen.options if o.id == "mill:keep:right+lathe:sell_running")
    mill, lathe = option.outcomes
    first = next(o for o in seen.options if o.id == "mill:sell_as_found+lathe:sell_running")
    alone = first.outcomes[1]
    both = lathe.went_on & alone.went_on
    assert both.any()
    assert (lathe.days[both] >= alone.days[both] - 1e-9).all()
    assert lathe.days[both].mean() > alone.days[both].mean() + 20
    assert mill.hours.mean() > 50


def test_a_machine_that_does_not_fit_gets_no_keeper_and_alone_no_price() -> None:
    case = lot(machines=("mill",))
    tall = replace(
        case,
        needs=(Need(name="long plates", kind=MILL, travel_mm=(1500.0,), hours_a_year=300),),
        machines=(replace(case.machines[0], travel_mm=(760.0, 400.0, 500.0)),),
    )
    made = sheet(tall)
    assert made.walk_away.amount is None
    assert made.walk_away.why
    assert made.machines[0].fits[0].answer == "does_not_fit"
    assert made.options == ()


def test_in_a_lot_the_one_that_does_not_fit_is_sold_on() -> None:
    case = lot()
    needs = (Need(name="bars", kind=LATHE, bar_mm=80.0, hours_a_year=300), *case.needs[:1])
    small = replace(case.machines[1], bar_mm=50.0)
    made = sheet(replace(case, needs=needs, machines=(case.machines[0], small)))
    assert made.walk_away.amount is not None
    assert all("lathe:keep" not in option.id for option in made.options)
    assert any("mill:keep" in option.id for option in made.options)


def test_two_alike_machines_offer_a_donor_and_never_two_keepers() -> None:
    case = lot(machines=("mill",))
    sister = replace(case.machines[0], name="sister")
    made = sheet(replace(case, machines=(case.machines[0], sister)))
    ids = [option.id for option in made.options]
    assert "mill:keep:right+sister:donor" in ids
    assert not any(i.count(":keep:") > 1 for i in ids)
    gain = {option.id: option.mean_gain for option in made.options}
    assert gain["mill:keep:right+sister:donor"] > gain["mill:keep:right+sister:part_out"]


def test_an_overtyped_line_is_taken_as_typed() -> None:
    """A winder known to the owner: the price of that line is his, and it shows in the sum."""
    shorted = found("f", "mill", fault="F15", answer="present", channel="apart", grade=4)
    plain = lot(shorted, machines=("mill",))
    own = CostLine(
        lot="school", machine="mill", line="F15:local", amount=Decimal(150), reason="a friend"
    )
    cheaper = replace(plain, cost_lines=(own,))
    assert hammer(cheaper) > hammer(plain) + 100


def test_the_hammer_falls_by_the_premium_and_is_rounded_down_to_the_step() -> None:
    case = lot()
    none = replace(case, terms=replace(case.terms, premium=0.0, bid_step=Decimal(1)))
    some = replace(case, terms=replace(case.terms, premium=0.25, bid_step=Decimal(50)))
    assert hammer(some) == pytest.approx((hammer(none) + 0.5) / 1.25, abs=51)
    assert hammer(some) % 50 == 0


def test_tax_that_never_comes_back_lowers_the_hammer() -> None:
    case = lot()
    lost = replace(case.terms, tax_reclaimable=False, tax_rate=0.21)
    assert hammer(replace(case, terms=lost)) < 0.9 * hammer(case)
    margin = replace(lost, tax_scheme="margin")
    assert sheet(replace(case, terms=margin)).walk_away == sheet(case).walk_away


def test_another_currency_changes_the_figures_by_the_rate_and_nothing_else() -> None:
    case = lot()
    pounds = replace(case, lot=replace(case.lot, currency="GBP", rate=Decimal("1.25")))
    assert sheet(pounds).currency == "GBP"
    assert hammer(pounds) == pytest.approx(hammer(case) / 1.25, abs=11)


def test_prices_a_third_too_low_and_wrong_tables_lower_it() -> None:
    made, amount = sheet(lot()).walk_away, hammer(lot())
    values = made.by_hour_value
    assert made.prices_third_low is not None
    assert made.tables_wrong is not None
    assert values.full is not None
    assert values.zero is not None
    assert made.prices_third_low < amount
    assert made.tables_wrong < amount
    assert values.full < amount < values.zero


def test_a_fault_found_lowers_and_its_absence_raises_what_that_finding_moved() -> None:
    case = lot(
        found("bad", "mill", fault="F42", answer="present", channel="apart", grade=4),
        found("good", "mill", fault="F01", answer="absent", channel="apart", grade=4),
    )
    moved = {row.finding: row for row in sheet(case).moved}
    assert moved["bad"].before > moved["bad"].after
    assert moved["good"].before <= moved["good"].after


def test_less_is_worse_for_faults_and_better_for_nothing() -> None:
    rows = sheet(lot()).moves
    assert rows
    for row in rows:
        assert min(row.low, row.high) >= 0
    ways = next(row for row in rows if "Box ways" in row.what)
    assert ways.low >= ways.high


def test_missing_fields_are_assumed_and_named_never_refused() -> None:
    bare = LotCase(
        shop=replace(lot().shop, hour_alternative=None, hours_a_week=None),
        lot=lot().lot,
        terms=replace(lot().terms, premium=None, bid_step=None),
        machines=(Machine(lot="school", name="lathe", kind=LATHE),),
    )
    made = sheet(bare)
    fields = {row.field for row in made.assumed}
    assert {"age of lathe", "distance", "bid step"} <= fields
    assert len(made.assumed) >= 12
    filled = {row.field for row in sheet(lot()).assumed}
    assert len(filled) < len(fields)


def test_what_is_known_to_be_sound_is_not_suspected() -> None:
    rows = sheet(sound(lot(), "mill", "F42", "F01")).machines[0].suspects
    assert not {row.fault for row in rows if row.now > 0.01} & {"F42", "F01"}


def test_stop_items_are_named_before_money_goes_until_their_check_is_done() -> None:
    case = lot(machines=("mill",))
    before = {row.check for row in sheet(case).clear_first}
    assert "C51" in before
    pulled = found(
        "p", "mill", check="C51", measure="M12", reading=96.0, grade=4, channel="visit_live"
    )
    assert "C51" not in {row.check for row in sheet(replace(case, findings=(pulled,))).clear_first}


def test_a_higher_level_never_takes_less_when_it_is_gone_through_with() -> None:
    for machine in sheet(lot()).machines:
        levels = [row.money for row in machine.levels]
        assert [row.level for row in machine.levels] == ["just_running", "right", "like_new"]
        for lower, higher in pairwise(levels):
            assert lower.p10 <= higher.p10
            assert lower.p50 <= higher.p50
            assert lower.p90 <= higher.p90


def test_where_the_money_goes_adds_up_to_the_mean() -> None:
    seen = view(lot())
    for outcome in seen.option.outcomes:
        assert sum(outcome.buckets.values()) == pytest.approx(float(outcome.money.mean()))


def test_no_bid_left_says_whether_there_is_no_gain_or_only_too_much_doubt() -> None:
    bare = lot(machines=("mill",))
    cheap = replace(bare.alternatives[0], price=(Decimal(14000), Decimal(17000), Decimal(20000)))
    doubtful = sheet(replace(bare, alternatives=(cheap,))).walk_away
    given_away = replace(cheap, price=(Decimal(1), Decimal(2), Decimal(3)))
    worthless = replace(bare.machines[0], new_price=Decimal(2000), mass_kg=200.0)
    nothing = replace(bare, alternatives=(given_away,), machines=(worthless,))
    hopeless = sheet(nothing).walk_away
    assert (doubtful.amount, hopeless.amount) == (0, 0)
    assert doubtful.mean > 0
    assert doubtful.sorry > 1 - doubtful.odds
    assert "sorry" in doubtful.why
    assert hopeless.why == "even for nothing it is no better than the best alternative"
