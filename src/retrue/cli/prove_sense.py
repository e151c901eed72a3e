"""Sound, vibration and light in the shop: kept, listed before and after, taken back."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import click

from retrue.base import formatter
from retrue.base.formatter import short
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.base.units import number
from retrue.cases.prove.quiet import Quiet, flat
from retrue.cases.prove.said import RULINGS
from retrue.cases.prove.sensed import SENSES, SensedLine
from retrue.cases.prove.sensed_aim import Heard, aim, heard, hours_words
from retrue.cases.prove.sensed_pairs import Pair
from retrue.cases.sheet_json import dumps
from retrue.cli.house import House
from retrue.cli.lines import put, table
from retrue.cli.options import content_of, json_option, shop_option
from retrue.cli.prove_options import REAL
from retrue.phases import prove as phase
from retrue.phases.prove import KeptSense
from retrue.phases.prove.sensing import When
from retrue.store.sound_file import sound_or_table

pass_house = click.make_pass_decorator(House)


@click.command()
@click.argument("lot", metavar="LOT")
@click.argument("machine", metavar="MACHINE")
@click.argument("file", metavar="[FILE]", required=False)
@click.option("--sort", type=click.Choice(tuple(SENSES)), required=True, help="What it is.")
@click.option("--point", default="", help="Where; else where its measure is read.")
@click.option("--when", type=click.Choice(("before", "after")), help="Something is done to it.")
@click.option("--state", default="", help="idling, cutting, covers off, its own lamp on.")
@click.option("--speed-rpm", type=REAL, help="Speed of the spindle.")
@click.option(
    "--value",
    "values",
    multiple=True,
    metavar="KEY=NUMBER",
    help="A number read from a meter: level_a_db, level_c_db, velocity_rms_mm_s, lux; repeat it.",
)
@click.option(
    "--set", "pairs", multiple=True, metavar="NAME=VALUE",
    help="instrument, calibrated, without, bearing ...; docs/prove.md has all.",
)  # fmt: skip
@click.option(
    "--calibration-file", metavar="FILE", help="A recording of a known level, for one of sound."
)
@click.option("--text", default="", help="Anything beside it.")
@json_option
@shop_option
@pass_house
def sense_(
    house: House,
    /,
    lot: str,
    machine: str,
    file: str | None,
    sort: str,
    when: When | None,
    values: tuple[str, ...],
    pairs: tuple[str, ...],
    calibration_file: str | None,
    as_json: bool,
    shop: str | None,
    **around: Any,
) -> None:
    """Keep sound, vibration or light of a machine: a file as it came, or numbers from a meter.

    It is kept before it is worked out. Read where its measure is read, what is probably wrong
    learns it.
    """
    with house.open_shop(shop) as opened:
        kept = phase.keep_sensed(
            opened, lot, machine, sort, house.kinds(),
            content=content_of(file) if file else None, name=Path(file).name if file else "",
            readings=_read(values), options=_pairs(pairs), when=when or "",
            hear=sound_or_table,
            known=content_of(calibration_file) if calibration_file else None,
            **around, **house.hand,
        )  # fmt: skip
        view = phase.quiet(opened, lot, machine, house.kinds())
    if kept.refused is not None:
        raise kept.refused
    if as_json:
        click.echo(dumps(_told(kept, view)))
        return
    put(_kept_lines(kept, view))


@click.command()
@click.argument("lot", metavar="LOT")
@click.argument("machine", metavar="MACHINE")
@click.option("--hours", type=REAL, help="Your own hours beside the machine, in one day.")
@click.option(
    "--pdf",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write before and after to this PDF.",
)
@json_option
@shop_option
@pass_house
def quiet(
    house: House,
    lot: str,
    machine: str,
    hours: float | None,
    pdf: Path | None,
    as_json: bool,
    shop: str | None,
) -> None:
    """Show sound, vibration and light: before and after, which source first, hours beside it."""
    with house.open_shop(shop) as opened:
        view = phase.quiet(opened, lot, machine, house.kinds())
    days = heard(view.lines, view.pairs, hours)
    if pdf is not None:
        pdf.write_bytes(house.printer.quiet(view, house.by))
    if as_json:
        click.echo(dumps(flat(view) | {"hours": [_told_heard(one) for one in days]}))
        return
    put(_quiet_lines(view, days))
    if pdf is not None:
        click.echo(str(pdf))


@click.command("take-back")
@click.argument("record", metavar="ID")
@click.option("--why", default="", help="Why, if there is a reason.")
@shop_option
@pass_house
def take_back(house: House, record: str, why: str, shop: str | None) -> None:
    """Take back sound, vibration or light that was kept, with what was learned from it."""
    with house.open_shop(shop) as opened:
        phase.take_back_sensed(opened, record, why, **house.hand)
    click.echo(say("Taken back. It stays readable, and counts no more."))


def _read(values: tuple[str, ...]) -> list[tuple[str, float]]:
    """KEY=NUMBER, the number as every form reads it."""
    read: list[tuple[str, float]] = []
    for key, text in _parted(values, "--value", "level_a_db=78,5"):
        read.append((key, float(number(text, field=key))))
    return read


def _pairs(pairs: tuple[str, ...]) -> dict[str, str]:
    return dict(_parted(pairs, "--set", "calibrated=yes"))


def _parted(pairs: tuple[str, ...], option: str, example: str) -> Iterator[tuple[str, str]]:
    for pair in pairs:
        name, mark, value = pair.partition("=")
        if not mark:
            raise Unusable(
                say("{pair} says no value", pair=pair),
                remedy=say("Write it as {option} {example}.", option=option, example=example),
                problems=(Problem(option, say("has no ="), example),),
            )
        yield name.strip().replace("-", "_"), value.strip()


def _told(kept: KeptSense, view: Quiet) -> dict[str, Any]:
    told: dict[str, Any] = next(
        one for one in flat(view)["measured"] if one["id"] == kept.record.id
    )
    why = dict(told["why"])
    if not kept.findings:
        why["learned"] = kept.why
    return told | {"schema": "prove.sense.1", "why": why}


def _told_heard(one: Heard) -> dict[str, Any]:
    told: dict[str, Any] = {
        "allowed": [
            {"hours": rule.hours, "hours_with_doubt": rule.hours_with_doubt, "rule": rule.rule}
            for rule in one.allowed
        ],
        "id": one.line.id,
        "level_a_db": one.line.value,
    }
    if one.day is not None:
        told |= {
            "lex_8h_db": one.day.lex_8h_db,
            "niosh_percent": one.day.niosh_percent,
            "osha_limit_percent": one.day.osha_limit_percent,
        }
    return told


def _kept_lines(kept: KeptSense, view: Quiet) -> Iterator[str]:
    line = next(one for one in view.lines if one.id == kept.record.id)
    for text in view.cautions[line.sense.sort]:
        yield say("Caution: {caution}", caution=text)
    yield f"{line.sense.title}, {_where(line)}: {_amount(line)}."
    verdict = aim(line, view.spot.kind)
    if verdict is not None:
        yield f"{say(RULINGS[verdict.ruling])}; " + say(
            "aim {limit} {unit}, {mark}.", limit=short(verdict.limit),
            unit=verdict.unit, mark=verdict.limit_mark,
        )  # fmt: skip
    yield from (step_words(one) for one in view.pairs if line.id in (one.before.id, one.after.id))
    yield say("Kept as {id}.", id=line.id)
    if kept.findings:
        looks = ", ".join(str(one.fact.check) for one in kept.findings)
        yield say("What is probably wrong, and the price, have heard of it ({looks}).", looks=looks)
    else:
        yield say("What is probably wrong has not: {why}", why=kept.why)
    yield say("Next: {what}.", what=view.next.words)


def _quiet_lines(view: Quiet, days: tuple[Heard, ...]) -> Iterator[str]:
    sorts = {one.sense.sort for one in view.lines} or {view.next.sort}
    for sort in (one for one in SENSES if one in sorts):
        for text in view.cautions[sort]:
            yield say("Caution: {caution}", caution=text)
    yield from (step_words(one) for one in view.pairs)
    if not view.pairs:
        yield say("Nothing was read both before and after yet.")
    yield say("Next: {what}. {why}", what=view.next.words, why=view.next.why)
    for one in SENSES.values():
        lines = view.of(one.sort)
        if lines:
            yield ""
            yield f"{one.title}:"
            yield from (f"  {_amount(line)}  {_where(line)}  {line.id}" for line in lines)
    yield from _alone(view)
    yield from _sources(view)
    yield from hours_lines(days)
    yield ""
    yield say("Give or take: expanded uncertainty, k = 2. Estimate for planning.")


def _alone(view: Quiet) -> Iterator[str]:
    bare = view.alone
    if bare is None:
        return
    yield ""
    told = formatter.number(bare.level_db, 1)
    if bare.ruling == "upper_bound":
        yield say("Nearly as loud with the machine off: it alone is at most {level} dB(A).",
                  level=told)  # fmt: skip
    else:
        yield say("Without what is heard with the machine off: {level} dB(A).", level=told)


def _sources(view: Quiet) -> Iterator[str]:
    if view.sources_why:
        yield say("Which source first cannot be told: {why}", why=view.sources_why)
    if view.sources is None:
        return
    yield ""
    yield say("Which source first, the most it can gain with the others as they are:")
    yield from table(
        [
            (one.name, f"{formatter.number(one.gain_db, 1)} dB", _worth(one.worth_treating))
            for one in view.sources.sources
        ]
    )


def _worth(worth: bool | None) -> str:
    if worth is None:
        return say("too close to call")
    return say("worth treating") if worth else say("not worth treating")


def hours_lines(days: tuple[Heard, ...]) -> Iterator[str]:
    """How long each level may be borne under each rule, and what a day beside it makes.

    Parameters
    ----------
    days : tuple of Heard

    Yields
    ------
    str
        One line each; nothing where nothing was heard.
    """
    if not days:
        return
    yield ""
    yield say("How long one level fills a day, as read:")
    for rules in zip(*(one.allowed for one in days), strict=True):
        told = (f"{_short(rule.hours)} {one.words}" for rule, one in zip(rules, days, strict=True))
        yield f"  {rules[0].words}: {', '.join(map(str, told))}"
    for one in days:
        if one.day is not None:
            yield say(
                "  Level of your day over 8 hours, {words}: {level} dB(A).",
                words=one.words,
                level=formatter.number(one.day.lex_8h_db, 1),
            )
    yield from (f"  {text}" for text in days[-1].finds)


def _short(hours: float) -> str:
    value, unit = hours_words(hours)
    if hours >= value and unit == "h" and hours != value:
        return say("all day")
    return f"{formatter.number(value, 1 if unit == 'h' else 0)} {unit}"


def step_words(one: Pair) -> str:
    """One place before and after, as one line.

    Parameters
    ----------
    one : Pair

    Returns
    -------
    str
    """
    change, line = one.change, one.after
    unit = change.difference_unit
    moved = "" if change.difference is None else formatter.number(
        change.difference, change.digits, signed=True
    )  # fmt: skip
    doubt = "" if change.give_or_take is None else say(
        ", give or take {doubt}", doubt=formatter.number(change.give_or_take, change.digits)
    )  # fmt: skip
    told = f"{line.sense.title}, {_where(line)}: {moved} {unit}{doubt}: {one.says}."
    return " ".join(map(str, (told, *one.mind)))


def _where(line: SensedLine) -> str:
    said = line.said
    parts = [said.point, said.state]
    if said.speed_rpm is not None:
        parts.append(f"{formatter.number(said.speed_rpm)} rpm")
    if line.without:
        parts.append(say("{source} off", source=line.without))
    return ", ".join(str(part) for part in (*parts, said.when) if part)


def _amount(line: SensedLine) -> str:
    if line.value is None:
        return line.why
    one = line.sense
    told = f"{formatter.number(line.value, one.digits)} {one.unit}"
    if line.give_or_take is None:
        return told
    return say("{told} ± {doubt}", told=told,
               doubt=formatter.number(line.give_or_take, max(one.digits, 1)))  # fmt: skip
