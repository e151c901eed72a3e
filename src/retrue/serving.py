"""Answering browsers: on this laptop, on the shop's network, behind a certificate of our own.

Without ``--lan`` one server answers this laptop alone. With it the same server answers paired
phones as well. With ``--tls`` three stand side by side: this laptop's own as ever, one for phones
behind the certificate, and a plain one that gives away the authority's certificate and nothing
else.
"""

from __future__ import annotations

import contextlib
import gc
import socket
import threading
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from retrue.base.refusals import NotYet
from retrue.base.say import say
from retrue.cases.screen.here import Here, Spread

if TYPE_CHECKING:
    import uvicorn
    from starlette.applications import Starlette

    from retrue.store.authority import Authority
    from retrue.web.security import Settings

EVERYWHERE = "0.0.0.0"
HERE = "127.0.0.1"
LOOK_AGAIN_S = 5.0  # an address changes when a laptop joins a telephone's own network
STARTS_IN_S = 20.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What was asked of the server.

    Attributes
    ----------
    lan : bool
        Whether phones are answered.
    tls : bool
        Whether they are answered behind a certificate.
    port : int
        Of this laptop's own pages; the next two are for phones where there is a certificate.
    by, edition, secret : str
        As in the settings of the web door.
    loggers : mapping of str to Path
        What a running watch may follow.
    certificates : Path
        The folder of the shop's own authority.
    banner : str
        What stands on every page of a shop that is not one's own; empty for one's own.
    spread : Spread
        Who works on a catalogue that is screened.
    parts_at_once : int
        Of it, that are taken in hand at once.
    """

    lan: bool
    tls: bool
    port: int
    by: str
    edition: str
    secret: str
    certificates: Path
    loggers: Mapping[str, Path] = field(default_factory=dict)
    banner: str = ""
    spread: Spread = field(default_factory=Here)
    parts_at_once: int = 1


def own_addresses() -> tuple[str, ...]:
    """This machine's addresses on networks it is in, the one it would go out by first.

    Also where there is no way out: a laptop in a telephone's own network without credit.

    Returns
    -------
    tuple of str
        IPv4 addresses but its own loop; empty where it is in no network.
    """
    import ifaddr

    from retrue.store.at_home import is_at_home

    found = [
        str(ip.ip)
        for adapter in ifaddr.get_adapters()
        for ip in adapter.ips
        if ip.is_IPv4 and not str(ip.ip).startswith("127.")
    ]
    out = way_out()
    return tuple(sorted(found, key=lambda one: (one != out, not is_at_home(one))))


def way_out() -> str:
    """The address by which this machine would go out; nothing is sent to find it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # a documentation address (RFC 5737): only routing
            return str(probe.getsockname()[0])
        except OSError:
            return ""


class Lately:
    """The machine's addresses, looked up again when the last look is some seconds old."""

    def __init__(
        self,
        look: Callable[[], tuple[str, ...]],
        tick: Callable[[], float] = time.monotonic,
    ) -> None:
        self._look, self._tick = look, tick
        self._seen: tuple[float, tuple[str, ...]] | None = None

    def __call__(self) -> tuple[str, ...]:
        """Tell them."""
        if self._seen is None or self._tick() - self._seen[0] > LOOK_AGAIN_S:
            self._seen = (self._tick(), self._look())
        return self._seen[1]


def settings_of(wanted: Wanted, addresses: Callable[[], tuple[str, ...]]) -> Settings:
    """What the web door is told; refuses where phones are wanted and there is no network.

    Raises
    ------
    NotYet
        This machine is in no network.
    """
    from retrue.web.security import Settings

    first = addresses()[:1] if wanted.lan else ()
    if wanted.lan and not first:
        raise NotYet(
            say("this laptop is in no network, so no phone can reach it"),
            remedy=say("Join the shop's network, or the phone's own hotspot, and start again."),
        )
    return Settings(
        secret=wanted.secret,
        port=wanted.port,
        lan=first[0] if first else None,
        by=wanted.by,
        edition=wanted.edition,
        loggers=wanted.loggers,
        addresses=addresses if wanted.lan else tuple,
        phone_port=wanted.port + 1 if wanted.tls else wanted.port,
        scheme="https" if wanted.tls else "http",
        worker=wanted.tls,
        banner=wanted.banner,
        spread=wanted.spread,
        parts_at_once=wanted.parts_at_once,
    )


def lines(
    wanted: Wanted, settings: Settings, code: str, authority: Authority | None
) -> Iterator[str]:
    """What the terminal tells: where the pages are, and how a phone gets in."""
    from retrue.web import pairing

    yield f"http://localhost:{wanted.port}/"
    if not wanted.lan:
        return
    if authority is not None:
        trust = f"http://{settings.lan}:{wanted.port + 2}/"
        yield say("Once for each phone, the shop's own certificate: {address}", address=trust)
        yield pairing.terminal_qr(trust)
        yield say("Both screens must show: {print}", print=authority.fingerprint())
    told = pairing.address(settings, code)
    yield say("For one phone, once, within five minutes: {address}", address=told)
    yield pairing.terminal_qr(told)


def serve(
    made: Starlette,
    wanted: Wanted,
    settings: Settings,
    *,
    say_line: Callable[[str], None],
    now: Callable[[], datetime],
) -> None:
    """Answer until Ctrl-C.

    Parameters
    ----------
    made : Starlette
        The application.
    wanted, settings
        What was asked, and what the web door was told.
    say_line : callable
        Tells the terminal one line.
    now : callable
        The moment, with its offset.
    """
    import uvicorn

    from retrue.web.connections import Line

    authority = None
    if wanted.tls:
        from retrue.store.authority import Authority

        authority = Authority(wanted.certificates, now())
    code = made.state.pairing.offer(now()) if wanted.lan else ""
    host = EVERYWHERE if wanted.lan and not wanted.tls else HERE
    with (
        listening(host, wanted.port) as door,
        beside(made, wanted, settings, authority),
        made.state.follower.following(),
        made.state.behind.working(),
        made.state.screener.working(),
    ):
        for line in lines(wanted, settings, code, authority):
            say_line(line)
        gc.freeze()  # what is loaded by now lasts: looking for waste need not go through it again
        gc.enable()
        uvicorn.Server(
            uvicorn.Config(made, http=Line, log_level="warning", proxy_headers=False)
        ).run(sockets=[door])


@contextlib.contextmanager
def beside(
    made: Starlette, wanted: Wanted, settings: Settings, authority: Authority | None
) -> Iterator[None]:
    """The two servers for phones behind a certificate, while the laptop's own runs."""
    import uvicorn

    from retrue.web.connections import Line

    if authority is None:
        yield
        return
    from retrue.web.trust import trust_app

    papers = authority.server({HERE, *settings.addresses()})
    trust = trust_app(settings, authority.to_install(), authority.fingerprint())
    every = (
        uvicorn.Config(
            made,
            host=EVERYWHERE,
            port=wanted.port + 1,
            http=Line,
            log_level="warning",
            proxy_headers=False,
            ssl_certfile=papers.certificate,
            ssl_keyfile=papers.key,
        ),
        uvicorn.Config(
            trust,
            host=EVERYWHERE,
            port=wanted.port + 2,
            http=Line,
            log_level="warning",
            proxy_headers=False,
        ),
    )
    with running([uvicorn.Server(one) for one in every]), renewing(every[0], authority, settings):
        yield


@contextlib.contextmanager
def renewing(config: uvicorn.Config, authority: Authority, settings: Settings) -> Iterator[None]:
    """While it runs: a new certificate whenever this machine has other addresses."""
    ended = threading.Event()
    known = settings.addresses()

    def watch() -> None:
        nonlocal known
        while not ended.wait(LOOK_AGAIN_S):
            if (found := settings.addresses()) != known and config.ssl is not None:
                papers = authority.server({HERE, *found})
                config.ssl.load_cert_chain(papers.certificate, papers.key)
                known = found

    thread = threading.Thread(target=watch, daemon=True)
    thread.start()
    try:
        yield
    finally:
        ended.set()
        thread.join(1)


@contextlib.contextmanager
def running(every: Sequence[uvicorn.Server]) -> Iterator[None]:
    """Servers in threads of their own; each is ended whatever happens."""
    with contextlib.ExitStack() as opened:
        threads = []
        for one in every:
            door = opened.enter_context(listening(one.config.host, one.config.port))
            threads.append(threading.Thread(target=one.run, args=([door],), daemon=True))
        for thread in threads:
            thread.start()
        try:
            deadline = time.monotonic() + STARTS_IN_S
            while not all(one.started for one in every) and time.monotonic() < deadline:
                time.sleep(0.02)
            yield
        finally:
            for one in every:
                one.should_exit = True
            for thread in threads:
                thread.join(5)


def listening(host: str, port: int) -> socket.socket:
    """A door that is open, before anything is answered at it.

    Raises
    ------
    NotYet
        Another program stands there.
    """
    try:
        return socket.create_server((host, port), backlog=2048)
    except OSError:
        raise NotYet(
            say("another program answers on port {port}", port=port),
            remedy=say("Close that program, or choose another --port."),
        ) from None
