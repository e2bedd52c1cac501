"""The firm's own certificate: who trusts the authority trusts the server, and nothing else."""

from __future__ import annotations

import io
import ssl
import stat
import sys
from datetime import UTC, datetime, timedelta
from ipaddress import ip_network
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.x509.verification import PolicyBuilder, Store, VerificationError

from wainscot.api import tls
from wainscot.api.guide import Guide, code
from wainscot.errors import WainscotError

NOW = datetime(2025, 3, 14, 10, tzinfo=UTC)
NAME = "mill.local"


def _chain(made: tls.Certified) -> list[x509.Certificate]:
    return x509.load_pem_x509_certificates(made.chain.read_bytes())


def test_a_client_that_trusts_the_authority_takes_the_certificate(tmp_path: Path) -> None:
    """The verifier is cryptography's own, by the rules of the CA/Browser Forum."""
    made = tls.prepare(tmp_path, NAME, ["192.168.1.20"], NOW)
    leaf, authority = _chain(made)
    rules = PolicyBuilder().store(Store([authority])).time(NOW)
    for name in (NAME, "localhost"):
        chain = rules.build_server_verifier(x509.DNSName(name)).verify(leaf, [])
        assert chain == [leaf, authority]
    with pytest.raises(VerificationError):
        rules.build_server_verifier(x509.DNSName("elsewhere.example")).verify(leaf, [])
    late = PolicyBuilder().store(Store([authority])).time(NOW + timedelta(days=400))
    with pytest.raises(VerificationError):
        late.build_server_verifier(x509.DNSName(NAME)).verify(leaf, [])


def test_what_stands_in_the_certificates(tmp_path: Path) -> None:
    """RFC 5280, 4.2.1: name constraints critical, path length 0, server authentication only."""
    made = tls.prepare(tmp_path, NAME, ["192.168.1.20", "8.8.8.8"], NOW)
    leaf, authority = _chain(made)
    basic = authority.extensions.get_extension_for_class(x509.BasicConstraints)
    assert (basic.critical, basic.value.ca, basic.value.path_length) == (True, True, 0)
    limits = authority.extensions.get_extension_for_class(x509.NameConstraints)
    assert limits.critical
    allowed = {one.value for one in limits.value.permitted_subtrees or ()}
    assert NAME in allowed
    assert ip_network("192.168.0.0/16") in allowed
    assert "elsewhere.example" not in allowed
    names = leaf.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    assert names.get_values_for_type(x509.DNSName)[0] == NAME  # the fixed name stands first
    assert {str(one) for one in names.get_values_for_type(x509.IPAddress)} == {
        "127.0.0.1", "192.168.1.20"}  # fmt: skip
    assert leaf.not_valid_after_utc - leaf.not_valid_before_utc <= timedelta(days=398)
    assert made.fingerprint.count(":") == 31


@pytest.mark.skipif(sys.platform == "win32", reason="modes of files are those of POSIX")
def test_the_keys_can_be_read_by_their_owner_alone(tmp_path: Path) -> None:
    folder = tmp_path / "tls"
    tls.prepare(folder, NAME, [], NOW)
    for name in ("authority-key.pem", "server-key.pem"):
        assert stat.S_IMODE((folder / name).stat().st_mode) == 0o600
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700


def test_the_authority_stays_and_the_certificate_is_renewed_when_it_must(tmp_path: Path) -> None:
    first = tls.prepare(tmp_path, NAME, ["10.0.0.5"], NOW)
    before = first.chain.read_bytes()
    assert tls.prepare(tmp_path, "", ["10.0.0.5"], NOW).chain.read_bytes() == before
    assert tls.prepare(tmp_path, "", [], NOW).chain.read_bytes() == before
    moved = tls.prepare(tmp_path, "", ["10.0.0.6"], NOW)
    assert moved.chain.read_bytes() != before
    assert moved.authority == first.authority
    later = tls.prepare(tmp_path, "", ["10.0.0.6"], NOW + timedelta(days=350))
    assert _chain(later)[0].not_valid_after_utc > NOW + timedelta(days=700)
    (tmp_path / "server.pem").write_text("torn")
    assert tls.prepare(tmp_path, NAME, [], NOW).name == NAME


def test_the_name_is_fixed_and_is_a_name(tmp_path: Path) -> None:
    tls.prepare(tmp_path, NAME, [], NOW)
    with pytest.raises(WainscotError, match="phones trust this server as mill"):
        tls.prepare(tmp_path, "other.local", [], NOW)
    for bad in ("", "local", "mill .local", "-a.local", "mill.local/x"):
        with pytest.raises(WainscotError, match="is no host name"):
            tls.prepare(tmp_path / "other", bad, [], NOW)


def test_this_machine_has_a_name_and_private_addresses() -> None:
    assert tls.own_name().endswith(".local")
    private = [ip_network(one) for one in tls.PRIVATE]
    for address in tls.own_addresses():
        assert any(ip_network(address).subnet_of(net) for net in private
                   if net.version == ip_network(address).version)  # fmt: skip


def test_a_certificate_of_the_standard_library_loads(tmp_path: Path) -> None:
    made = tls.prepare(tmp_path, NAME, [], NOW)
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(made.chain, made.key)


@pytest.fixture
def guide() -> Guide:
    return Guide(NAME, f"https://{NAME}:8443", "http://192.168.1.20:8444/guide", b"\x30", "AA:BB")


def test_the_codes_hold_the_addresses_and_the_page_the_fingerprint(guide: Guide) -> None:
    out = io.StringIO()
    guide.show(out)
    assert "AA:BB" in out.getvalue()
    assert f"https://{NAME}:8443" in out.getvalue()
    assert out.getvalue().count("\n") > 30
    page = guide.pages[""][1].decode()
    assert "AA:BB" in page
    assert "<script" not in page
    assert "style=" not in page
    assert code("https://mill.local").startswith(b"<svg")
