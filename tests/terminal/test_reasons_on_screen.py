"""One key for why, why not and what would change it, on a suspect, a fact, a hazard and the question."""

from __future__ import annotations

import pytest

from assistant.doors import chosen_demo
from assistant.errors import LineError
from assistant.knowledge import load
from assistant.session import Session
from assistant.terminal.reader import Reader

from .conftest import on_screen

PARTS = ("Why", "Why not", "What would change it")


@pytest.fixture(scope="module")
def told() -> Session:
    typed = chosen_demo("1_dead_panel")
    session = Session(load(), typed.role)
    for line in typed.lines[:8]:
        session.take(line)
    return session


@pytest.mark.parametrize(
    ("keys", "wanted"),
    [
        (("f3", "question_mark"), ("If told “", "→", "Not proved")),
        (("f3", "n"), ("If told “", "→")),
        (("f5", "end", "question_mark"), ("If it were taken back", "told in turn")),
        (("tab", "question_mark"), ("If told “", "another way is looked for")),
        (("f2", "question_mark"), ("It goes with the next step", "Say that")),
    ],
    ids=["suspect", "suspect-not", "fact", "question", "hazard"],
)
async def test_one_key_shows_all_reasons_and_tells_nothing(
    told: Session, keys: tuple[str, ...], wanted: tuple[str, ...]
) -> None:
    before, turns = told.standing(), len(told.history)
    async with on_screen(told, (120, 50)) as held:
        await held.press(*keys)
        await held.settle()
        await held.settle()
        assert isinstance(held.app.screen, Reader)
        text = held.shown()
        for piece in (*PARTS, *wanted):
            assert piece in text, text
        assert "DANGER" in text or "CAUTION" in text  # the banner stays
        await held.press("escape")
        assert held.app.screen is held.screen
    assert told.standing() == before and len(told.history) == turns


def test_what_a_fact_holds_up_is_what_its_loss_takes_away(told: Session) -> None:
    fact = next(f for f in told.standing() if f["about"] == "panel_lead" and f["what"] == "voltage")
    change = told.reasons(str(fact["id"]))["changes"][0]
    assert change["if"] is None
    moved = {row["fault"]: (row["before"], row["probability"]) for row in change["suspects"]}
    before, after = moved["panel.dead"]
    assert after < before  # full voltage on its plug spoke for the panel


def test_an_answer_does_what_was_foretold() -> None:
    session = Session(load())
    session.take({"say": "panel dark, 12.6 at the studs at rest"})
    out = session.take({"say": "isolator off"})
    test = out["next"]["test"]
    answers = [a for a in out["next"]["answers"] if all(f.get("value") is not None for f in a["facts"])]
    foretold = next(c for c in session.reasons(test)["changes"] if c["if"] == answers[0]["text"])
    out = session.take({"facts": answers[0]["facts"]})
    now = {row["fault"]: row["probability"] for row in out["suspects"]}
    for row in foretold["suspects"]:
        if row["fault"] in now and row["fault"] not in foretold["ruled_out"]:
            assert now[row["fault"]] == pytest.approx(row["probability"], abs=1e-3)


def test_a_thing_that_is_not_there_has_no_reasons(told: Session) -> None:
    with pytest.raises(LineError):
        told.reasons("f999")


async def test_what_ruled_a_suspect_out_stands_beside_it(told: Session) -> None:
    async with on_screen(told, (120, 50)) as held:
        rows = [row for row in held.screen.case.suspects if row.state == "ruled_out"]
        assert rows and all(row.because for row in rows)
        await held.press("f3", "end")
        last = rows[-1]
        flat = " ".join(held.shown().split())
        assert f"ruled out: {last.because.split()[0]}" in flat
