"""Reads the pieces of one text in order and gathers what they state."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.facts import RawFact
from assistant.language.bridging import find_bridging
from assistant.language.drafts import Draft, fold_runs, to_facts
from assistant.language.items import Item
from assistant.language.orders import Orders
from assistant.language.pieces import Piece, Sentence
from assistant.language.reading import Reading
from assistant.language.recall import corrected_figure, other_part, other_side
from assistant.language.views import BOTH, View, base_of, is_cue, is_place, names_in


class Talk(Orders):
    """Reads the pieces of one text in order and gathers what they state."""

    def sentence(self, sentence: Sentence) -> None:
        """Read one sentence."""
        self.forward, self.forward_way, self.forward_sides, self.topic_sides = set(), "", (), ()
        self.inherited, self.with_before = (), False
        self.sentence_start = len(self.drafts)
        self.subject_here = False
        self.elsewhere = False
        if self._to_assistant(sentence):
            return
        self.cues = {i.data.name[4:] for p in sentence.pieces for i in p.items if is_cue(i)}
        self.cues |= {s.cue for p in sentence.pieces for i in p.items if i.sort == "state" for s in i.data if s.cue}
        self.describes = self._is_description(sentence)
        self.carried_cues = set()
        self.timed = any(i.sort == "number" and i.data.unit == "s" for p in sentence.pieces for i in p.items)
        if self.timed and any(p.opener == "then" and _gives_up(p) for p in sentence.pieces[1:]):
            self.cues.add("stop")
        self.modifiers = [
            i.data.name
            for p in sentence.pieces
            for i in p.items
            if i.sort == "mark" and i.data.name in self.words.modifiers
        ]
        last_fact_piece = -1
        for number, piece in enumerate(sentence.pieces):
            before = len(self.drafts)
            if piece.silent:
                self._silent(piece)
                continue
            if self.doubt_next:
                piece.doubted, self.doubt_next = True, False
            self.with_before = self.with_before and piece.opener == "and"
            view = self._view(piece)
            self.inherited = self.inherited if piece.opener in ("and", "but", "then") else ()
            self._read(view, number)
            self._hand_on(view)
            made = len(self.drafts) - before
            if made:
                self._reach_back(view, before)
                last_fact_piece = number
            self._afterthought(sentence, number, view, made, last_fact_piece)

    def _hand_on(self, view: View) -> None:
        """What the next piece may lean on: the one side this one named, and a `with` it began with."""
        marks = [i for i in view.piece.items[:2] if i.sort in ("mark", "scene")]
        self.with_before = self.with_before or any(i.sort == "scene" or i.data.name == "with" for i in marks)
        tried = self.answer is not None and self.answer.way in names_in(self.words.settings, "strong_ways")
        families = self.words.families.values()
        named = [
            side for n in view.named for f in families for side, of in (("port", f.port), ("starboard", f.starboard))
            if n.about == (of,)
        ]  # fmt: skip
        sides = tuple(dict.fromkeys([s for _, s in view.sides if s in BOTH] + named))
        if tried and len(sides) == 1:
            self.inherited = sides
        elif sides or not tried:
            self.inherited = ()

    def _is_description(self, sentence: Sentence) -> bool:
        """Whether something in the sentence says what the boat and her gear are."""
        said = names_in(self.words.settings, "descriptive")
        states = [s for p in sentence.pieces if not p.silent for i in p.items if i.sort == "state" for s in i.data]
        return any(what in said for s in states for claims in s.means.values() for what, _ in claims)

    def _silent(self, piece: Piece) -> None:
        self._warn(piece)
        unable = piece.marks("unable")
        if unable and self.answer is not None and self.cannot is None:
            self.cannot = self.text[piece.items[0].start : piece.items[-1].end]

    def _warn(self, piece: Piece) -> None:
        """A dangerous bridge that somebody plans or asks about is no fact, but must be spoken of."""
        settings = self.words.settings
        found = find_bridging(piece.items, [() for _ in piece.items], self.words)
        if found is None or found.value != settings.get("warned_bridge") or found.deed == "removed":
            return
        if piece.marks("plan"):
            self.drafts.append(Draft("bridge", "intended", found.value, found.start, found.end))
        else:
            item = Item("state", None, found.start, found.end)
            self._question("bridge", item, str(settings["warned_hazard"]))

    def _reach_back(self, view: View, new: int) -> None:
        """A scene at the end of a list of readings (`11.8 and 260 amps while it runs`) is that of all of them."""
        if not view.has_scene or view.scene_first or view.piece.opener != "and" or new == self.sentence_start:
            return
        listed = names_in(self.words.settings, "listed")
        if self.drafts[new].what not in listed:
            return
        for draft in reversed(self.drafts[self.sentence_start : new]):
            if draft.what not in listed or draft.scene or draft.way:
                break
            self._dress(draft, view.scene, view.way, view.scene_sides)

    def _afterthought(self, sentence: Sentence, number: int, view: View, made: int, last: int) -> None:
        """A doubt or a scene that comes after what it belongs to."""
        piece = view.piece
        if made:
            return
        if piece.doubted and piece.marks("hedge") and not self._claims(piece):
            if number == 0 and len(sentence.pieces) > 1:
                self.doubt_next = True
            elif (len(self.drafts) > self.sentence_start or number == 0) and not view.named:
                start = self.sentence_start if len(self.drafts) > self.sentence_start else max(0, len(self.drafts) - 1)
                for draft in self.drafts[start:]:
                    draft.certain = False
        elif view.has_scene and last >= 0 and not self._claims(piece):
            for draft in self.drafts[self.sentence_start :]:
                self._dress(draft, view.scene, view.way, view.scene_sides)

    def _read(self, view: View, number: int) -> None:
        piece = view.piece
        if piece.fixes:
            self._correct(view)
        if self.answer is not None and self.answer.side_means and view.sides and piece.marks("yes"):
            self._side_claim(view, False, True)
        negated = self.carried_not and piece.opener == "or"
        self.carried_not = False
        consumed_not = False
        nots: list[Item] = []
        made = 0
        for at, item in enumerate(piece.items):
            if item.sort == "state" and (
                item.start < view.bridged or (view.bridged >= 0 and all(s.particle for s in item.data))
            ):
                continue
            if self._is_not(item):
                nots.append(item)
                consumed_not = False
            elif item.sort == "state":
                if (item.scene is not None and self._beside(piece.items, at)) or self._hanging(piece, at):
                    continue
                if any(s.negates for s in item.data):
                    if self._later_state(piece, at):
                        nots.append(item)
                        continue
                    if self._of_something(piece, at):
                        continue
                flip = (len(nots) % 2 == 1) or (negated and not nots)
                if len(nots) > 1:
                    self._question("negation", item, item.data[0].hazard)
                    nots = []
                    continue
                if not nots and self._not_after(piece, at):
                    flip = not flip
                    consumed_not = True
                made += self._state(view, at, item, flip)
                self.carried_not = flip
                if nots:
                    consumed_not = True
                    nots = []
            elif item.sort in ("number", "range", "change"):
                if nots and nots[-1].end <= item.start and _next_to(piece.items, nots[-1], item):
                    made += self._none_of(view, at, item)
                    nots = []
                    consumed_not = True
                    continue
                made += self._number(view, at, item)
        self._agree(view, made)
        if not made and view.bridged < 0:
            self._without_claim(view, bool(nots) and not consumed_not, nots)
        things = [n for n in view.named if not is_place(n)] or view.named
        if things and things[-1].about:
            self.subject, self.subject_here = things[-1].about, True
            self.age = 0
        elif view.named:
            self.subject, self.subject_here = (), False
        self.age += 1
        if view.has_scene and (view.scene_first or not made):
            self.forward = set(view.scene)
            self.forward_way, self.forward_sides = view.way, view.scene_sides

    def _agree(self, view: View, made: int) -> None:
        """Of two opposite claims in one piece (`no lamp comes on`) the denied one is meant; else neither is safe."""
        new = self.drafts[len(self.drafts) - made :] if made > 1 else []
        for n, one in enumerate(new):
            for other in new[n + 1 :]:
                same = (one.about, one.what, one.sides) == (other.about, other.what, other.sides)
                if same and isinstance(one.value, bool) and isinstance(other.value, bool) and one.value != other.value:
                    self._settle(one, other)

    def _settle(self, one: Draft, other: Draft) -> None:
        if one.denied != other.denied:
            meant_not = other if one.denied else one
            self.drafts = [d for d in self.drafts if d is not meant_not]
            return
        self.drafts = [d for d in self.drafts if d is not one and d is not other]
        self._question("negation", Item("state", None, min(one.start, other.start), max(one.end, other.end)))

    def _is_not(self, item: Item) -> bool:
        if item.sort == "part":
            return bool(item.data.negates)
        if item.sort == "side":
            return bool(item.data.name == "neither")
        return item.sort == "mark" and item.data.name == "not"

    def _hanging(self, piece: Piece, at: int) -> bool:
        """A particle (`on`, `off`, `in`) before a noun is a preposition and says nothing."""
        item = piece.items[at]
        if not all(s.particle for s in item.data):
            return False
        taken = [n for n, i in enumerate(piece.items[:at]) if i.sort == "mark" and i.data.name == "takes"]
        if taken and any(i.sort in ("part", "family") for i in piece.items[taken[0] : at]):
            return False
        after = [i for i in piece.items[at + 1 :] if not (i.sort == "word" and i.text in self.words.light)][:1]
        if not after:
            return False
        if after[0].sort == "state":
            return not all(s.particle for s in after[0].data)
        return after[0].sort in ("part", "family", "word", "side", "number", "range") or (
            after[0].sort == "mark" and after[0].data.name == "pronoun"
        )

    def _later_state(self, piece: Piece, at: int) -> bool:
        return any(
            i.sort == "state" and not self._hanging(piece, at + 1 + n) for n, i in enumerate(piece.items[at + 1 :])
        )

    def _of_something(self, piece: Piece, at: int) -> bool:
        """`nothing rubbing`: what is denied is a word that nobody knows here."""
        after = piece.items[at + 1 : at + 2]
        return bool(after) and after[0].sort == "word" and after[0].text not in self.words.light

    def _not_after(self, piece: Piece, at: int) -> bool:
        """`lights: none`, `clicks no`: a negation that stands alone behind its state."""
        rest = [i for i in piece.items[at + 1 :] if i.sort not in ("word", "side")]
        return (
            len(rest) == 1
            and rest[0].sort == "mark"
            and rest[0].data.name in ("not",)
            and not any(i.sort == "word" for i in piece.items[at + 1 :])
        )

    def _correct(self, view: View) -> None:
        """Figures and states that the piece says again replace the earlier ones of this text."""
        self.pending.clear()
        self.fixed = True
        if not self.drafts and any(m.data.scope != "soft" for m in view.piece.marks("correction")):
            self.corrects = True

    def reading(self) -> Reading:
        """Everything the text gave."""
        self._bare_answer()
        self._recall()
        drafts = fold_runs(self.drafts, self.words.trial)
        done = [d for draft in drafts for d in self._finish(draft)]
        done = self._drop_tame(self._drop_weak(done))
        done = self._last_word(done)
        facts = to_facts(done, self.text, self.words.trial)
        if not facts and self.pending and not self.unclear:
            self._question("place", self.pending[0][2])
        cannot = self.cannot if not facts else None
        return Reading(
            facts=facts, unclear=tuple(self.unclear), cannot=cannot, withdraw=tuple(dict.fromkeys(self.withdraw)),
            corrects=self.corrects and bool(facts), undo=self.undo, ask=self.ask,
        )  # fmt: skip

    def _recall(self) -> None:
        """Corrections of the last line, and the same for another side."""
        recent = self.heard.recent
        if self.drafts or not recent:
            return
        if self.pending and self.fixed:
            quantity, _, item, _, _ = self.pending[-1]
            draft = corrected_figure(recent, quantity.value, item.start, item.end)
            if draft is not None:
                self.drafts.append(draft)
                self.pending.clear()
                self.corrects = True
        elif len(self.lone_sides) == 1 and (self.fixed or any(n == "same" for n, _ in self.bare)):
            side, item = self.lone_sides[0]
            moved, left = other_side(recent, side, self.words.families, self.words.trial, (item.start, item.end))
            self.drafts += moved
            if self.fixed:
                self.withdraw += left
                self.corrects = True
        elif any(n == "same" for n, _ in self.bare) and self._same_from_asked(recent):
            return
        elif self.fixed and len({about for about, _ in self.lone_parts}) == 1:
            about, item = self.lone_parts[0]
            moved, left = other_part(recent, about, (item.start, item.end))
            self.drafts += moved
            self.withdraw += left
            self.corrects = True

    def _same_from_asked(self, recent: Sequence[RawFact]) -> bool:
        """`Same there`, when another station was asked for: what was told last, seen from that one."""
        settings = self.words.settings
        asked = self.answer.about if self.answer is not None else ()
        if not asked or not all(base_of(a) in names_in(settings, "no_sides") for a in asked):
            return False
        item = next(i for n, i in self.bare if n == "same")
        seen = [f for f in recent if f.what in names_in(settings, "seen_from_station") and f.about not in asked]
        self.drafts += [
            Draft(about, f.what, f.value, item.start, item.end, scene=set(f.while_), certain=f.certain)
            for f in seen
            for about in asked
        ]
        return bool(seen)

    def _bare_answer(self) -> None:
        answer = self.answer
        if answer is None or self.drafts:
            return
        for name, item in self.scenes_named:
            if name in answer.scene_says:
                what, value = answer.scene_says[name]
                view = View(Piece("start", [item]))
                self.drafts += [self._draft(view, item, about, what, value, "asked") for about in answer.about]
                return
        if not self.bare:
            return
        name, item = self.bare[0]
        table = answer.yes if name == "yes" else answer.no if name == "no" else {}
        piece = Piece("start", [item])
        for about, claims in table.items():
            for what, value in claims:
                if what in self.words.trial.split and value in ("yes", "no"):
                    value = value == "yes"
                self.drafts.append(self._draft(View(piece), item, about, what, value, "asked"))
        if not table and name in ("yes", "no"):
            self._question("bare", item)

    def _drop_weak(self, drafts: list[Draft]) -> list[Draft]:
        behaviour = names_in(self.words.settings, "behaviour")
        strong = any(d.what in behaviour and not d.weak for d in drafts)
        return [d for d in drafts if not d.weak or not strong]

    def _drop_tame(self, drafts: list[Draft]) -> list[Draft]:
        """`Kept running` beside a run that obeyed both ways only tells that it did not stop."""
        obeyed = {tuple(str(claim).split()) for claim in self.words.settings.get("obeyed") or []}
        if not any((d.what, str(d.value)) in obeyed for d in drafts):
            return drafts
        return [d for d in drafts if not d.tame]

    def _last_word(self, drafts: list[Draft]) -> list[Draft]:
        """Of two values of one thing in one scene the later one counts, where a thing can have only one."""
        gathers = {a for a, spec in self.words.trial.attributes.items() if spec.get("gathers")}
        defects = names_in(self.words.settings, "defects")
        last: dict[tuple[str, str, frozenset[str]], int] = {}
        for n, d in enumerate(drafts):
            key = (d.about, d.what, frozenset(d.scene))
            worse = key in last and d.what in defects and drafts[last[key]].value is True and not self.fixed
            if not worse or d.value is True:
                last[key] = n
        kept = set(last.values())
        return [d for n, d in enumerate(drafts) if d.what in gathers or n in kept]


def _gives_up(piece: Piece) -> bool:
    """Whether a piece says in so many words that nothing comes any more."""
    states = [i for i in piece.items if i.sort == "state"]
    return bool(states) and any(s.negates for s in states[0].data)


def _next_to(items: Sequence[Item], one: Item, other: Item) -> bool:
    a, b = items.index(one), items.index(other)
    return all(i.sort == "mark" for i in items[a + 1 : b])
