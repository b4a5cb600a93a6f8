"""Forward chaining over named answers, on durable_rules.

The library matches positive conditions exactly and has traps beside that path, so this module uses only
that path: symbols, no numbers; no absence; one quiet host; sessions begun with a fact that a no-op rule
matches, and always deleted; our own ids; errors of actions collected here. A run is a function of the
answers given to it, whatever their order.

The last few sessions are kept living. A run whose answers hold all that one of them was told goes on there
with what is new; any other, so every correction, begins afresh: nothing is ever retracted. As conditions are
positive only, both come to the same conclusions.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from typing import Any

from assistant.errors import EngineError
from assistant.knowledge.model import Rule

try:
    from durable.engine import Host, MessageNotHandledException, MessageObservedException
except ImportError as error:  # pragma: no cover - depends on how the library was built
    raise EngineError(
        "the rule engine durable_rules cannot be imported: its C part is missing or was built for another "
        "Python. Install a C compiler and the Python headers, then install again as the README says "
        "(on Python 3.13 with CPPFLAGS=-DPyEval_CallObject=PyObject_CallObject and --no-cache-dir)"
    ) from error

_RULESET = "springline"
_FINDING = "finding"


@dataclass(frozen=True, order=True)
class Conclusion:
    """One firing: what follows, by which rule, from which answers or findings."""

    rule: str
    proves: str
    finding: str
    used: tuple[tuple[str, str], ...]
    """(question, state) of every answer used; findings stand as ('finding', name)."""


@dataclass
class _Living:
    """One session of the library: what it was told, what has fired, what went wrong."""

    sid: str
    told: dict[str, str] = field(default_factory=dict)
    out: list[Conclusion] = field(default_factory=list)
    errors: list[str] = field(default_factory=list)

    def serves(self, answers: Mapping[str, str]) -> bool:
        """Whether nothing that it was told is missing in the answers, or other there."""
        return all(answers.get(question) == state for question, state in self.told.items())


class _QuietHost(Host):  # type: ignore[misc]
    """A host without background threads: they steal actions."""

    def _run(self) -> None:
        """Start nothing."""


class Engine:
    """All rules of one rule base, registered once; `run` may be called any number of times."""

    def __init__(self, rules: Mapping[str, Rule] | Iterable[Rule], firing_factor: int = 10, living: int = 4) -> None:
        """Validate and register the rules.

        Args:
            rules: The rules.
            firing_factor: Firings beyond so many times the number of rules are an error.
            living: How many sessions are kept; with 0 every run begins afresh.

        Raises:
            EngineError: A rule has no condition, an empty alternative or no conclusion.
        """
        listed = list(rules.values()) if isinstance(rules, Mapping) else list(rules)
        self._lock = threading.RLock()
        self._runs = 0
        self._limit = firing_factor * max(1, len(listed))
        self._most = living
        self._living: dict[str, _Living] = {}
        """By session id, the one last used at the end."""
        definition: dict[str, Any] = {
            "begin": {"all": [{"m": {"k": "begin"}}], "run": _nothing},
        }
        for rule in listed:
            _check(rule)
            if rule.id in definition:
                raise EngineError(f"the rule {rule.id} stands twice")
            definition[rule.id] = {"all": _antecedents(rule), "run": self._action(rule)}
        self._host = _QuietHost()
        try:
            self._host.set_rulesets({_RULESET: definition})
        except Exception as error:
            raise EngineError(f"the rules cannot be registered: {error}") from error

    def run(self, answers: Mapping[str, str]) -> tuple[Conclusion, ...]:
        """Chain from certain answers to everything that follows.

        Args:
            answers: Question → named state; only certain answers whose set-up was reported.

        Returns:
            Every firing, sorted; the order of `answers` makes no difference.

        Raises:
            EngineError: An action failed or the firing limit was passed.
        """
        with self._lock:
            memory = self._memory_for(answers)
            try:
                for question in sorted(answers.keys() - memory.told.keys()):
                    memory.told[question] = answers[question]
                    self._tell({"k": question, "s": answers[question], "sid": memory.sid, "id": f"answer {question}"})
                self._raise_errors(memory)
            except BaseException:
                self._end(memory)
                raise
            found = tuple(sorted(set(memory.out)))
            while len(self._living) > self._most:
                self._end(next(iter(self._living.values())))
            return found

    def _memory_for(self, answers: Mapping[str, str]) -> _Living:
        """The living session that was told most of these answers and nothing else, else a new one."""
        serving = [memory for memory in self._living.values() if memory.serves(answers)]
        if serving:
            memory = max(serving, key=lambda m: len(m.told))
            self._living[memory.sid] = self._living.pop(memory.sid)
            return memory
        self._runs += 1
        memory = self._living[str(self._runs)] = _Living(str(self._runs))
        self._host.assert_fact(_RULESET, {"k": "begin", "sid": memory.sid, "id": "begin"})
        return memory

    def _end(self, memory: _Living) -> None:
        del self._living[memory.sid]
        self._host.delete_state(_RULESET, memory.sid)

    def _tell(self, fact: dict[str, str]) -> None:
        with suppress(MessageNotHandledException):  # no rule mentions this answer: that is normal
            self._host.assert_fact(_RULESET, fact)

    def _raise_errors(self, memory: _Living) -> None:
        left = self._host.get_state(_RULESET, memory.sid).get("exception")
        if memory.errors or left:
            raise EngineError(f"a rule failed: {memory.errors[0] if memory.errors else left}")

    def _action(self, rule: Rule) -> Callable[[Any], None]:
        def act(c: Any) -> None:
            sid = str(c.s.sid)
            try:
                self._fire(c, rule, sid)
            except Exception as error:
                self._living[sid].errors.append(f"{rule.id}: {error!r}")

        return act

    def _fire(self, c: Any, rule: Rule, sid: str) -> None:
        out = self._living[sid].out
        if len(out) >= self._limit:
            raise EngineError(f"more than {self._limit} firings: a rule feeds itself")
        used = tuple(sorted((f["k"], f["s"]) for f in c._m.values()))
        out.append(conclude(rule, used))
        if rule.finding:
            # not handled: nobody needs it; observed: another rule has found it already
            with suppress(MessageNotHandledException, MessageObservedException):
                c.assert_fact({"k": _FINDING, "s": rule.finding, "id": f"finding {rule.finding}"})


def conclude(rule: Rule, used: tuple[tuple[str, str], ...]) -> Conclusion:
    """What one firing of a rule says."""
    return Conclusion(rule=rule.id, proves=rule.proves, finding=rule.finding, used=used)


def _nothing(c: Any) -> None:
    """The no-op that keeps the library's session alive until it is deleted."""


def _check(rule: Rule) -> None:
    if not rule.conditions or not all(rule.conditions.values()):
        raise EngineError(f"the rule {rule.id} has a condition without a state")
    if bool(rule.proves) == bool(rule.finding):
        raise EngineError(f"the rule {rule.id} must either prove a fault or state a finding")


def _antecedents(rule: Rule) -> list[dict[str, Any]]:
    out: list[dict[str, Any]] = []
    for question, states in rule.conditions.items():
        if question == _FINDING:
            # every finding named is needed
            out += [{f"a{len(out) + i}": {"$and": [{"k": _FINDING}, {"s": s}]}} for i, s in enumerate(states)]
        elif len(states) == 1:
            out.append({f"a{len(out)}": {"$and": [{"k": question}, {"s": states[0]}]}})
        else:
            either = {"$or": [{"s": s} for s in states]}
            out.append({f"a{len(out)}": {"$and": [{"k": question}, either]}})
    return out
