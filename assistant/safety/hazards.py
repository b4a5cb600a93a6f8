"""Which hazards are live, which stop everything, and what clears them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from assistant.facts.model import Fact
from assistant.knowledge import Knowledge
from assistant.knowledge.model import Hazard, Test
from assistant.safety.states import States

LEVELS = ("danger", "warning", "caution", "notice")


@dataclass(frozen=True)
class Live:
    """A hazard on the banner."""

    hazard: Hazard
    kind: Literal["standing", "step"]
    certain: bool
    facts: tuple[str, ...]
    """Ids of the facts that raised it; empty for the next step's."""
    clear_facts: tuple[Mapping[str, Any], ...] = ()


@dataclass(frozen=True)
class Stop:
    """What must be done before anything else."""

    hazard: str
    text: str
    facts: tuple[Mapping[str, Any], ...]


def standing_hazards(states: States, knowledge: Knowledge) -> list[Live]:
    """Hazards that the facts alone keep live, most severe first."""
    out = []
    for hazard in knowledge.hazards.values():
        live = _standing(hazard, states)
        if live:
            out.append(live)
    return sorted(out, key=lambda h: LEVELS.index(h.hazard.level))


def _standing(hazard: Hazard, states: States) -> Live | None:
    for sure in (True, False):
        raised = [_all(option, states, doubtful=not sure) for option in hazard.raised_when]
        raising = [f for facts in raised for f in facts]
        left = [f for f in raising if not _mended(f, hazard, states)]
        if left and not _cleared(hazard, left, states):
            ids = tuple(dict.fromkeys(f.id for f in sorted(left, key=lambda f: f.order)))
            return Live(hazard, "standing", sure, ids, _clearing(hazard, left))
    return None


def _all(option: Iterable[Mapping[str, Any]], states: States, *, doubtful: bool) -> list[Fact]:
    found = [states.holding(condition, doubtful=doubtful) for condition in option]
    return [f for facts in found for f in facts] if all(found) else []


def _mended(fact: Fact, hazard: Hazard, states: States) -> bool:
    """Whether the very part that raised it has since been told to be right, or any part where that is enough."""
    if hazard.cleared_by_work and any(work.order > fact.order for work in states.works()):
        return True
    return any(
        f.order > fact.order and f.certain and f.about == fact.about and f.value == value
        for pair in hazard.cleared_same_part
        for what, value in pair.items()
        for f in states.told(fact.about, what)
    )


def _cleared(hazard: Hazard, raising: list[Fact], states: States) -> bool:
    latest = max(f.turn for f in raising)
    for option in hazard.cleared_when:
        clearing = [states.holding(c, doubtful=False) for c in option]
        if all(clearing) and all(any(f.turn >= latest for f in facts) or _kept(facts, raising) for facts in clearing):
            return True
    return False


def _kept(facts: list[Fact], raising: list[Fact]) -> bool:
    """A description (the kind of motor) clears whenever it was told."""
    return all(f.what == "kind" for f in facts) and bool(raising)


def _clearing(hazard: Hazard, raising: list[Fact]) -> tuple[Mapping[str, Any], ...]:
    """The facts that would clear it, for the parts that raised it where that matters."""
    if hazard.cleared_same_part:
        seen: dict[str, Mapping[str, Any]] = {}
        for fact in raising:
            for pair in hazard.cleared_same_part:
                for what, value in pair.items():
                    if what == fact.what:
                        seen[fact.about] = {"about": fact.about, "what": what, "value": value}
        return tuple(seen.values()) or hazard.clear_facts
    if raising and raising[0].about == "bridge" and raising[0].what == "fitted":
        return tuple(
            {"about": "bridge", "what": "removed", "value": v} for v in dict.fromkeys(f.value for f in raising)
        )
    return hazard.clear_facts


def find_stop(live: Iterable[Live]) -> Stop | None:
    """The most severe standing hazard that stops everything, or None."""
    for one in live:
        hazard = one.hazard
        if hazard.stop_text and one.kind == "standing":
            return Stop(hazard.id, hazard.stop_text, hazard.stop_facts)
    return None


def step_hazards(
    test: Test | None,
    attempts: frozenset[str],
    states: States,
    knowledge: Knowledge,
    also: Iterable[str] = (),
) -> list[Live]:
    """Hazards of the next step, and of an attempt just reported, most severe first.

    Args:
        test: The test that is asked for next, or None.
        attempts: What this line reports: `run`, `powered`, both or nothing.
        states: How things stand.
        knowledge: The rule base.
        also: Hazards that the planner met on its way (a better test that this person cannot do).
    """
    wanted = {*(test.warns if test else ()), *also}
    out = []
    for hazard in knowledge.hazards.values():
        with_this = hazard.id in wanted or hazard.with_attempt in attempts
        with_this = with_this or (test is not None and hazard.with_scene in test.scenes)
        with_this = with_this or (test is not None and test.runs_motor and hazard.with_attempt == "run")
        if with_this and step_applies(hazard, states):
            out.append(Live(hazard, "step", True, (), hazard.clear_facts))
    return sorted(out, key=lambda h: LEVELS.index(h.hazard.level))


def step_applies(hazard: Hazard, states: States) -> bool:
    """Whether a step's hazard is one in the present state."""
    if any(all_stand(option, states) for option in hazard.step_unless):
        return False
    return not hazard.step_when or any(bool(_all(option, states, doubtful=True)) for option in hazard.step_when)


def all_stand(conditions: Iterable[Mapping[str, Any]], states: States) -> bool:
    """Whether every one of these facts stands, with certainty."""
    return all(states.holding(c, doubtful=False) for c in conditions)
