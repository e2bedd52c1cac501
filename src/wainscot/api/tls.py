"""The firm's own certificate authority, for phones on the office's network.

A phone keeps an app for use without signal only from an address that it truly trusts.  So the first
start makes an authority; its certificate goes onto each phone once, its key never leaves this
machine.  It is good for nothing else: name constraints (RFC 5280, 4.2.1.10) hold it to one fixed
name and to private addresses (RFC 1918, RFC 4193), so that whoever stole the key could not pass for
any other site.

The server's own certificate is made anew when it nears its end or the machine's address changed;
phones notice nothing.

Limits: whoever can read the folder can pass for this server.
"""

from __future__ import annotations

import ipaddress
import os
import re
import socket
from collections.abc import Iterable
from contextlib import suppress
from datetime import datetime, timedelta
from pathlib import Path

import msgspec
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from wainscot.errors import WainscotError

CA_YEARS = 10
LEAF = timedelta(days=397)
"""How long the server's certificate holds (browsers take at most 398 days of public ones; from
memory, no source)."""
RENEW = timedelta(days=60)
PRIVATE = ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "127.0.0.0/8", "fc00::/7", "::1/128")
"""RFC 1918, RFC 4193 and this machine itself."""
_NAME = re.compile(r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?(\.[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?)+")


class Certified(msgspec.Struct, frozen=True):
    """Where certificate and key lie, the fixed name, and the authority's fingerprint (SHA-256)."""

    name: str
    chain: Path
    key: Path
    authority: bytes
    """The authority's certificate, DER."""
    fingerprint: str


def prepare(folder: Path, name: str, addresses: Iterable[str], now: datetime) -> Certified:
    """Return what the server shows to its clients; made where it is not there or out of date.

    Parameters
    ----------
    folder : Path
        Where authority and certificate lie; made if it is not there.
    name : str
        Host name; fixed at the first start, and later another is refused.
    addresses : iterable of str
        The machine's addresses besides.
    now : datetime
        With offset.

    Raises
    ------
    WainscotError
        If the name is none, or not the one that phones trust already.
    """
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    if not (folder / "authority.pem").is_file():
        _make_authority(folder, _checked(name), now)
    authority = x509.load_pem_x509_certificate((folder / "authority.pem").read_bytes())
    fixed = str(authority.subject.get_attributes_for_oid(NameOID.COMMON_NAME)[0].value)
    if name and name != fixed:
        raise WainscotError(
            f"phones trust this server as {fixed}; leave --name out, or move {folder} away and "
            "let every phone trust the new certificate"
        )
    wanted = frozenset(_private(addresses))
    if not _still_good(folder, wanted, now):
        _make_leaf(folder, authority, fixed, wanted, now)
    return Certified(
        name=fixed, chain=folder / "server.pem", key=folder / "server-key.pem",
        authority=authority.public_bytes(serialization.Encoding.DER),
        fingerprint=authority.fingerprint(hashes.SHA256()).hex(":").upper(),
    )  # fmt: skip


def own_name() -> str:
    """Return the name by which machines on the same network find this one."""
    first = re.sub(r"[^a-z0-9-]", "-", socket.gethostname().split(".")[0].lower()).strip("-")
    return f"{first or 'office'}.local"


def own_addresses() -> tuple[str, ...]:
    """Return this machine's addresses on its networks; nothing is sent to find them."""
    found = set()
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe, suppress(OSError):
        # Connecting a datagram socket only picks a way; 192.0.2.1 is nobody's (RFC 5737).
        probe.connect(("192.0.2.1", 9))
        found.add(str(probe.getsockname()[0]))
    with suppress(OSError):
        named = socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)
        found |= {str(one[4][0]) for one in named}
    return tuple(sorted(_private(found) - {"127.0.0.1", "127.0.1.1"}))


def _private(addresses: Iterable[str]) -> set[str]:
    nets = [ipaddress.ip_network(one) for one in PRIVATE]
    return {one for one in addresses if any(ipaddress.ip_address(one) in net for net in nets)}


def _checked(name: str) -> str:
    if not _NAME.fullmatch(name):
        raise WainscotError(f"{name[:80]!r} is no host name; write one such as office.local")
    return name


def _new_key(path: Path) -> ec.EllipticCurvePrivateKey:
    key = ec.generate_private_key(ec.SECP256R1())
    packed = key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
    path.unlink(missing_ok=True)
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "wb") as stream:
        stream.write(packed)
    return key


def _builder(subject: str, issuer: str, now: datetime, ends: timedelta) -> x509.CertificateBuilder:
    def named(text: str) -> x509.Name:
        return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, text)])

    return (
        x509.CertificateBuilder()
        .subject_name(named(subject))
        .issuer_name(named(issuer))
        .serial_number(x509.random_serial_number())
        # A phone's clock may be a little behind.
        .not_valid_before(now - timedelta(days=1))
        .not_valid_after(now + ends)
    )


def _usage(*, signs: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs, key_cert_sign=signs, crl_sign=signs,
        content_commitment=False, key_encipherment=False, data_encipherment=False,
        key_agreement=False, encipher_only=False, decipher_only=False,
    )  # fmt: skip


def _make_authority(folder: Path, name: str, now: datetime) -> None:
    key = _new_key(folder / "authority-key.pem")
    allowed: list[x509.GeneralName] = [x509.DNSName(name), x509.DNSName("localhost")]
    allowed += [x509.IPAddress(ipaddress.ip_network(one)) for one in PRIVATE]
    public = key.public_key()
    made = (
        _builder(name, name, now, timedelta(days=365 * CA_YEARS))
        .public_key(public)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs=True), critical=True)
        .add_extension(x509.NameConstraints(allowed, None), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(public), critical=False)
        .sign(key, hashes.SHA256())
    )
    (folder / "authority.pem").write_bytes(made.public_bytes(serialization.Encoding.PEM))


def _make_leaf(
    folder: Path, authority: x509.Certificate, name: str, addresses: frozenset[str], now: datetime
) -> None:
    packed = (folder / "authority-key.pem").read_bytes()
    signer = serialization.load_pem_private_key(packed, None)
    if not isinstance(signer, ec.EllipticCurvePrivateKey):
        raise WainscotError(f"{folder / 'authority-key.pem'} is not the key that was made here")
    key = _new_key(folder / "server-key.pem")
    names: list[x509.GeneralName] = [x509.DNSName(name), x509.DNSName("localhost")]
    names += [
        x509.IPAddress(ipaddress.ip_address(one)) for one in ["127.0.0.1", *sorted(addresses)]
    ]
    # Some clients take subject and issuer of one name for a self-signed certificate.
    made = (
        _builder(f"{name} server"[:64], name, now, LEAF)
        .public_key(key.public_key())
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName(names), critical=False)
        .add_extension(
            x509.AuthorityKeyIdentifier.from_issuer_public_key(signer.public_key()), critical=False
        )
        .sign(signer, hashes.SHA256())
    )
    chain = [made, authority]
    text = b"".join(one.public_bytes(serialization.Encoding.PEM) for one in chain)
    (folder / "server.pem").write_bytes(text)


def _still_good(folder: Path, addresses: frozenset[str], now: datetime) -> bool:
    try:
        found = x509.load_pem_x509_certificate((folder / "server.pem").read_bytes())
    except (OSError, ValueError):
        return False
    names = found.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    there = {str(one) for one in names.get_values_for_type(x509.IPAddress)}
    return addresses <= there and now + RENEW < found.not_valid_after_utc
