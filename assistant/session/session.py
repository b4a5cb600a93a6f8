"""The session: one line in, one turn out, recorded before it is shown."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Protocol

from assistant import __version__
from assistant.diagnosis.diagnose import Diagnoser, Diagnosis
from assistant.errors import EngineError, LineError
from assistant.facts.model import Fact
from assistant.journal import Chain, normalised, stamp
from assistant.knowledge import Knowledge
from assistant.language import Reading, Unclear, Words, load_words, read
from assistant.planner import Asked, Outcome, Plan, Planner
from assistant.planner.allowed import Situation
from assistant.safety.hazards import LEVELS, Live, Stop, find_stop, standing_hazards, step_hazards
from assistant.safety.states import States
from assistant.session.asking_back import said_before, stands_asked, when_questions, which_was_misread
from assistant.session.case import Case
from assistant.session.closing import close_case, open_points
from assistant.session.explain import Explainer
from assistant.session.hearing import hearing
from assistant.session.history import History
from assistant.session.line import Line, check_line, command_in
from assistant.session.names import Names
from assistant.session.offer import Offers, shown_fact, spelt_fact
from assistant.session.present import present
from assistant.session.reasons import Reasons
from assistant.session.recorded import asked_in, heard, placed_facts, take_again
from assistant.session.reply import Replies
from assistant.session.restoring import due, in_words, opened_after
from assistant.session.taking import Taker
from assistant.session.verdict import verdict_of

ROLES = ("technician", "desk", "owner")


class Sink(Protocol):
    """Where finished turns go before they are shown."""

    def append(self, entry: Mapping[str, Any]) -> str:
        """Keep one entry for good and return the head."""


@dataclass(frozen=True)
class View:
    """A case worked out: everything that a turn shows."""

    diagnosis: Diagnosis
    states: States
    live: tuple[Live, ...]
    stop: Stop | None
    outcome: Outcome
    nominal: float
    nominal_known: bool
    open: tuple[str, ...]
    plain: bool
    """Whether the person reads the wording for callers."""


class Session:
    """One conversation about one boat."""

    def __init__(
        self,
        knowledge: Knowledge,
        role: str = "technician",
        sink: Sink | None = None,
        *,
        at: str | None = None,
        diagnoser: Diagnoser | None = None,
        words: Words | None = None,
    ) -> None:
        """Begin a case.

        Args:
            knowledge: The rule base, which also names the language of the case.
            role: Who sits at the keyboard: technician, desk or owner.
            sink: Where turns are kept; a chain in memory when None.
            at: Time of the beginning (RFC 3339); none is recorded when None.
            diagnoser: A diagnoser to share between sessions of the same rule base.
            words: Word lists to share between sessions.
        """
        if role not in ROLES:
            raise ValueError(f"role is one of {', '.join(ROLES)}, not {role}")
        self.knowledge = knowledge
        self.role = role
        self.names = Names(knowledge)
        self.case = Case()
        self.history = History()
        self._diagnoser = diagnoser or Diagnoser(knowledge)
        self._planner = Planner(knowledge, self._diagnoser.table)
        self._words = words
        self._offers = Offers(knowledge, self.names)
        self._replies = Replies(knowledge, self.names)
        self._explainer = Explainer(knowledge, self.names, self._diagnoser, self._planner.proofs)
        self._reasons = Reasons(self._explainer)
        self._header = {
            "kind": "case",
            "format": 1,
            "program": __version__,
            "rules": knowledge.fingerprint,
            "role": role,
            "language": knowledge.tongue.language,
        }
        if knowledge.counts:
            self._header["fleet"] = knowledge.counts.model_dump()
        if at is not None:
            self._header["at"] = at
        self._sink: Sink = sink or _Memory(self._header)
        self._view = self._work_out(self.case, frozenset())

    @property
    def language(self) -> str:
        """The language in which the case is held."""
        return self.knowledge.tongue.language

    def header(self) -> Mapping[str, Any]:
        """The first entry of the record."""
        return dict(self._header)

    def keep_in(self, sink: Sink) -> None:
        """Send turns from now on elsewhere; used when a recorded case is gone on with."""
        self._sink = sink

    def standing(self) -> list[dict[str, Any]]:
        """The facts that stand now, oldest first, with who said them and when."""
        return [
            {**shown_fact(f), "turn": f.turn, "by": f.by, "at": self.case.times.get(f.turn, "")}
            for f in self.case.facts
        ]

    def reasons(self, subject: str) -> dict[str, Any]:
        """Look up why, why not and what would change it, for a fault, fact, hazard or test; see `Reasons.about`.

        Nothing is told and nothing recorded.

        Raises:
            LineError: There is no such thing.
        """
        know = self.knowledge
        known = {f.id for f in self.case.facts} | {s.fault for s in self._view.diagnosis.suspects}
        if subject not in known and not any(subject in kind for kind in (know.faults, know.hazards, know.tests)):
            raise LineError("unknown_fact", know.replies["error_unknown_fact"].format(id=self._short(subject)))
        return self._reasons.about(subject, self.case, self._view)

    def restoring(self) -> list[str]:
        """What was opened or locked for a step and nobody said is back."""
        return in_words(self.case.opened, self.knowledge)

    def take(self, line: Any) -> dict[str, Any]:
        """Take one line in.

        Args:
            line: The decoded object of the conversation.

        Returns:
            The object out, with `head`.

        Raises:
            LineError: The line cannot be taken; nothing has changed.
            JournalError: The turn could not be recorded; nothing has changed.
        """
        checked = check_line(line, self.knowledge)
        texts = self.knowledge.replies
        if self.case.closed is not None and (checked.ask is None or set(checked.raw) - {"ask", "at", "by"}):
            raise LineError("closed", texts["error_closed"])
        there = {f.id for f in self.case.facts} | {n.id for n in self.case.own_names.standing}
        unknown = [i for i in checked.take_back if i not in there]
        if unknown:
            raise LineError("unknown_fact", texts["error_unknown_fact"].format(id=self._short(unknown[0])))
        at = checked.at or stamp()
        try:
            case, view, out, brought = self._turn(checked, at)
        except EngineError as error:
            raise LineError("engine", texts["error_engine"].format(found=error)) from error
        finally:
            self.names.own = self.case.own_names.by_part()
        recorded = {k: v for k, v in checked.raw.items() if k != "by"}
        entry = {
            "kind": "turn", "turn": case.turn, "at": at, "by": checked.by,
            "line": normalised({**recorded, "at": at, "by": checked.by}), **normalised(brought),
            "out": normalised(out),
        }  # fmt: skip
        head = self._sink.append(entry)
        self.case, self._view = case, view
        self.names.own = case.own_names.by_part()
        finished = {**out, "head": head}
        self.history.add(line, finished)
        return finished

    def retake(self, entry: Mapping[str, Any]) -> dict[str, Any]:
        """Take a recorded turn again as it was understood then: no word is read anew and nothing is recorded.

        Args:
            entry: The body of the entry, see `recorded`.

        Returns:
            The object out, without `head`.

        Raises:
            LineError: The line cannot be taken under these rules; nothing has changed.
            JournalError: The entry does not hold what one holds.
        """
        line = check_line({**entry.get("line", {}), "at": entry.get("at"), "by": entry.get("by")}, self.knowledge)
        taker = Taker(self.case, self.knowledge, line.by)
        reading = take_again(entry, taker)
        line = replace(line, asked=asked_in(entry) or line.asked)
        try:
            self.case, self._view, out, _ = self._worked(line, str(entry["at"]), taker, reading)
        except EngineError as error:
            raise LineError("engine", self.knowledge.replies["error_engine"].format(found=error)) from error
        finally:
            self.names.own = self.case.own_names.by_part()
        return out

    def understand(self, line: Mapping[str, Any]) -> list[dict[str, Any]]:
        """The facts that a line would bring now; nothing changes.

        Raises:
            LineError: The line cannot be taken.
        """
        taker, _ = self._understood(check_line(line, self.knowledge))
        return [shown_fact(fact) for fact in taker.taken.facts]

    # ------------------------------------------------------------------ one turn
    def _turn(self, line: Line, at: str) -> tuple[Case, View, dict[str, Any], dict[str, Any]]:
        return self._worked(line, at, *self._understood(line))

    def _understood(self, line: Line) -> tuple[Taker, Reading]:
        taker = Taker(self.case, self.knowledge, line.by)
        taker.withdraw(line.take_back)
        taker.take(line.facts, line.answer_test)
        taker.take(line.answer_facts, line.answer_test)
        if line.say is None:
            return taker, Reading()
        return taker, command_in(line.say, self.knowledge) or self._read(line, taker, self._asked(line))

    def _asked(self, line: Line) -> str | None:
        """The test that a line answers."""
        return line.answer_test or line.asked or (self.case.pending.test if self.case.pending else None)

    def _worked(
        self, line: Line, at: str, taker: Taker, reading: Reading
    ) -> tuple[Case, View, dict[str, Any], dict[str, Any]]:
        """What follows from a line that was understood; last, what the entry keeps of the understanding."""
        self.names.own = taker.names.names().by_part()
        cannot = line.cannot if line.cannot is not None else reading.cannot
        asked = self._asked(line)
        unread = bool(line.say) and line.ask is None and reading.ask is None and cannot is None
        case = self._after(taker, line, asked, at, cannot=cannot is not None, speaks=unread)
        attempts = self._attempts(taker, line.answer_test)
        view = self._work_out(case, attempts)
        ask: Mapping[str, Any] | None = line.ask or reading.ask
        if ask and "next" in ask:
            ask = None  # every reply closes with the next step
        answer, case = self._answer_ask(ask, case, view)
        if case.closed is not None:
            view = replace(view, outcome=Outcome(None))
        when = when_questions(view.diagnosis, self.case.when_asked, self.knowledge, self.names)
        case = replace(
            self._remember(case, view), asked_back=stands_asked(self.case.asked_back, reading, when),
            said=said_before(line, reading, asked, self.case.said),
        )  # fmt: skip
        out = self._out(case, view, taker, reading, when, answer, ask, unread=unread)
        before = {c.rule for c in self._view.diagnosis.conclusions}
        fired = sorted({c.rule for c in view.diagnosis.conclusions} - before)
        brought = {"facts": placed_facts(taker.taken), "heard": heard(taker, reading, asked), "fired": fired}
        return case, view, out, brought

    def _read(self, line: Line, taker: Taker, asked: str | None) -> Reading:
        if self._words is None:
            self._words = load_words(self.knowledge.tongue.language)
        suspects = tuple(s.fault for s in self._view.diagnosis.suspects if s.fault in self.knowledge.faults)
        stop = self._view.stop.hazard if self._view.stop is not None and asked is None else None
        ordered = stop if stop in self._words.answers else None
        heard = hearing(self.case, line, taker, asked or ordered, suspects)
        reading = read(line.say or "", heard, self._words)
        if reading.misread:
            return self._misread(taker)
        asked = reading.asked if reading.completes else asked
        taker.names.take(reading)
        taker.take_back(reading)
        wrong = self._correct(reading, taker)
        answers = None if reading.unfed else wrong[0].asked if wrong else asked
        taker.take([f.model_dump(by_alias=True) for f in reading.facts], answers)
        return reading

    def _misread(self, taker: Taker) -> Reading:
        """The line before was taken wrongly: its only fact goes; of several it is asked which."""
        told = self.case.last_told()
        if len(told) == 1:
            taker.withdraw([told[0].id])
            return Reading(completes=True)
        return Reading(unclear=which_was_misread(told, self.knowledge, self.names))

    def _correct(self, reading: Reading, taker: Taker) -> list[Fact]:
        """A correction says that the older reading never was so; the new one answers what that one did."""
        told = {(f.about, f.what) for f in reading.facts} if reading.corrects else set()
        wrong = [f for f in self.case.last_told() if (f.about, f.what) in told]
        taker.withdraw([f.id for f in wrong])
        return wrong

    def _after(self, taker: Taker, line: Line, asked: str | None, at: str, *, cannot: bool, speaks: bool) -> Case:
        case, pending = self.case, self.case.pending
        answered = dict(case.answered)
        tests = list(taker.taken.tests)
        if line.answer_test and line.answer_test not in tests and line.answer_facts:
            tests.append(line.answer_test)
        if (pending and pending.kind not in ("setup", "scene")) or line.answer_test:
            for test in tests:
                answered[test] = answered.get(test, 0) + 1
        barred = case.cannot | {asked} if cannot and asked else case.cannot
        setup = case.setup_asked
        if (
            pending
            and pending.kind in ("setup", "scene")
            and pending.fact
            and (taker.taken.facts or cannot or line.say)
        ):
            setup = setup | {
                pending.fact.id,
                *(f.id for f in taker.taken.facts if f.what == pending.fact.what),
            }
            if cannot and asked:
                barred = case.cannot
        return replace(
            case, facts=tuple(taker.facts), turn=taker.turn, told=taker.told, answered=answered,
            passed=case.passed_over(tests) if speaks else case.passed,
            cannot=frozenset(barred), own_names=taker.names.names(),
            opened=opened_after(case.opened, tests, taker.taken.facts, self.knowledge),
            setup_asked=frozenset(setup), times={**case.times, taker.turn: at},
        )  # fmt: skip

    def _attempts(self, taker: Taker, test: str | None) -> frozenset[str]:
        """Whether this line reports a run or an attempt just made, and whether it could spark."""
        scenes = {"under_load", "thermal_bridged"} | {
            c for pair in self.knowledge.words.directions for c in pair.values()
        }
        names = sorted({str(n) for n in (test, *(f.asked for f in taker.taken.facts)) if n is not None})
        tests = [self.knowledge.tests[n] for n in names]
        tried = any(scenes & set(f.while_) for f in taker.taken.facts) or any(t.runs_motor for t in tests)
        powered = tried or any(t.powered for t in tests)
        return frozenset(name for name, holds in (("run", tried), ("powered", powered)) if holds)

    def _work_out(self, case: Case, attempts: frozenset[str]) -> View:
        diagnosis = self._diagnoser.diagnose(case.facts)
        states, nominal, known = present(case.facts, case.times, case.turn, self.knowledge)
        standing = standing_hazards(states, self.knowledge)
        stop = find_stop(standing)
        outcome = Outcome(None, waiting=tuple(diagnosis.unconfirmed))
        if stop is None and case.closed is None:
            situation = Situation(
                self.knowledge, diagnosis.answers, states, tuple(standing), self.role, diagnosis.searching,
                diagnosis.powerless,
            )  # fmt: skip
            now = case.of_epoch(diagnosis.epoch)
            asked = Asked(now.answered, now.cannot, now.passed, now.setup_asked)
            outcome = self._planner.choose(diagnosis, situation, asked, case.facts)
        test = (
            self.knowledge.tests[outcome.plan.test]
            if outcome.plan and outcome.plan.kind not in ("setup", "scene")
            else None
        )
        also = ("beyond_skill",) if outcome.beyond else ()
        step = [
            h for h in step_hazards(test, attempts, states, self.knowledge, also) if h.hazard.id not in _ids(standing)
        ]
        live = tuple(sorted([*standing, *step], key=lambda h: LEVELS.index(h.hazard.level)))
        points = open_points(diagnosis, standing, self.knowledge, self.names)
        return View(diagnosis, states, live, stop, outcome, nominal, known, points, self.role == "owner")

    def _remember(self, case: Case, view: View) -> Case:
        plan: Plan | None = view.outcome.plan
        offered = tuple(self._offers.next_step(plan, view.nominal, 0)["answers"]) if plan else ()
        hazards = {h.hazard.id: self.case.hazards.get(h.hazard.id, case.turn) for h in view.live}
        findings = tuple(dict.fromkeys(c.finding for c in view.diagnosis.conclusions if c.finding))
        return replace(
            case.of_epoch(view.diagnosis.epoch), pending=plan, offered=offered, hazards=hazards, findings=findings,
            proved=tuple(view.diagnosis.proved),
            assumed=case.assumed.union(*(s.assumed for s in view.diagnosis.answers.values())),
            reminded=case.reminded | due(case, bool(view.diagnosis.verified)),
            waiting=view.outcome.waiting, narrowed=view.outcome.narrowed,
            when_asked=case.when_asked | {f.id for f in view.diagnosis.ask_when},
        )  # fmt: skip

    def _answer_ask(self, ask: Mapping[str, Any] | None, case: Case, view: View) -> tuple[dict[str, Any] | None, Case]:
        if ask is None:
            return None, case
        if "close" in ask:
            return close_case(ask["close"], case, view, self.knowledge)
        if "report" in ask:
            return {"report": self._explainer.report(case, view)}, case
        return self._explainer.answer(ask, case, view), case

    # ------------------------------------------------------------------ the object out
    def _out(
        self,
        case: Case,
        view: View,
        taker: Taker,
        reading: Reading,
        when: Sequence[Unclear],
        answer: dict[str, Any] | None,
        ask: Mapping[str, Any] | None,
        *,
        unread: bool,
    ) -> dict[str, Any]:
        diagnosis, taken = view.diagnosis, taker.taken
        plan = view.outcome.plan
        unclear = [{"words": u.words, "question": u.question} for u in (*reading.unclear, *when)]
        hazards = [self._hazard(h, case, view) for h in view.live] + self._unconfirmed(reading, case, view)
        out: dict[str, Any] = {
            "turn": case.turn,
            "understood": [shown_fact(f) for f in taken.facts],
            "unclear": unclear,
            "refused": taken.refused,
            "replaced": [{**shown_fact(old), "by": new.id} for old, new in taken.replaced],
            "conflicts": [{"facts": list(c.facts), "text": c.text, "settle": c.settle} for c in diagnosis.conflicts],
            "suspects": [
                {"fault": s.fault, "part": self._part(s.fault), "probability": s.probability, "state": s.state,
                 "because": list(s.because)}
                for s in diagnosis.suspects
            ],
            "hazards": hazards,
            "stop": self._stop(view),
            "next": self._next(plan, view),
            "narrowed_to": self._offers.narrowed(view.outcome),
            "verdict": verdict_of(diagnosis, view.outcome, self.knowledge, self.names),
            "may_close": True if not view.open else list(view.open),
            "closed": dict(case.closed) if case.closed is not None else None,
        }  # fmt: skip
        reply = self._replies.compose(
            out, before=self.case, case=case, view=view, taker=taken, names_said=taker.names.said(), unread=unread,
            answer=answer, ask=ask, in_full=reading.ask is not None and "next" in reading.ask,
        )  # fmt: skip
        return {**out, "reply": reply, "answer": answer, **taker.names.out()}

    def _hazard(self, live: Live, case: Case, view: View) -> dict[str, Any]:
        hazard = live.hazard
        return {
            "hazard": hazard.id, "level": hazard.level, "kind": live.kind, "certain": live.certain,
            "text": hazard.plain if self.role == "owner" else hazard.text,
            "since": self.case.hazards.get(hazard.id, case.turn),
            "clear_by": {
                "text": hazard.clear_text,
                "facts": [spelt_fact(f, self.knowledge, view.nominal) for f in live.clear_facts or hazard.clear_facts],
            },
        }  # fmt: skip

    def _unconfirmed(self, reading: Reading, case: Case, view: View) -> list[dict[str, Any]]:
        """Hazards that an unclear piece of text may point to."""
        names = dict.fromkeys(u.hazard for u in reading.unclear if u.hazard in self.knowledge.hazards)
        missing = [n for n in names if n not in _ids(view.live)]
        return [self._hazard(Live(self.knowledge.hazards[str(n)], "standing", False, ()), case, view) for n in missing]

    def _stop(self, view: View) -> dict[str, Any] | None:
        if view.stop is None:
            return None
        return {
            "text": view.stop.text,
            "facts": [spelt_fact(f, self.knowledge, view.nominal) for f in view.stop.facts],
        }

    def _next(self, plan: Plan | None, view: View) -> dict[str, Any] | None:
        if plan is None:
            return None
        test = self.knowledge.tests[plan.test]
        situation = Situation(self.knowledge, view.diagnosis.answers, view.states, view.live, self.role, True)
        return self._offers.next_step(plan, view.nominal, self._planner.minutes(test, situation), view.live)

    def _part(self, fault: str) -> str | None:
        return self.knowledge.faults[fault].part if fault in self.knowledge.faults else None

    @staticmethod
    def _short(text: str) -> str:
        clean = re.sub(r"[^\x20-\x7e]", "�", text)
        return clean if len(clean) <= 60 else f"{clean[:57]}…"


class _Memory:
    """A chain without a file."""

    def __init__(self, header: Mapping[str, Any]) -> None:
        self._chain = Chain(header)

    def append(self, entry: Mapping[str, Any]) -> str:
        """Seal one entry."""
        return self._chain.add(entry)


def _ids(live: Any) -> set[str]:
    return {h.hazard.id for h in live}
