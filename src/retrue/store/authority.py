"""The shop's own authority for certificates: made once, kept in one folder, good at home alone.

A telephone that trusts it trusts nobody else by it: the authority is bound to addresses that are
not on the internet, and its key never leaves this machine.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from ipaddress import ip_address
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from retrue.base.refusals import Unreadable
from retrue.base.say import say
from retrue.store.at_home import HOME, is_at_home

YEARS = timedelta(days=3650)
DAYS = timedelta(days=397)  # browsers refuse a server's certificate that is good for longer
BEFORE = timedelta(days=1)  # a telephone whose clock is behind
LOCAL = "localhost"


@dataclass(frozen=True, slots=True)
class Papers:
    """What a server shows: files of its certificate and its key."""

    certificate: Path
    key: Path


class Authority:
    """The shop's own authority in a folder that only this user reads.

    Parameters
    ----------
    folder : Path
        Where its key and its certificate are kept; made when first needed.
    now : datetime
        The moment, with its offset.

    Raises
    ------
    Unreadable
        What is kept there is not a key and a certificate.
    """

    def __init__(self, folder: Path, now: datetime) -> None:
        self._folder = folder
        self._now = now
        if not (folder / "authority.pem").exists():
            self._make()
        try:
            key = serialization.load_pem_private_key((folder / "authority.key").read_bytes(), None)
            self.certificate = x509.load_pem_x509_certificate(
                (folder / "authority.pem").read_bytes()
            )
        except (OSError, ValueError) as error:
            raise Unreadable(
                say("the shop's own certificates in {folder} cannot be read", folder=folder),
                remedy=say(
                    "Delete that folder; new ones are made, and phones install the new one."
                ),
            ) from error
        assert isinstance(key, ec.EllipticCurvePrivateKey)
        self._key = key

    def to_install(self) -> bytes:
        """The certificate that a telephone installs, in the form it takes (DER)."""
        return self.certificate.public_bytes(serialization.Encoding.DER)

    def fingerprint(self) -> str:
        """What both screens must show alike: SHA-256 of the certificate, in pairs.

        References
        ----------
        FIPS 180-4 (SHA-256).
        """
        return self.certificate.fingerprint(hashes.SHA256()).hex(":").upper()

    def server(self, addresses: Iterable[str]) -> Papers:
        """A certificate for this machine's addresses of the moment; the one before is replaced.

        Parameters
        ----------
        addresses : iterable of str
            IP addresses; one that is on the internet is left out.

        Returns
        -------
        Papers
            The files, for the server to read.

        References
        ----------
        RFC 5280, 4.2.1.6 (subject alternative name), 4.2.1.10 (name constraints).
        """
        key = ec.generate_private_key(ec.SECP256R1())
        homely = sorted(one for one in set(addresses) if is_at_home(one))
        names = [x509.IPAddress(ip_address(one)) for one in homely]
        made = (
            self._begun("retrue, this computer", key.public_key(), DAYS)
            .issuer_name(self.certificate.subject)
            .add_extension(
                x509.SubjectAlternativeName([x509.DNSName(LOCAL), *names]), critical=False
            )
            .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
            .add_extension(_use(signs=False), critical=True)
            .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
            .add_extension(
                x509.AuthorityKeyIdentifier.from_issuer_public_key(self._key.public_key()),
                critical=False,
            )
            .sign(self._key, hashes.SHA256())
        )
        papers = Papers(self._folder / "server.pem", self._folder / "server.key")
        _put(papers.key, _private(key))
        _put(papers.certificate, made.public_bytes(serialization.Encoding.PEM))
        return papers

    def _begun(
        self, name: str, key: ec.EllipticCurvePublicKey, length: timedelta
    ) -> x509.CertificateBuilder:
        subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)])
        return (
            x509.CertificateBuilder()
            .subject_name(subject)
            .public_key(key)
            .serial_number(x509.random_serial_number())
            .not_valid_before(self._now - BEFORE)
            .not_valid_after(self._now + length)
            .add_extension(x509.SubjectKeyIdentifier.from_public_key(key), critical=False)
        )

    def _make(self) -> None:
        self._folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        key = ec.generate_private_key(ec.SECP256R1())
        bound = [x509.DNSName(LOCAL), *(x509.IPAddress(one) for one in HOME)]
        name = f"retrue, a shop's own, {self._now:%Y-%m-%d}"
        made = (
            self._begun(name, key.public_key(), YEARS)
            .issuer_name(x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)]))
            .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
            .add_extension(_use(signs=True), critical=True)
            .add_extension(x509.NameConstraints(bound, None), critical=True)
            .sign(key, hashes.SHA256())
        )
        _put(self._folder / "authority.key", _private(key))
        _put(self._folder / "authority.pem", made.public_bytes(serialization.Encoding.PEM))


def _use(*, signs: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs,
        key_cert_sign=signs,
        crl_sign=signs,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )


def _private(key: ec.EllipticCurvePrivateKey) -> bytes:
    return key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )


def _put(path: Path, content: bytes) -> None:
    beside = path.with_suffix(path.suffix + ".new")
    beside.unlink(missing_ok=True)
    handle = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "wb") as file:
        file.write(content)
    beside.replace(path)
