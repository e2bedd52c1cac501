"""The page that a link opens, in a browser: what its reader sees, and where the key goes."""

from __future__ import annotations

import asyncio
import gzip
import json
import socket
import threading
from collections.abc import Iterator
from pathlib import Path

import msgspec
import pytest
import uvicorn
from firm import NOW, Firm
from playwright.sync_api import Browser, Page

from wainscot.store import MadePaper, keep_paper

PDF = b"%PDF-1.7 the quote"
PAGES = [
    f'<svg xmlns="http://www.w3.org/2000/svg" width="210" height="297"><rect width="{n}"/></svg>'
    for n in (100, 200)
]


@pytest.fixture(scope="module")
def firm(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Firm]:
    """A firm whose server listens on this machine, without TLS: the page needs none."""
    made = Firm(tmp_path_factory.mktemp("firm"))
    with socket.create_server(("127.0.0.1", 0)) as listening:
        made.base = f"http://127.0.0.1:{listening.getsockname()[1]}"
        made.desk.settings = msgspec.structs.replace(made.desk.settings, origins=(made.base,))
        server = uvicorn.Server(uvicorn.Config(made.app, lifespan="off", log_config=None))
        run = threading.Thread(target=asyncio.run, args=(server.serve([listening]),))
        run.start()
        yield made
        server.should_exit = True
        run.join()
    made.desk.close()


@pytest.fixture(scope="module")
def page(made: Browser) -> Iterator[Page]:
    context = made.new_context(viewport={"width": 390, "height": 844}, locale="en-GB",
                               timezone_id="Europe/London")  # fmt: skip
    yield context.new_page()
    context.close()


def _link(firm: Firm, language: str, title: str) -> str:
    packed = gzip.compress(json.dumps(PAGES).encode(), mtime=0)
    pdf, pages = (firm.store.blobs.put(one, received=NOW) for one in (PDF, packed))
    paper = MadePaper(f"job_{language}", pdf, "quote", language, "a4", title, pages, 2, "v", NOW)
    keep_paper(firm.store, paper)
    told = firm.desk.links.make(paper, "owner", sender="Mill & <b>Sons</b>", days=7, at=NOW)
    return f"{firm.base}/link#{told[1]}"


def test_the_reader_sees_one_paper_reads_and_saves_it(firm: Firm, page: Page) -> None:
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    address = _link(firm, "en", "Quote")
    page.goto(address)
    assert page.get_by_role("heading", name="Quote").is_visible()
    facts = page.locator("dl").inner_text()
    assert "Mill & <b>Sons</b>" in facts
    assert "21 March 2025" in facts
    small = page.locator("button:visible").evaluate_all(
        "all => all.filter(one => one.getBoundingClientRect().height < 48).length")  # fmt: skip
    assert small == 0
    page.get_by_role("button", name="Read here").click()
    page.get_by_role("img", name="Page 2 of 2").wait_for()
    assert page.evaluate("document.documentElement.scrollWidth") == 390
    with page.expect_download() as got:
        page.get_by_role("button", name="Save as a file").click()
    assert got.value.suggested_filename == "Quote.pdf"
    assert Path(got.value.path()).read_bytes() == PDF
    seen = firm.desk.links.of("job_en")[0]
    assert [one.seen for one in firm.desk.links.views("job_en", seen.id)] == [
        "opened", "read", "saved",
    ]  # fmt: skip
    token = address.partition("#")[2]
    assert token not in firm.said.getvalue() + "".join(one for one in asked if "#" not in one)
    page.get_by_role("button", name="Español").click()
    assert page.get_by_role("img", name="Página 2 de 2").is_visible()


def test_the_page_speaks_the_language_of_its_paper_and_says_when_a_link_has_ended(
    firm: Firm, page: Page
) -> None:
    page.goto("about:blank")
    page.goto(_link(firm, "es", "Presupuesto"))
    page.get_by_role("button", name="Leer aquí").wait_for()
    assert page.locator("html").get_attribute("lang") == "es"
    assert "21 de marzo de 2025" in page.locator("dl").inner_text()
    (held,) = firm.desk.links.of("job_es")
    firm.desk.links.revoke("job_es", held.id, at=NOW)
    page.get_by_role("button", name="Leer aquí").click()
    page.get_by_role("heading", name="Este enlace no funciona").wait_for()
    assert not page.get_by_text("Presupuesto").is_visible()
