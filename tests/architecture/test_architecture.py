"""The shape of the program: which way imports point, what the core must not know, how large a piece may be."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from assistant.knowledge import load

ROOT = Path(__file__).resolve().parents[2]
PROGRAM = ROOT / "assistant"
FILES = sorted(p for p in PROGRAM.rglob("*.py"))

LONGEST_FUNCTION = 60
LONGEST_FILE = 500
LONG_FILES: set[str] = {"assistant/language/statement.py"}
"""Known to be longer; the list may only shrink."""
LONG_FUNCTIONS: set[str] = {"assistant/language/statement.py:_read"}

NAMED: set[str] = {
    "assistant/diagnosis/compute.py",  # the sums: what is added to what is part of the sum
    "assistant/facts/vocabulary.py",
    "assistant/safety/states.py",
    "assistant/session/session.py",
}
"""Files of the core that name a part; the list may only shrink."""

CORE = ("facts", "knowledge", "engine", "diagnosis", "planner", "safety", "session")
"""Rooms in which a part of the boat is never named: that is the rule base's business."""


def name_of(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


# ------------------------------------------------------------------------------- imports
def test_imports_point_one_way() -> None:
    pytest.importorskip("importlinter", reason="import-linter is not installed")
    command = [sys.executable, "-c", "from importlinter.cli import lint_imports_command; lint_imports_command()"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=120, check=False)
    assert done.returncode == 0, done.stdout[-3000:] + done.stderr[-1000:]
    assert "0 broken" in done.stdout


def test_the_conversation_imports_no_screen_library() -> None:
    code = (
        "import sys, assistant.cli, assistant.talk, assistant.session, assistant.begin\n"
        "assistant.begin.begin('technician', None)\n"
        "print(sorted({m.partition('.')[0] for m in sys.modules} & {'textual', 'rich', 'clips', 'pyagrum', 'numpy'}))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, timeout=60, check=False
    )
    assert (done.returncode, done.stdout.strip()) == (0, "[]"), done.stderr[-1000:]


def test_one_module_alone_knows_the_rule_engine() -> None:
    who = [name_of(p) for p in FILES if re.search(r"^\s*(from|import) durable\b", p.read_text(encoding="utf-8"), re.M)]
    assert who == ["assistant/engine/engine.py"]


def test_nothing_in_the_core_asks_the_clock_or_chance() -> None:
    for room in CORE:
        for path in sorted((PROGRAM / room).glob("*.py")):
            text = path.read_text(encoding="utf-8")
            assert not re.search(r"^\s*(from|import) (random|time|secrets|uuid)\b", text, re.M), name_of(path)
            assert not re.search(r"datetime\.now|time\.time|os\.environ|hash\(", text), name_of(path)


# ------------------------------------------------------------------------------- knowledge is data
def texts(path: Path) -> Iterator[tuple[int, str]]:
    """The string constants of a file, docstrings left out."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    documents = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef) and node.body:
            for one in node.body:
                if isinstance(one, ast.Expr) and isinstance(one.value, ast.Constant):
                    documents.add(id(one.value))
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in documents:
            yield node.lineno, node.value


def test_no_fault_is_named_in_the_program() -> None:
    faults = set(load().faults)
    found = [f"{name_of(p)}:{line} {text}" for p in FILES for line, text in texts(p) if text in faults]
    assert found == []


ORDINARY = {"repair", "supply", "helper", "boat", "bridge"}
"""Words that are more than parts, and the subjects of the circumstances around a boat."""


def named_parts() -> dict[str, list[str]]:
    parts = {p for p in load().words.parts if p not in ORDINARY}
    out: dict[str, list[str]] = {}
    for room in CORE:
        for path in sorted((PROGRAM / room).glob("*.py")):
            for line, text in texts(path):
                if text in parts or text in {f"{p}.{a}" for p in parts for a in load().words.attributes}:
                    out.setdefault(name_of(path), []).append(f"{line}: {text}")
    return out


def test_no_part_is_named_in_the_core_but_where_it_is_known() -> None:
    found = named_parts()
    assert set(found) <= NAMED, found


# ------------------------------------------------------------------------------- size
def lengths() -> Iterator[tuple[str, int]]:
    for path in FILES:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
                yield f"{name_of(path)}:{node.name}", (node.end_lineno or node.lineno) - node.lineno + 1


def test_functions_stay_short() -> None:
    long = {where: n for where, n in lengths() if n > LONGEST_FUNCTION}
    assert set(long) <= LONG_FUNCTIONS, long


def test_files_stay_small() -> None:
    long = {name_of(p): n for p in FILES if (n := len(p.read_text(encoding="utf-8").splitlines())) > LONGEST_FILE}
    assert set(long) <= LONG_FILES, long


def test_no_module_is_left_unused() -> None:
    """Every module of the core is imported by another."""
    texts_of = {p: p.read_text(encoding="utf-8") for p in FILES}
    for path in (p for p in FILES if p.relative_to(PROGRAM).parts[0] in CORE):
        module = name_of(path)[:-3].replace("/", ".").removesuffix(".__init__")
        parent, _, last = module.rpartition(".")
        wanted = re.compile(
            rf"(from|import) {re.escape(module)}\b|from {re.escape(parent)} import [^\n]*\b{last}\b"
            rf"|from {re.escape(parent)} import \([^)]*\b{last}\b"
            rf"|[\"']{re.escape(module)}\b"
        )
        users = [p for p, text in texts_of.items() if p != path and wanted.search(text)]
        assert users, f"{module} is used by nothing"
