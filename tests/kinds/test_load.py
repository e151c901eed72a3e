"""Own numbers count before learned ones before shipped ones; what cannot be true is named."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace

import pytest
from scipy.special import expit
from tests.library import load as once

from retrue.base.refusals import Refusal, Unknown, Unreadable, Unusable
from retrue.kinds.compare import differences
from retrue.kinds.library import Kind
from retrue.kinds.load import content_hash, load, load_from, shipped
from retrue.kinds.retune import chance_beyond

MILL, LATHE = "vertical_machining_centre", "turning_centre"


def own(text: str, *, learned: str = "", only: tuple[str, ...] = ()) -> dict[str, Kind]:
    taught = (("learned.toml", learned.encode()),) if learned else ()
    return dict(load((("own.toml", text.encode()),), learned=taught, only=only))


def lathe(text: str) -> Kind:
    return own(text, only=(LATHE,))[LATHE]


def mill(text: str) -> Kind:
    return own(text, only=(MILL,))[MILL]


def refused(text: str | bytes, sort: type[Refusal] = Unusable) -> list[str]:
    content = text.encode() if isinstance(text, str) else text
    with pytest.raises(sort) as refusal:
        load((("own.toml", content),))
    assert refusal.value.remedy
    return [str(problem) for problem in refusal.value.problems]


# Own numbers


def test_an_own_number_changes_that_number_and_no_other():
    changes = differences(once(), own('[[fault]]\nid = "F01"\nprior = 0.4\n'))
    assert [(c.kind, c.number, c.before, c.after) for c in changes] == [
        (MILL, "faults.F01.prior", 0.3, 0.4)
    ]


def test_only_the_overridden_fault_is_solved_again():
    before, after = once()[MILL], mill('[[fault]]\nid = "F01"\nprior = 0.4\n')
    moved = {f for f, base in after.base_log_odds.items() if base != before.base_log_odds[f]}
    assert moved == {"F01"}


def test_an_own_share_of_a_past_life_moves_the_faults_it_raises():
    """The base odds stay those of the reference shares, so the listed chance does not hold now."""
    before, after = once()[MILL], mill('[[history]]\nid = "HH"\nshare = 0.9\n')
    assert after.histories["HH"].prior == 0.9
    assert after.base_log_odds == before.base_log_odds


def test_own_counts_before_learned_before_shipped_number_by_number():
    kinds = own(
        '[[fault]]\nid = "F14"\nprior = 0.4\n',
        learned='[[fault]]\nid = "F14"\nprior = 0.1\nresale_drop_share = 0.2\n',
        only=(LATHE,),
    )
    fault = kinds[LATHE].faults["F14"]
    assert (fault.prior, fault.resale_drop_share) == (0.4, 0.2)
    assert kinds[LATHE].marks["fault.F14.prior"] == "the owner's own number"
    assert kinds[LATHE].marks["fault.F14.resale_drop_share"] == "learned from outcomes"


def test_of_two_files_the_later_one_counts():
    files = tuple(
        (f"{name}.toml", f'[[fault]]\nid = "F12"\nprior = {prior}\n'.encode())
        for name, prior in (("first", 0.5), ("second", 0.6))
    )
    assert load(files, only=(LATHE,))[LATHE].faults["F12"].prior == 0.6


def test_an_own_number_may_be_for_one_kind_and_carry_its_own_mark():
    kinds = own(
        f'[[fault]]\nid = "F14"\nkinds = ["{LATHE}"]\nprior = 0.4\nmark = "seven of ours"\n'
    )
    assert kinds[LATHE].faults["F14"].prior == 0.4
    assert kinds[LATHE].marks["fault.F14.prior"] == "seven of ours"
    assert kinds[MILL].faults["F14"].prior == 0.2


def test_one_figure_of_three_one_link_and_one_way_can_be_own():
    kinds = own(
        '[[fix]]\nfault = "F15"\nway = "local"\n'
        f'kinds = ["{MILL}"]\nmoney = {{ likely = 600 }}\n'
        '[[check]]\nid = "C20"\nlinks = { F01 = 0.5 }\n'
        '[[cost]]\nid = "E10"\namount = { low = 0.18, likely = 0.18, high = 0.18 }\n'
        f'[[level]]\nid = "right"\nresale_share = {{ 25 = 0.14 }}\n'
    )
    ways = {fix.way: fix for fix in kinds[MILL].fixes["F15"]}
    assert ways["local"].money.likely == 600
    assert (
        ways["local"].money.low == {f.way: f for f in once()[MILL].fixes["F15"]}["local"].money.low
    )
    assert kinds[MILL].checks["C20"].links["F01"] == 0.5
    assert kinds[MILL].costs["E10"].amount.high == 0.18
    assert kinds[LATHE].levels["right"].resale_share[25] == 0.14


def test_a_changed_link_moves_the_median_of_its_measure():
    after = lathe('[[check]]\nid = "C31"\nlinks = { F14 = 0.5 }\nleak = 0.02\n')
    measure = after.measures["M07"]
    beyond = chance_beyond(measure.check_limit, measure.parts["F14"], measure.bad_side)
    healthy = chance_beyond(measure.check_limit, measure.healthy, measure.bad_side)
    assert beyond == pytest.approx(0.5, abs=1e-3)
    assert healthy == pytest.approx(0.02, abs=1e-3)


def test_where_the_number_sees_less_its_chance_follows_in_proportion():
    after = lathe('[[check]]\nid = "C91"\nlinks = { F38 = 0.275 }\n').measures["M43"]
    beyond = chance_beyond(after.check_limit, after.parts["F38"], after.bad_side)
    assert beyond == pytest.approx(0.45 / 2, abs=2e-3)


def test_an_own_median_stays_as_given():
    text = '[[check]]\nid = "C31"\nlinks = { F14 = 0.5 }\n'
    text += '[[measure]]\nid = "M07"\nparts = { F14 = { median = 0.7 } }\n'
    assert lathe(text).measures["M07"].parts["F14"].median == 0.7


def test_a_chance_of_nought_or_one_is_taken_as_nearly_so():
    base = lathe('[[fault]]\nid = "F107"\nprior = 0\n').base_log_odds["F107"]
    assert 0 < expit(base) < 1e-6
    assert lathe('[[fault]]\nid = "F45"\nprior = 1\n').base_log_odds["F45"] > 10


def test_a_file_of_remarks_alone_changes_nothing():
    assert own("# my numbers, to come\n") == once()


# What is refused: file, line, key, and what would help


def test_a_chance_outside_nought_to_one():
    assert refused('[[fault]]\nid = "F01"\nprior = 1.4\n') == [
        "own.toml, line 3, fault F01, prior: 1.4 is not a share between 0 and 1."
    ]


def test_negative_money_and_hours():
    text = '[[fix]]\nfault = "F01"\nway = "repair"\nmoney = { low = -5 }\nhours = { low = -1 }\n'
    rest = "is negative or not finite; money, hours and days start at 0."
    assert refused(text) == [
        f"own.toml, line 4, fix F01 repair, money.low: -5 {rest}",
        f"own.toml, line 5, fix F01 repair, hours.low: -1 {rest}",
    ]


def test_low_likely_high_out_of_order():
    text = '[[fix]]\nfault = "F01"\nway = "repair"\nmoney = { likely = 5000 }\n'
    assert refused(text) == [
        "own.toml, line 4, fix F01 repair, money: low 450, likely 5000, high 2400 are not in order."
    ]


UNKNOWN = [
    (
        '[[fault]]\nid = "F10l"\nprior = 0.1\n',
        "own.toml, line 2, fault F10l, id: unknown fault F10l. Did you mean F10?",
    ),
    (
        '[[check]]\nid = "C1061"\nleak = 0.1\n',
        "own.toml, line 2, check C1061, id: unknown check C1061. Did you mean C106?",
    ),
    (
        '[[check]]\nid = "C20"\nlinks = { F010 = 0.1 }\n',
        "own.toml, line 3, check C20, links.F010: unknown fault 'F010'. Did you mean F10?",
    ),
    (
        '[[place]]\nid = "axis_w"\nstuck_chance = 0.1\n',
        "own.toml, line 2, place axis_w, id: unknown place axis_w. Did you mean axis_z?",
    ),
    (
        '[[measure]]\nid = "M077"\nuncertainty = 1\n',
        "own.toml, line 2, measure M077, id: unknown measure M077. Did you mean M07?",
    ),
    (
        '[[fault]]\nid = "F12"\nraisers = { CRR = 2 }\n',
        "own.toml, line 3, fault F12, raisers.CRR: unknown history 'CRR'. Did you mean CR?",
    ),
    (
        '[[fix]]\nfault = "F01"\nway = "relpace"\ncures = 0.1\n',
        "own.toml, line 3, fix F01 relpace, way: unknown fix F01:relpace. Did you mean F01:repair?",
    ),
    (
        '[[fault]]\nid = "F12"\nkinds = ["turning_center"]\nprior = 0.3\n',
        "own.toml, line 3, fault F12, kinds.0: 'turning_center' has no fault F12. "
        "Did you mean turning_centre?",
    ),
    (
        '[[fualt]]\nid = "F12"\n',
        "own.toml, line 1: unknown section fualt. Did you mean fault?",
    ),
]


def test_what_does_not_exist_is_named_with_the_nearest_that_does():
    """Each in a file of its own, all read at once."""
    with pytest.raises(Unusable) as refusal:
        load(tuple(("own.toml", text.encode()) for text, _ in UNKNOWN))
    assert refusal.value.remedy
    problems = [str(problem) for problem in refusal.value.problems]
    assert sorted(problems) == sorted(said for _, said in UNKNOWN)


def test_an_unknown_key_is_named_with_the_nearest():
    assert refused('[[fault]]\nid = "F01"\npiror = 0.4\n') == [
        "own.toml, line 3, fault F01, piror: unknown key. Did you mean prior?"
    ]


def test_words_cannot_be_own():
    assert refused('[[fault]]\nid = "F01"\nname = "my name"\n') == [
        "own.toml, line 3, fault F01, name: is not a number; only numbers can be your own. "
        "Leave it out."
    ]
    assert refused('[[shot]]\nid = "S01"\n') == [
        "own.toml, line 1, shot S01: a shot has no numbers to be your own. Leave it out."
    ]


@pytest.mark.parametrize("value", ['"high"', "true", "[0.1]", "{ a = 1 }", "2026-11-25", "nan"])
def test_a_number_that_is_none(value: str):
    [said] = refused(f'[[fault]]\nid = "F01"\nprior = {value}\n')
    assert said.startswith("own.toml, line 3, fault F01, prior")


def test_the_same_entry_twice():
    text = '[[fault]]\nid = "F01"\nprior = 0.4\n\n[[fault]]\nid = "F01"\nprior = 0.5\n'
    assert refused(text) == [
        "own.toml, line 5, fault F01: stands twice in this file. Keep one of them."
    ]


def test_an_id_that_is_left_out():
    assert refused("[[fault]]\nprior = 0.4\n") == [
        "own.toml, line 1, fault, id: is missing. Say which fault."
    ]


def test_all_that_is_wrong_is_said_at_once():
    text = '[[fault]]\nid = "F01"\nprior = 2\nresale_drop_share = -1\n\n[[fault]]\nid = "X1"\n'
    text += '[[cost]]\nid = "E10"\namount = { low = "cheap" }\n'
    assert len(refused(text)) == 4


def test_bad_toml_with_its_line():
    assert refused('[[fault]]\nid = "F01\nprior = 0.4\n', Unreadable) == [
        "own.toml, line 2: this is not TOML: Illegal character '\\n'. Mend the line, column 10."
    ]
    assert refused('[[fault]]\nid = "F01"\nid = "F02"\n', Unreadable) == [
        "own.toml, line 3: this is not TOML: Cannot overwrite a value. Mend the line, column 11."
    ]


def test_wrong_encoding_with_its_byte():
    assert refused('# größer\n[[fault]]\nid = "F01"\n'.encode("latin-1"), Unreadable) == [
        "own.toml, line 1: byte 5 (0xf6) is not UTF-8. Save the file as UTF-8."
    ]
    [said] = refused("[[fault]]\n".encode("utf-16"), Unreadable)
    assert said.startswith("own.toml, line 1: byte 1 (0xff) is not UTF-8")


def test_a_byte_order_mark_and_other_line_ends_are_read():
    text = b'\xef\xbb\xbf[[fault]]\r\nid = "F12"\r\nprior = 0.4\r\n'
    assert load((("own.toml", text),), only=(LATHE,))[LATHE].faults["F12"].prior == 0.4


@pytest.mark.parametrize("content", [b"", b" \n\n"])
def test_an_empty_file(content: bytes):
    assert refused(content, Unreadable) == [
        "own.toml: the file is empty. Write at least one entry, or leave it out."
    ]


def test_a_huge_file_is_not_even_read():
    [said] = refused(b"# much\n" * 300_000, Unreadable)
    assert said.startswith("own.toml: the file is larger than the 2000000 bytes")


@pytest.mark.parametrize(
    "content", [b"a = " + b"[" * 100_000, b"a = 1" + b"0" * 5_000, b"\x00", b"[[fault]]\n" * 9]
)
def test_strange_files_are_refused_and_nothing_worse(content: bytes):
    with pytest.raises(Refusal):
        load((("own.toml", content),))


def test_an_unknown_kind():
    with pytest.raises(Unknown, match="there is no kind 'lathe'") as refusal:
        load(only=("lathe",))
    assert "turning_centre" in refusal.value.remedy


# The shipped tables are held to the same rules


SLIPS = [
    ("faults.toml", "prior = 0.3\n", "", "fault F01, prior: is missing."),
    ("faults.toml", 'id = "F02"', 'id = "F01"', "fault F01: stands twice"),
    ("faults.toml", 'place = "spindle_head"', 'place = "spindlehead"', "unknown place"),
    ("checks.toml", 'caution = "X47"', 'caution = "X99"', "unknown caution 'X99'"),
    ("checks.toml", 'stages = ["photo"', 'stages = ["foto"', "'foto' is not one of them"),
    ("measures.toml", 'check = "C50"', 'check = "C500"', "unknown check 'C500'"),
    ("shots.toml", 'answer = "not_seen"', 'answer = "unseen"', "'unseen' is no answer"),
    ("places.toml", 'behind = "outside"', 'behind = "inside"', "unknown place 'inside'"),
    ("jobs.toml", "reveals = [", 'reveals = ["C0", ', "unknown check 'C0'"),
    ("levels.toml", "15 = 0.16", "fifteen = 0.16", "'fifteen' is not an age in whole years"),
    ("kinds.toml", 'letter = "V"', "letter = 5", "expected an id such as F01, found 5"),
    ("histories.toml", 'scope = "lot"', 'scope = "world"', "'world' is not one of them"),
    ("stop_cover.toml", 'check = "C51"', 'check = "C999"', "unknown check 'C999'"),
    ("call.toml", 'id = "C15"', 'id = "C155"', "unknown check 'C155'"),
    ("cautions.toml", 'mark = "', 'make = "', "mark: is missing."),
]


def broken(slips: Sequence[tuple[str, str, str, str]]) -> list[str]:
    files = dict(shipped())
    for name, old, new, _ in slips:
        text = files[name].decode()
        assert old in text
        files[name] = text.replace(old, new, 1).encode()
    with pytest.raises(Refusal) as refusal:
        load_from(tuple(files.items()))
    return [str(problem) for problem in refusal.value.problems]


def test_a_slip_in_the_library_is_named():
    """Those of one file one after the other: what is wrong in itself is not compared with more."""
    for at in range(3):
        slips = [slip for slip in SLIPS if [s for s in SLIPS if s[0] == slip[0]].index(slip) == at]
        problems = broken(slips)
        for name, _, _, said in slips:
            assert any(said in one and one.startswith(f"{name}, line ") for one in problems), said


# Hash, version


def test_the_hash_is_of_the_content_alone():
    first, again = load(), once()
    assert {k.id: k.hash for k in first.values()} == {k.id: k.hash for k in again.values()}
    kind = first[LATHE]
    assert content_hash(replace(kind, hash="", base_log_odds={})) == kind.hash
    assert len({kind.hash for kind in first.values()}) == 4
    changed = own('[[fault]]\nid = "F12"\nprior = 0.4\n')
    assert changed[LATHE].hash != kind.hash
    assert changed[MILL].hash == first[MILL].hash


def test_a_kind_can_be_asked_for_alone():
    alone = load(only=(LATHE,))
    assert alone == {LATHE: once()[LATHE]}


def test_a_kind_is_plain_json():
    import msgspec

    held = json.loads(msgspec.json.encode(once()[MILL]))
    assert held["faults"]["F01"]["prior"] == 0.3


def test_what_was_read_twice_is_the_same():
    assert load_from(shipped()) == once()
