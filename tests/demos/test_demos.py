"""The demo cases: replayable to the byte, proved, verified, closed, and each what it says it is."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from assistant.demos import FOLDER, Typed, demo_files, read_typed, record
from assistant.errors import JournalError
from assistant.journal import check
from assistant.knowledge import languages, load
from assistant.lint import gaps_of
from assistant.session import Session

FILES = [path for language in languages() for path in demo_files(language)]
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
    assert {p.name.removesuffix(".said.txt") for p in demo_files()} == set(ENDS)


def ends_of(path: Path) -> set[str]:
    """What a demo ends with; in every language they are the same cases in the same order."""
    return next(faults for name, faults in ENDS.items() if name[:2] == path.name[:2])


@pytest.mark.parametrize("language", languages())
def test_every_language_has_every_case(language: str) -> None:
    assert [p.name[:2] for p in demo_files(language)] == [name[:2] for name in ENDS]
    assert all(read_typed(p).language == language for p in demo_files(language))


@pytest.mark.parametrize("path", [p for p in FILES if p.parent != FOLDER], ids=lambda p: p.name)
def test_another_language_gives_the_same_facts_and_steps(path: Path) -> None:
    """Line by line: what was taken, what is suspected, what is asked next, which hazards are shown."""
    here = read_typed(path)
    english = read_typed(next(p for p in demo_files() if p.name[:2] == path.name[:2]))
    assert len(here.lines) == len(english.lines)
    for line, mine, theirs in zip(here.lines, played(here), played(english), strict=True):
        assert bare(mine) == bare(theirs), line["say"]


def bare(out: dict[str, Any]) -> dict[str, Any]:
    """A turn without its words."""
    facts = [{k: v for k, v in fact.items() if k != "words"} for fact in out["understood"]]
    return {
        "facts": facts,
        "suspects": [(s["fault"], s["probability"], s["state"]) for s in out["suspects"]],
        "hazards": [(h["hazard"], h["level"], h["certain"]) for h in out["hazards"]],
        "next": out["next"] and (out["next"]["test"], out["next"]["minutes"]),
        "stop": out["stop"] is None,
        "asked": sorted(out["answer"] or {}),
    }


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.name)
def test_the_case_speaks_its_language_only(path: Path) -> None:
    """No text of the rule base comes in the base language where the case is in another."""
    typed = read_typed(path)
    told = load(typed.language).tongue.sentences
    for out in played(typed):
        shown = json.dumps(out, ensure_ascii=False)
        foreign = [text for text, own in told.items() if own != text and len(text) > 8 and text in shown]
        assert foreign == []
    gaps = {gap.text for gap in gaps_of(load(typed.language))}
    assert not [text for text in gaps for out in played(typed) if text in json.dumps(out, ensure_ascii=False)]


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.name)
def test_the_journal_is_made_again_to_the_byte(path: Path, tmp_path: Path) -> None:
    typed = read_typed(path)
    record(typed, tmp_path / "again.jsonl")
    kept = path.with_name(f"{typed.name}.jsonl").read_bytes()
    assert (tmp_path / "again.jsonl").read_bytes() == kept, "make them anew: python -m assistant.demos"
    assert check(kept).problems == ()


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.name)
def test_it_ends_proved_verified_and_closed(path: Path) -> None:
    typed = read_typed(path)
    outs = played(typed)
    assert {s["fault"] for s in outs[-1]["suspects"] if s["state"] == "proved"} == ends_of(path)
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
