"""Of what a clause speaks in a talk: what is asked for, what was told last, or neither surely; and whether it finds."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import takewhile

from assistant.facts.model import Value
from assistant.knowledge.model import SIDES
from assistant.language.fitting import Fitting, sense_of
from assistant.language.items import Item, is_mark, is_particle
from assistant.language.meanings import Claim, Saying
from assistant.language.recall import spoken_of
from assistant.language.tokens import tokenise
from assistant.language.views import Group, View, base_of


class Topics(Fitting):
    """Of what a clause speaks in a talk, and whether it is a finding at all."""

    def _sayings_here(self, view: View, at: int, item: Item) -> tuple[Saying, ...]:
        """The sayings of a state that may be meant where it stands."""
        sayings: tuple[Saying, ...] = item.data
        if self.timed:
            ends = view.piece.opener == "then" and self._stopping("cue") in self.cues
            sayings = tuple(s for s in sayings if not s.cue and not (ends and s.negates))
            # `ran it for two minutes, it didn't stop`: as it was asked to
            if self._in_its_past_form(item) and not self.modifiers:
                sayings = tuple(s for s in sayings if not self._says_by_itself(s))
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

    def _in_its_past_form(self, item: Item) -> bool:
        """Whether a saying that denies does so of a time that is over (`didn't`, and not `doesn't`)."""
        said = self.text[item.start : item.end].split()
        return bool(said) and said[0].lower() in self._words_in("denied_then")

    def _says_by_itself(self, saying: Saying) -> bool:
        return any(what.split(".")[-1] in self._words_in("by_itself") for what, _ in saying.tells)

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
        told = {what for what, _ in sense_of(found[0], last[0])} if found else set()
        meant = any(topic.partition(".")[2] in told for topic in self.words.topics.get(self.heard.asked or "", ()))
        for about, _, what in (t.partition(".") for t in self.words.topics.get(self.heard.set_up_for or "", ())):
            meant = meant or (what in told and about not in last)  # `no continuity through it`, of what was asked for
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
        items = view.piece.items
        if items[0] is item and item.text in self._words_in("agrees") and len(items) > 1 and items[1].sort == "state":
            return  # `ok close it`
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
        leads = words[:1] and words[0] in self._words_in("orders") and not set(words) & self.words.carriers
        with_it = (
            len(words) > 1 and words[0] in self._words_in("orders_it") and words[1] in self._words_in("for_things")
        )
        verb = leads or with_it
        before = takewhile(lambda i: i != item, items)
        agrees = all(is_mark(i, "ok", "yes") or i.text in self._words_in("agrees") for i in before)
        heads = bool(items) and agrees and view.piece.opener in ("start", "comma", "then", "and")
        of_thing = bool(view.named) or len(words) > 1
        alone = self._holds_object(item) and self.text[item.end :].lstrip()[:1] != ":"
        label = view.piece.label and not alone  # `close it, everything is back` labels nothing
        plain = item.bare and verb and heads and of_thing and not label
        return bool(plain) and what in self._words_in("deeds")
