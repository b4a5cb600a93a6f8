"""The probabilities of the diagnosis against pyAgrum, an independent library for Bayesian networks.

source: pyAgrum's exact inference (lazy propagation). The network is built here from the words of the YAML, in
another form than the program's table: every fault is a binary parent of its own; each question is the worst of
what each fault that is there, and chance, would make of it, one small node for each influence; doubt is a node
between the question and what was said of it; and one constraint node admits one fault, two faults, or the cause
not listed alone. Nothing here multiplies cumulative chances or enumerates pairs of faults.
"""

from __future__ import annotations

import dataclasses
import itertools
import random
from typing import Any

import pytest
from reference import plain_rules

from assistant.diagnosis.diagnose import Diagnoser
from assistant.diagnosis.table import Table, shared
from assistant.facts.model import Fact
from assistant.knowledge import Knowledge, load

gum = pytest.importorskip("pyagrum", reason="pyagrum (an extra of its own) is not installed")

FIGURES = plain_rules.scales()
QUESTIONS = plain_rules.questions()
FAULTS = plain_rules.faults()
OTHER = "other"

REDUCED: dict[str, tuple[str, ...]] = {
    "dead panel": (
        "panel.dead",
        "panel.not_switched_on",
        "harness.supply_open",
        "control_fuse.blown",
        "isolator.left_off",
        "battery.flat",
        "splitter.failed",
    ),
    "one way": (
        "panel.port_output_dead",
        "harness.port_signal_open",
        "control_unit.port_drive_dead",
        "contactor.port_coil_open",
        "contactor.port_contact_open",
        "contactor.return_contact_open",
        "contactor.starboard_coil_open",
        "coil_lead.port_open",
    ),
    "weak": (
        "battery.flat",
        "battery.weak",
        "positive_cable.poor_contact",
        "contactor.poor_contact",
        "motor.poor_brushes",
        "propeller.fouled",
        "coupling.broken",
    ),
    "hot": (
        "thermal_switch.tripped_hot",
        "thermal_switch.failed_open",
        "motor.short_circuit",
        "motor.seized",
        "motor.earthed",
        "main_fuse.blown",
    ),
}
SETS = 25


def touching(faults: tuple[str, ...]) -> list[str]:
    """Questions whose answers say something about these faults."""
    return [
        name
        for name, q in QUESTIONS.items()
        if not q.get("given") and any(set(table) & set(faults) for table in q["says"].values())
    ]


def picked(faults: tuple[str, ...], chance: random.Random, most: int = 7) -> dict[str, tuple[str, str]]:
    """A random evidence set: question → (state, doubt)."""
    names = chance.sample(touching(faults), chance.randint(2, most))
    blurs = [*["sure"] * 6, *FIGURES["blur"]]
    return {n: (chance.choice(list(QUESTIONS[n]["states"])), chance.choice(blurs)) for n in names}


# ------------------------------------------------ the network
def _influence(question: dict[str, Any], fault: str) -> list[float]:
    """What this fault alone would make of the answer: a chance for each state."""
    states = list(question["states"])
    if fault == OTHER:
        spoiled = FIGURES["other_spoils"]
        return [1 - spoiled] + [spoiled / (len(states) - 1)] * (len(states) - 1)
    row = [sum(FIGURES["scale"][w] for w in question["says"].get(s, {}).get(fault, [])) for s in states]
    row[0] = 1 - sum(row[1:])
    return row


def _admitted(there: tuple[int, ...], faults: tuple[str, ...]) -> float:
    """What the constraint makes of one combination; the last place is the cause not listed."""
    named = [f for f, x in zip(faults, there, strict=False) if x]
    if there[-1]:
        return 0.0 if named else 1.0
    if len(named) == 1:
        return 1.0
    if len(named) == 2:
        a, b = named
        chained = b in FAULTS[a].get("leads_to", ()) or a in FAULTS[b].get("leads_to", ())
        return float(FIGURES["second_after_chain"] if chained else FIGURES["second"])
    return 0.0


def network(faults: tuple[str, ...], evidence: dict[str, tuple[str, str]]) -> tuple[Any, dict[str, int]]:
    """The network and what is observed in it."""
    net = gum.BayesNet()
    total = sum(FAULTS[f]["prior"] for f in faults)
    share = {f: FAULTS[f]["prior"] / total * (1 - FIGURES["other"]) for f in faults} | {OTHER: FIGURES["other"]}
    causes = (*faults, OTHER)
    for i, fault in enumerate(causes):
        net.add(gum.LabelizedVariable(f"fault{i}", fault, 2))
        odds = share[fault]
        net.cpt(f"fault{i}").fillWith([1 / (1 + odds), odds / (1 + odds)])
    net.add(gum.LabelizedVariable("admitted", "", 2))
    for i in range(len(causes)):
        net.addArc(f"fault{i}", "admitted")
    for there in itertools.product((0, 1), repeat=len(causes)):
        chance = _admitted(there, faults)
        net.cpt("admitted")[{f"fault{i}": x for i, x in enumerate(there)}] = [1 - chance, chance]
    observed = {"admitted": 1}
    for name, (state, blur) in evidence.items():
        observed[_answer(net, name, causes, blur)] = list(QUESTIONS[name]["states"]).index(state)
    return net, observed


def _asked_side(name: str) -> str:
    sides = {"port", "starboard"} & set(name.split("_"))
    return sides.pop() if len(sides) == 1 else ""


def _one_side(net: Any, influence: str, i: int, asked: str, row: list[float]) -> None:
    """A fault that sits on one side, which is not known: the answer is bad there and good on the other side."""
    side = f"side{i}"
    if side not in net.names():
        net.add(gum.LabelizedVariable(side, "", ["port", "starboard"]))
        net.cpt(side).fillWith([0.5, 0.5])
    net.addArc(side, influence)
    sure = FIGURES["scale"]["surely"]
    for here in ("port", "starboard"):
        bad = sure if here == asked else 1 - sure
        net.cpt(influence)[{f"fault{i}": 0, side: here}] = [1.0] + [0.0] * (len(row) - 1)
        net.cpt(influence)[{f"fault{i}": 1, side: here}] = [1 - bad] + [bad if chance else 0.0 for chance in row[1:]]


def _answer(net: Any, name: str, causes: tuple[str, ...], blur: str) -> str:
    question = QUESTIONS[name]
    n = len(question["states"])
    leak = question.get("leak", FIGURES["leak"])
    worst = f"{name} by chance"
    net.add(gum.LabelizedVariable(worst, "", n))
    net.cpt(worst).fillWith([1 - leak] + [leak / (n - 1)] * (n - 1))
    for i, fault in enumerate(causes):
        row = _influence(question, fault)
        if row[0] == 1:
            continue
        net.add(gum.LabelizedVariable(f"{name} by {i}", "", n))
        net.addArc(f"fault{i}", f"{name} by {i}")
        asked = _asked_side(name)
        half = [chance for chance in row[1:] if chance] == [FIGURES["scale"]["half"]]
        if FAULTS.get(fault, {}).get("varies") == "one_side" and asked and half:
            _one_side(net, f"{name} by {i}", i, asked, row)
        else:
            net.cpt(f"{name} by {i}")[{f"fault{i}": 0}] = [1.0] + [0.0] * (n - 1)
            net.cpt(f"{name} by {i}")[{f"fault{i}": 1}] = row
        net.add(gum.LabelizedVariable(f"{name} up to {i}", "", n))
        net.addArc(worst, f"{name} up to {i}")
        net.addArc(f"{name} by {i}", f"{name} up to {i}")
        for a, b in itertools.product(range(n), repeat=2):
            one = [1.0 if s == max(a, b) else 0.0 for s in range(n)]
            net.cpt(f"{name} up to {i}")[{worst: a, f"{name} by {i}": b}] = one
        worst = f"{name} up to {i}"
    net.add(gum.LabelizedVariable(f"{name} said", "", n))
    net.addArc(worst, f"{name} said")
    tells_nothing = FIGURES["blur"][blur]
    for s in range(n):
        row = [tells_nothing / n + (1 - tells_nothing) * (t == s) for t in range(n)]
        net.cpt(f"{name} said")[{worst: s}] = row
    return f"{name} said"


def shares(
    faults: tuple[str, ...], evidence: dict[str, tuple[str, str]], absent: frozenset[str] = frozenset()
) -> dict[str, float]:
    """Each cause's share by exact inference: alone, and half of each pair it is in."""
    net, observed = network(faults, evidence)
    causes = (*faults, OTHER)
    observed |= {f"fault{causes.index(f)}": 0 for f in absent}
    free = [i for i, f in enumerate(causes) if f not in absent]
    inference = gum.LazyPropagation(net)
    inference.setEvidence(observed)
    pairs = [(i, j) for i, j in itertools.combinations(free, 2)]
    for i, j in pairs:
        inference.addJointTarget({f"fault{i}", f"fault{j}"})
    inference.makeInference()
    out = dict.fromkeys(causes, 0.0)
    for i in free:
        out[causes[i]] = float(inference.posterior(f"fault{i}")[1])
    for i, j in pairs:
        both = float(inference.jointPosterior({f"fault{i}", f"fault{j}"})[{f"fault{i}": 1, f"fault{j}": 1}])
        out[causes[i]] -= both / 2
        out[causes[j]] -= both / 2
    return out


# ------------------------------------------------ the program's own, on the same part of the rule base
def reduced(faults: tuple[str, ...]) -> Knowledge:
    whole = load()
    questions = {
        name: q.model_copy(
            update={
                "says": {
                    s: {w: tuple(f for f in named if f in faults) for w, named in table.items()}
                    for s, table in q.says.items()
                }
            }
        )
        for name, q in whole.questions.items()
        if name in set(touching(faults)) or q.given
    }
    return dataclasses.replace(
        whole, faults={f: whole.faults[f] for f in faults}, questions=questions, rules={}, contradictions={}
    )


@pytest.mark.parametrize("case", REDUCED)
def test_the_table_agrees_on_random_evidence(case: str) -> None:
    faults = REDUCED[case]
    table = Table(reduced(faults))
    chance = random.Random(f"table {case}")
    for number in range(SETS):
        evidence = picked(faults, chance)
        questions = table.knowledge.questions
        told = [(questions[q], state, blur) for q, (state, blur) in evidence.items()]
        ours = dict.fromkeys((*table.faults, OTHER), 0.0)
        for hypothesis, weight in zip(table.hypotheses, shared(table.weights(told)), strict=True):
            for fault in hypothesis:
                ours[fault] += weight / len(hypothesis)
        theirs = shares(faults, evidence)
        for fault, share in ours.items():
            assert share == pytest.approx(theirs[fault], abs=1e-9), f"{case} {number} {fault}: {evidence}"


def _facts(faults: tuple[str, ...], chance: random.Random) -> list[Fact]:
    """Readings told flatly, as flags and choices, so that no sum stands between them and a state."""
    out: list[Fact] = []
    told: set[tuple[str, str]] = set()
    for name in chance.sample(touching(faults), len(touching(faults))):
        q = load().questions[name]
        if (q.about, q.what) in told or q.compute or q.what.startswith("runs_") or q.only_asked or q.with_current:
            continue
        state = chance.choice(list(q.states))
        values = q.states[state].values
        if not values or len(out) >= 6:
            continue
        told.add((q.about, q.what))
        out.append(
            Fact(
                id=f"f{len(out) + 1}",
                turn=len(out) + 1,
                index=0,
                about=q.about,
                what=q.what,
                value=values[0],
                certain=chance.random() > 0.3,
                **{"while": q.scene},
            )
        )
    return out


@pytest.mark.parametrize("case", REDUCED)
def test_the_diagnosis_agrees_with_what_is_ruled_out_taken_as_absent(case: str) -> None:
    faults = REDUCED[case]
    diagnoser = Diagnoser(reduced(faults))
    chance = random.Random(f"diagnosis {case}")
    seen_ruled_out = False
    for number in range(SETS):
        diagnosis = diagnoser.diagnose(_facts(faults, chance))
        evidence = {
            q: (said.state, said.blur)
            for q, said in diagnosis.answers.items()
            if not diagnoser.knowledge.questions[q].given
        }
        seen_ruled_out |= bool(diagnosis.ruled_out)
        theirs = shares(faults, evidence, frozenset(diagnosis.ruled_out))
        for suspect in diagnosis.suspects:
            if suspect.state == "open":
                assert suspect.probability == pytest.approx(theirs[suspect.fault], abs=1.5e-6), f"{case} {number}"
        assert sum(s.probability for s in diagnosis.suspects) == pytest.approx(1, abs=1e-9)
        ours: dict[str, float] = {}
        for hypothesis, weight in diagnosis.weights:
            for fault in hypothesis:
                ours[fault] = ours.get(fault, 0.0) + weight / len(hypothesis)
        for fault, share in ours.items():
            assert share == pytest.approx(theirs[fault], abs=1e-9), f"{case} {number} {fault}"
    assert seen_ruled_out
