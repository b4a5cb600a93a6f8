"""The record of a case: canonical JSON, a hash chain, one writer, and a check that needs nothing else."""

from assistant.journal.canonical import canonical, normalised, plain
from assistant.journal.chain import START, Chain
from assistant.journal.disk import read_bytes
from assistant.journal.files import Journal
from assistant.journal.times import parse_time, seconds_between, stamp
from assistant.journal.verify import Checked, Entry, Problem, check, check_seals

__all__ = [
    "START",
    "Chain",
    "Checked",
    "Entry",
    "Journal",
    "Problem",
    "canonical",
    "check",
    "check_seals",
    "normalised",
    "parse_time",
    "plain",
    "read_bytes",
    "seconds_between",
    "stamp",
]
