"""Findings and proofs of the rule base against CLIPS, an independent forward-chaining engine.

source: CLIPS 6.4 through clipspy; its Rete matcher shares no code with ours. The rules are translated here from
the YAML itself, not from the program's own reading of it.
"""

from __future__ import annotations

import random

import pytest
from reference import plain_rules

from assistant.engine import Engine
from assistant.knowledge import load

clips = pytest.importorskip("clips", reason="clipspy is not installed")

RULES = plain_rules.rules()
QUESTIONS = plain_rules.questions()
SETS = 260


def _environment():  # type: ignore[no-untyped-def]
    env = clips.Environment()
    env.build("(deftemplate answer (slot question) (slot state))")
    env.build("(deftemplate finding (slot name))")
    env.build("(deftemplate fired (slot rule) (slot proves))")
    for name, rule in RULES.items():
        left = [
            f'(answer (question "{q}") (state {"|".join(f"{chr(34)}{s}{chr(34)}" for s in states)}))'
            for q, states in rule["if"].items()
        ]
        left += [f'(finding (name "{f}"))' for f in rule["findings"]]
        right = [f'(assert (fired (rule "{name}") (proves "{rule["proves"] or ""}")))']
        if rule["finding"]:
            right.append(f'(assert (finding (name "{rule["finding"]}")))')
        env.build(f"(defrule {name} {' '.join(left)} => {' '.join(right)})")
    return env


def _chained(env, answers: dict[str, str]) -> tuple[set[str], set[str], set[str]]:  # type: ignore[no-untyped-def]
    env.reset()
    template = env.find_template("answer")
    for question, state in answers.items():
        template.assert_fact(question=question, state=state)
    env.run()
    fired, proves, found = set(), set(), set()
    for fact in env.facts():
        if fact.template.name == "fired":
            fired.add(str(fact["rule"]))
            proves.add(str(fact["proves"]))
        elif fact.template.name == "finding":
            found.add(str(fact["name"]))
    return fired, proves - {""}, found


def _answers(chance: random.Random) -> dict[str, str]:
    """Some answers at random, and some that satisfy whole rules, so that chains are reached."""
    names = sorted(QUESTIONS)
    out = {q: chance.choice(list(QUESTIONS[q]["states"])) for q in chance.sample(names, chance.randint(0, 40))}
    for name in chance.sample(sorted(RULES), chance.randint(0, 5)):
        waiting = [name]
        while waiting:
            rule = RULES[waiting.pop()]
            out |= {q: chance.choice(states) for q, states in rule["if"].items()}
            for finding in rule["findings"]:
                waiting.append(chance.choice([n for n, r in RULES.items() if r["finding"] == finding]))
    shuffled = list(out.items())
    chance.shuffle(shuffled)
    return dict(shuffled)


def test_same_rules_on_both_sides() -> None:
    assert set(RULES) == set(load().rules)


def test_findings_and_proofs_agree_on_random_answers() -> None:
    engine, env = Engine(load().rules), _environment()
    chance = random.Random(20260501)
    reached: set[str] = set()
    for number in range(SETS):
        answers = _answers(chance)
        fired, proves, found = _chained(env, answers)
        ours = engine.run(answers)
        assert {c.rule for c in ours} == fired, f"set {number}: {answers}"
        assert {c.proves for c in ours if c.proves} == proves
        assert {c.finding for c in ours if c.finding} == found
        reached |= fired
    assert len(reached) > 0.9 * len(RULES), "the random sets reach too few rules to mean anything"
