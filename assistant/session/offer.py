"""The next step as the person reads it: text, set-up, pickable answers, the reason."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from assistant.facts.model import Fact
from assistant.knowledge import Knowledge
from assistant.knowledge.model import Test
from assistant.planner import Outcome, Plan
from assistant.safety.hazards import Live
from assistant.session.names import Names
from assistant.session.own_names import named_parts


class Offers:
    """Puts a plan into words."""

    def __init__(self, knowledge: Knowledge, names: Names) -> None:
        """Keep the rule base and its names."""
        self.knowledge = knowledge
        self.names = names
        self.texts = knowledge.replies

    def next_step(self, plan: Plan, nominal: float, minutes: float, live: Iterable[Live] = ()) -> dict[str, Any]:
        """The `next` object of a turn.

        Args:
            plan: What the planner chose.
            nominal: Nominal voltage in volts, for the pickable answers.
            minutes: What the step costs now.
            live: The hazards that stand: what they want put right comes before a run.
        """
        test = self.knowledge.tests[plan.test]
        text, plain, answers = test.text, test.plain, self._answers(plan, nominal)
        if plan.kind == "verify" and test.verify_text:
            text = test.verify_text
        if plan.kind == "setup" and plan.fact:
            text = plain = self.texts["setup_question"].format(states=self._states(plan))
        if plan.kind == "scene" and plan.fact:
            text = plain = self.texts["scene_question"].format(
                part=self.names.part(plan.fact.about), value=self.names.value(plan.fact.what, plan.fact.value)
            )
        asks_only = plan.kind in ("setup", "scene")
        first = _to_put_right(live, test) if test.runs_motor else []
        step = {
            "test": plan.test,
            "text": text,
            "plain_text": plain,
            "setup": [] if asks_only else [*first, *(s.text for s in test.setup)],
            "restore": [] if asks_only else [s.text for s in test.restore],
            "tools": [] if asks_only else list(test.tools),
            "minutes": 0.5 if asks_only else minutes,
            "answers": answers,
            "why": self.why(plan),
        }
        yours = named_parts((q.about for q in self.knowledge.questions_of(plan.test)), self.names.own, self.knowledge)
        return {**step, "own_names": yours} if yours else step

    def narrowed(self, outcome: Outcome) -> dict[str, Any] | None:
        """The faults that nothing on board tells apart, and what would; None where there are none."""
        faults = outcome.narrowed
        if not faults:
            return None
        texts = self.texts
        workshop = [self.knowledge.faults[f].workshop for f in faults if self.knowledge.faults[f].workshop]
        settle = texts["settle_workshop"].format(text=" ".join(workshop)) if workshop else texts["settle_default"]
        because = texts["because_tests_left"] + (f" {texts['call_electrician']}" if outcome.beyond else "")
        return {"faults": list(faults), "because": because, "settle": settle}

    def why(self, plan: Plan) -> str:
        """Why this step, in a sentence."""
        named = {k: self.names.fault(str(v)) if k in ("fault", "other") and v else v for k, v in plan.names.items()}
        sentence = str(self.texts[f"why_{plan.reason}"]).format(**named)
        because = self.knowledge.tests[plan.test].because
        return f"{sentence} {because}" if plan.kind in ("test", "confirm", "verify") else sentence

    def _states(self, plan: Plan) -> str:
        return self.names.listed([f"{self.names.part(a)} {self.names.value(w, v)}" for a, w, v in plan.needs])

    def _answers(self, plan: Plan, nominal: float) -> list[dict[str, Any]]:
        if plan.kind == "setup" and plan.fact:
            needed = [{"about": a, "what": w, "value": v} for a, w, v in plan.needs]
            other = [{"about": a, "what": w, "value": not v} for a, w, v in plan.needs if isinstance(v, bool)]
            return [
                {"text": self.texts["setup_yes"], "facts": [*needed, fact_data(plan.fact)]},
                {"text": self.texts["setup_no"], "facts": other},
            ]
        if plan.kind == "scene" and plan.fact:
            data = fact_data(plan.fact)
            return [
                {"text": self.texts["scene_rest"], "facts": [{**data, "while": ["at_rest"]}]},
                {"text": self.texts["scene_load"], "facts": [{**data, "while": ["under_load"]}]},
            ]
        return [
            {"text": a.text, "facts": [spelt_fact(f, self.knowledge, nominal) for f in a.facts]}
            for a in self.knowledge.tests[plan.test].answers
        ]


def _to_put_right(live: Iterable[Live], test: Test) -> list[str]:
    """What the hazards that stand want put right before a run, but for what the test itself takes apart."""
    apart = {(f["about"], f["what"]) for step in test.setup for f in step.facts}
    return [
        h.hazard.first_before_run
        for h in live
        if h.kind == "standing"
        and h.hazard.first_before_run
        and not any((f["about"], f["what"]) in apart for option in h.hazard.raised_when for f in option)
    ]


def fact_data(fact: Fact) -> dict[str, Any]:
    """A fact as the conversation writes it, without its place in the case."""
    data: dict[str, Any] = {"about": fact.about, "what": fact.what, "value": fact.value}
    if fact.unit:
        data["unit"] = fact.unit
    if fact.bound:
        data["bound"] = fact.bound
    return {**data, "while": list(fact.while_)}


def shown_fact(fact: Fact) -> dict[str, Any]:
    """A fact as `understood` lists it."""
    return {"id": fact.id, **fact_data(fact), "words": fact.words, "certain": fact.certain}


def spelt_fact(fact: Mapping[str, Any], knowledge: Knowledge, nominal: float) -> dict[str, Any]:
    """A fact of the rule base as the conversation writes it: multiples of nominal voltage made volts."""
    data: dict[str, Any] = {"about": fact["about"], "what": fact["what"], "value": fact["value"]}
    unit = knowledge.words.attributes[str(fact["what"])].unit
    if fact.get("unit") == "nominal":
        data["value"] = float(f"{float(fact['value']) * nominal:.3g}")
    if unit:
        data["unit"] = unit
    if fact.get("while"):
        data["while"] = list(fact["while"])
    return data
