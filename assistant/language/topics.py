"""Of what a clause speaks in a talk: what is asked for, what was told last, or neither surely; and whether it finds."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from assistant.facts.model import Value
from assistant.knowledge.model import SIDES
from assistant.language.fitting import Fitting, sense_of
from assistant.language.items import Item, is_mark, is_particle
from assistant.language.meanings import Answer, Claim, Saying
from assistant.language.pieces import Piece
from assistant.language.reading import Heard, Reading
from assistant.language.recall import spoken_of
from assistant.language.tokens import tokenise
from assistant.language.views import Group, View, base_of, names_in
from assistant.language.words import Words


class Topics(Fitting):
    """Of what a clause speaks in a talk, and whether it is a finding at all."""

    def _sayings_here(self, view: View, at: int, item: Item) -> tuple[Saying, ...]:
        """The sayings of a state that may be meant where it stands."""
        sayings: tuple[Saying, ...] = item.data
        if self.timed:
            ends = view.piece.opener == "then" and self._stopping("cue") in self.cues
            sayings = tuple(s for s in sayings if not s.cue and not (ends and s.negates))
        if self.reads:
            sayings = tuple(s for s in sayings if not s.without_figure)
        if any(s.whole for s in sayings) and not self._is_all(view, at):
            sayings = tuple(s for s in sayings if not s.whole)
        sayings = self._to_an_order(sayings)
        if self._transitive(view, at) or self._noun(view, at):
            sayings = tuple(s for s in sayings if not s.weak)
        if self._holds_object(item) and any(s.object for s in sayings):
            sayings = tuple(s for s in sayings if s.object)  # `took it off` is no taking off
        return sayings

    def _to_an_order(self, sayings: tuple[Saying, ...]) -> tuple[Saying, ...]:
        """What answers the order of a stop comes first where there is one, and counts for nothing elsewhere."""
        only = self._words_in("order_only")
        waiting = tuple(s for s in sayings if {what for what, _ in s.tells} & only)
        if not waiting:
            return sayings
        rest = tuple(s for s in sayings if s not in waiting)
        instead = self.answer.instead if self.answer is not None and self.answer.confirm else {}
        answering = tuple(s for s in waiting if any(claim in instead for claim in s.tells))
        return (*answering, *rest)

    def _is_all(self, view: View, at: int) -> bool:
        """Whether nothing else that means anything stands in the piece."""
        items = enumerate(view.piece.items)
        return all(n == at or i.sort == "mark" or i.text in self.words.light for n, i in items)

    def _of_last_line(self, view: View, sayings: tuple[Saying, ...]) -> tuple[Saying, Group, str] | None:
        """`The sense lead is off`, then `put it back`: of what the last line told of, unless the test may be meant."""
        last = spoken_of(self.heard.recent)
        again = any(i.sort == "word" and i.text in self._words_in("again_words") for i in view.piece.items)
        said = again or view.piece.marks("pronoun") or any(self._holds_object(i) for i in view.piece.items)
        if self.drafts or view.named or not last or not said:
            return None
        found = self._fits(view, sayings, last, "before") or self._fits(view, sayings, last, "after")
        topics = self.words.topics.get(self.heard.asked or "", frozenset())
        told = {what for what, _ in sense_of(found[0], last[0])} if found else set()
        meant = any(topic.partition(".")[2] in told for topic in topics)
        return (*found, "before") if found is not None and not meant else None

    def _nothing_done(self, items: Sequence[Item], at: int) -> bool:
        """`Swapped nothing yet`, `touched nothing`: what was not done, and no reading of nothing."""
        if at and items[at].sort == "state" and self._heard_nothing(items, at - 1):
            return True
        return self._deed_on_nothing(items, at) or (at > 0 and self._deed_on_nothing(items, at - 1))

    def _heard_nothing(self, items: Sequence[Item], at: int) -> bool:
        """`Click nothing`: what can be heard, and right behind it that there is none."""
        behind, heard = items[at + 1 :], self._words_in("follows_press") - set(self.words.trial.split)
        alone = len(behind) == 1 and behind[0].sort == "state" and any(s.negates for s in behind[0].data)
        sound = items[at].sort == "state" and any(what in heard for s in items[at].data for what, _ in s.tells)
        return alone and sound and behind[0].text in self._words_in("nothing_words")

    def _deed_on_nothing(self, items: Sequence[Item], at: int) -> bool:
        deed, none = items[at], items[at + 1] if at + 1 < len(items) else None
        if none is None or none.sort != "state" or none.text.split()[0] not in self._words_in("nothing_words"):
            return False
        deeds = self._words_in("deeds") | self._words_in("worked_on")
        told = deed.data if deed.sort == "state" else ()
        did = any(what.split(".")[-1] in deeds for s in told for what, _ in s.tells)
        return (did or is_mark(deed, "touch")) and any(s.vague or s.negates for s in none.data)

    def _is_asked_of(self, about: str) -> bool:
        """Whether the test asks of this, or what is said of it stands for what is asked of."""
        answer = self.answer
        if answer is None:
            return False
        if about == self.words.settings.get("whole") or base_of(about) != about:
            return True
        pair = answer.family.members(SIDES) if answer.family is not None else ()
        return about in (*answer.about, *pair, *answer.instead_about, *answer.called.values())

    def _holds_object(self, item: Item) -> bool:
        """Whether a saying has taken the thing that it was done to with it (`took it off`)."""
        return item.sort == "state" and bool(set(item.text.split()[1:]) & self._words_in("object_words"))

    def _asks_for(self, group: Group, what: str) -> bool:
        """Whether this is asked for; in a talk `not even a click` need not be of the isolator that is asked about."""
        topics = self.words.topics.get(self.heard.asked or "", frozenset())
        return self.heard.answering or not self.heard.recent or any(f"{a}.{what}" in topics for a in group)

    def _beside_the_question(self, view: View, sayings: tuple[Saying, ...], saying: Saying, group: Group) -> bool:
        """`It is loose`, said in a talk when it was asked whether the isolator is on: of what, nobody can tell."""
        topics, answer = self.words.topics.get(self.heard.asked or ""), self.answer
        if self.heard.answering or topics is None or answer is None or not self.heard.recent or view.named:
            return False
        claims = [(a, *claim) for a in group for claim in sense_of(saying, a)]
        on_topic = any(
            f"{a}.{what}" in topics or what == answer.number or (a, what) in answer.takes or (what, v) in answer.instead
            for a, what, v in claims
        )
        whole, last = str(self.words.settings.get("whole")), spoken_of(self.heard.recent)
        torn = last not in ((), group) and self._fits(view, sayings, last, "before") is not None
        return not on_topic and last != group and (torn or whole not in group)

    def _ask_of_what(self, view: View, item: Item, sayings: tuple[Saying, ...]) -> None:
        """Ask which part words are of; what only judges, or stands in passing beside what was told, is of no weight."""
        hazard = sayings[0].hazard
        strange = self._strangers(view.piece.items)
        if all(s.judges or s.vague for s in sayings) or (strange and is_particle(item)):
            return
        told = {what.split(".")[-1] for s in sayings for what, _ in s.tells}
        if not hazard and (strange or not told & self._words_in("asked_beside")):
            self.passing.add(item.start)
        self._question("part", item, hazard)

    def _is_beside_the_order(self, view: View) -> bool:
        """`Opened up the motor`, to a stop that wants the isolator off: only what speaks of nothing else obeys it."""
        if self.answer is None or not self.answer.confirm:
            return False
        others = [n for n in view.named if not set(n.about) & {*self.answer.about}]
        strange = self._strangers(view.piece.items)
        return bool(others or strange) or view.piece.has("number", "range", "side")

    def _nothing_more(self, view: View, item: Item) -> bool:
        """`Petrol fumes? No, still nothing`: what was just told of the boat and not of the thruster is told again."""
        last = self.drafts[-1] if self.drafts and self.drafts[-1].about in self._words_in("of_no_part") else None
        plain = all(i.sort in ("mark", "state") or i.text in self.words.light for i in view.piece.items)
        denies = bool(self._words_in("nothing_words") & set(item.text.split()[-1:]))
        return last is not None and last.value is False and plain and denies

    def _done_to_stranger(self, view: View, at: int) -> bool:
        """`Unplugged the helm`: done to a thing that the lists do not know, and to none spoken of before."""
        items = view.piece.items
        if at + 1 >= len(items) or is_particle(items[at]) or items[at].sort != "state":
            return False
        told = {what.split(".")[-1] for s in items[at].data for what, _ in s.tells}
        after = items[at + 1]
        strange = after.sort == "word" and after.text not in self.words.light and after.text.isalpha()
        before = self.text[items[at].end : after.start].lower().split()[-1:]
        return bool(told & self._words_in("done_to")) and strange and bool(set(before) & self._words_in("determiners"))

    def _pushed_just_now(self, claim: Claim) -> bool:
        """`Strong push to port, and quiet as a mouse`: what pushes does not stand still."""
        pushes = self._words_in("how_well")
        told = [d for d in self.drafts[self.sentence_start :] if d.what in pushes and d.value != "none"]
        return claim[1] in (False, "no") and bool(told)

    def _tells_of_nothing(self, view: View, saying: Saying, about: str, what: str) -> bool:
        """`Fine`, `nothing`, as all that a line says: of what, only the test can tell, and this one does not."""
        if saying.judges and what in self._words_in("not_judged"):
            return True
        return saying.vague and self._off_topic(view, about)

    def _clears_doubtfully(self, view: View, what: str, value: Value) -> bool:
        """`The water was clear this morning`: what clears a danger is sure only of now, and in words that are known."""
        if f"{what}={value}" not in self._words_in("clears"):
            return False
        spoken = [t.text for t in tokenise(self.text[view.piece.items[0].start : view.piece.items[-1].end])]
        sizes = {len(way) for way in self.words.stale}
        said = {tuple(spoken[n : n + size]) for size in sizes for n in range(len(spoken))}
        all_but = any(p.marks("except") for p in self.pieces_here)
        return all_but or bool(self._unheard(view.piece.items)) or bool(said & self.words.stale)

    def _just_did(self, view: View, what: str, value: Value) -> bool:
        """`I've turned the isolator off`: somebody did it now, and that is not how it was found."""
        if f"{what}={value}" not in self._words_in("found_or_done"):
            return False
        spoken = tokenise(self.text[view.piece.items[0].start : view.piece.items[-1].end])
        return self.words.just_did.is_all([t.text.translate(self.words.letters) for t in spoken if t.sort == "word"])

    def _only_ordered(self, view: View, item: Item, what: str) -> bool:
        """`Turn the isolator off`: in the form of an order, nobody tells whether it was done."""
        items, words = view.piece.items, item.text.split()
        verb = words[:1] and words[0] in self._words_in("orders") and not set(words) & self.words.carriers
        heads = bool(items) and items[0] is item and view.piece.opener in ("start", "comma", "then", "and")
        of_thing = bool(view.named) or len(words) > 1
        plain = item.bare and verb and heads and of_thing and not view.piece.label
        return bool(plain) and what in self._words_in("deeds")


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


_THINGS = ("family", "part")
_Told = tuple[str, str, Value]
"""Subject, attribute and value of a fact."""


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
