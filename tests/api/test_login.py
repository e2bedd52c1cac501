"""Coming in and being shut out, over HTTP."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import httpx
from firm import ALONE, ORIGIN, PASSWORD, Firm, limited, open_firm

from wainscot.api.frame import COOKIE


def _login(firm: Firm, name: str, **more: object) -> dict[str, str]:
    body = {"name": name, "password": PASSWORD, **more}
    got = firm.client.post("/api/login", json=body, headers={"origin": ORIGIN})
    assert got.status_code == 200, got.text
    told: dict[str, str] = got.json()
    return told


def test_a_browser_comes_in_by_cookie_and_goes_out_again(firm: Firm) -> None:
    assert _login(firm, "ann")["role"] == "crew"
    assert firm.client.get("/api/me").json()["name"] == "Ann"
    assert firm.client.post("/api/logout", headers={"origin": ORIGIN}).status_code == 204
    assert firm.client.get("/api/me").json()["role"] == "nobody"


def test_a_program_comes_in_by_token(firm: Firm) -> None:
    token = _login(firm, "Ann", token=True)["token"]
    assert COOKIE not in firm.client.cookies
    head = {"authorization": f"Bearer {token}"}
    assert firm.client.get("/api/me", headers=head).json()["account"] == firm.ids["Ann"]
    firm.time += timedelta(hours=13)
    assert firm.client.get("/api/me", headers=head).json()["role"] == "nobody"
    assert firm.client.get("/api/jobs", headers=head).status_code == 401


def test_a_browser_becomes_a_device_and_stays(firm: Firm) -> None:
    _login(firm, "Ann")
    got = firm.client.post("/api/devices", json={"name": "tablet"}, headers={"origin": ORIGIN})
    assert (got.status_code, got.json()["token"]) == (201, "")
    firm.time += timedelta(days=60)
    me = firm.client.get("/api/me").json()
    assert (me["name"], me["device"]) == ("Ann", got.json()["id"])
    assert firm.accounts.set_password("Ann", "several bricks of it") == 0  # no session was left
    firm.accounts.revoke(me["device"], at=firm.desk.now())
    assert firm.client.get("/api/jobs").status_code == 401


def test_a_program_registers_a_device_and_is_told_its_token_once(firm: Firm) -> None:
    got = firm.ask("Ann", "POST", "/api/devices", json={"name": "van", "token": True}).json()
    head = {"authorization": f"Bearer {got['token']}"}
    assert firm.client.get("/api/me", headers=head).json()["device"] == got["id"]
    listed = firm.ask("Ann", "GET", "/api/devices").json()
    assert [one["token"] for one in listed] == ["", ""]


def test_the_office_shuts_out_lets_in_and_promotes(firm: Firm) -> None:
    path = f"/api/accounts/{firm.ids['Ann']}"
    told = firm.ask("Olga", "PATCH", path, json={"disabled": True}).json()
    assert told["disabled"] is True
    assert firm.ask("Ann", "GET", "/api/jobs").status_code == 401
    told = firm.ask("Olga", "PATCH", path, json={"disabled": False, "role": "lead"}).json()
    assert (told["disabled"], told["role"]) == (False, "lead")
    assert len(firm.ask("Ann", "GET", "/api/jobs").json()["jobs"]) == 2
    firm.ask("Olga", "PATCH", path, json={"password": "another good password"})
    body = {"name": "Ann", "password": PASSWORD}
    assert firm.client.post("/api/login", json=body).status_code == 401
    assert firm.ask("Olga", "PATCH", "/api/accounts/acc_none", json={}).status_code == 404
    assert len(firm.ask("Olga", "GET", "/api/accounts").json()) == 4
    bad = {"name": "Ann", "role": "crew", "password": "long enough for it"}
    assert firm.ask("Olga", "POST", "/api/accounts", json=bad).status_code == 409


def test_one_changes_ones_own_password_and_the_other_logins_end(firm: Firm) -> None:
    here, there = (_login(firm, "Ann", token=True)["token"] for _ in range(2))
    path, new = "/api/me/password", "several bricks of it"

    def asked(token: str, present: str, password: str) -> httpx.Response:
        body = {"present": present, "password": password}
        return firm.client.put(path, headers={"authorization": f"Bearer {token}"}, json=body)

    wrong = asked(here, "not the present one", new)
    assert (wrong.status_code, wrong.json()["code"]) == (422, "wrong-password")
    refused = [asked(here, PASSWORD, one).json()["code"]
               for one in ("1qaz2wsx3edc", "Ann, Mill, 2025", "short")]  # fmt: skip
    assert refused == ["common-password", "own-password", "password-length"]
    assert asked(here, PASSWORD, new).json() == {"ended": 1, "devices": 1}
    roles = [firm.client.get("/api/me", headers={"authorization": f"Bearer {one}"}).json()["role"]
             for one in (here, there, firm.tokens["Ann"])]  # fmt: skip
    assert roles == ["crew", "nobody", "crew"]
    body = {"name": "Ann", "password": new}
    assert firm.client.post("/api/login", json=body).status_code == 200


def test_guessing_the_present_password_is_held_back_as_at_login(tmp_path: Path) -> None:
    with open_firm(tmp_path, limits=limited(tries=3)) as firm:
        body = {"present": "a guess of another", "password": "several bricks of it"}
        codes = [firm.ask("Ann", "PUT", "/api/me/password", json=body) for _ in range(4)]
        assert [one.status_code for one in codes] == [422, 422, 422, 429]
        seconds = codes[-1].headers["retry-after"]
        assert int(seconds) > 0
        assert codes[-1].json()["detail"] == f"try again in {seconds} seconds"
        right = {"present": PASSWORD, "password": "several bricks of it"}
        assert firm.ask("Ann", "PUT", "/api/me/password", json=right).status_code == 429
        assert firm.accounts.check("Ann", PASSWORD)


def test_the_office_gives_nobody_a_common_password(firm: Firm) -> None:
    bad = {"name": "Zoe", "role": "crew", "password": "qwertyuiop123"}
    got = firm.ask("Olga", "POST", "/api/accounts", json=bad)
    assert (got.status_code, got.json()["code"]) == (422, "common-password")
    path = f"/api/accounts/{firm.ids['Ann']}"
    got = firm.ask("Olga", "PATCH", path, json={"password": "Ann wainscot 2025"})
    assert (got.status_code, got.json()["code"]) == (422, "own-password")
    assert firm.accounts.check("Ann", PASSWORD)


def test_alone_there_is_nobody_to_log_in(tmp_path: Path) -> None:
    with open_firm(tmp_path, login=False) as firm:
        body = {"name": "x", "password": "y"}
        assert firm.client.post("/api/login", json=body).json()["role"] == "alone"
        assert firm.client.post("/api/logout").status_code == 204
        assert firm.client.post("/api/devices", json={"name": "x"}).status_code == 403
        assert firm.client.get("/api/devices").json() == []
        body = {"present": "x", "password": "several bricks of it"}
        assert firm.client.put("/api/me/password", json=body).status_code == 403
        assert firm.client.get("/", headers={"host": ALONE[7:]}).status_code == 200
