"""The shipped tables agree with themselves. All their numbers are common practice, no source."""

from __future__ import annotations

from collections import Counter
from functools import cache
from itertools import product

import pytest
from scipy.special import expit
from tests.library import load

from retrue.base.refusals import Unusable
from retrue.kinds.compare import differences
from retrue.kinds.library import Kind
from retrue.kinds.load import shipped
from retrue.kinds.retune import chance_beyond
from retrue.kinds.shape import SECTIONS
from retrue.kinds.shape_fixing import FIXING
from retrue.kinds.shape_guarding import GUARDING
from retrue.kinds.sources import Document, read_document

KINDS = load()
FULL = ("vertical_machining_centre", "turning_centre")
SMALL = ("milling_machine", "surface_grinder")
ORDER = ("photo", "call", "visit_dead", "visit_live", "lift", "apart")
ORDER = (*ORDER, *(f"P{stage}" for stage in range(8)), "unpropped", "P8", "P9", "P10", "cut")

every_kind = pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
full_kind = pytest.mark.parametrize("kind", [KINDS[name] for name in FULL], ids=FULL)


@cache
def documents() -> dict[str, Document]:
    found = {name: read_document(name, content) for name, content in shipped()}
    return {name: read for name, read in found.items() if isinstance(read, Document)}


def rows(section: str, kinds: tuple[str, ...] = FULL) -> list[dict[str, object]]:
    return [
        row
        for document in documents().values()
        for row in document.tables.get(section, [])
        if set(row["kinds"]) & set(kinds)
    ]


def test_nothing_of_the_two_full_kinds_is_lost():
    told = {"kind", *FIXING, *GUARDING}  # work itself and guards have tests of their own
    count = {section: len(rows(section)) for section in SECTIONS if section not in told}
    assert count == {
        "history": 12,
        "fault": 109,
        "fix": 329,
        "job": 29,
        "place": 33,  # 40 with the seven that are alike on both kinds
        "level": 3,
        "state": 1,
        "cost": 51,
        "check": 139,  # 153 less six of the mill's and eight of the grinder's own
        "measure": 51,
        "shot": 31,
        "question": 12,
        "plate": 51,
        "stop_cover": 22,
        "caution": 54,
        "cause": 22,
        "limit": 36,
        "symptom": 54,
        "group": 19,
        "swappable": 6,
        "severe": 5,
        "estimate": 7,
        "as_found": 85,  # 84 of the two kinds, and the air unit of a lathe
        "tick": 14,
        "muck": 7,
        "stage": 22,
        "stage_reading": 72,
        "run_in": 12,
    }
    assert sum(len(KINDS[name].places) for name in FULL) == 40


def test_the_ways_are_those_of_the_tables():
    ways = Counter(row["way"] for row in rows("fix"))
    assert ways == {
        "clean": 12,
        "adjust": 17,
        "repair": 59,
        "replace": 61,
        "second_hand": 48,
        "outside": 32,
        "local": 57,
        "live_with": 43,
    }


def test_the_smaller_kinds_are_whole_though_smaller():
    for name in SMALL:
        kind = KINDS[name]
        assert 30 <= len(kind.faults) <= 60
        assert {fault for fault in kind.faults if fault[0] == kind.letter}
        assert kind.as_found_share[25] == 0.03
        assert {cost.when for cost in kind.costs.values()} >= {
            "info: asking band",
            "info: alternative",
            "info: base of resale",
        }
    assert len(KINDS["milling_machine"].faults.keys() & {f"K{n}" for n in range(1, 7)}) == 6
    assert len(KINDS["surface_grinder"].faults.keys() & {f"G{n}" for n in range(1, 8)}) == 7


@every_kind
def test_every_fault_can_be_cured(kind: Kind):
    for fault in kind.faults:
        curing = [fix for fix in kind.fixes[fault] if fix.way != "live_with" and fix.cures > 0]
        assert curing, fault


@every_kind
def test_what_should_or_may_be_put_right_can_be_lived_with_and_a_stop_never(kind: Kind):
    for fault in kind.faults.values():
        lived = [fix for fix in kind.fixes[fault.id] if fix.way == "live_with"]
        assert len(lived) <= 1
        if fault.urgency in ("SHOULD", "MAY"):
            assert lived, fault.id
        if fault.urgency == "STOP":
            assert not lived, fault.id
        if fault.urgency == "MUST" and lived:
            assert lived[0].note.startswith("MUST: only if the owner allows"), fault.id


def test_seven_musts_of_the_full_kinds_may_be_lived_with_on_a_condition():
    lived = {
        fault.id
        for name in FULL
        for fault in KINDS[name].faults.values()
        for fix in KINDS[name].fixes[fault.id]
        if fault.urgency == "MUST" and fix.way == "live_with"
    }
    assert lived == {"F01", "F02", "F11", "F40", "F62", "F66", "F68"}


@every_kind
def test_every_stop_is_cleared_by_a_check_that_hardly_misses_it_before_it_hurts(kind: Kind):
    for fault in kind.faults.values():
        if fault.urgency == "STOP":
            cover = kind.stop_cover[fault.id]
            assert kind.checks[cover.check].links[fault.id] >= 0.9, fault.id
            assert ORDER.index(cover.done_at) < ORDER.index(cover.danger_at), fault.id
    assert all(kind.faults[fault].urgency == "STOP" for fault in kind.stop_cover)


@every_kind
def test_every_photograph_check_is_reached_by_a_ready_answer(kind: Kind):
    reached = {
        chip.id
        for shot in kind.shots.values()
        for chip in shot.chips
        if chip.target == "check" and chip.id in shot.checks
    }
    photo = {check.id for check in kind.checks.values() if "photo" in check.stages}
    assert photo <= reached


def test_the_full_kinds_have_the_photograph_checks_of_the_tables():
    photo = {
        check.id
        for kind in KINDS.values()
        for check in kind.checks.values()
        if "photo" in check.stages
    }
    assert len(photo) == 37


@every_kind
def test_one_ready_answer_says_at_most_one_thing_of_one_check(kind: Kind):
    for shot in kind.shots.values():
        spoken = Counter(chip.words for chip in shot.chips if chip.target == "check")
        assert set(spoken.values()) <= {1}, shot.id


@every_kind
def test_pictures_and_questions_speak_the_four_languages(kind: Kind):
    for shot in kind.shots.values():
        assert set(shot.ask) == (set() if shot.view else {"en", "nl", "fr", "de"}), shot.id
    for question in kind.questions.values():
        assert set(question.ask) == {"en", "nl", "fr", "de"}, question.id
        assert question.options


# Where the number on the instrument sees less of a fault than the whole check does.
SEES_LESS = {
    ("M01", "F02"): 0.55, ("M01", "F01"): 0.30, ("M02", "F02"): 0.60, ("M02", "F01"): 0.38,
    ("M18", "F49"): 0.90, ("M18", "F50"): 0.80, ("M18", "F53"): 0.25, ("M19", "F48"): 0.85,
    ("M21", "F59"): 0.50, ("M23", "F109"): 0.85, ("M24", "F81"): 0.90, ("M36", "F54"): 0.60,
    ("M39", "F84"): 0.80, ("M39", "F24"): 0.45, ("M43", "F37"): 0.50, ("M43", "F36"): 0.50,
    ("M43", "F38"): 0.45, ("M43", "F41"): 0.35, ("M43", "F47"): 0.10, ("M44", "F36"): 0.60,
    ("M44", "F38"): 0.40, ("M44", "F37"): 0.45,
}  # fmt: skip


@every_kind
def test_a_number_and_a_yes_or_no_tell_one_story_at_the_limit(kind: Kind):
    for measure in kind.measures.values():
        check = kind.checks[measure.check]
        assert measure.id in check.measures
        healthy = chance_beyond(measure.check_limit, measure.healthy, measure.bad_side)
        assert healthy == pytest.approx(check.leak, abs=1e-2), measure.id
        for fault, part in measure.parts.items():
            told = SEES_LESS.get((measure.id, fault), check.links[fault])
            beyond = chance_beyond(measure.check_limit, part, measure.bad_side)
            assert beyond == pytest.approx(told, abs=1e-2), (measure.id, fault)
            assert told <= check.links[fault]


@every_kind
def test_listed_chances_hold_with_past_lives_unknown(kind: Kind):
    """By brute force over the past lives of each fault."""
    for fault in kind.faults.values():
        names = list(fault.raisers)
        told = 0.0
        for state in product((False, True), repeat=len(names)):
            weight, odds = 1.0, 1.0
            for name, present in zip(names, state, strict=True):
                share = kind.histories[name].prior
                weight *= share if present else 1 - share
                odds *= fault.raisers[name] if present else 1
            base = kind.base_log_odds[fault.id]
            told += weight * odds * expit(base) / (1 + (odds - 1) * expit(base))
        assert told == pytest.approx(fault.prior, abs=1e-6), fault.id


def test_what_belongs_to_the_lot_or_the_shop_is_as_likely_on_every_kind():
    """One draw a lot or a shop: it cannot have two chances."""
    for fault in {name for kind in KINDS.values() for name in kind.faults}:
        faults = [kind.faults[fault] for kind in KINDS.values() if fault in kind.faults]
        if faults[0].scope != "machine":
            assert len({(f.prior, tuple(f.raisers.items()), f.scope) for f in faults}) == 1, fault


@every_kind
def test_doors_close_again_and_lead_outside(kind: Kind):
    for place in kind.places.values():
        passed = {place.id}
        while place.behind:
            place = kind.places[place.behind]
            assert place.id not in passed
            passed.add(place.id)
        assert place.id in ("outside", "supply")


@every_kind
def test_a_kind_closes_over_its_own_ids(kind: Kind):
    faults, checks = set(kind.faults), set(kind.checks)
    for fault in kind.faults.values():
        assert fault.place in kind.places
        assert set(fault.raisers) <= set(kind.histories)
    for ways in kind.fixes.values():
        assert all(set(fix.also_cures) <= faults for fix in ways)
        assert all(fix.opens is None or fix.opens in kind.places for fix in ways)
    for job in kind.jobs.values():
        assert set(job.cures) <= faults
        assert set(job.reveals) <= checks
        assert set(job.places) <= set(kind.places)
    for check in kind.checks.values():
        assert set(check.links) <= faults
        assert check.links, check.id
        assert check.caution in kind.cautions
        assert (check.answers == "measure") <= bool(check.measures)


@every_kind
def test_causes_name_other_faults_and_never_lead_back(kind: Kind):
    feeds = {cause.fault: cause.leads_to for cause in kind.causes if cause.sort == "feeds"}
    assert feeds
    for start in feeds:
        reached, open_ends = set(), [start]
        while open_ends:
            for fault in feeds.get(open_ends.pop(), ()):
                assert fault != start
                if fault not in reached:
                    reached.add(fault)
                    open_ends.append(fault)
        assert reached <= set(kind.faults)


def test_the_known_chain_from_sludge_to_the_screw_is_there():
    feeds = {c.fault: c.leads_to for c in KINDS["turning_centre"].causes if c.sort == "feeds"}
    assert feeds["F51"] == ("F48",)
    assert feeds["F48"] == ("F36", "F38", "F42")


@every_kind
def test_every_fault_shows_in_some_check(kind: Kind):
    shown = {fault for check in kind.checks.values() for fault in check.links}
    assert set(kind.faults) == shown


@full_kind
def test_resale_falls_with_age_and_rises_with_the_level(kind: Kind):
    shares = [kind.as_found_share, *(level.resale_share for level in kind.levels.values())]
    for share in shares:
        ages = sorted(share)
        assert ages == [1, 2, 5, 10, 15, 20, 25, 30]
        assert [share[age] for age in ages] == sorted(share.values(), reverse=True)
    for age in shares[0]:
        assert [share[age] for share in shares] == sorted(share[age] for share in shares)


def test_every_number_has_a_mark():
    for document in documents().values():
        for section, entries in document.tables.items():
            for row in entries:
                if SECTIONS[section].marked:
                    assert row["mark"], (document.name, row)


@every_kind
def test_numbers_that_were_seen_or_remembered_say_so(kind: Kind):
    assert kind.marks["cost.E10.amount"].startswith("seen: ")
    assert kind.marks["cost.E26.amount.high"].startswith("seen: ")
    marks = {mark for measure in kind.measures.values() for mark in measure.limit_marks.values()}
    assert any(mark.startswith("seen: ") for mark in marks)
    assert "from memory, unverified" in marks
    assert all(
        "judgement" in entry.mark
        for table in (kind.faults, kind.jobs, kind.places, kind.levels, kind.costs, kind.checks)
        for entry in table.values()
    )


@every_kind
def test_no_page_text_speaks_in_codes(kind: Kind):
    texts = [
        *(text for fault in kind.faults.values() for text in (fault.name, fault.consequence)),
        *(fix.note for ways in kind.fixes.values() for fix in ways),
        *(check.text for check in kind.checks.values()),
        *(cost.note for cost in kind.costs.values()),
    ]
    codes = set(kind.faults) | set(kind.checks) | set(kind.jobs)
    for text in texts:
        assert not codes & set(text.replace(",", " ").replace(";", " ").split()), text


@every_kind
def test_every_limit_names_where_to_look_it_up_and_says_it_was_not(kind: Kind):
    assert "level" in kind.limits
    for limit in kind.limits.values():
        assert limit.standard.startswith("ISO "), limit.id
        assert limit.edition.isdigit(), limit.id
        assert limit.mark in {"from memory, unverified", "common practice, judgement"}, limit.id
        assert limit.key.endswith({"µm": "_um", "µm/m": "_um_per_m"}[limit.unit]), limit.id
        assert kind.id in limit.kinds


def test_the_limits_are_what_the_measures_accept_after_a_repair():
    pairs = {
        "taper_nose_V": "M01",
        "taper_end_V": "M02",
        "centring_L": "M57",
        "backlash": "M13",
        "wear_centre": "M14",
        "end_float": "M15",
        "sweep_V": "M25",
        "sweep_K": "M25",
        "level": "M26",
        "circle_V": "M43",
        "circle_L": "M43",
        "square_V": "M49",
        "square_K": "M49",
        "turned_bar_L": "M38",
    }
    for name, measure in pairs.items():
        kind = next(kind for kind in KINDS.values() if name in kind.limits)
        op, accepted = kind.measures[measure].limits["accept"]
        assert op == "<="
        assert kind.limits[name].value == pytest.approx(1000 * accepted), name


def test_a_limit_of_ones_own_brings_its_own_mark_and_changes_nothing_else():
    own = b'[[limit]]\nid = "sweep_V"\nvalue = 15\nmark = "my copy, test G13"\n'
    changed = load((("own.toml", own),))
    [change] = differences(KINDS, changed)
    assert (change.number, change.before, change.after) == ("limits.sweep_V.value", 20, 15)
    kind, before = changed["vertical_machining_centre"], KINDS["vertical_machining_centre"]
    assert kind.limits["sweep_V"].mark == "my copy, test G13"
    assert kind.hash != before.hash
    assert kind.limits["level"] == before.limits["level"]
    assert changed["turning_centre"].hash == KINDS["turning_centre"].hash


@pytest.mark.parametrize("value", ["0", "-5", "nan", "inf", '"20"', "true"])
def test_a_limit_that_is_no_size_is_refused(value: str):
    own = f'[[limit]]\nid = "level"\nvalue = {value}\n'.encode()
    with pytest.raises(Unusable) as refused:
        load((("own.toml", own),))
    assert "limit level, value" in refused.value.problems[0].where
