"""The demo cases: replayable to the byte, proved, verified, closed, and each what it says it is."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from assistant.demos import FOLDER, Typed, demo_files, read_typed, record
from assistant.errors import JournalError
from assistant.journal import check
from assistant.knowledge import load
from assistant.session import Session

FILES = demo_files()
ENDS = {
    "1_dead_panel": {"panel.dead"},
    "2_one_direction_only": {"contactor.port_contact_open"},
    "3_runs_by_itself": {"contactor.welded"},
    "4_weak_under_load": {"positive_cable.poor_contact"},
    "5_hot_and_bridged": {"thermal_switch.tripped_hot", "propeller.fouled"},
}


def played(typed: Typed) -> list[dict[str, Any]]:
    session = Session(load(typed.language), typed.role)
    return [session.take(line) for line in typed.lines]


def test_there_are_at_least_five() -> None:
    assert {p.name.removesuffix(".said.txt") for p in FILES} == set(ENDS)


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.name)
def test_the_journal_is_made_again_to_the_byte(path: Path, tmp_path: Path) -> None:
    typed = read_typed(path)
    record(typed, tmp_path / "again.jsonl")
    kept = (FOLDER / f"{typed.name}.jsonl").read_bytes()
    assert (tmp_path / "again.jsonl").read_bytes() == kept, "make them anew: python -m assistant.demos"
    assert check(kept).problems == ()


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.name)
def test_it_ends_proved_verified_and_closed(path: Path) -> None:
    typed = read_typed(path)
    outs = played(typed)
    assert {s["fault"] for s in outs[-1]["suspects"] if s["state"] == "proved"} == ENDS[typed.name]
    assert outs[-1]["may_close"] is True
    assert outs[-1]["closed"] == {"handed_over_to": None, "open": []}
    assert not any(out["refused"] or out["unclear"] for out in outs), "every line is understood"


def test_the_bridged_switch_is_warned_of_until_it_is_out() -> None:
    outs = played(read_typed(FOLDER / "5_hot_and_bridged.said.txt"))
    live = ["thermal_protection_off" in {h["hazard"] for h in out["hazards"]} for out in outs]
    first = live.index(True)
    assert "bridged" in outs[first]["understood"][0]["words"]
    assert live[first:].count(True) >= 2 and not live[-1]


def test_running_by_itself_stops_everything_else() -> None:
    outs = played(read_typed(FOLDER / "3_runs_by_itself.said.txt"))
    assert outs[0]["stop"] and outs[0]["next"] is None
    assert outs[1]["stop"] is None and outs[1]["next"]


def test_a_line_that_is_neither_is_refused_with_its_place(tmp_path: Path) -> None:
    path = tmp_path / "x.said.txt"
    path.write_text("# title: x\nno time here\n", encoding="utf-8")
    with pytest.raises(JournalError, match=r"x\.said\.txt:2"):
        read_typed(path)
