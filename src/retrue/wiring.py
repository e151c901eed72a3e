"""The one place that knows the concrete shop, clock, printer and server.

``main`` is the entry point of the program. Nothing heavy is loaded before a command asks for it.
"""

from __future__ import annotations

import contextlib
import functools
import os
import sys
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from datetime import date

    from retrue.base.refusals import Refusal
    from retrue.cases.fix.calendar_entries import CalendarEntry
    from retrue.cases.fix.visit_lines import VisitLines
    from retrue.cases.fix.week_lines import WeekLines
    from retrue.cases.prove.acceptance import Acceptance
    from retrue.cases.prove.proof import Proof
    from retrue.cases.prove.quiet import Quiet
    from retrue.cases.reckon.reckoning import Reckoning
    from retrue.cases.sheet import PriceSheet
    from retrue.cli.house import House
    from retrue.kinds.library import Kind
    from retrue.paper.blank_sheet import BlankSheet
    from retrue.paper.label_sheet import LabelSheet
    from retrue.paper.proof_sheet import ProofSheet
    from retrue.phases.move import Arrival, Plan
    from retrue.phases.strip import StripLog
    from retrue.phases.wake import Ladder, StageStands
    from retrue.phases.worth import VisitPack
    from retrue.records.facts import File, Frozen
    from retrue.records.shop import Record, RecordShop

ONE_THREAD = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")


def main(arguments: list[str] | None = None) -> None:
    """Run one command and end with its exit code."""
    for name in ONE_THREAD:  # before NumPy is loaded: small sums are faster on one thread
        os.environ.setdefault(name, "1")
    sys.exit(run(sys.argv[1:] if arguments is None else arguments))


def run(arguments: list[str], house: House | None = None) -> int:
    """Run one command and return its exit code; a refusal is said once, here.

    Parameters
    ----------
    arguments : list of str
        What was typed after the program's name.
    house : House or None
        What commands work with; None: the real things.

    Returns
    -------
    int
        0 answered, 2 refused input, 3 not yet, 1 unexpected.
    """
    import click

    from retrue.base.refusals import Refusal
    from retrue.cli.main import cli

    try:
        code = cli.main(
            arguments, prog_name="retrue", standalone_mode=False, obj=house or Wired().house()
        )
    except Refusal as refusal:
        return _refused(refusal, "--json" in arguments)
    except click.ClickException as wrong:
        wrong.show()
        return wrong.exit_code
    except (click.Abort, KeyboardInterrupt):
        click.echo("Stopped; what was kept is kept.", err=True)
        return 1
    except BrokenPipeError:
        sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115 -- nobody reads on
        return 1
    return code if isinstance(code, int) else 0


def _refused(refusal: Refusal, as_json: bool) -> int:
    import click

    from retrue.cli.refusals import EXIT_CODES, as_object, lines

    if as_json:
        click.echo(as_object(refusal))
    for line in lines(refusal):
        click.echo(line, err=True)
    return EXIT_CODES[type(refusal)]


def now() -> datetime:
    """The moment, with this machine's offset."""
    return datetime.now().astimezone()


def data_folder() -> Path:
    """Where this user's data belong on this system."""
    home = Path.home()
    if os.name == "nt":
        return Path(os.environ.get("LOCALAPPDATA", home / "AppData" / "Local")) / "retrue"
    if sys.platform == "darwin":
        return home / "Library" / "Application Support" / "retrue"
    return Path(os.environ.get("XDG_DATA_HOME") or home / ".local" / "share") / "retrue"


def cache_folder() -> Path:
    """Where this user's leavings belong; it may be emptied at any time."""
    if os.name == "nt" or sys.platform == "darwin":
        return data_folder() / "cache"
    return Path(os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache") / "retrue"


def person() -> str:
    """Whose name stands on what this keyboard writes."""
    return os.environ.get("USER") or os.environ.get("USERNAME") or "owner"


class Wired:
    """The real things, each made when it is first asked for."""

    def house(self) -> House:
        """Put them together for the command door."""
        from retrue.cli.house import House

        return House(
            open_shop=self.open_shop,
            kinds=self.kinds,
            clock=now,
            prove=self.prove,
            printer=Paper(),
            serve=self.serve,
            by=person(),
            data_folder=data_folder(),
            examples=Path(__file__).resolve().parents[2] / "examples",
        )

    @contextlib.contextmanager
    def open_shop(self, place: str | None) -> Iterator[RecordShop]:
        """The shop at a place, else at RETRUE_SHOP, else in the data folder."""
        from retrue.store.shop import open_shop

        told = place or os.environ.get("RETRUE_SHOP") or str(data_folder() / "shop.sqlite")
        files = data_folder() / "files" if "://" in told else None
        shop = open_shop(told, clock=now, files=files)
        try:
            yield shop
        finally:
            shop.close()

    @functools.cached_property
    def _kinds(self) -> Mapping[str, Kind]:
        from retrue.kinds.load import load

        folder = data_folder() / "kinds"
        own = tuple((str(path), path.read_bytes()) for path in sorted(folder.glob("*.toml")))
        return load(own, cache_folder() / "kinds")

    def kinds(self) -> Mapping[str, Kind]:
        """The library, with the owner's own numbers from his data folder."""
        return self._kinds

    def prove(self, content: bytes, name: str) -> Any:
        """What a file is, from its content."""
        from retrue.store.proof import prove

        return prove(content, name)

    def serve(self, place: str | None, lan: bool, port: int, loggers: Sequence[Path] = ()) -> None:
        """Answer browsers until Ctrl-C, and follow what running watches follow."""
        import click
        import uvicorn

        from retrue.store.logger_file import named
        from retrue.web import pairing
        from retrue.web.app import Settings, app

        with self.open_shop(place) as shop:
            settings = Settings(
                secret=secret(),
                port=port,
                lan=own_address() if lan else None,
                by=person(),
                edition=f"retrue {_version()}",
                loggers=named(loggers),
            )
            made = app(shop=shop, kinds=self.kinds(), clock=now, settings=settings, ring=ring)
            click.echo(f"http://localhost:{port}/")
            if lan:
                told = pairing.address(settings, made.state.pairing.offer(now()))
                click.echo(f"For one phone, once, within five minutes: {told}")
                click.echo(pairing.terminal_qr(told))
            host = "0.0.0.0" if lan else "127.0.0.1"
            with made.state.follower.following():
                uvicorn.run(made, host=host, port=port, log_level="warning")


class Paper:
    """Makes PDF with the press."""

    def frozen(self, fact: Frozen, sheet: PriceSheet, by: str) -> bytes:
        """One page to hold while bidding."""
        from retrue.figures.ink import PAPER
        from retrue.figures.rule import rule
        from retrue.paper.freeze_sheet import freeze_sheet

        walk = sheet.walk_away
        picture = rule(walk.spread, float(fact.hammer), sheet.currency, theme=PAPER)
        return freeze_sheet(fact, sheet, picture=picture, by=by, at=now())

    def visit(self, pack: VisitPack, sheet: PriceSheet, by: str) -> bytes:
        """At most two pages to tick in pencil."""
        from retrue.paper.visit_pack import visit_pack
        from retrue.web.worth.visit import on_paper

        return visit_pack(on_paper(pack, pack.name, sheet, by=by), at=now())

    def labels(self, sheet: LabelSheet) -> bytes:
        """Labels of what was undone, to cut out."""
        from retrue.paper.label_sheet import label_sheet

        return label_sheet(replace(sheet, version=_version()), at=now())

    def strip_log(self, log: StripLog, by: str, *, blank: bool) -> bytes:
        """The log of taking apart, or the first night with its boxes."""
        from retrue.paper.strip_sheet import first_night_sheet, strip_sheet
        from retrue.web.strip.papers import log_sheet

        printing = first_night_sheet if blank else strip_sheet
        return printing(log_sheet(log, by=by, version=_version()), at=now())

    def blank(self, sheet: BlankSheet) -> bytes:
        """A test to be measured with a pencil."""
        from retrue.paper.blank_sheet import blank_sheet

        return blank_sheet(replace(sheet, version=_version()), at=now())

    def proof(self, sheet: ProofSheet) -> bytes:
        """A result, with its picture in the colours of paper."""
        from retrue.figures.ink import PAPER
        from retrue.figures.prove.picture import picture
        from retrue.paper.proof_sheet import proof_sheet

        drawn = picture(sheet.proof, theme=PAPER, room="paper")
        return proof_sheet(replace(sheet, version=_version()), picture=drawn or None, at=now())

    def picture(self, proof: Proof) -> str:
        """The picture of a result as SVG; nothing where it has none."""
        from retrue.figures.ink import PAPER
        from retrue.figures.prove.picture import picture

        return picture(proof, theme=PAPER, room="wide")

    def acceptance(self, accepted: Acceptance, by: str) -> bytes:
        """What is proved of one machine, and what nobody has tested."""
        from retrue.paper.acceptance_sheet import acceptance_sheet

        return acceptance_sheet(accepted, at=now(), by=by, version=_version())

    def quiet(self, view: Quiet, by: str) -> bytes:
        """Sound, vibration and light before and after."""
        from retrue.web.prove.quiet_paper import quiet_pdf

        return quiet_pdf(view, by=by, version=_version(), at=now())

    def move(self, plan: Plan, by: str, kinds: Mapping[str, Kind]) -> bytes:
        """The method sheet of a move."""
        from retrue.web.move.papers import method_pdf

        words = next(iter(kinds.values())).cautions
        return method_pdf(plan, words, by=by, version=_version(), at=now())

    def layout(self, made: Reckoning, plan: Plan, by: str) -> bytes:
        """The floor plan to scale."""
        from retrue.web.move.papers import layout_pdf

        return layout_pdf(made, plan.machine, plan.lot, by=by, version=_version(), at=now())

    def stage(self, stands: StageStands, ladder: Ladder, by: str) -> bytes:
        """One stage of first power, to be signed."""
        from retrue.paper.stage_sheet import stage_sheet
        from retrue.web.wake.papers import sheet_of_stage

        sheet = sheet_of_stage(stands, ladder.name, ladder.lot_name, by=by, version=_version())
        return stage_sheet(sheet, at=now())

    def watch(self, stands: StageStands, ladder: Ladder, kind: Kind, by: str) -> bytes:
        """A run-in watch for a pencil and a kitchen timer."""
        from retrue.paper.watch_sheet import watch_sheet
        from retrue.web.wake.papers import sheet_of_watch

        named = {"by": by, "version": _version()}
        sheet = sheet_of_watch(stands, kind, ladder.name, ladder.lot_name, **named)
        return watch_sheet(sheet, at=now())

    def cards(self, sheets: Sequence[VisitLines], by: str) -> bytes:
        """Job cards, each visit of a place on a sheet of its own."""
        from retrue.paper.card_sheet import CardSheet, card_sheet

        version = _version()
        return card_sheet(
            [CardSheet(lines=one, by=by, version=version) for one in sheets], at=now()
        )

    def week(self, lines: WeekLines, by: str) -> bytes:
        """One week: evenings, cards, whom to ring, what must be here."""
        from retrue.paper.week_sheet import WeekSheet, week_sheet

        return week_sheet(WeekSheet(lines=lines, by=by, version=_version()), at=now())

    def calendar(self, entries: Sequence[CalendarEntry]) -> bytes:
        """The plan as a calendar file."""
        from dataclasses import asdict

        from retrue.base.say import say
        from retrue.paper.calendar_file import Entry, calendar_file

        made = [Entry(**asdict(one)) for one in entries]
        return calendar_file(made, name=say("What to do"), at=now(), version=_version())

    def damage(self, view: Arrival, pictures: Sequence[Record[File]], shop: str, by: str) -> bytes:
        """The note to the carrier."""
        from retrue.paper.damage_note import damage_note
        from retrue.web.move.papers import note_of

        note = note_of(view, pictures, shop, by=by, version=_version())
        return damage_note(note, at=now()) if note else b""

    def damage_text(
        self, view: Arrival, pictures: Sequence[Record[File]], shop: str, on: date
    ) -> str:
        """The note to the carrier as text; nothing where no damage is kept."""
        from retrue.paper.damage_note import damage_text
        from retrue.web.move.papers import note_of

        note = note_of(view, pictures, shop, version=_version())
        return damage_text(note, on=on) if note else ""


def ring() -> None:
    """Ring the bell of the terminal that the server runs in."""
    sys.stderr.write("\a")
    sys.stderr.flush()


def secret() -> str:
    """What signs the cookies of paired phones; made once, readable by this user only."""
    import secrets

    path = data_folder() / "secret"
    if not path.exists():
        path.parent.mkdir(parents=True, exist_ok=True)
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "w", encoding="ascii") as file:
            file.write(secrets.token_hex(32))
    return path.read_text(encoding="ascii").strip()


def own_address() -> str:
    """This machine's address on the shop's network; nothing is sent to find it."""
    import socket

    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # a documentation address (RFC 5737): only routing
            return str(probe.getsockname()[0])
        except OSError:
            return "127.0.0.1"


def _version() -> str:
    import retrue

    return retrue.__version__
