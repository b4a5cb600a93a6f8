"""In which mood a piece stands: a plan, an if, a question, the past, a doubt; and what puts right."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields
from itertools import pairwise
from typing import Any

from assistant.language.items import Item, claims, is_mark, is_particle
from assistant.language.pieces import Piece, Sentence
from assistant.language.views import names_in

_SILENCING = ("if", "other", "instead", "plan", "past", "expected", "unable", "quoted", "unknown")
_FAR = ("if", "other")
"""These silence the rest of the sentence."""


@dataclass(frozen=True, slots=True)
class MoodWords:
    """What the settings of a language tell of moods."""

    anew: frozenset[str]
    """Words that begin a statement of its own (`I don't know whether it blew, and there is no meter`)."""
    deeds: frozenset[str]
    """Attributes that tell what somebody did (`I'm going to pull the plug, lift the lead and switch it off`)."""
    defects: frozenset[str]
    """Those of them that, where they are so, were found and not done (`I can twist the lug`: it is loose)."""
    not_quite: frozenset[str]
    """Words for what came close and was not done (`almost switched it off`)."""
    supposes: frozenset[str]
    """Words that begin what is only supposed, before a question (`say the breaker trips, do I push it back in?`)."""
    verb_first: frozenset[str]
    """Anything where a question begins with its verb (`läuft er noch?`)."""
    book_says: frozenset[str]
    """Verbs with which a book goes on to say what ought to be (`wants 11.8 there and says it takes 300 A`)."""

    @classmethod
    def of(cls, settings: Mapping[str, Any]) -> MoodWords:
        """The words that the settings list under these names."""
        return cls(*(names_in(settings, f.name) for f in fields(cls)))


def set_moods(sentences: Sequence[Sentence], words: MoodWords) -> None:
    """Mark the pieces that give no fact, that are doubted, and that correct."""
    fixing = False
    for sentence in sentences:
        _questions(sentence, words)
        carried = ""
        before = listed = planned = False
        for number, piece in enumerate(sentence.pieces):
            more = listed and piece.opener in ("and", "or") and _goes_on_listing(piece.items[0], words.book_says)
            if carried and piece.opener in ("but", "because") and carried not in _FAR:
                carried = ""
            found = next((i.data for i in piece.items if _silences(piece, i)), None)
            if found is not None:
                piece.silent = found.name != "past"
                piece.past = found.name == "past"
                alone = found.name == "unknown" and all(i.sort == "mark" for i in piece.items)
                carried = found.name if found.scope == "rest" and not alone else carried
                listed = found.scope == "listed"
            elif more:
                piece.silent = True  # `the book asks for 200 A and 50 mm²`
            elif _nobody_did(piece, words) or (planned and _goes_on_planning(piece, words.deeds)):
                piece.silent = True
            elif carried == "unknown" and piece.opener == "and" and piece.items[0].text in words.anew:
                carried = ""
            elif (before and piece.opener == "or") or (carried and (carried in _FAR or piece.opener in ("and", "or"))):
                piece.silent = True
            elif carried:
                carried = "" if carried == "plan" else carried
                piece.silent = bool(carried)
            planned = piece.silent and (planned or (found is not None and found.name == "plan"))
            before = piece.silent and bool(found or before)
            piece.fixes = bool(piece.marks("correction")) or fixing or _says_no(sentence, number)
            fixing = piece.fixes and all(i.sort in ("mark", "word") for i in piece.items)
        if any(i.sort == "mark" and i.data.scope == "sentence" for p in sentence.pieces for i in p.items):
            for piece in sentence.pieces:
                piece.silent = True  # `a new one, still in its packet`
        _lean(sentence)
        _doubts(sentence)


def _says_no(sentence: Sentence, number: int) -> bool:
    """`Off, no, it's on`: behind a bare no in mid sentence, what is said of the same is what is meant."""
    piece = sentence.pieces[number]
    before = sentence.pieces[number - 1] if number > 1 else None
    if before is None or not before.bare_no or before.opener not in ("comma", "dash"):
        return False
    again = is_mark(piece.items[0], "pronoun") and any(claims(i) or is_particle(i) for i in piece.items)
    return again and len(piece.items) == 3


def _silences(piece: Piece, item: Item) -> bool:
    """Whether a mark makes that its piece states nothing; who ends with `… I said` says it once more."""
    if item.sort != "mark" or item.data.name not in _SILENCING:
        return False
    return not (item.data.name == "quoted" and item is piece.items[-1] and len(piece.items) > 1)


def _lean(sentence: Sentence) -> None:
    """`It would spin us round then, both ways`: a lone direction is of what was planned or past as well."""
    for before, piece in pairwise(sentence.pieces):
        meant = any(is_mark(i, "plan", "past") for i in before.items) and any(claims(i) for i in before.items)
        if meant and piece.opener == "comma" and all(i.sort in ("side", "word") for i in piece.items):
            piece.silent = piece.silent or before.silent or before.past


def _goes_on_planning(piece: Piece, deeds: frozenset[str]) -> bool:
    """Whether a piece behind a plan names the next thing to do, and nobody who did it."""
    first = next((i for i in piece.items if not is_mark(i, "then", "also", "now")), None)
    return any(what in deeds for what, _ in _told_barely(first) or ())


def _told_barely(item: Item | None) -> list[tuple[str, Any]] | None:
    """The attributes and values that a state in its bare form tells (`unplug the panel`); None for anything else."""
    if item is None or item.sort != "state" or not item.bare:
        return None
    return [(what.split(".")[-1], value) for s in item.data for what, value in s.tells]


def _only_able(piece: Piece, deeds: frozenset[str], defects: frozenset[str]) -> bool:
    """`I could unplug the panel`, `he refuses to unplug it`: who can do something, or won't, has not told of it."""
    for at, item in enumerate(piece.items[:-1]):
        able = is_mark(item, "auxiliary") and item.data.scope == "able"
        if not able and not (is_mark(item, "not") and item.data.scope == "unwilling"):
            continue
        behind = at + 2 if able and is_mark(piece.items[at + 1], "not") else at + 1
        deed = piece.items[behind] if behind < len(piece.items) else None
        if is_mark(deed, "join"):  # `I could bridge control plus to the port signal`
            return True
        told = _told_barely(deed)
        if told is not None:
            return any(what in deeds and not (what in defects and value is True) for what, value in told)
    return False


def _goes_on_listing(item: Item, said: frozenset[str]) -> bool:
    """Whether a piece goes on with what a book or a plate says: a figure, or a verb without anybody of its own."""
    return item.sort in ("number", "range") or (item.sort == "word" and item.text in said)


def _nobody_did(piece: Piece, words: MoodWords) -> bool:
    """Whether a piece names what somebody is able to do, or came close to doing, and did not."""
    return _only_able(piece, words.deeds, words.defects) or _came_close(piece, words.deeds, words.not_quite)


def _came_close(piece: Piece, deeds: frozenset[str], close: frozenset[str]) -> bool:
    """`I almost switched it off`: what came close to be done was not."""
    for word, deed in pairwise(piece.items):
        if word.sort == "mark" and word.text in close and deed.sort == "state":
            return any(what.split(".")[-1] in deeds for s in deed.data for what, _ in s.tells)
    return False


def begins_with_no(sentences: Sequence[Sentence]) -> bool:
    """Whether a text begins with a `no` or `sorry` that stands for itself (`no, 12.1`): it is none of something."""
    pieces = sentences[0].pieces if sentences else []
    first = pieces[0].items[0] if pieces else None
    if is_mark(first, "no") or (is_mark(first, "correction") and first is not None and first.data.scope != "soft"):
        return True
    return is_mark(first, "not") and len(pieces[0].items) == 1 and len(pieces) > 1


def _questions(sentence: Sentence, words: MoodWords) -> None:
    starts = [
        n for n, p in enumerate(sentence.pieces) if (_starts_question(p) and not _inserted(sentence, n)) or _or_not(p)
    ]
    while starts and starts[0] and sentence.pieces[starts[0]].opener == "or":
        starts.insert(0, starts[0] - 1)  # `did they change it, or did they only say so?`
    why = [n for n, p in enumerate(sentence.pieces) if p.marks("why") or any(_is_why(i) for i in p.items)]
    if why and not any(s < why[0] for s in starts):
        return
    asks = is_mark(sentence.pieces[0].items[0], "auxiliary", "question")
    if sentence.question and not starts and not asks and any(_is_reading(i) for p in sentence.pieces for i in p.items):
        return
    if sentence.question:
        head = sentence.pieces[0].items[0]
        whole = head.text in words.supposes  # `say the breaker trips, do I push it back in?`
        whole = whole or (bool(words.verb_first) and head.sort == "state")
        first = starts[0] if starts and not whole else 0
    elif starts:
        first = starts[0]
    else:
        return
    for piece in sentence.pieces[first:]:
        piece.silent = True


def _inserted(sentence: Sentence, number: int) -> bool:
    """`The fuse, which he had a look at, is whole`: between a thing and what is said of it."""
    piece, before = sentence.pieces[number], sentence.pieces[number - 1] if number else None
    relative = any(i.data.scope == "relative" for i in piece.marks("question")) and piece.opener == "comma"
    return relative and before is not None and not any(claims(i) for i in before.items)


def _or_not(piece: Piece) -> bool:
    """`Has it been changed or not`: what stands before it is asked, too."""
    return piece.opener == "or" and all(is_mark(i, "not") for i in piece.items)


def _is_reading(item: Item) -> bool:
    """Whether it is a figure as a meter shows it: nobody asks for one in such words (`still 12.5 there??`)."""
    return item.sort == "number" and item.data.digits and item.data.decimal


def _is_why(item: Item) -> bool:
    """Whether it asks about something that it takes for granted."""
    if item.sort == "state":
        return any(s.granted for s in item.data)
    return item.sort == "ask" and str(item.data.name) == "why"


OF_THE_CASE = ("safe", "told", "who", "may_close")
"""Questions about what stands, which a line may ask beside other things (`it's off, shall I turn it on?`)."""


def _starts_question(piece: Piece) -> bool:
    kept = [i for i in piece.items if not is_mark(i, "yes", "ok", "correction", "polite")]
    if not kept:
        return False
    if is_mark(kept[0], "question") or (kept[0].sort == "ask" and kept[0].data.name in ("why_ask", *OF_THE_CASE)):
        return True
    if piece.opener == "or" and not piece.has("state", "number", "range", "change"):
        return False  # `…, nor is the minus lug`
    return (
        is_mark(kept[0], "auxiliary", "should")
        and len(kept) > 1
        and (kept[1].sort in ("part", "family") or is_mark(kept[1], "pronoun"))
    )


def _doubts(sentence: Sentence) -> None:
    carried = False
    for piece in sentence.pieces:
        if piece.opener in ("but", "because"):
            carried = False
        own = bool(piece.marks("hedge"))
        piece.doubted = own or (carried and piece.opener in ("and", "or") and not piece.marks("sure"))
        carried = own or (carried and piece.opener in ("and", "or"))
    for before, piece in pairwise(sentence.pieces):
        if piece.opener == "or" and piece.doubted:
            before.doubted = True  # `pin sheared or blades gone is my bet`
