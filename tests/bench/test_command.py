"""The command `bench` as a person gives it."""

from __future__ import annotations

import argparse
import json
import re

import pytest

from assistant.bench.command import run_bench
from assistant.cli_bench import add_parsers
from assistant.errors import SpringlineError


def bench(*words: str) -> int:
    parser = argparse.ArgumentParser(prog="springline")
    add_parsers(parser.add_subparsers())
    args = parser.parse_args(["bench", "--jobs", "1", *words])
    return int(args.run(args))


SMALL = ("--boats", "1", "--pairs", "0", "--fault", "main_fuse.blown", "--false", "0")


def test_the_figures_of_every_way_and_the_reduced_models(capsys: pytest.CaptureFixture[str]) -> None:
    assert bench(*SMALL, "--models", "8", "--each") == 0
    out = capsys.readouterr().out
    for name in ("assistant", "chart", "random"):
        assert re.search(rf"^{name} +1 +100\.0% +0 +0 +0 ", out, re.MULTILINE), out
    assert re.search(r"the assistant's minutes are \d+ % of those of the chart", out)
    assert "main_fuse.blown" in out and "8 reduced models" in out
    assert re.search(r"two tests ahead +\d+\.\d\d % on average", out)
    assert re.search(r"Turn time: \d+ ms in the middle, \d+ ms at the 95th percentile", out)


def test_the_same_command_prints_the_same_figures(capsys: pytest.CaptureFixture[str]) -> None:
    outs = []
    for _ in range(2):
        bench(*SMALL, "--models", "3")
        outs.append(re.sub(r"Turn time.*", "", capsys.readouterr().out))
    assert outs[0] == outs[1]


def test_one_object_for_each_case(capsys: pytest.CaptureFixture[str]) -> None:
    assert bench(*SMALL, "--json", "--way", "chart", "--models", "0") == 0
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) == 1
    case = json.loads(lines[0])
    assert case["way"] == "chart" and case["case"]["faults"] == ["main_fuse.blown"]
    assert case["proved"] == ["main_fuse.blown"] and case["minutes"] > 0


def test_an_unknown_fault_is_named() -> None:
    with pytest.raises(SpringlineError, match=r"panel\.haunted"):
        bench("--fault", "panel.haunted")


@pytest.mark.parametrize("wrong", ["-1", "many", "2.5", ""])
def test_a_count_that_is_none_is_refused(wrong: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stopped:
        bench("--boats", wrong)
    assert stopped.value.code == 2
    assert "number" in capsys.readouterr().err or wrong == "-1"


def test_nothing_to_do_is_no_error(capsys: pytest.CaptureFixture[str]) -> None:
    assert bench("--boats", "0", "--pairs", "0", "--models", "0") == 0
    assert capsys.readouterr().out == ""


def test_the_command_is_the_one_that_runs() -> None:
    parser = argparse.ArgumentParser()
    add_parsers(parser.add_subparsers())
    assert callable(parser.parse_args(["bench"]).run) and callable(run_bench)
