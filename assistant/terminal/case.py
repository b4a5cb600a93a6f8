"""What the screen knows of a case: the last output, and what it adds up to over the turns.

Nothing here draws and nothing here decides: it keeps what the outputs said, so that every
panel can be drawn from one place and a long case costs little memory.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from assistant.terminal.case_rows import (
    Known,
    Step,
    Suspect,
    Turn,
    id_of,
    names_in,
    person,
    report_in,
    same_thing,
    shown_elsewhere,
    turned,
    unclear,
    without_id,
)
from assistant.terminal.plain import one_line, visible
from assistant.terminal.port import FactData, Line, Out, Wording

OWN_NAMES = "Your own words"
_REPORTED = "Here is the report; type report to read it again."


@dataclass
class Case:
    """The case as the screen shows it."""

    wording: Wording
    turn: int = 0
    suspects: tuple[Suspect, ...] = ()
    hazards: tuple[Mapping[str, Any], ...] = ()
    stop: Mapping[str, Any] | None = None
    next: Mapping[str, Any] | None = None
    narrowed: Mapping[str, Any] | None = None
    verdict: Mapping[str, Any] | None = None
    open_points: tuple[str, ...] | None = None
    """What still keeps the case open; empty when it may be closed, None before the first turn."""
    restoring: tuple[str, ...] = ()
    """What was opened or locked for a step and nobody said is back; it keeps nothing open."""
    closed: Mapping[str, Any] | None = None
    known: dict[str, Known] = field(default_factory=dict)
    own_names: dict[str, Known] = field(default_factory=dict)
    """The person's own names of parts, which are taken back and put right like facts."""
    turns: list[Turn] = field(default_factory=list)
    report: str = ""
    """The last report asked for."""
    done: list[Step] = field(default_factory=list)
    undone: list[Step] = field(default_factory=list)
    _times: dict[Any, str] = field(default_factory=dict)
    """Time of day of each turn."""
    _before: dict[str, float] = field(default_factory=dict)
    _replaced_by: dict[str, Known] = field(default_factory=dict)

    def take_in(
        self,
        line: Line,
        out: Out,
        said: str,
        at: str = "",
        standing: Sequence[FactData] | None = None,
        move: str = "tell",
    ) -> Turn:
        """Take an accepted line and its output into the case, and return the turn to show.

        Args:
            line: what was sent.
            out: what came back.
            said: the line in the person's words.
            at: time of day for display.
            standing: the facts that stand now, where the session tells them.
            move: 'tell', or 'undo' or 'redo' when the line came from one of those.
        """
        self.turn = int(out.get("turn", self.turn))
        understood: Sequence[FactData] = out.get("understood") or ()
        gone = self._keep_facts(line, out, understood, at, standing)
        given = self._keep_names(line, out, at)
        gone += names_in(out, "taken_back") if line.get("take_back") else ()
        self._keep_step(Step((*understood, *given), gone), move)
        self._keep_suspects(out.get("suspects") or (), only_asked=set(line) <= {"ask", "by", "at"})
        self._times[self.turn] = at
        self.hazards = tuple({**h, "at": self._times.get(h.get("since"), "")} for h in out.get("hazards") or ())
        self.stop, self.next = out.get("stop"), out.get("next")
        self.narrowed, self.verdict = out.get("narrowed_to"), out.get("verdict")
        self.open_points = self._points(out.get("may_close"))
        self.closed = out.get("closed")
        self.report = report_in(out) or self.report
        turn = self._turn(line, out, understood, said, at)
        self.turns.append(turn)
        return turn

    # -- facts

    def _keep_facts(
        self,
        line: Line,
        out: Out,
        understood: Sequence[FactData],
        at: str,
        standing: Sequence[FactData] | None,
    ) -> tuple[FactData, ...]:
        gone = tuple(self.known[i].data for i in line.get("take_back", ()) if i in self.known)
        for fact in gone:
            self._withdraw(str(fact["id"]))
        replaced = [self.known.pop(i) for i in map(id_of, out.get("replaced") or ()) if i in self.known]
        for fact in understood:
            row = self._known(fact, str(line.get("by", "you")), at)
            self.known[row.id] = row
            for old in replaced:
                if same_thing(old.data, fact):
                    self._replaced_by[row.id] = old
        if standing is not None:
            self._follow(standing, at)
        return gone

    def _keep_names(self, line: Line, out: Out, at: str) -> tuple[FactData, ...]:
        """Keep the names that stand, and return those that the line gave."""
        standing = names_in(out, "standing")
        before, self.own_names = self.own_names, {}
        for name in standing:
            key = str(name["id"])
            self.own_names[key] = before.get(key) or self._own_name(name, at)
        if set(before) != set(self.own_names):
            self.known = {key: self._renamed(row) for key, row in self.known.items()}
        return tuple(name for name in standing if str(name["id"]) not in before and not line.get("ask"))

    def _renamed(self, row: Known) -> Known:
        """The row with the names that parts have now."""
        return replace(row, part=self.wording.part(str(row.data.get("about", ""))), text=self.wording.fact(row.data))

    def _own_name(self, name: FactData, at: str) -> Known:
        return Known(
            id=str(name["id"]),
            part=OWN_NAMES,
            text=self.wording.part(str(name["about"])),
            words=one_line(str(name.get("words") or "")),
            who=person(str(name.get("by") or "you")),
            turn=int(name.get("turn", self.turn)),
            at=at,
            certain=True,
            data=name,
        )

    def _keep_step(self, step: Step, move: str) -> None:
        if move == "undo":
            self.done.pop()
            self.undone.append(step)
        elif move == "redo":
            self.undone.pop()
            self.done.append(step)
        elif step.added or step.removed:
            self.done.append(step)
            self.undone.clear()

    def _withdraw(self, fact_id: str) -> None:
        self.known.pop(fact_id, None)
        older = self._replaced_by.pop(fact_id, None)
        if older is not None:
            self.known[older.id] = older

    def _follow(self, standing: Sequence[FactData], at: str) -> None:
        rows = {}
        for fact in standing:
            key = str(fact["id"])
            rows[key] = self.known.get(key) or self._known(fact, str(fact.get("by", "you")), at)
        self.known = rows

    def _known(self, fact: FactData, who: str, at: str) -> Known:
        return Known(
            id=str(fact["id"]),
            part=self.wording.part(str(fact.get("about", ""))),
            text=self.wording.fact(fact),
            words=one_line(str(fact.get("words") or "")),
            who=person(str(fact.get("by") or who)),
            turn=int(fact.get("turn", self.turn)),
            at=at,
            certain=bool(fact.get("certain", True)),
            data=fact,
        )

    def known_by_part(self) -> list[tuple[str, list[Known]]]:
        """Return the facts that stand, grouped by part in the order parts were first named."""
        groups: dict[str, list[Known]] = {}
        for row in (*self.known.values(), *self.own_names.values()):
            groups.setdefault(row.part, []).append(row)
        return list(groups.items())

    # -- suspects

    def _keep_suspects(self, rows: Sequence[Mapping[str, Any]], only_asked: bool) -> None:
        old_trend = {row.fault: row.trend for row in self.suspects}
        if not only_asked:
            self._before = {row.fault: row.probability for row in self.suspects}
        self.suspects = tuple(self._suspect(row, old_trend if only_asked else None) for row in rows)

    def _suspect(self, row: Mapping[str, Any], kept: Mapping[str, int] | None) -> Suspect:
        fault, probability = str(row["fault"]), float(row.get("probability") or 0.0)
        before = self._before.get(fault)
        moved = 0 if before is None else round(probability * 100) - round(before * 100)
        part = row.get("part")
        return Suspect(
            fault=fault,
            name=self.wording.fault(fault),
            part=None if part is None else str(part),
            probability=probability,
            state=str(row.get("state", "open")),
            trend=moved if kept is None else kept.get(fault, 0),
            because=self._because(row),
        )

    def _because(self, row: Mapping[str, Any]) -> str:
        """Return what settled a cause, in words; nothing while it is open."""
        keys = row.get("because") or ()
        return self.wording.reason(str(keys[0])) if keys and row.get("state", "open") != "open" else ""

    # -- words

    def _points(self, may_close: Any) -> tuple[str, ...]:
        if may_close is True or may_close is None:
            return ()
        return tuple(self._point(item) for item in may_close)

    def _point(self, item: Any) -> str:
        if isinstance(item, Mapping):
            for key in ("text", "hazard", "test", "fault"):
                if key in item:
                    return str(item[key]) if key == "text" else getattr(self.wording, key)(str(item[key]))
        for hazard in self.hazards:
            if hazard.get("hazard") == item:
                return one_line(str(hazard.get("text") or self.wording.hazard(str(item))))
        text = str(item)
        return without_id(text) if " " in text else one_line(text.replace("_", " "))

    def _turn(self, line: Line, out: Out, understood: Sequence[FactData], said: str, at: str) -> Turn:
        texts = [(self.wording.fact(fact), bool(fact.get("certain", True))) for fact in understood]
        replaced = [self.wording.fact(fact) for fact in out.get("replaced") or () if isinstance(fact, Mapping)]
        return Turn(
            said=visible(said),
            who=person(str(line.get("by", "you"))),
            at=at,
            number=self.turn,
            noted=tuple(text for text, certain in texts if certain),
            doubted=tuple(text for text, certain in texts if not certain),
            unclear=tuple(unclear(piece) for piece in out.get("unclear") or ()),
            remarks=tuple(self._remarks(out)),
            reply=_REPORTED if report_in(out) else visible(str(out.get("reply") or "")),
            shown=shown_elsewhere(out, [*replaced, *(text for text, _ in texts)]),
            asks=visible(str((out.get("next") or {}).get("text", ""))),
        )

    def _remarks(self, out: Out) -> list[str]:
        noted = {self.wording.fact(fact) for fact in out.get("understood") or ()}
        remarks = [f"not taken: {self._refusal(item)}" for item in out.get("refused") or ()]
        for item in out.get("replaced") or ():
            if isinstance(item, Mapping) and self.wording.fact(item) not in noted:
                remarks.append(f"instead of: {self.wording.fact(item)}")
        for item in out.get("conflicts") or ():
            settle = item.get("settle")
            how = f" To settle it: {self.wording.test(str(settle))}." if settle else ""
            remarks.append(f"cannot both be right: {one_line(str(item.get('text', '')))}{how}")
        return remarks

    def _refusal(self, item: Any) -> str:
        if not isinstance(item, Mapping):
            return one_line(str(item))
        reason = item.get("why") or item.get("reason") or item.get("text") or ""
        fact = item.get("fact") if isinstance(item.get("fact"), Mapping) else item
        told = self.wording.fact(fact) if isinstance(fact, Mapping) and "about" in fact else ""
        return one_line(": ".join(part for part in (told, str(reason)) if part))

    # -- taking back

    def undo_line(self) -> Line | None:
        """Return the line that takes back what the last line told, or None when nothing is left."""
        while self.done:
            step = self.done[-1]
            there = {**self.known, **self.own_names}
            added = [str(fact["id"]) for fact in step.added if str(fact["id"]) in there]
            if added or step.removed:
                return turned(added, step.removed)
            self.done.pop()
        return None

    def redo_line(self) -> Line | None:
        """Return the line that tells again what was last taken back, or None."""
        if not self.undone:
            return None
        step = self.undone[-1]
        there = {**self.known, **self.own_names}
        return turned([str(f["id"]) for f in step.added if str(f["id"]) in there], step.removed)
