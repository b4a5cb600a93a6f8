"""Everything there is to say about one thing of a case: why, why not, and what would change it.

It is looked up and not told: no turn is made of it, and nothing is recorded.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from assistant.session.case import Case
from assistant.session.explain import Explainer

if TYPE_CHECKING:
    from assistant.diagnosis.diagnose import Diagnosis
    from assistant.session.session import View

_MOST_MOVED = 3


class Reasons:
    """Looks up reasons from a case as it stands."""

    def __init__(self, explainer: Explainer) -> None:
        """Keep what explains."""
        self._explainer = explainer

    def about(self, subject: str, case: Case, view: View) -> dict[str, Any]:
        """Return what can be said of a fault, a fact, a hazard or a test, each named by its id.

        Returns:
            `why` and `why_not` as sentences; `changes`, a list of `{"if": …, "suspects": [{"fault", "before",
            "probability"}], "proved": […], "ruled_out": […]}` for what could be told next, where `if` is None
            for a fact that is taken back; `against`, facts that cannot be right together with this one; `clear`,
            what takes a hazard off.
        """
        know = self._explainer.knowledge
        out: dict[str, Any] = {"why": "", "why_not": "", "changes": [], "against": [], "clear": ""}
        if subject in know.hazards:
            out["why"] = self._explainer.answer({"why": subject}, case, view)["why"]["text"]
            out["clear"] = know.hazards[subject].clear_text
        elif any(fact.id == subject for fact in case.facts):
            out["why"] = self._explainer.answer({"why": subject}, case, view)["why"]["text"]
            out["against"] = self._against(subject, view.diagnosis)
            out["changes"] = [self._without(subject, case, view)]
        elif subject in know.tests:
            out["why"] = self._explainer.why_ask(subject, view)["text"]
            out["changes"] = list(self._answers(case, view))
        else:
            out["why"] = self._explainer.why(subject, view)["text"]
            out["why_not"] = self._explainer.why_not(subject, view)["text"]
            out["changes"] = list(self._answers(case, view, subject))
        return out

    def _against(self, fact: str, diagnosis: Diagnosis) -> list[str]:
        return [c.text for c in diagnosis.conflicts if fact in c.facts]

    def _without(self, fact: str, case: Case, view: View) -> dict[str, Any]:
        then = self._explainer.without(fact, case)
        return self._change(None, view.diagnosis, then)

    def _answers(self, case: Case, view: View, fault: str = "") -> Iterable[dict[str, Any]]:
        """What each answer that is offered now would change; all of it, or what it does to one fault."""
        for answer in case.offered:
            facts = answer["facts"]
            if not facts or any(fact.get("value") is None for fact in facts):
                continue
            then = self._explainer.supposed(facts, case, view)
            yield self._change(str(answer["text"]), view.diagnosis, then, fault)

    def _change(self, told: str | None, now: Diagnosis, then: Diagnosis, fault: str = "") -> dict[str, Any]:
        before = {s.fault: s.probability for s in now.suspects}
        after = {s.fault: s.probability for s in then.suspects}
        among: Sequence[str] = (
            [fault]
            if fault
            else sorted({*before, *after}, key=lambda f: (-abs(after.get(f, 0.0) - before.get(f, 0.0)), f))[
                :_MOST_MOVED
            ]
        )
        moved: list[Mapping[str, Any]] = [
            {"fault": f, "before": before.get(f, 0.0), "probability": after.get(f, 0.0)} for f in among
        ]
        return {
            "if": told,
            "suspects": moved,
            "proved": [f for f in then.proved if f not in now.proved and fault in ("", f)],
            "ruled_out": [f for f in then.ruled_out if f not in now.ruled_out and fault in ("", f)],
        }
