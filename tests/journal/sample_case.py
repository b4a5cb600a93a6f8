"""Cases made for the tests of the record: outputs written by hand in the form of the conversation."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from assistant.errors import LineError
from assistant.journal import Chain, Checked, Journal, check, normalised

HEADER = {"kind": "case", "format": 1, "program": "0.1.0", "rules": "ab" * 32, "role": "technician"}
Output = dict[str, Any]


def at(minute: int, hour: int = 9) -> str:
    return f"2026-05-04T{hour:02d}:{minute:02d}:00+02:00"


def fact(fact_id: str, about: str, what: str, value: Any, **more: Any) -> dict[str, Any]:
    more = {key.rstrip("_"): item for key, item in more.items()}
    return {"id": fact_id, "about": about, "what": what, "value": value, "certain": True, **more}


def hazard(name: str, level: str, since: int, *facts: dict[str, Any], kind: str = "standing") -> Output:
    clear = {"text": f"what clears {name}", "facts": list(facts)}
    text = f"{name} is live"
    return {
        "hazard": name,
        "level": level,
        "kind": kind,
        "certain": True,
        "text": text,
        "since": since,
        "clear_by": clear,
    }


def test_asked(name: str, *answers: dict[str, Any], setup: tuple[Any, ...] = ()) -> Output:
    return {
        "test": name,
        "text": f"Do {name}.",
        "plain_text": f"Please do {name}.",
        "setup": list(setup),
        "tools": [],
        "minutes": 5,
        "answers": [{"text": "so", "facts": list(answers)}],
        "why": "It tells most in a minute.",
    }


test_asked.__test__ = False  # type: ignore[attr-defined]


def output(turn: int, **more: Any) -> Output:
    base: Output = {key: [] for key in ("understood", "unclear", "refused", "replaced", "conflicts")}
    base |= {"suspects": [], "hazards": [], "stop": None, "next": None, "narrowed_to": None, "verdict": None}
    base |= {"may_close": True, "closed": None, "reply": f"Reply {turn}.", "answer": None, "turn": turn}
    return base | more


class ScriptedSession:
    """A session that answers each line from a script, and seals its turns as a real one does."""

    def __init__(self, script: list[Output], header: Mapping[str, Any] = HEADER, sink: Any = None) -> None:
        self._script, self._header, self.sink = script, header, sink
        self._chain = Chain(header)
        self.turn = 0

    def header(self) -> Mapping[str, Any]:
        return self._header

    def take(self, line: Mapping[str, Any]) -> dict[str, Any]:
        if "unknown" in line:
            raise LineError("unknown_key", "there is no key unknown")
        out = self._script[self.turn]
        kept = {key: value for key, value in line.items() if key not in ("at", "by")}
        entry = {
            "kind": "turn",
            "turn": self.turn + 1,
            "at": line["at"],
            "by": line.get("by", "user"),
            "line": kept,
            "facts": out["understood"],
            "out": out,
        }
        entry = normalised(entry)
        if self.sink is not None:
            self.sink.append(entry)
        head = self._chain.add(entry)
        self.turn += 1
        return {**out, "head": head}

    def retake(self, entry: Mapping[str, Any]) -> dict[str, Any]:
        out = dict(self._script[self.turn])
        self.turn += 1
        return {**out, "understood": entry["out"]["understood"]}

    def keep_in(self, sink: Any) -> None:
        self.sink = sink

    def understand(self, line: Mapping[str, Any]) -> list[dict[str, Any]]:
        return list(self._script[self.turn]["understood"])


def record(path: Path, lines: list[dict[str, Any]], script: list[Output]) -> Checked:
    """Write the journal of a case and give it back as read."""
    with Journal.create(path, HEADER) as journal:
        session = ScriptedSession(script, sink=journal)
        for line in lines:
            session.take(line)
    return check(path.read_bytes())
