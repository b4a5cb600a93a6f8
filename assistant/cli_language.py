"""The option for the language of a case, which several commands have."""

from __future__ import annotations

import argparse

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
