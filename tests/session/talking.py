"""Short ways to hold a conversation in a test."""

from __future__ import annotations

from functools import cache
from typing import Any

from assistant.diagnosis.diagnose import Diagnoser
from assistant.knowledge import Knowledge, load
from assistant.language import load_words
from assistant.session import Session

AT = "2026-05-01T10:00:00Z"
DESCRIBED = (
    ("boat.people_clear", True),
    ("boat.afloat", True),
    ("boat.fuel", "diesel"),
    ("boat.nominal_voltage", 12),
    ("boat.stations", 1),
    ("helper.has_meter", True),
    ("helper.has_clamp_meter", True),
    ("isolator.kind", "manual"),
    ("thruster.kind", "contactor"),
)


@cache
def diagnoser() -> Diagnoser:
    return Diagnoser(load())


@cache
def words() -> Any:
    return load_words()


def session(role: str = "technician", knowledge: Knowledge | None = None, sink: Any = None) -> Session:
    if knowledge is not None:
        return Session(knowledge, role, sink, at=AT)
    return Session(load(), role, sink, at=AT, diagnoser=diagnoser(), words=words())


def f(name: str, value: Any, *scene: str, **more: Any) -> dict[str, Any]:
    """A fact: `f("panel.lights", False)`, `f("supply.voltage", 12.4, "at_rest", certain=False)`."""
    about, _, what = name.partition(".")
    out: dict[str, Any] = {"about": about, "what": what, "value": value, **more}
    if scene:
        out["while"] = list(scene)
    return out


def described(*leave_out: str) -> list[dict[str, Any]]:
    return [f(n, v) for n, v in DESCRIBED if n not in leave_out]


def say(s: Session, *lines: str) -> dict[str, Any]:
    """Lines typed one after the other; what the last brings."""
    out: dict[str, Any] = {}
    for line in lines:
        out = s.take({"say": line, "at": AT})
    return out


def tell(s: Session, *facts: dict[str, Any], **line: Any) -> dict[str, Any]:
    return s.take({**({"facts": list(facts)} if facts else {}), **line, "at": line.get("at", AT)})


def answer(s: Session, test: str, *facts: dict[str, Any], **line: Any) -> dict[str, Any]:
    return s.take({"answer": {"test": test, "facts": list(facts)}, **line, "at": AT})


def cannot(s: Session, test: str) -> dict[str, Any]:
    return s.take({"answer": {"test": test, "cannot": "not possible here"}, "at": AT})


def look(s: Session) -> dict[str, Any]:
    """The case as it stands, by a question that changes nothing."""
    return s.take({"ask": {"help": True}, "at": AT})


def suspects(out: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {x["fault"]: x for x in out["suspects"]}


def state(out: dict[str, Any], fault: str) -> str:
    return str(suspects(out)[fault]["state"])


def proved(out: dict[str, Any]) -> list[str]:
    return [x["fault"] for x in out["suspects"] if x["state"] == "proved"]


def ruled_out(out: dict[str, Any]) -> set[str]:
    return {x["fault"] for x in out["suspects"] if x["state"] == "ruled_out"}


def hazards(out: dict[str, Any], kind: str | None = None) -> list[str]:
    return [h["hazard"] for h in out["hazards"] if kind in (None, h["kind"])]


def hazard(out: dict[str, Any], name: str) -> dict[str, Any]:
    return next(h for h in out["hazards"] if h["hazard"] == name)


def leading(out: dict[str, Any], count: int) -> list[str]:
    """The likeliest open causes, named ones only."""
    named = [x["fault"] for x in out["suspects"] if x["state"] == "open" and x["part"] is not None]
    return named[:count]


def end(out: dict[str, Any]) -> dict[str, Any]:
    """What must not depend on the order: suspects, hazards and verdict, without ids and turns."""
    return {
        "suspects": out["suspects"],
        "hazards": sorted(({k: v for k, v in h.items() if k != "since"} for h in out["hazards"]), key=str),
        "verdict": out["verdict"],
        "conflicts": len(out["conflicts"]),
    }
