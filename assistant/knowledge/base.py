"""The loaded rule base, and the way to it: `load()`."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from importlib.resources.abc import Traversable
from typing import Any, TypeVar

from pydantic import ValidationError

from assistant.errors import KnowledgeError
from assistant.facts.vocabulary import Vocabulary, build_vocabulary
from assistant.knowledge.model import (
    Contradiction,
    Fault,
    FleetCounts,
    Hazard,
    Question,
    Repair,
    Rule,
    Strict,
    Test,
)
from assistant.knowledge.reader import Mapping as Placed
from assistant.knowledge.reader import read_yaml, rules_folder
from assistant.knowledge.spell import expand_each, fact_forms, spell_conditions, spell_question
from assistant.knowledge.tongue import BASE, Tongue, read_tongue

Item = TypeVar("Item", bound=Strict)
_PLAIN_FILES = (
    "parts",
    "observations",
    "scales",
    "groups",
    "faults",
    "repairs",
    "tests",
    "hazards",
    "safety/limits",
)
_FOLDERS = ("evidence", "conclusions")


@dataclass(frozen=True)
class Knowledge:
    """Everything under `rules/` that the diagnosis needs, checked for form (see `lint` for sense)."""

    words: Vocabulary
    scales: Mapping[str, Any]
    faults: Mapping[str, Fault]
    repairs: Mapping[str, Repair]
    tests: Mapping[str, Test]
    questions: Mapping[str, Question]
    rules: Mapping[str, Rule]
    contradictions: Mapping[str, Contradiction]
    hazards: Mapping[str, Hazard]
    limits: Mapping[str, Any]
    replies: Mapping[str, Any]
    tongue: Tongue
    """The language in which it is read and replied; every text here is in it already, as far as it has one."""
    fingerprint: str
    counts: FleetCounts | None = None
    """Counts of a fleet by which the priors were updated, if any."""

    @cached_property
    def puts_right(self) -> Mapping[tuple[str, str, Any], frozenset[str]]:
        """State (about, what, value) → the faults that it puts right, no part being needed."""
        out: dict[tuple[str, str, Any], frozenset[str]] = {}
        for fault in self.faults.values():
            for state in fault.put_right_by:
                key = state["about"], state["what"], state["value"]
                out[key] = out.get(key, frozenset()) | {fault.id}
        return out

    def questions_of(self, test: str) -> tuple[Question, ...]:
        """The questions that this test answers."""
        return tuple(q for q in self.questions.values() if test in q.tests)


def rule_files(folder: Traversable | None = None, language: str | None = None) -> Iterator[tuple[str, Traversable]]:
    """YAML files of the rule base with their names relative to `rules/`, in one fixed order.

    Args:
        folder: The rule base; that of the program by default.
        language: The language of a case: the folders of languages that it does not use are left out. None takes all.
    """
    for name, path in _walk(folder or rules_folder(), ""):
        room, _, rest = name.partition("/")
        if room != "words" or language is None or rest.partition("/")[0] in (BASE, language):
            yield name, path


def _walk(folder: Traversable, prefix: str) -> Iterator[tuple[str, Traversable]]:
    for entry in sorted(folder.iterdir(), key=lambda e: e.name):
        if entry.is_dir() and entry.name != "__pycache__":
            yield from _walk(entry, f"{prefix}{entry.name}/")
        elif entry.name.endswith(".yaml"):
            yield prefix + entry.name, entry


def fingerprint(folder: Traversable | None = None, language: str | None = None) -> str:
    """SHA-256 over names and bytes of the files of the rule base (see `rule_files`); line ends do not matter."""
    digest = hashlib.sha256()
    for name, path in rule_files(folder, language):
        data = path.read_bytes().replace(b"\r\n", b"\n")
        digest.update(f"{name}\n{len(data)}\n".encode())
        digest.update(data)
    return digest.hexdigest()


def load(language: str = BASE) -> Knowledge:
    """The rule base that came with the program, read once a process for each language.

    Raises:
        KnowledgeError: A file is missing or malformed, with file and line; or there is no such language.
    """
    return _load(language)


@cache
def _load(language: str) -> Knowledge:
    return load_from(rules_folder(), language)


def load_from(folder: Traversable, language: str = BASE) -> Knowledge:
    """Read a rule base from any folder of the same form."""
    tongue = read_tongue(folder, language)
    data = {name: read_yaml(folder / f"{name}.yaml") for name in _PLAIN_FILES}
    merged: dict[str, Placed] = {"questions": Placed(), "rules": Placed(), "contradictions": Placed()}
    for name in _FOLDERS:
        for file_name, path in _walk(folder / name, f"{name}/"):
            _merge(merged, read_yaml(path, file_name), file_name)
    seen = data["observations"]
    seen = {**seen, **{kind: tongue.renamed(kind, seen[kind]) for kind in ("attributes", "circumstances")}}
    words = build_vocabulary(tongue.renamed("parts", data["parts"]["parts"]), seen)
    groups = data["groups"]["groups"]
    questions = _items(Question, merged["questions"], lambda v: tongue.told(spell_question(v, groups)))
    tests = _items(Test, expand_each(data["tests"]["tests"]), lambda v: tongue.told(fact_forms(v)))
    return Knowledge(
        words=words,
        scales=data["scales"],
        faults=_items(Fault, data["faults"]["faults"], lambda v: tongue.told(_fault(v))),
        repairs=_items(Repair, data["repairs"]["repairs"], tongue.told),
        tests=tests,
        questions=questions,
        rules=_items(Rule, merged["rules"], lambda v: tongue.told(spell_conditions(v))),
        contradictions=_items(Contradiction, merged["contradictions"], lambda v: tongue.told(spell_conditions(v))),
        hazards=_items(Hazard, data["hazards"]["hazards"], lambda v: tongue.told(fact_forms(v))),
        limits=fact_forms(data["safety/limits"]),
        replies=tongue.replies,
        tongue=tongue,
        fingerprint=fingerprint(folder, language),
    )


def _merge(into: dict[str, Placed], data: Any, name: str) -> None:
    if not isinstance(data, Placed) or not set(data) <= set(into):
        raise KnowledgeError(f"must hold only {', '.join(into)}", name)
    for section, entries in data.items():
        for key, value in expand_each(entries).items():
            if key in into[section]:
                raise KnowledgeError(f"{key} stands in two places", value.place)
            into[section][key] = value


def _fault(value: Mapping[str, Any]) -> Mapping[str, Any]:
    out = dict(fact_forms(value))
    out["part"] = out.get("part") or str(out["id"]).partition(".")[0]
    return out


def _items(kind: type[Item], entries: Mapping[str, Any], spell: Any = lambda v: v) -> dict[str, Item]:
    out: dict[str, Item] = {}
    for key, value in entries.items():
        place = getattr(value, "place", "")
        if not isinstance(value, Mapping):
            raise KnowledgeError(f"{key} must be a mapping", place)
        data = dict(value) | {"id": key}
        if "place" in kind.model_fields:
            data["place"] = place
        try:
            out[key] = kind.model_validate(spell(data))
        except ValidationError as error:
            first = error.errors()[0]
            where = ".".join(str(p) for p in first["loc"])
            raise KnowledgeError(f"{key}: {where}: {first['msg']}", place) from error
        except KnowledgeError as error:
            raise KnowledgeError(f"{key}: {error.text}", place) from error
    return out
