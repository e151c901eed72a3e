"""A ladder and its stages for programs, and in lines."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import asdict
from typing import Any

from retrue.base.formatter import short
from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.cases.wake.lines import BandLine, ClosedLine, Ladder, StageStands
from retrue.cases.wake.written import limits_words
from retrue.cli.strip_rows import with_why

STATES = {
    "signed": "signed", "begun": "begun, not signed", "open": "may begin", "closed": "closed",
    "aborted": "called off: find the cause first", "strip": "called off twice: strip",
}  # fmt: skip
ENDS = ("expected_low", "expected_high", "abort_low", "abort_high")


def ladder_row(ladder: Ladder) -> dict[str, Any]:
    """The whole ladder, for programs."""
    told: dict[str, Any] = {
        "alone": list(ladder.alone),
        "answer": ladder.answer,
        "at_switch": ladder.at_switch or None,
        "cautions": _cautions(ladder.cautions),
        "evening": list(ladder.evening),
        "kind": ladder.kind,
        "lot": ladder.lot_name or None,
        "machine": ladder.name or None,
        "next": ladder.next.stage.id if ladder.next else None,
        "next_act": ladder.next_act,
        "schema": "wake.plan.1",
        "stages": [stage_row(one) for one in ladder.stages],
    }
    whys = {"at_switch": "nobody was named", "lot": "a kind alone", "machine": "a kind alone",
            "next": "all are signed"}  # fmt: skip
    return told | {"why": {key: say(words) for key, words in whys.items() if told[key] is None}}


def stage_row(one: StageStands) -> dict[str, Any]:
    """One stage, for programs."""
    stage, begun, ended = one.stage, one.begun, one.ended
    names = ("title", "energises", "who", "alone", "licensed", "optional")
    told: dict[str, Any] = {name: getattr(stage, name) for name in names}
    lists = ("abort_limits", "on_abort", "hands_back", "leave_it", "needs")
    told |= {name: list(getattr(stage, name)) for name in lists}
    told |= {
        "aborts": one.aborts,
        "alone_instead": one.alone_instead,
        "at_switch": begun.fact.at_switch if begun else None,
        "bands": [_band(line) for line in one.bands],
        "begun": begun.id if begun else None,
        "by_name": begun.fact.by_name if begun else None,
        "cautions": _cautions(one.cautions),
        "choice": one.choice or None,
        "choices": dict(stage.choices),
        "closed": [_closed(line) for line in one.closed],
        "ended": ended.id if ended else None,
        "ended_how": ended.fact.how if ended else None,
        "ended_why": (ended.fact.why or ended.fact.text) if ended else None,
        "hours": one.hours,
        "id": stage.id,
        "live": one.live,
        "needs_watch": one.needs_watch,
        "pieces_hours": list(stage.pieces_hours),
        "reason": stage.why,
        "signed_by": ended.fact.name if ended and one.signed else None,
        "stage": stage.stage,
        "state": one.state,
        "step": one.step.step if one.step else None,
        "step_minutes": one.step.minutes if one.step else None,
        "step_percent": one.step.percent if one.step else None,
        "step_rpm": one.step_rpm,
        "suspected": list(one.suspected),
        "unsigned": [_problem(problem) for problem in one.unsigned],
        "wanting": [_problem(problem) for problem in one.wanting],
    }
    return with_why(told, "not so, or not yet")


def stage_lines(one: StageStands) -> Iterator[str]:
    """One stage in lines: cautions first."""
    for _, text, defers in one.cautions:
        yield say("Caution: {caution}", caution=f"{text} ({defers})")
    yield f"{one.stage.id}  {one.stage.title}: {say(STATES[one.state])}"
    yield "  " + say("energises: {what}; who: {who}", what=one.stage.energises, who=one.who)
    if one.live:
        yield "  " + say("Live work. Why: {why}", why=one.stage.why)
    yield from _list(say("What must be so:"), one.stage.needs)
    yield from _list(say("What must be closed:"), (_closed_words(line) for line in one.closed))
    yield from _list(say("Likely, and it could be hurt:"), one.suspected)
    if one.step is not None:
        rpm = f", {short(one.step_rpm)} 1/min" if one.step_rpm is not None else ""
        yield "  " + say("Step {step}: {percent} %{rpm}, {minutes} min, {text}",
                         step=one.step.step, percent=short(one.step.percent), rpm=rpm,
                         minutes=short(one.step.minutes), text=one.step.text)  # fmt: skip
    yield from _list(say("What it should read:"), (_band_words(line) for line in one.bands))
    yield from _list(say("It ends at:"), one.abort_limits)
    yield from _list(say("Then:"), one.on_abort)
    yield from _list(say("To hand back:"), one.stage.hands_back)
    yield from _list(say("Why it stays closed:"), (str(problem) for problem in one.wanting))
    yield from _list(say("Before it is signed:"), (str(problem) for problem in one.unsigned))
    if one.alone_instead and not one.signed:
        yield "  " + say("Alone, only: {what}", what=one.alone_instead)


def ladder_lines(ladder: Ladder) -> Iterator[str]:
    """The ladder in lines."""
    for _, text, defers in ladder.cautions:
        yield say("Caution: {caution}", caution=f"{text} ({defers})")
    yield say("{answer}.", answer=ladder.answer)
    for one in ladder.stages:
        by = f", {one.ended.fact.name}" if one.signed and one.ended else ""
        wants = say(" ({count} open)", count=len(one.wanting)) if one.wanting else ""
        live = say(" [live work]") if one.live else ""
        yield (f"  {one.stage.stage:<4} {one.stage.title}{live}: "
               f"{say(STATES[one.state])}{by}{wants}")  # fmt: skip
    yield ladder.next_act
    if ladder.next:
        problems = [problem for problem in ladder.next.wanting if problem.where != "at_switch"]
        yield from _list(say("Open before it:"), (str(problem) for problem in problems))
    yield from _list(say("Alone tonight:"), ladder.alone)
    yield from _list(say("When you leave it:"), ladder.evening)


def _closed(line: ClosedLine) -> dict[str, Any]:
    told: dict[str, Any] = {name: getattr(line, name) for name in ("by", "how", "id", "text")}
    told |= {"reading": line.reading or None, "record": line.record}
    told["on"] = line.when.date().isoformat() if line.when else None
    return with_why(told, "none")


def _band(line: BandLine) -> dict[str, Any]:
    names = ("name", "words", "unit", *ENDS, "taken_by", "note", "mark", "hold", "hard", "step")
    told: dict[str, Any] = {name: getattr(line, name) for name in names}
    told |= {"lacks": line.lacks or None, "points": list(line.points), "typed": line.typed or None}
    told["readings"] = [
        {"by": one.by, "on": one.when.isoformat(), "point": one.point, "reading": one.reading,
         "record": one.record, "ruling": one.ruling, "unit": one.unit}
        for one in line.readings
    ]  # fmt: skip
    return with_why(told, "missing on the plate" if line.lacks else "none")


def _problem(problem: Problem) -> dict[str, str]:
    return asdict(problem)


def _cautions(rows: Iterable[tuple[str, str, str]]) -> list[dict[str, str]]:
    return [{"defers_to": defers, "id": id, "text": text} for id, text, defers in rows]


def _closed_words(line: ClosedLine) -> str:
    mark = " " if line.how == "open" else "x"
    on = line.when.date().isoformat() if line.when else ""
    by = ", ".join(str(part) for part in (line.reading, line.by, on) if part)
    return f"[{mark}] {line.id}  {line.text}" + (f" ({by})" if by else "")


def _band_words(line: BandLine) -> str:
    told = f"{line.name}  {line.words}: {limits_words(line)}"
    if line.points:
        told += f" [{', '.join(map(str, line.points))}]"
    if line.note:
        told += f"; {line.note}"
    read = ", ".join(
        str(f"{short(one.reading)} {one.unit} {one.point}".strip() + f" ({say(one.ruling)})")
        for one in line.readings
    )
    return f"{told}. {say('Read: {read}', read=read)}" if read else told


def _list(heading: str, rows: Iterable[str]) -> Iterator[str]:
    lines = list(rows)
    if lines:
        yield "  " + heading
        yield from (f"    {line}" for line in lines)
