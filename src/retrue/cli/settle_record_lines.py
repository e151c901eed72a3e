"""The condition record as lines of a terminal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from retrue.base.formatter import short
from retrue.base.say import say
from retrue.cases.settle.condition_check import Checked, headline
from retrue.cases.settle.condition_file import (
    code_of_record,
    in_groups,
    sha256_of,
)
from retrue.cases.settle.condition_said import Otherwise
from retrue.cases.settle.record_lines import ConditionRecord, GuardLine, Part
from retrue.paper.condition_record import PARTS, counts_words
from retrue.phases.settle import RecordStands

MOST_SINCE = 12


def shut_lines(stands: RecordStands) -> Iterator[str]:
    """Why a record stays closed: what is open as a drawn tree, cautions before it.

    Parameters
    ----------
    stands : RecordStands

    Yields
    ------
    str
    """
    for caution in stands.record.cautions:
        yield say("Caution: {caution}", caution=caution)
    yield ""
    yield say("Condition record of {machine}: closed.", machine=stands.spot.name)
    yield from stands.tree
    yield ""


def record_lines(
    stands: RecordStands,
    content: Mapping[str, Any],
    since: Sequence[Otherwise],
    given: str | None,
) -> Iterator[str]:
    """A record: what it comes to, what stands, what is only reported, what nobody tested.

    Parameters
    ----------
    stands : RecordStands
    content : mapping
        As it was given, or would be.
    since : sequence of Otherwise
        What it says otherwise than the one before.
    given : str or None
        Id under which it was kept.

    Yields
    ------
    str
    """
    made = stands.record
    for caution in made.cautions:
        yield say("Caution: {caution}", caution=caution)
    yield ""
    yield say("Condition record: {machine}, {kind}, {day}", machine=made.machine, kind=made.kind,
              day=made.made_on)  # fmt: skip
    yield f"{made.sold_words} {made.stands_for}"
    yield counts_words(made)
    if stands.tree:
        yield from ("", *stands.tree)
    yield from _guards(made.guards)
    yield from _proved(made)
    for key, heading in PARTS:
        yield from _part(heading, getattr(made, key))
    yield from _settings(made)
    yield from _untested(made)
    yield from _since(since)
    if given is not None:
        yield from _kept(content, given)


def _guards(guards: Sequence[GuardLine]) -> Iterator[str]:
    yield from ("", say("Guards and interlocks"))
    for one in guards:
        yield f"  {one.name}: {one.words}"


def _proved(made: ConditionRecord) -> Iterator[str]:
    if not made.proved:
        return
    yield from ("", say("What was measured, and what it proves"))
    for one in made.proved:
        value = "-" if one.value is None else f"{short(one.value, '.4g')} {one.unit}".strip()
        told = one.apart or one.words
        yield f"  {one.title}: {value}. {told} {one.on}, {one.by}, {one.instrument}".rstrip(", ")


def _settings(made: ConditionRecord) -> Iterator[str]:
    """The settings stand as they were written down."""
    if made.settings:
        yield from ("", say("Settings that were changed, as they were written down"))
    for each in made.settings:
        back = {True: say("put back"), False: say("not put back"), None: ""}[each.put_back]
        yield say("  {name}: it was {old}, it is {new}. {why}", name=each.name, old=each.old,
                  new=each.new, why=", ".join(map(str, filter(None, (each.why, back, each.by,
                                                                     each.on)))),
                  )  # fmt: skip


def _part(heading: str, part: Part) -> Iterator[str]:
    if not (part.stated or part.reported):
        return
    yield from ("", say(heading))
    for one in part.stated:
        yield f"  {one.what}. {one.how}."
    if part.reported:
        yield say("  Only reported:")
    for other in part.reported:
        yield f"    {other.what} ({other.how})"


def _untested(made: ConditionRecord) -> Iterator[str]:
    if made.untested:
        yield from ("", say("Not tested: what nobody looked for; a list of looks, not of faults"))
    for one in made.untested:
        yield f"  {one.place}: {'; '.join(map(str, one.looks))}"


def _since(since: Sequence[Otherwise]) -> Iterator[str]:
    if not since:
        return
    yield from ("", say("Otherwise than the record that was given before"))
    for one in since[:MOST_SINCE]:
        yield f"  {otherwise_words(one)}"
    if len(since) > MOST_SINCE:
        yield say("  and {count} more", count=len(since) - MOST_SINCE)


def otherwise_words(one: Otherwise) -> str:
    """One line that a record says otherwise, in a sentence.

    Parameters
    ----------
    one : Otherwise

    Returns
    -------
    str

    Examples
    --------
    >>> otherwise_words(Otherwise(heading="Done", was="", now="Ways: scraped"))
    'Done: new: Ways: scraped'
    """
    if not one.was:
        return say("{part}: new: {now}", part=one.heading, now=one.now)
    if not one.now:
        return say("{part}: gone: {was}", part=one.heading, was=one.was)
    return say("{part}: {now}; it said {was}", part=one.heading, now=one.now, was=one.was)


def _kept(content: Mapping[str, Any], given: str) -> Iterator[str]:
    sha = sha256_of(content)
    yield from ("", say("Kept as it was given away: {id}", id=given))
    yield say("Take it back: retrue settle take-back {id}", id=given)
    yield say("SHA-256 {sum}", sum=" ".join(in_groups(sha)))
    yield say("Code {code}", code=code_of_record(sha))


def checked_lines(checked: Checked) -> Iterator[str]:
    """A check: the answer, where it was changed, what was checked and what not.

    Parameters
    ----------
    checked : Checked

    Yields
    ------
    str

    Examples
    --------
    >>> next(checked_lines(Checked(what="file", unchanged=False, where=("known: changed",))))
    'CHANGED since it was made.'
    """
    yield headline(checked) if checked.unchanged else say("CHANGED since it was made.")
    for one in checked.where:
        yield f"  {one}"
    if checked.machine:
        yield say("Condition record: {machine}, {day}, sold as {sold}", machine=checked.machine,
                  day=checked.made_on, sold=checked.sold_as.replace("_", " "))  # fmt: skip
        yield say("SHA-256 {sum}", sum=" ".join(in_groups(checked.sha256)))
        yield say("Code {code}", code=checked.code)
    yield say("Checked:")
    yield from (f"  {one}" for one in checked.was or (say("Nothing: it cannot be read."),))
    yield say("Not checked:")
    yield from (f"  {one}" for one in checked.was_not)


def guards_lines(guards: Sequence[GuardLine], cautions: Sequence[str]) -> Iterator[str]:
    """Every guard as it stands, its cautions before it.

    Parameters
    ----------
    guards : sequence of GuardLine
    cautions : sequence of str

    Yields
    ------
    str
    """
    for caution in cautions:
        yield say("Caution: {caution}", caution=caution)
    yield ""
    for one in guards:
        mark = say("open") if one.open else say("closed")
        yield f"{one.id}  {one.name}: {mark}. {one.words}"
        if one.open:
            yield say("  Proved by: {how}", how=one.proves)
        if one.open and one.optional:
            yield say("  Or say --guard not-fitted, where there is none.")
