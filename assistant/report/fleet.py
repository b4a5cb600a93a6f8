"""Many recorded cases seen together: a DuckDB database in memory, and the questions asked of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import yaml

from assistant.errors import JournalError
from assistant.report.fleet_rows import COLUMNS, Fleet

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection

QUESTIONS: Mapping[str, tuple[str, str]] = {
    "overview": (
        "All cases",
        """SELECT count(*) AS cases, count(*) FILTER (closed) AS closed,
                  count(*) FILTER (handed_over_to IS NOT NULL) AS handed_over,
                  sum(turns)::BIGINT AS turns, round(median(minutes), 1) AS median_minutes FROM cases""",
    ),
    "faults": (
        "Faults proved",
        """SELECT fault, count(DISTINCT head) AS cases, round(median(minutes), 1) AS median_minutes_to_proof
           FROM proofs GROUP BY fault ORDER BY cases DESC, fault""",
    ),
    "deciding_tests": (
        "Tests that decided",
        """SELECT test, count(*) AS answered, count(*) FILTER (proved) AS decided,
                  round(median(minutes), 1) AS median_minutes
           FROM answers GROUP BY test ORDER BY decided DESC, answered DESC, test""",
    ),
    "replaced": (
        "Parts replaced",
        """SELECT part, count(*) AS replaced, count(*) FILTER (proved) AS on_proof,
                  string_agg(DISTINCT nullif(faults, ''), '; ' ORDER BY nullif(faults, '')) AS faults
           FROM replacements GROUP BY part ORDER BY replaced DESC, part""",
    ),
    "findings": (
        "Findings",
        """SELECT kind, weight, count(*) AS times, count(DISTINCT head) AS cases
           FROM findings GROUP BY kind, weight ORDER BY times DESC, kind, weight""",
    ),
    "priors": (
        "Counts for priors (closed cases, proofs that stood to the end)",
        """SELECT fault, count(DISTINCT head) AS cases,
                  (SELECT count(*) FROM cases WHERE closed)::BIGINT AS of_closed
           FROM proofs WHERE stands AND head IN (SELECT head FROM cases WHERE closed)
           GROUP BY fault ORDER BY cases DESC, fault""",
    ),
}
"""What is asked of a fleet: heading and query, by name."""

_SILENT = """SELECT id AS rule FROM known_rules WHERE id NOT IN (SELECT rule FROM firings) ORDER BY id"""


def database(fleet: Fleet) -> DuckDBPyConnection:
    """The rows of a fleet as tables of a database in memory.

    Raises:
        JournalError: The package is not installed.
    """
    try:
        import duckdb
    except ImportError as error:
        raise JournalError("this needs one more package: pip install 'springline[fleet]'") from error
    base = duckdb.connect(":memory:")
    for name, columns in COLUMNS.items():
        base.execute(f"CREATE TABLE {name} ({', '.join(columns)})")
        if fleet.rows[name]:
            marks = ", ".join("?" * len(columns))
            base.executemany(f"INSERT INTO {name} VALUES ({marks})", fleet.rows[name])
    return base


def answers(base: DuckDBPyConnection, rules: Iterable[str] = ()) -> dict[str, list[dict[str, Any]]]:
    """The answer to every question, as lists of rows.

    Args:
        base: The database of a fleet.
        rules: Ids of the rules of today; those that never fired are listed.
    """
    out = {name: _rows(base, query) for name, (_, query) in QUESTIONS.items()}
    known = sorted(rules)
    if known:
        base.execute("CREATE OR REPLACE TEMP TABLE known_rules (id VARCHAR)")
        base.executemany("INSERT INTO known_rules VALUES (?)", [(rule,) for rule in known])
        out["silent_rules"] = _rows(base, _SILENT)
    return out


def priors_text(base: DuckDBPyConnection, known: Iterable[str] = ()) -> tuple[str, list[str]]:
    """The counts that a planner takes as priors, as YAML: the closed cases, and how many proved each fault.

    Args:
        base: The database of a fleet.
        known: Faults of the rule base; others are left out. All are taken when there is none.

    Returns:
        The text, and the ids that were left out.
    """
    rows, closed = _rows(base, QUESTIONS["priors"][1]), base.execute("SELECT count(*) FROM cases WHERE closed")
    faults, wanted = {str(row["fault"]): int(row["cases"]) for row in rows}, set(known)
    strange = [fault for fault in faults if wanted and fault not in wanted]
    kept = {fault: count for fault, count in sorted(faults.items()) if fault not in strange}
    (cases,) = closed.fetchone() or (0,)
    head = "# Faults proved in closed cases, counted over recorded journals. A case may count for several faults.\n"
    return head + yaml.safe_dump({"cases": int(cases), "faults": kept}, sort_keys=False), strange


def heading_of(name: str) -> str:
    """The heading of a question."""
    return QUESTIONS[name][0] if name in QUESTIONS else "Rules that never fired"


def to_parquet(base: DuckDBPyConnection, folder: Path) -> list[Path]:
    """Write every table into a folder, one Parquet file each.

    Raises:
        JournalError: The folder cannot be written.
    """
    import duckdb

    written = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for name in COLUMNS:
            path = folder / f"{name}.parquet"
            quoted = str(path).replace("'", "''")
            base.execute(f"COPY {name} TO '{quoted}' (FORMAT parquet)")
            written.append(path)
    except (OSError, duckdb.Error) as error:
        raise JournalError(f"{folder} cannot be written: {error}") from error
    return written


def _rows(base: DuckDBPyConnection, query: str) -> list[dict[str, Any]]:
    done = base.execute(query)
    names = [column[0] for column in done.description]
    return [dict(zip(names, row, strict=True)) for row in done.fetchall()]
