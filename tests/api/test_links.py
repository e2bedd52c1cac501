"""Links to one paper: who makes them, what they open, and that they open nothing else.

Every route of the app is asked with a good link's token in every place where a token may stand;
what has to come is what somebody without any token gets.
"""

from __future__ import annotations

import gzip
import hashlib
import json
import secrets
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path
from typing import Any

import httpx
import pytest
from firm import NOW, ORIGIN, START, Firm, limited, open_firm
from routes import ask_route, routes

from wainscot.api.frame import COOKIE
from wainscot.store import MadePaper, keep_paper

QUOTE = b"%PDF-1.7 the quote of the mill"
NOTICE = b"%PDF-1.7 the notice of the barn"
READERS_OWN = ("POST /api/link", "POST /api/link/pages", "POST /api/link/paper")


def _hold(firm: Firm) -> None:
    for job, title, language, content in (
        ("job_a", "Quote", "en", QUOTE), ("job_b", "Aviso", "es", NOTICE),
    ):  # fmt: skip
        pages = gzip.compress(json.dumps([f"<svg>{title}</svg>"]).encode(), mtime=0)
        pdf, drawn = (firm.store.blobs.put(one, received=NOW) for one in (content, pages))
        keep_paper(firm.store, MadePaper(job, pdf, "quote", language, "a4", title, drawn, 1, "v",
                                         NOW))  # fmt: skip


@pytest.fixture
def mill(firm: Firm) -> Firm:
    _hold(firm)
    return firm


@pytest.fixture(scope="module")
def read_only(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Firm]:
    with open_firm(tmp_path_factory.mktemp("firm"), limits=limited(tries=10_000)) as made:
        _hold(made)
        yield made


def _make(
    firm: Firm, paper: bytes = QUOTE, job: str = "job_a", who: str = "Lea", **more: Any
) -> Any:
    body = {"paper": hashlib.sha256(paper).hexdigest(), "reader": "owner", "days": 7, **more}
    return firm.ask(who, "POST", f"/api/jobs/{job}/links", json=body)


def _token(firm: Firm, *args: Any, **more: Any) -> str:
    return str(_make(firm, *args, **more).json()["address"].partition("#")[2])


def _look(firm: Firm, token: str, what: str = "") -> httpx.Response:
    return firm.ask("", "POST", f"/api/link{what}", json={"token": token})


def test_a_link_gives_its_paper_and_says_what_it_is(mill: Firm) -> None:
    made = _make(mill, days=14, sender="Mill & Sons").json()
    address, token = made["address"].split("#")
    assert address == f"{ORIGIN}/link"
    assert made["picture"].startswith("data:image/svg+xml;base64,")
    assert _look(mill, token).json() == {
        "title": "Quote", "sender": "Mill & Sons", "language": "en", "printed": NOW,
        "until": (START + timedelta(days=14)).isoformat(),
    }  # fmt: skip
    assert _look(mill, token, "/pages").json() == ["<svg>Quote</svg>"]
    got = _look(mill, token, "/paper")
    assert (got.content, got.headers["content-type"]) == (QUOTE, "application/pdf")
    assert got.headers["cache-control"] == "no-store"
    assert _look(mill, _token(mill)).json()["sender"] == "Lea"


def test_a_link_stands_for_nothing_on_any_other_route(read_only: Firm) -> None:
    firm = read_only
    token = _token(firm)
    asked = 0
    for route in routes():
        if route in READERS_OWN:
            continue
        for job in ("job_a", "job_b"):
            plain = ask_route(firm, "", route, job)
            for headers in (
                {"authorization": f"Bearer {token}"},
                {"cookie": f"{COOKIE}={token}", "origin": ORIGIN},
                {"authorization": f"Link {token}"},
            ):
                got = ask_route(firm, "", route, job, headers=headers)
                assert (got.status_code, _bare(got)) == (plain.status_code, _bare(plain)), route
                assert not any(one in got.content for one in (QUOTE, b"job_a", b"Mill")), route
                asked += 1
    assert asked == 6 * (len(routes()) - len(READERS_OWN))


def _bare(got: httpx.Response) -> Any:
    """Return what an answer says, without the number of the request and what changes by itself."""
    kind = got.headers.get("content-type", "")
    return {**got.json(), "request": ""} if "problem" in kind and got.content else kind


def test_what_is_wrong_with_a_link_is_told_to_nobody(mill: Firm) -> None:
    gone, ended, good = (_token(mill, days=days) for days in (30, 1, 30))
    revoked = mill.ask("Lea", "GET", "/api/jobs/job_a/links").json()[-1]["id"]
    assert (
        mill.ask("Olga", "DELETE", f"/api/jobs/job_a/links/{revoked}").json()["state"] == "revoked"
    )
    mill.time = START + timedelta(days=2)
    stolen = mill.tokens["Olga"]
    hashed = hashlib.sha256(good.encode()).hexdigest()
    bad = (gone, ended, good[:-1], good + "A", hashed, secrets.token_urlsafe(32), stolen, "", "ñ")
    looked = [_look(mill, one, what) for one in bad for what in ("", "/pages", "/paper")]
    told = [(one.status_code, _bare(one), _headers(one)) for one in looked]
    assert told == [told[0]] * 3 * len(bad)
    assert (told[0][0], looked[0].json()["code"]) == (404, "no-link")
    assert _look(mill, good, "/paper").content == QUOTE


def _headers(got: httpx.Response) -> dict[str, str]:
    return {name: value for name, value in got.headers.items() if name != "x-request-id"}


def test_a_link_opens_its_own_paper_whatever_else_is_named(mill: Firm) -> None:
    token = _token(mill)
    other = hashlib.sha256(NOTICE).hexdigest()
    for more in ({"paper": other}, {"job": "job_b"}):
        named = mill.ask("", "POST", "/api/link/paper", json={"token": token, **more})
        assert named.status_code == 422
        aside = mill.ask("", "POST", "/api/link/paper", json={"token": token}, params=more)
        assert aside.content == QUOTE
    # And a paper of one job is not shared from another.
    assert _make(mill, NOTICE, "job_a").json()["code"] == "not-found"


def test_who_guesses_is_held_up_and_a_good_link_is_not(tmp_path: Path) -> None:
    with open_firm(tmp_path, limits=limited(tries=2)) as firm:
        _hold(firm)
        token = _token(firm)
        codes = [_look(firm, secrets.token_urlsafe(32)).status_code for _ in range(6)]
        codes += [_look(firm, secrets.token_urlsafe(32), "/paper").status_code]
        assert codes == [404] * 6 + [429]
        held = _look(firm, "x")
        assert (held.status_code, held.json()["code"]) == (429, "too-often")
        assert int(held.headers["retry-after"]) > 0
        assert _look(firm, token).status_code == 200
        assert _look(firm, token, "/paper").content == QUOTE


def test_a_link_is_listed_with_its_views_and_is_of_one_job(mill: Firm) -> None:
    made = _make(mill).json()
    link, token = made["about"]["id"], made["address"].partition("#")[2]
    _look(mill, token)
    mill.time = START + timedelta(hours=1)
    _look(mill, token, "/pages")
    told = mill.ask("Lea", "GET", f"/api/jobs/job_a/links/{link}").json()
    assert [one["seen"] for one in told["views"]] == ["opened", "read"]
    assert told["views"][1]["at"] == told["about"]["last"] == mill.desk.now()
    listed = mill.ask("Olga", "GET", "/api/jobs/job_a/links").json()
    assert [(one["id"], one["views"], one["state"]) for one in listed] == [(link, 2, "good")]
    assert mill.ask("Lea", "GET", "/api/jobs/job_b/links").json() == []
    for method in ("GET", "DELETE"):
        assert mill.ask("Lea", method, f"/api/jobs/job_b/links/{link}").status_code == 404
    mill.time = START + timedelta(days=8)
    assert mill.ask("Lea", "GET", "/api/jobs/job_a/links").json()[0]["state"] == "ended"


def test_neither_token_nor_reader_stands_in_log_or_list(mill: Firm) -> None:
    token = _token(mill)
    _look(mill, token)
    _look(mill, token, "/pages")
    listed = mill.ask("Lea", "GET", "/api/jobs/job_a/links").text
    assert token not in mill.said.getvalue() + listed
    assert "testclient" not in listed  # the address that the test's client goes by


def test_alone_on_a_machine_no_link_is_made(tmp_path: Path) -> None:
    with open_firm(tmp_path, login=False) as firm:
        _hold(firm)
        got = _make(firm, who="")
        assert (got.status_code, got.json()["code"]) == (403, "not-allowed")
        assert "start it with --lan" in got.json()["detail"]


def test_what_is_asked_for_has_bounds(mill: Firm) -> None:
    for more in ({"days": 0}, {"days": 366}, {"reader": "neighbour"},
                 {"sender": "x" * 81}, {"more": 1}):  # fmt: skip
        assert _make(mill, **more).status_code == 422, more
    body = {"paper": "x", "reader": "owner", "days": 7}
    assert mill.ask("Lea", "POST", "/api/jobs/job_a/links", json=body).status_code == 422
    assert _make(mill, b"%PDF not held").status_code == 404


def test_the_page_of_a_link_holds_nothing_of_a_job_and_runs_no_foreign_script(mill: Firm) -> None:
    page = mill.client.get("/link")
    assert page.headers["content-type"] == "text/html; charset=utf-8"
    assert page.headers["referrer-policy"] == "no-referrer"
    assert "default-src 'none'" in page.headers["content-security-policy"]
    text = page.text
    assert "style=" not in text
    assert "onclick" not in text
    assert all(one.startswith("/link/") for one in _sources(text))
    for one in _sources(text):
        assert mill.client.get(one).status_code == 200
    assert mill.client.get("/link/link.html").status_code == 404


def _sources(text: str) -> list[str]:
    return [part.split('"')[0] for word in ('src="', 'href="') for part in text.split(word)[1:]]
