"""The command `springline`."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from assistant import __version__
from assistant.cli_options import add_language, add_priors, language_of, priors_of
from assistant.errors import SpringlineError
from assistant.knowledge.tongue import languages

if TYPE_CHECKING:
    from assistant.session import Session

    SubParsers = argparse._SubParsersAction[argparse.ArgumentParser]


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; return its exit status."""
    args = _parser().parse_args(argv)
    try:
        return int(args.run(args))
    except SpringlineError as error:
        print(f"springline: {error}", file=sys.stderr)
        return error.exit_code
    except KeyboardInterrupt:
        return 130
    except BrokenPipeError:
        return 0


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="springline",
        description="Finds what failed in a DC electric tunnel thruster, and keeps the work safe.",
    )
    parser.add_argument("--version", action="version", version=f"springline {__version__}")
    parser.set_defaults(run=_terminal, role="technician", journal=None, language=None, priors=None)
    add_language(parser)
    add_priors(parser)
    commands = parser.add_subparsers(title="commands", metavar="COMMAND")
    talk = commands.add_parser("talk", help="the conversation without a screen, for pipes, screen readers and programs")
    talk.add_argument("--json", action="store_true", help="one JSON object a line, in and out")
    _case_options(talk)
    talk.set_defaults(run=_talk)
    resume = commands.add_parser("resume", help="go on with a recorded case")
    resume.add_argument("file", type=Path, metavar="FILE")
    resume.add_argument("--json", action="store_true", help="go on as JSON lines")
    resume.add_argument("--plain", action="store_true", help="go on as plain lines")
    resume.set_defaults(run=_resume)
    _add_demo(commands)
    _add_rules(commands)
    from assistant import cli_bench, cli_record, cli_serve, cli_train

    cli_record.add_parsers(commands)
    cli_train.add_parsers(commands)
    cli_bench.add_parsers(commands)
    cli_serve.add_parsers(commands)
    return parser


def _add_demo(commands: SubParsers) -> None:
    demo = commands.add_parser("demo", help="play a demo case; Enter plays its next line")
    demo.add_argument("name", nargs="?", default="", metavar="NAME", help="part of its name (default: the first)")
    demo.add_argument("--plain", action="store_true", help="play it at once as plain lines")
    add_language(demo)
    demo.set_defaults(run=_demo)


def _add_rules(commands: SubParsers) -> None:
    rules = commands.add_parser("rules", help="check the rule base, or show one entry of it")
    which = rules.add_subparsers(metavar="WHAT", required=True)
    checking = which.add_parser("check", help="refuse what cannot be right; list ambiguity groups")
    checking.add_argument("--language", choices=languages(), help="list every text that this language lacks")
    checking.set_defaults(run=_rules_check)
    show = which.add_parser("show", help="print a fault, test, hazard, question or rule")
    show.add_argument("id")
    show.set_defaults(run=_rules_show)
    priors = which.add_parser("priors", help="set the priors beside a fleet's counts and what comes of both")
    priors.add_argument("file", type=Path, metavar="FILE", help="as `springline fleet --priors` writes it")
    priors.set_defaults(run=_rules_priors)


def _case_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--journal", type=Path, metavar="FILE", help="keep the record here; a new file")
    parser.add_argument(
        "--role",
        choices=("technician", "desk", "owner"),
        default="technician",
        help="who types (default: technician)",
    )
    add_language(parser)
    add_priors(parser)


def _talk(args: argparse.Namespace) -> int:
    from assistant.begin import begin

    session, journal = begin(args.role, args.journal, language_of(args), priors_of(args))
    try:
        return _in_lines(session, args.json)
    finally:
        if journal:
            journal.close()


def _in_lines(session: Session, as_json: bool) -> int:
    from assistant.talk import main_streams, talk_json, talk_plain

    lines, out = main_streams()
    return talk_json(session, lines, out) if as_json else talk_plain(session, lines, out, prompt=lines.isatty())


def _resume(args: argparse.Namespace) -> int:
    from assistant.begin import go_on

    session, journal, notes = go_on(args.file)
    for note in notes:
        print(note, file=sys.stderr)
    try:
        if args.json or args.plain:
            return _in_lines(session, args.json)
        from assistant.terminal import run

        return run(session, journal_path=args.file)
    finally:
        journal.close()


def _demo(args: argparse.Namespace) -> int:
    from assistant.doors import chosen_demo
    from assistant.knowledge import load
    from assistant.session import Session
    from assistant.talk import main_streams, play_plain

    typed = chosen_demo(args.name, language_of(args))
    session = Session(load(typed.language), typed.role)
    if args.plain or not sys.stdout.isatty():
        return play_plain(session, typed.lines, main_streams()[1])
    from assistant.terminal import run

    return run(session, title=typed.title, script=typed.lines)


def _terminal(args: argparse.Namespace) -> int:
    from assistant.doors import doors
    from assistant.terminal import start

    return start(doors(args.role, language_of(args), priors_of(args)))


def _rules_check(args: argparse.Namespace) -> int:
    from assistant.knowledge import load
    from assistant.lint import check_rules, gaps_of, stale

    if args.language:
        knowledge = load(args.language)
        gaps = gaps_of(knowledge)
        lines = [f"{gap.kind}: {gap.text}" for gap in gaps]
        lines += [f"no longer in the rule base: {text}" for text in stale(knowledge)]
        print("\n".join([*lines, f"{len(gaps)} texts are lacking."]))
        return 1 if gaps else 0
    report = check_rules(load())
    print("\n".join(report.lines()))
    return 1 if report.errors else 0


def _rules_show(args: argparse.Namespace) -> int:
    from assistant.knowledge import load
    from assistant.knowledge.show import show

    print(show(load(), args.id))
    return 0


def _rules_priors(args: argparse.Namespace) -> int:
    from assistant.knowledge import load
    from assistant.knowledge.counts import comparison, read_counts

    print("\n".join(comparison(load(), read_counts(args.file, load()))))
    return 0
