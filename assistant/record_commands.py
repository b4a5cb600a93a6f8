"""What the commands of the record do; see `cli_record` for their arguments."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any, cast

from assistant.audit.bench import desk_for, knowledge_for, today_desk
from assistant.audit.judge import Audit, Wish
from assistant.audit.knowledge_names import KnowledgeNames
from assistant.audit.names import SafeNames
from assistant.audit.replay import Step, edition, replay_all, same_day
from assistant.audit.told import EXIT, LIMITS, audit_data, audit_lines
from assistant.audit.transcript import heading, turn_lines
from assistant.audit.tree import journals, judge_all
from assistant.errors import JournalError, KnowledgeError
from assistant.journal import Checked, check, read_bytes
from assistant.journal.resume import header_of, language_of
from assistant.journal.shown import one_line
from assistant.journal.signing import new_key, public_key, sign, signed_path
from assistant.journal.turn import stretches, turns
from assistant.knowledge.base import load
from assistant.report.build import build
from assistant.report.case import Case, case_of
from assistant.report.fleet import answers, database, priors_text, to_parquet
from assistant.report.fleet_rows import gather
from assistant.report.fleet_text import fleet_lines
from assistant.report.forms import Form, form_of, write_whole, written


def run_replay(args: argparse.Namespace) -> int:
    """`springline replay`: 0 when the case runs again as it was recorded, 1 when it does not.

    Raises:
        JournalError: The file cannot be read, or is not the journal of a case.
    """
    if args.turn is None and not (args.plain or args.record_only) and sys.stdin.isatty() and sys.stdout.isatty():
        return _walk(Path(args.file))
    checked = check(read_bytes(args.file))
    broken = _tell_problems(checked)
    header = header_of(checked)
    print(heading(header))
    print()
    names, steps = _steps(args, header, checked)
    parted: Step | None = None
    for step in steps:
        parted = parted or (step if step.differences else None)
        if args.turn in (None, step.turn.number):
            print("\n".join(turn_lines(step, names)))
    if parted is not None:
        first = parted.differences[0]
        print(f"The case does not run again as it was recorded. First: {first}", file=sys.stderr)
    elif not args.record_only and not broken:
        print("The case runs again as it was recorded.")
    return 1 if parted is not None or broken else 0


def _walk(path: Path) -> int:
    from assistant.audit.walk import open_walk
    from assistant.terminal import look_back

    walk = open_walk(path)
    status = look_back(walk)
    return status or int(bool(walk.problems) or walk.parted is not None)


def _steps(args: argparse.Namespace, header: Mapping[str, Any], checked: Checked) -> tuple[SafeNames, Iterable[Step]]:
    recorded = turns(checked)
    if args.record_only:
        return SafeNames(), (Step(turn, {}) for turn in recorded)
    folder = Path(args.file).parent
    desk, course = desk_for(header, folder), stretches(header, checked.entries)
    for stretch in course:
        session = desk_for(stretch.header, folder).begin(stretch.header)
        if not same_day(stretch.header, session):
            print(f"The rules or the program of its day are not here. Run under {edition(session.header())}.\n")
    return desk.names, replay_all(course, lambda one: desk_for(one, folder).begin(one))


def _tell_problems(checked: Checked) -> bool:
    for problem in checked.problems:
        print(f"Line {problem.line} of the journal: {problem.text}.", file=sys.stderr)
    return bool(checked.problems)


def run_audit(args: argparse.Namespace) -> int:
    """`springline audit`: the status of the gravest journal as exit status, see `told.EXIT`.

    Raises:
        JournalError: A path does not exist, a key cannot be read, or one head is given for many journals.
    """
    paths = journals(args.paths)
    if args.head is not None and len(paths) > 1:
        raise JournalError("--head belongs to one journal; here are several")
    trusted = tuple(public_key(key) for key in args.trust)
    wish = Wish(args.chain_only, args.conclusions, args.head, args.gap, trusted)
    desk = None if args.chain_only else today_desk if args.today else desk_for
    second = None if args.chain_only or args.today else today_desk
    worst, counts = 0, dict.fromkeys(EXIT, 0)
    for audit in judge_all(paths, wish, desk, args.jobs, second):
        _print_audit(audit, args.json)
        worst = max(worst, EXIT[audit.status])
        counts[audit.status] += 1
    if not args.json:
        print()
        print(f"{len(paths)} journals: " + ", ".join(f"{n} {status}" for status, n in counts.items() if n))
        print(LIMITS)
    return worst


def _print_audit(audit: Audit, as_json: bool) -> None:
    text = json.dumps(audit_data(audit), ensure_ascii=True) if as_json else "\n".join(audit_lines(audit))
    print(text, flush=True)


def run_report(args: argparse.Namespace) -> int:
    """`springline report`: 0 when the report was written; it warns of a journal that is not whole.

    Raises:
        JournalError: The journal cannot be read, or the report cannot be written.
    """
    checked = check(read_bytes(args.file))
    broken = _tell_problems(checked)
    data = written(build(_case(checked, args), args.reader), _form(args))
    if args.output is None:
        sys.stdout.buffer.write(data)
        sys.stdout.buffer.flush()
    else:
        write_whole(Path(args.output), data)
    return 1 if broken else 0


def _form(args: argparse.Namespace) -> Form:
    if args.form is not None:
        return cast("Form", args.form)
    return form_of(args.output or "")


def _case(checked: Checked, args: argparse.Namespace) -> Case:
    """The case in the words of its rules where they are kept, else of today's, else with ids spelt as words."""
    case = case_of(checked)
    try:
        knowledge = knowledge_for(str(case.header.get("rules")), Path(args.file).parent, language_of(case.header))
    except KnowledgeError:
        return case
    names = SafeNames(KnowledgeNames(knowledge, plain=args.reader == "customer"))
    parts, acts = tuple(knowledge.words.parts), knowledge.words.states
    return replace(case, names=names, order=parts, acts=acts, worded_by=knowledge.fingerprint)


def run_key_new(args: argparse.Namespace) -> int:
    """`springline key new`: make a key.

    Raises:
        JournalError: The file is there already or cannot be written.
    """
    public = new_key(Path(args.key))
    print(f"Private key: {args.key} (keep it to yourself). Public key: {args.key}.pub\n{public}")
    return 0


def run_key_sign(args: argparse.Namespace) -> int:
    """`springline key sign`: sign the head of a journal.

    Raises:
        JournalError: The journal is not whole, or the key cannot be used.
    """
    journal = Path(args.file)
    checked = check(read_bytes(journal))
    public = sign(checked, journal, Path(args.key))
    print(f"Signed head {checked.head} ({checked.good_entries} entries) with key {public[:16]}.")
    print(f"The signature stands in {signed_path(journal)}.")
    return 0


def run_fleet(args: argparse.Namespace) -> int:
    """`springline fleet`: 0 when every journal could be used, 3 when some were left out.

    Raises:
        JournalError: There is no journal, or the tables cannot be written.
    """
    gathered = gather(journals(args.paths))
    base = database(gathered)
    found = answers(base, _rule_ids())
    if args.json:
        left = [{"path": path, "reason": reason} for path, reason in gathered.left_out]
        print(json.dumps({**found, "left_out": left}, ensure_ascii=True))
    else:
        print("\n".join(fleet_lines(found, gathered.left_out)))
    if args.parquet is not None:
        for path in to_parquet(base, Path(args.parquet)):
            print(f"written: {path}", file=sys.stderr)
    if args.priors is not None:
        text, strange = priors_text(base, _fault_ids())
        write_whole(Path(args.priors), text.encode("utf-8"))
        print(f"written: {args.priors}", file=sys.stderr)
        for fault in strange:
            print(f"left out of the priors, no fault of this rule base: {one_line(fault)}", file=sys.stderr)
    return 3 if gathered.left_out else 0


def _fault_ids() -> tuple[str, ...]:
    try:
        return tuple(load().faults)
    except KnowledgeError:
        return ()


def _rule_ids() -> tuple[str, ...]:
    try:
        return tuple(load().rules)
    except KnowledgeError:
        return ()
