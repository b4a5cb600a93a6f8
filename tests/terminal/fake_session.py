"""A session that plays outputs written down beforehand, in the shape of the conversation contract."""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping, Sequence
from typing import Any

Out = dict[str, Any]
Scripted = Mapping[str, Any] | Exception | Callable[[Mapping[str, Any]], Mapping[str, Any]]

_WHILE = {"at_rest": "at rest", "under_load": "under load", "panel_unplugged": "with the stations unplugged"}


class FakeNames:
    """Ids in words, good enough for the screen."""

    def fault(self, fault_id: str) -> str:
        part, _, failure = fault_id.partition(".")
        if not failure:
            return {"other": "a cause not in the list", "nothing_more": "nothing further"}[part]
        return f"{self.part(part)}: {failure.replace('_', ' ')}"

    def part(self, part_id: str) -> str:
        return part_id.replace("_", " ")

    def hazard(self, hazard_id: str) -> str:
        return hazard_id.replace("_", " ")

    def test(self, test_id: str) -> str:
        return test_id.replace("_", " ")

    def fact(self, fact: Mapping[str, Any]) -> str:
        value = (
            {True: "yes", False: "no"}.get(fact["value"], fact["value"])
            if isinstance(fact["value"], bool)
            else fact["value"]
        )
        unit = f" {fact['unit']}" if fact.get("unit") else ""
        scene = "".join(f", {_WHILE.get(name, name.replace('_', ' '))}" for name in fact.get("while", ()))
        return f"{fact['about'].replace('_', ' ')} {fact['what'].replace('_', ' ')} {value}{unit}{scene}"


class FakeSession:
    """Gives the next scripted output for each line; an exception in the script is raised."""

    def __init__(
        self,
        script: Sequence[Scripted] = (),
        *,
        role: str = "technician",
        history: Sequence[tuple[Mapping[str, Any], Mapping[str, Any]]] = (),
        gate: threading.Event | None = None,
    ) -> None:
        self.names = FakeNames()
        self.role = role
        self.history = history
        self.lines: list[dict[str, Any]] = []
        self.threads: set[str] = set()
        self._script = list(script)
        self._gate = gate
        self._turn = len(history)

    def take(self, line: Mapping[str, Any]) -> Out:
        self.threads.add(threading.current_thread().name)
        if self._gate is not None:
            assert self._gate.wait(10)
        self.lines.append(dict(line))
        step = self._script.pop(0) if self._script else {"reply": "Noted."}
        if isinstance(step, Exception):
            raise step
        self._turn += 1
        return output(self._turn, **(step(line) if callable(step) else step))


def output(turn: int, **given: Any) -> Out:
    """Return a whole output object, everything not given at its resting value."""
    whole: Out = {
        "turn": turn,
        "understood": [],
        "unclear": [],
        "refused": [],
        "replaced": [],
        "conflicts": [],
        "suspects": [],
        "hazards": [],
        "stop": None,
        "next": None,
        "narrowed_to": None,
        "verdict": None,
        "may_close": True,
        "closed": None,
        "reply": "",
        "answer": None,
        "head": f"{turn:064x}",
    }
    assert set(given) <= set(whole), set(given) - set(whole)
    return whole | given


def fact(fact_id: str, about: str, what: str, value: Any, **more: Any) -> dict[str, Any]:
    """Return a fact as an output carries it."""
    scene = more.pop("scene", ())
    return {
        "id": fact_id,
        "about": about,
        "what": what,
        "value": value,
        "while": list(scene),
        "words": "",
        "certain": True,
    } | more


def suspect(fault: str, probability: float, state: str = "open") -> dict[str, Any]:
    """Return one row of the suspects."""
    part = fault.split(".")[0] if "." in fault else None
    return {"fault": fault, "part": part, "probability": probability, "state": state, "because": []}


def hazard(name: str, level: str, text: str, cure: str, *facts: Mapping[str, Any], **more: Any) -> dict[str, Any]:
    """Return one live hazard."""
    return {
        "hazard": name,
        "level": level,
        "kind": "standing",
        "certain": True,
        "text": text,
        "since": 1,
        "clear_by": {"text": cure, "facts": list(facts)},
    } | more
