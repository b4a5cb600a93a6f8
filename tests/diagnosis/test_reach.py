"""What is passed over because nothing told may prove it never is what the facts do prove."""

from __future__ import annotations

import pytest
from session.driver import truthful
from truth import oracle

from assistant.diagnosis.diagnose import Diagnoser
from assistant.diagnosis.reach import in_reach
from assistant.diagnosis.seen import Told
from assistant.knowledge import load
from assistant.session import Session


@pytest.fixture(scope="module")
def diagnoser() -> Diagnoser:
    return Diagnoser(load())


@pytest.mark.parametrize("fault", oracle.FAULTS)
def test_a_proved_fault_was_in_reach_from_the_turn_that_proved_it(diagnoser: Diagnoser, fault: str) -> None:
    knowledge = diagnoser.knowledge
    session = Session(knowledge, diagnoser=diagnoser)
    truthful(session, [fault])
    facts = session.case.facts
    told = Told(facts, knowledge.words)
    for turn in sorted({f.turn for f in facts}):
        part = [f for f in facts if f.turn <= turn]
        for proved in diagnoser.conclude(part).proved:
            assert in_reach(part, proved, told, knowledge)


def test_a_setting_told_as_right_proves_no_fault_that_it_puts_right(diagnoser: Diagnoser) -> None:
    knowledge = diagnoser.knowledge
    session = Session(knowledge, diagnoser=diagnoser)
    session.take({"facts": [{"about": "isolator", "what": "position", "value": "on"}]})
    facts = session.case.facts
    put_right = {f for faults in knowledge.puts_right.values() for f in faults}
    assert not [f for f in sorted(put_right) if in_reach(facts, f, Told(facts, knowledge.words), knowledge)]
