"""Pieces without a claim of their own: `only port`, `the other one doesn't`, `the same to starboard`."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from assistant.knowledge.model import SIDES
from assistant.language.items import Item, is_mark, is_particle
from assistant.language.pieces import Piece
from assistant.language.side_forms import SideForms
from assistant.language.views import Group, Named, View, base_of, is_cue, is_place, is_sided, names_in, on_side


class ShortForms(SideForms):
    """Pieces without a claim of their own: `only port`, `the other one doesn't`, `the same to starboard`."""

    def _without_claim(self, view: View, negated: bool, nots: list[Item]) -> None:
        piece = view.piece
        if self._puts_off(piece):
            return
        self.left_over += [i for i in piece.items if self._means_more(i)]
        for item in piece.items:
            if item.sort == "mark" and item.data.name in ("yes", "no", "same"):
                if item.data.name == "yes" and self._says_more(view):
                    continue
                self.bare.append((item.data.name, item))
        if piece.marks("swap") or any(m.data.scope == "swap" for m in piece.marks("correction")):
            self.swapped = True
            self.swapped_at = 0 if piece.opener == "and" else len(self.drafts)
            return
        if piece.opener == "but" and self._but_not_so(view):
            return
        if self._tried_verdict(view):
            return
        if _is_neither(view) and self._none_when_tried(view):
            return
        if not negated and self._but_there(view):
            return
        if self._everywhere(view, negated) or self._nor_does(view) or self._tries_other(view):
            return
        if negated and (self._could_not(view, nots) or self._not_then(view)):
            return
        if not negated and self._there(view):
            return
        if negated and not self._strange(view):
            self.bare.append(("no", nots[0]))
            self.bare_of = self._denied_of(view)
        if not view.named and not view.only:
            self.lone_sides += [(s, piece.items[at]) for at, s in view.sides if s in SIDES]
        if piece.fixes and self._move(view, negated):
            return
        another = (self.contrary or bool(self.not_of)) and bool(piece.marks("auxiliary"))  # `no, it was that one`
        if (piece.fixes or self.fixed or another) and view.named and not negated:
            self.lone_parts += [(n.about, n.item) for n in view.named if n.about]
        if self.answer is not None and self.answer.named and _is_neither(view):
            self.bare.append(("no", piece.items[0]))
            return
        no = negated or bool(piece.marks("no"))
        if self._affirms(view):
            self._repeat(view, not self.last_denied)
            return
        yes = bool(piece.marks("yes"))
        plain = view.sides and not view.named and not view.only and not yes
        labels = piece.label and not no and len(view.sides) == 1
        if plain and piece.marks("also") and self.last and len(view.sides) == 1 and not self._strange(view):
            self._repeat(view, not self.last_says_no if negated else self.last_denied)
            return
        if plain and not labels and self._add_sides(view, no):
            return
        alone = view.sides and not (view.named and not (view.only and self._station(view)))
        if alone and not self._asked_back(piece) and self._side_claim(view, no, yes):
            return
        if view.sides and not view.named and piece.marks("same") and self._same_on_side(view):
            return
        if not self._like_another(view, negated, nots, no):
            self._denied_or_alone(view, nots, no, yes)

    def _denied_of(self, view: View) -> set[str]:
        """What a bare no is said of: the parts named, or the one of a pair (`port arrives, starboard not`)."""
        pair = self.answer.family if self.answer is not None and not view.named else None
        if pair is not None:
            return {*pair.members(tuple(s for _, s in view.sides if s in SIDES))}
        return {a for n in view.named for a in n.about}

    def _means_more(self, item: Item) -> bool:
        """Whether a word in a clause that told nothing may be of another thing than was asked."""
        if item.sort == "word":
            small = item.text in self.words.light or item.text in self._words_in("beside_verdicts")
            return item.text.isalpha() and not small
        return is_cue(item) or (item.sort == "part" and not item.data.about and not item.data.end)

    def _puts_off(self, piece: Piece) -> bool:
        """`No, can't`, `yeah, hang on`: who says no more than that has not answered yet."""
        small = ("auxiliary", "not", "no", "yes", "pronoun", "correction", "polite", "takes")
        plain = all(is_mark(i, *small) for i in piece.items)
        able = any(is_mark(i, "auxiliary") and i.data.scope == "able" for i in piece.items) and piece.marks("not")
        waits = not self.drafts and any(m.data.scope == "soft" for m in piece.marks("correction"))
        if not plain or not (able or waits):
            return False
        self.bare.clear()
        if able:
            self._cannot(piece.items)
        self.put_off = self.put_off or bool(able)
        return True

    def _like_another(self, view: View, negated: bool, nots: list[Item], no: bool) -> bool:
        """What is said of one thing or side as of another, or of it alone."""
        piece = view.piece
        again = piece.marks("same") or (piece.marks("also") and not no)
        if (view.sides or view.scene_sides) and again and self._copy(view):
            return True
        alike = piece.marks("same") or (piece.marks("also") and not piece.has("part", "family", "word"))
        if alike and self._same_when_tried(view):
            return True
        if not no and (self._alike(view) or self._placed_late(view)):
            return True
        if view.only and view.named and not no and self.last and self.last_denied:  # `never changed, only the panel`
            self._repeat(view, False)
            return True
        if piece.opener in ("and", "comma") and self._and_there(view):
            return True
        if view.named and piece.marks("same") and self._seen_from(view):
            return True
        if view.named and piece.marks("same") and piece.opener != "start" and self._copy_to(view):
            return True
        if view.named and piece.marks("also") and not negated and piece.opener != "start" and self._copy_to(view):
            return True
        stations = names_in(self.words.settings, "no_sides")
        if negated and self.last and view.named and all(base_of(a) in stations for n in view.named for a in n.about):
            for told in self.drafts[self.sentence_start :]:
                told.weak = False  # `works at the helm, not on the flybridge`: it was tried there
            self._repeat(view, not self._is_off(nots) or self.last_denied)
            return True
        if view.named and piece.marks("also") and self.last and not self._strange(view):
            self._repeat(view, not self.last_says_no if negated else self.last_denied)
            return True
        if negated and view.named and self._none_at(view, nots):
            return True
        return bool(view.named) and self._named_alone(view, no)

    def _is_off(self, nots: Sequence[Item]) -> bool:
        """`Control unit unplugged and no joystick`: with none there, that one is off as well."""
        told = {what for s in self.last for what, _ in s.tells}
        absent = bool(told) and told <= names_in(self.words.settings, "none_is_off")
        return absent and all(self.words.negation not in i.text.split() for i in nots)

    def _tries_other(self, view: View) -> bool:
        """`… then the same on the other and she just sat there`: what was done again, its outcome told behind."""
        way, sides = self.tried
        if not way and self.answer is not None and self.answer.way and len(self.drafts) > self.sentence_start:
            way, sides = self.answer.way, self.drafts[-1].sides
        piece, pieces = view.piece, self.pieces_here
        other = tuple(s for s in SIDES if s not in sides)
        named = {s for _, s in view.sides} == set(other)
        named = named or any(i.text in self._words_in("the_other") for i in piece.items)
        if not (way and len(other) == 1 and named and piece.marks("same") and piece.opener in ("then", "and")):
            return False
        place = next((n for n, p in enumerate(pieces) if p is piece), len(pieces))
        if not any(self._claims(p) or p.marks("not") for p in pieces[place + 1 : place + 2]):
            return False
        self.tried, self.inherited = (way, other), other if self.inherited else ()
        self.topic_sides = other if self.topic_sides else ()
        self.forward_sides = other if self.forward_way == way else self.forward_sides
        self.trailing = (self.trailing[0], way, other) if self.trailing[1] == way else self.trailing
        return True

    def _denied_or_alone(self, view: View, nots: list[Item], no: bool, yes: bool) -> None:
        piece = view.piece
        late = not nots or not view.named or nots[0].start > view.named[0].item.start
        same = bool(piece.marks("same")) and not no
        other = bool(view.scene & self._words_in("scene_alone"))  # `cold it runs, hot it doesn't`
        if (view.named or view.sides or view.scene_sides or other) and late and (no or yes or same) and self.last:
            still = self.last_says_no or self._still_no(view)
            self._repeat(view, self.last_denied if same else no and not still)
        elif nots and self._no_more_by_itself(view):
            return
        elif nots and self.last and (self._other_press(view) or self._no_more_so(view) or self._not_now(view)):
            self._repeat(view, not self.last_says_no)
        elif (
            view.sides
            and not _is_denied(view, nots)
            and piece.opener in ("start", "comma", "dash", "but", "and", "then", "colon")
        ):
            self.topic_sides = self._view_sides(view)

    def _not_now(self, view: View) -> bool:
        """`It clicked before, not now`: what the piece before told was once so."""
        piece = view.piece
        told = self.drafts[self.piece_start :] if len(self.drafts) > self.sentence_start else []
        plain = [i.data.name for i in piece.items if i.sort == "mark"] == ["not", "now"] and len(piece.items) == 2
        if not plain or piece.opener not in ("comma", "but") or not all(d.value is True for d in told):
            return False
        del self.drafts[self.piece_start :]
        return bool(told)

    def _no_more_so(self, view: View) -> bool:
        """`It used to click, now it doesn't`: what once was is denied of today."""
        place = next((n for n, p in enumerate(self.pieces_here) if p is view.piece), 0)
        plain = all(i.sort == "mark" for i in view.piece.items)
        return place > 0 and self.pieces_here[place - 1].past and plain and bool(view.piece.marks("now"))

    def _other_press(self, view: View) -> bool:
        """`I press left and it clicks, I press right and it doesn't`: no more than a denial, under the press before."""
        told = self.drafts[-1].sides if len(self.drafts) > self.sentence_start else ()
        pressed = set(self.forward_sides) if self.forward_way == "commanded" else set(self.tried[1])
        plain = all(i.sort == "mark" for i in view.piece.items) and view.piece.opener in ("and", "but", "then")
        return plain and len(pressed) == 1 and not pressed & set(told)

    def _there(self, view: View) -> bool:
        """`mussels, loads of them, all over the blades`: where it is, named behind it."""
        last = self.drafts[-1] if len(self.drafts) > self.sentence_start else None
        known = len(view.named) == 1 and any(s.means.get(base_of(a)) for s in self.last for a in view.named[0].about)
        if last is None or not last.guessed or not known or view.piece.opener not in ("comma", "dash", "colon"):
            return False
        self.drafts = [d for d in self.drafts if d is last or not d.guessed]
        last.about, last.guessed = view.named[0].about[0], False
        return True

    def _affirms(self, view: View) -> bool:
        """`starboard doesn't work, port does`: a verb that stands alone behind what is named says yes."""
        items = view.piece.items
        end = items[-1]
        verb = len(items) > 1 and end.sort == "mark" and end.data.name == "auxiliary"
        told = self.drafts[-1] if self.drafts else None
        plain = all(i.sort in ("side", "part", "family") or i is end for i in items)
        return verb and plain and bool(self.last) and told is not None and told.value is False

    def _placed_late(self, view: View) -> bool:
        """`12.7 resting, 9.1 when she runs, measured at the bank`: the place of the readings before it."""
        one = len(view.named) == 1 and bool(view.named[0].about) and len(view.sides) != 1
        at = view.named[0].at if one else -1
        if not self.pending or at < 0 or not (is_mark(view.piece.items[at - 1], "at") or is_place(view.named[0])):
            return False
        ids = {id(p) for p in self.pieces_here}
        here = [p for p in self.pending if id(p[1]) in ids]
        made = False
        for quantity, piece, item, scene, _ in here:
            earlier = self._view(piece)
            earlier.named = [Named(-1, view.named[0].about, view.named[0].item)]
            made = bool(self._reading(earlier, piece.items.index(item), item, quantity, None, scene)) or made
        self.pending = [p for p in self.pending if id(p[1]) not in ids] if made else self.pending
        return made

    def _alike(self, view: View) -> bool:
        """`6 m of 70 square, both legs alike`: what was told of one is so of the other."""
        pair = names_in(self.words.settings, "alike")
        both = next((n.about for n in view.named if len(n.about) > 1 and set(n.about) <= pair), ())
        told = [d for d in self.drafts[self.sentence_start :] if d.about in both]
        known = {(d.about, d.what) for d in told}
        for draft in told:
            for about in both:
                if (about, draft.what) not in known:
                    self.drafts.append(draft.again(about=about))
        return bool(told)

    def _and_there(self, view: View) -> bool:
        """`barnacles on the blades and in the tunnel`: what was just told is so there too."""
        items = view.piece.items
        places = [i for i in items if i.sort == "part"]
        piece_opener = view.piece.opener
        lead = is_particle(items[0])
        told = self.drafts[-1] if len(self.drafts) > self.sentence_start else None
        if not lead or len(places) != 1 or len(items) != 2 or not self.last or told is None or told.value is not True:
            return False
        if piece_opener == "comma":  # `barnacles, on the blades` are there and not where they were thought to be
            if told.about not in self._thought_of():
                return False
            gone = (told.about, told.what, told.value)
            self.drafts[self.sentence_start :] = [
                d for d in self.drafts[self.sentence_start :] if (d.about, d.what, d.value) != gone
            ]
        self._repeat(view, self.last_denied)
        return True

    def _nor_does(self, view: View) -> bool:
        """`… and neither is the panel fuse`, `… nor does starboard`: what was just denied is denied of this too."""
        items = [i for i in view.piece.items if not (i.sort == "side" and i.data.name == "neither")]
        led = len(items) < len(view.piece.items) or view.piece.opener == "or"
        lead = bool(items) and is_mark(items[0], "auxiliary")
        named = all(i.sort in ("part", "family", "side") for i in items[1:]) and len(items) > 1
        if not (led and lead and named and self.last and (self.last_denied or self.last_says_no)):
            return False
        if len(items) < len(view.piece.items):
            view.sides = [(at, s) for at, s in view.sides if view.piece.items[at] in items]
        self._repeat(view, self.last_denied)
        return True

    def _everywhere(self, view: View, negated: bool) -> bool:
        """`12.5 everywhere: at the posts, behind the fuse`: the figure before the colon is that of each place named."""
        piece = view.piece
        waits = self.pending and self.pending[-1][1] is self.before
        if piece.opener == "comma" and waits and piece.items and self.answer is None and _says_where(view):
            self.spread = self.pending[-1]  # `12.4, at the posts`
        elif piece.opener == "colon":
            self.spread = self.pending[-1] if self.pending and len(self.drafts) == self.sentence_start else None
        elif piece.opener not in ("comma", "and"):
            self.spread = None
        states = any(i.sort == "state" and not is_particle(i) for i in piece.items)
        if self.spread is None or negated or not view.named or states or piece.has("number", "range"):
            return False
        quantity, _, item, _, _ = self.spread
        there = replace(view, piece=replace(piece, items=[*piece.items, item]))
        made = self._reading(there, len(piece.items), item, quantity, None, ())
        if made and self.spread in self.pending:
            self.pending.remove(self.spread)
        return bool(made)

    def _thought_of(self) -> Group:
        """The parts that what was told last is of when none is named: those of the saying, and those asked for."""
        asked = self.answer.about if self.answer is not None else ()
        return (*(s.default for s in self.last if s.default), *asked)

    def _could_not(self, view: View, nots: list[Item]) -> bool:
        """`I can not come to the coil with the probe`: nothing was found, and why."""
        items = view.piece.items
        at = items.index(nots[0])
        able = at > 0 and items[at - 1].text in names_in(self.words.settings, "abilities")
        if not able or at < 2 or not any(i.sort == "mark" and i.data.name == "pronoun" for i in items[:at]):
            return False
        self._cannot(items)
        return True

    def _not_then(self, view: View) -> bool:
        """`Open when it's hot, not when it's cold`: what was just told is not so in the circumstances named now."""
        last = self.drafts[-1] if len(self.drafts) > self.sentence_start else None
        plain = all(i.sort == "scene" or is_mark(i, "not", "when") for i in view.piece.items)
        if last is None or not plain or not view.scene or view.way or not last.scene or last.scene & view.scene:
            return False
        if isinstance(last.value, bool):
            start, end = view.piece.items[0].start, view.piece.items[-1].end
            self.drafts.append(last.again(value=not last.value, scene=set(view.scene), start=start, end=end))
        return isinstance(last.value, bool)

    def _says_more(self, view: View) -> bool:
        """`Yep, it's history`: behind a yes, what nobody here knows is said of the thing and may turn it round."""
        items = view.piece.items
        verb = next((n for n, i in enumerate(items) if i.sort == "mark" and i.data.name == "auxiliary"), len(items))
        strange = self._strangers(items[verb + 1 :])
        if strange and self.answer is not None and not any(n == "yes" for n, _ in self.bare):
            self._ask_meaning(items)
        return bool(strange)

    def _strange(self, view: View) -> bool:
        """Whether a denial stands beside words that nobody knows here: it may deny anything."""
        strange = self._strangers(view.piece.items)
        if strange and self.answer is not None:
            self._ask_meaning(view.piece.items)
        return bool(strange)

    def _but_not_so(self, view: View) -> bool:
        """`I said that it was blown, but it isn't`: the contrary of what was just told."""
        items = view.piece.items
        doers = names_in(self.words.settings, "doers")
        known = ("pronoun", "auxiliary", "takes", "not", "now", "sure")
        verdict = all(i.sort == "mark" and i.data.name in known and i.text not in doers for i in items)
        told = self.said or self.drafts[self.sentence_start :][-1:]
        if not verdict or not any(i.data.name in ("auxiliary", "takes") for i in items) or not told:
            return False
        if not all(isinstance(d.value, bool) for d in told):
            return False
        self.drafts = [d for d in self.drafts if d not in told]
        for draft in told:
            self.drafts.append(replace(draft, value=not draft.value, end=items[-1].end, certain=not view.piece.doubted))
        return True

    def _asked_back(self, piece: Piece) -> bool:
        """Whether a state in this piece was just asked back: then nothing else may be made of it."""
        return any(
            i.sort == "state" and any(u.words == self.text[i.start : i.end] for u in self.unclear) for i in piece.items
        )

    def _move(self, view: View, negated: bool) -> bool:
        """`… at the studs, no sorry, at the battery`: what was just told is of another part or side."""
        if negated or not self.drafts or any(m.data.scope == "soft" for m in view.piece.marks("correction")):
            return False
        last = self.drafts[-1]
        if view.scene and not (view.named or view.sides or view.way) and last.scene and not last.scene & view.scene:
            last.scene, last.end = set(view.scene), view.piece.items[-1].end  # `… isolator off. Sorry, with it on.`
            return True
        groups = [n.about for n in view.named if n.about]
        if len(groups) == 1 and len(groups[0]) == 1 and groups[0][0] != last.about:
            last.about = groups[0][0]
        elif groups or len(self._view_sides(view)) != 1:
            return False
        elif is_sided(last.about, self.words.families):
            last.about = self._turned(view, (last.about,))[0]
        elif last.sides:
            last.sides = self._view_sides(view)
        else:
            return False
        last.end = view.piece.items[-1].end
        return True

    def _seen_from(self, view: View) -> bool:
        """`… same from the flybridge`: what the thruster and its panel just did, tried from another station."""
        settings = self.words.settings
        named = view.named[0]
        if not all(base_of(a) in names_in(settings, "no_sides") for a in named.about):
            return False
        seen = [d for d in self.drafts if d.what in names_in(settings, "seen_from_station")]
        for draft in seen:
            for about in named.about:
                if about != draft.about:
                    copy = draft.again(about=about)
                    copy.start, copy.end = view.piece.items[0].start, view.piece.items[-1].end
                    self.drafts.append(copy)
        return bool(seen)

    def _none_at(self, view: View, nots: list[Item]) -> bool:
        """`no signal`: of some things, none is a reading."""
        table = self.words.settings.get("none_of") or {}
        named = view.named[0]
        if nots[0].start > named.item.start or not set(named.about) <= set(table):
            return False
        if set(self.text[nots[0].end :].lower().split()[:1]) & self._words_in("determiners"):
            return False  # `on the coils, not the signals`
        for about in named.about:
            what, value = str(table[about]).split()
            item = Item("state", None, nots[0].start, named.item.end)
            draft = self._draft(view, item, about, what, float(value), "here")
            draft.denied = True
            self.drafts.append(draft)
        return True

    def _named_alone(self, view: View, no: bool) -> bool:
        """To some questions the name of a part is the answer (`which one starts it?`)."""
        if self.answer is None or self.answer.named is None:
            return False
        if view.piece.label and not no:
            return False
        named = view.named[0]
        claims = [c for of in self.answer.no.values() for c in of] if no else [self.answer.named]
        if not claims or not all(base_of(a) != a for a in named.about):
            return False
        for about in named.about:
            self.drafts.append(self._draft(view, named.item, about, *claims[0], "here"))
        return True

    def _same_when_tried(self, view: View) -> bool:
        """`Bridged port: clunk, no run. Bridged starboard: likewise`: all that the first trial told, of the second."""
        way, sides = (view.way, view.scene_sides) if view.way else (self.forward_way, self.forward_sides)
        told = [d for d in self.drafts if way and d.way == way and len(d.sides) == 1 and d.sides != sides]
        if len(sides) != 1 or not told:
            return False
        start, end = view.piece.items[0].start, view.piece.items[-1].end
        self.drafts += [d.again(sides=sides, start=start, end=end) for d in told]
        return True

    def _none_when_tried(self, view: View) -> bool:
        """`Feeding port a clonk and a spin, feeding starboard neither`: nothing of what the first trial told."""
        told = [d for d in self.drafts[self.sentence_start :] if view.way and d.way == view.way and len(d.sides) == 1]
        told = [d for d in told if d.sides != view.scene_sides and isinstance(d.value, bool)]
        if len(view.scene_sides) != 1 or not told:
            return False
        start, end = view.piece.items[0].start, view.piece.items[-1].end
        for draft in told:
            about = on_side(draft.about, view.scene_sides[0], self.words.families)
            self.drafts.append(draft.again(about=about, value=False, sides=view.scene_sides, start=start, end=end))
        return True

    def _copy(self, view: View) -> bool:
        """`… and the same to starboard`: the last figure again, for the side named now."""
        last = self.drafts[-1] if len(self.drafts) > self.sentence_start else None
        if last is None or isinstance(last.value, bool | str):
            return False
        group = self._turned(view, (last.about,))
        for about in group:
            sides = () if is_sided(about, self.words.families) else self._view_sides(view) or view.scene_sides
            copy = last.again(about=about, sides=sides)
            copy.way = view.way or copy.way
            self.drafts.append(copy)
        return True

    def _copy_to(self, view: View) -> bool:
        """`port coil 18 ohm, starboard coil the same`: the last figure again, of the part named now."""
        last = self.drafts[-1] if len(self.drafts) > self.sentence_start else None
        about = view.named[-1].about
        if last is None or isinstance(last.value, bool | str) or last.about in about or len(about) != 1:
            return False
        self.drafts.append(last.again(about=about[0]))
        return True


def _says_where(view: View) -> bool:
    """Whether a piece begins with a word like `at`, or with a name that says where."""
    first = view.piece.items[0]
    return is_mark(first, "at") or is_particle(first) or (first.sort == "part" and bool(first.data.place))


def _is_neither(view: View) -> bool:
    """`Neither of them`: of all that was asked for, none."""
    return not view.named and any(i.sort == "side" and i.data.name == "neither" for i in view.piece.items)


def _is_denied(view: View, nots: list[Item]) -> bool:
    """`I mean starboard, not port: …`: whether the direction is named only to be denied."""
    return bool(nots) and nots[0].start < view.piece.items[view.sides[0][0]].start
