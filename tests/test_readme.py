"""README and DEVELOPERS say what is so: their commands run, their lists are those of the program."""

from __future__ import annotations

import os
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path
from typing import get_args

import pytest

from assistant.cli import main
from assistant.errors import LineCode
from assistant.knowledge.base import load_from
from assistant.lint import check_rules
from assistant.session import Session

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
SET_UP = ("sh .ci/set-up && .venv/bin/springline", "sh .ci/set-up test && .venv/bin/pytest")
FINDINGS = 3
"""Status of `springline audit` for a journal that is whole and has something marked in it."""


def blocks(text: str, language: str) -> list[str]:
    return re.findall(rf"^```{language}\n(.*?)^```", text, re.M | re.S)


def tour() -> list[str]:
    return [b for b in blocks(README, "sh") if b.strip() not in SET_UP]


def commands() -> list[list[str]]:
    """Every call of springline in the README, as words."""
    fenced = "\n".join(re.sub(r"<<'END'.*?^END$", "", b, flags=re.M | re.S) for b in tour())
    calls = re.findall(r"springline ([^\n|]*)", fenced)
    return [shlex.split(call) for call in calls]


def help_of(words: list[str], capsys: pytest.CaptureFixture[str]) -> str:
    with pytest.raises(SystemExit) as left:
        main([*words, "--help"])
    assert left.value.code == 0, words
    return capsys.readouterr().out


def listed_commands(text: str) -> set[str]:
    return set(re.findall(r"^    ([a-z]+)(?:  |$)", text, re.M))


def test_the_two_commands_that_do_all_set_up_stand_alone_on_their_lines() -> None:
    assert [b.strip() for b in blocks(README, "sh")][:2] == list(SET_UP)


def test_the_check_of_a_clean_clone_runs_the_very_test_command_of_the_readme() -> None:
    assert f"test_command='{SET_UP[1]}'\n" in (ROOT / ".ci" / "run").read_text(encoding="utf-8")


def test_every_command_of_the_program_is_in_the_readme(capsys: pytest.CaptureFixture[str]) -> None:
    listed = listed_commands(help_of([], capsys))
    assert {"talk", "resume", "replay", "audit", "report", "rules"} <= listed
    assert [name for name in sorted(listed) if f"springline {name}" not in README] == []


def test_every_command_in_the_readme_is_one_of_the_program(capsys: pytest.CaptureFixture[str]) -> None:
    named = {c[0] for c in commands()} | set(re.findall(r"`springline ([a-z]+)", README))
    assert named <= listed_commands(help_of([], capsys))


@pytest.mark.parametrize("words", commands(), ids=" ".join)
def test_every_option_in_the_readme_stands_in_the_help(words: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    deep = 2 if words[0] in ("rules", "key") else 1
    text = help_of(words[:deep], capsys)
    for option in (w for w in words if w.startswith("--")):
        assert re.search(rf"{option}\b", text), option


@pytest.mark.parametrize("option", sorted(set(re.findall(r"`(?:[a-z]+ )?(--[a-z-]+)", README))))
def test_every_option_named_in_passing_exists(option: str, capsys: pytest.CaptureFixture[str]) -> None:
    texts = [help_of([name], capsys) for name in sorted(listed_commands(help_of([], capsys)))]
    assert any(re.search(rf"{option}\b", t) for t in texts)


def test_the_tour_runs_as_it_is_written(tmp_path: Path) -> None:
    program = tmp_path / "bin" / "springline"
    program.parent.mkdir()
    program.write_text(f'#!/bin/sh\nexec {shlex.quote(sys.executable)} -m assistant "$@"\n', encoding="utf-8")
    program.chmod(0o755)
    env = {**os.environ, "PATH": f"{program.parent}{os.pathsep}{os.environ['PATH']}", "PYTHONPATH": str(ROOT)}
    desk = tmp_path / "desk"
    desk.mkdir()
    said: dict[str, str] = {}
    for block in tour():
        if block.strip() == "springline rules check":
            continue
        done = subprocess.run(
            ["sh", "-c", block.replace("springline rules check\n", "")],
            cwd=desk, env=env, capture_output=True, text=True, encoding="utf-8", timeout=300,
        )  # fmt: skip
        assert done.returncode in ((0, FINDINGS) if "audit" in block else (0,)), block + done.stderr
        assert "Traceback" not in done.stdout + done.stderr
        said[block.split("\n")[0]] = done.stdout
    talk, as_json = (next(text for start, text in said.items() if key in start) for key in ("--journal", "--json"))
    assert "Proved: " in talk and "Repair: " in talk
    assert len(as_json.splitlines()) == 3 and '"error"' not in as_json
    assert "The case runs again as it was recorded." in said["springline replay case.jsonl"]
    assert (desk / "claim.html").stat().st_size > 0


def test_the_figures_of_the_readme_name_a_command_that_exists(capsys: pytest.CaptureFixture[str]) -> None:
    table = README.partition("<!-- figures: begin")[2].partition("<!-- figures: end -->")[0]
    rows = [r for r in table.splitlines() if r.startswith("|")][2:]
    assert rows
    for row in rows:
        command = re.search(r"`([^`]*)` \|$", row)
        assert command, row
        program, *words = (word for word in shlex.split(command[1]) if not re.match(r"[A-Z_]+=", word))
        assert program in ("python", "springline"), row
        if program == "python":
            place = "tests/" if words[:2] == ["-m", "pytest"] else "tests/benchmarks/"
            files = [word for word in words if word.startswith(place)]
            assert files and all((ROOT / file).is_file() for file in files), row
        else:
            offered = help_of(words[:1], capsys)
            assert all(word in offered for word in words if word.startswith("--")), row


def test_every_error_code_is_described_and_no_other() -> None:
    section = DEVELOPERS.partition("## Error codes")[2].partition("\n## ")[0]
    described = re.findall(r"^\| `(\w+)` \| \S", section, re.M)
    assert sorted(described) == sorted(get_args(LineCode))


def test_every_room_that_is_named_exists_and_every_room_is_named() -> None:
    section = DEVELOPERS.partition("## The rooms")[2].partition("\n## ")[0]
    rows = [row.split("|")[1] for row in section.splitlines() if row.startswith("| `")]
    named = {name.rstrip("/") for row in rows for name in re.findall(r"`([^`]+)`", row)}
    rooms = {p.name for p in (ROOT / "assistant").iterdir() if (p / "__init__.py").is_file()}
    assert {f"assistant/{room}" for room in rooms} <= named
    for name in named:
        assert any((folder / name).exists() for folder in (ROOT, ROOT / "rules", ROOT / "assistant")), name


def test_the_walk_through_gives_a_rule_base_that_passes_and_proves(tmp_path: Path) -> None:
    folder = tmp_path / "rules"
    shutil.copytree(ROOT / "rules", folder, ignore=shutil.ignore_patterns("__pycache__"))
    pieces = [re.fullmatch(r"# rules/(\S+) \([^)]*\)\n(.*)", b, re.S) for b in blocks(DEVELOPERS, "yaml")]
    for piece in pieces:
        assert piece
        with (folder / piece[1]).open("a", encoding="utf-8") as file:
            file.write(piece[2])
    knowledge = load_from(folder)
    assert check_rules(knowledge, pairs=False).errors == ()
    wet = {"about": "splitter", "what": "wet", "value": True, "while": ["isolator_off"]}
    out = Session(knowledge).take({"facts": [wet], "at": "2026-05-04T09:00:00Z"})
    assert out["verdict"]["faults"] == ["splitter.wet"]
