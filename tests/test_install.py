"""The set-up says what is missing before it changes anything, and installs what the program imports."""

from __future__ import annotations

import ast
import os
import re
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Iterable
from importlib.metadata import packages_distributions
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]


@pytest.fixture
def checkout(tmp_path: Path) -> Path:
    """What the set-up needs of a checkout, in a folder whose name has a space."""
    folder = tmp_path / "a checkout"
    (folder / ".ci").mkdir(parents=True)
    shutil.copy(ROOT / ".ci" / "set-up", folder / ".ci")
    shutil.copy(ROOT / "pyproject.toml", folder)
    return folder


def set_up(checkout: Path, *args: str, **env: str) -> subprocess.CompletedProcess[str]:
    clean = {"HOME": os.environ.get("HOME", "/"), "PATH": os.environ["PATH"], "PYTHON": sys.executable, **env}
    return subprocess.run(
        ["/bin/sh", str(checkout / ".ci" / "set-up"), *args],
        env=clean, capture_output=True, text=True, timeout=60, cwd=checkout.parent,
    )  # fmt: skip


def pretend(folder: Path, name: str, text: str) -> str:
    folder.mkdir(exist_ok=True)
    program = folder / name
    program.write_text(f"#!/bin/sh\n{text}\n", encoding="utf-8")
    program.chmod(0o755)
    return str(program)


def tools(folder: Path, *names: str) -> str:
    """A search path with these programs and no others."""
    folder.mkdir(exist_ok=True)
    for name in names:
        found = shutil.which(name)
        assert found, name
        (folder / name).symlink_to(found)
    return str(folder)


@pytest.mark.parametrize("version", ["2.7", "3.10", "3.14"])
def test_another_python_is_refused_in_a_sentence(checkout: Path, tmp_path: Path, version: str) -> None:
    done = set_up(checkout, PYTHON=pretend(tmp_path / "bin", "python", f"echo {version}"))
    assert done.returncode == 1
    assert f"is Python {version}; Springline needs 3.11, 3.12 or 3.13" in done.stderr
    assert not (checkout / ".venv").exists()


def test_a_python_that_is_not_there_is_told(checkout: Path) -> None:
    done = set_up(checkout, PYTHON="no-such-python")
    assert done.returncode == 1
    assert "no usable 'no-such-python'" in done.stderr and "PYTHON=" in done.stderr


def test_a_word_it_does_not_know_is_refused(checkout: Path) -> None:
    done = set_up(checkout, "tests")
    assert done.returncode == 2
    assert done.stderr == "usage: sh .ci/set-up [test]\n"


def test_without_a_compiler_it_says_what_to_install(checkout: Path, tmp_path: Path) -> None:
    path = tools(tmp_path / "few", "dirname", "cat", "mktemp", "head", "rm")
    done = set_up(checkout, PATH=path)
    assert done.returncode == 1
    assert "no C compiler was found" in done.stderr
    assert "apt-get install build-essential python3" in done.stderr and "xcode-select --install" in done.stderr
    assert not (checkout / ".venv").exists()


def test_a_compiler_that_is_named_and_not_there_is_told(checkout: Path) -> None:
    done = set_up(checkout, CC="no-such-compiler -O2")
    assert done.returncode == 1
    assert "the compiler that CC names, 'no-such-compiler -O2', was not found" in done.stderr


def test_a_compiler_that_compiles_nothing_shows_why_and_what_to_install(checkout: Path, tmp_path: Path) -> None:
    broken = pretend(tmp_path / "bin", "broken-cc", "echo 'stdlib.h: no such file' >&2; exit 1")
    done = set_up(checkout, CC=broken)
    assert done.returncode == 1
    assert "stdlib.h: no such file" in done.stderr
    assert "cannot compile a small program" in done.stderr and "build-essential" in done.stderr


def test_the_engine_is_built_without_the_cache_and_with_the_define_on_3_13() -> None:
    text = (ROOT / ".ci" / "set-up").read_text(encoding="utf-8")
    assert re.search(r"3\.13\) CPPFLAGS=.*-DPyEval_CallObject=PyObject_CallObject", text)
    assert re.search(r"pip install --no-cache-dir --force-reinstall --no-deps", text)


def names(requirements: Iterable[str]) -> set[str]:
    return {re.split(r"[\s<>=!~\[;]", r)[0].lower().replace("_", "-") for r in requirements}


def imported(folder: Path) -> set[str]:
    found = set()
    for path in folder.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                found |= {alias.name.partition(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
                found.add(node.module.partition(".")[0])
    return found - set(sys.stdlib_module_names) - {"assistant", "rules", "tests"}


def test_every_package_that_the_program_imports_is_one_that_it_declares() -> None:
    declared = names(PROJECT["dependencies"])
    for extra in ("sign", "pdf", "fleet", "serve"):
        declared |= names(PROJECT["optional-dependencies"][extra])
    known = packages_distributions()
    for module in sorted(imported(ROOT / "assistant")):
        distributions = names(known.get(module, [module]))
        assert distributions & declared, f"{module} comes with {distributions}, which pyproject.toml does not name"


def test_requirements_are_ranges_and_nothing_pins_or_names_a_registry() -> None:
    every = [*PROJECT["dependencies"], *(r for extra in PROJECT["optional-dependencies"].values() for r in extra)]
    assert not [r for r in every if "==" in r or "@" in r]
    for name in ("pyproject.toml", ".ci/set-up", ".ci/run"):
        text = (ROOT / name).read_text(encoding="utf-8")
        assert not re.search(r"https?://|index-url|find-links", text), name
    assert not (ROOT / "uv.lock").exists()


HOOK = """
import pytest
def test_wants_a_program(): pytest.skip("frobnicator is not installed")
def test_wants_a_folder(): pytest.skip("the folder is not beside the checkout")
@pytest.mark.xfail
def test_known_to_fail(): assert False
"""


@pytest.mark.parametrize(("forbid", "failed"), [("", 0), ("1", 1)])
def test_a_skipped_test_fails_where_nothing_may_be_skipped(tmp_path: Path, forbid: str, failed: int) -> None:
    shutil.copy(ROOT / "tests" / "conftest.py", tmp_path)
    (tmp_path / "test_some.py").write_text(HOOK, encoding="utf-8")
    # what the outer run was given must not reach the inner one: it would run this very test again, and again
    env = {name: value for name, value in os.environ.items() if not name.startswith("PYTEST_")}
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "--rootdir", str(tmp_path), str(tmp_path)],
        env={**env, "SPRINGLINE_NO_SKIP": forbid}, capture_output=True, text=True, timeout=120, cwd=tmp_path,
    )  # fmt: skip
    assert done.returncode == failed
    assert ("frobnicator is not installed" in done.stdout) is bool(failed)
    assert "1 xfailed" in done.stdout
