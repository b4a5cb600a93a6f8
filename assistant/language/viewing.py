"""Taking a piece apart: parts, sides, circumstances and test wires."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from assistant.knowledge.model import SIDES
from assistant.language.bridging import find_bridging, pin_of, tells_of
from assistant.language.drafts import Draft
from assistant.language.items import Item, is_mark, is_particle, scene_of
from assistant.language.meanings import Family, PartName
from assistant.language.pieces import Piece
from assistant.language.recall import spoken_of
from assistant.language.talk import TalkState
from assistant.language.tokens import tokenise
from assistant.language.views import Group, Named, View, base_of, is_cue, names_in, plain_sides


class Viewing(TalkState):
    """Taking a piece apart: parts, sides, circumstances and test wires."""

    def _view(self, piece: Piece) -> View:
        view = View(piece)
        self.of_pair = False
        items = piece.items
        used = self._families(view)
        self._bridge(view)
        for at, item in enumerate(items):
            if item.sort == "part" and at != view.end_at:
                self._name(view, at, item)
            elif item.sort == "side" and at not in used:
                self._side(view, at, item)
            elif item.sort == "scene" or (item.scene is not None and self._beside(items, at)):
                before = items[at - 1] if at else None
                if before is None or before.sort != "part" or before.data.about or before.data.end:
                    self._scene(view, at, item)
            elif is_cue(item):
                view.cues.add(item.data.name[4:])
            elif (
                item.sort == "mark"
                and item.data.name in self._scenes_of_marks()
                and (piece.has("number") or (piece.label and self.reads))
            ):
                view.has_scene = True
                view.scene |= names_in(self._scenes_of_marks(), item.data.name)
            elif is_mark(item, "over") and item.text in self._words_in("along") and self._along(items, at):
                view.cues.add("lost")
            elif item.sort == "state" and self._tells_of_run(item):
                view.cues.add("ran")
            elif item.sort == "state" and self.reads:
                view.cues |= {s.cue for s in item.data if s.cue and s.without_figure}
        view.named.sort(key=lambda n: n.at)
        self._join_names(view)
        return view

    def _scenes_of_marks(self) -> Mapping[str, Any]:
        """What says beside a figure when it was read, and elsewhere what came after (`12.4 once he let go`)."""
        return self.words.settings.get("mark_scenes") or {}

    def _tells_of_run(self, item: Item) -> bool:
        """Whether a state says that the whole ran, so that a time beside it is how long."""
        split, whole = self.words.trial.split, str(self.words.settings.get("whole"))
        return any(what in split for s in item.data for what, _ in s.means.get(whole, ()))

    def _along(self, items: Sequence[Item], at: int) -> bool:
        """Whether `over` means along: behind a figure, or before a part and no figure."""
        after = items[at + 1] if at + 1 < len(items) else None
        return bool(at and items[at - 1].sort == "number") or (after is not None and after.sort == "part")

    def _name(self, view: View, at: int, item: Item) -> None:
        data: PartName = item.data
        about = data.about
        if item.figure is not None and about and about[0].endswith("_"):
            about = (f"{about[0]}{item.figure}",)
        if data.follows:
            owner = self._owner(view, at, data)
            if data.needed and not owner:
                view.named += [Named(at, (), item)] if data.unknown else []
                return
            about = owner if owner and set(about) <= set(data.follows) else about
            kin = self.words.settings.get(data.kin or "") or {}
            about = tuple(str(kin.get(a, a)) for a in owner) if data.kin and owner else about
        if data.upstream:
            self.upstream = (data.upstream,)
        if self.answer is not None and self.answer.way and set(item.text.split()) <= self._words_in("of_either"):
            view.sides += [(at, s) for s in SIDES]
            return
        about = self._called(about)
        before = view.piece.items[at - 1] if at else None
        if not is_mark(before, "not"):
            self._describe(item)
        if (data.end and not about) or (before is not None and before.sort == "mark" and before.data.name == "compare"):
            return
        view.named.append(Named(at, about, item))

    def _describe(self, item: Item) -> None:
        """A description inside a noun counts (`the coil wire of the remote isolator`)."""
        for phrase, claim in (self.words.settings.get("described") or {}).items():
            if f" {phrase} " in f" {item.text} ":
                subject, value = str(claim).split()
                about, what = subject.split(".")
                if not any((d.about, d.what) == (about, what) for d in self.drafts):
                    self.drafts.append(Draft(about, what, value, item.start, item.end))

    def _owner(self, view: View, at: int, data: PartName) -> Group:
        """The part that a lug or terminal belongs to: the one named right before, or the cable spoken of."""
        if view.named and view.named[-1].at == at - 1:
            return view.named[-1].about
        spoken = view.named[-1].about if view.named else self.subject if self.subject_here else ()
        named = any(d.about in data.follows for d in self.drafts)
        if not spoken and not named and not (self.answer and set(self.answer.about) & set(data.follows)):
            spoken = spoken_of(self.heard.recent)  # `the lug is loose`, behind a line about the minus cable
        if (data.needed or data.kin) and not spoken:
            spoken = self.upstream or (self.answer.about if self.answer is not None else ())
            spoken = spoken if set(spoken) <= set(data.follows) and spoken else spoken_of(self.heard.recent)
        return spoken if set(spoken) <= set(data.follows) else ()

    def _side(self, view: View, at: int, item: Item) -> None:
        name = item.data.name
        if name == "neither" and any(is_mark(i, "not") for i in view.piece.items[:at]):
            return  # `no click neither`
        first = not any(i.sort in ("state", "part") for i in view.piece.items[:at])
        if name in ("both", "neither") and first and self._stations() and view.piece.opener != "start":
            self.of_pair = True
            return  # `both panels drive it to port, neither drives it to starboard`
        after = view.piece.items[at + 1] if at + 1 < len(view.piece.items) else None
        pair = any(n.item.sort == "part" and len(n.about) == 2 for n in view.named)
        ways = set(item.text.split()) & names_in(self.words.settings, "direction_words")
        if name in ("both", "neither") and not ways and (pair or (after is not None and after.sort == "part")):
            place = after.data.about if after is not None and after.sort == "part" and self.answer is not None else ()
            if place and self.answer is not None and set(place) <= self.answer.read_at:
                view.sides += [(at, s) for s in SIDES]  # `0 on both pins`, where the signals are asked for
            return
        if name == "both" and not ways and after is not None and after.sort == "range":
            return  # `either 12.1 or 12.7`
        other = any(n != at and i.sort == "side" and i.data.name in SIDES for n, i in enumerate(view.piece.items))
        other = other or any(len(plain_sides(i.sides)) == 1 for i in view.piece.items if i.sort == "scene")
        if name == "both" and not ways and other:
            return  # `a third fuse, each one popped on a port command`
        if name == "only":
            view.only = True
        elif name in ("both", "neither"):
            view.sides += [(at, s) for s in SIDES]
        else:
            view.sides.append((at, name))

    def _stations(self) -> bool:
        """Whether two things that have no side were last spoken of, so that `neither` is of them."""
        known = names_in(self.words.settings, "no_sides")
        return self.subject_here and len(self.subject) > 1 and all(base_of(a) in known for a in self.subject)

    def _spoken_of(self) -> Group:
        """What was last spoken of in this sentence (`… and its lead bridged to motor negative`)."""
        return self.subject if self.subject_here else ()

    def _bridge(self, view: View) -> None:
        """Tell of a test wire, and let what was tried with it carry its circumstance."""
        items = view.piece.items
        if view.piece.opener in ("colon", "dash", "comma", "but", "then") and self._link_gone(view.piece):
            self.tried = ("", ())
            view.bridged = len(self.text)
            return
        bound = {id(n.item): tuple("port" if a == n.item.data.port else "starboard" for a in n.about)
                 for n in view.named if n.item.sort == "family"}  # fmt: skip
        found = find_bridging(items, [bound.get(id(i), ()) for i in items], self.words, self._spoken_of())
        if found is None:
            self._to_other_end(view)
            return
        if found.deed != "scene" and self._denied(items, found.end, found.deed):
            return
        if self.with_before and view.piece.opener == "and" and found.scene and found.deed == "fitted":
            found = replace(found, deed="scene")
        self.wire_here = found.value
        view.bridged = len(self.text) if found.deed == "removed" else found.end
        view.end_at = next((n for n in range(len(items)) if pin_of(items, n, self.words)), -1)
        if found.deed != "scene":
            draft = Draft("bridge", found.deed, found.value, found.start, found.end)
            draft.certain = not view.piece.doubted
            self.drafts.append(draft)
        if found.deed == "removed":
            self.tried = ("", ())
        if found.deed != "removed" and found.scene is not None:
            view.has_scene, view.scene_first = True, True
            side = next((s for s in SIDES if found.scene.endswith(s)), None)
            if side is None:
                view.scene.add(found.scene)
                self.setup.add(found.scene)
            else:
                view.way = found.scene.removesuffix("_" + side)
                view.scene_sides = (*view.scene_sides, side)
                self.tried = (view.way, (side,))

    def _denied(self, items: Sequence[Item], end: int, deed: str) -> bool:
        """`Control plus never touched the signal`: a wire that is denied was not fitted; one not taken off is asked."""
        nots = [i for i in items if is_mark(i, "not") and i.data.scope != "ended" and i.start < end]
        nots += [
            i for n, i in enumerate(items) if is_mark(i, "not") and i.start >= end and _ends_or_fits(items[n + 1 :])
        ]
        if nots and deed == "removed":
            self._question("bridged", Item("state", None, nots[0].start, end))
        return bool(nots)

    def _to_other_end(self, view: View) -> None:
        """`To the starboard signal: click`: the wire that was tried before, held to another end."""
        way, _ = self.tried
        items = view.piece.items
        ends = [(n, e) for n, i in enumerate(items) for e in self._ends_at(view, n)]
        if not way or len(ends) != 1:
            return
        leading = items[: ends[0][0] + 1]
        others = [i for i in leading if i.sort not in ("side", "family", "part", "word")]
        leads = any(i.sort == "side" and " " in i.text for i in leading) or bool(others)
        away = names_in(self.words.settings, "link_gone")
        gone = any(is_particle(i) or set(i.text.split()) & away for i in items[len(leading) :])  # `… is out again`
        if gone or not leads or not all(is_mark(i, "to", "at", "then", "and", "touch") for i in others):
            return
        place, end = ends[0]
        scenes = self.words.bridge_scenes
        known = [scenes[v] for v, pairs in self.words.bridges.items() if v in scenes and any(end in p for p in pairs)]
        side = next((s for s in SIDES if f"{way}_{s}" in known), None)
        if side is not None:
            view.way, view.scene_sides, view.has_scene, view.scene_first = way, (side,), True, True
            view.named = [n for n in view.named if n.at != place]
            view.bridged, view.end_at = items[place].end, place
            self.tried = (way, (side,))

    def _ends_at(self, view: View, place: int) -> tuple[str, ...]:
        """The end of a test wire that an item names."""
        pair = next((n.about for n in view.named if n.at == place and n.item.sort == "family"), ())
        return pin_of(view.piece.items, place, self.words) or pair

    def _link_gone(self, piece: Piece) -> bool:
        """`Link from plus to the port signal: out`: the test wire that was just named is there no more."""
        last = self.drafts[-1] if self.drafts else None
        gone, with_it = (names_in(self.words.settings, name) for name in ("link_gone", "link_gone_with"))
        if last is None or (last.about, last.what) != ("bridge", "fitted"):
            return False
        said = [set(i.text.split()) for i in piece.items if i.sort != "mark"]
        if not all(words <= gone | with_it for words in said) or piece.has("number") or piece.marks("not"):
            return False
        if piece.opener not in ("colon", "dash") and not any(words & gone for words in said):
            return False
        last.what, last.end = "removed", piece.items[-1].end
        return True

    def _beside(self, items: Sequence[Item], at: int) -> bool:
        """Whether something else is claimed in the same piece, so that this sets the scene."""
        scene = items[at].scene
        if self.answer is not None and scene is not None and self.answer.scenes & set(scene.while_):
            return True
        if scene is not None and scene.way and (is_mark(items[at - 1] if at else None, "when") or self._was_read()):
            return True
        if scene is not None and scene.if_asked:
            return False
        return any(
            i.sort in ("number", "range", "change") or (i.sort == "state" and i.scene is None and not is_particle(i))
            for n, i in enumerate(items)
            if n != at
        )

    def _was_read(self) -> bool:
        """Whether the last claim of this sentence is a reading, so that `…, going to port` says how it was taken."""
        told = self.drafts[self.sentence_start :]
        return bool(told) and told[-1].what in names_in(self.words.settings, "listed")

    def _scene(self, view: View, at: int, item: Item) -> None:
        scene = scene_of(item)
        if scene is None:
            return
        figure = view.piece.has("number", "range")
        if scene.press and not plain_sides(item.sides) and not scene.side and not figure and self._wakes():
            return  # `the lamp stays out when I press long`: what is pressed is the button that wakes the panel
        view.has_scene = True
        self.scenes_named += [(name, item) for name in scene.while_]
        of = [about for (about, _, _), name in self.words.trial.reports.items() if name in scene.while_]
        self.upstream = self.upstream or tuple(of[:1])  # `with the switch off, 12 V behind it`
        if not self._claim_before(view.piece, at):
            view.scene_first = True
        view.scene |= set(scene.while_)
        sides = plain_sides(item.sides) or ((scene.side,) if scene.side in SIDES else ())
        if scene.side == "both" and not sides:
            sides = SIDES
        if scene.way:
            view.way = scene.way
            view.scene_sides = tuple(dict.fromkeys((*view.scene_sides, *sides)))

    def _wakes(self) -> bool:
        """Whether the test asks for something that a press of any button should wake, and no reading of it."""
        answer = self.answer
        if answer is None or answer.number or answer.way or not answer.about:
            return False
        sideless = names_in(self.words.settings, "no_sides")
        return not answer.side_means and all(base_of(a) in sideless for a in answer.about)

    def _claim_before(self, piece: Piece, at: int) -> bool:
        return any(i.sort in ("state", "number", "range", "change") for i in piece.items[:at])

    def _families(self, view: View) -> set[int]:
        """Bind sides to the nouns that come in pairs (`port coil`)."""
        items = view.piece.items
        used: set[int] = set()
        for at, item in enumerate(items):
            if item.sort != "family":
                continue
            family: Family = item.data
            sides = plain_sides(item.sides)
            if not sides:
                sides, places = self._sides_beside(items, at)
                used |= places
            spoken = () if self._labelled_side() else self._one_of(view, family)
            if sides:
                about: Group = family.members(sides)
            elif spoken:
                about = spoken
            elif self.topic_sides:
                about = family.members(self.topic_sides)
            elif self.answer is not None and self.answer.family is family:
                about = family.members(SIDES)
            elif len(self._last_sides()) == 1:
                about = family.members(self._last_sides())
            else:
                about = (family.alone,) if family.alone else family.members(SIDES)
            if sides and self._feeds(items, at, family):
                view.way, view.scene_sides, view.has_scene = self.answer.way or "", sides, True  # type: ignore[union-attr]
                continue
            one = len(about) > 1 and not (sides or spoken or self._is_plural(items, at))
            view.named.append(Named(at, self._called(about), item, one))
            if sides and self.answer is not None and self.answer.side_means:
                self.topic_sides = sides
        return used

    def _labelled_side(self) -> bool:
        """`Port: coil 28, starboard: coil 27`: a side that was just named labels what follows."""
        before = self.before.items if self.before is not None else []
        return bool(self.topic_sides) and bool(before) and all(i.sort == "side" for i in before)

    def _is_plural(self, items: Sequence[Item], at: int) -> bool:
        """`The coils read 28`, `nothing on either coil`: both of a pair."""
        either = at > 0 and set(items[at - 1].text.split()) <= self._words_in("of_either")
        written = tokenise(self.text[items[at].start : items[at].end])
        return either or any(t.text in self._words_in("of_a_pair") for t in written)

    def _feeds(self, items: Sequence[Item], at: int, family: Family) -> bool:
        """`11.2 off the port coil`, where what is fed is one of them and something else is read."""
        settings, answer = self.words.settings, self.answer
        if answer is None or not answer.number or answer.way not in names_in(settings, "strong_ways"):
            return False
        before = [i for i in items[:at] if i.sort != "side"][-1:]
        return family is not answer.family and bool(before) and before[0].text in names_in(settings, "fed_by")

    def _one_of(self, view: View, family: Family) -> Group:
        """`The starboard coil has 12 and that coil doesn't click`: the one of the pair that was just spoken of."""
        groups = [n.about for n in view.named if n.item.sort == "family"] or [self.subject if self.subject_here else ()]
        return groups[-1] if set(groups[-1]) <= {family.port, family.starboard} else ()

    def _sides_beside(self, items: Sequence[Item], at: int) -> tuple[tuple[str, ...], set[int]]:
        for step, reach in ((-1, 1), (1, 3)):
            place = at + step
            while 0 <= place < len(items) and abs(place - at) <= reach:
                item = items[place]
                if item.sort == "side" and item.data.name != "only":
                    name = item.data.name
                    return (SIDES if name in ("both", "neither") else (name,)), {place}
                if item.sort in ("state", "number", "part", "family", "range", "scene"):
                    break
                place += step
        before = items[at - 1] if at else None
        if before is not None and before.sort in ("scene", "state") and len(plain_sides(before.sides)) == 1:
            return plain_sides(before.sides), set()  # `bridged to the port` + `run wire`
        loose = [p for p, i in enumerate(items) if i.sort == "side" and i.data.name != "only"]
        families = sum(i.sort == "family" for i in items)
        if len(loose) == 1 and families == 1:
            name = items[loose[0]].data.name
            return (SIDES if name in ("both", "neither") else (name,)), {loose[0]}
        return (), set()

    def _claims(self, piece: Piece) -> bool:
        return any(
            i.sort in ("number", "range", "change")
            or (
                i.sort == "state"
                and not (i.scene is not None and self._beside(piece.items, n))
                and not (self.reads and all(s.without_figure for s in i.data))
            )
            for n, i in enumerate(piece.items)
        )

    def _join_names(self, view: View) -> None:
        """Names that follow each other directly speak of the same thing; the nearer one says which."""
        if not view.named:
            return
        self.elsewhere = not view.named[-1].about


def _ends_or_fits(behind: Sequence[Item]) -> bool:
    """Whether nothing stands behind a denial but that a wire was put in (`was not fitted`)."""
    first = behind[0] if behind else None
    return first is None or (
        len(behind) == 1 and (tells_of(first, "fitted") or first.sort == "word" or is_mark(first, "join"))
    )
