"""The app's own files, the guide, and whether the server says truly how it is."""

from __future__ import annotations

import json
import sys
from collections import namedtuple
from pathlib import Path
from typing import Any

import pytest
from firm import Firm, open_firm, run_alone

from wainscot.api import jobs, openapi
from wainscot.api.app_files import app_files
from wainscot.api.frame import Frame
from wainscot.api.guide import Guide, Plain
from wainscot.store import StoreError


def test_the_apps_files_are_given_by_their_names_and_nothing_beside_them(
    firm: Firm, tmp_path: Path
) -> None:
    folder = tmp_path / "static"
    (folder / "assets").mkdir(parents=True)
    (folder / "index.html").write_text("<!doctype html>the app")
    (folder / "assets" / "kernel.wasm").write_bytes(b"\0asm")
    (tmp_path / "secret.txt").write_text("CANARY")
    firm.desk.files = {}
    assert "not part of this installation" in firm.client.get("/").text
    firm.desk.files = app_files(folder)
    assert firm.client.get("/").text == "<!doctype html>the app"
    got = firm.client.get("/assets/kernel.wasm")
    assert (got.content, got.headers["content-type"]) == (b"\0asm", "application/wasm")
    for path in ("/../secret.txt", "/..%2fsecret.txt", "/assets/../../secret.txt", "/assets"):
        got = firm.client.get(path)
        assert got.status_code == 404
        assert "CANARY" not in got.text
    assert app_files(tmp_path / "none") == {}


def test_the_guide_is_given_with_and_without_tls_and_nothing_else_without(firm: Firm) -> None:
    assert firm.client.get("/guide").status_code == 404
    firm.desk.guide = Guide("mill.local", "https://mill.local:8443", "http://x/guide", b"0", "AA")
    assert "AA" in firm.client.get("/guide").text
    assert firm.client.get("/guide/address.svg").headers["content-type"] == "image/svg+xml"
    told: list[Any] = []

    async def send(message: Any) -> None:
        told.append(message)

    def asked(path: str, method: str = "GET", kind: str = "http") -> list[Any]:
        told.clear()
        assert firm.desk.guide is not None
        scope = {"type": kind, "path": path, "method": method}
        run_alone(Plain(firm.desk.guide)(scope, None, send))
        return list(told)

    for path in ("/", "/guide", "/guide/", "/guide/certificate.crt"):
        assert asked(path)[0]["status"] == 200
    assert asked("/guide", "HEAD")[1]["body"] == b""
    for path, method in (("/api/jobs", "GET"), ("/guide", "POST"), ("/guide/../x", "GET")):
        assert asked(path, method)[0]["status"] == 404
    assert asked("/guide", kind="websocket") == []


def test_it_says_that_it_is_not_ready_when_it_is_not(
    firm: Firm, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert firm.client.get("/api/ready").status_code == 200
    usage = namedtuple("usage", "free")
    monkeypatch.setattr(jobs.shutil, "disk_usage", lambda _: usage(1000))
    assert "nearly full" in firm.client.get("/api/ready").json()["why"]
    monkeypatch.undo()

    def broken() -> str:
        raise StoreError("damaged")

    monkeypatch.setattr(firm.desk, "record", broken)
    got = firm.client.get("/api/ready")
    assert (got.status_code, got.json()["why"]) == (503, "the record cannot be read")
    assert firm.client.get("/api/health").json()["ok"] is True


def test_an_export_that_breaks_off_leaves_nothing_behind(
    firm: Firm, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object, **__: object) -> str:
        raise StoreError("no room")

    monkeypatch.setattr(jobs, "export_everything", broken)
    assert firm.ask("Olga", "GET", "/api/everything").status_code == 409
    assert not list(firm.store.layout.folder.glob(".sending-*"))


def test_what_fails_outside_every_route_is_answered_too(firm: Firm) -> None:
    async def broken(*_: object) -> None:
        raise KeyError("CANARY")

    sent: list[Any] = []

    async def send(message: Any) -> None:
        sent.append(message)

    host = firm.base.split("://")[1].encode()
    scope = {"type": "http", "method": "GET", "path": "/", "headers": [(b"host", host)]}
    run_alone(Frame(broken, firm.desk)(scope, None, send))
    assert sent[0]["status"] == 500
    assert b"CANARY" not in sent[1]["body"]
    assert "CANARY" not in firm.said.getvalue()


def test_the_description_is_written_to_a_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "argv", ["openapi", str(tmp_path / "openapi.json")])
    openapi.main()
    written = (tmp_path / "openapi.json").read_bytes()
    assert json.loads(written)["openapi"].startswith("3.1")
    with open_firm(tmp_path) as firm:
        assert firm.client.get("/api/openapi.json").content == written
