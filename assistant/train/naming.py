"""What a typed name means: a test, or a fault."""

from __future__ import annotations

from collections.abc import Mapping

from rapidfuzz import fuzz, process, utils

from assistant.boat import bench
from assistant.boat.faults import known_faults
from assistant.knowledge import Knowledge
from assistant.train.data import training_data


def names_of_tests(knowledge: Knowledge) -> dict[str, str]:
    """Every test that can be done in training, with its name."""
    able = set(bench.tests()) | {t for t, entry in knowledge.tests.items() if entry.settles}
    able.add(str(knowledge.limits["first_question"]))
    return {test: test.replace("_", " ") for test in knowledge.tests if test in able}


def names_of_faults(knowledge: Knowledge) -> dict[str, str]:
    """Every fault that the boat can have, with its name."""
    return {fault: knowledge.faults[fault].name for fault in known_faults() if fault in knowledge.faults}


def meant(typed: str, names: Mapping[str, str], *, only_surely: bool = False) -> list[str]:
    """Ids that the typed words may mean: one when it is clear, several when it is not, none.

    Args:
        typed: What was typed.
        names: Id → name.
        only_surely: Leave out what is only perhaps meant.
    """
    plain = " ".join(typed.lower().replace("_", " ").split())
    exact = [key for key, name in names.items() if plain in (key.lower().replace("_", " "), name.lower())]
    if exact:
        return exact[:1]
    alike = training_data()["alike"]
    found = process.extract(
        plain,
        names,
        scorer=_alike,
        processor=utils.default_process,
        limit=alike["shown"],
        score_cutoff=alike["perhaps"],
    )
    if not found:
        return []
    best = found[0][1]
    near = [str(key) for _, score, key in found if score > best - alike["margin"]]
    if best >= alike["surely"] and len(near) == 1:
        return near
    return [] if only_surely else [str(key) for _, _, key in found]


def _alike(one: str, other: str, **_: object) -> float:
    return max(fuzz.ratio(one, other), fuzz.token_sort_ratio(one, other), 0.98 * fuzz.token_set_ratio(one, other) - 4)
