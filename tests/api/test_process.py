"""A real server in a process of its own: TLS for who trusts the authority, and a graceful stop."""

from __future__ import annotations

import hashlib
import json
import signal
import socket
import ssl
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import httpx
import pytest
from click.testing import CliRunner
from firm import CHEAP, NOW, PASSWORD, Firm, Phone, lines, open_firm
from test_photos import picture

from wainscot.api import serve as module
from wainscot.api.serve import ServeError, Wish, planned
from wainscot.cli import main
from wainscot.store import Accounts, Store

PATIENCE = 120.0
"""How long is waited for what must come; long, for machines that do much else. [s]"""


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextmanager
def _running(record: Path, *options: str) -> Iterator[tuple[subprocess.Popen[str], int]]:
    """Give a running server and its port; it is stopped at the end, whatever happened."""
    port = _free_port()
    command = [sys.executable, "-m", "wainscot", "serve", "--record", str(record),
               "--port", str(port), *options]  # fmt: skip
    server = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    try:
        assert server.stdout is not None
        line = server.stdout.readline()
        assert "wainscot serves" in line, server.stderr.read() if server.stderr else ""
        yield server, port
    finally:
        if server.poll() is None:
            server.kill()
        server.communicate(timeout=PATIENCE)


def _record(folder: Path) -> Path:
    record = folder / "record"
    store = Store.create(record, device="office_1")
    accounts = Accounts(store.database, CHEAP)
    accounts.add("Olga", "office", PASSWORD, at=NOW)
    store.append(lines(Phone("office_2").title("job_a", "Mill")), received=NOW)
    store.close()
    return record


def test_on_the_network_who_trusts_the_authority_comes_in_and_nobody_else(tmp_path: Path) -> None:
    record = _record(tmp_path)
    options = ("--lan", "--name", "mill.local", "--host", "127.0.0.1")
    with _running(record, *options) as (server, port):
        url = f"https://localhost:{port}"
        page = f"http://localhost:{port + 1}/guide"
        authority = httpx.get(f"{page}/certificate.crt").content
        trusting = ssl.create_default_context(cadata=authority)
        with httpx.Client(verify=trusting) as phone:
            assert phone.get(f"{url}/api/health").json()["ok"]
            assert phone.get(f"{url}/api/jobs").status_code == 401
            body = {"name": "Olga", "password": PASSWORD, "token": True}
            token = phone.post(f"{url}/api/login", json=body).json()["token"]
            jobs = phone.get(f"{url}/api/jobs", headers={"authorization": f"Bearer {token}"})
            assert [one["title"] for one in jobs.json()["jobs"]] == ["Mill"]
            assert phone.get(f"{url}/guide").status_code == 200
        with pytest.raises(httpx.ConnectError, match="CERTIFICATE_VERIFY_FAILED"):
            httpx.get(f"{url}/api/health")
        old = ssl.create_default_context(cadata=authority)
        old.maximum_version = ssl.TLSVersion.TLSv1_2
        assert httpx.get(f"{url}/api/health", verify=old).status_code == 200
        assert httpx.get(f"http://localhost:{port + 1}/api/jobs").status_code == 404
        server.send_signal(signal.SIGTERM)
        out, said = server.communicate(timeout=PATIENCE)
        assert server.returncode == 0
    assert "fingerprint of the certificate" in out
    assert PASSWORD not in said
    assert "Olga" not in said
    assert "127.0.0.1" not in said
    assert all(json.loads(line) for line in said.splitlines())


@pytest.mark.skipif(sys.platform == "win32", reason="signals are those of POSIX")
def test_it_finishes_what_is_under_way_and_closes_the_record(tmp_path: Path) -> None:
    record = _record(tmp_path)
    with _running(record) as (server, port):
        url = f"http://127.0.0.1:{port}"
        told: list[httpx.Response] = []
        begun = threading.Event()
        body = json.dumps({"lines": [line.decode() for line in
                                     lines(Phone("phone_1").title("job_a", "Late"))]})  # fmt: skip

        def slowly() -> Iterator[bytes]:
            yield body[:50].encode()
            begun.set()
            time.sleep(0.7)
            yield body[50:].encode()

        def send() -> None:
            told.append(httpx.post(f"{url}/api/jobs/job_a/events", content=slowly(),
                                   headers={"content-type": "application/json"},
                                   timeout=PATIENCE))  # fmt: skip

        sender = threading.Thread(target=send)
        sender.start()
        assert begun.wait(PATIENCE)
        time.sleep(0.3)
        server.send_signal(signal.SIGINT)
        sender.join(PATIENCE)
        _, said = server.communicate(timeout=PATIENCE)
        assert server.returncode == 0
    assert told[0].json()["tally"]["added"] == 1
    assert json.loads(said.splitlines()[-1])["event"] == "closed"
    store = Store.open(record, now=NOW)
    assert store.counts().events == 2
    store.close()


def test_a_photo_whose_line_breaks_goes_on_where_it_stopped(tmp_path: Path) -> None:
    data = picture("PNG", (900, 800))
    digest, half = hashlib.sha256(data).hexdigest(), len(data) // 2
    with _running(_record(tmp_path)) as (_, port):
        path = f"/api/jobs/job_a/photos/{digest}"
        head = (f"PUT {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n"
                f"Content-Length: {len(data)}\r\n\r\n")  # fmt: skip
        with socket.create_connection(("127.0.0.1", port)) as line:
            line.sendall(head.encode() + data[:half])
            time.sleep(0.3)
        url = f"http://127.0.0.1:{port}{path}"
        until, held = time.monotonic() + PATIENCE, 0
        while not held and time.monotonic() < until:
            held = int(httpx.head(url).headers["upload-offset"])
        assert 0 < held <= half
        rest = {"content-range": f"bytes {held}-{len(data) - 1}/{len(data)}"}
        assert httpx.put(url, content=data[held:], headers=rest).status_code == 201
        assert httpx.get(url).content == data


def test_a_port_that_is_taken_is_told(tmp_path: Path) -> None:
    record = _record(tmp_path)
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        command = [sys.executable, "-m", "wainscot", "serve", "--record", str(record),
                   "--port", str(taken.getsockname()[1])]  # fmt: skip
        done = subprocess.run(command, capture_output=True, text=True, timeout=PATIENCE,
                              check=False)  # fmt: skip
    assert done.returncode == 1
    assert "nothing can listen" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("host", ["0.0.0.0", "192.168.1.20", "::", "mill.local"])
def test_without_tls_and_login_nobody_else_is_served(tmp_path: Path, host: str) -> None:
    with open_firm(tmp_path) as firm, pytest.raises(ServeError, match="can be reached by others"):
        planned(Wish(host=host), firm.store, firm.accounts)


@pytest.mark.parametrize("host", ["", "localhost", "127.0.0.1", "::1"])
def test_one_person_on_this_machine_needs_no_login(firm: Firm, host: str) -> None:
    plan = planned(Wish(host=host), firm.store, firm.accounts)
    assert (plan.settings.login, plan.chain) == (False, None)
    assert all(one.startswith("http://") for one in plan.settings.origins)
    assert "localhost:8420" in plan.settings.hosts


def test_on_the_network_somebody_must_be_able_to_log_in(firm: Firm, tmp_path: Path) -> None:
    firm.accounts.set_disabled("Olga", True)
    with pytest.raises(ServeError, match="wainscot user add"):
        planned(Wish(lan=True), firm.store, firm.accounts)
    firm.accounts.set_disabled("Olga", False)
    cert = tmp_path / "cert.pem"
    with pytest.raises(ServeError, match="--cert needs --key and --name"):
        planned(Wish(cert=cert), firm.store, firm.accounts)
    own = planned(Wish(cert=cert, key=cert, name="mill.example", port=443), firm.store,
                  firm.accounts)  # fmt: skip
    assert own.settings.origins == ("https://mill.example",)
    assert own.settings.login
    lan = planned(Wish(lan=True, name="mill.local"), firm.store, firm.accounts)
    assert lan.settings.origins[0] == "https://mill.local:8443"
    assert lan.page.endswith(":8444/guide")
    assert lan.settings.login
    assert module.is_loopback("127.0.0.9")


def _run(record: Path, *arguments: str, typed: str = "") -> Any:
    return CliRunner().invoke(main, [*arguments, "--record", str(record)], input=typed)


def test_accounts_and_devices_from_the_command_line(tmp_path: Path) -> None:
    record = _record(tmp_path)
    made = _run(record, "user", "add", "Ann", "--role", "crew", "--stdin", typed=f"{PASSWORD}\n")
    assert made.exit_code == 0, made.output
    assert "Ann, crew" in made.output
    twice = f"{PASSWORD}\n{PASSWORD}\n"
    assert _run(record, "user", "add", "Ben", "--role", "lead", typed=twice).exit_code == 0
    again = _run(record, "user", "add", "Ann", "--role", "crew", "--stdin", typed=f"{PASSWORD}\n")
    assert (again.exit_code, "has that name" in again.stderr) == (1, True)
    assert _run(record, "user", "add", "Cy", "--role", "king").exit_code == 2
    assert _run(record, "user", "role", "Ann", "--role", "lead").exit_code == 0
    assert _run(record, "user", "disable", "Ben").exit_code == 0
    assert "Ben, lead, shut out" in _run(record, "user", "list").output
    assert _run(record, "user", "disable", "Ben", "--undo").exit_code == 0
    other = _run(record, "user", "password", "Ann", "--stdin", typed="a wholly other one\n")
    assert (other.exit_code, "ended: 0" in other.output) == (0, True)
    bad = _run(record, "user", "password", "Ann", "--stdin", typed="qwertyuiop123\n")
    assert (bad.exit_code, "tried first" in bad.stderr) == (1, True)
    listed = json.loads(_run(record, "user", "list", "--json").output)
    assert [(one["name"], one["role"]) for one in listed] == [
        ("Olga", "office"), ("Ann", "lead"), ("Ben", "lead")]  # fmt: skip
    store = Store.open(record, now=NOW)
    accounts = Accounts(store.database)
    assert accounts.check("Ann", "a wholly other one")
    phone, token = accounts.add_device(accounts.all()[1].id, "phone", at=NOW)
    store.close()
    assert f"{phone.id}  Ann: phone" in _run(record, "device", "list").output
    assert _run(record, "device", "revoke", phone.id).exit_code == 0
    assert "revoked" in _run(record, "device", "list").output
    assert json.loads(_run(record, "device", "list", "--json").output)[0]["id"] == phone.id
    assert _run(record, "device", "revoke", "dev_none").exit_code == 1
    assert _run(record, "user", "role", "Zoe", "--role", "crew").exit_code == 1
    assert token not in _run(record, "device", "list").output


def test_serve_says_plainly_what_is_missing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    record = _record(tmp_path)
    got = _run(record, "serve", "--host", "0.0.0.0")
    assert (got.exit_code, got.stderr.count("\n")) == (1, 1)
    cert = tmp_path / "cert.pem"
    cert.touch()
    assert _run(record, "serve", "--lan", "--cert", str(cert)).exit_code == 2
    monkeypatch.setitem(sys.modules, "wainscot.api.serve", None)
    monkeypatch.setattr(sys, "path", sys.path)
    blocker: Any = type("Blocker", (), {"find_spec": staticmethod(_without_uvicorn)})
    monkeypatch.setattr(sys, "meta_path", [blocker, *sys.meta_path])
    for name in [one for one in sys.modules if one.startswith(("uvicorn", "wainscot.api.serve"))]:
        monkeypatch.delitem(sys.modules, name)
    got = _run(record, "serve")
    assert got.exit_code == 1
    assert "pip install 'wainscot[server]'" in got.stderr
    assert "uvicorn" in got.stderr


def _without_uvicorn(name: str, *_: object) -> None:
    if name == "uvicorn":
        raise ModuleNotFoundError("No module named 'uvicorn'", name="uvicorn")


def test_help_loads_no_part_of_the_server() -> None:
    program = (
        "import sys\nfrom wainscot.cli import main\n"
        "try:\n    main(['serve', '--help'])\nexcept SystemExit:\n    pass\n"
        "found = {'litestar', 'uvicorn', 'sqlalchemy', 'cryptography', 'argon2', 'PIL'}\n"
        "sys.exit(bool(found & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, check=False)
    assert done.returncode == 0, done.stderr
    assert b"Example: wainscot serve --lan" in done.stdout
