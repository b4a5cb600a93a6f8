"""Training: the boat answers what is asked, what is left out or condemned wrongly counts, and a seed is a case."""

from __future__ import annotations

import io
import json
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.boat.faults import known_faults
from assistant.errors import LineError
from assistant.journal import Journal, check, read_bytes
from assistant.knowledge import Knowledge, load
from assistant.train.draw import TrainingCase, TrainingError, boat_names, draw_case
from assistant.train.naming import meant, names_of_faults, names_of_tests
from assistant.train.plain import picks, train_plain
from assistant.train.session import TrainingSession
from assistant.train.shown import assistant_run, shown_lines

OPEN_SIGNAL = "harness.starboard_signal_open"
SELF_RUNNING = "contactor.welded"


@cache
def knowledge() -> Knowledge:
    return load()


def begun(seed: int = 3, *faults: str, boat: str = "") -> TrainingSession:
    session = TrainingSession(draw_case(knowledge(), seed, boat, faults), knowledge())
    session.begin()
    return session


def pick(session: TrainingSession, out: dict[str, Any], words: str) -> dict[str, Any]:
    facts = next(facts for text, facts in picks(out) if words in text)
    if out["stop"] is not None:
        return session.take({"facts": facts})
    return session.take({"answer": {"test": out["next"]["test"], "facts": facts}})


# ------------------------------------------------------------------------------- the case
def test_a_seed_is_a_case_and_wishes_are_kept() -> None:
    assert draw_case(knowledge(), 7) == draw_case(knowledge(), 7)
    assert len({draw_case(knowledge(), seed).faults for seed in range(8)}) > 3
    wished = draw_case(knowledge(), 1, "24v-series-reversed", [OPEN_SIGNAL])
    assert wished.faults == (OPEN_SIGNAL,) and wished.boat == "24V-series-reversed-manual"
    by_name = draw_case(knowledge(), 1, faults=[knowledge().faults[OPEN_SIGNAL].name])
    assert by_name.faults == (OPEN_SIGNAL,)


@pytest.mark.parametrize(
    ("boat", "fault", "says"),
    [
        ("galleon", [], "24V-series-reversed-manual"),
        ("", ["broken wotsit"], "Close to it"),
        ("manual", ["isolator_command.failed"], "cannot have this fault"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(boat: str, fault: list[str], says: str) -> None:
    with pytest.raises(TrainingError, match=says):
        draw_case(knowledge(), 1, boat, fault)


def test_every_kind_of_boat_can_be_asked_for() -> None:
    for name in boat_names():
        assert draw_case(knowledge(), 0, name).boat == name


# ------------------------------------------------------------------------------- asking
def test_the_complaint_is_told_and_no_conclusion_is() -> None:
    session = begun()
    out = session.history[0][1]
    told = {(f["about"], f["what"]): f["value"] for f in session.standing()}
    assert told["thruster", "runs"] == "port_only"
    assert out["suspects"] == [] and out["verdict"] is None and out["narrowed_to"] is None
    assert knowledge().faults[OPEN_SIGNAL].name not in out["reply"]


def test_a_test_is_asked_for_by_name_and_the_boat_answers() -> None:
    session = begun()
    out = session.take({"say": "Fuse check"})
    assert "fuse check, 2 min" in out["reply"]
    assert [f for f in session.standing() if f["turn"] == 2 and f["by"] == "simulated boat"]
    assert (session.score.tests, session.score.minutes, session.score.offers) == (1, 2.0, 0)


def test_typing_errors_are_forgiven_and_doubt_is_asked_back() -> None:
    names = names_of_tests(knowledge())
    assert meant("suply voltage at rest", names) == ["supply_voltage_at_rest"]
    session = begun()
    out = session.take({"say": "coil"})
    assert len(picks(out)) > 1 and session.score.tests == 0
    out = pick(session, out, "coil resistance")
    assert out["next"]["test"] == "coil_resistance"


def test_the_offer_of_the_assistant_can_be_taken_and_counts_as_one() -> None:
    session = begun()
    out = pick(session, session.history[0][1], "What the assistant would ask for")
    assert out["next"]["setup"] and session.score.tests == 0
    pick(session, out, "Set up first")
    assert (session.score.tests, session.score.offers) == (1, 1)


def test_the_list_has_every_test_that_can_be_done() -> None:
    reply = begun().take({"say": "list"})["reply"]
    assert all(name in reply for name in names_of_tests(knowledge()).values())


def test_what_the_trainee_has_not_measured_is_not_taken() -> None:
    session = begun()
    before = session.standing()
    out = session.take({"say": "battery voltage is 12.4 V at rest"})
    assert "find that out yourself" in out["reply"] and session.standing() == before


@pytest.mark.parametrize(
    "text", ["", "hello there", "\x1b[31mlist", "99", "it is", "<b>why</b>", "🛥" * 50, "it is zzz"]
)
def test_nonsense_changes_nothing(text: str) -> None:
    session = begun()
    before = session.standing()
    out = session.take({"say": text})
    assert out["reply"] and session.standing() == before and session.score.tests == 0


@pytest.mark.parametrize("line", [{"take_back": ["f1"]}, [], {"facts": [{"about": "x"}]}, {"facts": ["x"]}])
def test_lines_that_cannot_be_taken_say_so(line: Any) -> None:
    with pytest.raises(LineError):
        begun().take(line)


# ------------------------------------------------------------------------------- safety
def test_set_up_that_is_left_out_counts_and_set_up_that_is_done_does_not() -> None:
    careful, hasty = begun(), begun()
    for session, word in ((careful, "Set up first"), (hasty, "Do it straight on")):
        out = session.take({"say": "panel wake up"})
        assert any("Nobody swimming" in step for step in out["next"]["setup"])
        pick(session, out, word)
    assert careful.score.skipped == [] and "Nobody swimming" in hasty.score.skipped[0]
    clear = [f for f in careful.standing() if f["what"] == "people_clear"]
    assert clear and not [f for f in hasty.standing() if f["what"] == "people_clear"]


def test_set_up_that_stands_is_not_asked_for_again() -> None:
    session = begun()
    session.take({"say": "nobody in the water"})
    assert "panel wake up, 2 min" in session.take({"say": "panel wake up"})["reply"]
    assert session.score.skipped == []


def test_asking_on_while_she_runs_by_herself_is_a_hazard_ignored() -> None:
    session = begun(5, SELF_RUNNING)
    assert session.history[0][1]["stop"] is None
    out = session.take({"say": "isolator on"})
    assert out["stop"] is not None and out["next"] is None
    out = session.take({"say": "coil voltage"})
    assert len(session.score.ignored) == 1 and session.score.tests == 0
    out = pick(session, out, "")
    assert out["stop"] is None and out["next"] is not None


def test_fuel_vapour_is_looked_for_before_anything_that_can_spark() -> None:
    session = begun(3, OPEN_SIGNAL, boat="24V-series-split")
    out = session.take({"say": "coil voltage"})
    assert "vapour" in out["reply"].lower() and len(session.score.ignored) == 1 and session.score.tests == 0
    session.take({"say": "space check"})
    assert session.take({"say": "coil voltage"})["next"]["test"] == "coil_voltage"


def test_a_part_changed_with_the_power_on_counts() -> None:
    hot, safe = begun(), begun()
    hot.take({"say": "it is starboard run signal open in the harness"})
    assert hot.score.skipped
    safe.take({"say": "safe"})
    safe.take({"say": "it is starboard run signal open in the harness"})
    assert safe.score.skipped == []


# ------------------------------------------------------------------------------- naming and score
def test_the_right_fault_proved_first_ends_the_case_with_a_clean_score() -> None:
    session = begun(3, boat="24V-series-reversed")
    for test in ("coil voltage", "harness check"):
        out = session.take({"say": test})
        if out["next"]["test"] != "training":
            session.take({"say": "set up"})
    session.take({"say": "safe"})
    out = session.take({"say": "it is starboard run signal open in the harness"})
    assert session.over and out["closed"] is not None
    score = session.score
    assert (score.found, score.condemned, score.unproved, score.skipped, score.ignored) == (
        [OPEN_SIGNAL],
        [],
        [],
        [],
        [],
    )
    assert "Minutes: 13" in out["reply"] and "the assistant: 18" in out["reply"]  # it reads again what it proves


def test_a_good_part_condemned_and_a_guess_are_counted() -> None:
    session = begun()
    out = session.take({"say": "it is motor seized"})
    assert session.score.condemned == ["motor.seized"] and session.score.unproved == ["motor.seized"]
    assert not session.over and "port only" in out["reply"]
    out = session.take({"say": "it is starboard run signal open in the harness"})
    assert session.over and session.score.unproved == ["motor.seized", OPEN_SIGNAL]
    assert knowledge().faults["motor.seized"].name in out["reply"]


def test_two_faults_need_both() -> None:
    session = begun(2, OPEN_SIGNAL, "propeller.fouled")
    session.take({"say": "it is starboard run signal open in the harness"})
    assert not session.over
    session.take({"say": f"it is {knowledge().faults['propeller.fouled'].name}"})
    assert session.over and set(session.score.found) == {OPEN_SIGNAL, "propeller.fouled"}


@pytest.mark.parametrize(
    "fault", ["thermal_switch.tripped_hot", "isolator.left_off", "panel.not_switched_on", "battery.flat"]
)
def test_settings_and_parts_put_right_end_the_case(fault: str) -> None:
    session = begun(1, fault)
    out = session.take({"say": f"it is {knowledge().faults[fault].name}"})
    assert session.over and session.score.found == [fault] and "the complaint is gone" in out["reply"]


def test_giving_up_tells_what_it_was_and_the_case_takes_nothing_more() -> None:
    session = begun()
    out = session.take({"ask": {"close": True}})
    assert "Not found: starboard run signal open" in out["reply"] and out["suspects"]
    with pytest.raises(LineError):
        session.take({"say": "coil voltage"})
    assert "How the assistant does case 3" in session.take({"say": "show"})["reply"]
    assert session.take({"ask": {"report": "markdown"}})["answer"]["report"]


def test_why_stays_hidden_until_the_end() -> None:
    session = begun()
    session.take({"say": "fuse check"})
    out = session.take({"ask": {"why": OPEN_SIGNAL}})
    assert "fuse check" not in out["reply"]
    assert "keeps its conclusions" in out["reply"] and out["answer"] is None


def test_every_fault_has_a_name_by_which_it_can_be_named() -> None:
    names = names_of_faults(knowledge())
    assert set(names) == set(known_faults()) & set(knowledge().faults)
    for fault, name in names.items():
        assert meant(name, names) == [fault] and meant(fault, names) == [fault]


# ------------------------------------------------------------------------------- the record, the show
def test_the_same_seed_and_lines_give_the_same_record_to_the_byte(tmp_path: Path) -> None:
    heads = []
    for name in ("one", "two"):
        session = TrainingSession(draw_case(knowledge(), 3), knowledge())
        with Journal.create(tmp_path / name, session.header()) as journal:
            session.keep_in(journal)
            session.begin()
            for text in ("nobody in the water", "panel wake up", "coil voltage", "set up", "it is motor seized"):
                session.take({"say": text})
        checked = check(read_bytes(tmp_path / name))
        assert not checked.problems
        heads.append(checked.head)
        assert "simulated boat" in (tmp_path / name).read_text()
    assert heads[0] == heads[1]


def test_the_show_is_the_assistants_own_way() -> None:
    case: TrainingCase = draw_case(knowledge(), 3)
    runner = assistant_run(case, knowledge())
    lines = shown_lines(case, runner, knowledge())
    steps = [line for line in lines if line[:1].isdigit() and " min: " in line]
    assert [test.replace("_", " ") for test, _ in runner.course.steps] == [
        s[s.index(" ") + 1 : s.index(",")] for s in steps
    ]
    assert any("Proved: " + knowledge().faults[OPEN_SIGNAL].name in line for line in lines)
    assert lines == shown_lines(case, assistant_run(case, knowledge()), knowledge())


def test_plain_lines_from_the_complaint_to_the_score() -> None:
    out = io.StringIO()
    typed = "1\n1\n\nharness check\n1\n4\nit is starboard run signal open in the harness\nshow\nquit\n"
    assert train_plain(begun(), io.StringIO(typed), out, prompt=False) == 0
    text = out.getvalue()
    for piece in (
        "Score of case 3",
        "Set-up left out: none",
        "Parts condemned wrongly: none",
        "How the assistant does",
    ):
        assert piece in text
    assert text.isprintable() or {c for c in text if not c.isprintable()} == {"\n"}


SAID = st.sampled_from(
    ["1", "2", "3", "4", "coil voltage", "set up", "straight", "safe", "list", "panel wake up", "isolator on",
     "it is motor seized", "lug check", "stations power on", "thermal bridge", "what is wrong", "plug the panel in"]
)  # fmt: skip


@settings(max_examples=12, deadline=None)
@given(seed=st.integers(0, 400), said=st.lists(SAID | st.text(max_size=12), max_size=8))
def test_whatever_is_said_to_whatever_boat_is_taken(seed: int, said: list[str]) -> None:
    session, out = begun(seed), io.StringIO()
    lines = "\n".join(text.replace("\n", " ").replace("\r", " ") for text in said)
    assert train_plain(session, io.StringIO(f"{lines}\ngive up\n"), out, prompt=False) == 0
    assert session.score.minutes >= 0 and json.dumps(session.standing())
