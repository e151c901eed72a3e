"""Who may speak to us: this laptop, paired phones, and pages of our own."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from itsdangerous import BadData, URLSafeTimedSerializer
from starlette.datastructures import Headers
from starlette.requests import HTTPConnection

from retrue.base.refusals import NotAllowed, Refusal
from retrue.base.say import say
from retrue.cases.screen.here import Here, Spread

COOKIE = "retrue_device"
LAPTOP = "laptop"  # this machine itself; it needs no pairing
COOKIE_SECONDS = 180 * 24 * 3600
SAFE = {"GET", "HEAD", "OPTIONS"}
FORWARDED = frozenset(
    {"forwarded", "via", "x-real-ip", "x-client-ip", "client-ip", "true-client-ip", "x-host",
     "cf-connecting-ip", "cf-ray", "x-cluster-client-ip", "fastly-client-ip", "x-original-host",
     "x-original-url", "x-envoy-external-address", "proxy-connection", "cdn-loop"}
)  # fmt: skip
"""Headers that somebody adds who passes a request on; a browser of this laptop sends none."""

FORWARDED_BEGINS = "x-forwarded"  # -for, -host, -proto, -server, -port, -by, -prefix, -ssl


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """What wiring tells the door.

    Parameters
    ----------
    secret : str
        Signs the device cookie; kept by the shop, never shown.
    port : int
        Where the server listens.
    lan : str or None
        Our own address on the shop's network when it is open to phones, else None.
    by : str
        Whose name stands on what this laptop notes.
    edition : str
        Name and version for the title block.
    seed, worlds : int
        Of every price this server tells.
    loggers : mapping of str to Path
        Files and folders of loggers that a watch may follow, by the name a page knows them by.
    addresses : callable
        This machine's addresses on the shop's network at the moment; they change when a laptop
        joins a telephone's own network.
    phone_port : int or None
        Where phones are answered, where that is not ``port``.
    scheme : str
        How phones speak to the shop: http, or https behind its own certificate.
    worker : bool
        Whether a paired device keeps pages for when there is no connection; only behind a
        certificate do browsers allow it.
    banner : str
        What stands on every page of a shop that is not one's own; empty for one's own.
    spread : Spread
        What the lots of a catalogue are priced by: this process, others, other computers.
    parts_at_once : int
        Parts of a catalogue that are worked at together.
    """

    secret: str
    port: int = 8314
    lan: str | None = None
    by: str = "owner"
    edition: str = "retrue"
    seed: int = 7
    worlds: int = 20_000
    loggers: Mapping[str, Path] = field(default_factory=dict)
    addresses: Callable[[], tuple[str, ...]] = tuple
    phone_port: int | None = None
    scheme: str = "http"
    worker: bool = False
    banner: str = ""
    spread: Spread = field(default_factory=Here)
    parts_at_once: int = 1

    @property
    def hosts(self) -> frozenset[str]:
        """The names this server answers to."""
        own = {"127.0.0.1", "localhost", "[::1]"}
        return frozenset(own | {self.lan, *self.addresses()} if self.lan else own)

    def at_the_phone(self, path: str) -> str:
        """A page's address as a phone reaches it now; nothing where no phone is answered."""
        if not self.lan:
            return ""
        host = next(iter(self.addresses()), self.lan)
        return f"{self.scheme}://{host}:{self.phone_port or self.port}{path}"


def sign_device(settings: Settings, device: str) -> str:
    """A device's name, signed, as its cookie carries it."""
    return URLSafeTimedSerializer(settings.secret, salt="device").dumps(device)


def device_of(settings: Settings, connection: HTTPConnection) -> str | None:
    """What this machine itself or a signed cookie calls the device that speaks, else None.

    This machine is known by the address of the line alone. What somebody passed on is not from
    here, whatever it says of where it came from: no header of a forwarder is believed.
    """
    client = connection.client.host if connection.client is not None else ""
    if client in {"127.0.0.1", "::1"}:
        return None if any(map(_is_forwarders, connection.headers.keys())) else LAPTOP
    try:
        reader = URLSafeTimedSerializer(settings.secret, salt="device")
        return str(reader.loads(connection.cookies.get(COOKIE, ""), max_age=COOKIE_SECONDS))
    except BadData:
        return None


def _is_forwarders(name: str) -> bool:
    return name in FORWARDED or name.startswith(FORWARDED_BEGINS)


def foreign(settings: Settings, headers: Headers, method: str) -> Refusal | None:
    """Why a request is not for this server or not from its own page, or None."""
    hosts = headers.getlist("host")
    if len(hosts) != 1 or _bare_host(hosts[0]) not in settings.hosts:
        return NotAllowed(
            say("This server does not answer to that name"),
            remedy=say("Open the address that the laptop shows."),
        )
    if method not in SAFE and not _same_origin(headers):
        return NotAllowed(
            say("This was sent from another page than ours"),
            remedy=say("Open the page here and send it again."),
        )
    return None


def _bare_host(host: str) -> str:
    return host.rsplit(":", 1)[0] if not host.endswith("]") else host


def _same_origin(headers: Headers) -> bool:
    site = headers.get("sec-fetch-site")
    origin = headers.get("origin")
    if origin is not None:
        return origin.partition("://")[2] == headers.get("host", "")
    return site in {"same-origin", "none"}
