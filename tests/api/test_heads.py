"""Heads given out by the server: what the commands give out, and verify takes."""

from __future__ import annotations

from firm import Firm

from wainscot.record import head_of, paper_lines
from wainscot.store import check_store, heads, signature_good


def test_a_head_given_out_by_the_server_holds(firm: Firm) -> None:
    told = firm.ask("Lea", "POST", "/api/heads").json()
    head = head_of(told["text"])
    assert heads(firm.store) == (head,)
    assert signature_good(head)
    assert tuple(told["lines"]) == paper_lines(head)
    assert told["picture"].startswith("data:image/svg+xml;base64,")
    assert "bad" not in {one.state for one in check_store(firm.store, [head])}
    again = firm.ask("Olga", "POST", "/api/heads").json()
    assert again["text"] == told["text"]
    firm.append(firm.phones["Lea"].title("job_b", "Barn, new"))
    later = firm.ask("Olga", "POST", "/api/heads").json()
    assert later["size"] == told["size"] + 1
    listed = firm.ask("Lea", "GET", "/api/heads").json()
    assert [(one["text"], one["picture"]) for one in listed] == [
        (later["text"], ""), (told["text"], ""),
    ]  # fmt: skip
