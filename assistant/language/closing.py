"""What a text comes to in the end: bare answers, and corrections of the last line."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.facts import RawFact
from assistant.folding import place_of
from assistant.knowledge.model import OTHER_SIDE, SIDES
from assistant.language.drafts import Draft, to_facts
from assistant.language.items import Item, is_mark, is_side
from assistant.language.pieces import Piece
from assistant.language.quantities import Quantity
from assistant.language.reading import Reading
from assistant.language.recall import (
    as_told,
    contradicts,
    corrected_figure,
    denied,
    last_figure,
    other_part,
    other_side,
    spoken_of,
    turned_round,
)
from assistant.language.sorting_out import SortingOut
from assistant.language.views import Group, View, base_of, family_of, names_in


class Closing(SortingOut):
    """What a text comes to in the end."""

    def begin(self, contrary: bool) -> None:
        """Before the first sentence: whether the text begins with a `no`, which then goes on about what was told."""
        self.contrary = contrary
        if self.heard.pick == "setup" and self.heard.answers and self.heard.answers[0][1]:
            self.subject, self.age = (self.heard.answers[0][1][0].about,), 0  # `it was unplugged`
        if contrary and not self.figures:
            self.subject, self.age = spoken_of(self.heard.recent), 0
        last, answer = last_figure(self.heard.recent), self.answer
        if not (contrary and self.figures and last and answer) or set(last.while_) - answer.scenes:
            return
        if answer.number == last.what and last.about in answer.about:
            self.answer = None  # how that figure was read is asked for, and the figure itself is put right

    def reading(self) -> Reading:
        """Everything the text gave."""
        self._bare_answer()
        self._swap_sides()
        self._recall()
        self._drop_wrong()
        self._which_one()
        done = self._sort_out([d for draft in self._runs() for d in self._finish(draft)])
        facts = to_facts(done, self.text, self.words.trial) or self._picked()
        if self.contrary and not any(d.scene for d in done):
            facts = tuple(as_told(f, self.heard.recent) for f in facts)
        asked = any(self._is_answer(f.about, f.what) for f in facts)
        facts = tuple(self._in_its_place(f) for f in facts)
        again = bool(self.again) and len(facts) == len(self.again)
        self.corrects |= self.contrary and not asked and contradicts(self.heard.recent, facts)
        self._not_that_one(facts)
        self._not_of_those(facts)
        left = self.pending if not facts else [p for p in self.pending if self._on_a_meter(p[0])]
        if left and not self.unclear:
            self._question("place", left[0][2])
        cannot = self.cannot if not facts else None
        unclear = [u for u in self.unclear if not (facts and u.kind == "part" and u.at in self.passing)]
        if facts and self.not_of:
            unclear = [u for u in unclear if u.kind != "bare"]  # `no no, that was the thermal switch, not the motor`
        return Reading(
            facts=facts, unclear=tuple(unclear), cannot=cannot, withdraw=tuple(dict.fromkeys(self.withdraw)),
            corrects=self.corrects and bool(facts) and not again, undo=self.undo, ask=self.ask, completes=again,
            taken_back=to_facts(self.taken_back, self.text, self.words.trial), unfed=self.unfed and bool(facts),
        )  # fmt: skip

    def _not_that_one(self, facts: Sequence[RawFact]) -> None:
        """`Switch is off`, then `no wait, I only turned the panel off`: what the same words told last was not so."""
        recent, merely = self.heard.recent, any(is_mark(i, "merely") or is_side(i, "only") for i in self._items_here())
        if not (self.put_right or self.contrary) or not merely or len(recent) != 1 or len(facts) != 1:
            return
        meant = {claim for s in self.last for of in s.means for claim in s.means[of]}
        if recent[0].about != facts[0].about and (recent[0].what, recent[0].value) in meant:
            self._take_back(recent[0])

    def _take_back(self, told: RawFact) -> None:
        """Take back what an earlier line told."""
        self.taken_back.append(Draft(told.about, told.what, told.value, 0, 0, scene=set(told.while_)))

    def _items_here(self) -> list[Item]:
        """The items of the last sentence."""
        return [i for p in self.pieces_here for i in p.items]

    def _in_its_place(self, fact: RawFact) -> RawFact:
        """`The 12.9 was the engine bank, ours is 12.6`: read as the figure that is taken back was said to be."""
        wrong = [t for t in self.instead_of if (t.about, t.what) == (fact.about, fact.what)]
        return fact.model_copy(update={"while_": wrong[-1].while_}) if wrong and not fact.while_ else fact

    def _on_a_meter(self, quantity: Quantity) -> bool:
        """Whether a figure is one that a meter shows, so that it must not be lost without a word."""
        unit = quantity.unit
        return unit in names_in(self.words.settings, "meter_units") or (unit is None and quantity.decimal)

    def _recall(self) -> None:
        """Corrections of the last line, and the same for another side."""
        recent = self.heard.recent
        if self.drafts or not recent:
            return
        span = (0, len(self.text))
        if self.unfed:
            self._without_the_wire(recent, span)
        elif self.pending and (self.fixed or self.contrary):
            own_scene = self._figure_again(recent)
            self.corrects = self.corrects if own_scene is None else not own_scene
        elif self.swapped:
            moved, left = turned_round(recent, self.words.families, self.words.trial, span)
            self._instead(moved, left)
        elif self.contrary and any(is_mark(i, "no") and i.data.scope == "contrary" for _, i in self.bare):
            self._instead(denied(recent, span), [])
        elif self._falls(recent):
            return
        elif len(self.lone_sides) == 1 and (self.fixed or self._other_one() or any(n == "same" for n, _ in self.bare)):
            side, item = self.lone_sides[0]
            moved, left = other_side(recent, side, self.words.families, self.words.trial, (item.start, item.end))
            self.drafts += moved
            self.again += [d for d in moved if d.scene]
            if self.fixed or self._other_one():
                self.withdraw += left
                self.corrects = True
        elif any(n == "same" for n, _ in self.bare) and self._same_from_asked(recent):
            return
        elif recent[-1].about in names_in(self.words.settings, "of_no_part"):
            return  # that nobody is in the water is said of no part
        elif any(self._from_a_station(piece) for piece in self.pieces_here):
            return  # `that was run from the panel` tells of no reading there
        elif (self.fixed or self.contrary or self.not_of) and len({about for about, _ in self._parts_meant()}) == 1:
            about, item = self._parts_meant()[0]
            self._instead(*other_part(recent, about, (item.start, item.end)))

    def _parts_meant(self) -> list[tuple[Group, Item]]:
        """The parts named alone, without those of which it is said that it was not them."""
        return [(about, item) for about, item in self.lone_parts if not set(about) & self.not_of]

    def _not_of_those(self, facts: Sequence[RawFact]) -> None:
        """`Not the battery, the fuse holder is green`: what was told last of the one is now told of the other."""
        now = {(f.what, f.value) for f in facts if f.about not in self.not_of}
        for told in self.heard.recent:
            if told.about in self.not_of and (told.what, told.value) in now:
                self._take_back(told)

    def _without_the_wire(self, recent: Sequence[RawFact], span: tuple[int, int]) -> None:
        """`No, that was run from the panel`: the figures told last, read while it ran as it always does."""
        for fact in recent:
            if isinstance(fact.value, bool | str) or not set(fact.while_) & self.words.wired:
                continue
            scene = set(fact.while_) - self.words.wired
            told = Draft(fact.about, fact.what, fact.value, *span, scene=scene or {"under_load"}, certain=fact.certain)
            if not any((d.about, d.value, d.scene) == (told.about, told.value, told.scene) for d in self.drafts):
                self.drafts.append(told)
                self.corrects = True

    def _other_one(self) -> bool:
        """`No, the starboard one`: what was just told of one of a pair is of the other."""
        pairs = [family_of(f.about, self.words.families) for f in self.heard.recent]
        return self.contrary and len(self.lone_sides) == 1 and bool(pairs) and all(pairs)

    def _falls(self, recent: Sequence[RawFact]) -> bool:
        """`Drops to 9 when it runs`: the figure told last, in other circumstances."""
        last, answer = last_figure(recent), self.answer
        asked = answer is not None and answer.number in names_in(self.words.settings, "falls")
        if last is None or not self.pending or len(self.pending) > 1 or asked:
            return False
        piece = self.pending[0][1]
        if last.what not in names_in(self.words.settings, "falls") or not piece.marks("fall"):
            return False
        own_scene = self._figure_again(recent)
        if own_scene is None:
            return False
        draft = self.drafts[-1]
        draft.scene = draft.scene if own_scene else {"under_load"}
        draft.certain = not piece.doubted
        return True

    def _figure_again(self, recent: Sequence[RawFact]) -> bool | None:
        """The last figure of this text in place of the one told last: whether it has a scene of its own, if it fits."""
        quantity, piece, item, _, _ = self.pending[-1]
        draft = corrected_figure(recent, quantity.value, quantity.unit, item.start, item.end)
        if draft is None:
            return None
        view = self._view(piece)
        if view.has_scene:  # `sorry, 10.2 under load`: a reading of its own
            draft.scene = set()
            self._dress(draft, view.scene, view.way, view.scene_sides)
        self.drafts.append(draft)
        self.pending.clear()
        return view.has_scene

    def _swap_sides(self) -> None:
        """`Port coil 14 ohms, starboard coil open … no, the other way round`: each is as the other was told."""
        if not self.swapped:
            return
        for draft in self.drafts[: self.swapped_at]:
            pair = family_of(draft.about, self.words.families)
            if pair is not None:
                draft.about = pair.starboard if draft.about == pair.port else pair.port
            draft.sides = tuple(OTHER_SIDE.get(s, s) for s in draft.sides)

    def _instead(self, drafts: list[Draft], left: list[str]) -> None:
        """Take these for what was told last, and take that back."""
        self.drafts += drafts
        self.withdraw += left
        self.corrects = bool(drafts)

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

    def _picked(self) -> tuple[RawFact, ...]:
        """`Yes`, or `at rest`, where it was asked how a reading was taken: what that answer stands for."""
        if not self.heard.pick or len(self.heard.answers) != 2:
            return ()
        said = self.text.strip()
        first, second = (tuple(f.model_copy(update={"words": said}) for f in of) for _, of in self.heard.answers)
        if worded := place_of(said, (wording for wording, _ in self.heard.answers)):
            return first if worded == 1 else second
        if self.heard.pick == "scene":
            told = self.told_scenes
            rest, load = ({c for f in of for c in f.while_} & told for of in (first, second))
            return first if rest and not load else second if load and not rest else ()
        words = {"yes" if n == "yes" else "no" for n, _ in self.bare if n in ("yes", "no")}
        return (first if words == {"yes"} else second) if len(words) == 1 else ()

    def _bare_answer(self) -> None:
        answer = self.answer
        if answer is None or self.drafts or self.heard.pick:
            return
        for name, item in self.scenes_named:
            if name in answer.scene_says:
                what, value = answer.scene_says[name]
                view = View(Piece("start", [item]))
                self.drafts += [self._draft(view, item, about, what, value, "asked") for about in answer.about]
                return
        says = {answer.mark_says[n] for n in self.marks_told if n in answer.mark_says}
        if len(says) == 1 and self.pieces_here:
            item, (what, value) = self.pieces_here[0].items[0], says.pop()
            whole = str(self.words.settings.get("whole"))
            self.drafts.append(self._draft(View(Piece("start", [item])), item, whole, what, value, "asked"))
            return
        if not self.bare:
            return
        name, item = self.bare[0]
        if self.put_off or self.timed or self._other_one() or (self.figures and name != "yes"):
            return  # `yes, in a minute`, `no, I can't get there`: that is no finding
        if is_mark(item, "yes", "no", "not") and self._speaks_of_more(item):
            self._ask_meaning([item, self.left_over[-1]])
            return
        if name == "no" and self.ran_perhaps:
            self._ask_meaning([item, item])  # `no, it does run`
            return
        table = answer.yes if name == "yes" else answer.no if name == "no" else {}
        piece = Piece("start", [item])
        named = set(table) & self.bare_of if name == "no" and self.bare_of < set(table) else set()
        for about, claims in table.items():
            for what, value in claims if not named or about in named else ():
                if what in self.words.trial.split and value in ("yes", "no"):
                    value = value == "yes"
                draft = self._draft(View(piece), item, about, what, value, "asked")
                if answer.confirm:
                    self._ask_whether_done(draft, item)
                else:
                    self.drafts.append(draft)
        if not table and name in ("yes", "no"):
            self._question("bare", item)

    def _speaks_of_more(self, verdict: Item) -> bool:
        """`Yes full voltage there`: a yes before words that nobody knows here may be to something else."""
        head = next((p for p in self.pieces_here if p.items and p.items[0] is verdict), None)
        if head is None or verdict.data.scope == "contrary":
            return False  # `no it isn't, there's a gap in it`
        behind = [i for i in self.left_over if i.start > verdict.start]
        whole = head.marks("auxiliary") and not any(i.start <= head.items[-1].start for i in behind)
        return bool(behind) and not whole  # `yes it is, and the kettle boils`

    def _which_one(self) -> None:
        """`The coil reads 31 ohm`: one was measured, and of neither it is told before it is known which."""
        gone: set[int] = set()
        asked = {u.at for u in self.unclear if u.kind == "side"}
        for draft in self.drafts:
            pair = family_of(draft.about, self.words.families) if draft.one_of is not None else None
            told = [s for s in dict.fromkeys(draft.sides) if s in SIDES]
            if pair is None or draft.one_of is None or (len(told) == 1 and draft.about in pair.members(told)):
                continue
            if len(told) != 1 and draft.denied and draft.value == 0 and not isinstance(draft.value, bool):
                continue  # `no signal` is none of both
            gone.add(id(draft))
            if len(told) != 1 and draft.one_of.start not in asked:
                asked.add(draft.one_of.start)
                self._question("side", draft.one_of)
        self.drafts = [d for d in self.drafts if id(d) not in gone]

    def _drop_wrong(self) -> None:
        """What was said again after a correction takes the place of the last claim of its kind before it."""
        if not self.fixed:
            return
        self.wrong = min(self.wrong, len(self.drafts))  # `runs or runs, sorry`: some were taken back since
        self._same_scene()
        self._of_another_part()
        told = {(d.about, d.what) for d in self.drafts[self.wrong :]}
        for n in range(self.wrong - 1, -1, -1):
            draft = self.drafts[n]
            if (draft.about, draft.what) in told and draft.what in self.words.trial.split:
                del self.drafts[n]
                return

    def _of_another_part(self) -> None:
        """`Motor hot, sorry, contactor hot`: the same, said of another part or direction, takes the place of it."""
        last = self.drafts[self.wrong - 1] if self.put_right and 0 < self.wrong <= len(self.drafts) else None
        if last is None:
            return
        alike = [d for d in self.drafts[self.wrong :] if (d.what, d.value) == (last.what, last.value)]
        if any((d.about, d.sides) != (last.about, last.sides) for d in alike):
            span = (last.start, last.end, last.what)
            kept = [d for d in self.drafts[: self.wrong] if (d.start, d.end, d.what) != span]
            self.drafts, self.wrong = [*kept, *self.drafts[self.wrong :]], len(kept)

    def _same_scene(self) -> None:
        """`380 amps to port, sorry, 280`: a figure that is only put right was read as the wrong one was."""
        for new in self.drafts[self.wrong :]:
            old = next(
                (d for d in reversed(self.drafts[: self.wrong]) if (d.about, d.what) == (new.about, new.what)), None
            )
            bare = not (new.scene or new.way or new.sides) and not isinstance(new.value, bool | str)
            if old is not None and bare and not isinstance(old.value, bool | str):
                new.scene, new.way, new.sides = set(old.scene), old.way, old.sides
