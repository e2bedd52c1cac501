"""Who is on a job, kept up as events arrive, is what folding the whole job says."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from firm import NOW, Phone, lines

from wainscot.api.rights import on_job
from wainscot.api.roster import Roster
from wainscot.store import Store


@pytest.mark.parametrize("seed", range(4))
def test_it_says_what_the_whole_job_says(tmp_path: Path, seed: int) -> None:
    source = random.Random(seed)
    store = Store.create(tmp_path / "record", device="office")
    roster = Roster(store)
    phones = [Phone("phone_1"), Phone("phone_2")]
    waiting = []
    for n in range(120):
        phone, key = source.choice(phones), f"e{source.randrange(6)}"
        kind = source.choice(["crew", "room"])
        who = f"acc_{source.randrange(3)}"
        waiting.append(source.choice([
            lambda p=phone, k=key, d=kind, w=who: p.add("job", k, kind=d, who=w),
            lambda p=phone, k=key, d=kind: p.write("job", entity=k, field="kind", value=d),
            lambda p=phone, k=key, w=who: p.write("job", entity=k, field="who", value=w),
            lambda p=phone, k=key: p.write("job", "withdraw", entity=k),
            lambda p=phone, m=n: p.title("job", f"title {m}"),
        ])())  # fmt: skip
        if source.random() < 0.4:
            source.shuffle(waiting)  # they arrive in any order
            store.append(lines(*waiting), received=NOW)
            waiting.clear()
            known, job = roster.of("job"), store.job("job")
            assert known.accounts == on_job(job)
            assert known.title == job.title
            assert roster.of("job") is known
    assert roster.of("none").accounts == frozenset()
    assert list(roster._kept) == ["job"]  # whoever asks for what is no job fills no memory
    store.close()


def test_photos_that_another_host_erased_go_here_too(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    here = Store.create(tmp_path / "record", device="office")
    there = Store.open(tmp_path / "record", now=NOW)
    phone, calls = Phone("phone"), list[int]()
    here.append(lines(phone.title("job", "Mill")), received=NOW)
    roster = Roster(here)
    assert roster.of("job").title == "Mill"
    monkeypatch.setattr(here.blobs, "forget_erased", lambda: calls.append(1))
    gone = phone.add("job", "x", kind="erased", photos=["ab" * 32], at=NOW)
    there.append(lines(gone), received=NOW)
    for _ in range(2):
        assert roster.of("job").title == "Mill"
    assert calls == [1]
    there.append(lines(phone.title("job", "Barn")), received=NOW)
    assert (roster.of("job").title, calls) == ("Barn", [1])
    for store in (here, there):
        store.close()
