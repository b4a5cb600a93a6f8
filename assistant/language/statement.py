"""Reads the pieces of one text in order and gathers what they state."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.knowledge.model import SIDES
from assistant.language.bridging import find_bridging
from assistant.language.drafts import Draft
from assistant.language.items import Item, is_mark, is_particle, item_at
from assistant.language.pieces import Piece, Sentence
from assistant.language.recall import last_figure
from assistant.language.small_words import SmallWords
from assistant.language.views import View, is_cue, names_in, plain_sides

_WITHOUT_IT = 2
"""The words of `without it`, behind or before which something is said."""


class Talk(SmallWords):
    """Reads the pieces of one text in order and gathers what they state."""

    def sentence(self, sentence: Sentence) -> None:
        """Read one sentence."""
        self.forward, self.forward_way, self.forward_sides, self.topic_sides = set(), "", (), ()
        self.inherited, self.side_before, self.with_before, self.unsaid, self.spread = (), (), False, [], None
        self.trailing = (set(), "", ())
        self.sentence_before, self.sentence_start = self.sentence_start, len(self.drafts)
        self.subject_here = self.far_side = False
        self.elsewhere, self.single, self.spelled, self.wire_here = False, [], None, ""
        if self._to_assistant(sentence):
            sentence = self._after_withdrawal(sentence)
            if not sentence.pieces:
                return
        parts = [i.data for p in sentence.pieces for i in p.items if i.sort == "part"]
        self.parts_here = frozenset(a for part in parts for a in part.about)
        self._survey(sentence)
        last_fact_piece = -1
        last_scene = max((n for n, p in enumerate(sentence.pieces) if p.has("scene")), default=-1)
        said: list[Draft] = []
        labels: list[Draft] = []
        for number, piece in enumerate(sentence.pieces):
            before = len(self.drafts)
            self.said = []
            self._anew(piece)
            if self._set_aside(sentence, number):
                said = self.said or said
                continue
            self.said = said
            said = []
            self.goes_on = _goes_on(sentence, number)
            if self.doubt_next:
                piece.doubted, self.doubt_next = True, False
            self._without(piece)
            self.with_before = self.with_before and piece.opener == "and"
            self.scene_later = number < last_scene
            view = self._view(piece)
            view.cues |= self.label_cues
            self.told_scenes |= view.scene
            moved = piece.opener == "comma" and before == self.piece_start and number > 0  # `… to the port coil, turns`
            self.inherited = self.inherited if moved or piece.opener in ("and", "but", "then") else ()
            self._read(view, number)
            self._named_late(view)
            self._paired(view)
            self.before = piece
            self._not_again(piece, before)
            self._hand_on(view)
            if piece.label and view.cues and not self._claims(piece) and not piece.has("part", "family"):
                self.label_cues = set(view.cues)
            made = len(self.drafts) - before
            if made:
                self.piece_start = before
                self._reach_back(view, before)
                last_fact_piece = number
            self._afterthought(sentence, number, view, made, last_fact_piece)
            labels += self._only_label(sentence, number, before)
        if labels and self.drafts[-1] not in labels:
            self.drafts = [d for d in self.drafts if d not in labels]
        self._unread(sentence)

    def _anew(self, piece: Piece) -> None:
        """`… there was a bang, since then the lamp comes on`: what was going on before is over."""
        aside = any(m.data.scope == "anew" for m in piece.marks("polite"))
        # `… and the batteries read 12.3 by the way`, but not `…, only to port by the way`
        if piece.has("part", "family") if aside else piece.anew:
            self.forward, self.forward_way, self.forward_sides = set(), "", ()
            self.trailing, self.inherited, self.topic_sides = (set(), "", ()), (), ()

    def _without(self, piece: Piece) -> None:
        """`With the link in it runs, without it not`: what is told now was not tried with the wire of before."""
        without = self._words_in("without")
        at = next((n for n, i in enumerate(piece.items) if i.text and i.text.split()[0] in without), None)
        if at is None or len(piece.items) < _WITHOUT_IT:
            return
        item, wires = piece.items[at], self.words.wired
        whole = item.sort == "scene" and len(item.text.split()) == _WITHOUT_IT
        asked = set(self.answer.while_) if self.answer is not None else set()
        tried = bool(self.tried[0]) or bool((self.forward | self.setup | asked) & wires)
        if not tried or not (whole or is_mark(item_at(piece.items, at + 1), "pronoun")):
            return
        del piece.items[at : at + (1 if whole else 2)]
        self.forward, self.forward_way, self.forward_sides = self.forward - wires, "", ()
        self._unbridged()

    def _only_label(self, sentence: Sentence, number: int, new: int) -> list[Draft]:
        """`Power on: takes off by itself`: what only says when is told for the sake of what follows."""
        behind = self.words.settings.get("right_behind") or {}
        told = self.drafts[new:]
        deeds = [self.words.trial.reports.get((d.about, d.what, d.value)) for d in told]
        alone = all(i.sort == "state" for i in sentence.pieces[number].items)
        tried = self.answer is not None and any(what in self._words_in("by_itself") for _, what in self.answer.takes)
        opens = ("colon", "comma", "dash", "and", "then") if tried else ("colon",)
        goes_on = number + 1 < len(sentence.pieces) and sentence.pieces[number + 1].opener in opens
        return told if goes_on and alone and deeds and all(scene in behind for scene in deeds) else []

    def _survey(self, sentence: Sentence) -> None:
        """Look over a sentence before its pieces are read."""
        self.cues = {i.data.name[4:] for p in sentence.pieces for i in p.items if is_cue(i)}
        self.cues |= {s.cue for p in sentence.pieces for i in p.items if i.sort == "state" for s in i.data if s.cue}
        self.describes = self._is_description(sentence)
        self.not_of |= {a for p in sentence.pieces for a in self._only_denied(p)}
        self.unfed = self.unfed or self._as_a_boat_runs(sentence)
        self.trial_over = self.trial_over or self.unfed
        self.carried_cues, self.label_cues, self.sided_cues = set(), set(), set()
        sides = [i for p in sentence.pieces for i in p.items if i.sort in ("side", "family", "scene")]
        self.sided = any(plain_sides(i.sides) or (i.sort == "side" and i.data.name in SIDES) for i in sides)
        figures = [i for p in sentence.pieces for i in p.items if i.sort in ("number", "range", "change")]
        self.reads, self.pieces_here = bool(figures), sentence.pieces
        self.heading = self._heading_of(sentence.pieces)
        self.units_here = {i.data.unit for i in figures if i.data.unit}
        self.timed = any(i.sort == "number" and i.data.unit == "s" for p in sentence.pieces for i in p.items)
        if self.timed and any(p.opener == "then" and self._gives_up(p) for p in sentence.pieces[1:]):
            self.cues.add(self._stopping("cue"))
        self.modifiers = self._modifiers(sentence)
        self.marks_told += [n for n in self.modifiers if not any(p.marks("not") or p.silent for p in sentence.pieces)]
        self._stand_on(sentence)

    def _stand_on(self, sentence: Sentence) -> None:
        """A scene that was a sentence of its own goes on until another is named."""
        scenes = [i for p in sentence.pieces for i in p.items if i.sort == "scene" or i.scene is not None]
        if scenes:
            alone = all(i.sort in ("scene", "mark", "word") for p in sentence.pieces for i in p.items)
            view = self._view(sentence.pieces[0]) if alone and len(sentence.pieces) == 1 else None
            self.standing = (set(view.scene), view.way, view.scene_sides) if view else (set(), "", ())
        else:
            scene, way, sides = self.standing
            self.forward, self.forward_way, self.forward_sides = set(scene), way, sides

    def _paired(self, view: View) -> None:
        """`Posts 12.7 rest / 11.9 load, studs 12.6 / 9.4`: the second pair was read as the first one was."""
        if view.piece.opener != "slash" or view.has_scene or len(self.drafts) - self.sentence_start < 4:
            return
        one, other, first, second = self.drafts[-4:]
        pairs = [(d.about, d.what) for d in (one, other, first, second)]
        if pairs[0] != pairs[1] or pairs[2] != pairs[3] or pairs[0][1] != pairs[2][1]:
            return
        if one.scene and other.scene and one.scene != other.scene and not second.scene:
            first.scene, second.scene = set(one.scene), set(other.scene)

    def _named_late(self, view: View) -> None:
        """`Not loose, not hot: the minus cable`: what was said before the thing was named is of that thing."""
        waiting = [said for said in self.unsaid if said[0] is not view]
        if not waiting or not view.named:
            return
        self.unsaid = []
        if len(self._things(view)) > 1 or not (view.piece.opener in ("colon", "dash") or not self._claims(view.piece)):
            return
        for earlier, at, item, flip in waiting:
            words = self.text[item.start : item.end]
            self.unclear = [u for u in self.unclear if u.words != words]
            self._state(earlier, at, item, flip)

    def _modifiers(self, sentence: Sentence) -> list[str]:
        """What in a sentence makes its claims others: marks, cues, marks that say more together, a stop told before."""
        settings, known = self.words.settings, self.words.modifiers
        marks = [i.data.name for p in sentence.pieces for i in p.items if i.sort == "mark"]
        said = {*marks, *self.cues}
        together = [name for name, parts in (settings.get("together") or {}).items() if set(parts.split()) <= said]
        stopped = self._stopping("cue") in self.cues or any(d.what in names_in(settings, "stops") for d in self.drafts)
        apart = [p for p in sentence.pieces if not p.silent and not self._claims(p) and not p.has("part", "family")]
        self.apart = {i.data.name for p in apart for i in p.items if i.sort == "mark"}
        self._look_behind(sentence)
        self.apart |= {name for p in apart for i in p.items if i.sort == "scene" for name in i.data.while_}
        scenes = [name for p in sentence.pieces for i in p.items if i.sort == "scene" for name in i.data.while_]
        found = [
            *marks,
            *(name for name in scenes if name in self._words_in("here_only")),
            *self.cues,
            *together,
            *sorted(self.apart),
            *self.rested,
            *([self._stopping("makes")] if stopped else []),
        ]
        self.rested = (
            [] if any(self._claims(p) for p in sentence.pieces) else [m for m in marks if m in self._carried()]
        )
        return [name for name in dict.fromkeys(found) if name in known]

    def _look_behind(self, sentence: Sentence) -> None:
        """Which marks stand only behind a `but` that claims something: they say nothing of what was told before it."""
        at = next((n for n, p in enumerate(sentence.pieces) if n and p.opener == "but" and self._claims(p)), None)
        before, behind = sentence.pieces[: at or 0], sentence.pieces[at] if at else None
        marks = {i.data.name for p in before for i in p.items if i.sort == "mark"}
        said = behind.items if behind is not None else []
        self.only_behind = {i.data.name for i in said if i.sort == "mark"} - marks
        self.behind_at = behind.items[0].start if behind is not None else 0

    def _gives_up(self, piece: Piece) -> bool:
        """Whether a piece says in so many words that nothing comes any more."""
        sayings = next((i.data for i in piece.items if i.sort == "state"), ())
        told = [(s.negates, s.means.get(s.default or "", ())) for s in sayings]
        return any(none or any(w in self.words.trial.split and v == "no" for w, v in whole) for none, whole in told)

    def _carried(self) -> frozenset[str]:
        """Marks that change what the next sentence claims too (`Let it cool. Still nothing.`)."""
        return names_in(self.words.settings, "carried")

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
        sides = tuple(dict.fromkeys([s for _, s in view.sides if s in SIDES] + named))
        self.side_before = sides if len(sides) == 1 else self.side_before if not sides else ()
        if tried and len(sides) == 1:
            self.inherited = sides
        elif sides or not tried:
            self.inherited = ()

    def _is_description(self, sentence: Sentence) -> bool:
        """Whether something in the sentence says what the boat and her gear are."""
        said = names_in(self.words.settings, "descriptive")
        states = [s for p in sentence.pieces if not p.silent for i in p.items if i.sort == "state" for s in i.data]
        return any(what in said for s in states for what, _ in s.tells)

    def _silent(self, piece: Piece) -> None:
        self._warn(piece)
        self.put_off = self.put_off or any(
            is_mark(i, "plan", "unable", "unknown", "question", "why") for i in piece.items
        )
        # `it should be a 250 A fuse, it's a 150`, `can't get a clip on the coil, its terminal is green`
        if piece.marks("unknown") or piece.marks("expected") or piece.marks("unable"):
            named = [i.data.about for i in piece.items if i.sort == "part" and i.data.about]
            named += [
                i.data.members(self._sides_beside(piece.items, n)[0])
                for n, i in enumerate(piece.items)
                if i.sort == "family" and self._sides_beside(piece.items, n)[0]
            ]
            self.subject, self.subject_here = (named[-1], True) if named else (self.subject, self.subject_here)
            self.age = 0 if named else self.age
        if piece.marks("unable"):
            self._cannot(piece.items)

    def _set_aside(self, sentence: Sentence, number: int) -> bool:
        """Whether a piece states nothing of its own: it takes back or denies what was told, or is in no mood for it."""
        piece = sentence.pieces[number]
        if self._points_back(piece):
            return True
        if self._retract(piece) or self._takes_back(piece, number) or self._not_so(sentence, number):
            return True
        if not piece.silent:
            return False
        self._silent(piece)
        if sentence.question and len(sentence.pieces) == 1 and not piece.has("state", "number", "scene"):
            parts = [i.data.about for i in piece.items if i.sort == "part" and i.data.about]
            self.subject, self.subject_here = parts[0] if len(parts) == 1 else (), False  # `the big switch? it's off`
            self.age = 0
        following = sentence.pieces[number + 1] if number + 1 < len(sentence.pieces) else None
        if piece.marks("quoted") and following is not None and self._goes_against(following):
            following.opener = "but"
            self._quote(piece, number)
        return True

    def _takes_back(self, piece: Piece, number: int) -> bool:
        """`Forget the wet plug`: what is described was told before, and is taken back."""
        lead = next(
            (i for i in piece.items if not (i.sort == "word" or is_mark(i, "polite", "no", "ok", "pronoun"))), None
        )
        order = is_mark(lead, "take_back") or (lead is not None and lead.sort == "ask" and lead.data.name == "withdraw")
        meant = any(is_mark(i, "plan", "if", "question", "unable") for i in piece.items)
        if (piece.silent and meant) or not order or not piece.has("state", "number"):
            return False
        self._quote(piece, number)
        gone = {(d.about, d.what) for d in self.said}
        self.taken_back += self.said
        self.subject, self.subject_here, self.last = (), False, ()  # what follows is why, and not of the part
        self.drafts = [d for d in self.drafts if (d.about, d.what) not in gone]
        return bool(gone)

    def _quote(self, piece: Piece, number: int) -> None:
        """Read what was only quoted, so that `but it isn't` knows what is not so; it counts for nothing itself."""
        before, asked = list(self.drafts), list(self.unclear)
        self._read(self._view(piece), number)
        self.said = self.drafts[len(before) :]
        self.drafts, self.unclear = before, asked

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
        if not view.has_scene or view.scene_first or new == self.sentence_start:
            return
        if view.piece.opener != "and" and (view.piece.opener not in ("comma", "cut") or view.way):
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
            if number + 1 < len(sentence.pieces) and len(self.drafts) == self.sentence_start:
                self.doubt_next = True
            elif (len(self.drafts) > self.sentence_start or number == 0) and not view.named and not self._strange(view):
                start = self.sentence_start if len(self.drafts) > self.sentence_start else max(0, len(self.drafts) - 1)
                for draft in self.drafts[start:]:
                    draft.certain = False
        elif view.has_scene and last < 0 and self.answer is not None and self.answer.scenes & view.scene:
            for draft in self.drafts[: self.sentence_start]:
                if draft.about in self.answer.about and not draft.scene & self.answer.scenes:
                    self._dress(draft, view.scene, "", ())
        elif view.has_scene and last >= 0 and not self._claims(piece) and not self._is_step(sentence, number):
            own = bool(self._strangers(piece.items))
            settings = self.words.settings
            readings = {name for key in ("listed", "directed", "takers") for name in names_in(settings, key)}
            for draft in self._just_told():
                if own and draft.what not in readings:  # `the lug is loose, it sparks when it runs`
                    continue
                self._dress(draft, view.scene, view.way, view.scene_sides)

    def _is_step(self, sentence: Sentence, number: int) -> bool:
        """`…, I give it left, I get a clunk`: what was done next belongs to what comes after it."""
        scene = next((i for i in sentence.pieces[number].items if i.sort == "scene"), None)
        clause = scene is None or scene.text.split()[0] in names_in(self.words.settings, "clause_words")
        return not clause and number + 1 < len(sentence.pieces)

    def _just_told(self) -> list[Draft]:
        """What the last piece with a claim told, and the readings listed right before it."""
        told = self.drafts[max(self.sentence_start, self.piece_start) :]
        listed = names_in(self.words.settings, "listed")
        for draft in reversed(self.drafts[self.sentence_start : self.piece_start]):
            if draft.what not in listed or (told and told[0].what not in listed):
                break
            told = [draft, *told]
        return told

    def _goes_on_denying(self, piece: Piece) -> bool:
        """`It does not click or turn`, `no grinding or racing`: what stands behind the `or` is denied as well."""
        first, last = piece.items[0], self.before.items[-1] if self.before is not None else None
        listed = first.sort == "state" and piece.opener == "or" and last is not None and last.sort in ("state", "mark")
        says_no = listed and last is not None and last.text.partition(" ")[0] in self._words_in("negators")
        return says_no or (self.carried_not and (piece.opener == "or" or self.goes_on))

    def _read(self, view: View, number: int) -> None:
        piece = view.piece
        if piece.fixes:
            self._correct(view)
        if piece.marks("which_side") and self._which_side(view):
            return
        if self.answer is not None and self.answer.side_means and view.sides and piece.marks("yes"):
            self._side_claim(view, False, True)
        negated = self._goes_on_denying(piece)
        self.carried_not = False
        consumed_not = False
        nots: list[Item] = []
        made, asked = 0, len(self.unclear)
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
                if self._says_how(piece, at) or self._becomes(piece, at) or self._nothing_done(piece.items, at):
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
                doubts, told = len(self.unclear), made
                made += self._state(view, at, item, flip)
                if made and is_particle(item):
                    del self.unclear[doubts:]  # `new contactor in`: all was said before it
                self.carried_not = flip
                if nots and not self._only_came(piece, at, made > told):
                    consumed_not = True
                    nots = []
            elif item.sort in ("number", "range", "change"):
                if self._stop_denied(piece, at):
                    continue
                if nots and nots[-1].end <= item.start and _next_to(piece.items, nots[-1], item):
                    made += self._none_of(view, at, item)
                    nots = []
                    consumed_not = True
                    continue
                made += self._number(view, at, item)
        if made and piece.has("number", "range", "change"):
            self._answered_by_figure(asked)
        before = len(self.drafts)
        self._agree(view, made)
        self._part_of_work(len(self.drafts) - made)
        self._both_ways(view, len(self.drafts) - made)
        made += self._no_more(view, len(self.drafts) - made)
        gone = before - len(self.drafts)
        if nots and not consumed_not and made and self._dangles(piece, nots[-1]):
            made = self._doubt_denied(made, nots[-1])
            consumed_not = True
            if not made:
                return
        left = made - gone
        self._doubts_figure(piece, left)
        self._load(left)
        if left and piece.opener == "or":
            self._either(len(self.drafts) - left)
        if left and piece.marks("now"):
            self._now(len(self.drafts) - left)
        if not made and view.bridged < 0:
            self._without_claim(view, bool(nots) and not consumed_not, nots)
        self._speak_of(view, made, bool(nots) and not consumed_not and not made)
        told_on = made and piece.opener == "and" and not view.named and not piece.marks("pronoun")
        self.age += not told_on  # `hot and wet and smells burnt` goes on about the same thing
        if view.has_scene and (view.scene_first or not made):
            self.forward = set(view.scene)
            self.forward_way, self.forward_sides = view.way, view.scene_sides
            self.forward_at = -1 if made else len(self.drafts)
        elif view.has_scene:
            listed = made and self.drafts and self.drafts[-1].what in names_in(self.words.settings, "listed")
            self.trailing = (view.scene if listed else set(), view.way, view.scene_sides)

    def _dangles(self, piece: Piece, no: Item) -> bool:
        """Whether a negation stands before words that nobody knows, so that it may deny what was said before it."""
        at = piece.items.index(no)
        before = piece.items[at - 1] if at else None
        if before is None or before.sort != "mark" or before.data.name != "auxiliary":
            return False
        after = [i for i in piece.items[at + 1 :] if i.sort in ("state", "word", "part", "side")]
        strange = bool(after) and after[0].sort == "word" and after[0].text not in self.words.light
        return strange or (bool(after) and after[0].sort == "state")

    def _doubt_denied(self, made: int, no: Item) -> int:
        """Take back the yes or no right before a negation that belongs to nobody knows what, and ask."""
        last = self.drafts[-1] if self.drafts else None
        if last is None or not isinstance(last.value, bool) or last.end > no.start:
            return made
        self.drafts.pop()
        self._question("negation", Item("state", None, last.start, no.end))
        return made - 1

    def _which_side(self, view: View) -> bool:
        """`It only runs one way`: nothing counts before it is known which."""
        mark = view.piece.marks("which_side")[0]
        settings, split = self.words.settings, self.words.trial.split
        sided = {*names_in(settings, "follows_press"), *split}
        states = [s for i in view.piece.items if i.sort == "state" for s in i.data]
        told = any(what in sided for s in states for what, _ in s.tells)
        twice = sum(bool(p.marks("which_side")) for p in self.pieces_here) > 1  # `one way dead, one way all right`
        if not told or (self.sided and not twice and not plain_sides(mark.sides)):
            return False
        first, last = view.piece.items[0], view.piece.items[-1]
        self._question("side", Item("state", None, first.start, last.end))
        return True

    def _speak_of(self, view: View, made: int, denied: bool) -> None:
        """Keep what a piece spoke of, for what follows it without a name."""
        piece = view.piece
        leads = piece.opener != "start" and self.subject_here and self._is_not(piece.items[0])
        names = piece.items[-1].sort in ("part", "family") or not piece.has("word")
        other = denied and leads and names and not piece.has("state")  # `on the plus cable, not the big minus one: 0.4`
        things = [] if other else self._things(view)
        plain = piece.label and not made and not piece.has("state", "scene") and not piece.marks("same")
        plain = plain and not piece.marks("compare")
        self.labelled = plain and (bool(things and things[-1].about) or (other and self.subject_here))
        self.far_side = self.far_side and not view.named
        if things and things[-1].about:
            self.subject, self.subject_here = things[-1].about, True
            self.spoken = things[-1].item.data if things[-1].item.sort == "part" else None
            self.age = 0
        elif view.named and not other and view.named[-1].item.data.upstream:
            # `12.6 into the fuse, nothing out`: what follows is of the part, though the first figure was not
            self.subject, self.subject_here, self.elsewhere = (view.named[-1].item.data.upstream,), True, False
            self.far_side = True
        elif view.named and not other:
            self.subject, self.subject_here = (), False

    def _correct(self, view: View) -> None:
        """Figures and states that the piece says again replace the earlier ones of this text."""
        self.pending.clear()
        self.fixed = True
        if any(m.data.scope == "gone" for m in view.piece.marks("correction")) and self.drafts:
            self.drafts.pop()
        self.wrong = len(self.drafts)
        marks = view.piece.marks("correction")
        hard = any(m.data.scope not in ("soft", "swap") for m in marks) if marks else self.put_right
        self.put_right = hard and not view.piece.marks("also")
        if not self.drafts and any(m.data.scope != "soft" for m in view.piece.marks("correction")):
            self.corrects = True
            figure = any(i.sort in ("number", "range") for i in view.piece.items)
            if figure and not view.named and last_figure(self.heard.recent):
                self.answer = None  # the figure told last is put right; what was asked since is not answered by it


def _goes_on(sentence: Sentence, number: int) -> bool:
    """Whether a piece stands in the middle of a list that ends in `or` (`not hot, loose or chafed`)."""
    for at in range(number, len(sentence.pieces)):  # looks no farther than the list goes: a text may be all commas
        piece = sentence.pieces[at]
        if piece.opener == "or" and at > number:
            return True
        if piece.items[0].sort != "state":
            return False
        if piece.opener != "comma":
            return piece.opener == "or" and at > number
    return False


def _next_to(items: Sequence[Item], one: Item, other: Item) -> bool:
    a, b = items.index(one), items.index(other)
    return all(i.sort == "mark" for i in items[a + 1 : b])
