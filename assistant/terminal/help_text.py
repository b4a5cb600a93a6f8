"""Help that answers 'what can I say here?'."""

from __future__ import annotations

from assistant.terminal.case import Case
from assistant.terminal.plain import visible
from assistant.terminal.turns import Piece

_WORDS = (
    ("why", "why this question is asked; why 2, or why and a cause's name: what speaks for it"),
    ("why not 3", "what speaks against a cause"),
    ("undo", "take back what the last line told; redo tells it again"),
    ("that's wrong", "the last line was taken wrongly: its fact goes, of several it is asked which"),
    ("known", "what is known, by part; there e puts a fact right, x takes it back"),
    ("suspects", "all causes, how likely, proved or ruled out"),
    ("test", "the next test in full, with set-up steps"),
    ("path", "the path from battery to motor and back, with every reading and what is lost where"),
    ("boat", "boat data in a form, remembered under her name; any of it can be typed at any time as well"),
    ("to do", "verdict, repair, and what keeps the case open"),
    ("safety", "all hazards, and what clears each"),
    ("cannot: reason", "you cannot do the test that is asked for; another way is looked for"),
    ("close", "close the case; hand over to the yard: not found yet closes it with points open"),
    ("report", "the report of the case, to read and to save"),
    ("transcript", "all that was said, with search"),
    ("plain", "the wording to read aloud to a caller, on or off"),
    ("theme dark", "colours: dark, light, mono, contrast"),
    ("copy", "the last reply into the clipboard"),
    ("quit", "leave; the case is kept and can be gone on with"),
)
_KEYS = (
    ("Enter", "send; alt+Enter begins a new line"),
    ("1 … 9, then Enter", "pick an answer; #2 or pick 2 where a number would be a reading"),
    ("Tab", "into the answers and lists; there a number or Enter picks, typing goes back to the entry"),
    ("?", "in any list: why, why not, and what would change it; in the answers: for the question"),
    ("Up, Down", "what you said before"),
    ("Page keys", "scroll the conversation"),
    ("F1 help  F2 safety  F3 suspects  F4 test", "the same as the words"),
    ("F5 known  F6 to do  F7 plain wording  F8 all said", "the same as the words"),
    ("F9", "next colours"),
    ("F10", "path"),
    ("Ctrl+P, or do", "all that can be done now, to pick from; typing there narrows it"),
    ("Right", "at the end of the line: takes the word offered"),
    ("Escape", "back to the conversation"),
    ("Ctrl+Z, Ctrl+Y", "undo and redo typing; with nothing typed: undo and redo what was told"),
    ("Ctrl+C", "copy what is marked"),
    ("Ctrl+Q", "leave"),
)
_CAUTION = "Local codes, the unit's own manual and licensed practice come before anything said here."
_SAY = (
    "Say what you see, in any order and in your own words, as much at once as you like:",
    "  panel lights but nothing happens, 12.4 V at the thruster studs, no click",
    "  we unplugged the helm control and bridged port, it ran",
    "  no, it was 11.4 V",
    "  the port signal wire is the green one here (your own word: use it from then on)",
    "Measured something nobody asked for? Say it. Not sure? Say that too: a doubtful reading proves nothing.",
)


def help_pieces(case: Case) -> list[Piece]:
    """Return the help, beginning with what fits the moment."""
    found: list[Piece] = [("What you can say now", "who")]
    found += [(visible(line), "said") for line in _now(case)]
    found += [("", "blank"), ("What you can say any time", "who"), *((line, "said") for line in _SAY)]
    found += [("", "blank"), ("Words that are orders, alone on a line", "who")]
    found += [(f"  {word:<16} {meaning}", "said") for word, meaning in _WORDS]
    found += [("", "blank"), ("Keys", "who")]
    found += [(f"  {key:<20} {meaning}", "said") for key, meaning in _KEYS]
    found += [("", "blank"), (_CAUTION, "ask")]
    return found


def _now(case: Case) -> list[str]:
    if case.stop is not None:
        return [f"First: {case.stop.get('text', '')}", "Say when it is done, or pick the line that is so."]
    if case.closed is not None:
        return ["The case is closed: you can still ask why, and for the report."]
    if case.next is not None:
        lines = [str(case.next.get("text", "")), "Answer in your own words, or with the number of an answer:"]
        lines += [f"  {n} {a.get('text', '')}" for n, a in enumerate(case.next.get("answers") or (), 1)]
        return [*lines, "  0, or cannot: reason, if you cannot do it here"]
    return ["What is wrong: does it run, which way, what does the panel show, what does the meter read?"]
