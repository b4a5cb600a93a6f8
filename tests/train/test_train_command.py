"""The command `train`, as it is typed."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

import pytest

from assistant import cli_train
from assistant.errors import SpringlineError
from assistant.journal import check, read_bytes


def run(*words: str) -> int:
    parser = argparse.ArgumentParser()
    cli_train.add_parsers(parser.add_subparsers())
    args = parser.parse_args(["train", *words])
    return int(args.run(args))


def test_show_prints_the_assistants_way(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("--seed", "3", "--show") == 0
    assert "Proved: starboard run signal open in the harness" in capsys.readouterr().out


def test_plain_with_a_record(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    path, typed = tmp_path / "case.jsonl", tmp_path / "typed"
    typed.write_text("fuse check\ngive up\nscore\n")
    with typed.open() as lines:
        monkeypatch.setattr(sys, "stdin", lines)
        assert run("--seed", "3", "--plain", "--journal", str(path)) == 0
    said = capsys.readouterr().out
    assert said.count("Score of case 3") == 2 and "fuse check, 2 min" in said
    checked = check(read_bytes(path))
    assert not checked.problems and checked.good_entries == 3


@pytest.mark.parametrize("words", [("--boat", "galleon"), ("--fault", "nonsense")])
def test_what_is_not_there_is_said_in_a_sentence(words: tuple[str, ...]) -> None:
    with pytest.raises(SpringlineError, match="There is no"):
        run("--plain", *words)
