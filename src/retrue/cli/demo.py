"""The demo: an invented lot from its listing to the frozen sheet, in a shop of its own."""

from __future__ import annotations

import csv
import io
import tempfile
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass, replace
from pathlib import Path

import click

from retrue.base.refusals import Unreadable
from retrue.base.say import say
from retrue.cases.case import Kept, LotCase
from retrue.cases.find.advice import Advice
from retrue.cases.find.advice_json import flat
from retrue.cases.lot_file import read_lot
from retrue.cases.said import finding_words
from retrue.cases.sheet import MovedRow, PriceSheet
from retrue.cases.sheet_json import dumps
from retrue.cli.demo_days import at_one_moment, example, kept_at
from retrue.cli.demo_fix import listing, listing_lines, listing_papers
from retrue.cli.demo_move import moving, moving_lines, written
from retrue.cli.demo_quiet import quiet_paper, quiet_words, quieting
from retrue.cli.demo_sale import closing, selling
from retrue.cli.demo_settle import keeping, story_of
from retrue.cli.demo_settle_lines import settled_answer, settled_lines, settled_papers
from retrue.cli.demo_strip import stripping, stripping_lines, stripping_papers
from retrue.cli.demo_wake import waking, waking_lines, waking_papers
from retrue.cli.find_lines import brief_lines, guessing_lines
from retrue.cli.house import House
from retrue.cli.lines import answer_lines, moved_lines, next_lines, put
from retrue.cli.move_shop import told_plan
from retrue.cli.options import json_option, sum_options
from retrue.phases import find, worth
from retrue.phases.worth import LotView
from retrue.records.facts import Finding, Frozen
from retrue.records.seeking import Trouble
from retrue.records.shop import Record, RecordShop

LOT = "ghent-school-lot.toml"
PHOTOGRAPHS = "photographs"
ROUNDS = (
    ("1-photographs.toml", "After the photographs"),
    ("2-telephone.toml", "After the phone call"),
    ("3-visit.toml", "After the visit"),
)
TROUBLE = "fault-finding.toml"
MOVING = "moving.toml"
pass_house = click.make_pass_decorator(House)


@dataclass(frozen=True, slots=True)
class Round:
    """What was known at one time, and what it was worth."""

    title: str
    sheet: PriceSheet
    moved: tuple[MovedRow, ...]
    findings: int


@click.command()
@click.option(
    "--to",
    "folder",
    type=click.Path(file_okay=False, path_type=Path),
    default=Path("demo-output"),
    show_default=True,
    help="Where the PDF go.",
)
@sum_options
@json_option
@pass_house
def demo(house: House, folder: Path, seed: int, worlds: int, as_json: bool) -> None:
    """Walk an invented lot: price, move, taking apart, first power, a trouble, money and sale.

    It keeps a shop of its own and throws it away; yours is not touched.
    """
    house = at_one_moment(house)
    stood: list[dict[str, object]] = []
    found: list[dict[str, object]] = []
    with (
        tempfile.TemporaryDirectory(prefix="retrue-demo-") as place,
        house.open_shop(str(Path(place) / "shop.sqlite")) as shop,
    ):
        for one in rounds(house, shop, seed, worlds):
            stood.append(_as_object(one))
            if not as_json:
                put(_lines(one, house))
        path = _print(house, shop, folder, seed, worlds)
        moved = moving(house, shop, planned(house), seed=seed, worlds=worlds)
        papers = written(house, shop, moved, folder)
        if not as_json:
            put(iter([say("The move:"), *moving_lines(moved), *map(str, papers), ""]))
        apart = stripping(house, shop, worth.lots(shop)[0].fact.name)
        papers = stripping_papers(house, apart, folder)
        if not as_json:
            put(iter([*stripping_lines(apart), *map(str, papers), ""]))
        listed = listing(house, shop, worth.lots(shop)[0].fact.name, seed=seed)
        papers = listing_papers(house, shop, worth.lots(shop)[0].fact.name, listed, folder)
        if not as_json:
            put(iter([*listing_lines(listed, house.kinds()), *map(str, papers), ""]))
        woken = waking(house, shop, worth.lots(shop)[0].fact.name)
        papers = waking_papers(house, woken, folder)
        if not as_json:
            put(iter([*waking_lines(woken), *map(str, papers), ""]))
        quiet = quieting(house, shop, worth.lots(shop)[0].fact.name)
        paper = quiet_paper(house, quiet, folder)
        if not as_json:
            put(iter([*quiet_words(quiet), str(paper), ""]))
        for title, advice in search(house, shop):
            found.append({"advice": flat(advice), "title": title})
            if not as_json:
                put(iter([f"{title}:", *brief_lines(advice), *guessing_lines(advice), ""]))
        settled = _settled(house, shop, folder, as_json)
    if as_json:
        plans = [told_plan(plan) for plan in moved.plans]
        answer = {"file": str(path), "find": found, "move": plans, "rounds": stood, "schema": 1}
        answer["first_good_part"] = {
            one.machine_name: {"even_on": one.even_on, "promise_on": one.promise_on}
            | ({"why": one.why} if one.why else {})
            for one in listed.after.machines
        }
        answer["not_yet_back"] = [one.code for one in apart.left]
        answer["signed"] = [one.stage.id for one in woken.ladder.stages if one.state == "signed"]
        click.echo(dumps(answer | settled | {"seed": seed, "walk_away_after_move": moved.after}))
    else:
        click.echo(str(path))


def _settled(house: House, shop: RecordShop, folder: Path, as_json: bool) -> dict[str, object]:
    """Money and sale to the end; what a program is told of it."""
    story = story_of(house, shop, worth.lots(shop)[0].fact.name)
    books, sold, closed = keeping(story), selling(story), closing(story)
    papers = settled_papers(story, sold, folder)
    if not as_json:
        put(iter([*settled_lines(books, sold, closed), *map(str, papers), ""]))
    return settled_answer(books, sold, papers)


def planned(house: House) -> LotCase:
    """The lot as its file says it, with what is filled in of the move."""
    content = _example(house, LOT) + b"\n" + _example(house, MOVING)
    return read_lot(content, MOVING, house.kinds())


def rounds(house: House, shop: RecordShop, seed: int, worlds: int) -> Iterator[Round]:
    """Keep the listing, then round by round what was found; a price each time."""
    content, kinds = _example(house, LOT), house.kinds()
    case = read_lot(content, LOT, kinds)
    view = worth.keep_case(shop, case, **kept_at(house, "listing"))
    photographs = _keep_photographs(house, shop, view)
    sheet = worth.price(shop, view.id, kinds, seed=seed, worlds=worlds)
    yield Round(say("From the listing alone"), sheet, (), 0)
    for name, title in ROUNDS:
        content += b"\n" + _example(house, f"rounds/{name}")
        known = {kept.id for kept in case.findings}
        case = read_lot(content, name, kinds)
        new = [kept for kept in case.findings if kept.id not in known]
        said = [_with_picture(kept, photographs) for kept in new]
        kept = worth.keep_findings(shop, view.id, said, kinds, quietly=True,
                                    **kept_at(house, name)).kept  # fmt: skip
        sheet = worth.price(shop, view.id, kinds, seed=seed, worlds=worlds)
        mine = {record.id for record in kept}
        moved = tuple(row for row in sheet.moved if row.finding in mine)
        yield Round(say(title), sheet, moved, len(new))


def search(house: House, shop: RecordShop) -> Iterator[tuple[str, Advice]]:
    """Tell what one machine of the lot does later, then answer two looks; the next step each time.

    Parameters
    ----------
    house : House
    shop : RecordShop
        With the lot in it.

    Yields
    ------
    (str, Advice)
        What was just said, and what follows.
    """
    kinds, lot = house.kinds(), worth.lots(shop)[0].fact.name
    case = read_lot(_example(house, LOT) + b"\n" + _example(house, TROUBLE), TROUBLE, kinds)
    tale = next(one.event for one in case.happened if isinstance(one.event, Trouble))
    find.tell(shop, lot, tale.machine, tale.symptom, tale.words, kinds,
              **kept_at(house, "trouble"))  # fmt: skip
    yield say("Later, in the workshop"), find.advise(shop, lot, tale.machine, kinds)
    of = {machine.name: kinds[machine.kind] for machine in case.machines}
    for kept in case.findings:
        find.saw(shop, replace(kept.finding, lot=lot), kinds,
                 **kept_at(house, "trouble"))  # fmt: skip
        words = finding_words(kept.finding, of)
        yield say("Seen: {words}", words=words), find.advise(shop, lot, tale.machine, kinds)


def _with_picture(kept: Kept, photographs: Mapping[str, str]) -> Finding:
    picture = kept.finding.picture
    return replace(kept.finding, picture=photographs.get(picture or "", picture))


def _keep_photographs(house: House, shop: RecordShop, view: LotView) -> dict[str, str]:
    """Keep the drawn photographs; a list beside them says what each shows, of which machine."""
    machines = {record.fact.name for _, record in view.machines}
    kept = {}
    for row in csv.DictReader(io.StringIO(_example(house, f"{PHOTOGRAPHS}/index.csv").decode())):
        record = worth.keep_picture(
            shop,
            view.id,
            _example(house, f"{PHOTOGRAPHS}/{row['file']}"),
            row["file"],
            house.prove,
            shot=row["shot"],
            machine=row["machine"] if row["machine"] in machines else None,
            caption=row["shows"],
            **kept_at(house, ROUNDS[0][0]),
        )
        kept[row["file"]] = record.id
    return kept


def _lines(one: Round, house: House) -> Iterator[str]:
    count = say(" ({count} findings)", count=one.findings) if one.findings else ""
    yield f"{one.title}{count}:"
    yield from answer_lines(one.sheet)
    yield from next_lines(one.sheet, house.kinds())
    yield from moved_lines(one.moved)
    yield ""


def _print(house: House, shop: RecordShop, folder: Path, seed: int, worlds: int) -> Path:
    """Freeze the number; write its sheet."""
    lot = worth.lots(shop)[0].fact.name
    record = freeze(house, shop, seed, worlds)
    sheet = worth.price(shop, lot, house.kinds(), seed=seed, worlds=worlds)
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"{Path(LOT).stem}-frozen.pdf"
    path.write_bytes(house.printer.frozen(record.fact, sheet, house.by))
    return path


def freeze(house: House, shop: RecordShop, seed: int, worlds: int) -> Record[Frozen]:
    """Write the number down before the sale closes.

    Parameters
    ----------
    house : House
    shop : RecordShop
        With the lot in it.
    seed, worlds : int

    Returns
    -------
    Record of Frozen
    """
    return worth.freeze(shop, worth.lots(shop)[0].fact.name, house.kinds(), seed=seed,
                        worlds=worlds, **kept_at(house, "freeze"))  # fmt: skip


def _as_object(one: Round) -> dict[str, object]:
    best = next((row for row in one.sheet.questions if row.net > 0), None)
    return {
        "all_in": one.sheet.walk_away.all_in,
        "findings": one.findings,
        "moved": [asdict(row) for row in one.moved],
        "next": asdict(best) if best else None,
        "title": one.title,
        "walk_away": one.sheet.walk_away.amount,
        "why": {} if best else {"next": say("nothing left to ask is worth its cost")},
    }


def _example(house: House, name: str) -> bytes:
    try:
        return example(house, name)
    except OSError as wrong:
        raise Unreadable(
            say("the example {name} is not here", name=name),
            remedy=say("Run the demo from a checkout: ./retrue demo"),
        ) from wrong
