"""The rule base as typed, frozen data."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

SIDES = ("port", "starboard")
OTHER_SIDE = {"port": "starboard", "starboard": "port"}


class Strict(BaseModel):
    """Base of all knowledge: nothing unknown, nothing changed later."""

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)


def _several(value: Any) -> Any:
    """A single word stands for a list of one."""
    if isinstance(value, Mapping):
        return {k: (v,) if isinstance(v, str) else tuple(v) for k, v in value.items()}
    return value


States = Annotated[Mapping[str, tuple[str, ...]], BeforeValidator(_several)]
"""Question → states."""


class Step(Strict):
    """One set-up or restoration step, and the facts that report it."""

    text: str
    plain: str = ""
    facts: tuple[Mapping[str, Any], ...] = ()


class Answer(Strict):
    """One pickable answer of a test."""

    text: str
    facts: tuple[Mapping[str, Any], ...] = ()


class Fault(Strict):
    """One way in which a part fails."""

    id: str
    name: str
    plain: str
    means: str
    prior: float
    prior_source: str
    part: str = ""
    only_if: States = Field(default_factory=dict)
    """Boat data without which this fault cannot be: question → state."""
    put_right_by: tuple[Mapping[str, Any], ...] = ()
    """For a setting: the facts that put it right."""
    repair: str
    workshop: str = ""
    """Set when no test on board proves it: the workshop test that does."""
    varies: Literal["alike", "one_side", "by_chance"] = "alike"
    """How its uncertain answers hang together: how bad it is decides all alike; it sits on one side, not known
    which; or each answer falls out by itself."""
    leads_to: tuple[str, ...] = ()
    """Faults that this one often brings with it."""
    comes_in_a_run: bool = False
    """Whether it may strike in the middle of the work, in a run: an earlier good answer is then no contradiction."""
    check_cause: str = ""
    """What may have killed the part, to be checked after the repair."""


class Repair(Strict):
    """What puts a fault right."""

    id: str
    text: str
    plain: str
    parts: tuple[str, ...] = ()
    besides: tuple[str, ...] = ()
    """What is renewed with it where it is used up; nothing is condemned by that."""
    tools: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    verify: tuple[str, ...]
    source: str

    @property
    def renewed(self) -> tuple[str, ...]:
        """Everything that may be renewed: the parts, and what is used up besides."""
        return (*self.parts, *self.besides)


class Test(Strict):
    """Something that the assistant can ask somebody to do."""

    __test__ = False
    id: str
    text: str
    plain: str
    minutes: float
    setup: tuple[Step, ...] = ()
    restore: tuple[Step, ...] = ()
    scenes: tuple[str, ...] = ()
    """Set-up that is shared between tests, by circumstance; see `setup_minutes`."""
    tools: tuple[str, ...] = ()
    skill: Literal["anyone", "deckhand", "electrician"] = "anyone"
    live: bool = False
    """Meter or bridge on live power at the motor; not for an owner alone."""
    runs_motor: bool = False
    powered: bool = False
    """A step that can spark: a run, a click, closing the isolator, pulling a live plug."""
    only_if: States = Field(default_factory=dict)
    not_if: States = Field(default_factory=dict)
    needs_meter: bool = False
    needs_clamp: bool = False
    risks: tuple[str, ...] = ()
    warns: tuple[str, ...] = ()
    """Hazards of the next step that are raised with this test."""
    only_after: States = Field(default_factory=dict)
    """Asked for only when this question has one of these answers."""
    pointless_after: States = Field(default_factory=dict)
    """While the cause is looked for, not asked for once one of these answers stands."""
    only_after_any: tuple[str, ...] = ()
    """Asked for only when one of these answers (`question.state`) stands."""
    settles: tuple[str, ...] = ()
    """Hazards whose block on other tests this one can lift."""
    verify_text: str = ""
    answers: tuple[Answer, ...]
    own: bool = False
    because: str
    source: str


class StateRule(Strict):
    """How a value becomes this state: the first state of a question whose rule fits is taken."""

    at_least: float | None = None
    below: float | None = None
    values: tuple[bool | str | float, ...] | None = None
    words: str
    """How the state reads in a sentence."""


class Question(Strict):
    """One thing that can be answered, in one scene, with named states; the first is normal."""

    id: str
    asks: str
    about: str
    what: str
    scene: tuple[str, ...] = ()
    not_while: tuple[str, ...] = ()
    only_asked: tuple[str, ...] = ()
    not_asked: tuple[str, ...] = ()
    take: Literal["newest", "first", "later"] = "newest"
    unit: Literal["plain", "nominal"] = "plain"
    compute: str = ""
    states: Mapping[str, StateRule]
    tests: tuple[str, ...] = ()
    may_tell: tuple[str, ...] = ()
    """Tests that may bring the answer by the way, asked for it only when none of `tests` can be done."""
    needs: tuple[tuple[str, str, Any], ...] = ()
    with_current: Literal["", "yes", "no"] = ""
    """Whether the reading counts only with (or only without) a current known for the same attempt."""
    when_setup: tuple[tuple[str, str, Any], ...] = ()
    unless_setup: tuple[tuple[str, str, Any], ...] = ()
    leak: float | None = None
    says: Mapping[str, Mapping[str, tuple[str, ...]]] = Field(default_factory=dict)
    """State → word of the scale → faults (groups already spelt out)."""
    given: bool = False
    """A description of the boat or a person; no fault makes it so."""
    complaint: bool = False
    """Part of what the person complains of; the repair is proved when it is normal again."""
    same_as: tuple[str, ...] = ()
    """Other questions whose normal state says the same after a repair."""
    again_of: tuple[str, ...] = ()
    """Questions whose normal answer already says what the normal answer to this one would."""
    acquits: bool = True
    acquits_unless: Mapping[str, tuple[str, ...]] = Field(default_factory=dict)
    """Question → states; while one of them stands, a good answer here rules nothing out."""
    because: str
    source: str
    place: str = ""

    @property
    def normal(self) -> str:
        """The state of a sound boat."""
        return next(iter(self.states))

    @property
    def side(self) -> str:
        """The side that it asks about, by its name; empty when it asks about neither or both."""
        named = [s for s in SIDES if s in self.id.split("_")]
        return named[0] if len(named) == 1 else ""


class FleetCounts(Strict):
    """How often each fault was proved in so many closed cases of a fleet; as `springline fleet --priors` writes it."""

    cases: Annotated[int, Field(ge=0)]
    faults: Mapping[str, Annotated[int, Field(ge=0)]]


class Rule(Strict):
    """Named states → a finding or a proof."""

    id: str
    conditions: Mapping[str, tuple[str, ...]]
    """Question → states that satisfy it; key `finding` → names of findings, all needed."""
    unless: Mapping[str, tuple[str, ...]] = Field(default_factory=dict)
    """Question → states; while one of them stands, the rule proves nothing."""
    proves: str = ""
    finding: str = ""
    because: str
    plain: str = ""
    source: str
    place: str = ""


class Contradiction(Strict):
    """Two states that cannot both be."""

    id: str
    conditions: Mapping[str, tuple[str, ...]]
    text: str
    settle: str
    source: str


class Hazard(Strict):
    """A danger: what raises it, what it says, what clears it."""

    id: str
    level: Literal["danger", "warning", "caution", "notice"]
    name: str
    text: str
    plain: str
    clear_text: str
    clear_facts: tuple[Mapping[str, Any], ...]
    first_before_run: str = ""
    """What is put right before a run, while this hazard stands; empty for nothing."""
    raised_when: tuple[tuple[Mapping[str, Any], ...], ...] = ()
    cleared_when: tuple[tuple[Mapping[str, Any], ...], ...] = ()
    cleared_same_part: tuple[Mapping[str, Any], ...] = ()
    """Attributes and values that clear it when told of the very part that raised it."""
    cleared_by_work: bool = False
    """Whether any part told to be replaced or repaired since clears it."""
    with_step: bool = False
    with_attempt: Literal["", "run", "powered"] = ""
    """Raised also by such a step when it has just been reported."""
    with_scene: str = ""
    """Raised with a next step that has this set-up."""
    step_when: tuple[tuple[Mapping[str, Any], ...], ...] = ()
    """Alternatives of which one must stand for the step's hazard to be raised; none means always."""
    step_unless: tuple[tuple[Mapping[str, Any], ...], ...] = ()
    stop_text: str = ""
    stop_facts: tuple[Mapping[str, Any], ...] = ()
    standing: bool = True
    source: str
