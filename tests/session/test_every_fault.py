"""For every fault: a truthful session ends in its proof, and nothing that is there is ever ruled out."""

from __future__ import annotations

import pytest
from session.driver import Course, truthful
from truth import oracle

from assistant.diagnosis.diagnose import Diagnoser
from assistant.knowledge import load
from assistant.session import Session

WORKSHOP_ONLY = {"thermal_switch.failed_closed"}
"""No test on board opens the thermal switch of a sound motor: the trade does that in a water bath."""
NOT_BY_THE_VOCABULARY = WORKSHOP_ONLY | {
    "battery.weak", "battery.block_dead", "harness.supply_open", "harness.poor_contact", "splitter.failed",
    "harness.port_signal_open", "harness.starboard_signal_open", "control_unit.dead",
}  # fmt: skip
"""Told apart only by tests of our own; with the vocabulary's tests alone they end in `narrowed_to`."""


@pytest.fixture(scope="module")
def diagnoser() -> Diagnoser:
    return Diagnoser(load())


def course(diagnoser: Diagnoser, fault: str, *, own_tests: bool) -> Course:
    return truthful(Session(load(), diagnoser=diagnoser), [fault], own_tests=own_tests)


@pytest.mark.parametrize("fault", oracle.FAULTS)
def test_a_truthful_session_ends_in_the_proof(diagnoser: Diagnoser, fault: str) -> None:
    run = course(diagnoser, fault, own_tests=True)
    assert run.ruled_out_truth == []
    if fault in WORKSHOP_ONLY:
        assert run.proved == [] and fault in run.narrowed
        assert run.last["narrowed_to"]["settle"]
        return
    assert run.proved == [fault]
    assert run.verified, f"the repair was not proved: {run.last['may_close']}"
    assert run.last["may_close"] is True
    assert run.minutes <= 100


@pytest.mark.parametrize("fault", oracle.FAULTS)
def test_with_the_vocabulary_tests_alone_it_is_proved_or_named(diagnoser: Diagnoser, fault: str) -> None:
    run = course(diagnoser, fault, own_tests=False)
    assert run.ruled_out_truth == []
    assert [p for p in run.proved if p != fault] == []
    assert run.proved == [fault] or (fault in NOT_BY_THE_VOCABULARY and fault in run.narrowed)
