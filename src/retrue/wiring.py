"""The one place that knows the concrete shop, clock, printer and server.

``main`` is the entry point of the program. Nothing heavy is loaded before a command asks for it.
"""

from __future__ import annotations

import contextlib
import functools
import os
import sys
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from retrue.base.refusals import Refusal
    from retrue.cases.screen.here import Spread
    from retrue.cli.house import House
    from retrue.kinds.library import Kind
    from retrue.records.shop import RecordShop

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
    from retrue.base.say import shelf, speaking

    shelf(_own_words)
    with speaking(_language("--json" in arguments)):
        return _run(arguments, house or Wired().house())


def _own_words(language: str) -> Mapping[str, str]:
    """What this user says in other words than came with the program."""
    from retrue.base.catalogue import own

    return own(data_folder() / "words", language)


def _language(for_a_program: bool) -> str:
    """The language of who types: RETRUE_LANGUAGE; a program is always answered in English."""
    from retrue.base.say import ENGLISH, NAMES

    chosen = os.environ.get("RETRUE_LANGUAGE", "").strip().lower()[:2]
    return chosen if chosen in NAMES and not for_a_program else ENGLISH


def _run(arguments: list[str], house: House) -> int:
    import click

    from retrue.base.refusals import Refusal
    from retrue.base.say import say
    from retrue.cli.main import cli

    try:
        code = cli.main(arguments, prog_name="retrue", standalone_mode=False, obj=house)
    except Refusal as refusal:
        return _refused(refusal, "--json" in arguments)
    except click.ClickException as wrong:
        wrong.show()
        return wrong.exit_code
    except (click.Abort, KeyboardInterrupt):
        click.echo(say("Stopped; what was kept is kept."), err=True)
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
    told = (os.environ.get(name) for name in ("RETRUE_PERSON", "USER", "USERNAME"))
    return next((one for one in told if one), "owner")


class Wired:
    """The real things, each made when it is first asked for."""

    def house(self) -> House:
        """Put them together for the command door."""
        from retrue.cli.house import House
        from retrue.printing import Paper

        return House(
            open_shop=self.open_shop,
            where=self.where,
            kinds=self.kinds,
            clock=now,
            prove=self.prove,
            printer=Paper(now, version()),
            serve=self.serve,
            by=person(),
            data_folder=data_folder(),
            examples=Path(__file__).resolve().parents[2] / "examples",
            spread=self.spread,
        )

    def spread(self, processes: int | None, cluster: str | None) -> Spread:
        """Who works a catalogue out: a cluster, some processes, or this one alone."""
        from retrue.base.memory import keep_for_next
        from retrue.spreading import spread_of

        keep_for_next()
        return spread_of(processes, cluster)

    def where(self, place: str | None) -> tuple[str, Path | None]:
        """Where a shop is kept, and its files; None: in a folder beside it."""
        told = place or os.environ.get("RETRUE_SHOP") or str(data_folder() / "shop.sqlite")
        return told, data_folder() / "files" if "://" in told else None

    @contextlib.contextmanager
    def open_shop(self, place: str | None) -> Iterator[RecordShop]:
        """The shop at a place, else at RETRUE_SHOP, else in the data folder."""
        from retrue.store.shop import open_shop

        told, files = self.where(place)
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
        from retrue.base.say import ENGLISH, reader

        if reader() == ENGLISH:
            return self._kinds
        from retrue.kinds.spoken import spoken

        return spoken(self._kinds)

    def prove(self, content: bytes, name: str) -> Any:
        """What a file is, from its content."""
        from retrue.store.proof import prove

        return prove(content, name)

    def serve(
        self,
        place: str | None,
        lan: bool,
        port: int,
        loggers: Sequence[Path] = (),
        tls: bool = False,
        banner: str = "",
    ) -> None:
        """Answer browsers until Ctrl-C, and follow what running watches follow."""
        import gc

        from retrue.base.memory import share_arenas

        share_arenas()
        gc.disable()  # while thousands of lasting things are loaded; serving enables it
        try:
            self._serve(place, lan or tls, port, loggers, tls, banner)
        finally:
            gc.enable()

    def _serve(
        self,
        place: str | None,
        lan: bool,
        port: int,
        loggers: Sequence[Path],
        tls: bool,
        banner: str,
    ) -> None:
        import click

        from retrue import serving
        from retrue.spreading import cores, spread_of
        from retrue.store.logger_file import named
        from retrue.web.app import app
        from retrue.web.compiled import keep_compiled

        with self.open_shop(place) as shop:
            wanted = serving.Wanted(
                lan=lan,
                tls=tls,
                port=port,
                by=person(),
                edition=f"retrue {version()}",
                secret=secret(),
                certificates=data_folder() / "certificates",
                loggers=named(loggers),
                banner=banner,
                spread=spread_of(None),
                parts_at_once=2 * cores(),
            )
            settings = serving.settings_of(wanted, serving.Lately(serving.own_addresses))
            keep_compiled(cache_folder() / "templates")
            made = app(shop=shop, kinds=self.kinds(), clock=now, settings=settings, ring=ring)
            serving.serve(made, wanted, settings, say_line=click.echo, now=now)


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


def version() -> str:
    """Of this program."""
    import retrue

    return retrue.__version__
