"""Whether a line in a talk is meant for what was asked, or tells of something else in passing."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.facts.model import Value
from assistant.language.items import Item, is_side, pressed
from assistant.language.meanings import Answer
from assistant.language.pieces import Piece
from assistant.language.reading import Heard, Reading
from assistant.language.views import names_in
from assistant.language.words import Words

_THINGS = ("family", "part")
_FEW_CLAUSES = 2
"""A line of more that tells figures of other things goes on about those."""
_SHORT = 20
"""A line of more words and things that names other parts is a story of its own."""
_Told = tuple[str, str, Value]
"""Subject, attribute and value of a fact."""


def obeys(facts: Sequence[_Told], order: Answer) -> bool:
    """Whether facts are only such as an order asks for.

    Args:
        facts: Subject, attribute and value of each.
        order: How the stop is answered that gives it.
    """
    asked = {(what, value) for claims in order.yes.values() for what, value in claims}
    asked |= set(order.instead.values())
    return all(
        (what, value) in asked or (value is True and (about, what) in order.takes) for about, what, value in facts
    )


def prefers_answer(answer: Reading, free: Reading, pieces: Sequence[Piece], heard: Heard, words: Words) -> bool:
    """Whether a line in a talk is meant as an answer to the test, where both ways to read it tell something.

    Args:
        answer: The line read as an answer.
        free: The line read as if nothing had been asked.
        pieces: Its clauses.
        heard: The test, and what was told before.
        words: The word lists of the language.
    """
    asked = heard.asked or ""
    topics, test = words.topics.get(asked, frozenset()), words.answers.get(asked)
    told, kept = ([(f.about, f.what, f.value) for f in r.facts] for r in (answer, free))
    more, lost = ([fact for fact in one if fact not in other] for one, other in ((told, kept), (kept, told)))
    if any(_unheard(fact, told, test, words) for fact in lost):
        return False  # `won't shut off!` is no answer to whether the isolator obeys
    if test is not None and test.confirm:
        return obeys(more, test)
    items = [i for p in pieces for i in p.items]
    if _read_as_asked(told, kept, test) or _in_turn(items, test, words) or _all_of_them(told, test):
        return True

    def on_topic(fact: _Told) -> bool:
        taken = test is not None and (fact[1] == test.number or fact[:2] in test.takes)
        return f"{fact[0]}.{fact[1]}" in topics or taken

    if not any(map(on_topic, more)):
        resolves = len(answer.unclear) < len(free.unclear)
        return not lost and (not more or resolves or (test is not None and test.number is None))
    before = {f.about for f in heard.recent}
    if any(about in before for about, *_ in lost) or _story(lost, kept, more, items, words):
        return False
    if _only_nothing(more, items) and _pushed_in_vain(lost, items, test, words):
        return False
    if not free.unclear and len(pieces) > 1 and _of_a_way(lost, items, test, words):
        return False
    moved, placed = _moved(more, lost), answer.unplaced < free.unplaced
    return _keeps_to_the_test(moved, placed, lost, items, len(pieces), asked, words)


def _keeps_to_the_test(
    moved: bool, placed: bool, lost: Sequence[_Told], items: Sequence[Item], clauses: int, asked: str, words: Words
) -> bool:
    """Whether a line that tells what a test asks for tells it of that, and not of other parts that it names.

    Args:
        moved: Whether a figure would be told of another part than the line by itself tells it of.
        placed: Whether a figure has a place only as an answer.
        lost: What the line would no longer tell.
        items: What is in it.
        clauses: How many clauses it has.
        asked: The test.
        words: The word lists of the language.
    """
    test = words.answers.get(asked)
    pair = test is not None and test.family is not None
    others = not all(_named_of_test(items, asked, words))
    if moved and others and not pair:
        return False  # `he measured the minus side instead, 0.8 there`
    if placed:
        return True  # `8 volts at the port one, and the contactor rattles`
    if any(not isinstance(value, bool | str) for _, _, value in lost) and clauses > _FEW_CLAUSES:
        return not others
    return not others or (len(items) <= _SHORT and not pair)


def _moved(more: Sequence[_Told], lost: Sequence[_Told]) -> bool:
    """Whether a figure is told of another part in one of two readings than in the other."""
    figures = {(what, value) for _, what, value in more if not isinstance(value, bool | str)}
    return any((what, value) in figures for _, what, value in lost)


def _story(
    lost: Sequence[_Told], kept: Sequence[_Told], more: Sequence[_Told], items: Sequence[Item], words: Words
) -> bool:
    """Whether what a line would lose as an answer describes the boat, or is the end of what befell the thruster."""
    describes = names_in(words.settings, "descriptive") | names_in(words.settings, "described_in_figures")
    boat = {fact for fact in kept if fact[1] in describes}
    if len(boat) > 1 and boat & set(lost):
        return True  # `she's 12 volt and a diesel`
    whole = str(words.settings.get("whole"))
    befell = any(fact not in lost and fact[0] == whole for fact in kept)  # `one big bang, and now dead`
    return befell and any(what in words.trial.split for _, what, _ in lost) and _only_nothing(more, items)


def _of_a_way(lost: Sequence[_Told], items: Sequence[Item], test: Answer | None, words: Words) -> bool:
    """Whether a line would lose what it tells of one direction, or of a press, and the test asks of none."""
    pressing = str((words.settings.get("pressing") or {}).get("while"))
    if test is None or not lost or test.family or test.way or test.side_means or pressing in test.while_:
        return False
    runs = any(what in words.trial.split for _, what, _ in lost)
    bare = [i for i, after in zip(items, [*items, None][1:], strict=True) if not (after and after.sort in _THINGS)]
    return any(is_side(i) or (runs and pressed(i)) for i in bare)


def _pushed_in_vain(lost: Sequence[_Told], items: Sequence[Item], test: Answer | None, words: Words) -> bool:
    """`Pushed port, nothing`, where volts that are the same whichever way is asked for were to be read."""
    runs = any(what in words.trial.split for _, what, _ in lost)
    volts = test is not None and test.number == "voltage" and test.family is None and not test.way
    return volts and runs and any(pressed(i) or is_side(i) for i in items)


def _only_nothing(more: Sequence[_Told], items: Sequence[Item]) -> bool:
    """Whether volts were asked for and no figure was told, so that `dead` may be said of the thruster."""
    figures = [value for _, _, value in more if not isinstance(value, bool | str)]
    return bool(figures) and not any(figures) and not any(i.sort in ("number", "range") for i in items)


def _in_turn(items: Sequence[Item], test: Answer | None, words: Words) -> bool:
    """`The negative lug is green, everything else tight`: told of what a test asks for one after the other."""
    if test is None or not test.in_order:
        return False
    named = {*words.ordinals, *(words.settings.get("asked_names") or {})}
    return any(i.sort == "part" and i.text and set(i.text.split()) <= named for i in items)


def _all_of_them(told: Sequence[_Told], test: Answer | None) -> bool:
    """`0.02, 0.9, 0.03, 180 A`: a figure of each of the parts that the test asks of."""
    if test is None or test.number is None:
        return False
    pairs = test.about if test.family is not None else ()
    read = {about: value for about, what, value in told if what == test.number or about in pairs}
    pair = test.family is not None and len(set(read.values())) > 1  # `isolator off and locked. 29, the other open`
    figures = any(what == test.number for _, what, _ in told)
    return figures and (bool(test.in_order) or pair) and set(read) >= set(test.in_order or test.about)


def _read_as_asked(told: Sequence[_Told], kept: Sequence[_Told], test: Answer | None) -> bool:
    """`24.9 at the starboard coil`, where volts were asked for: the figure is what the test reads there."""
    if test is None or test.number is None:
        return False
    read = {(about, value) for about, what, value in told if what == test.number and about in test.about}
    return any((about, value) in read and what != test.number for about, what, value in kept)


def _unheard(fact: _Told, told: Sequence[_Told], test: Answer | None, words: Words) -> bool:
    """Whether a fact tells of a danger that the answer says nothing of, neither so nor in the terms of the test."""
    if not _alarms(fact, words):
        return False
    alike = any(what == fact[1] and _alarms(("", what, value), words) for _, what, value in told)
    turned = test.instead.get((fact[1], fact[2])) if test is not None else None
    return not alike and turned not in {_claim(f, words) for f in told}


def _alarms(fact: _Told, words: Words) -> bool:
    """Whether a fact tells of a danger."""
    _, what, value = fact
    calm = f"{what}={value}" in names_in(words.settings, "calming")
    return what in names_in(words.settings, "alarming") and not calm


def _claim(fact: _Told, words: Words) -> tuple[str, Value]:
    """What a fact says, in the form in which the answers to a test are written."""
    _, what, value = fact
    return (what, value) if what not in words.trial.split else (what, "no" if value == "none" else "yes")


def names_another(items: Sequence[Item], asked: str, words: Words) -> bool:
    """Whether a line names a part, and none that the test asks of."""
    of_test = _named_of_test(items, asked, words)
    return bool(of_test) and not any(of_test)


def _named_of_test(items: Sequence[Item], asked: str, words: Words) -> list[bool]:
    """Of each part that a line names, whether the test asks of it; none where the answer names one itself."""
    named = [(*i.data.about, *i.data.follows) for i in items if i.sort == "part" and i.data.about]
    named += [(i.data.port, i.data.starboard) for i in items if i.sort == "family"]
    test = words.answers.get(asked)
    if test is not None and test.named:
        return []
    known = {*words.topics.get(asked, ())}
    if test is not None:
        known.update(test.about, test.called, test.read_at, (about for about, _ in test.takes))
    return [bool(known.intersection(about)) for about in named]
