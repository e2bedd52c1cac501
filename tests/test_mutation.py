"""The study of small faults: names, digests and counting, without putting any fault in."""

from __future__ import annotations

from pathlib import Path

import pytest
from study import mutation
from study.mutation import Fault

SOURCE = '''
"""A module."""


def halved(value: float) -> float:
    """Return half."""
    return value / 2


class Shelf:
    """Holds."""

    def put(self, one: int) -> None:
        """Put one."""
        self.one = one
'''


@pytest.fixture
def tree(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Return a file of a package in a tree of its own."""
    folder = tmp_path / mutation.SOURCE / "sealing"
    folder.mkdir(parents=True)
    (folder / "shelf.py").write_text(SOURCE)
    monkeypatch.setattr(mutation, "ROOT", tmp_path)
    return folder / "shelf.py"


def test_a_digest_follows_what_a_function_does_and_not_its_layout(tree: Path) -> None:
    before = mutation.digests("sealing")
    assert set(before) == {"wainscot.sealing.shelf.halved", "wainscot.sealing.shelf.Shelf.put"}
    tree.write_text(
        SOURCE.replace("value / 2", "(value  /  2)  # why").replace("\n\n\n", "\n\n\n\n")
    )
    assert mutation.digests("sealing") == before
    tree.write_text(SOURCE.replace("value / 2", "value / 3"))
    after = mutation.digests("sealing")
    assert [name for name in before if before[name] != after[name]] == [
        "wainscot.sealing.shelf.halved"
    ]


def test_a_fault_names_its_function_and_the_function_its_file(tree: Path) -> None:
    assert mutation.function_of("wainscot.sealing.shelf.x_halved__mutmut_3") == (
        "wainscot.sealing.shelf.halved"
    )
    method = mutation.function_of("wainscot.sealing.shelf.xǁShelfǁput__mutmut_1")
    assert method == "wainscot.sealing.shelf.Shelf.put"
    assert mutation.file_of(method) == str(tree.relative_to(mutation.ROOT))
    with pytest.raises(ValueError, match="no file holds"):
        mutation.file_of("wainscot.sealing.nowhere.put")


def fault(code: int, change: str = "-    return a\n+    return None", number: int = 1) -> Fault:
    return Fault(f"wainscot.sealing.shelf.x_halved__mutmut_{number}", code, change)


def test_only_a_change_within_a_sentence_or_a_guard_is_counted_aside() -> None:
    assert fault(0, '-    say("two words", a)\n+    say("XXtwo wordsXX", a)').aside
    assert not fault(0, '-    say("two words", a)\n+    say("two words", b)').aside
    pairs = "-    return dict(zip(a, b, strict=True))"
    for put in ("strict=False", "strict=None", ""):
        assert fault(0, f"{pairs}\n+    return dict(zip(a, b, {put}))").aside
    assert not fault(0, f"{pairs}\n+    return dict(zip(a, strict=True))").aside
    assert not fault(0, '-    get("key")\n+    get("XXkeyXX")').aside


def test_counted_are_found_explained_untested_and_sentences_apart(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    change = "-    return a + 0\n+    return a - 0"
    monkeypatch.setattr(
        mutation, "explained", lambda: {f"wainscot.sealing.shelf.halved\n{change}": "the same"}
    )
    sentence = '-    say("two words")\n+    say("XXtwo wordsXX")'
    made = [
        fault(1),
        fault(3),
        fault(36),
        fault(0, change),
        fault(0),
        fault(33),
        fault(0, sentence),
    ]
    counted = mutation.summary(made)
    assert (counted["tried"], counted["aside_missed"], counted["untested"]) == (7, 1, 1)
    assert (counted["found"], counted["explained"]) == (3, 1)
    assert counted["share"] == pytest.approx(4 / 6, abs=1e-3)
    low, high = counted["share_95"]
    # Interval of E. B. Wilson (JASA 22, 1927) for 4 of 6, by its formula: 0.300 to 0.903.
    assert (low, high) == pytest.approx((0.300, 0.903), abs=2e-3)
