"""States: from a saying to claims about its subject."""

from __future__ import annotations

from typing import Any

from assistant.facts.model import Value
from assistant.knowledge.model import SIDES
from assistant.language.drafts import Draft
from assistant.language.fitting import NothingToSay, sense_of
from assistant.language.items import Item, is_mark, is_particle
from assistant.language.meanings import Claim, PartName, Saying
from assistant.language.setting_up import SettingUp
from assistant.language.views import Group, View, base_of, is_ordinary, is_sided, names_in, plain_sides


class Claims(SettingUp):
    """States: from a saying to claims about its subject."""

    def _state(self, view: View, at: int, item: Item, flip: bool) -> int:
        sayings = self._sayings_here(view, at, item)
        if not sayings:
            return 0
        self.last_told = self.last if any(not s.negates for s in self.last) else ()
        self.last, self.last_denied = sayings, flip
        self.last_says_no = bool(set(item.text.split()) & names_in(self.words.settings, "negators"))
        if any(s.negates for s in sayings) and view.piece.marks("also") and self._has_none(view, False):
            told = Item("state", self.last_told, item.start, item.end)
            return self._state(view, len(view.piece.items), told, self._has_none(view))
        if self._unknown_of(view, at, sayings):
            self._question("bare", item)
            return 0
        try:
            found = self._means(view, at, sayings)
        except NothingToSay:
            return 0
        if found is None:
            if any(s.negates for s in sayings) and (self._has_none(view) or self._none_that_way(view)):
                told = Item("state", self.last_told, item.start, item.end)
                return self._state(view, len(view.piece.items), told, True)
            if any(s.negates for s in sayings) and len(view.piece.items) == 1:
                self.bare.append(("no", item))
            elif not (self.elsewhere or (view.named and not view.named[-1].about) or all(s.weak for s in sayings)):
                self._ask_of_what(view, item, sayings)
                self.unsaid.append((view, at, item, flip))
            return 0
        saying, group, origin = found
        idle = origin == "default" and (self._in_clause(view, at) or self._nothing_more(view, item))
        if idle or (saying.with_side and saying.weak and self._of_strength()):
            return 0
        if origin in ("default", "asked") and saying.weak and self._said_of_a_part(view, at, group):
            self._ask_of_what(view, item, sayings)
            return 0
        if flip and saying.firm:
            self._question("negation", item, saying.hazard)
            return 0
        made = 0
        known = names_in(self.words.settings, "no_scene") | names_in(self.words.settings, "names_itself")
        describes = {what for what, _ in sense_of(saying, group[0])} & known
        ordinary = not view.named and is_ordinary(group[0], self.words.settings)
        if origin == "default" and describes and ordinary and not self._of_a_station():
            self.subject, self.subject_here, self.age = group, True, 0
        if self._outcome(view, at, saying, group):
            return 0
        if (at and is_mark(view.piece.items[at - 1], "tries")) or self._only_asked(view, at):
            return 0  # `tried to turn the blades`: what came of it is told behind
        what = next((w for w, _ in sense_of(saying, group[0])), "")
        for about in self._read_there(view, what, group):
            meant = saying.default if origin == "default" and saying.default else about
            for claim in sense_of(saying, meant):
                made += self._claim(view, item, (about, meant), claim, saying, flip, origin)
        return made

    def _said_of_a_part(self, view: View, at: int, group: Group) -> bool:
        """`The sense lead is ok`: said of that part, whatever the test asks of."""
        before = view.piece.items[at - 2 : at] if at > 1 else []
        said = bool(before) and before[0].sort == "part" and is_mark(before[1], "auxiliary")
        return said and bool(before[0].data.about) and not set(before[0].data.about) & set(group)

    def _only_asked(self, view: View, at: int) -> bool:
        """`I asked the isolator to close`: what came of it is told behind."""
        items = view.piece.items[:at]
        asked = any(i.sort == "word" and i.text in self._words_in("asks") for i in items)
        found = asked and len(items) > 2 and is_mark(items[-1], "to") and items[-2].sort == "part"
        self.asked_to = items[-2].data.about if found else self.asked_to
        return found

    def _unknown_of(self, view: View, at: int, sayings: tuple[Saying, ...]) -> bool:
        """`The light is kaputski`: of a thing that shows something by being there, nobody knows what is said."""
        rest = view.piece.items[at + 1 :]
        verb = len(rest) == 2 and rest[0].sort == "mark" and rest[0].data.name == "auxiliary"
        strange = verb and rest[1].sort == "word" and rest[1].text not in self.words.light
        return strange and any(s.noun for s in sayings)

    def _has_none(self, view: View, had: bool = True) -> bool:
        """`Panel 3 has its lamps on, panel 4 has none`: what was told before is not so of what is named now."""
        claims = [c for s in self.last_told for n in view.named for a in n.about for c in sense_of(s, a)]
        plain = all(v is True or (v is False and not had) for _, v in claims)
        return bool(claims) and plain and not view.piece.has("number", "range")

    def _none_that_way(self, view: View) -> bool:
        """`A click on port, none on starboard`: what was told before is not so in the direction named now."""
        sides = {s for _, s in view.sides if s in SIDES}
        claims = [c for s in self.last_told for c in s.tells]
        plain = bool(claims) and all(v is True or v == "yes" for _, v in claims)
        return plain and len(sides) == 1 and not view.named and not view.piece.has("number", "range")

    def _outcome(self, view: View, at: int, saying: Saying, group: Group) -> bool:
        """`Cleaned the lug shiny`: what the work has made of it, in one breath with the work, is no finding."""
        done, made = names_in(self.words.settings, "done"), names_in(self.words.settings, "outcome")
        after = view.piece.items[at + 1] if at + 1 < len(view.piece.items) else None
        if after is not None and after.sort == "part" and not is_particle(view.piece.items[at]):
            made = made | self._words_in("defects")  # `tightened that loose pin`
        if not {what.split(".")[-1] for what, _ in sense_of(saying, group[0])} <= made:
            return False
        before = [s for i in view.piece.items[:at] if i.sort == "state" for s in i.data]
        return any(what.split(".")[-1] in done for s in before for what, _ in s.tells)

    def _of_strength(self) -> bool:
        """`Slow to port, normal to starboard`: what goes before says how well it runs, and so does this."""
        last = self.drafts[-1] if len(self.drafts) > self.sentence_start else None
        return last is not None and last.what in names_in(self.words.settings, "how_well")

    def _means(self, view: View, at: int, sayings: tuple[Saying, ...]) -> tuple[Saying, Group, str] | None:
        barred = False
        settings = self.words.settings
        heads = [s for s in sayings if s.at_head and s.default] if not at and not view.named else []
        if heads:
            return heads[0], self._default(view, heads[0]), "default"
        station = self.subject_here and all(base_of(a) != a for a in self.subject)
        goes_on = station and view.piece.opener == "and" and not view.piece.marks("pronoun")
        goes_on = goes_on or self.of_pair
        for origin, group in self._groups(view, at):
            if not group:
                barred = True
                continue
            if origin == "asked" and self._is_beside_the_order(view):
                continue
            if origin in ("asked", "sentence", "before") and self._done_to_stranger(view, at):
                continue
            if barred and origin not in ("here", "after"):
                break
            told = origin == "sentence" or (origin == "asked" and not (self.answer and self.answer.side_means))
            if told and view.sides and base_of(group[0]) in names_in(settings, "no_sides") and not goes_on:
                continue
            if origin == "sentence" and view.sides and self._just_fitted(group):
                continue
            found = self._fits(view, sayings, group, origin)
            if found is not None and origin == "asked" and self._beside_the_question(view, sayings, *found):
                if any(v.default and v.default not in found[1] for v in sayings):
                    continue
                self._question("part", view.piece.items[min(at, len(view.piece.items) - 1)], found[0].hazard)
                raise NothingToSay
            if found is not None:
                return (*found, origin)
        if self._of_stranger(view, at):
            behaviour = self._words_in("behaves")
            whole = {s: {what for what, _ in s.means.get(s.default or "", ())} for s in sayings}
            sayings = tuple(s for s in sayings if not whole[s] & behaviour)
        for saying in sayings:
            reading = self.answer is not None and self.answer.number is not None and view.piece.opener != "but"
            if saying.of_reading and reading:
                continue
            if saying.negates and "lost" in view.cues:
                continue  # `the drop is now nil`
            if saying.negates and reading and self.figures and not view.named and not view.way and not view.sides:
                continue  # `40 mV, bugger all`
            free = (not view.named or self._placed_behind(view, at)) and not barred
            of_boat = saying.default in names_in(settings, "described_things")
            if saying.default and not of_boat and self._of_another(view, at):
                continue
            if saying.default and not saying.with_side and (saying.own or free or self._pronoun(view, at)):
                return saying, self._default(view, saying), "default"
            if saying.with_side and saying.default and (self._view_sides(view) or view.scene_sides) and not barred:
                return saying, self._default(view, saying), "default"
        return self._of_last_line(view, sayings)

    def _placed_behind(self, view: View, at: int) -> bool:
        """`It runs both ways off the stick`: what is named behind the claim only says where."""
        items = view.piece.items
        behind = all(n.at > at + 1 and is_particle(items[n.at - 1]) for n in view.named)
        return behind and at > 0 and is_mark(items[at - 1], "pronoun")

    def _of_stranger(self, view: View, at: int) -> bool:
        """`The marina is dead`, `my dog is going mad`: said of a thing that the lists do not know."""
        items, words = view.piece.items[:at], self.words
        while items and (is_mark(items[-1], "auxiliary", "now", "also") or items[-1].text in words.light):
            items = items[:-1]
        named = []
        while items and items[-1].sort == "word" and items[-1].text not in words.light:
            named.append(items[-1])
            items = items[:-1]
        said = view.piece.items[at].text.split()[:1] if at < len(view.piece.items) else []
        known = {name for word in (*said, *(i.text for i in named)) for name in words.classes.get(word, ())}
        if not named or known & {f"<{name}>" for name in self._words_in("known_nouns")}:
            return False
        before = self.text[: named[-1].start].lower().split()[-1:]
        return bool(before) and before[0] in self._words_in("determiners")

    def _just_fitted(self, group: Group) -> bool:
        """`New contactor in: starboard works`: of what was only told to be new, no direction is told."""
        done = names_in(self.words.settings, "worked_on")
        pairs = [f.members(SIDES) for f in self.words.families.values()]
        alike = {*group, *(a for pair in pairs if set(group) & set(pair) for a in pair)}
        told = {d.what for d in self.drafts[self.sentence_start :] if d.about in alike}
        return bool(told) and told <= done

    def _of_another(self, view: View, at: int) -> bool:
        """Whether the last thing named before the claim is none of the thruster's (`the engine won't start`)."""
        before = [n for n in view.named if n.at < at]
        goes_on = self.elsewhere and not view.named and view.piece.opener == "and" and not view.piece.marks("pronoun")
        if goes_on and not view.sides:
            return True
        if not before or before[-1].about or before[-1].item.data.end is not None:
            return False
        place = before[-1].at
        placed = place > 0 and is_particle(view.piece.items[place - 1])
        return not (placed and self._pronoun(view, at))  # `the man on the phone says it's dead`

    def _default(self, view: View, saying: Saying) -> Group:
        assert saying.default is not None
        if self.answer is not None:
            for what, _ in saying.means.get(saying.default, ()):
                if what in self.answer.for_attribute and self._asks_for(self.answer.for_attribute[what], what):
                    return self._fed(self.answer.for_attribute[what], view.scene_sides)
        return (saying.default,)

    def _claim(
        self, view: View, item: Item, of: tuple[str, str], claim: Claim, saying: Saying, flip: bool, origin: str
    ) -> int:
        """Take one claim, and say whether that was anything: also a question, where it cannot be taken as it is."""
        about, meant = of
        turned = self._denied_as(meant, claim, saying, item) if flip else claim
        if turned is None:
            if claim[0] in self._words_in("denied_says_no_more"):
                return self._none_of_it(claim)
            self._question("negation", item, saying.hazard)
            return 1
        what, value = turned
        what, value = self._modified(what, value, view)
        about, what, value = self._as_asked(about, what, value, bool(view.named) or origin != "default")
        if self._tells_of_nothing(view, saying, about, what):
            self._question("bare", item)
            return 1
        about = self._thing(view, self._plug(view, about, what), what)
        if what not in self.words.trial.attributes:
            return 1
        sided = view.sides or any(is_sided(a, self.words.families) for n in view.named for a in n.about)
        if sided and f"{what} {value}" in (self.words.settings.get("of_all") or ()):
            self._question(str((self.words.settings.get("asked_back") or {}).get(what, "bare")), item)
            return 1
        if what in self.words.trial.split and value in ("yes", "no"):
            value = value == "yes"
        if view.piece.past and what not in names_in(self.words.settings, "past_too"):
            return 1
        if value is True and what in self.words.trial.split and self._crossed(view):
            what, value = str(self.words.settings["crossed"]).split()
        if value is True and what in self.words.trial.split and origin == "default" and self._tells_little(view, item):
            self.ran_perhaps = True
            return 0
        gone = (self.words.settings.get("then_gone") or {}).get(what)
        if gone and value is False and view.piece.opener == "then" and self._told_on(about, what):
            what, value = str(gone), True
        wire = view.piece.opener != "or" and self._same_wire_gone(item, what, value)
        if wire or self._by_hand(view, item, what, value):
            return 0
        if f"{what} {value}" == self.words.settings.get("some_bridge"):
            value = self._wire_meant(value)
        if is_particle(item) and self._done_for_test(about, what, value):
            return 1
        draft = self._dressed(view, item, (about, what, value), saying, flip, origin)
        if self._only_ordered(view, item, what):
            self._ask_whether_done(draft, item)
            return 1
        self.drafts.append(draft)
        if draft.certain:
            self._set_up(about, what, value)
        self._end_trial(about, what, value)
        return 1

    def _wire_meant(self, value: Value) -> Value:
        """`Control plus → port signal: jumper still in`: which of the test wires `the jumper` is."""
        if self.wire_here:
            return self.wire_here
        asked = self.answer.while_ if self.answer is not None else ()
        return next((b for b, scene in self.words.bridge_scenes.items() if scene in asked), value)

    def _done_for_test(self, about: str, what: str, value: Value) -> bool:
        """`The other helm was off first`: so the test wants it, and that is no finding."""
        order = self.answer or self.words.answers.get(self.heard.set_up_for or "")
        return order is not None and about not in order.about and f"{what}={value}" in order.sets_up

    def _dressed(
        self, view: View, item: Item, fact: tuple[str, str, Value], saying: Saying, flip: bool, origin: str
    ) -> Draft:
        """A claim with its circumstances, its directions, and how sure it is."""
        about, what, value = fact
        draft = self._draft(view, item, about, what, value, origin)
        draft.denied = flip or bool(set(item.text.split()) & names_in(self.words.settings, "negators"))
        draft.tame = saying.tame
        self._dress(draft, set() if flip else set(saying.scene), "", ())
        draft.certain = draft.certain and not self._clears_doubtfully(view, what, value)
        if (saying.tame or what in self.words.trial.split) and not draft.sides:  # `kept pushing to port`
            draft.sides = plain_sides(item.sides)
        if what in self.words.trial.split and isinstance(value, bool) and not draft.sides:
            draft.sides = self._clicked(view, value)
        draft.weak = saying.weak and value is True and what in self.words.trial.split
        told = value is True and what in names_in(self.words.settings, "named_later")
        draft.guessed = told and origin in ("default", "asked")
        if told and origin in ("here", "after"):
            self.drafts = [d for d in self.drafts if not (d.guessed and (d.what, d.value) == (what, value))]
        if self._just_did(view, what, value):
            draft.scene |= names_in(self.words.settings, "done_just")
        return draft

    def _denied_as(self, meant: str, claim: Claim, saying: Saying, item: Item) -> Claim | None:
        """What it says when it is denied; None where that is not sure."""
        what, value = claim
        if set(item.text.split()) & names_in(self.words.settings, "negators"):
            return None
        denied = saying.denied.get(base_of(meant)) or saying.denied.get("any")
        if denied:
            return denied[0]
        if isinstance(value, bool):
            return what, not value
        if value in ("yes", "no") and what not in self.words.trial.single:
            return what, "no" if value == "yes" else "yes"
        return None

    def _tells_little(self, view: View, item: Item) -> bool:
        """`Went to fetch the tester`, `it goes that way if you follow me`: that it ran, no way named, is seldom meant.

        It is where a trial was asked for, or something was set up, said to be so now, or told of the thing and no more.
        """
        read = self.read_last is not None and self.heard.asked is not None and not view.named
        if read and item.text.split()[0] in self._words_in("says_it_works"):
            return True  # `12.6 with the switch on, 0 with it off. it works`
        plain = not (view.sides or view.scene or view.scene_sides or self.forward or self.setup or item.sides)
        tried = self.answer is not None and (self.heard.answering or self.answer.way or self.answer.side_means)
        if not plain or tried or view.piece.marks("now") or self.sided or self.standing[0]:
            return False
        items = view.piece.items
        at = next((n for n, i in enumerate(items) if i is item), len(items))
        words = [i.text for i in self._strangers(items)]
        strange = any(text not in self.words.classes for text in words)
        subject = bool(view.named) or bool(words) or any(is_mark(i, "pronoun") for i in items[:at])
        return strange or (not subject and len(item.text.split()) < 2)

    def _crossed(self, view: View) -> bool:
        """Whether it ran to one side while the other was asked for."""
        ran = {s for _, s in view.sides if s in SIDES}
        asked = set(view.scene_sides) if view.way == "commanded" else set()
        if not view.has_scene and self.forward_way == "commanded" and len(self.drafts) == self.forward_at:
            asked = set(self.forward_sides)
        return len(ran) == 1 and len(asked) == 1 and ran != asked

    def _modified(self, what: str, value: Value, view: View) -> Claim:
        """A word elsewhere in the piece (`by itself`) or sentence (`sometimes`) can make a claim another one."""
        here = names_in(self.words.settings, "here_only")
        piece = view.piece
        scene = view.scene if view.has_scene else self.forward
        near = [n for n in self.words.modifiers if (n in here and piece.marks(n)) or n in scene]
        near += self._just_powered(piece)
        far = [n for n in self.modifiers if n not in here or n in self.apart]
        if piece.items and piece.items[0].start < self.behind_at:
            far = [n for n in far if n not in self.only_behind]  # `works both ways, but sometimes keeps going`
        for name in near:
            what, value = self.words.modifiers[name].get((what, value), (what, value))
        about, _, bare = what.rpartition(".")
        for name in (*far, *(["past"] if piece.past else [])):
            changed = self.words.modifiers.get(name, {}).get((bare, value))
            if changed is not None:
                return (f"{about}.{changed[0]}" if about and "." not in changed[0] else changed[0]), changed[1]
        plain = self._otherwise(bare, value)
        if plain is None or self._pushed_just_now(plain):
            return what, value
        return (f"{about}.{plain[0]}" if about else plain[0]), plain[1]

    def _otherwise(self, what: str, value: Value) -> Claim | None:
        """What a claim comes to by itself: `it stays quiet` is good news of a thruster that ran by itself."""
        away = self.words.modifiers.get("self_running", {}).get((what, value))
        unasked = self.words.settings.get("by_itself")
        if away is not None and any(f.what == unasked and f.value != "no" for f in self.heard.standing):
            return away
        return self.words.modifiers.get("otherwise", {}).get((what, value))

    def _thing(self, view: View, about: str, what: str) -> str:
        """Where a meter is put has a voltage; what else is said of it is of the part that is there."""
        settings = self.words.settings
        if what in names_in(settings, "listed"):
            return about
        thing = next((n.thing for n in self._names_of(view, about) if n.thing), None)
        return thing or str((settings.get("things_at") or {}).get(about, about))

    def _names_of(self, view: View, about: str) -> list[PartName]:
        """The names by which a part goes in this piece, or went where it was last spoken of."""
        if not view.named:
            return [self.spoken] if self.spoken is not None and about in self.subject else []
        return [n.item.data for n in view.named if n.item.sort == "part" and about in n.about]

    def _plug(self, view: View, about: str, what: str) -> str:
        """A plug that goes by the name of its part is that part's when it is pulled or put back."""
        if what != "plugged":
            return about
        plug = next((n.plug for n in self._names_of(view, about) if n.plug), None)
        if plug is None and any(about in n.about and n.item.text in self._words_in("plug_words") for n in view.named):
            owners = [a for n in view.named for a in n.about if base_of(a) in self._words_in("plug_of")]
            if not owners:
                plug = self.answer.plug if self.answer is not None else None
            elif len(owners) == 1:
                plug = owners[0]  # `the plug came off the panel`
        return plug or about

    def _as_asked(self, about: str, what: str, value: Value, told: bool) -> tuple[str, str, Value]:
        """Redirect a claim to another subject, and read it the way the test just asked wants it.

        `told` is whether the subject was named, spoken of or asked for, and is not only the usual one of the words.
        """
        settings = self.words.settings
        owner, _, bare = what.rpartition(".")
        if self.answer is not None and owner in self.answer.about and (bare, value) in self.answer.instead:
            about, what = owner, bare  # `the motor stayed put`, where it is asked whether anything ran by itself
        instead = self.answer.instead.get((what, value)) if self.answer is not None else None
        if instead is not None and self.answer is not None and self.answer.named and self.subject_here:
            one = self.subject[0] if len(self.subject) == 1 else about
            if len(self.subject) > 1 and instead[1] == "no":  # `both panels back in, stays still`: none of them
                return str(settings.get("whole")), *instead
            return (one if base_of(one) != one and about == settings.get("whole") else about), *instead
        if instead is not None and self.answer is not None and (told or self._is_asked_of(about)):
            return self.answer.instead_about.get(about, about), *instead
        if "." in what:
            about, what = what.split(".")
        elif what in names_in(settings, "silent") and about == settings.get("turns_for_whole"):
            about, what = str(settings["whole"]), next(iter(self.words.trial.split))
        return about, what, value

    def _draft(self, view: View, item: Item, about: str, what: str, value: Any, origin: str) -> Draft:
        about = self._by_name(view, about, what)
        start, end = item.start, item.end
        for named in view.named:
            if about in named.about:
                start, end = min(start, named.item.start), max(end, named.item.end)
        draft = Draft(about, what, value, start, end)
        draft.one_of = next((n.item for n in view.named if n.one and about in n.about), None)
        draft.certain = not view.piece.doubted
        spoken = view.sides or base_of(about) not in names_in(self.words.settings, "no_sides")
        sides = self._view_sides(view) if spoken and not self._both_things(view, about, value) else ()
        figure = not isinstance(value, bool | str) and len(sides) > 1  # `12.6 both sides of the fuse`
        ends = figure and about in names_in(self.words.settings, "has_ends")
        if not (ends or is_sided(about, self.words.families)):
            draft.sides = sides
        draft.only = view.only
        draft.answers = self._is_answer(about, what) and not self._after_the_bridge()
        if what in names_in(self.words.settings, "takers"):
            draft.setup = set(self.setup)
        self._dress(draft, view.scene, view.way, view.scene_sides)
        if not view.scene_first or not view.has_scene:
            self._dress(draft, self._forward(view), self.forward_way, self.forward_sides)
        self._carry_on(view, draft)
        return draft

    def _both_things(self, view: View, about: str, value: Any) -> bool:
        """`Battery side and load side, both 25.3`: of what has no direction, `both` alone names none."""
        if isinstance(value, bool | str) or about not in names_in(self.words.settings, "no_pair") or view.way:
            return False
        said = [i.text for i in view.piece.items if i.sort == "side"]
        return bool(said) and set(said) <= self._words_in("both_alone")

    def _forward(self, view: View) -> set[str]:
        """`With nobody asking 0, port 12.3`: where directions are asked for, what is told of one was read asking."""
        told = self.forward_at < 0 and not self.forward_sides and any(s in SIDES for _, s in view.sides)
        asking = told and self.answer is not None and bool(self.answer.way)
        return self.forward - {"at_rest"} if asking else self.forward

    def _by_name(self, view: View, about: str, what: str) -> str:
        """`Unplugged the panel`, when the other station was asked for: a plug goes by its own name."""
        if self.answer is None or what not in names_in(self.words.settings, "by_own_name"):
            return about
        said = [a for n in view.named if about in n.about and n.item.sort == "part" for a in n.item.data.about]
        return next((a for a in said if self.answer.called.get(a) == about), about)

    def _carry_on(self, view: View, draft: Draft) -> None:
        """What the piece before ended with, and what a test wire told of before makes the thruster do."""
        settings = self.words.settings
        scene, way, sides = self.trailing
        if any(i.sort == "number" and i.data.unit in names_in(settings, "load_units") for i in view.piece.items):
            scene = scene - {"at_rest"}
        if view.sides and self.answer is not None and self.answer.way:
            scene = scene - {"at_rest"}
        told = [d for d in self.drafts[self.sentence_start :] if (d.about, d.what) == (draft.about, draft.what)]
        if view.piece.opener == "and" and any(d.value != draft.value and scene & d.scene for d in told):
            scene = set()  # `12.2 at rest and 9.1 pulling`: of two figures of one thing both are not at rest
        if not view.has_scene and view.piece.opener in ("comma", "cut", "and", "but"):
            if scene and not self.scene_later and draft.what in names_in(settings, "listed"):
                self._dress(draft, scene, way, sides)
            elif way and draft.what in names_in(settings, "follows_press") and not draft.way:
                self._dress(draft, set(), way, sides)
        way, sides = self.tried
        if way and not draft.way and draft.what in names_in(settings, "takers"):
            self._dress(draft, set(), way, sides)
