"""A recorded case gone on with under another program or other rules: said, recorded, never silently mixed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from assistant.audit.differences import differences
from assistant.audit.replay import carry_over, edition, refeed, same_day
from assistant.journal import START, Journal, stamp
from assistant.journal.turn import CARRIED, Stretch, Turn
from assistant.session import Session
from assistant.session.history import History

_NAMED = 5


class Carrying:
    """Keeps turns in a journal, behind one entry that says from where on other rules count.

    That entry is written with the first turn, so that looking at an old case leaves it as it is.
    """

    def __init__(self, journal: Journal, entry: Mapping[str, Any]) -> None:
        """Keep the journal and the entry to be written first."""
        self._journal = journal
        self._entry: Mapping[str, Any] | None = entry

    def append(self, entry: Mapping[str, Any]) -> str:
        """Keep one turn and return the head.

        Raises:
            JournalError: It could not be kept.
        """
        if self._entry is not None:
            self._journal.append({**self._entry, "at": stamp()})
            self._entry = None
        return self._journal.append(entry)


def go_on_with(stretches: tuple[Stretch, ...], session: Session, journal: Journal) -> tuple[str, ...]:
    """Bring a fresh session to the end of a recorded case and let it record from there; return what is to be said.

    Raises:
        JournalError: The case does not run again as it was recorded, or cannot be taken under these rules.
    """
    last = stretches[-1]
    before = [turn for stretch in stretches[:-1] for turn in stretch.turns]
    turns = [*before, *last.turns]
    if same_day(last.header, session):
        carry_over(before, last.seal, session)
        refeed(last.header, last.turns, session)
        session.keep_in(journal)
        notes: tuple[str, ...] = ()
    else:
        now = carry_over(turns, START, session)
        found = _other_conclusions(turns[-1], now) if now is not None else []
        session.keep_in(Carrying(journal, _entry(session.header(), found)))
        notes = _said(last, session, found)
    session.history = History((turn.line, {**turn.out, "head": turn.seal}) for turn in turns)
    if notes and turns and now is not None:
        shown = {**now, "understood": [], "replaced": [], "unclear": [], "answer": None, "reply": "\n".join(notes)}
        session.history.add({"ask": {"help": True}}, {**shown, "head": turns[-1].seal})
    return notes


def _other_conclusions(turn: Turn, now: Mapping[str, Any]) -> list[dict[str, Any]]:
    found = [d for d in differences(turn.number, turn.out, now) if d.weight == "conclusion"]
    return [{"key": d.key, "recorded": d.recorded, "now": d.now, "said": str(d)} for d in found]


def _entry(header: Mapping[str, Any], found: list[dict[str, Any]]) -> dict[str, Any]:
    told = [{key: one[key] for key in ("key", "recorded", "now")} for one in found]
    return {"kind": CARRIED, "program": header["program"], "rules": header["rules"], "differences": told}


def _said(last: Stretch, session: Session, found: list[dict[str, Any]]) -> tuple[str, ...]:
    first = (
        f"This case was recorded by {edition(last.header)}. It goes on under {edition(session.header())}, from the "
        "facts as they were understood; the record will say so."
    )
    if not found:
        return (first, "The conclusions are the same as they stood.")
    listed = "; ".join(str(one["said"]) for one in found[:_NAMED])
    more = f"; and {len(found) - _NAMED} more" if len(found) > _NAMED else ""
    return (first, f"Other conclusions now: {listed}{more}.")
