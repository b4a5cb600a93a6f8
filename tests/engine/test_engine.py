"""The rule engine through its one public door: symbols in, conclusions out, whatever the library does."""

from __future__ import annotations

import itertools
import subprocess
import sys
import threading
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.engine import Conclusion, Engine
from assistant.engine import engine as module
from assistant.errors import EngineError
from assistant.knowledge import load
from assistant.knowledge.model import Rule

ROOT = Path(__file__).resolve().parents[2]


def rule(name: str, *, proves: str = "", finding: str = "", **conditions: Any) -> Rule:
    spelt = {q: (s,) if isinstance(s, str) else tuple(s) for q, s in conditions.items()}
    return Rule(id=name, conditions=spelt, proves=proves, finding=finding, because="because", source="here")


CHAIN = [
    rule("first", finding="fed", plug="live"),
    rule("lit", finding="lit", lamp="lit"),
    Rule(
        id="second",
        conditions={"finding": ("fed",), "lamp": ("dark",)},
        finding="fed_and_dark",
        because="b",
        source="s",
    ),
    Rule(
        id="third",
        conditions={"finding": ("fed_and_dark", "fed"), "port": ("ran",)},
        proves="panel.dead",
        because="b",
        source="s",
    ),
]
EVIDENCE = {"plug": "live", "lamp": "dark", "port": "ran"}


def proved(conclusions: tuple[Conclusion, ...]) -> set[str]:
    return {c.proves for c in conclusions if c.proves}


def test_chains_through_findings_and_says_what_it_used() -> None:
    out = {c.rule: c for c in Engine(CHAIN).run(EVIDENCE)}
    assert set(out) == {"first", "second", "third"}
    assert out["first"].used == (("plug", "live"),)
    assert out["second"].used == (("finding", "fed"), ("lamp", "dark"))
    assert out["third"].used == (("finding", "fed"), ("finding", "fed_and_dark"), ("port", "ran"))
    assert out["third"].proves == "panel.dead"


@pytest.mark.parametrize("missing", sorted(EVIDENCE))
def test_every_condition_is_needed(missing: str) -> None:
    assert not proved(Engine(CHAIN).run({q: s for q, s in EVIDENCE.items() if q != missing}))


def test_order_of_the_answers_makes_no_difference() -> None:
    engine = Engine(CHAIN)
    ends = {engine.run(dict(order)) for order in itertools.permutations(EVIDENCE.items())}
    assert len(ends) == 1


def test_order_of_the_rules_makes_no_difference() -> None:
    ends = {Engine(list(order)).run(EVIDENCE) for order in itertools.permutations(CHAIN)}
    assert len(ends) == 1


def test_an_answer_no_rule_mentions_is_normal() -> None:
    engine = Engine(CHAIN)
    assert engine.run({"sea_state": "rough"}) == ()
    assert engine.run({**EVIDENCE, "sea_state": "rough"}) == engine.run(EVIDENCE)
    assert engine.run({"lamp": "a_state_no_rule_knows"}) == ()


def test_nothing_told_concludes_nothing() -> None:
    assert Engine(CHAIN).run({}) == ()
    assert Engine([]).run({"lamp": "dark"}) == ()


def test_two_rules_may_conclude_the_same() -> None:
    rules = [
        rule("one", finding="fed", plug="live"),
        rule("other", finding="fed", studs="live"),
        Rule(id="end", conditions={"finding": ("fed",)}, proves="panel.dead", because="b", source="s"),
    ]
    out = Engine(rules).run({"plug": "live", "studs": "live"})
    assert sorted(c.rule for c in out) == ["end", "one", "other"]
    assert Engine(rules).run({"studs": "live"}) == tuple(c for c in out if c.rule != "one")


def test_any_of_several_states_will_do_and_fires_once() -> None:
    engine = Engine([rule("low", proves="battery.flat", rest=("low", "very_low"), load="sags")])
    for state in ("low", "very_low"):
        out = engine.run({"rest": state, "load": "sags"})
        assert [c.used for c in out] == [(("load", "sags"), ("rest", state))]
    assert engine.run({"rest": "charged", "load": "sags"}) == ()


def test_runs_do_not_remember_each_other() -> None:
    """A withdrawn answer leaves nothing behind: the library itself would keep what it derived."""
    engine = Engine(CHAIN)
    assert proved(engine.run(EVIDENCE)) == {"panel.dead"}
    assert engine.run({"port": "ran", "lamp": "dark"}) == ()
    assert proved(engine.run(EVIDENCE)) == {"panel.dead"}


@pytest.mark.parametrize(
    "text",
    ["1", "1.0", "true", "True", "1e-07", "nan", "", "x" * 5000, "Ω–µ “quoted” \n\t\\", "None", "$and"],
)
def test_states_are_compared_as_plain_words(text: str) -> None:
    """The library takes '1' for 1 and 1.0, and refuses exponents; words stay words."""
    engine = Engine([rule("match", proves="a.b", q=text or "empty"), rule("other", proves="c.d", q="another")])
    assert proved(engine.run({"q": text or "empty"})) == {"a.b"}
    for near in {"1", "1.0", "true", "True", "01"} - {text}:
        assert engine.run({"q": near}) == ()


def test_names_the_library_keeps_for_itself_are_harmless() -> None:
    for name in ("id", "sid", "$s", "k", "s", "exception", "m"):
        engine = Engine([rule("r", proves="a.b", **{name: "yes"})])
        assert proved(engine.run({name: "yes"})) == {"a.b"}
        assert engine.run({name: "no"}) == ()


def test_many_answers_never_collide() -> None:
    """A content hash of the library is 32 bits and gives false duplicates; our own ids do not."""
    rules = [rule(f"r{i}", proves=f"part.fault_{i}", **{f"q{i}": "bad"}) for i in range(400)]
    out = Engine(rules).run({f"q{i}": "bad" for i in range(400)})
    assert len(proved(out)) == 400


# ------------------------------------------------ refused before anything is registered
def test_a_rule_without_conditions_is_refused() -> None:
    with pytest.raises(EngineError, match="empty_one"):
        Engine([Rule(id="empty_one", conditions={}, proves="a.b", because="b", source="s")])


def test_a_condition_without_a_state_is_refused() -> None:
    with pytest.raises(EngineError, match="no_state"):
        Engine([Rule(id="no_state", conditions={"lamp": ()}, proves="a.b", because="b", source="s")])


@pytest.mark.parametrize("ends", [{}, {"proves": "a.b", "finding": "c"}])
def test_a_rule_proves_or_finds_and_not_both(ends: dict[str, str]) -> None:
    with pytest.raises(EngineError, match="two_ends"):
        Engine([rule("two_ends", lamp="dark", **ends)])


def test_a_rule_standing_twice_is_refused() -> None:
    with pytest.raises(EngineError, match="twin"):
        Engine([rule("twin", proves="a.b", q="x"), rule("twin", proves="c.d", q="y")])


def test_two_engines_live_side_by_side() -> None:
    one, two = Engine([rule("r", proves="a.b", q="x")]), Engine([rule("r", proves="c.d", q="x")])
    assert (proved(one.run({"q": "x"})), proved(two.run({"q": "x"}))) == ({"a.b"}, {"c.d"})


# ------------------------------------------------ loops and failures
def test_rules_that_feed_each_other_come_to_an_end() -> None:
    rules = [
        rule("start", finding="a", q="x"),
        Rule(id="there", conditions={"finding": ("a",)}, finding="b", because="b", source="s"),
        Rule(id="back", conditions={"finding": ("b",)}, finding="a", because="b", source="s"),
        Rule(id="itself", conditions={"finding": ("a", "b")}, finding="b", because="b", source="s"),
    ]
    out = Engine(rules).run({"q": "x"})
    assert {c.rule for c in out} == {"start", "there", "back", "itself"}
    assert len(out) <= len(rules) * 2


def test_the_firing_limit_is_an_error_and_not_a_hang() -> None:
    rules = [rule(f"r{i}", finding=f"f{i}", q="x") for i in range(5)]
    with pytest.raises(EngineError, match="firings"):
        Engine(rules, firing_factor=0).run({"q": "x"})


def test_a_failing_action_is_a_clear_error_naming_the_rule(monkeypatch: pytest.MonkeyPatch) -> None:
    engine = Engine(CHAIN, living=0)
    right = engine.run(EVIDENCE)
    keep = module.conclude

    def failing(one: Rule, used: Any) -> Conclusion:
        if one.id == "second":
            raise ValueError("the sky fell")
        return keep(one, used)

    monkeypatch.setattr(module, "conclude", failing)
    with pytest.raises(EngineError, match=r"second.*the sky fell"):
        engine.run(EVIDENCE)
    assert [c.rule for c in engine.run({"plug": "live"})] == ["first"]
    monkeypatch.undo()
    assert engine.run(EVIDENCE) == right


def test_the_first_of_several_failures_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """The library itself keeps only the last."""
    engine = Engine([rule(f"r{i}", finding=f"f{i}", **{f"q{i}": "x"}) for i in range(3)])
    monkeypatch.setattr(module, "conclude", lambda one, used: (_ for _ in ()).throw(RuntimeError(one.id)))
    with pytest.raises(EngineError, match="r0"):
        engine.run({f"q{i}": "x" for i in range(3)})


def test_even_an_exit_inside_an_action_is_not_silent(monkeypatch: pytest.MonkeyPatch) -> None:
    """The library swallows SystemExit and KeyboardInterrupt of an action."""
    engine = Engine(CHAIN)
    monkeypatch.setattr(module, "conclude", lambda one, used: sys.exit(3))
    with pytest.raises((EngineError, SystemExit)):
        engine.run(EVIDENCE)


ANSWERS = st.dictionaries(
    st.sampled_from(["plug", "lamp", "port", "star"]), st.sampled_from(["live", "dead", "dark", "lit", "ran", "still"])
)


@settings(max_examples=150, deadline=None)
@given(st.lists(ANSWERS, max_size=8), st.booleans())
def test_a_living_memory_comes_to_what_a_rebuild_comes_to(runs: list[dict[str, str]], grows: bool) -> None:
    if grows:  # as a case does: each turn tells more
        runs = [dict(itertools.chain.from_iterable(d.items() for d in runs[:n])) for n in range(1, len(runs) + 1)]
    for answers in runs:
        assert LIVING.run(answers) == REBUILT.run(answers)


LIVING, REBUILT = Engine(CHAIN), Engine(CHAIN, living=0)


def test_the_rule_base_concludes_alike_from_a_living_memory_and_from_a_rebuild() -> None:
    knowledge = load()
    living, rebuilt = Engine(knowledge.rules), Engine(knowledge.rules, living=0)
    for chosen in list(knowledge.rules.values())[::7]:
        told: dict[str, str] = {}
        for question, states in chosen.conditions.items():
            if question != "finding":
                told[question] = states[-1]
            assert living.run(told) == rebuilt.run(told), chosen.id
        for gone in list(told):
            less = {q: s for q, s in told.items() if q != gone}
            assert living.run(less) == rebuilt.run(less), (chosen.id, gone)


def test_a_failed_run_leaves_nothing_behind(monkeypatch: pytest.MonkeyPatch) -> None:
    engine = Engine(CHAIN)
    engine.run({"plug": "live"})
    with monkeypatch.context() as broken:
        broken.setattr(module, "conclude", lambda rule, used: 1 / 0)
        with pytest.raises(EngineError):
            engine.run({"plug": "live", "lamp": "dark"})
    assert engine.run(EVIDENCE) == Engine(CHAIN).run(EVIDENCE)


def test_threads_do_not_mix() -> None:
    engine = Engine(load().rules)
    cases = [{"plug_supply": "live", "lamp_woken": "dark", "bridged_port": "ran", "bridged_starboard": "ran"},
             {"coil_whole_port": "open"}, {"sense_whole": "open"}, {}]  # fmt: skip
    right = [engine.run(c) for c in cases]
    wrong: list[object] = []

    def work(which: int) -> None:
        for _ in range(40):
            try:
                if engine.run(cases[which]) != right[which]:
                    wrong.append(which)
            except Exception as error:
                wrong.append(error)

    threads = [threading.Thread(target=work, args=(i % len(cases),)) for i in range(8)]
    for t in threads:
        t.start()
    for t in threads:
        t.join(60)
    assert not wrong
    assert len(right[0]) == 2


# ------------------------------------------------ long life, in a process of its own
def _child(code: str) -> str:
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, timeout=300, check=False
    )
    assert done.returncode == 0, f"status {done.returncode}: {done.stderr[-2000:]}"
    return done.stdout


_HEAD = """
import os
from assistant.engine import Engine
from assistant.knowledge.model import Rule
def rule(name, q, **end): return Rule(id=name, conditions={q: ("x",)}, because="b", source="s", **end)
def pages(): return int(open("/proc/self/statm").read().split()[1]) * os.sysconf("SC_PAGE_SIZE") / 1e6
"""


def test_runs_in_which_no_rule_fires_never_kill_the_process() -> None:
    """Deleting a session in which nothing ever fired is a crash of the library."""
    code = _HEAD + (
        "e = Engine([rule('r', 'a', proves='p.q')])\n"
        "for i in range(200): e.run({}); e.run({'unknown': 'x'}); e.run({'a': 'no'})\n"
        "print(len(e.run({'a': 'x'})))\n"
    )
    assert _child(code).strip() == "1"


@pytest.mark.skipif(not Path("/proc/self/statm").exists(), reason="memory is read from /proc")
def test_three_thousand_runs_stay_flat() -> None:
    """The library leaks a session that is not deleted, and fails at the 1,025th."""
    code = _HEAD + (
        "e = Engine([rule(f'r{i}', f'q{i}', finding=f'f{i}') for i in range(20)])\n"
        "case = {f'q{i}': 'x' for i in range(20)}\n"
        "for i in range(300): e.run(case)\n"
        "before = pages()\n"
        "for i in range(3000): assert len(e.run(case if i % 3 else {})) == (20 if i % 3 else 0)\n"
        "print(pages() - before)\n"
    )
    assert float(_child(code)) < 8.0


def test_no_thread_is_left_running() -> None:
    code = _HEAD + (
        "import threading\n"
        "e = Engine([rule('r', 'a', proves='p.q')]); e.run({'a': 'x'})\n"
        "print(threading.active_count())\n"
    )
    assert _child(code).strip() == "1"


# ------------------------------------------------ the whole rule base against a plain reference
def by_hand(rules: Any, answers: dict[str, str]) -> set[str]:
    """Forward chaining in ten lines: the rules that fire."""
    found: set[str] = set()
    fired: set[str] = set()
    while True:
        new = {
            r.id
            for r in rules
            if r.id not in fired
            and all(f in found for f in r.conditions.get("finding", ()))
            and all(answers.get(q) in s for q, s in r.conditions.items() if q != "finding")
        }
        if not new:
            return fired
        fired |= new
        found |= {r.finding for r in rules if r.id in new and r.finding}


_RULES = list(load().rules.values())
_STATES = {q.id: list(q.states) for q in load().questions.values()}
_ENGINE = Engine(load().rules)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.sampled_from(_RULES), max_size=4),
    st.dictionaries(st.sampled_from(sorted(_STATES)), st.integers(0, 3), max_size=25),
    st.randoms(use_true_random=False),
)
def test_the_rule_base_chains_as_a_plain_loop_does(some: list[Rule], more: dict[str, int], random: Any) -> None:
    answers = {q: _STATES[q][i % len(_STATES[q])] for q, i in more.items()}
    for one in some:
        answers |= {q: s[0] for q, s in one.conditions.items() if q != "finding"}
    shuffled = list(answers.items())
    random.shuffle(shuffled)
    out = _ENGINE.run(dict(shuffled))
    assert {c.rule for c in out} == by_hand(_RULES, answers)
    assert out == _ENGINE.run(answers)
    for c in out:
        assert all(answers.get(q) == s or q == "finding" for q, s in c.used)
