"""Reasons: why, why not, why this question, what if; all from the record of the diagnosis."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from assistant.diagnosis.answers import Said
from assistant.diagnosis.diagnose import Diagnoser, Diagnosis, Suspect
from assistant.engine import Conclusion
from assistant.facts.intake import RefusalError, take_fact
from assistant.facts.model import Fact
from assistant.facts.shares import percent
from assistant.knowledge import Knowledge
from assistant.planner.proofs import Proofs
from assistant.session.case import Case
from assistant.session.names import Names
from assistant.session.own_names import named_parts
from assistant.session.standing import is_safe, may_be_closed, what_was_told, who_is_needed

if TYPE_CHECKING:
    from assistant.session.session import View


class Explainer:
    """Puts the record of a diagnosis into reasons."""

    def __init__(self, knowledge: Knowledge, names: Names, diagnoser: Diagnoser, proofs: Proofs) -> None:
        """Keep what reasons are made of."""
        self.knowledge = knowledge
        self.names = names
        self.texts = knowledge.replies
        self._diagnoser = diagnoser
        self._proofs = proofs

    def answer(self, ask: Mapping[str, Any], case: Case, view: View) -> dict[str, Any]:
        """The data that answers a question."""
        key, value = next(iter(ask.items()))
        if key == "safe":
            return {"safe": is_safe(view, self.knowledge, self.names)}
        if key == "who":
            return {"who": who_is_needed(view, case, self.knowledge, self.names)}
        if key == "may_close":
            return {"may_close": may_be_closed(view, self.knowledge)}
        if key == "told":
            return {"told": what_was_told(value, case, self.knowledge, self.names)}
        if key in ("why", "how_sure"):
            return {key: self._reasons(str(value), case, view)}
        if key == "why_not":
            return {"why_not": self.why_not(str(value), view)}
        if key == "why_ask":
            return {"why_ask": self.why_ask(str(value), view)}
        if key == "what_if":
            return {"what_if": self.what_if(value, case, view)}
        return {"help": "\n".join([str(self.texts["help"]), *self._sayable(view)])}

    def _sayable(self, view: View) -> list[str]:
        """What can be said about the step just asked for: its answers, and what it wants to know."""
        plan = view.outcome.plan
        if plan is None or plan.kind in ("setup", "scene"):
            return []
        answers = [a.text for a in self.knowledge.tests[plan.test].answers]
        asks = list(dict.fromkeys(q.asks for q in self.knowledge.questions_of(plan.test)))
        lines = [self.texts["help_answers"].format(list="; ".join(answers))] if answers else []
        return lines + ([self.texts["help_asks"].format(list="; ".join(asks))] if asks else [])

    # ------------------------------------------------------------ why
    def _reasons(self, entry: str, case: Case, view: View) -> dict[str, Any]:
        if entry in self.knowledge.hazards:
            return self._why_hazard(entry, view)
        if entry in self.knowledge.faults or not entry[1:].isdigit():
            return self.why(entry, view)
        return self._why_fact(entry, case, view)

    def _why_fact(self, entry: str, case: Case, view: View) -> dict[str, Any]:
        """Where a fact came from, and what it answers."""
        fact = next((f for f in case.facts if f.id == entry), None)
        if fact is None:
            return {"fact": entry, "text": str(self.texts["no_such_fact"]).format(id=entry), "answers": []}
        said = [s for s in view.diagnosis.answers.values() if s.fact.id == entry]
        used = [self.names.answer(f"{s.question}.{s.state}") for s in said]
        text = str(self.texts["why_fact"]).format(
            fact=self.names.fact(fact), turn=fact.turn, by=fact.by, words=fact.words
        )
        meaning = (
            self.texts["why_fact_says"].format(list=self.names.listed(used)) if used else self.texts["why_fact_noted"]
        )
        answers = [{"question": s.question, "state": s.state, "doubt": s.blur} for s in said]
        return {"fact": entry, "text": f"{text} {meaning}", "turn": fact.turn, "words": fact.words, "answers": answers}

    def _why_hazard(self, entry: str, view: View) -> dict[str, Any]:
        """What raised a hazard, and what clears it."""
        hazard = self.knowledge.hazards[entry]
        live = next((h for h in view.live if h.hazard.id == entry), None)
        told = [f for f in view.states.facts if live and f.id in live.facts]
        raised = self.names.listed([self.names.fact(f) for f in told])
        key = "why_hazard_off" if live is None else "why_hazard" if told else "why_hazard_step"
        text = str(self.texts[key]).format(name=hazard.name, list=raised, clear=hazard.clear_text)
        return {"hazard": entry, "live": live is not None, "facts": [f.id for f in told], "text": text}

    def why(self, fault: str, view: View) -> dict[str, Any]:
        """Why a fault stands where it stands, down to what was said."""
        suspect = self._suspect(fault, view.diagnosis)
        chain = self._chain(fault, view.diagnosis)
        speaks = [k for k in suspect.because if "." in k] if suspect.state == "open" else []
        told = [self._said(view.diagnosis, k) for k in speaks]
        sentences = [self._standing(suspect, view.diagnosis)]
        if told:
            sentences.append(self.texts["why_for"].format(list=self.names.listed([t["text"] for t in told])))
        elif suspect.state == "open" and fault in self.knowledge.faults:
            sentences.append(self.texts["why_nothing"])
        led = [*told, *(said for link in chain for said in link["answers"])]
        sentences += self._assumed(view.diagnosis, {said["question"] for said in led})
        return {
            "fault": fault, "state": suspect.state, "probability": suspect.probability,
            "text": " ".join(sentences), "rules": chain, "answers": told,
        }  # fmt: skip

    def _assumed(self, diagnosis: Diagnosis, questions: set[str]) -> list[str]:
        """What the answers to these questions take for granted, as a sentence."""
        taken = [a for q, said in diagnosis.answers.items() if q in questions for a in said.assumed]
        listed = self.names.listed(self.names.assumed(taken))
        return [str(self.texts["why_assumed"]).format(list=listed)] if listed else []

    def _standing(self, suspect: Suspect, diagnosis: Diagnosis) -> str:
        name = self.names.fault(suspect.fault)
        if suspect.state == "proved":
            rule = self.knowledge.rules[suspect.because[0]]
            return str(self.texts["why_state_proved"]).format(fault=name, because=rule.because)
        if suspect.state == "ruled_out":
            return str(self.texts["why_state_ruled_out"]).format(
                fault=name, because=self.names.answer(suspect.because[0])
            )
        return str(self.texts["why_state_open"]).format(fault=name, percent=f"{100 * suspect.probability:.1f}")

    def _chain(self, fault: str, diagnosis: Diagnosis) -> list[dict[str, Any]]:
        """The rules behind a proof, from the proof down to the answers, each once."""
        by_finding = {c.finding: c for c in reversed(diagnosis.conclusions) if c.finding}
        waiting = [c for c in diagnosis.conclusions if c.proves == fault]
        out: list[dict[str, Any]] = []
        while waiting:
            one = waiting.pop(0)
            if one.rule in [o["rule"] for o in out]:
                continue
            out.append(self._link(one, diagnosis))
            waiting += [by_finding[name] for kind, name in one.used if kind == "finding" and name in by_finding]
        return out

    def _link(self, one: Conclusion, diagnosis: Diagnosis) -> dict[str, Any]:
        rule = self.knowledge.rules[one.rule]
        answers = [self._said(diagnosis, f"{q}.{s}") for q, s in one.used if q != "finding"]
        return {"rule": one.rule, "because": rule.because, "source": rule.source, "answers": answers}

    def _said(self, diagnosis: Diagnosis, key: str) -> dict[str, Any]:
        question = key.partition(".")[0]
        said: Said | None = diagnosis.answers.get(question)
        out: dict[str, Any] = {"question": question, "text": self.names.answer(key)}
        if said:
            out |= {
                "fact": said.fact.id,
                "words": said.fact.words,
                "turn": said.fact.turn,
                "by": said.fact.by,
            }
        return out

    # ------------------------------------------------------------ why not
    def why_not(self, fault: str, view: View) -> dict[str, Any]:
        """What acquits a fault, or what its proof still wants."""
        suspect = self._suspect(fault, view.diagnosis)
        sentences = [self._standing(suspect, view.diagnosis)]
        out: dict[str, Any] = {
            "fault": fault,
            "state": suspect.state,
            "acquitted_by": None,
            "missing": [],
            "against": [],
        }
        if suspect.state == "ruled_out":
            out["acquitted_by"] = self._said(view.diagnosis, suspect.because[0])
            sentences += self._assumed(view.diagnosis, {suspect.because[0].partition(".")[0]})
        elif suspect.state == "open" and fault in self.knowledge.faults:
            out["missing"] = self._missing(fault, view.diagnosis)
            out["against"] = self._against(fault, view.diagnosis)
            if out["missing"]:
                names = [m["text"] for m in out["missing"]]
                sentences.append(self.texts["why_missing"].format(list=self.names.listed(names)))
            if out["against"]:
                sentences.append(
                    self.texts["why_against"].format(list=self.names.listed([a["text"] for a in out["against"]]))
                )
        return {**out, "text": " ".join(sentences)}

    def _missing(self, fault: str, diagnosis: Diagnosis) -> list[dict[str, Any]]:
        """The answers that the nearest proof still wants."""
        best: list[dict[str, Any]] | None = None
        for _, wanted in self._proofs.wants.get(fault, []):
            missing = []
            for question, states in wanted.items():
                said = diagnosis.answers.get(question)
                if said and said.sure and said.state in states:
                    continue
                q = self.knowledge.questions[question]
                missing.append({"question": question, "text": q.asks, "tests": list(q.tests)})
            if best is None or len(missing) < len(best):
                best = missing
        return best or []

    def _against(self, fault: str, diagnosis: Diagnosis) -> list[dict[str, Any]]:
        table = self._diagnoser.table
        out = []
        for q, said in diagnosis.answers.items():
            question = self.knowledge.questions[q]
            if question.given or said.state != question.normal:
                continue
            if table.chance(question, said.state, (fault,), said.blur) < 0.3 * table.chance(
                question, said.state, (), said.blur
            ):
                out.append(self._said(diagnosis, f"{q}.{said.state}"))
        return out[:3]

    def why_ask(self, test: str, view: View) -> dict[str, Any]:
        """Why a test is worth its minutes."""
        one = self.knowledge.tests[test]
        asks = [q.asks for q in self.knowledge.questions_of(test)]
        text = str(self.texts["why_ask"]).format(text=one.text, because=one.because)
        return {"test": test, "text": text, "answers": asks, "minutes": one.minutes, "source": one.source}

    # ------------------------------------------------------------ what if
    def what_if(self, raws: Sequence[Any], case: Case, view: View) -> dict[str, Any]:
        """How the suspects would stand with these facts added; nothing is kept."""
        then, refused = self._with(raws, case, view)
        earlier = {s.fault: s.probability for s in view.diagnosis.suspects}
        moved = [s for s in then.suspects if s.state != "ruled_out"][:5]
        ruled = [f for f in then.ruled_out if f not in view.diagnosis.ruled_out]
        text = [f"{self.names.fault(s.fault)} {percent(s.probability)}" for s in moved]
        return {
            "text": str(self.texts["what_if"]).format(list=self.names.listed(text)),
            "proved": [f for f in then.proved if f not in view.diagnosis.proved],
            "ruled_out": ruled,
            "suspects": [
                {"fault": s.fault, "probability": s.probability, "before": earlier.get(s.fault, 0.0),
                 "state": s.state}
                for s in moved
            ],
            "refused": refused,
        }  # fmt: skip

    def supposed(self, raws: Sequence[Any], case: Case, view: View) -> Diagnosis:
        """The diagnosis with these facts added; nothing is kept."""
        return self._with(raws, case, view)[0]

    def without(self, fact: str, case: Case) -> Diagnosis:
        """The diagnosis with a fact left out; nothing is kept."""
        return self._diagnoser.diagnose([f for f in case.facts if f.id != fact])

    def _with(self, raws: Sequence[Any], case: Case, view: View) -> tuple[Diagnosis, list[dict[str, Any]]]:
        added: list[Fact] = []
        refused = []
        for raw in raws:
            try:
                told = take_fact(raw, self.knowledge.words, view.nominal if view.nominal_known else None)
            except RefusalError as refusal:
                refused.append({"fact": raw, "why": str(refusal)})
                continue
            for fact in told:
                number = len(added)
                added.append(
                    Fact(
                        **fact.model_dump(by_alias=True),
                        id=f"if{number}",
                        turn=case.turn,
                        index=1000 + number,
                    )
                )
        return self._diagnoser.diagnose([*case.facts, *added]), refused

    def _suspect(self, fault: str, diagnosis: Diagnosis) -> Suspect:
        return next((s for s in diagnosis.suspects if s.fault == fault), Suspect(fault, 0.0, "open", ()))

    # ------------------------------------------------------------ report
    def report(self, case: Case, view: View) -> str:
        """A short record of the case so far in Markdown; the full reports are made from the journal."""
        heads = self.texts["record"]
        lines = [f"# {heads['title']}", "", f"## {heads['said']}", ""]
        lines += [f"- {heads['turn']} {f.turn}: {_text(self.names.fact(f))}" for f in case.facts]
        own = case.own_names.by_part()
        lines += [f"- {_text(text)}" for text in named_parts(own, own, self.knowledge)]
        lines += ["", f"## {heads['found']}", ""]
        lines += [
            f"- {_text(self.names.fault(f))}: {_text(self.knowledge.rules[r].because)}"
            for f, r in view.diagnosis.proved.items()
        ]
        lines += ["", f"## {heads['open']}", ""]
        lines += [f"- {_text(point)}" for point in view.open]
        return "\n".join(lines) + "\n"


def _text(text: str) -> str:
    """A line of plain text inside Markdown."""
    clean = "".join(c if c.isprintable() else " " for c in text)
    return "".join(f"\\{c}" if c in "\\`*_{}[]<>#|" else c for c in clean)
