"""Lets the tests of this folder import the sample case of the journal's tests, and gives them the commands."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "journal"))

from assistant import cli_record


@pytest.fixture
def run() -> Callable[..., int]:
    """A command of the record, run in this process."""

    def command(*words: object) -> int:
        parser = argparse.ArgumentParser()
        cli_record.add_parsers(parser.add_subparsers())
        args = parser.parse_args([str(word) for word in words])
        return int(args.run(args))

    return command
