"""What stands: whether it is safe as far as was told, and what was told of a part."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from assistant.diagnosis.seen import own_station
from assistant.facts.points import listed
from assistant.knowledge import Knowledge
from assistant.session.case import Case
from assistant.session.names import Names

if TYPE_CHECKING:
    from assistant.session.session import View


def is_safe(view: View, knowledge: Knowledge, names: Names) -> dict[str, Any]:
    """What stands against it, and what has to be told before a hand goes near and before it is run.

    Args:
        view: The case worked out.
        knowledge: The rule base.
        names: How things are called.
    """
    texts = knowledge.replies
    against = [h.hazard for h in view.live]
    said = [str(texts["safe_no"]).format(list=" ".join(h.text for h in against)) if against else texts["safe_unseen"]]
    missing: list[str] = []
    for state in ("safe_state", "run_state"):
        left = [f for f in knowledge.limits[state] if not view.states.holding(f, doubtful=False)]
        listed = names.listed([names.fact(f) for f in left])
        said.append(str(texts[state if left else f"{state}_told"]).format(list=listed))
        missing += [f"{f['about']}.{f['what']}" for f in left]
    said.append(str(texts["caution_local"]))
    return {"text": " ".join(map(str, said)), "hazards": [h.id for h in against], "not_told": missing}


def who_is_needed(view: View, case: Case, knowledge: Knowledge, names: Names) -> dict[str, Any]:
    """Whether the next step is work for an electrician, and what to tell one.

    Args:
        view: The case worked out.
        case: The case.
        knowledge: The rule base.
        names: How things are called.
    """
    texts, outcome = knowledge.replies, view.outcome
    needed = outcome.beyond or outcome.plan is None
    told = "; ".join(names.fact(f) for f in case.facts)
    said = [str(texts["who_yes" if needed else "who_no"])]
    said += [str(texts["who_tell"]).format(list=told)] if told else []
    return {"text": " ".join(said), "needed": needed}


def may_be_closed(view: View, knowledge: Knowledge) -> dict[str, Any]:
    """Whether the case may be closed, or what still stands open; nothing is closed.

    Args:
        view: The case worked out.
        knowledge: The rule base.
    """
    key = "not_closed" if view.open else "may_close_yes"
    return {"text": str(knowledge.replies[key]).format(list=listed(view.open)), "open": list(view.open)}


def what_was_told(parts: Any, case: Case, knowledge: Knowledge, names: Names) -> dict[str, Any]:
    """The facts that stand: of some parts, or all of them.

    Args:
        parts: Their ids, or anything else for all.
        case: The case.
        knowledge: The rule base.
        names: How things are called.
    """
    wanted = set(parts) if isinstance(parts, list | tuple) else set()
    facts = [f for f in case.facts if not wanted or wanted & {f.about, own_station(f.about, knowledge.words)}]
    listed = "; ".join(names.fact(f) for f in facts)
    key = "known" if facts else "known_nothing"
    return {"text": str(knowledge.replies[key]).format(list=listed), "facts": [f.id for f in facts]}
