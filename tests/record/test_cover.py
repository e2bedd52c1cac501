"""Personal texts are outside the hash: covered, put back, gone; signatures stand beside the id."""

from __future__ import annotations

import hashlib
import json
from itertools import count
from typing import Any, get_args, get_origin, get_type_hints

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from wainscot.job import KINDS, PERSONAL, Find, Job
from wainscot.record import (
    Beside,
    Event,
    RecordError,
    cover,
    diff,
    event,
    event_of,
    fold,
    hashes_in,
    joined,
    line_of,
    parted,
    sent_of,
    uncover,
)

NOT_PERSONAL = {
    "along", "amount", "against", "air", "application", "at", "basis", "beyond", "build", "closes",
    "contact_time", "country", "dilution", "direction", "entity", "fetched_at", "field",
    "freshness", "grade", "hold", "humidity", "image", "inspect_at", "joins", "kind", "label",
    "material", "method", "next_at", "of", "open_end", "opening", "part", "photo", "price",
    "product", "question", "registration", "room", "rule", "same_trace_as", "side", "species",
    "because", "built_of", "digest", "outcome", "paper", "reads", "role", "state", "storey",
    "surface", "version", "trap", "type", "warranty_until", "what", "windows",
}  # fmt: skip
"""Text fields that hold ids, dates, amounts and words of a list."""


def _salts() -> Any:
    numbers = count()
    return lambda: hashlib.sha256(str(next(numbers)).encode()).hexdigest()


def _added(value: dict[str, Any]) -> Event:
    hidden, opened = cover(value)
    return event("add", job="job_a", device="van", seq=1, prev="", at="2025-03-14T09:30Z",
                 entity="r", value=hidden, opened=opened)  # fmt: skip


def _is_text(hint: Any) -> bool:
    if get_origin(hint) is list:
        return get_args(hint) == (str,)
    return hint is str


@pytest.mark.parametrize("kind", [*KINDS.values(), Find], ids=lambda kind: kind.__name__)
def test_every_text_field_is_personal_or_is_said_not_to_be(kind: Any) -> None:
    lists = {"texts", "photos", "openings", "surfaces", "protection", "given_up", "twice",
             "cannot_wait", "declined", "not_seen"}  # fmt: skip
    texts = {name for name, hint in get_type_hints(kind).items() if _is_text(hint)}
    assert texts <= PERSONAL | NOT_PERSONAL | lists


texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
plain = st.recursive(
    st.none() | st.booleans() | st.integers(-9, 9) | texts,
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from(["note", "by", "kind", "finds", "who", "at"]), inner)
    ),
    max_leaves=12,
)


@given(plain, st.sampled_from(["note", "at"]))
def test_what_is_covered_comes_back_and_holds_no_personal_text(value: Any, field: str) -> None:
    hidden, opened = cover(value, field=field)
    assert uncover(hidden, opened, field) == value
    assert set(hashes_in(hidden)) == set(opened)
    assert cover(hidden, field=field) == (hidden, {})  # nothing is left to cover
    salted = {
        hashlib.sha256(bytes.fromhex(salt) + json.dumps(text, ensure_ascii=False).encode())
        for salt, text in opened.values()
    }
    assert {one.hexdigest() for one in salted} == set(opened)


def test_the_same_text_twice_has_two_hashes() -> None:
    assert len(cover(["Ana", "Ana"], field="who")[1]) == 2


def test_the_id_does_not_depend_on_what_stands_beside() -> None:
    full = _added({"kind": "room", "name": "Ana's room"})
    bare = msgspec.structs.replace(full, beside=Beside("ab" * 32, "cd" * 64))
    assert b"Ana" not in line_of(full)
    assert line_of(full) == line_of(bare)
    assert fold([full], "job_a").entities["r"]["name"] == "Ana's room"
    assert fold([bare], "job_a").entities["r"]["name"] == "(erased)"


def test_a_line_is_parted_as_it_was_joined() -> None:
    one = _added({"kind": "room", "name": 'Zoë "},{"'})
    line = sent_of(one)
    assert parted(line) == (line_of(one), line[len(b'{"beside":') : line.index(b"}},") + 2])
    assert joined(*parted(line)) == line
    assert parted(line_of(one)) == (line_of(one), b"")
    assert event_of(json.loads(line)) == one


@pytest.mark.parametrize(
    "beside",
    [
        {"opened": {"00" * 32: ["00" * 32, "Ana"]}},
        {"opened": {"00" * 32: ["salt", "Ana"]}},
        {"key": "ab" * 32},
        {"opened": 5},
        {"unknown": 1},
    ],
)
def test_what_does_not_fit_beside_an_event_is_refused(beside: Any) -> None:
    content = json.loads(line_of(_added({"kind": "room", "name": "Ana"})))
    with pytest.raises(RecordError):
        event_of({**content, "beside": beside})


def test_another_text_under_the_same_hash_is_refused() -> None:
    content = json.loads(sent_of(_added({"kind": "room", "name": "Ana"})))
    [(key, (salt, _))] = content["beside"]["opened"].items()
    content["beside"]["opened"][key] = [salt, "Bea"]
    with pytest.raises(RecordError, match="not the one it was"):
        event_of(content)


def test_what_is_named_as_erased_reads_so_even_where_the_text_is_still_there() -> None:
    job = Job(id="job_a", title="Ana's house", entities={
        "r": {"kind": "authorisation", "openings": [], "by": "Ana", "signature": "M1 2L3 4"},
    })  # fmt: skip
    pen = {"device": "van", "at": "2025-03-14T09:30Z"}
    made = diff(Job(id="job_a"), job, seq=1, prev="", salt=_salts(), **pen)
    names = [key for one in made for key in hashes_in(one.value)]
    gone = event("add", job="job_a", device="office", seq=1, prev="", at="2025-03-15T09:30Z",
                 entity="e", value={"kind": "erased", "texts": names})  # fmt: skip
    back = event("withdraw", job="job_a", device="office", seq=2, prev=gone.id,
                 at="2025-03-16T09:30Z", entity="e")  # fmt: skip
    for order in ([*made, gone, back], [back, gone, *reversed(made)]):
        told = fold(order, "job_a")
        assert told.title == "(erased)"
        assert told.entities["r"]["by"] == "(erased)"
        assert told.entities["r"]["signature"] == ""
