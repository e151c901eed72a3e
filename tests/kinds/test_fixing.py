"""The tables of the work itself: read, held against each other, one's own numbers laid over."""

from __future__ import annotations

import pytest
from tests.library import load as once

from retrue.base.refusals import Unusable
from retrue.kinds.compare import differences
from retrue.kinds.library import Kind
from retrue.kinds.load import load, load_from, shipped

KINDS = once()
every_kind = pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
RENEWAL = """
[[renewal]]
id = "lamp_gasket"
name = "Lamp gasket"
kinds = ["turning_centre"]
place = "PLACE"
faults = ["FAULT"]
money = { low = 1, likely = 2, high = 3 }
hours = { low = 1, likely = 2, high = 3 }
shape = 2
life_years = LIFE
raisers = { RAISER = 2 }
mark = "judgement"
"""
UPGRADE = """
[[upgrade]]
id = "bell"
name = "Bell"
kinds = ["turning_centre"]
sort = "other"
place = "panel"
money = { low = 1, likely = 2, high = 3 }
hours = { low = 1, likely = 2, high = 3 }
adds = { ADDS = 0.1 }
cures = { CURE = 0.5 }
cautions = ["CAUTION"]
mark = "judgement"
"""
RULE = """
[[card_rule]]
of = "OF"
kinds = ["turning_centre"]
cautions = ["X02"]
mark = "judgement"
"""
EFFECT = """
[[way_effect]]
of = "OF"
kinds = ["turning_centre"]
again = 0.1
again_years = 5
mark = "judgement"
"""


def named(text: str) -> list[str]:
    with pytest.raises(Unusable) as refused:
        load_from((*shipped(), ("more.toml", text.encode())))
    return [str(problem) for problem in refused.value.problems]


def renewal(place: str = "panel", fault: str = "F95", life: str = "9", raiser: str = "CN") -> str:
    changed = RENEWAL.replace("PLACE", place).replace("FAULT", fault)
    return changed.replace("LIFE", life).replace("RAISER", raiser)


def upgrade(adds: str = "resale_share", cure: str = "F95", caution: str = "X02") -> str:
    return UPGRADE.replace("ADDS", adds).replace("CURE", cure).replace("CAUTION", caution)


def test_what_is_right_is_taken():
    right = renewal() + upgrade()
    right += "".join(
        RULE.replace("OF", of)
        for of in ("place:outside", "job:J14", "fault:F95", "way:outside", "subsystem:lighting")
    ) + EFFECT.replace("OF", "F95:second_hand")
    kind = load_from((*shipped(), ("more.toml", right.encode())))["turning_centre"]
    assert kind.renewals["lamp_gasket"].raisers == {"CN": 2}
    assert kind.upgrades["bell"].adds == {"resale_share": 0.1}
    assert {rule.of for rule in kind.card_rules} >= {"subsystem:lighting", "way:outside"}
    assert kind.way_effects["F95:second_hand"].again == 0.1
    assert kind.hash != KINDS["turning_centre"].hash


@pytest.mark.parametrize(
    ("text", "what"),
    [
        (renewal(place="panell"), "unknown place 'panell' of turning_centre"),
        (renewal(fault="F01"), "unknown fault 'F01' of turning_centre"),
        (renewal(raiser="QQ"), "unknown history 'QQ'"),
        (renewal(life="0"), "0 is not above 0"),
        (upgrade(adds="loudness"), "unknown key"),
        (upgrade(cure="F999"), "unknown fault 'F999'"),
        (upgrade(caution="X99"), "unknown caution 'X99'"),
        (RULE.replace("OF", "place:axis_y"), "unknown place 'axis_y' of turning_centre"),
        (RULE.replace("OF", "job:J99"), "unknown job 'J99'"),
        (RULE.replace("OF", "fault:F01"), "unknown fault 'F01' of turning_centre"),
        (RULE.replace("OF", "way:locl"), "unknown way 'locl'"),
        (RULE.replace("OF", "subsystem:pannel"), "unknown subsystem 'pannel'"),
        (RULE.replace("OF", "panel"), "expected what it is of"),
        (EFFECT.replace("OF", "locl"), "unknown way 'locl'"),
        (EFFECT.replace("OF", "F95:locl"), "unknown fix 'F95:locl'"),
        (RULE.replace("OF", "place:outside") * 2, "stands twice"),
    ],
)
def test_what_is_nowhere_is_named_with_file_and_row(text: str, what: str):
    [problem] = named(text)
    assert what in problem
    assert problem.startswith("more.toml, line ")


def test_ones_own_numbers_are_laid_over_and_named():
    own = b"""
[[renewal]]
id = "drive_fans"
life_years = 8
money.likely = 120
mark = "own fans, looked up"

[[upgrade]]
id = "work_light"
adds.light_lm = 4000

[[way_effect]]
of = "replace"
again = 0.2
"""
    kinds = load((("own.toml", own),))
    kind = kinds["turning_centre"]
    assert kind.renewals["drive_fans"].life_years == 8
    assert kind.renewals["drive_fans"].mark == "own fans, looked up"
    assert kind.renewals["drive_fans"].money.likely == 120
    assert kind.upgrades["work_light"].adds["light_lm"] == 4000
    assert kind.upgrades["work_light"].mark == "the owner's own number"
    assert kind.way_effects["replace"].again == 0.2
    changed = {one.number for one in differences(KINDS, kinds) if one.kind == "turning_centre"}
    assert changed == {
        "renewals.drive_fans.life_years",
        "renewals.drive_fans.money.likely",
        "upgrades.work_light.adds.light_lm",
        "way_effects.replace.again",
    }


@every_kind
def test_what_is_said_of_the_work_is_judgement_and_says_so(kind: Kind):
    tables = (kind.renewals.values(), kind.upgrades.values(), kind.way_effects.values())
    for row in (*(row for table in tables for row in table), *kind.card_rules):
        assert "judgement" in row.mark
