"""The text that the person reads, made of the sentences of `replies.yaml`."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from assistant.facts.points import listed
from assistant.knowledge import Knowledge
from assistant.planner import Plan
from assistant.session.case import Case
from assistant.session.names import Names
from assistant.session.restoring import in_words
from assistant.session.sums import sums_of
from assistant.session.taking import Taken

if TYPE_CHECKING:
    from assistant.session.session import View

_MOST_OF_REST = 3
"""How much of what is left of a test is named; more than that nobody keeps in mind."""
_MOST_NAMED = 6
"""How many of the causes are named that nothing tells apart."""


class Replies:
    """Writes replies for one rule base."""

    def __init__(self, knowledge: Knowledge, names: Names) -> None:
        """Keep the rule base and its names."""
        self.knowledge = knowledge
        self.names = names
        self.texts = knowledge.replies

    def compose(
        self,
        out: Mapping[str, Any],
        *,
        before: Case,
        case: Case,
        view: View,
        taker: Taken,
        names_said: Sequence[str],
        unread: bool,
        answer: Mapping[str, Any] | None,
        ask: Mapping[str, Any] | None,
        in_full: bool,
    ) -> str:
        """The reply to one turn.

        Args:
            out: The object out, without reply and answer.
            before: The case before the turn.
            case: The case after it.
            view: The case worked out.
            taker: What the line brought.
            names_said: What it did to the person's own names, in sentences.
            unread: Whether the line had words, and they asked for nothing and refused no test.
            answer: What a question brought.
            ask: The question.
            in_full: Whether the next step is to be put in full although it was put before.
        """
        lines = self._stop(out)
        lines += names_said
        heard = self._taken(out, taker)
        lines += heard if heard or names_said or not unread else [self._say("nothing_taken")]
        lines += self._hazards(out, before)
        if answer is not None:
            lines += self._answer(answer, out)
        lines += self._sum(case, taker)
        lines += self._assumed(before, view)
        lines += self._conclusions(before, case, view)
        lines += self._verdict(out, before, view)
        if back := in_words(case.reminded - before.reminded, self.knowledge):
            lines.append(self._say("restore", list=self.names.listed(back)))
        if case.closed is None and out["stop"] is None:
            lines += self._next(out, before, view, quiet=ask is not None)
            lines += self._step(out["next"], before, case, view, in_full=in_full)
        return "\n".join(lines) or str(self.texts["unknown_case"])

    def _say(self, key: str, **words: Any) -> str:
        return str(self.texts[key]).format(**words)

    def _stop(self, out: Mapping[str, Any]) -> list[str]:
        if out["stop"] is None:
            return []
        return [self._say("stop", word=self.texts["levels"]["danger"], text=out["stop"]["text"])]

    def _taken(self, out: Mapping[str, Any], taken: Taken) -> list[str]:
        lines = []
        if taken.withdrawn:
            lines.append(
                self._say("withdrawn", facts=self._facts([f.model_dump(by_alias=True) for f in taken.withdrawn]))
            )
        if out["understood"]:
            lines.append(self._say("taken", facts=self._facts(out["understood"])))
        changed = [old for old, new in taken.replaced if old.value != new.value]
        if changed:
            lines.append(self._say("replaced", facts=self._facts([f.model_dump(by_alias=True) for f in changed])))
        for refused in out["refused"]:
            words = refused["fact"].get("words") if isinstance(refused["fact"], Mapping) else ""
            lines.append(self._say("not_taken", words=words or self._raw(refused["fact"]), reason=refused["why"]))
        return lines + self._asked_back(out["unclear"])

    def _quoted(self, said: Sequence[str]) -> str:
        """What somebody said, each once, as the language quotes it."""
        return ", ".join(self._say("quoted", words=words) for words in dict.fromkeys(said))

    def _asked_back(self, unclear: Sequence[Mapping[str, str]]) -> list[str]:
        """Each question once; of what, where one is put of several things."""
        words: dict[str, list[str]] = {}
        for piece in unclear:
            words.setdefault(piece["question"], []).append(piece["words"])
        return [
            self._say("ask_back", question=question)
            if len(said) < 2
            else self._say("ask_back_of", question=question, words=self._quoted(said))
            for question, said in words.items()
        ]

    @staticmethod
    def _raw(fact: Any) -> str:
        if isinstance(fact, Mapping):
            return " ".join(str(fact.get(k)) for k in ("about", "what", "value") if k in fact)[:80]
        return str(fact)[:80]

    def _facts(self, facts: list[Mapping[str, Any]]) -> str:
        return "; ".join(self.names.fact(f) for f in facts)

    def _hazards(self, out: Mapping[str, Any], before: Case) -> list[str]:
        lines = []
        for h in out["hazards"]:
            if h["hazard"] in before.hazards and h["kind"] == "standing":
                continue
            key = "hazard" if h["certain"] else "hazard_doubtful"
            clear = h["clear_by"]["text"] if h["kind"] == "standing" else ""
            lines.append(self._say(key, word=self.texts["levels"][h["level"]], text=h["text"], clear=clear).rstrip())
        live = {h["hazard"] for h in out["hazards"]}
        gone = [h for h in before.hazards if h not in live and self.knowledge.hazards[h].raised_when]
        lines += [self._say("hazard_gone", name=self.names.hazard(h)) for h in gone]
        return lines

    def _sum(self, case: Case, taken: Taken) -> list[str]:
        """The arithmetic that this line's readings are worth."""
        sums = sums_of(taken.facts, case.facts, self.knowledge, case.times, case.turn)
        return [self._say("sum", text=self.knowledge.tongue.number(text)) for text in sums]

    def _assumed(self, before: Case, view: View) -> list[str]:
        """What the answers of this turn take for granted and has not been said yet."""
        taken = dict.fromkeys(a for s in view.diagnosis.answers.values() for a in s.assumed)
        new = self.names.assumed(a for a in taken if a not in before.assumed)
        return [self._say("assumed", list=self.names.listed(new))] if new else []

    def _answer(self, answer: Mapping[str, Any], out: Mapping[str, Any]) -> list[str]:
        if "close" in answer:
            return [self._closing(answer, out)]
        if "report" in answer:
            return [str(answer["report"])]
        inner = next(iter(answer.values()))
        return [str(inner["text"] if isinstance(inner, Mapping) else inner)]

    def _closing(self, answer: Mapping[str, Any], out: Mapping[str, Any]) -> str:
        points = listed(answer["open"])
        if answer["close"] == "refused":
            return self._say("not_closed", list=points)
        role = out["closed"]["handed_over_to"] if out["closed"] else None
        return self._say("closed_over", role=role, list=points) if role else self._say("closed")

    def _conclusions(self, before: Case, case: Case, view: View) -> list[str]:
        lines = []
        diagnosis = view.diagnosis
        for conflict in diagnosis.conflicts:
            settle = self._say("conflict_settle", test=self.names.test(conflict.settle)) if conflict.settle else ""
            lines.append(self._say("conflict", text=conflict.text, settle=settle).rstrip())
        for conclusion in diagnosis.conclusions:
            if conclusion.finding and conclusion.finding not in before.findings:
                text = self._say("finding", because=self.knowledge.rules[conclusion.rule].because)
                lines += [text] if text not in lines else []
        lines += [self._say("came_back", fault=self.names.fault(f)) for f in diagnosis.uncaused]
        for fault, rule in diagnosis.proved.items():
            if fault not in before.proved:
                because = self.knowledge.rules[rule].because
                lines.append(self._say("proved", fault=self.names.fault(fault), because=because))
        return lines

    def _verdict(self, out: Mapping[str, Any], before: Case, view: View) -> list[str]:
        diagnosis = view.diagnosis
        if diagnosis.verified:
            may_close = out["may_close"] is True and not out["closed"]
            return [self._say("verified"), self._say("may_close")] if may_close else [self._say("verified")]
        waiting = view.outcome.waiting
        due = [f for f in diagnosis.verdict if f not in waiting and f not in diagnosis.repaired]
        new = [f for f in due if f not in before.proved or f in before.waiting]
        lines = [
            self._say("confirm_first", fault=self.names.fault(f))
            for f in waiting
            if f in diagnosis.verdict and f not in before.waiting
        ]
        for fault in new:
            repair = self.knowledge.repairs[self.knowledge.faults[fault].repair]
            lines.append(self._say("repair", text=repair.text))
            if repair.renewed:
                lines.append(self._say("parts", list=", ".join(repair.renewed)))
            if repair.cautions:
                lines.append(self._say("cautions", list=" ".join(repair.cautions)))
            if self.knowledge.faults[fault].check_cause:
                lines.append(self._say("cause", text=self.knowledge.faults[fault].check_cause))
        if new:
            lines.append(self._say("caution_local"))
        if diagnosis.verdict and diagnosis.unexplained:
            lines.append(self._say("unexplained"))
        return lines

    def _narrowed(self, narrowed: Mapping[str, Any], *, again: bool) -> str:
        """What nothing on board tells apart: the likeliest by name, and not twice running."""
        if again:
            return self._say("narrowed_still")
        names = [self.names.fault(f) for f in narrowed["faults"]]
        more = len(names) - _MOST_NAMED
        if more > 1:
            names = [*names[:_MOST_NAMED], self._say("and_more", count=more)]
        key = "narrowed" if len(names) > 1 else "narrowed_one"
        return self._say(key, list=self.names.listed(names), settle=narrowed["settle"])

    def _next(self, out: Mapping[str, Any], before: Case, view: View, quiet: bool) -> list[str]:
        lines = []
        told = any(not self.knowledge.questions[q].given for q in view.diagnosis.answers)
        if told and not view.diagnosis.verdict and not quiet:
            leading = [s for s in out["suspects"] if s["state"] == "open" and s["probability"] >= 0.05][:3]
            named = [
                self._say("one_likely", fault=self.names.fault(s["fault"]), percent=f"{100 * s['probability']:.0f}")
                for s in leading
            ]
            lines += [self._say("likely", list=", ".join(named))] if named else []
        if out["narrowed_to"]:
            lines.append(self._narrowed(out["narrowed_to"], again=view.outcome.narrowed == before.narrowed))
        step = out["next"]
        if not step and not out["narrowed_to"] and not view.diagnosis.verified and not quiet:
            lines.append(self._say("nothing_to_ask" if view.open else "nothing_open", list=listed(view.open)))
        return lines

    def _step(
        self, step: Mapping[str, Any] | None, before: Case, case: Case, view: View, *, in_full: bool
    ) -> list[str]:
        """The next step; in a line where it stands as it did, and only the rest of it where a part was answered."""
        plan, last = view.outcome.plan, before.pending
        if step is None or plan is None:
            return []
        minutes = f"{step['minutes']:g}"
        waits = last is not None and not in_full and (plan.test, plan.kind) == (last.test, last.kind)
        rest = self._rest(plan, case) if not in_full else ""
        if rest:
            lines = [self._say("next_rest", minutes=minutes, test=self.names.test(plan.test), list=rest)]
            return lines if waits else [*lines, str(step["why"])]
        if waits:
            return [self._say("next_still", minutes=minutes, test=self.names.test(plan.test))]
        text = step["plain_text"] if view.plain else step["text"]
        lines = [self._say("next", minutes=minutes, text=text)]
        if step["setup"]:
            lines.append(self._say("next_setup", list=" ".join(step["setup"])))
        return [*lines, *step.get("own_names", []), str(step["why"])]

    def _rest(self, plan: Plan, case: Case) -> str:
        """What of a test that was answered in part is not told yet; empty for any other step."""
        if plan.kind != "test" or not case.answered.get(plan.test):
            return ""
        return "; ".join(self.knowledge.questions[q].asks for q in plan.questions[:_MOST_OF_REST])
