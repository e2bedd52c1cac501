"""What every request passes: host, origin, size, rate; headers; logs that name nobody."""

from __future__ import annotations

import hashlib
import json
import logging
from pathlib import Path
from typing import Any

import pytest
from firm import ALONE, ORIGIN, PASSWORD, Firm, limited, open_firm, run_alone
from test_photos import picture

from wainscot.api import frame, logs
from wainscot.api.frame import COOKIE
from wainscot.api.problems import STATUS, RefusedError, told
from wainscot.errors import SERVER, Fault, InputError
from wainscot.store import DamagedError, DiskFullError, NoRecordError, PartError, StoreError


@pytest.mark.parametrize("path", ["/", "/api/health", "/api/none", "/api/jobs", "/guide"])
def test_every_answer_carries_the_headers(firm: Firm, path: str) -> None:
    """Content Security Policy level 3; X-Content-Type-Options after the Fetch standard."""
    got = firm.client.get(path).headers
    policy = dict(part.strip().split(" ", 1) for part in got["content-security-policy"].split(";"))
    assert policy["default-src"] == "'none'"
    assert policy["script-src"] == "'self' 'wasm-unsafe-eval'"
    assert policy["frame-ancestors"] == "'none'"
    assert "unsafe-inline" not in got["content-security-policy"]
    assert got["x-content-type-options"] == "nosniff"
    assert got["referrer-policy"] == "no-referrer"
    assert got["cache-control"] == "no-store"
    # RFC 6797, 6.1: a year, as OWASP ASVS 5.0.0 item 3.4.1 asks for.
    assert got["strict-transport-security"] == "max-age=31536000; includeSubDomains"
    assert "server" not in got
    assert "access-control-allow-origin" not in got


def test_the_session_is_a_cookie_that_no_script_reads_and_no_other_site_sends(firm: Firm) -> None:
    """RFC 6265bis, 4.1.3.2: __Host- asks for Secure, Path=/ and no Domain."""
    body = {"name": "Ann", "password": PASSWORD}
    got = firm.client.post("/api/login", json=body, headers={"origin": ORIGIN})
    assert got.json()["token"] == ""
    parts = {part.strip().lower() for part in got.headers["set-cookie"].split(";")}
    assert {"secure", "httponly", "samesite=strict", "path=/"} <= parts
    assert got.headers["set-cookie"].startswith("__Host-")
    assert not any(part.startswith("domain") for part in parts)


def _with_cookie(firm: Firm, **headers: str) -> int:
    token = firm.accounts.open_session(firm.ids["Olga"], at=firm.desk.now())
    got = firm.client.post("/api/backup", headers={"cookie": f"{COOKIE}={token}", **headers})
    return int(got.status_code)


def test_a_page_of_another_site_can_change_nothing(firm: Firm) -> None:
    for origin in ("https://elsewhere.example", "null", "http://mill.local:8443", ORIGIN + "0"):
        assert _with_cookie(firm, origin=origin) == 403
    assert _with_cookie(firm, **{"sec-fetch-site": "cross-site"}) == 403
    assert _with_cookie(firm, **{"sec-fetch-site": "same-site", "origin": ORIGIN}) == 403
    assert _with_cookie(firm) == 403  # a browser would have said where it comes from
    assert firm.store.counts().blobs == 0
    assert not firm.store.layout.backups.exists()
    assert _with_cookie(firm, origin=ORIGIN) == 201
    assert _with_cookie(firm, **{"sec-fetch-site": "same-origin"}) == 201


def test_a_page_of_another_site_cannot_read_by_script_but_may_link(firm: Firm) -> None:
    site = {"sec-fetch-site": "cross-site"}
    assert firm.client.get("/", headers={**site, "sec-fetch-mode": "cors"}).status_code == 403
    assert firm.client.get("/", headers={**site, "sec-fetch-mode": "navigate"}).status_code == 200


def test_alone_a_page_of_another_site_is_kept_out_by_host_and_origin(tmp_path: Path) -> None:
    """A name that was pointed at this machine (DNS rebinding) is not the server's own."""
    with open_firm(tmp_path, login=False) as firm:
        got = firm.client.get("/api/jobs", headers={"host": "rebound.example"})
        assert (got.status_code, got.json()["code"]) == (421, "other-host")
        got = firm.client.post("/api/backup", headers={"origin": "https://elsewhere.example"})
        assert (got.status_code, got.json()["code"]) == (403, "other-site")
        assert firm.client.post("/api/backup", headers={"origin": ALONE}).status_code == 201


def test_too_many_requests_wait(tmp_path: Path) -> None:
    with open_firm(tmp_path, limits=limited(requests=5)) as firm:
        codes = [firm.client.get("/api/health").status_code for _ in range(8)]
        assert codes[:5] == [200] * 5
        assert set(codes[5:]) == {429}
        assert 1 <= int(firm.client.get("/api/health").headers["retry-after"]) <= 60


def test_a_request_holds_no_more_bytes_than_the_server_was_told(tmp_path: Path) -> None:
    with open_firm(tmp_path, limits=limited(body=1000)) as firm:
        for size, status in ((1000, 200), (1001, 413)):
            body = b'{"lines": []}'.ljust(size)
            got = firm.ask("Lea", "POST", "/api/jobs/job_a/events", content=body,
                           headers={"content-type": "application/json"})  # fmt: skip
            assert got.status_code == status, got.text
        assert got.json()["code"] == "too-large"


def test_too_many_wrong_passwords_wait_whoever_asks(tmp_path: Path) -> None:
    with open_firm(tmp_path, limits=limited(tries=3)) as firm:

        def tried(name: str, password: str) -> int:
            body = {"name": name, "password": password}
            return int(firm.client.post("/api/login", json=body).status_code)

        assert [tried("Ann", "wrong") for _ in range(4)] == [401, 401, 401, 429]
        assert tried(" ANN ", PASSWORD) == 429  # the right one tells nothing now
        assert tried("Ben", PASSWORD) == 200
        firm.client.cookies.clear()
        assert [tried(f"nobody {n}", "wrong") for n in range(9)].count(429) == 6  # nine an address
        assert firm.ask("Ann", "GET", "/api/me").json()["name"] == "Ann"  # her phone goes on


def test_what_was_not_foreseen_is_told_without_its_words(
    firm: Firm, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken() -> str:
        raise KeyError("CANARY at /home/someone/file.py")

    monkeypatch.setattr(firm.desk, "record", broken)
    got = firm.ask("Lea", "GET", "/api/jobs")
    assert (got.status_code, got.json()["code"]) == (500, "server-error")
    assert got.headers["content-type"] == "application/problem+json"
    assert "CANARY" not in got.text
    assert "Traceback" not in got.text
    failed = [one for one in firm.log() if one["event"] == "failed"]
    assert (failed[0]["error"], failed[0]["request"]) == ("KeyError", got.json()["request"])
    assert failed[0]["where"].startswith("test_frame.py:")
    assert firm.client.get("/api/ready").status_code == 500


def test_every_refusal_of_the_catalogue_has_a_status_and_its_own_words() -> None:
    assert STATUS.keys() == SERVER.keys()
    for code, fault in SERVER.items():
        status, headers, body = told(RefusedError(code), "r1")
        found = json.loads(body)
        assert (found["status"], found["title"], found["detail"]) == (
            status, fault.what, fault.cure)  # fmt: skip
        assert headers["content-type"] == "application/problem+json"


@pytest.mark.parametrize(
    ("error", "code"),
    [(DiskFullError("full"), "disk-full"), (PartError(7), "wrong-range"),
     (NoRecordError("none in /home/x"), "not-ready"), (DamagedError("bad"), "record-refused"),
     (StoreError("busy"), "record-refused"), (ValueError("secret"), "server-error"),
     (InputError([Fault("bad-id", "a", "b", "c")]), "bad-request")],
)  # fmt: skip
def test_each_error_has_its_refusal(error: Exception, code: str) -> None:
    found = json.loads(told(error)[2])
    assert found["code"] == code
    assert "/home/x" not in str(found)
    assert "secret" not in str(found)
    assert [one["code"] for one in found["faults"]] == (["bad-id"] if code == "bad-request" else [])


def test_a_method_that_nobody_knows_and_a_socket_are_turned_away(firm: Firm) -> None:
    assert firm.client.request("CANARY", "/api/jobs").status_code == 405
    assert firm.log()[-1]["method"] == "other"
    assert firm.client.delete("/api/jobs").json()["code"] == "wrong-method"
    got = firm.client.get("/api/jobs/%00/events?after=x", headers={})
    assert got.status_code in (401, 422)


def test_no_line_of_the_log_names_anybody_or_anything(tmp_path: Path) -> None:
    """Fifty canaries: in names, passwords, titles, notes, ids, addresses, headers, bad requests."""
    canary = [f"canary{n:02d}x{hashlib.sha256(bytes([n])).hexdigest()[:8]}" for n in range(50)]
    with open_firm(tmp_path) as firm:
        ann = firm.phones["Ann"]
        texts = iter(canary)
        firm.send("Ann", "job_a", *(ann.title("job_a", next(texts)) for _ in range(3)))
        for _ in range(5):
            room = ann.add("job_a", next(texts), kind="room", name=next(texts))
            firm.send("Ann", "job_a", room)
        bad = {"lines": [next(texts) for _ in range(5)]}
        assert firm.ask("Ann", "POST", "/api/jobs/job_a/events", json=bad).status_code == 200
        for _ in range(3):
            body = {"name": next(texts), "password": next(texts)}
            assert firm.client.post("/api/login", json=body).status_code == 401
            new = {"name": next(texts), "role": "crew", "password": next(texts) + " long enough"}
            assert firm.ask("Olga", "POST", "/api/accounts", json=new).status_code == 201
        for _ in range(3):
            assert firm.ask("Ann", "POST", "/api/devices", json={"name": next(texts)})
            firm.ask("Ann", "GET", f"/api/jobs/{next(texts)}", params={"q": next(texts)})
            firm.client.get(f"/{next(texts)}", headers={"user-agent": next(texts)})
        firm.client.get("/", headers={"authorization": f"Bearer {next(texts)}"})
        firm.client.get("/", headers={"cookie": f"{COOKIE}={next(texts)}"})
        firm.client.get("/", headers={"host": next(texts)})
        data = picture() + next(texts).encode()
        digest = hashlib.sha256(data).hexdigest()
        firm.ask("Ann", "PUT", f"/api/jobs/job_a/photos/{digest}", content=data)
        assert firm.ask("Olga", "POST", "/api/accounts", json={next(texts): 1}).status_code == 422
        assert list(texts) == []
        said = firm.said.getvalue()
        assert len(said.splitlines()) > 20
        private = [*canary, *firm.ids.values(), *firm.tokens.values(), room.id]
        private += [one.device for one in firm.phones.values()] + [PASSWORD, digest, "testclient"]
        assert [one for one in private if one in said] == []


def test_what_libraries_log_is_passed_on_without_their_words(
    firm: Firm, caplog: pytest.LogCaptureFixture
) -> None:
    root = logging.getLogger()
    before = root.handlers, {name: logging.getLogger(name).handlers for name in ("uvicorn.error",)}
    try:
        logs.take_over(firm.desk.log)
        try:
            raise ValueError("CANARY")
        except ValueError:
            logging.getLogger("uvicorn.error").exception("CANARY %s", "CANARY")
        logging.getLogger("uvicorn.error").warning("CANARY")
    finally:
        root.handlers = before[0]
        for name, handlers in before[1].items():
            logging.getLogger(name).handlers = handlers
    last = firm.log()[-2:]
    assert [one["library"] for one in last] == ["uvicorn.error"] * 2
    assert last[0]["error"] == "ValueError"
    assert "CANARY" not in firm.said.getvalue()


def test_the_bodies_of_other_protocols_are_closed(firm: Firm) -> None:
    sent: list[Any] = []

    async def send(message: Any) -> None:
        sent.append(message)

    run_alone(frame.Frame(None, firm.desk)({"type": "websocket"}, None, send))
    assert sent == [{"type": "websocket.close", "code": 1008}]
