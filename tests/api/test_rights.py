"""Role by route by job: who may do what, read from the app's own list of routes.

What is expected is written down here by hand, route by route, from the firm's point of view; it is
not taken from the table that the server works with.
"""

from __future__ import annotations

from typing import Any

import pytest
from firm import ALONE, Firm, open_firm
from litestar import get
from routes import ask_route, routes

from wainscot.api.app import ROUTES, make_app, routes_alone
from wainscot.errors import WainscotError

# Who is let in: n nobody, c crew on the job, x crew not on it, l lead, o office.
# Where a route is about no job, c and x are alike.
EXPECTED = {
    "GET /": "ncxlo",
    "GET /{path}": "ncxlo",
    "GET /guide": "ncxlo",
    "GET /guide/{page}": "ncxlo",
    "GET /api/openapi.json": "ncxlo",
    "GET /api/health": "ncxlo",
    "GET /api/ready": "ncxlo",
    "GET /api/me": "ncxlo",
    "POST /api/login": "ncxlo",
    "PUT /api/me/password": "cxlo",
    "POST /api/logout": "ncxlo",
    "POST /api/joins": "cxlo",
    "POST /api/join": "ncxlo",
    "GET /api/devices": "cxlo",
    "POST /api/devices": "cxlo",
    "DELETE /api/devices/{device}": "cxlo",
    "GET /api/accounts": "o",
    "POST /api/accounts": "o",
    "PATCH /api/accounts/{account}": "o",
    "GET /api/jobs": "cxlo",
    "GET /api/jobs/{job}": "clo",
    "GET /api/jobs/{job}/people": "clo",
    "GET /api/jobs/{job}/events": "clo",
    "POST /api/jobs/{job}/events": "clo",
    "POST /api/jobs/{job}/held": "clo",
    "POST /api/jobs/{job}/erase": "o",
    "PUT /api/device-key": "cxlo",
    "HEAD /api/jobs/{job}/photos/{digest}": "clo",
    "GET /api/jobs/{job}/photos/{digest}": "clo",
    "PUT /api/jobs/{job}/photos/{digest}": "clo",
    "GET /api/jobs/{job}/photos/{digest}/small": "clo",
    "POST /api/jobs/{job}/walks": "clo",
    "GET /api/jobs/{job}/walks/{walk}": "clo",
    "GET /api/jobs/{job}/walks/{walk}/answer": "clo",
    "GET /api/jobs/{job}/walks/{walk}/pocket": "clo",
    "GET /api/jobs/{job}/walks/{walk}/progress": "clo",
    "GET /api/jobs/{job}/walks/{walk}/paper": "clo",
    "POST /api/jobs/{job}/sheets": "clo",
    "GET /api/jobs/{job}/outlines": "clo",
    "POST /api/jobs/{job}/cuts": "clo",
    "GET /api/jobs/{job}/papers": "clo",
    "POST /api/jobs/{job}/papers": "clo",
    "GET /api/jobs/{job}/papers/{digest}": "clo",
    "GET /api/jobs/{job}/papers/{digest}/pages": "clo",
    "POST /api/jobs/{job}/links": "lo",
    "GET /api/jobs/{job}/links": "lo",
    "GET /api/jobs/{job}/links/{link}": "lo",
    "DELETE /api/jobs/{job}/links/{link}": "lo",
    "GET /link": "ncxlo",
    "GET /link/{page}": "ncxlo",
    "POST /api/link": "ncxlo",
    "POST /api/link/pages": "ncxlo",
    "POST /api/link/paper": "ncxlo",
    "GET /api/office/jobs": "cxlo",
    "GET /api/office/search": "cxlo",
    "GET /api/office/rates": "o",
    "POST /api/office/rates/try": "o",
    "PUT /api/office/rates": "o",
    "GET /api/office/backup": "lo",
    "POST /api/heads": "lo",
    "GET /api/heads": "lo",
    "GET /api/office/score": "lo",
    "GET /api/events": "lo",
    "GET /api/status": "lo",
    "GET /api/put-aside": "lo",
    "POST /api/backup": "lo",
    "GET /api/everything": "o",
    "POST /api/everything": "o",
}


def test_every_route_of_the_app_is_expected_and_no_other() -> None:
    assert sorted(routes()) == sorted(EXPECTED)


def test_every_route_declares_a_need(tmp_path: Any) -> None:
    @get("/api/open", sync_to_thread=False)
    def forgotten() -> str:
        return ""

    @get("/api/odd", opt={"need": "to know"}, sync_to_thread=False)
    def unknown() -> str:
        return ""

    for bad in (forgotten, unknown):
        with pytest.raises(WainscotError, match="declares no need"):
            routes_alone([*ROUTES, bad])
    with open_firm(tmp_path) as firm, pytest.raises(WainscotError, match="declares no need"):
        make_app(firm.desk, [forgotten])


WHO = {"n": "", "c": "Ann", "x": "Ben", "l": "Lea", "o": "Olga"}


def _asked(firm: Firm, name: str, route: str) -> int:
    code = ask_route(firm, name, route).status_code
    assert code < 500
    return code


@pytest.mark.parametrize("who", WHO)
def test_who_is_let_in_where(firm: Firm, who: str) -> None:
    let_in = {}
    for route in EXPECTED:
        code = _asked(firm, WHO[who], route)
        refused = code in (401, 403)
        # Password and code were wrong; the routes themselves are open.
        if route in ("POST /api/login", "POST /api/join"):
            refused = False
        assert not refused or code == (401 if who == "n" else 403), route
        let_in[route] = not refused
    firm.desk.walks.close()
    assert let_in == {route: who in expected for route, expected in EXPECTED.items()}


def test_a_lead_and_the_office_reach_jobs_that_they_are_not_on(firm: Firm) -> None:
    for name in ("Lea", "Olga"):
        assert firm.ask(name, "GET", "/api/jobs/job_b").status_code == 200
    assert firm.ask("Ann", "GET", "/api/jobs/job_b").json()["code"] == "not-on-job"
    assert firm.ask("Ann", "GET", "/api/jobs/job_none").json()["code"] == "not-on-job"
    assert firm.ask("Lea", "GET", "/api/jobs/job_none").json()["code"] == "not-found"


def test_alone_on_this_machine_everything_is_open(tmp_path: Any) -> None:
    with open_firm(tmp_path, login=False) as firm:
        for route in EXPECTED:
            assert _asked(firm, "", route) not in (401,), route
        assert firm.base == ALONE
        assert firm.client.get("/api/me").json()["role"] == "alone"


def test_who_is_put_on_a_job_reaches_it_and_who_is_taken_off_does_not(firm: Firm) -> None:
    lea = firm.phones["Lea"]
    assert firm.ask("Ben", "GET", "/api/jobs").json()["jobs"] == []
    firm.send("Lea", "job_b", lea.add("job_b", "crew_1", kind="crew", who=firm.ids["Ben"]))
    assert [one["id"] for one in firm.ask("Ben", "GET", "/api/jobs").json()["jobs"]] == ["job_b"]
    assert firm.ask("Ben", "GET", "/api/jobs/job_b").status_code == 200
    firm.send("Lea", "job_b", lea.write("job_b", "withdraw", entity="crew_1"))
    assert firm.ask("Ben", "GET", "/api/jobs/job_b").status_code == 403


def test_crew_cannot_say_who_is_on_a_job(firm: Firm) -> None:
    ann = firm.phones["Ann"]
    tries = [
        ann.add("job_a", "crew_2", kind="crew", who=firm.ids["Ben"]),
        ann.write("job_a", entity="crew_1", field="who", value=firm.ids["Ben"]),
        ann.write("job_a", "withdraw", entity="crew_1"),
        ann.add("job_a", "room_1", kind="room", name="Hall"),
        ann.write("job_a", entity="room_1", field="kind", value="crew"),
    ]
    told = firm.send("Ann", "job_a", *tries)
    # The room is barred too in a batch that would make it something else.
    assert told["tally"] == {"sent": 5, "added": 0, "known": 0, "refused": 0, "barred": 5}
    assert firm.ask("Ben", "GET", "/api/jobs/job_a").status_code == 403
    assert firm.send("Ann", "job_a", tries[3])["tally"]["added"] == 1
    assert firm.send("Ann", "job_a", tries[4])["tally"]["barred"] == 1


def test_each_sees_and_revokes_their_own_devices_and_the_office_all(firm: Firm) -> None:
    def listed(name: str) -> set[str]:
        return {one["account"] for one in firm.ask(name, "GET", "/api/devices").json()}

    assert listed("Ann") == {firm.ids["Ann"]}
    assert listed("Lea") == {firm.ids["Lea"]}
    assert listed("Olga") == set(firm.ids.values())
    bens = firm.phones["Ben"].device
    assert firm.ask("Ann", "DELETE", f"/api/devices/{bens}").status_code == 404
    assert firm.ask("Ben", "GET", "/api/jobs").status_code == 200
    assert firm.ask("Olga", "DELETE", f"/api/devices/{bens}").status_code == 200
    assert firm.ask("Ben", "GET", "/api/jobs").json()["code"] == "no-login"


def test_crew_is_told_the_names_of_who_is_on_the_job_and_of_nobody_else(firm: Firm) -> None:
    lea = firm.phones["Lea"]
    firm.send("Lea", "job_a", lea.title("job_a", "Mill house"))
    told = firm.ask("Ann", "GET", "/api/jobs/job_a/people").json()
    assert [one["name"] for one in told["accounts"]] == ["Ann", "Lea"]
    assert [(one["id"], one["account"]) for one in told["devices"]] == [
        (lea.device, firm.ids["Lea"])
    ]
    everybody = firm.ask("Olga", "GET", "/api/jobs/job_a/people").json()["accounts"]
    assert {one["name"] for one in everybody} == {"Ann", "Ben", "Lea", "Olga"}
