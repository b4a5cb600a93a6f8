"""Options that several commands have: the language of a case, and a fleet's counts."""

from __future__ import annotations

import argparse
from pathlib import Path

from assistant.knowledge.tongue import BASE, languages


def add_language(parser: argparse.ArgumentParser) -> None:
    """Give a command the option `--language`; one that stands before the command counts as well."""
    parser.add_argument(
        "--language",
        choices=languages(),
        default=argparse.SUPPRESS,
        help="in which it is read and replied (default: that of the settings, else en)",
    )


def language_of(args: argparse.Namespace) -> str:
    """Return the language asked for, else that of the settings; never what the machine is set to."""
    from assistant.terminal.settings import Settings

    return str(args.language or Settings.load().language or BASE)


def add_priors(parser: argparse.ArgumentParser) -> None:
    """Give a command the option `--priors`; one that stands before the command counts as well."""
    parser.add_argument(
        "--priors",
        type=Path,
        metavar="FILE",
        default=argparse.SUPPRESS,
        help="counts of a fleet's own cases, from `springline fleet --priors` (default: that of the settings)",
    )


def priors_of(args: argparse.Namespace) -> Path | None:
    """Return the file of counts asked for, else that of the settings, if there is one."""
    from assistant.terminal.settings import Settings

    return args.priors or Settings.load().priors_file
