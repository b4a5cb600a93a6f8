"""Pieces that name a direction and little else."""

from __future__ import annotations

from collections.abc import Mapping

from assistant.knowledge.model import SIDES
from assistant.language.figures import Figures
from assistant.language.items import Item, is_mark, is_particle
from assistant.language.meanings import Claim
from assistant.language.pieces import Piece
from assistant.language.views import Group, View, base_of, is_sided, names_in


class SideForms(Figures):
    """Pieces that name a direction and little else."""

    def _add_sides(self, view: View, no: bool) -> bool:
        """Sides that come after a claim (`…, either way`) belong to it; `…, not port` after one is a contrast."""
        if len(self.drafts) == self.sentence_start:
            return False
        last = self.drafts[-1]
        if last.one_of is not None and not no and len(self._view_sides(view)) == 1:
            for draft in self.drafts[self.sentence_start :]:  # `the coil reads 31 ohm, port`
                if draft.one_of is last.one_of:
                    draft.sides = self._view_sides(view)
            return True
        if last.what not in self.words.trial.split:
            directed = last.what in names_in(self.words.settings, "directed") and not isinstance(last.value, str)
            directed = directed and (isinstance(last.value, bool) or view.piece.opener == "comma")
            bare = not view.piece.has("word", "scene", "state", "number")
            if bare and directed and not last.sides and not is_sided(last.about, self.words.families):
                last.sides = self._view_sides(view)
                return True
            value = last.value if last.denied else not last.value
            if no and isinstance(last.value, bool) and last.sides:
                other = last.again(value=value, sides=self._view_sides(view))
                self.drafts.append(other)
                return True
            turned = self._turned(view, (last.about,))
            if no and isinstance(last.value, bool) and turned != (last.about,):
                self.drafts += [last.again(about=a, value=value) for a in turned]
                return True
            return no and (isinstance(last.value, float | int) or is_sided(last.about, self.words.families))
        if no or last.sides:
            return False
        if len(self._view_sides(view)) < 2 and view.piece.opener != "comma":
            return False
        last.sides = self._view_sides(view)
        return True

    def _repeat(self, view: View, no: bool) -> None:
        """`… but the other one doesn't`: the last claim again, of what is named now."""
        told = [c for s in self.last for n in view.named for a in n.about for c in s.means.get(base_of(a), ())]
        claims = told or [c for s in self.last for c in s.tells]
        if no and not all(_can_be_denied(c, self.words.trial.split) for c in claims):
            self._not_that_way(view)
            return
        place = len(view.piece.items)
        self._state(view, place, Item("state", self.last, view.piece.items[0].start, view.piece.items[-1].end), no)

    def _not_that_way(self, view: View) -> None:
        """`Pops the moment I go left, never when I go right`: what was told of one direction, denied of the other."""
        last = self.drafts[-1] if len(self.drafts) > self.sentence_start else None
        sides = view.scene_sides
        if last is not None and last.value is True and len(sides) == 1 and last.sides and last.sides != sides:
            start, end = view.piece.items[0].start, view.piece.items[-1].end
            self.drafts.append(last.again(value=False, sides=sides, start=start, end=end))

    def _side_claim(self, view: View, no: bool, yes: bool) -> bool:
        """A side and nothing else (`only port`, `both ways`, `starboard no`)."""
        told = self.drafts[-1] if len(self.drafts) > self.sentence_start else None
        directed = told is not None and told.what in names_in(self.words.settings, "follows_press")
        clicks = told is not None and directed and told.value is True and told.what not in self.words.trial.split
        free = told is not None and not told.sides and not is_sided(told.about, self.words.families)
        if clicks and free and view.only and told is not None:  # `it clicks, but only to port`
            told.sides = self._view_sides(view)
            return True
        if view.only and any(i.text == self.words.negation for i in view.piece.items):
            return True  # `it's not starboard only`: where it goes is told elsewhere, or not at all
        claim = self.answer.side_means if self.answer is not None else None
        if claim is None and (yes or no) and self._asks_which_way(view):  # `port yes, starboard no`
            self.last = ()  # what follows is of the same, and no more of the lamp
            return self._tell_side(
                view, next(iter(self.words.trial.split)), (str(self.words.settings["whole"]),), yes and not no
            )
        again = view.piece.marks("same") or view.piece.marks("also")
        if self.answer is not None and not (self.answer.way or claim or view.only or no or again):
            labels = view.piece.label and len(view.sides) == 1  # `port: 28, starboard: 27`
            return bool(self.drafts) and not labels  # `dead open, both sides`, where no direction was asked for
        if claim is None and self.last and (no or yes):
            if yes and not no and self._last_was_no():  # `dead to starboard, port yes`
                return self._tell_side(
                    view, next(iter(self.words.trial.split)), (str(self.words.settings["whole"]),), True
                )
            self._repeat(view, no and not self.last_says_no and not self._still_no(view))
            return True
        if view.piece.marks("polite"):
            return False
        bare = view.only or any(i.sort == "side" and i.data.name in ("both", "neither") for i in view.piece.items)
        if claim is None and not bare and not no and not yes:
            return False
        runs = bool(self.drafts) and self.drafts[-1].what in self.words.trial.split
        if claim is None and told is not None and view.piece.opener == "comma" and not runs and self._all_of_them(view):
            return True
        verb = view.only and not view.way and any(is_mark(i, "auxiliary") for i in view.piece.items)
        more = (view.has_scene and not verb) or any(i.sort in ("word", "number") for i in view.piece.items)
        if claim is None and (more or not (bare or (no and runs))):
            return False
        if claim is not None and not bare and not no and not yes and (view.piece.label or len(view.piece.items) > 3):
            return False
        of_things = bare and not view.only and any(is_mark(i, "join") for i in view.piece.items)
        if claim is None and of_things:
            return True  # `off now. both wires`
        if self._not_known(view) or (claim is None and (self._off_topic_side(view) or self._of_what_was_told(view))):
            return True
        no = no and self._denied_side(view)
        what = claim or next(iter(self.words.trial.split))
        about: Group = (str(self.words.settings["whole"]),)
        if self.answer is not None and self.answer.side_means:
            about = self.answer.for_attribute.get(what, self.answer.about)
        about = (claim is None and view.only and self._station(view)) or about
        neither = any(i.sort == "side" and i.data.name == "neither" for i in view.piece.items)
        return self._tell_side(view, what, about, not (no or neither))

    def _asks_which_way(self, view: View) -> bool:
        """Whether the test asks, among other things, which ways it runs, and a piece gives no more than one of them."""
        whole, split = str(self.words.settings["whole"]), next(iter(self.words.trial.split))
        asked = f"{whole}.{split}" in self.words.topics.get(self.heard.asked or "", frozenset())
        verdicts = [i for i in view.piece.items if is_mark(i, "yes", "no", "not") and len(i.text.split()) == 1]
        plain = all(i.sort == "side" or i in verdicts for i in view.piece.items)
        lamp = self._words_in("of_no_way")
        told = [d for d in self.drafts[self.sentence_start :] if d.what not in (split, *lamp)]
        asked = asked or (bool(self.drafts) and self.drafts[-1].what in lamp)
        return asked and plain and not told and len({s for _, s in view.sides if s in SIDES}) == 1

    def _no_more_by_itself(self, view: View) -> bool:
        """`It was running by itself, now it doesn't`: the last word on it is that it does not."""
        marks = {i.data.name for i in view.piece.items if i.sort == "mark"} - {"pronoun", "auxiliary"}
        plain = marks == {"not", "now"} and all(i.sort == "mark" for i in view.piece.items)
        unasked = self.words.settings.get("by_itself")
        told = [d for d in self.drafts[self.sentence_start :] if d.what == unasked and d.value != "no"]
        if not (plain and told) or view.piece.opener not in ("comma", "but", "and", "dash"):
            return False
        for draft in told:
            draft.value, draft.scene, draft.denied = "no", set(), True
        return True

    def _of_what_was_told(self, view: View) -> bool:
        """`No click. Either side.`, `leads good, both`, `not tested to port, only starboard`: no run is told of."""
        if view.only or len({s for _, s in view.sides if s in SIDES}) == 1:
            at = next((n for n, p in enumerate(self.pieces_here) if p is view.piece), 0)
            return at > 0 and self.pieces_here[at - 1].silent and bool(self.pieces_here[at - 1].marks("unable"))
        last = self.drafts[-1] if self.drafts else None
        if last is None:
            whole = (str(self.words.settings["whole"]),)
            return view.piece.opener == "comma" and bool(self.last) and self.subject_here and self.subject != whole
        if type(last.value) in (int, float) and self._all_of_them(view):
            return True  # `battery posts, both of them`
        heard = last.what in self._words_in("follows_press") and last.what not in self.words.trial.split
        denied = last.value is False or last.value == "none" or (heard and len(view.piece.items) == 1)
        if denied and isinstance(last.value, bool) and not last.sides and not is_sided(last.about, self.words.families):
            last.sides = self._view_sides(view)
        return denied

    def _off_topic_side(self, view: View) -> bool:
        """`Both`, where the test asks of cables: of what, nobody can tell."""
        read = self.sole and self.answer is not None and self.answer.number is not None
        off = read or self._off_topic(view, str(self.words.settings["whole"]))
        if off:
            self._ask_meaning(view.piece.items)
        return off

    def _not_known(self, view: View) -> bool:
        """`Carked both ways`, `port bad`, `right`: what a bare direction says there is not known, and is asked."""
        items = view.piece.items
        judged = any(i.sort == "word" and i.text in self._words_in("verdict_words") for i in items)
        strange = judged or bool(self._unheard(items))
        opens = len(items) == 1 and items[0].sort == "side" and self._only_opens(items[0])
        if strange or opens:
            self._ask_meaning(items)
        return strange or opens

    def _only_opens(self, item: Item) -> bool:
        """`Right`: a word that may as well mean no more than that somebody listens."""
        word = self.words.side_guards.get(item.text)
        return word is not None and bool(word.chat_before)

    def _tried_verdict(self, view: View) -> bool:
        """`With port bridged: yes`: a bare verdict of the direction that was tried."""
        claim, way = (self.answer.side_means, self.answer.way) if self.answer is not None else (None, None)
        verdicts = [i for i in view.piece.items if is_mark(i, "yes", "no", "not")]
        plain = all(
            i.sort in ("scene", "side", "word") or i in verdicts or is_mark(i, "with") for i in view.piece.items
        )
        sides = view.scene_sides if view.way == way else ()
        behind = view.piece.opener in ("comma", "colon", "dash", "cut") and self.forward_at == len(self.drafts)
        if not view.way and not view.sides and behind and self.forward_way == way:
            sides = self.forward_sides  # `port bridged, yes`
        if claim is None or way is None or len(sides) != 1 or len(verdicts) != 1 or not plain:
            return False
        assert self.answer is not None
        view.sides = [(-1, sides[0])]
        about = self.answer.for_attribute.get(claim, self.answer.about)
        return self._tell_side(view, claim, about, is_mark(verdicts[0], "yes"))

    def _tell_side(self, view: View, what: str, about: Group, so: bool) -> bool:
        """Tell of the directions named, and of nothing else."""
        first, last = view.piece.items[0], view.piece.items[-1]
        told: Claim = (what, so)
        if self.answer is not None:  # `none of them`, where it is asked whether it runs by itself
            told = self.answer.instead.get((what, "yes" if so else "no"), told)
        for subject in about:
            item = Item("state", None, first.start, last.end)
            self.drafts.append(self._draft(view, item, subject, *told, "asked"))
        return True

    def _last_was_no(self) -> bool:
        """Whether what was said last is that it does not (`dead`)."""
        whole = str(self.words.settings["whole"])
        claims = [c for s in self.last for c in s.means.get(whole, ())]
        return not self.last_denied and bool(claims) and all(value in ("no", False) for _, value in claims)

    def _still_no(self, view: View) -> bool:
        """`Dead to starboard, port no` says it twice; `dead to starboard, not port` sets one against the other."""
        first = min((at for at, _ in view.sides), default=len(view.piece.items))
        return self._last_was_no() and any(is_mark(i, "no", "not") for i in view.piece.items[first + 1 :])

    def _but_there(self, view: View) -> bool:
        """`No click on port, only on starboard`, `… but does on starboard`: so of the other direction."""
        last = self.drafts[-1] if len(self.drafts) > self.sentence_start and not view.piece.label else None
        piece, own = view.piece, tuple(dict.fromkeys(s for _, s in view.sides if s in SIDES))
        if last is None or last.value is not False or len(last.sides) != 1 or len(own) != 1 or own == last.sides:
            return False
        lists = piece.opener in ("comma", "cut", "dash")
        set_against = piece.opener == "but" or (lists and (view.only or _verb(piece)))
        small = ("to", "at", "auxiliary", "yes", "pronoun", "merely", "now")
        plain = all(i.sort == "side" or is_particle(i) or is_mark(i, *small) for i in piece.items)
        if not (set_against and plain):
            return False
        start, end = piece.items[0].start, piece.items[-1].end
        self.drafts.append(last.again(value=True, sides=own, start=start, end=end))
        return True

    def _all_of_them(self, view: View) -> bool:
        """`Open at rest, both of them`: of which things, and of no direction."""
        return all(i.sort == "side" and set(i.text.split()) <= self._words_in("of_both") for i in view.piece.items)

    def _station(self, view: View) -> Group:
        """The other station that is named, or was last spoken of (`flybridge the same, just port`)."""
        group = view.named[-1].about if view.named else self._spoken_of()
        known = names_in(self.words.settings, "no_sides")
        return group if all(base_of(a) != a and base_of(a) in known for a in group) else ()

    def _denied_side(self, view: View) -> bool:
        """Whether a `no` belongs to the side (`starboard no`, `not port`) and is no answer (`no, only port`)."""
        first = min(at for at, _ in view.sides)
        return any(
            i.sort == "mark" and (i.data.name == "not" or (i.data.name == "no" and n > first))
            for n, i in enumerate(view.piece.items)
        )

    def _same_on_side(self, view: View) -> bool:
        """`I hit port, it clunks and doesn't turn, starboard the same`: all that was told of the other side, again."""
        sides = self._view_sides(view)
        if len(sides) != 1:
            return False
        told = [d for d in self.drafts[self.sentence_start :] if d.sides and d.sides[0] in SIDES and d.sides != sides]
        for draft in told:
            start, end = view.piece.items[0].start, view.piece.items[-1].end
            copy = draft.again(sides=sides, start=start, end=end)
            self.drafts.append(copy)
        return bool(told)


def _verb(piece: Piece) -> bool:
    """Whether a piece begins or ends with a verb that stands for the one before (`does on starboard`)."""
    return any(is_mark(i, "auxiliary") for i in (piece.items[0], piece.items[-1]))


def _can_be_denied(claim: Claim, split: Mapping[str, object]) -> bool:
    """`… but the other doesn't` denies a yes or no; of several choices it says nothing."""
    what, value = claim
    return isinstance(value, bool) or value in ("yes", "no") or what in split
