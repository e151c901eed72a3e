"""Certificates of the shop's own, addresses that come and go, and three doors side by side."""

from __future__ import annotations

import socket
import ssl
import stat
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import partial
from ipaddress import ip_address
from pathlib import Path
from types import SimpleNamespace

import httpx
import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID
from tests.fakes.ports import free_ports
from tests.fakes.shop import FakeShop
from tests.library import load

from retrue import serving
from retrue.base.refusals import NotYet, Unreadable
from retrue.store.at_home import HOME, is_at_home
from retrue.store.authority import Authority
from retrue.web.app import app

NOW = datetime.now(UTC)
PATIENCE_S = 60.0  # of a machine that is slow and busy
got = partial(httpx.get, timeout=PATIENCE_S)


@pytest.fixture(scope="module")
def authority(tmp_path_factory: pytest.TempPathFactory) -> Authority:
    return Authority(tmp_path_factory.mktemp("certificates") / "own", NOW)


def trusting(authority: Authority) -> ssl.SSLContext:
    """As a telephone that installed it: OpenSSL, and nobody else is trusted."""
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
    context.load_verify_locations(cadata=authority.to_install())
    return context


def shaken(client: ssl.SSLContext, server: ssl.SSLContext, name: str) -> None:
    """One handshake between them over a pair of sockets; a refusal is raised."""
    near, far = socket.socketpair()

    def answer() -> None:
        try:
            server.wrap_socket(far, server_side=True).close()
        except OSError:
            far.close()

    thread = threading.Thread(target=answer)
    thread.start()
    try:
        client.wrap_socket(near, server_hostname=name).close()
    finally:
        near.close()
        thread.join(PATIENCE_S)


def shown_by(certificate: Path, key: Path) -> ssl.SSLContext:
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(certificate, key)
    return context


class TestAuthority:
    """Checked by OpenSSL, which knows nothing of the library that made the certificates."""

    def test_a_phone_that_trusts_it_reaches_this_machine_by_its_addresses_alone(
        self, authority: Authority
    ) -> None:
        papers = authority.server(["192.168.43.17", "172.20.10.4"])
        server = shown_by(papers.certificate, papers.key)
        for name in ("192.168.43.17", "172.20.10.4", "localhost"):
            shaken(trusting(authority), server, name)
        with pytest.raises(ssl.SSLCertVerificationError, match="mismatch"):
            shaken(trusting(authority), server, "192.168.43.18")

    def test_nobody_else_trusts_it(self, authority: Authority) -> None:
        papers = authority.server(["192.168.43.17"])
        with pytest.raises(ssl.SSLCertVerificationError, match=r"self-signed|unable to get"):
            shaken(ssl.create_default_context(), shown_by(papers.certificate, papers.key), "a")

    @pytest.mark.parametrize("name", ["9.9.9.9", "example.org"])
    def test_stolen_it_is_good_for_no_page_on_the_internet(
        self, authority: Authority, tmp_path: Path, name: str
    ) -> None:
        # RFC 5280, 4.2.1.10: a certificate outside the authority's names is no good
        key = ec.generate_private_key(ec.SECP256R1())
        subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "forged")])
        one = x509.IPAddress(ip_address(name)) if name[0].isdigit() else x509.DNSName(name)
        forged = (
            x509.CertificateBuilder(authority.certificate.subject, subject, key.public_key())
            .serial_number(7)
            .not_valid_before(NOW - timedelta(hours=1))
            .not_valid_after(NOW + timedelta(days=9))
            .add_extension(x509.SubjectAlternativeName([one]), critical=False)
            .sign(authority._key, hashes.SHA256())
        )
        (tmp_path / "c").write_bytes(forged.public_bytes(serialization.Encoding.PEM))
        (tmp_path / "k").write_bytes(
            key.private_bytes(
                serialization.Encoding.PEM,
                serialization.PrivateFormat.PKCS8,
                serialization.NoEncryption(),
            )
        )
        with pytest.raises(ssl.SSLCertVerificationError, match="permitted subtree violation"):
            shaken(trusting(authority), shown_by(tmp_path / "c", tmp_path / "k"), name)

    def test_it_is_made_once_and_only_this_user_reads_its_keys(self, tmp_path: Path) -> None:
        first = Authority(tmp_path / "own", NOW)
        again = Authority(tmp_path / "own", NOW + timedelta(days=700))
        assert again.fingerprint() == first.fingerprint()
        first.server(["10.0.0.7"])
        for name in ("authority.key", "server.key"):
            assert stat.S_IMODE((tmp_path / "own" / name).stat().st_mode) == 0o600
        assert stat.S_IMODE((tmp_path / "own").stat().st_mode) == 0o700

    def test_a_servers_certificate_is_shorter_than_browsers_allow(
        self, authority: Authority
    ) -> None:
        # at most 398 days: CA/Browser Forum, Baseline Requirements 6.3.2 (from memory)
        papers = authority.server(["10.0.0.7", "9.9.9.9"])
        made = x509.load_pem_x509_certificate(papers.certificate.read_bytes())
        assert made.not_valid_after_utc - made.not_valid_before_utc <= timedelta(days=398)
        names = made.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
        assert names.get_values_for_type(x509.IPAddress) == [ip_address("10.0.0.7")]

    def test_what_is_damaged_says_so(self, tmp_path: Path) -> None:
        Authority(tmp_path / "own", NOW)
        (tmp_path / "own" / "authority.key").write_text("x")
        with pytest.raises(Unreadable, match="cannot be read"):
            Authority(tmp_path / "own", NOW)

    def test_home_is_what_the_registry_says_is_not_on_the_internet(self) -> None:
        # IANA special-purpose registries, as Python's ipaddress carries them
        assert all(net[1].is_private or not net[1].is_global for net in HOME)
        assert not is_at_home("198.51.100.7")
        assert is_at_home("fd00::7")


class TestAddresses:
    def adapters(self, *every: str) -> list[SimpleNamespace]:
        ips = [SimpleNamespace(ip=one, is_IPv4=True) for one in every]
        return [SimpleNamespace(ips=[*ips, SimpleNamespace(ip=("fe80::1", 0, 0), is_IPv4=False)])]

    def test_in_a_phones_own_network_without_a_way_out_there_is_an_address(
        self, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setattr(serving, "way_out", lambda: "")
        found = self.adapters("127.0.0.1", "172.20.10.4")
        monkeypatch.setattr("ifaddr.get_adapters", lambda: found)
        assert serving.own_addresses() == ("172.20.10.4",)

    def test_the_one_it_would_go_out_by_is_told_first(
        self, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setattr(serving, "way_out", lambda: "192.168.1.20")
        found = self.adapters("9.9.9.9", "10.8.0.2", "192.168.1.20")
        monkeypatch.setattr("ifaddr.get_adapters", lambda: found)
        assert serving.own_addresses() == ("192.168.1.20", "10.8.0.2", "9.9.9.9")

    def test_they_are_looked_up_again_after_some_seconds(self) -> None:
        told = iter([("10.0.0.1",), ("10.0.0.2",)])
        at = [0.0]
        lately = serving.Lately(lambda: next(told), lambda: at[0])
        assert lately() == lately() == ("10.0.0.1",)
        at[0] = serving.LOOK_AGAIN_S + 0.1
        assert lately() == ("10.0.0.2",)


def wanted(folder: Path, port: int, **more: bool) -> serving.Wanted:
    return serving.Wanted(
        **{"lan": True, "tls": True} | more,
        port=port,
        by="owner",
        edition="retrue",
        secret="only for tests",
        certificates=folder,
    )


def test_a_laptop_in_no_network_says_what_to_do(tmp_path: Path) -> None:
    with pytest.raises(NotYet) as refused:
        serving.settings_of(wanted(tmp_path, 9), tuple)
    assert "hotspot" in refused.value.remedy
    alone = serving.settings_of(wanted(tmp_path, 9, lan=False, tls=False), tuple)
    assert alone.lan is None


@dataclass(frozen=True)
class Doors:
    """The three doors as they stand, and the addresses the machine believes it has."""

    port: int
    authority: Authority
    code: str
    where: list[str]

    def phone(self) -> httpx.Client:
        return httpx.Client(verify=trusting(self.authority), timeout=PATIENCE_S)


@pytest.fixture
def doors(authority: Authority, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Doors]:
    monkeypatch.setattr(serving, "LOOK_AGAIN_S", 0.05)
    where = ["127.0.0.1"]
    asked = wanted(tmp_path, free_ports(3))
    settings = serving.settings_of(asked, lambda: tuple(where))
    made = app(shop=FakeShop(), kinds=load(), clock=lambda: datetime.now(UTC), settings=settings)
    code = made.state.pairing.offer(datetime.now(UTC))  # good for five minutes
    with serving.beside(made, asked, settings, authority):
        yield Doors(asked.port, authority, code, where)


def test_three_doors_a_plain_one_gives_the_certificate_and_a_locked_one_the_shop(
    doors: Doors,
) -> None:
    trust = f"http://127.0.0.1:{doors.port + 2}"
    page = got(trust + "/")
    assert doors.authority.fingerprint() in page.text
    assert f"https://127.0.0.1:{doors.port + 1}/" in page.text
    assert page.headers["content-security-policy"].startswith("default-src 'none'")
    dutch = got(trust + "/", headers={"accept-language": "nl-BE"}).text
    assert '<html lang="nl">' in dutch
    given = got(trust + "/retrue-authority.crt")
    assert given.headers["content-type"] == "application/x-x509-ca-cert"
    assert x509.load_der_x509_certificate(given.content) == doors.authority.certificate
    for path in ("/lots/new", "/note", "/pair", f"/pair/{doors.code}"):
        assert got(trust + path).status_code == 404
    with doors.phone() as phone:
        home = f"https://127.0.0.1:{doors.port + 1}"
        assert phone.get(home + "/worker.js").headers["content-type"].startswith("text/javascript")
        paired = phone.post(f"{home}/pair/{doors.code}", headers={"origin": home})
        assert "secure" in paired.headers["set-cookie"].lower()


def test_when_the_machine_joins_another_network_its_certificate_follows(doors: Doors) -> None:
    context = trusting(doors.authority)
    home = ("127.0.0.1", doors.port + 1)
    doors.where.append("192.168.43.17")
    until = time.monotonic() + PATIENCE_S
    while time.monotonic() < until:
        with socket.create_connection(home) as line:
            try:
                context.wrap_socket(line, server_hostname="192.168.43.17").close()
            except OSError:  # still the one before, or just while it gives way to the new one
                threading.Event().wait(0.02)
            else:
                return
    raise AssertionError("the certificate stayed as it was")


def test_a_port_that_is_taken_is_said_before_anything_is_answered(
    authority: Authority, tmp_path: Path
) -> None:
    asked = wanted(tmp_path, free_ports(3))
    settings = serving.settings_of(asked, lambda: ("127.0.0.1",))
    made = app(shop=FakeShop(), kinds=load(), clock=lambda: NOW, settings=settings)
    with socket.socket() as taken:
        taken.bind(("0.0.0.0", asked.port + 1))
        taken.listen()
        with (
            pytest.raises(NotYet, match="another program"),
            serving.beside(made, asked, settings, authority),
        ):
            pass
