"""Whether a line in a talk is meant for what was asked, or tells of something else in passing."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from assistant.facts.model import Value
from assistant.language.items import Item
from assistant.language.meanings import Answer
from assistant.language.pieces import Piece
from assistant.language.reading import Heard, Reading
from assistant.language.views import names_in
from assistant.language.words import Words

_THINGS = ("family", "part")
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


def prefers_answer(
    answer: Reading, free: Reading, text: str, pieces: Sequence[Piece], heard: Heard, words: Words
) -> bool:
    """Whether a line in a talk is meant as an answer to the test, where both ways to read it tell something.

    Args:
        answer: The line read as an answer.
        free: The line read as if nothing had been asked.
        text: The line.
        pieces: Its clauses.
        heard: The test, and what was told before.
        words: The word lists of the language.
    """
    asked, before = heard.asked or "", {f.about for f in heard.recent}
    topics, test = words.topics.get(asked, frozenset()), words.answers.get(asked)
    told, kept = ([(f.about, f.what, f.value) for f in r.facts] for r in (answer, free))
    if any(_alarms(fact, words) for fact in set(kept) - set(told)):
        return False  # `won't shut off!` is no answer to whether the isolator obeys

    def on_topic(fact: _Told) -> bool:
        taken = test is not None and (fact[1] == test.number or fact[:2] in test.takes)
        return f"{fact[0]}.{fact[1]}" in topics or taken

    more = [fact for fact in told if fact not in kept]
    if test is not None and test.confirm:
        return obeys(more, test)
    if not all(on_topic(fact) for fact in more):
        return False
    items = [i for p in pieces for i in p.items]
    if _read_as_asked(told, kept, test) or _in_turn(items, test, words):
        return True
    adds = set(kept) <= set(told)
    if not adds and _of_a_way(items, test):
        return False
    if _only_turned(told, kept, test, words):
        return True
    figures = all(not isinstance(value, bool | str) for _, _, value in more)
    lost = figures and len({value for _, _, value in more}) <= sum(u.kind == "place" for u in free.unclear)
    read = figures and test is not None and bool(test.family or test.way) and any(i.sort == "number" for i in items)
    if adds:
        return len(pieces) == 1 or not more or lost or read
    if any(about in before for about, *_ in set(kept) - set(told)):
        return False
    left = [f for f in free.facts if (f.about, f.what, f.value) not in told]
    beside = [i for f in left for i in _said_with(text.find(f.words), pieces)]
    if _goes_on_about(told, kept, beside, test, words, on_topic):
        return False
    at = [text.find(f.words) for f in answer.facts if (f.about, f.what, f.value) in more]
    here = [p for p in pieces if any(p.items[0].start <= n < p.items[-1].end for n in at)]
    return bool(here) and not names_another([i for p in here for i in p.items], asked, words)


def _said_with(at: int, pieces: Sequence[Piece]) -> list[Item]:
    """The items of the sentence in which something is said, up to its clause."""
    found: list[Item] = []
    for piece in pieces:
        found = list(piece.items) if piece.opener == "start" else [*found, *piece.items]
        if piece.items[0].start <= at < piece.items[-1].end:
            return found
    return []


def _in_turn(items: Sequence[Item], test: Answer | None, words: Words) -> bool:
    """`The negative lug is green, everything else tight`: told of what a test asks for one after the other."""
    in_order = test is not None and bool(test.in_order)
    return in_order and any(i.sort == "part" and i.text and set(i.text.split()) <= set(words.ordinals) for i in items)


def _read_as_asked(told: Sequence[_Told], kept: Sequence[_Told], test: Answer | None) -> bool:
    """`24.9 at the starboard coil`, where volts were asked for: the figure is what the test reads there."""
    if test is None or test.number is None:
        return False
    read = {(about, value) for about, what, value in told if what == test.number and about in test.about}
    return any((about, value) in read and what != test.number for about, what, value in kept)


def _of_a_way(items: Sequence[Item], test: Answer | None) -> bool:
    """Whether a line speaks of a direction, and the test does not."""
    if test is None or test.family or test.way or test.side_means or test.named:
        return False
    bare = [i for i, after in zip(items, [*items, None][1:], strict=True) if not (after and after.sort in _THINGS)]
    return any(i.sort == "side" for i in bare)


def _goes_on_about(
    told: Sequence[_Told], kept: Sequence[_Told], items: Sequence[Item], test: Answer | None, words: Words,
    on_topic: Callable[[_Told], bool],
) -> bool:  # fmt: skip
    """Whether a line goes on about something else than the test: what it would lose as an answer is told of a thing."""
    settings = words.settings
    lost, alike = [f for f in kept if f not in told], [f for f in kept if f in told]
    named = {a for i in items if i.sort == "part" and i.start < i.end for a in i.data.about}
    named |= {a for i in items if i.sort == "family" for a in (i.data.port, i.data.starboard)}
    named -= {*test.called, *test.read_at} if test is not None else set()
    described, set_up = names_in(settings, "described_things"), names_in(settings, "deeds")
    of_boat = any(f[0] in described for f in lost) and any(f[0] in described for f in alike)
    beside = not all(on_topic(f) or f[1] in set_up for f in alike)
    return of_boat or beside or any(f[0] in named for f in lost)


def _alarms(fact: _Told, words: Words) -> bool:
    """Whether a fact tells of a danger."""
    _, what, value = fact
    calm = f"{what}={value}" in names_in(words.settings, "calming")
    return what in names_in(words.settings, "alarming") and not calm


def _only_turned(told: Sequence[_Told], kept: Sequence[_Told], test: Answer | None, words: Words) -> bool:
    """`No run, no click, both coils 0 V`: an answer that says nothing else than the line alone, but in its terms."""
    instead = test.instead if test is not None else {}
    turned = [instead.get(_claim(f, words)) for f in kept if f not in told]
    return bool(turned) and None not in turned and set(turned) <= {f[1:] for f in told}


def _claim(fact: _Told, words: Words) -> tuple[str, Value]:
    """What a fact says, in the form in which the answers to a test are written."""
    _, what, value = fact
    return (what, value) if what not in words.trial.split else (what, "no" if value == "none" else "yes")


def names_another(items: Sequence[Item], asked: str, words: Words) -> bool:
    """Whether a line names a part, and none that the test asks of."""
    topics = words.topics.get(asked, frozenset())
    named = [(*i.data.about, *i.data.follows) for i in items if i.sort == "part" and i.data.about]
    named += [(i.data.port, i.data.starboard) for i in items if i.sort == "family"]
    test = words.answers.get(asked)
    if test is not None and test.named:
        return False
    known = topics | ({*test.about, *test.called, *test.read_at} if test is not None else set())
    return bool(named) and not any(set(about) & known for about in named)
