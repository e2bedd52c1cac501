"""A phone joins by a code from a screen that is logged in."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from firm import ALONE, ORIGIN, Firm, Phone, limited, open_firm

from wainscot.api.joins import LASTS, Joins, spelled
from wainscot.record import line_of

OWN = "device_0123456789"


def _made(firm: Firm, name: str, **more: str) -> dict[str, Any]:
    got = firm.ask(name, "POST", "/api/joins", json=more)
    assert got.status_code == 201, got.text
    told: dict[str, Any] = got.json()
    return told


def _join(firm: Firm, code: str, device: str = "") -> Any:
    firm.client.cookies.clear()
    body = {"code": code, "name": "van phone", "device": device}
    return firm.client.post("/api/join", json=body, headers={"origin": ORIGIN})


def test_a_phone_joins_by_a_code_and_writes_under_the_id_it_had(firm: Firm) -> None:
    made = _made(firm, "Olga", account=firm.ids["Ann"])
    assert made["link"] == f"{ORIGIN}/#/join/{made['code'].replace('-', '')}"
    assert made["picture"].startswith("data:image/svg+xml;base64,")
    me = _join(firm, made["code"].lower().replace("-", " "), OWN).json()
    assert (me["account"], me["device"], me["token"]) == (firm.ids["Ann"], OWN, "")
    assert firm.client.get("/api/me").json()["device"] == OWN
    written = Phone(OWN).title("job_a", "Mill house")  # before it joined, as far as anyone knows
    body = {"lines": [line_of(written).decode()]}
    sent = firm.client.post("/api/jobs/job_a/events", json=body, headers={"origin": ORIGIN}).json()
    assert sent["added"] == [written.id]


def test_a_code_serves_once_and_for_its_minutes(firm: Firm) -> None:
    code = _made(firm, "Ann")["code"]
    assert _join(firm, code).status_code == 200
    again = _join(firm, code)
    assert (again.status_code, again.json()["code"]) == (401, "wrong-code")
    joins = Joins()
    late = joins.make("acc", 0.0)
    assert joins.take(late, LASTS) == ""
    before = joins.make("acc", 0.0)
    assert joins.make("acc", 1.0) != before
    assert joins.take(spelled(before), 2.0) == ""  # a newer code ends the one before


def test_only_the_office_makes_codes_for_others(firm: Firm) -> None:
    other = {"account": firm.ids["Ben"]}
    assert firm.ask("Ann", "POST", "/api/joins", json=other).status_code == 403
    assert firm.ask("Lea", "POST", "/api/joins", json=other).status_code == 403
    assert _made(firm, "Olga", **other)["name"] == "Ben"
    assert firm.ask("Olga", "POST", "/api/joins", json={"account": "acc_x"}).status_code == 404


def test_an_account_that_was_shut_meanwhile_lets_nobody_in(firm: Firm) -> None:
    code = _made(firm, "Olga", account=firm.ids["Ben"])["code"]
    firm.accounts.set_disabled("Ben", disabled=True)
    assert _join(firm, code).status_code == 401


def test_no_device_takes_an_id_that_another_has_or_wrote_under(firm: Firm) -> None:
    firm.append(Phone(OWN).title("job_b", "Barn"))
    assert _join(firm, _made(firm, "Ann")["code"], OWN).json()["device"] != OWN
    free = "device_abcdefghjk"
    assert _join(firm, _made(firm, "Ann")["code"], free).json()["device"] == free
    assert _join(firm, _made(firm, "Ben")["code"], free).json()["device"] != free


def test_guessing_is_bounded(tmp_path: Path) -> None:
    with open_firm(tmp_path, limits=limited(tries=1)) as firm:
        told = [_join(firm, "AAAAA-AAAA2").status_code for _ in range(4)]
    assert told == [401, 401, 401, 429]


def test_one_person_on_one_machine_connects_nobody(tmp_path: Path) -> None:
    with open_firm(tmp_path, login=False) as firm:
        got = firm.client.post("/api/joins", json={}, headers={"origin": ALONE})
        assert got.status_code == 403
        assert "--lan" in got.json()["detail"]
