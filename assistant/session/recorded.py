"""What a turn understood, as its entry keeps it, and out of the entry again.

An entry holds each fact with its place (the test that it answers, the reading whose set-up it reports), and
what the words brought besides facts. So a recorded turn can be taken again exactly as it was understood
then, by any later program or rule base, without reading a word anew.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from pydantic import ValidationError

from assistant.errors import JournalError
from assistant.facts.intake import RefusalError, take_fact
from assistant.facts.model import Fact
from assistant.facts.vocabulary import Vocabulary
from assistant.language import Reading, Unclear
from assistant.session.offer import shown_fact
from assistant.session.taking import Taken, Taker

_PLACE = {"asked": None, "regards": None, "as_setup": False}
"""What a fact's place says besides turn and order, with what it is when nothing is said."""
_RAW = ("about", "what", "value", "unit", "while", "certain", "bound", "words")


def placed_facts(taken: Taken) -> list[dict[str, Any]]:
    """The facts of a turn with their places, as the entry keeps them."""
    return [
        {**shown_fact(fact), **{key: value for key, usual in _PLACE.items() if (value := getattr(fact, key)) != usual}}
        for fact in taken.facts
    ]


def heard(taker: Taker, reading: Reading, asked: str | None) -> dict[str, Any]:
    """What a line brought besides facts: only what there is.

    Args:
        taker: What was taken.
        reading: What the words gave.
        asked: The test that the line answers.
    """
    told = {
        "withdrawn": [fact.id for fact in taker.taken.withdrawn],
        "cannot": reading.cannot,
        "asked": asked if reading.cannot is not None else None,
        "ask": reading.ask,
        **taker.names.changed(),
        "unclear": [_kept(piece) for piece in reading.unclear],
    }
    return {key: value for key, value in told.items() if value not in (None, [])}


def _kept(piece: Unclear) -> dict[str, Any]:
    """What was asked back, by itself: the next line may answer it."""
    return piece.model_dump(by_alias=True, exclude_defaults=True, mode="json")


def heard_again(entry: Mapping[str, Any]) -> Reading:
    """The reading of a recorded turn, without its facts.

    Raises:
        JournalError: The entry does not hold what one holds.
    """
    told = _mapping(entry.get("heard"))
    try:
        return Reading.model_validate({k: told[k] for k in ("cannot", "ask", "unclear") if k in told})
    except ValidationError as error:
        raise JournalError(f"this entry cannot be taken again: {error.errors()[0]['msg']}") from error


def withdrawn_in(entry: Mapping[str, Any]) -> tuple[str, ...]:
    """Ids of the facts that a recorded turn withdrew, in its line or by its words."""
    ids = _mapping(entry.get("heard")).get("withdrawn")
    return tuple(i for i in ids if isinstance(i, str)) if isinstance(ids, list) else ()


def facts_in(entry: Mapping[str, Any], words: Vocabulary) -> Iterator[Fact | tuple[Mapping[str, Any], str]]:
    """The facts of a recorded turn; those that a rule base does not take, each with the reason.

    Args:
        entry: The entry.
        words: The vocabulary of the rule base under which they are taken again.

    Raises:
        JournalError: The entry does not hold what one holds.
    """
    by, turn = str(entry.get("by") or "user"), entry.get("turn")
    for index, data in enumerate(entry.get("facts") or ()):
        raw = {key: data[key] for key in _RAW if key in _mapping(data)}
        try:
            take_fact(raw, words, None)
            place = {key: data[key] for key in _PLACE if key in data}
            yield Fact.model_validate({**raw, **place, "id": data.get("id"), "turn": turn, "index": index, "by": by})
        except RefusalError as refusal:
            yield raw, str(refusal)
        except ValidationError as error:
            raise JournalError(f"this entry cannot be taken again: {error.errors()[0]['msg']}") from error


def asked_in(entry: Mapping[str, Any]) -> str | None:
    """The test that the words of a recorded turn said cannot be done."""
    asked = _mapping(entry.get("heard")).get("asked")
    return asked if isinstance(asked, str) else None


def take_again(entry: Mapping[str, Any], taker: Taker) -> Reading:
    """Bring a recorded turn into a case as it was understood then.

    Raises:
        JournalError: The entry does not hold what one holds.
    """
    taker.withdraw(withdrawn_in(entry))
    taker.names.take_again(_mapping(_mapping(entry.get("heard")).get("own_names")))
    for fact in facts_in(entry, taker.knowledge.words):
        if isinstance(fact, Fact):
            taker.put(fact)
        else:
            taker.taken.refused.append({"fact": dict(fact[0]), "why": fact[1]})
    return heard_again(entry)


def _mapping(value: Any) -> Mapping[str, Any]:
    return value if isinstance(value, Mapping) else {}
