"""The shipped rule base: complete, sound, and refused when it is made wrong."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
import yaml

from assistant.errors import KnowledgeError
from assistant.knowledge import Knowledge, load
from assistant.knowledge.reader import read_text
from assistant.knowledge.show import show
from assistant.lint import check_rules

VOCABULARY = Path(__file__).parents[3] / "shared" / "vocabulary.yaml"


def without_pairs(knowledge: Knowledge) -> tuple[str, ...]:
    return check_rules(knowledge, pairs=False).errors


def test_the_shipped_rules_pass_the_check() -> None:
    report = check_rules(load(), pairs=False)
    assert report.errors == ()
    assert report.groups == ()


def test_it_is_as_wide_as_it_should_be() -> None:
    knowledge = load()
    assert len(knowledge.questions) >= 150
    assert len(knowledge.rules) >= 150
    assert all(q.because and q.source for q in knowledge.questions.values())
    assert all(r.because and r.source for r in knowledge.rules.values())


@pytest.mark.skipif(not VOCABULARY.exists(), reason="the shared vocabulary is not beside this checkout")
def test_every_id_of_the_vocabulary_is_there_and_keeps_its_meaning() -> None:
    shared = yaml.safe_load(VOCABULARY.read_text(encoding="utf-8"))
    knowledge = load()
    assert set(shared["subjects"]) <= set(knowledge.words.parts)
    assert set(shared["circumstances"]) <= set(knowledge.words.circumstances)
    assert set(shared["faults"]) <= set(knowledge.faults)
    assert set(shared["tests"]) <= set(knowledge.tests)
    assert {t: float(m) for t, m in shared["minutes"].items()} == {
        t: knowledge.tests[t].minutes for t in shared["minutes"]
    }
    for name, entry in shared["hazards"].items():
        assert knowledge.hazards[name].level == entry["level"]
    for name, entry in {**shared["attributes"], **shared["more_attributes"]}.items():
        ours = knowledge.words.attributes[name]
        if "choice" in entry:
            assert {str(c) for c in entry["choice"]} <= set(ours.choices)
        elif "number" in entry:
            assert (ours.kind, ours.unit) == ("number", entry["number"])
        else:
            assert ours.kind == "flag"


def test_a_proof_that_another_fault_would_pass_is_refused() -> None:
    knowledge = load()
    rule = knowledge.rules["contactor_passes_nothing"]
    tempting = rule.model_copy(update={"conditions": {"output_port": ("none",), "output_starboard": ("none",)}})
    errors = without_pairs(replace(knowledge, rules={**knowledge.rules, rule.id: tempting}))
    assert any("main_fuse.blown would pass this proof of contactor.no_output" in e for e in errors)
    assert any("isolator.left_off would pass" in e for e in errors)


def test_without_the_clicks_a_broken_common_feed_would_pass() -> None:
    knowledge = load()
    rule = knowledge.rules["contactor_passes_nothing"]
    conditions = {k: v for k, v in rule.conditions.items() if "clicks" not in k}
    weak = rule.model_copy(update={"conditions": conditions})
    errors = without_pairs(replace(knowledge, rules={**knowledge.rules, rule.id: weak}))
    assert any("contactor.port_coil_open would pass this proof of contactor.no_output" in e for e in errors)


def test_a_rule_that_can_never_fire_is_refused() -> None:
    knowledge = load()
    rule = knowledge.rules["panel_is_dead_bridged"]
    lost = rule.model_copy(update={"conditions": {"finding": ("nobody_states_this",), "bridged_port": ("ran",)}})
    errors = without_pairs(replace(knowledge, rules={**knowledge.rules, rule.id: lost}))
    assert any("can never fire" in e for e in errors)


def test_unknown_ids_are_refused_with_their_place() -> None:
    knowledge = load()
    rule = knowledge.rules["panel_is_dead_bridged"]
    lost = rule.model_copy(update={"conditions": {"no_such_question": ("ran",)}})
    errors = without_pairs(replace(knowledge, rules={**knowledge.rules, rule.id: lost}))
    assert any("unknown question no_such_question" in e and "conclusions/control.yaml:" in e for e in errors)


def test_a_hazard_that_nothing_clears_is_refused() -> None:
    knowledge = load()
    hazard = knowledge.hazards["sense_lead_off"].model_copy(update={"cleared_when": ()})
    errors = without_pairs(replace(knowledge, hazards={**knowledge.hazards, hazard.id: hazard}))
    assert "hazard sense_lead_off: nothing clears it" in errors


def test_a_fault_that_nothing_proves_is_refused_unless_it_is_for_the_workshop() -> None:
    knowledge = load()
    rules = {k: r for k, r in knowledge.rules.items() if r.proves != "control_fuse.blown"}
    errors = without_pairs(replace(knowledge, rules=rules))
    assert any(e.startswith("fault control_fuse.blown: nothing proves it") for e in errors)


def test_a_test_that_nobody_needs_the_answer_of_is_refused() -> None:
    knowledge = load()
    idle = knowledge.tests["isolator_look"].model_copy(update={"id": "idle_look"})
    errors = without_pairs(replace(knowledge, tests={**knowledge.tests, "idle_look": idle}))
    assert "test idle_look: nobody's answer to it matters" in errors


def test_a_reading_that_would_count_twice_is_refused() -> None:
    knowledge = load()
    again = knowledge.questions["studs_rest"].model_copy(update={"id": "studs_once_more"})
    errors = without_pairs(replace(knowledge, questions={**knowledge.questions, again.id: again}))
    assert any("studs_once_more" in e and "count twice" in e for e in errors)


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("a: no\n", "x.yaml:1: no must stand in quotes"),
        ("a: 1\nb: 2\na: 3\n", "x.yaml:3: the key a stands twice"),
        ("on: 1\n", "x.yaml:1: the key on must stand in quotes"),
        ("a:\n  - [1, 2\n", "x.yaml:"),
        ("a: &b {c: 1}\nd:\n  <<: *b\n", "x.yaml:3: merge keys are not allowed"),
    ],
)
def test_the_reader_says_where_and_what(text: str, wanted: str) -> None:
    with pytest.raises(KnowledgeError) as caught:
        read_text(text, "x.yaml")
    assert str(caught.value).startswith(wanted)


def test_plain_words_stay_what_they_are() -> None:
    data = read_text('a: true\nb: "no"\nc: 12\nd: 1.5\ne: 2/0\nf: 007\n', "x.yaml")
    assert data == {"a": True, "b": "no", "c": 12, "d": 1.5, "e": "2/0", "f": "007"}


def test_every_entry_can_be_shown() -> None:
    knowledge = load()
    for section in (
        knowledge.faults,
        knowledge.tests,
        knowledge.questions,
        knowledge.rules,
        knowledge.hazards,
        knowledge.repairs,
    ):
        for entry in section:
            assert show(knowledge, entry)
    with pytest.raises(KnowledgeError, match=r"panel\.dead"):
        show(knowledge, "panel.daed")
