"""Cases driven to their end in each way, on the simulated boat and on the independent oracle's boat."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from truth import oracle

from assistant.bench.aboard import SimulatedHelper
from assistant.bench.cases import CaseSpec, FalseReading, complains, pairs, singles
from assistant.bench.course import STEPS, Course, Runner
from assistant.bench.run import Job, run_job
from assistant.bench.ways import Assistant, Bench, Chart, Shuffled, Watched, Way, chart_steps
from assistant.boat.faults import known_faults, possible
from assistant.boat.spec import fleet
from assistant.knowledge import load
from assistant.session import Session

KNOWLEDGE = load()


class OracleHelper:
    """Somebody on the oracle's boat."""

    def __init__(self, faults: tuple[str, ...]) -> None:
        self.boat, self.left = oracle.boat_for(faults), list(faults)

    def faults(self) -> tuple[str, ...]:
        return tuple(self.left)

    def report(self) -> list[dict[str, Any]]:
        return [*oracle.described(self.left, self.boat), *self.complaint()]

    def complaint(self) -> list[dict[str, Any]]:
        return list(oracle.reported(self.left, self.boat))

    def answer(self, test: str, minutes: float) -> list[dict[str, Any]] | None:
        return oracle.answer(self.left, self.boat, test) if test in oracle.TESTS else None

    def make_safe(self) -> list[dict[str, Any]]:
        return oracle.make_safe(self.left, self.boat)

    def repair(self, fault: str) -> list[dict[str, Any]]:
        if fault not in self.left:
            return [{"about": KNOWLEDGE.faults[fault].part, "what": "replaced", "value": True}]
        self.left.remove(fault)
        return [*oracle.repair(fault), *oracle.after_repair([fault], self.boat, tuple(self.left))]


def simulated(faults: tuple[str, ...], way: Way, diagnoser: Watched, boat: int = 1, seed: int = 1) -> Course:
    helper = SimulatedHelper(KNOWLEDGE, fleet()[boat], faults, seed)
    return Runner(KNOWLEDGE, diagnoser, helper, faults, way).run()


WAYS = [Assistant(), Chart(KNOWLEDGE), Shuffled(KNOWLEDGE, 7)]


@pytest.mark.parametrize("way", WAYS, ids=["assistant", "chart", "random"])
@pytest.mark.parametrize("fault", ["main_fuse.blown", "coil_lead.port_open", "motor.open_circuit"])
def test_every_way_finds_a_plain_fault_and_ends_when_the_complaint_is_gone(
    way: Way, fault: str, diagnoser: Watched
) -> None:
    course = simulated((fault,), way, diagnoser)
    assert (course.proved, course.end, course.condemned) == ([fault], "gone", [])
    assert course.right and course.minutes <= course.minutes_in_all
    assert course.tests <= len(course.steps) < STEPS


@pytest.mark.parametrize("way", WAYS[:2], ids=["assistant", "chart"])
@pytest.mark.parametrize("fault", ["positive_cable.open", "contactor.no_output", "panel.dead"])
def test_the_independent_oracle_is_answered_the_same_way(way: Way, fault: str, diagnoser: Watched) -> None:
    course = Runner(KNOWLEDGE, diagnoser, OracleHelper((fault,)), (fault,), way).run()
    assert course.proved == [fault] and not course.condemned and not course.ruled_out


def test_the_assistant_takes_fewer_minutes_than_the_others_on_a_fault_far_down(diagnoser: Watched) -> None:
    ours, chart, drawn = (simulated(("coil_lead.port_open",), w, diagnoser).minutes for w in WAYS)
    assert ours < chart < drawn


def test_the_same_case_goes_the_same_way_again(diagnoser: Watched) -> None:
    case = CaseSpec(("panel.dead",), fleet()[0], 3, 0)
    first, again = run_job(Job(case, "random")).course, run_job(Job(case, "random")).course
    assert replace(first, turns=[]) == replace(again, turns=[])


def test_minutes_count_set_up_once_for_every_way(diagnoser: Watched) -> None:
    session = Session(KNOWLEDGE, diagnoser=diagnoser)
    table = Bench(session, diagnoser)
    session.take({"facts": [{"about": "panel", "what": "lights", "value": False}]})
    before = table.minutes("thermal_continuity"), table.minutes("panel_lead_voltage")
    off = {"about": "isolator", "what": "position", "value": "off"}
    session.take({"facts": [off, {"about": "panel", "what": "plugged", "value": False}]})
    saved = KNOWLEDGE.scales["setup_minutes"]
    assert table.minutes("thermal_continuity") == before[0] - saved["isolator_off"]
    assert table.minutes("panel_lead_voltage") == before[1] - saved["panel_unplugged"]


def test_the_limits_hold_for_every_way(diagnoser: Watched) -> None:
    """On a petrol boat nothing that can spark is done before the space is aired, whoever chooses."""
    petrol = next(i for i, s in enumerate(fleet()) if s.fuel == "petrol")
    for way in WAYS:
        course = simulated(("coil_lead.port_open",), way, diagnoser, boat=petrol)
        names = [t for t, _ in course.steps]
        airing = names.index("space_check")
        sparks = [n for n in names[:airing] if KNOWLEDGE.tests[n].powered or KNOWLEDGE.tests[n].runs_motor]
        assert sparks == []


def test_a_part_that_was_never_bad_is_told_apart_from_another_fault_of_a_bad_part(diagnoser: Watched) -> None:
    class Wrongly:
        """Reports a blown fuse that is whole."""

        def __init__(self) -> None:
            self.inner = SimulatedHelper(KNOWLEDGE, fleet()[1], ("isolator.left_off",), 1)

        def __getattr__(self, name: str) -> Any:
            return getattr(self.inner, name)

        def answer(self, test: str, minutes: float) -> list[dict[str, Any]] | None:
            facts = self.inner.answer(test, minutes)
            if test != "fuse_check" or facts is None:
                return facts
            wrong = {("main_fuse", "blown"): True, ("main_fuse", "continuity"): False}
            return [{**f, "value": wrong.get((f["about"], f["what"]), f["value"])} for f in facts]

    class FuseFirst(Assistant):
        def choose(self, out: Any, table: Bench, carried: frozenset[str]) -> tuple[str, float] | None:
            return super().choose(out, table, carried) if "fuse_check" in carried else ("fuse_check", 2.0)

    course = Runner(KNOWLEDGE, diagnoser, Wrongly(), ("isolator.left_off",), FuseFirst()).run()
    assert course.condemned == ["main_fuse.blown"] and not course.right


# ------------------------------------------------------------------ the cases
def test_cases_are_seeded_and_every_one_has_a_complaint() -> None:
    drawn = singles(1, only=["battery.weak", "main_fuse.blown", "thermal_switch.failed_closed"])
    assert drawn == singles(1, only=["battery.weak", "main_fuse.blown", "thermal_switch.failed_closed"])
    assert {c.faults for c in drawn} == {("battery.weak",), ("main_fuse.blown",)}
    assert all(complains(c.faults, c.spec, c.seed) for c in drawn)


def test_pairs_are_of_two_parts_of_one_possible_boat() -> None:
    drawn = pairs(6)
    assert len(drawn) == 6 and drawn[:3] == pairs(3)
    for case in drawn:
        a, b = case.faults
        assert a.partition(".")[0] != b.partition(".")[0]
        assert possible(a, case.spec) and possible(b, case.spec)


@pytest.mark.parametrize("seed", range(12))
def test_exactly_one_reading_is_false_and_never_a_set_up(seed: int) -> None:
    spec = fleet()[0]
    honest = SimulatedHelper(KNOWLEDGE, spec, ("contactor.no_output",), 1)
    liar = FalseReading(SimulatedHelper(KNOWLEDGE, spec, ("contactor.no_output",), 1), KNOWLEDGE.words, seed, 3)
    differing = []
    for test in ("isolator_check", "fuse_check", "coil_voltage", "coil_direct", "thermal_continuity"):
        true, told = honest.answer(test, 5) or [], liar.answer(test, 5) or []
        assert len(true) == len(told)
        differing += [(a, b) for a, b in zip(true, told, strict=True) if a != b]
    assert len(differing) == 1
    true_one, false_one = differing[0]
    assert {**true_one, "value": 0} == {**false_one, "value": 0}
    assert false_one == liar.told and liar.truth == true_one["value"]
    assert false_one["what"] not in KNOWLEDGE.words.states


def test_the_chart_names_only_tests_questions_and_states_that_exist() -> None:
    for step in chart_steps():
        assert step.test in KNOWLEDGE.tests
        for conditions in (step.when, step.when_any, step.unless):
            for question, states in conditions.items():
                assert set(states) <= set(KNOWLEDGE.questions[question].states), (step.test, question)


def test_the_chart_branches_on_answers() -> None:
    bridge = next(s for s in chart_steps() if s.test == "command_bridge")
    assert bridge.fits({"woken_port": "dead"})
    assert not bridge.fits({"woken_port": "ran", "woken_starboard": "ran"})
    assert not bridge.fits({"woken_port": "dead", "studs_rest": "dead"})


def test_every_fault_of_the_boat_belongs_to_the_rule_base() -> None:
    assert set(known_faults()) == set(KNOWLEDGE.faults)
