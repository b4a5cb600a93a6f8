"""One case from the report to the end: the helper answers, repairs what is proved, and tries the complaint again."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

from assistant.bench.aboard import Aboard
from assistant.bench.hitting import minimal_hitting_sets
from assistant.bench.ways import Bench, Watched, Way
from assistant.knowledge import Knowledge
from assistant.session import Session

AT = "2026-05-01T10:00:00Z"
"""Recorded time of every turn: conclusions do not depend on the clock."""
STEPS = 60
"""A case with more steps than this goes round in circles."""

End = Literal["gone", "narrowed", "no_next", "circles", "stopped"]


@dataclass
class Course:
    """How one case went."""

    faults: tuple[str, ...]
    proved: list[str] = field(default_factory=list)
    narrowed: list[str] = field(default_factory=list)
    condemned: list[str] = field(default_factory=list)
    """Faults proved on parts that had nothing wrong."""
    on_one_reading: list[str] = field(default_factory=list)
    """Faults for which a part was called for on one reading, taken once."""
    misnamed: list[str] = field(default_factory=list)
    """Faults proved that were not there, on parts that had something else wrong."""
    ruled_out: list[str] = field(default_factory=list)
    """Faults ruled out while they were there, with the reason."""
    found: list[str] = field(default_factory=list)
    """Faults of the case that were proved, named in the narrowing, or went with their part's repair."""
    end: End = "circles"
    steps: list[tuple[str, float]] = field(default_factory=list)
    minutes: float = 0.0
    """To the last proof, or to the end where nothing was proved."""
    minutes_in_all: float = 0.0
    """With trying the complaint again."""
    tests: int = 0
    """To the last proof."""
    turns: list[float] = field(default_factory=list)
    """Seconds of each turn."""
    conflicts: list[tuple[str, ...]] = field(default_factory=list)
    hidden: str = ""
    """Why the faults that were not found could not be."""
    refused: int = 0
    notes: list[str] = field(default_factory=list)

    @property
    def right(self) -> bool:
        """Every fault found, no good part condemned."""
        return not self.condemned and set(self.found) == set(self.faults)


class Runner:
    """Runs one case in one way."""

    def __init__(
        self, knowledge: Knowledge, diagnoser: Watched, aboard: Aboard, faults: Sequence[str], way: Way
    ) -> None:
        """Begin a session.

        Args:
            knowledge: The rule base.
            diagnoser: Shared between cases.
            aboard: The helper.
            faults: What was put into the boat.
            way: How the next test of the search is chosen.
        """
        self.session = Session(knowledge, "technician", at=AT, diagnoser=diagnoser)
        self.table = Bench(self.session, diagnoser)
        self.aboard, self.way = aboard, way
        self.course = Course(tuple(faults))
        self._ever = set(faults)
        self._carried: frozenset[str] = frozenset()
        self._mended: set[str] = set()
        self.out: dict[str, Any] = {}

    def run(self) -> Course:
        """Go on until the complaint is gone or nothing more can be done on board."""
        self._take({"facts": self.aboard.report()})
        for _ in range(STEPS):
            if not self._go_on():
                break
        self._finish()
        return self.course

    def _go_on(self) -> bool:
        out, course = self.out, self.course
        if out["stop"]:
            self._take({"facts": self.aboard.make_safe()})
            if self.out["stop"] and self.out["stop"] == out["stop"]:
                course.end = "stopped"
                return False
            return True
        proved = (out["verdict"] or {"faults": ()})["faults"]
        waiting = self.session.case.waiting
        fresh = [f for f in proved if f not in self._mended and f not in waiting]
        if fresh:
            for fault in (*fresh, *self.table.diagnosis.came_back):
                self._repair(fault)
            return True
        if course.proved and out["verdict"] is None:
            course.end = "gone"
            return False
        return self._step()

    def _repair(self, fault: str) -> None:
        course, part = self.course, fault.partition(".")[0]
        if fault in self._mended:  # it came back, and its cause has been put right
            self._take({"facts": self.aboard.repair(fault)})
            return
        parts = {f.partition(".")[0] for f in self._ever}
        setting = bool(self.session.knowledge.faults[fault].put_right_by)
        calls = bool(self.session.knowledge.repairs[self.session.knowledge.faults[fault].repair].parts)
        if fault not in self._ever and not calls and not setting:
            course.notes.append(f"work on a part that had nothing wrong: {fault}")
        elif fault not in self._ever and not setting:
            (course.misnamed if part in parts else course.condemned).append(fault)
        elif fault not in self._ever:
            course.notes.append(f"a setting that was not wrong: {fault}")
        course.proved.append(fault)
        if calls and not setting:
            course.on_one_reading += [fault] if fault in self.table.diagnosis.unconfirmed else []
        course.minutes, course.tests = course.minutes_in_all, len(course.steps)
        self._mended.add(fault)
        gone = self._own_faults_of(part) if not setting else {fault}
        course.found += [f for f in course.faults if f in gone and f not in course.found]
        self._take({"facts": self.aboard.repair(fault)})
        self._carried = frozenset()

    def _own_faults_of(self, part: str) -> set[str]:
        return {f for f in self.course.faults if f.partition(".")[0] == part}

    def _step(self) -> bool:
        pending = self.session.case.pending
        if pending is None:
            return False
        if pending.kind in ("setup", "scene"):
            return self._question(pending.kind)
        asked = self.out["next"]
        step = (asked["test"], asked["minutes"])
        if pending.kind == "confirm":
            self.course.notes.append(f"confirmed by {asked['test']}")
        if pending.kind == "test":
            chosen = self.way.choose(self.out, self.table, self._carried)
            if chosen is None:
                return False
            step = chosen
        self._carry_out(*step)
        return True

    def _question(self, kind: str) -> bool:
        """Set-up and scene asked for afterwards: the helper did as the test says."""
        self.course.notes.append(f"asked for the {kind} of {self.out['next']['test']}")
        self.course.minutes_in_all += self.out["next"]["minutes"]
        self._take({"facts": self.out["next"]["answers"][0]["facts"]})
        return True

    def _carry_out(self, test: str, minutes: float) -> None:
        first = self.session.knowledge.limits["first_question"]
        facts = self.aboard.complaint() if test == first else self.aboard.answer(test, minutes)
        self._carried |= {test}
        if facts is None or (test == first and not facts):
            self._take({"answer": {"test": test, "cannot": "cannot be done on this boat"}})
            return
        self.course.steps.append((test, minutes))
        self.course.minutes_in_all += minutes
        self._take({"answer": {"test": test, "facts": facts}})

    def _take(self, line: dict[str, Any]) -> None:
        there = set(self.aboard.faults())
        self._ever |= there
        begun = time.perf_counter()
        out = self.session.take({**line, "at": AT})
        self.course.turns.append(time.perf_counter() - begun)
        self.out = out
        course = self.course
        course.refused += len(out["refused"])
        course.conflicts += [tuple(c["facts"]) for c in out["conflicts"] if tuple(c["facts"]) not in course.conflicts]
        for suspect in out["suspects"]:
            if suspect["state"] == "ruled_out" and suspect["fault"] in there & set(course.faults):
                text = f"{suspect['fault']} by {', '.join(suspect['because'])}"
                course.ruled_out += [text] if text not in course.ruled_out else []

    def _finish(self) -> None:
        course, out = self.course, self.out
        if out["narrowed_to"] and course.end != "gone":
            course.narrowed = list(out["narrowed_to"]["faults"])
            course.found += [f for f in course.faults if f in course.narrowed and f not in course.found]
        if course.end == "circles" and len(course.turns) <= STEPS:
            course.end = "narrowed" if course.narrowed else "no_next"
        if not course.proved:
            course.minutes, course.tests = course.minutes_in_all, len(course.steps)

    def explained_by_one(self) -> list[str]:
        """Faults that each alone explain every answer out of the ordinary that was ever given."""
        knowledge, table = self.session.knowledge, self.table.diagnoser.table
        rounds = (*self.table.diagnosis.earlier, self.table.diagnosis.now)
        causes = []
        for said in (s for answers in rounds for s in answers.values()):
            question = knowledge.questions[said.question]
            if not question.given and said.state != question.normal:
                causes.append({f for f in table.faults if table.brings(question, said.state, f)})
        sets = minimal_hitting_sets([c for c in causes if c], most=1)
        return sorted(f for one in sets for f in one)
