"""How things stand at one turn: the facts that have not gone stale, sorted for conditions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from assistant.diagnosis.compute import fitted_fuse, nominal_voltage
from assistant.diagnosis.seen import take_apart
from assistant.facts.model import Fact
from assistant.journal.times import seconds_between
from assistant.knowledge import Knowledge
from assistant.safety.states import States


def present(
    facts: Sequence[Fact], times: Mapping[int, str], turn: int, knowledge: Knowledge
) -> tuple[States, float, bool]:
    """States, nominal voltage in volts, and whether that was told.

    Args:
        facts: The facts that stand.
        times: Turn → recorded time.
        turn: The turn that counts as now.
        knowledge: The rule base.
    """
    seen = take_apart(facts, knowledge.words)
    nominal, known = nominal_voltage(seen)
    fuse = fitted_fuse(seen, knowledge.scales["defaults"], nominal)
    return States(_fresh(facts, times, turn, knowledge), knowledge.words, nominal, fuse), nominal, known


def _fresh(facts: Sequence[Fact], times: Mapping[int, str], turn: int, knowledge: Knowledge) -> list[Fact]:
    """The facts without those that have gone stale by the recorded times."""
    limits: Mapping[str, float] = knowledge.limits["stale_after"]
    now = times.get(turn)
    return [
        f
        for f in facts
        if f.what not in limits or now is None or seconds_between(times.get(f.turn, now), now) <= limits[f.what]
    ]
