"""Whatever happens to a file of the library, it is read or refused; nothing else."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from retrue.base.refusals import Problem, Refusal
from retrue.kinds.lines import line_map
from retrue.kinds.load import Files, load_from, shipped

LIBRARY = dict(shipped())
STRANGE = (
    "-1", "0", "1", "2", "1e999", "nan", "true", '"x"', '""', "[]", "{}", "[[]]", "{ a = 1 }",
    "2026-11-25", "{ low = 3, likely = 2, high = 1 }", "{ F01 = 0.5, X9 = 0.5 }", '["F01"]',
    "[1, 2]", "0x10", "'''\nid = 3\n'''", "9" * 30,
)  # fmt: skip


@st.composite
def harmed(draw: st.DrawFn) -> tuple[str, bytes]:
    """One file of the library with one thing wrong in it."""
    name = draw(st.sampled_from(sorted(LIBRARY)))
    content = LIBRARY[name]
    how = draw(st.sampled_from(("byte", "value", "key", "less", "twice", "end", "header")))
    if how == "byte":
        at = draw(st.integers(0, len(content) - 1))
        return name, content[:at] + bytes([draw(st.integers(0, 255))]) + content[at + 1 :]
    if how == "end":
        return name, content[: draw(st.integers(0, len(content)))]
    lines = content.decode().split("\n")
    at = draw(st.sampled_from([n for n, line in enumerate(lines) if line and line[0] != "#"]))
    head, found, _ = lines[at].partition(" = ")
    if how == "value" and found:
        lines[at] = f"{head} = {draw(st.sampled_from(STRANGE))}"
    elif how == "key" and found:
        lines[at] = (
            draw(st.sampled_from(("x", "kinds", "id", "mark_x", "mark_prior")))
            + (lines[at][len(head) :])
        )
    elif how == "header":
        lines[at] = draw(st.sampled_from(("[fault]", "[[fault]]", "[[nothing]]", "[[kind]]")))
    elif how == "less":
        del lines[at]
    else:
        lines.insert(at, lines[at])
    return name, "\n".join(lines).encode()


def said(*, owner: Files = (), **harm: bytes) -> tuple[Problem, ...]:
    """What is said of the harm, if it is said at all; anything but a refusal comes through."""
    try:
        kinds = load_from(tuple((LIBRARY | harm).items()), owner=owner, only=("turning_centre",))
    except Refusal as refusal:
        return refusal.problems or (Problem("", "nothing is said"),)
    assert kinds["turning_centre"].hash
    return ()


@given(harmed())
@settings(max_examples=16)
def test_a_harmed_library_is_read_or_refused(harm: tuple[str, bytes]):
    problems = said(**dict([harm]))
    assert all(problem.where.split(",")[0] in LIBRARY for problem in problems)


@given(harmed())
@settings(max_examples=12)
def test_a_harmed_own_file_is_read_or_refused(harm: tuple[str, bytes]):
    problems = said(owner=(("own.toml", harm[1]),))
    assert all(problem.where.startswith("own.toml") for problem in problems)


@given(st.text(st.sampled_from("[]{}\"'=,.# \nab0"), max_size=60))
def test_the_lines_of_any_text_can_be_looked_for(text: str):
    lines = line_map(text)
    assert all(1 <= line <= text.count("\n") + 1 for line in lines.values())
