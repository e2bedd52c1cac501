"""The table of OWASP's standard is whole and true; and what only the source itself shows."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
SOURCE = ROOT / "src" / "wainscot"
WEB = ROOT / "web" / "src"
PAGE = (ROOT / "docs" / "asvs.md").read_text("utf-8")
ROWS = re.findall(r"^\| (\d[\d., ]*) \| ([^|]+) \| (yes|part|no|-) \| (.+) \|$", PAGE, re.M)

# How many items of levels 1 and 2 each section has, in ASVS 5.0.0 as in the table of the public
# repository OWASP/ASVS (5.0/docs_en, read): in each section they are the first ones.
ITEMS = {
    "1": (2, 9, 11, 3, 2), "2": (3, 3, 4, 1), "3": (0, 2, 4, 6, 5, 0, 2), "4": (3, 1, 2, 4),
    "5": (1, 3, 2, 3), "6": (3, 12, 4, 4, 5, 3, 0, 4), "7": (3, 4, 2, 5, 2, 2), "8": (2, 3, 1, 1),
    "9": (3, 4), "10": (2, 2, 4, 11, 5, 2, 3), "11": (2, 3, 3, 4, 1, 1), "12": (3, 2, 4),
    "13": (1, 5, 2, 5), "14": (2, 4, 3), "15": (3, 3, 7), "16": (1, 5, 4, 3, 3), "17": (1, 4, 2),
}  # fmt: skip


def test_every_item_of_levels_one_and_two_stands_once() -> None:
    wanted = [
        f"{chapter}.{section}.{n}"
        for chapter, sections in ITEMS.items()
        for section, many in enumerate(sections, 1)
        for n in range(1, many + 1)
    ]
    assert [one for items, *_ in ROWS for one in items.split(", ")] == wanted
    assert len(wanted) == 253


def test_the_counts_on_the_page_are_those_of_the_table() -> None:
    count = dict.fromkeys(("yes", "part", "no", "-"), 0)
    for items, _, met, _ in ROWS:
        count[met] += len(items.split(", "))
    said = f"Met: {count['yes']} yes, {count['part']} in part, {count['no']} no; "
    assert f"{said}{count['-']} do not arise." in PAGE


@cache
def _tests_of(name: str) -> set[str]:
    tree = ast.parse((ROOT / name).read_text("utf-8"))
    return {node.name for node in tree.body if isinstance(node, ast.FunctionDef)}


def test_every_test_that_is_named_is_there() -> None:
    named = re.findall(r"`(tests/[\w/]+\.py)(?:::(\w+))?`", PAGE)
    assert len(named) > 100
    for file, test in named:
        assert (ROOT / file).exists(), file
        assert not test or test in _tests_of(file), f"{file}::{test}"


def test_what_is_met_names_a_test_or_says_how_and_the_rest_says_why() -> None:
    for items, _, met, how in ROWS:
        assert len(how) > 3, items
        assert met != "no" or "`tests/" not in how.split(";")[0], items
    # Most of what is met is held by a test.
    by_test = [row for row in ROWS if row[2] == "yes" and "`tests/" in row[3]]
    assert len(by_test) > 0.8 * len([row for row in ROWS if row[2] == "yes"])


def _trees(*folders: str) -> Iterator[tuple[str, ast.Module]]:
    for folder in folders or (".",):
        for path in sorted((SOURCE / folder).rglob("*.py")):
            yield path.relative_to(SOURCE).as_posix(), _tree(path)


@cache
def _tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text("utf-8"))


@cache
def _calls(tree: ast.Module) -> tuple[tuple[str, ast.Call], ...]:
    """Return every call with the dotted name of what is called; empty where it is no name."""
    return tuple((_dotted(n.func), n) for n in ast.walk(tree) if isinstance(n, ast.Call))


def _dotted(node: ast.expr) -> str:
    if isinstance(node, ast.Attribute):
        return f"{_dotted(node.value)}.{node.attr}"
    return node.id if isinstance(node, ast.Name) else ""


@cache
def _web() -> str:
    files = sorted(one for kind in ("ts", "svelte") for one in WEB.rglob(f"*.{kind}"))
    return "\n".join(path.read_text("utf-8") for path in files)


@cache
def _imports(tree: ast.Module) -> set[str]:
    found: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found |= {one.name for one in node.names}
        elif isinstance(node, ast.ImportFrom):
            found.add(node.module or "")
    return found


TABLES = 'f"CREATE TRIGGER moved_'
"""Puts in the name of each of the record's own tables."""


def test_no_statement_is_put_together_from_text() -> None:
    """Nothing that a function is given stands in a statement; it goes beside it, as a value.

    Words of the source (the names of tables and settings) may be put in.
    """
    seen = 0
    for name, tree in _trees("store", "api"):
        for function in ast.walk(tree):
            if isinstance(function, (ast.FunctionDef, ast.AsyncFunctionDef)):
                for said, put_in in _statements(function):
                    seen += 1
                    given = {one.arg for one in ast.walk(function.args) if isinstance(one, ast.arg)}
                    assert said.startswith(TABLES) or not put_in & (given - {"self"}), (
                        f"{name}: {said}"
                    )
    assert seen >= 3


def _statements(function: ast.AST) -> Iterator[tuple[str, set[str]]]:
    """Yield the text of each statement that is put together, and the names that are put in."""
    for node in ast.walk(function):
        if (
            isinstance(node, ast.Call)
            and node.args
            and isinstance(node.func, (ast.Name, ast.Attribute))
        ):
            called, first = _dotted(node.func).split(".")[-1], node.args[0]
            made = isinstance(first, (ast.JoinedStr, ast.BinOp))
            if called in ("execute", "text", "exec_driver_sql", "executemany") and made:
                names = {one.id for one in ast.walk(first) if isinstance(one, ast.Name)}
                yield ast.unparse(first), names


def test_no_command_of_the_system_goes_through_a_shell() -> None:
    for name, tree in _trees():
        for called, call in _calls(tree):
            assert called not in ("os.system", "os.popen"), name
            assert not [one for one in call.keywords if one.arg == "shell"], name


def test_nothing_is_evaluated() -> None:
    for name, tree in _trees():
        called = {one for one, _ in _calls(tree)}
        assert not called & {"eval", "exec", "compile"}, name
        assert not _imports(tree) & {"pickle", "marshal", "shelve", "yaml"}, name
    assert not re.search(r"\beval\(|\bnew Function\(", _web())


def test_no_pattern_is_put_together_from_what_people_typed() -> None:
    """What is put into a pattern is a constant of the file, or is escaped."""
    for name, tree in _trees():
        for called, call in _calls(tree):
            if re.fullmatch(r"re\.\w+", called) and call.args and called != "re.escape":
                first = call.args[0]
                for part in ast.walk(first):
                    if isinstance(part, ast.FormattedValue):
                        put_in = ast.unparse(part.value)
                        assert put_in.isupper() or "re.escape" in put_in, (
                            f"{name}: {ast.unparse(call)}"
                        )


def test_no_screen_writes_markup_or_runs_text() -> None:
    text = _web()
    assert not re.search(r"\{@html|innerHTML|outerHTML|insertAdjacentHTML|document\.write", text)
    assert not re.search(r"javascript:", text)


def test_messages_go_to_own_workers_and_windows_only() -> None:
    text = _web()
    assert not re.search(r"\b(window|parent|opener|top)\.postMessage", text)
    assert not re.search(r"window\.addEventListener\(\s*.message", text)


def test_password_fields_are_hidden_and_take_pasting() -> None:
    text = _web()
    bound = r"(fresh\.)?(password|present|again)"
    fields = re.findall(rf"(<input[^>]*bind:value=\{{{bound}\}}[^>]*>)", text)
    assert len(fields) == 6
    assert all('type="password"' in one for one, *_ in fields)
    assert "onpaste" not in text


CALLERS = {"urllib.request", "http.client", "httpx", "requests", "aiohttp", "smtplib", "ftplib"}
BY_SETTING = {
    "obstore": ("store/bucket.py",),
    "procrastinate": ("api/queued.py", "api/working.py"),
    "psycopg": (),  # loaded by SQLAlchemy, by the address that the setting holds
}
"""What speaks to the firm's own shelf and database, and the files that may."""


def test_the_server_calls_nobody() -> None:
    for name, tree in _trees():
        found = _imports(tree)
        assert not found & CALLERS, name
        for library, files in BY_SETTING.items():
            assert name in files or library not in {one.split(".")[0] for one in found}, name


def test_no_header_of_a_proxy_is_heeded() -> None:
    whole = "\n".join(one.read_text("utf-8") for one in (SOURCE / "api").glob("*.py")).lower()
    assert "proxy_headers=false" in whole
    assert not re.search(r"['\"]x-(forwarded|real)", whole)


def test_no_file_name_in_an_answer_comes_from_a_person() -> None:
    """Names in Content-Disposition: of papers by their kind, of files by what the server made."""
    found = []
    for path in sorted((SOURCE / "api").glob("*.py")):
        for line in path.read_text("utf-8").splitlines():
            found += re.findall(r'filename="([^"]+)"', line)
    assert set(found) == {"{path.name}", "{one.kind}.pdf", "opening-sheet.pdf"}


def test_what_must_not_be_guessed_comes_from_secrets() -> None:
    for name, tree in _trees("api", "store"):
        assert "random" not in _imports(tree), name
    accounts = (SOURCE / "store" / "accounts.py").read_text("utf-8")
    # 32 bytes are 256 bits.
    assert accounts.count("secrets.token_urlsafe(32)") == 2


def test_no_weak_hash_is_used() -> None:
    for name, tree in _trees():
        for called, call in _calls(tree):
            if called == "hashlib.file_digest":
                assert ast.unparse(call.args[1]) == "'sha256'", name
            elif called.startswith("hashlib."):
                # SHA-512 is the one that Ed25519 is made with (RFC 8032, 5.1).
                assert called in ("hashlib.sha256", "hashlib.sha512"), name


def test_what_changes_something_is_no_get() -> None:
    """No route that is asked by GET calls anything of the record that writes."""
    writes = {"append", "put", "finish", "add", "add_device", "revoke", "set_role", "set_password",
              "change_password", "set_disabled", "open_session", "close_session", "take",
              "restore"}  # fmt: skip
    seen = 0
    for name, tree in _trees("api"):
        for node in ast.walk(tree):
            if not isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)):
                continue
            marks = [ast.unparse(one) for one in node.decorator_list]
            if not any(re.match(r"(get|head)\(", mark) for mark in marks):
                continue
            seen += 1
            called = {
                call.func.attr
                for call in ast.walk(node)
                if isinstance(call, ast.Call)
                and isinstance(call.func, ast.Attribute)
                and re.match(r"desk\.(store|accounts|blobs)", ast.unparse(call.func))
            }
            assert not called & writes, f"{name}: {node.name}"  # fmt: skip
    assert seen > 15


@pytest.mark.parametrize("word", ["token", "password", "code"])
def test_nothing_secret_stands_in_a_query(word: str) -> None:
    """Item 14.2.1: no secret in an address; asked of the app's own requests."""
    assert not re.search(rf"[?&]{word}=", _web())
