"""The command `springline`."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from assistant import __version__
from assistant.errors import SpringlineError
from assistant.knowledge.tongue import BASE, languages


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
    parser.set_defaults(run=_terminal, role="technician", journal=None, language=None)
    _language_option(parser)
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
    demo = commands.add_parser("demo", help="play a demo case; Enter plays its next line")
    demo.add_argument("name", nargs="?", default="", metavar="NAME", help="part of its name (default: the first)")
    demo.add_argument("--plain", action="store_true", help="play it at once as plain lines")
    _language_option(demo)
    demo.set_defaults(run=_demo)
    rules = commands.add_parser("rules", help="check the rule base, or show one entry of it")
    which = rules.add_subparsers(metavar="WHAT", required=True)
    checking = which.add_parser("check", help="refuse what cannot be right; list ambiguity groups")
    checking.add_argument("--language", choices=languages(), help="list every text that this language lacks")
    checking.set_defaults(run=_rules_check)
    show = which.add_parser("show", help="print a fault, test, hazard, question or rule")
    show.add_argument("id")
    show.set_defaults(run=_rules_show)
    from assistant import cli_bench, cli_record, cli_serve, cli_train

    cli_record.add_parsers(commands)
    cli_train.add_parsers(commands)
    cli_bench.add_parsers(commands)
    cli_serve.add_parsers(commands)
    return parser


def _case_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--journal", type=Path, metavar="FILE", help="keep the record here; a new file")
    parser.add_argument(
        "--role",
        choices=("technician", "desk", "owner"),
        default="technician",
        help="who types (default: technician)",
    )
    _language_option(parser)


def _language_option(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--language",
        choices=languages(),
        default=argparse.SUPPRESS,
        help="in which it is read and replied (default: that of the settings, else en)",
    )


def _language(args: argparse.Namespace) -> str:
    """The language asked for, else that of the settings; never what the machine is set to."""
    from assistant.terminal.settings import Settings

    return str(args.language or Settings.load().language or BASE)


def _talk(args: argparse.Namespace) -> int:
    from assistant.begin import begin
    from assistant.talk import main_streams, talk_json, talk_plain

    session, journal = begin(args.role, args.journal, _language(args))
    lines, out = main_streams()
    try:
        if args.json:
            return talk_json(session, lines, out)
        return talk_plain(session, lines, out, prompt=lines.isatty())
    finally:
        if journal:
            journal.close()


def _resume(args: argparse.Namespace) -> int:
    from assistant.begin import go_on
    from assistant.talk import main_streams, talk_json, talk_plain

    session, journal, notes = go_on(args.file)
    for note in notes:
        print(note, file=sys.stderr)
    try:
        if args.json or args.plain:
            lines, out = main_streams()
            return (
                talk_json(session, lines, out) if args.json else talk_plain(session, lines, out, prompt=lines.isatty())
            )
        from assistant.terminal import run

        return run(session, journal_path=args.file)
    finally:
        journal.close()


def _demo(args: argparse.Namespace) -> int:
    from assistant.doors import chosen_demo
    from assistant.knowledge import load
    from assistant.session import Session
    from assistant.talk import main_streams, play_plain

    typed = chosen_demo(args.name, _language(args))
    session = Session(load(typed.language), typed.role)
    if args.plain or not sys.stdout.isatty():
        return play_plain(session, typed.lines, main_streams()[1])
    from assistant.terminal import run

    return run(session, title=typed.title, script=typed.lines)


def _terminal(args: argparse.Namespace) -> int:
    from assistant.doors import doors
    from assistant.terminal import start

    return start(doors(args.role, _language(args)))


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
