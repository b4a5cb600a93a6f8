"""No path leads from a probability to a proof; sums, doubt and ruled-out causes behave as they should."""

from __future__ import annotations

import dataclasses
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from session.talking import diagnoser, f
from truth import oracle

from assistant.diagnosis.diagnose import Diagnoser
from assistant.facts.intake import take_fact
from assistant.facts.model import Fact
from assistant.knowledge import Knowledge, load


def facts(*told: dict[str, Any]) -> list[Fact]:
    out: list[Fact] = []
    for turn, raw in enumerate(told, 1):
        for one in take_fact(raw, load().words, 12):
            out.append(Fact(**one.model_dump(by_alias=True), id=f"f{len(out) + 1}", turn=turn, index=len(out)))
    return out


def with_priors(priors: dict[str, float]) -> Knowledge:
    known = load()
    changed = {k: x.model_copy(update={"prior": priors[k]}) for k, x in known.faults.items()}
    return dataclasses.replace(known, faults=changed)


ALL_HIGH = Diagnoser(with_priors(dict.fromkeys(load().faults, 0.999)), diagnoser().engine)


@pytest.mark.parametrize("fault", oracle.FAULTS)
def test_with_every_prior_at_0_999_a_report_proves_no_more(fault: str) -> None:
    told = facts(*oracle.reported(fault))
    assert set(ALL_HIGH.diagnose(told).proved) == set(diagnoser().diagnose(told).proved)


@pytest.mark.parametrize(
    "fault", ["panel.dead", "battery.weak", "contactor.welded", "motor.short_circuit", "coupling.broken"]
)
def test_a_fault_that_is_all_but_certain_beforehand_is_not_proved(fault: str) -> None:
    share = sum(x.prior for x in load().faults.values()) * 1e6
    sure = Diagnoser(
        with_priors({k: share if k == fault else x.prior for k, x in load().faults.items()}), diagnoser().engine
    )
    for told in (facts(), facts(*[{**x, "certain": False} for x in oracle.reported(fault)])):
        diagnosis = sure.diagnose(told)
        assert not diagnosis.proved and not diagnosis.verdict
        first = diagnosis.suspects[0]
        assert first.fault == fault and first.state == "open" and first.probability > 0.9


def test_hedged_answers_prove_nothing_however_many() -> None:
    for fault in oracle.FAULTS:
        boat = oracle.boat_for(fault)
        told = [x for t in oracle.TESTS for x in oracle.answer(fault, boat, t) or ()][:60]
        good = [{**x, "certain": False} for x in told]
        diagnosis = diagnoser().diagnose(facts(*good))
        assert not diagnosis.proved and not diagnosis.ruled_out


KEYS = sorted({(x["about"], x["what"]) for fault in oracle.FAULTS for x in oracle.reported(fault)})
POOL = [x for fault in oracle.FAULTS for x in oracle.reported(fault)]


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(st.sampled_from(range(len(POOL))), max_size=6, unique=True), st.booleans())
def test_open_causes_sum_to_one_at_six_places(which: list[int], certain: bool) -> None:
    diagnosis = diagnoser().diagnose(facts(*[{**POOL[i], "certain": certain} for i in which]))
    total = sum(round(s.probability * 10**6) for s in diagnosis.suspects if s.state == "open")
    assert total == 10**6
    assert all(s.probability == round(s.probability, 6) for s in diagnosis.suspects)
    assert all(s.probability == 1 for s in diagnosis.suspects if s.state == "proved")
    assert all(s.probability == 0 for s in diagnosis.suspects if s.state == "ruled_out")
    names = [s.fault for s in diagnosis.suspects]
    assert len(names) == len(set(names)) and set(load().faults) <= set(names)


@pytest.mark.parametrize("fault", oracle.FAULTS)
def test_the_truth_is_never_ruled_out_by_what_the_helm_can_tell(fault: str) -> None:
    boat = oracle.boat_for(fault)
    told = facts(*oracle.described(fault, boat), *oracle.as_found_facts(fault, boat))
    assert fault not in diagnoser().diagnose(told).ruled_out


def test_ruled_out_goes_when_its_fact_goes() -> None:
    told = facts(f("supply.voltage", 12.6, "at_rest"), f("thruster.runs", "none"))
    assert "main_fuse.blown" in diagnoser().diagnose(told).ruled_out
    assert "main_fuse.blown" not in diagnoser().diagnose(told[1:]).ruled_out


def test_one_reading_counts_once() -> None:
    """The same reading told twice weighs no more than told once."""
    once = diagnoser().diagnose(facts(f("thruster.thrust", "weak"), f("propeller.damaged", True)))
    twice = diagnoser().diagnose(
        facts(f("thruster.thrust", "weak"), f("propeller.damaged", True), f("propeller.damaged", True))
    )
    assert once.suspects == twice.suspects
