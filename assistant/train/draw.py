"""Which case is trained on: drawn from a seed, or asked for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from random import Random

from rapidfuzz import process, utils

from assistant.bench.cases import complains
from assistant.boat.faults import known_faults, possible
from assistant.boat.spec import Spec, fleet
from assistant.errors import SpringlineError
from assistant.knowledge import Knowledge
from assistant.train.data import training_data

TRIES = 60
"""Draws until the owner has something to complain of."""

SEEDS = 100_000
"""How many cases there are to draw from when nobody asks for one."""


class TrainingError(SpringlineError):
    """What was asked for cannot be trained on."""


@dataclass(frozen=True)
class TrainingCase:
    """One boat with what is wrong with her."""

    spec: Spec
    faults: tuple[str, ...]
    seed: int
    boat_seed: int
    """Everything that the boat draws by chance follows from it."""

    @property
    def boat(self) -> str:
        """Name of the kind of boat."""
        return boat_name(self.spec)


def boat_name(spec: Spec) -> str:
    """A name for a kind of boat, made of its traits."""
    return f"{spec.nominal_voltage:g}V-{spec.motor}-{spec.isolator}".replace("_", "-")


def boat_names() -> tuple[str, ...]:
    """The kinds of boat that can be asked for."""
    return tuple(boat_name(spec) for spec in fleet())


def draw_case(knowledge: Knowledge, seed: int, boat: str = "", faults: Sequence[str] = ()) -> TrainingCase:
    """The case of a seed: the same seed and wishes always give the same case.

    Args:
        knowledge: The rule base, for the names of faults.
        seed: What is drawn follows from it.
        boat: Part of the name of a kind of boat; any kind when empty.
        faults: Ids or names of faults; one is drawn when empty.

    Raises:
        TrainingError: There is no such boat or fault, or they do not go together.
    """
    kinds = _boats(boat)
    wanted = tuple(dict.fromkeys(_fault(name, knowledge) for name in faults))
    for fault in wanted:
        kinds = [spec for spec in kinds if possible(fault, spec)]
        if not kinds:
            raise _error("not_on_boat", boat=boat or boat_names()[0], fault=knowledge.faults[fault].name)
    chance = Random(f"training {seed}")
    for _ in range(TRIES):
        spec, boat_seed = chance.choice(kinds), chance.randrange(1_000_000)
        chosen = wanted or (chance.choice([f for f in known_faults() if possible(f, spec) and f in knowledge.faults]),)
        if complains(chosen, spec, boat_seed):
            return TrainingCase(spec, chosen, seed, boat_seed)
    raise _error("nothing_to_complain", fault=", ".join(knowledge.faults[f].name for f in wanted))


def _boats(name: str) -> list[Spec]:
    found = [spec for spec in fleet() if name.strip().lower() in boat_name(spec).lower()]
    if not found:
        raise _error("no_boat", name=name, list=", ".join(boat_names()))
    return found


def _fault(name: str, knowledge: Knowledge) -> str:
    if name in knowledge.faults and name in known_faults():
        return name
    names = {fault: f"{fault} {knowledge.faults[fault].name}" for fault in known_faults() if fault in knowledge.faults}
    exact = [fault for fault in names if knowledge.faults[fault].name.lower() == name.strip().lower()]
    if exact:
        return exact[0]
    close = process.extract(name, names, processor=utils.default_process, limit=4)
    raise _error("no_fault", name=name, list=", ".join(str(found[2]) for found in close))


def _error(key: str, **words: str) -> TrainingError:
    return TrainingError(str(training_data()["errors"][key]).format(**words))
