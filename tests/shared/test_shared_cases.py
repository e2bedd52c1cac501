"""The cases that both languages answer are those that the program answers now."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from types import ModuleType

import pytest

from wainscot.languages import languages

HERE = Path(__file__).parent
WEB = HERE.parents[1] / "web"


def _loaded(path: Path) -> ModuleType:
    spec = importlib.util.spec_from_file_location(f"_shared_{path.stem}", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


make = _loaded(HERE / "make.py")


@pytest.mark.parametrize("name", sorted(make.CASES))
def test_the_program_still_answers_the_shared_cases_as_written(name: str) -> None:
    assert (HERE / f"{name}.json").read_text(encoding="utf-8") == make.text_of(name)


def test_the_app_has_the_kinds_that_the_program_has() -> None:
    kinds = _loaded(WEB / "from_python.py")
    assert kinds.TARGET.read_text(encoding="utf-8") == kinds.made()
    assert kinds.PERSONAL_FIELDS.read_text(encoding="utf-8") == kinds.personal()
    assert kinds.PAPERS.read_text(encoding="utf-8") == kinds.paper_kinds()


def test_the_app_asks_the_first_call_in_the_words_of_its_paper() -> None:
    from_python = _loaded(WEB / "from_python.py")
    assert from_python.CALL_SHEET.read_text(encoding="utf-8") == from_python.call_words()


def test_the_app_has_the_answers_that_the_server_describes() -> None:
    from_python = _loaded(WEB / "from_python.py")
    assert from_python.ANSWERS.read_text(encoding="utf-8") == from_python.answers()


def test_the_app_has_the_phrases_that_the_program_has() -> None:
    from_python = _loaded(WEB / "from_python.py")
    for language in languages():
        written = from_python.phrases_file(language).read_text(encoding="utf-8")
        assert written == from_python.phrases(language)
