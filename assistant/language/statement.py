"""What a text states: subjects, claims and circumstances of each piece, and the thread from one to the next."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from assistant.facts.model import Bound, RawFact, Value
from assistant.language.bridging import find_bridging
from assistant.language.drafts import Draft, fold_runs, to_facts
from assistant.language.items import Item
from assistant.language.meanings import Answer, Claim, Family, Measure, PartName, Saying, Scene
from assistant.language.pieces import Piece, Sentence
from assistant.language.recall import corrected_figure, other_side
from assistant.language.reading import Heard, Reading, Unclear
from assistant.language.units import Quantity
from assistant.language.words import Words

class _NothingToSay(Exception):
    """The words are known of this part, and say nothing that the vocabulary could hold."""


_BOTH = ("port", "starboard")
Group = tuple[str, ...]


@dataclass(slots=True)
class Named:
    """A subject group named in a piece, with its place among the items."""

    at: int
    about: Group
    item: Item


@dataclass(slots=True)
class View:
    """One piece taken apart."""

    piece: Piece
    named: list[Named] = field(default_factory=list)
    sides: list[tuple[int, str]] = field(default_factory=list)
    only: bool = False
    scene: set[str] = field(default_factory=set)
    way: str = ""
    scene_sides: tuple[str, ...] = ()
    scene_first: bool = False
    has_scene: bool = False
    cues: set[str] = field(default_factory=set)
    bridged: int = -1
    """Up to where a piece speaks of a test wire."""


class Talk:
    """Reads the pieces of one text in order."""

    def __init__(self, text: str, heard: Heard, words: Words) -> None:
        """Start with nothing said."""
        self.text = text
        self.heard = heard
        self.words = words
        self.answer: Answer | None = words.answers.get(heard.asked or "")
        self.drafts: list[Draft] = []
        self.subject: Group = ()
        self.subject_here = False
        self.elsewhere = False
        self.last: tuple[Saying, ...] = ()
        self.pending: list[tuple[Quantity, Piece, Item, tuple[str, ...], str]] = []
        self.forward: set[str] = set()
        self.forward_way = ""
        self.forward_sides: tuple[str, ...] = ()
        self.topic_sides: tuple[str, ...] = ()
        self.setup: set[str] = set()
        self.bare: list[tuple[str, Item]] = []
        self.lone_sides: list[tuple[str, Item]] = []
        self.unclear: list[Unclear] = []
        self.ask: dict[str, object] | None = None
        self.cannot: str | None = None
        self.withdraw: list[str] = []
        self.undo = False
        self.sentence_start = 0
        self.carried_not = False
        self.doubt_next = False
        self.figures = 0
        self.fixed = False
        self.age = 9
        self.measured: Group = ()
        self.cues: set[str] = set()
        self.modifiers: list[str] = []
        self.timed = False

    # ------------------------------------------------------------------ sentences
    def sentence(self, sentence: Sentence) -> None:
        """Read one sentence."""
        self.forward, self.forward_way, self.forward_sides, self.topic_sides = set(), "", (), ()
        self.sentence_start = len(self.drafts)
        self.subject_here = False
        self.elsewhere = False
        if self._to_assistant(sentence):
            return
        self.cues = {i.data.name[4:] for p in sentence.pieces for i in p.items if _is_cue(i)}
        self.cues |= {
            s.cue for p in sentence.pieces for i in p.items if i.sort == "state" for s in i.data if s.cue
        }
        self.timed = any(
            i.sort == "number" and i.data.unit == "s" for p in sentence.pieces for i in p.items
        )
        if self.timed and any(p.opener == "then" and _gives_up(p) for p in sentence.pieces[1:]):
            self.cues.add("stop")
        self.modifiers = [
            i.data.name for p in sentence.pieces for i in p.items if i.sort == "mark" and i.data.name in self.words.modifiers
        ]
        last_fact_piece = -1
        for number, piece in enumerate(sentence.pieces):
            before = len(self.drafts)
            if piece.silent:
                self._silent(piece)
                continue
            if self.doubt_next:
                piece.doubted, self.doubt_next = True, False
            view = self._view(piece)
            self._read(view, number)
            made = len(self.drafts) - before
            if made:
                last_fact_piece = number
            self._afterthought(sentence, number, view, made, last_fact_piece)

    def _silent(self, piece: Piece) -> None:
        unable = piece.marks("unable")
        if unable and self.answer is not None and self.cannot is None:
            self.cannot = self.text[piece.items[0].start : piece.items[-1].end]

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

    def _claims(self, piece: Piece) -> bool:
        return any(
            i.sort in ("number", "range", "change")
            or (i.sort == "state" and not (i.scene is not None and self._beside(piece.items, n)))
            for n, i in enumerate(piece.items)
        )

    # ------------------------------------------------------------------ one piece
    def _view(self, piece: Piece) -> View:
        view = View(piece)
        items = piece.items
        used = self._families(view)
        self._bridge(view)
        for at, item in enumerate(items):
            if item.sort == "part":
                self._name(view, at, item)
            elif item.sort == "side" and at not in used:
                self._side(view, at, item)
            elif item.sort == "scene" or (item.scene is not None and self._beside(items, at)):
                if not (at and items[at - 1].sort == "part" and not items[at - 1].data.about):
                    self._scene(view, at, item)
            elif _is_cue(item):
                view.cues.add(item.data.name[4:])
            elif at and item.sort == "mark" and item.data.name == "over" and items[at - 1].sort == "number":
                view.cues.add("lost")
        view.named.sort(key=lambda n: n.at)
        self._join_names(view)
        return view

    def _name(self, view: View, at: int, item: Item) -> None:
        data: PartName = item.data
        about = data.about
        if item.figure is not None and about and about[0].endswith("_"):
            about = (f"{about[0]}{item.figure}",)
        if data.follows:
            about = self._owner(view, at, data) or about
        about = self._called(about)
        before = view.piece.items[at - 1] if at else None
        if (data.end and not about) or (before is not None and before.sort == "mark" and before.data.name == "compare"):
            return
        view.named.append(Named(at, about, item))

    def _owner(self, view: View, at: int, data: PartName) -> Group:
        """The part that a lug or terminal belongs to: the one named right before, or the cable spoken of."""
        if view.named and view.named[-1].at == at - 1:
            return view.named[-1].about
        spoken = view.named[-1].about if view.named else self.subject if self.subject_here else ()
        return spoken if set(spoken) <= set(data.follows) else ()

    def _called(self, about: Group) -> Group:
        if self.answer is None:
            return about
        return tuple(dict.fromkeys(self.answer.called.get(a, a) for a in about))

    def _side(self, view: View, at: int, item: Item) -> None:
        name = item.data.name
        if name == "neither" and any(i.sort == "state" for i in view.piece.items[:at]):
            return
        after = view.piece.items[at + 1] if at + 1 < len(view.piece.items) else None
        if name == "both" and after is not None and after.sort == "part":
            return
        if name == "only":
            view.only = True
        elif name in ("both", "neither"):
            view.sides += [(at, s) for s in _BOTH]
        else:
            view.sides.append((at, name))

    def _bridge(self, view: View) -> None:
        """Tell of a test wire, and let what was tried with it carry its circumstance."""
        items = view.piece.items
        bound = {id(n.item): tuple("port" if a == n.item.data.port else "starboard" for a in n.about)
                 for n in view.named if n.item.sort == "family"}  # fmt: skip
        found = find_bridging(items, [bound.get(id(i), ()) for i in items], self.words)
        if found is None:
            return
        view.bridged = len(self.text) if found.deed == "removed" else found.end
        if found.deed != "scene":
            draft = Draft("bridge", found.deed, found.value, found.start, found.end)
            draft.certain = not view.piece.doubted
            self.drafts.append(draft)
        if found.deed != "removed" and found.scene is not None:
            view.has_scene, view.scene_first = True, True
            side = next((s for s in _BOTH if found.scene.endswith(s)), None)
            if side is None:
                view.scene.add(found.scene)
                self.setup.add(found.scene)
            else:
                view.way = found.scene.removesuffix("_" + side)
                view.scene_sides = (*view.scene_sides, side)

    def _beside(self, items: Sequence[Item], at: int) -> bool:
        """Whether something else is claimed in the same piece, so that this sets the scene."""
        scene = items[at].scene
        if self.answer is not None and scene is not None and self.answer.scenes & set(scene.while_):
            return True
        return any(
            n != at and (i.sort in ("number", "range", "change") or (i.sort == "state" and i.scene is None))
            for n, i in enumerate(items)
        )

    def _scene(self, view: View, at: int, item: Item) -> None:
        scene: Scene = item.scene or item.data
        view.has_scene = True
        if not self._claim_before(view.piece, at):
            view.scene_first = True
        view.scene |= set(scene.while_)
        sides = _plain_sides(item.sides) or ((scene.side,) if scene.side in _BOTH else ())
        if scene.side == "both" and not sides:
            sides = _BOTH
        if scene.way:
            view.way = scene.way
            view.scene_sides = tuple(dict.fromkeys((*view.scene_sides, *sides)))

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
            sides = _plain_sides(item.sides)
            if not sides:
                sides, places = self._sides_beside(items, at)
                used |= places
            if sides:
                about: Group = family.members(sides)
            elif self.topic_sides:
                about = family.members(self.topic_sides)
            elif self.answer is not None and self.answer.family is family:
                about = family.members(_BOTH)
            elif len(self._last_sides()) == 1:
                about = family.members(self._last_sides())
            elif self.subject_here and set(self.subject) <= {family.port, family.starboard}:
                about = self.subject
            else:
                about = (family.alone,) if family.alone else family.members(_BOTH)
            view.named.append(Named(at, self._called(about), item))
            if sides and self.answer is not None and self.answer.side_means:
                self.topic_sides = sides
        return used

    def _last_sides(self) -> tuple[str, ...]:
        """The side that the last claim of this sentence named."""
        return self.drafts[-1].sides if len(self.drafts) > self.sentence_start else ()

    def _sides_beside(self, items: Sequence[Item], at: int) -> tuple[tuple[str, ...], set[int]]:
        for step, reach in ((-1, 1), (1, 3)):
            place = at + step
            while 0 <= place < len(items) and abs(place - at) <= reach:
                item = items[place]
                if item.sort == "side" and item.data.name != "only":
                    name = item.data.name
                    return (_BOTH if name in ("both", "neither") else (name,)), {place}
                if item.sort in ("state", "number", "part", "family", "range", "scene"):
                    break
                place += step
        loose = [p for p, i in enumerate(items) if i.sort == "side" and i.data.name != "only"]
        families = sum(i.sort == "family" for i in items)
        if len(loose) == 1 and families == 1:
            name = items[loose[0]].data.name
            return (_BOTH if name in ("both", "neither") else (name,)), {loose[0]}
        return (), set()

    def _join_names(self, view: View) -> None:
        """Names that follow each other directly speak of the same thing; the nearer one says which."""
        if not view.named:
            return
        self.elsewhere = not view.named[-1].about

    # ------------------------------------------------------------------ reading a piece
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
            if item.start < view.bridged and item.sort == "state":
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
        things = [n for n in view.named if not _is_place(n)] or view.named
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
        if one.denied and not other.denied:
            self.drafts = [d for d in self.drafts if d is not other]
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
        return any(i.sort == "state" and not self._hanging(piece, at + 1 + n) for n, i in enumerate(piece.items[at + 1 :]))

    def _of_something(self, piece: Piece, at: int) -> bool:
        """`nothing rubbing`: what is denied is a word that nobody knows here."""
        after = piece.items[at + 1 : at + 2]
        return bool(after) and after[0].sort == "word" and after[0].text not in self.words.light

    def _not_after(self, piece: Piece, at: int) -> bool:
        """`lights: none`, `clicks no`: a negation that stands alone behind its state."""
        rest = [i for i in piece.items[at + 1 :] if i.sort not in ("word", "side")]
        return len(rest) == 1 and rest[0].sort == "mark" and rest[0].data.name in ("not",) and not any(
            i.sort == "word" for i in piece.items[at + 1 :]
        )

    # ------------------------------------------------------------------ subjects
    def _groups(self, view: View, at: int) -> Iterable[tuple[str, Group]]:
        """Subjects a claim may be about, the likeliest first, with where each comes from."""
        things = [n for n in view.named if not _is_place(n)] or view.named
        before = [n for n in things if n.at < at]
        after = [n for n in things if n.at > at]
        for named in reversed(before):
            yield "here", self._whole(view, named)
        for named in after:
            yield "after", self._whole(view, named)
        if not view.named or view.piece.opener == "start":
            if self.subject_here:
                yield "sentence", self._turned(view, self.subject)
            if self.answer is not None and self.answer.about:
                if self.answer.family is None:
                    for about in self.answer.about:
                        yield "asked", (about,)
                else:
                    yield "asked", self._asked_group(view)
            if not self.subject_here and self.subject:
                yield "before", self._turned(view, self.subject)

    def _whole(self, view: View, named: Named) -> Group:
        return named.about

    def _turned(self, view: View, group: Group) -> Group:
        """The same pair of subjects on the side named now."""
        sides = self._view_sides(view)
        if not sides:
            return group
        for family in self.words.families.values():
            if group and group[0] in (family.port, family.starboard):
                return family.members(sides)
        return group

    def _asked_group(self, view: View) -> Group:
        assert self.answer is not None
        if self.answer.family is None:
            return self.answer.about
        return self.answer.family.members(self._view_sides(view) or _BOTH)

    def _view_sides(self, view: View) -> tuple[str, ...]:
        found = tuple(dict.fromkeys(s for _, s in view.sides if s in _BOTH))
        return found or self.topic_sides

    # ------------------------------------------------------------------ states
    def _state(self, view: View, at: int, item: Item, flip: bool) -> int:
        sayings: tuple[Saying, ...] = item.data
        if self.timed:
            ends = view.piece.opener == "then" and "stop" in self.cues
            sayings = tuple(s for s in sayings if not s.cue and not (ends and s.negates))
        if not sayings or (
            all(s.weak for s in sayings) and (self._transitive(view, at) or self._noun(view, at))
        ):
            return 0
        self.last = sayings
        try:
            found = self._means(view, at, sayings)
        except _NothingToSay:
            return 0
        if found is None:
            if any(s.negates for s in sayings) and len(view.piece.items) == 1:
                self.bare.append(("no", item))
            elif not (self.elsewhere or (view.named and not view.named[-1].about) or all(s.weak for s in sayings)):
                self._question("part", item, sayings[0].hazard)
            return 0
        saying, group, origin = found
        if origin == "default" and self._in_clause(view, at):
            return 0
        flip = flip and not saying.firm
        made = 0
        describes = {what for what, _ in _sense(saying, group[0])} & _set(self.words.settings, "no_scene")
        if origin == "default" and describes and not view.named and _ordinary(group[0]):
            self.subject, self.subject_here, self.age = group, True, 0
        for about in group:
            meant = saying.default if origin == "default" and saying.default else about
            for claim in _sense(saying, meant):
                self._claim(view, item, (about, meant), claim, saying, flip, origin)
                made += 1
        return made

    def _means(self, view: View, at: int, sayings: tuple[Saying, ...]) -> tuple[Saying, Group, str] | None:
        barred = False
        for origin, group in self._groups(view, at):
            if not group:
                barred = True
                continue
            if barred and origin not in ("here", "after"):
                break
            found = self._fits(view, sayings, group, origin)
            if found is not None:
                return (*found, origin)
        for saying in sayings:
            free = not view.named and not barred
            if saying.default and not saying.with_side and (saying.own or free or self._pronoun(view, at)):
                return saying, self._default(saying), "default"
            if saying.with_side and saying.default and self._view_sides(view) and not barred:
                return saying, self._default(saying), "default"
        return None

    def _in_clause(self, view: View, at: int) -> bool:
        """`when I switch it on`: it only says when."""
        return any(i.sort == "mark" and i.data.name == "when" for i in view.piece.items[:at]) and any(
            i.sort == "state" for i in view.piece.items[:at]
        )

    def _noun(self, view: View, at: int) -> bool:
        """`run 6 m`: followed by such a figure it is no verb."""
        after = view.piece.items[at + 1 : at + 2]
        return bool(after) and after[0].sort == "number" and after[0].data.unit in _set(self.words.settings, "noun_before")

    def _transitive(self, view: View, at: int) -> bool:
        """`I turn it`: somebody does it, the thing itself does nothing."""
        items = view.piece.items
        beside = [items[n] for n in (at - 1, at + 1) if 0 <= n < len(items)]
        return len(beside) == 2 and all(i.sort == "mark" and i.data.name == "pronoun" for i in beside)

    def _pronoun(self, view: View, at: int) -> bool:
        """Whether `it` or `she` stands between the last part named and the claim."""
        last = max((n.at for n in view.named if n.at < at), default=-1)
        return last >= 0 and any(
            i.sort == "mark" and i.data.name == "pronoun" for i in view.piece.items[last + 1 : at]
        )

    def _fits(self, view: View, sayings: tuple[Saying, ...], group: Group, origin: str) -> tuple[Saying, Group] | None:
        if view.has_scene:
            sayings = tuple(s for s in sayings if not s.without_scene)
        if origin != "after":
            sayings = tuple(s for s in sayings if not s.object)
        for exact in (True, False):
            for saying in sayings:
                about = self._special(view, saying, group, origin)
                fits = tuple(g for g in about if _knows(saying, g, exact) and self._sayable(saying, g))
                if not fits and exact and origin in ("here", "after", "sentence") and any(
                    _knows(saying, g, True) and self._is_silent(saying, g) for g in about
                ) and not saying.own:
                    raise _NothingToSay
                if fits and not (saying.near and origin in ("sentence", "before") and self.age > 1):
                    return saying, fits
        return None

    def _sayable(self, saying: Saying, about: str) -> bool:
        """Whether any claim of it can become a fact here; some words count only for the test that asks for them."""
        trial = self.words.trial
        for what, value in _sense(saying, about):
            if what in trial.attributes or "." in what or _base(about) == "motor":
                return True
            if self.answer is not None and (what, value) in self.answer.instead:
                return True
        return False

    def _is_silent(self, saying: Saying, about: str) -> bool:
        return any(what in _set(self.words.settings, "silent") for what, _ in _sense(saying, about))

    def _special(self, view: View, saying: Saying, group: Group, origin: str) -> Group:
        """Some words answer the test of another part (`clicks` after a coil test are the coils')."""
        if self.answer is None or origin != "asked":
            return group
        for claims in saying.means.values():
            for what, _ in claims:
                if what in self.answer.for_attribute:
                    return self._turned(view, self.answer.for_attribute[what])
        return group

    def _default(self, saying: Saying) -> Group:
        assert saying.default is not None
        if self.answer is not None:
            for what, _ in saying.means.get(saying.default, ()):
                if what in self.answer.for_attribute:
                    return self.answer.for_attribute[what]
        return (saying.default,)

    def _claim(
        self, view: View, item: Item, of: tuple[str, str], claim: Claim, saying: Saying, flip: bool, origin: str
    ) -> None:
        about, meant = of
        what, value = claim
        if flip:
            denied = saying.denied.get(_base(meant)) or saying.denied.get("any")
            if set(item.text.split()) & _set(self.words.settings, "negators"):
                self._question("negation", item, saying.hazard)
                return
            if denied:
                what, value = denied[0]
            elif isinstance(value, bool):
                value = not value
            elif value in ("yes", "no") and what not in self.words.trial.single:
                value = "no" if value == "yes" else "yes"
            else:
                self._question("negation", item, saying.hazard)
                return
        what, value = self._modified(what, value, view.piece.past)
        about, what, value = self._as_asked(about, what, value)
        about = self._plug(view, about, what)
        if what not in self.words.trial.attributes:
            return
        if what in self.words.trial.split and value in ("yes", "no"):
            value = value == "yes"
        if view.piece.past and what not in _set(self.words.settings, "past_too"):
            return
        if value is True and what in self.words.trial.split and self._crossed(view):
            what, value = str(self.words.settings["crossed"]).split()
        draft = self._draft(view, item, about, what, value, origin)
        draft.denied = flip or bool(set(item.text.split()) & _set(self.words.settings, "negators"))
        draft.weak = saying.weak and value is True and what in self.words.trial.split
        self.drafts.append(draft)
        scene = self.words.trial.reports.get((about, what, value))
        if scene and draft.certain and scene not in _set(self.words.settings, "without_saying"):
            self.setup.add(scene)
            opposite = scene.replace("_off", "_on") if scene.endswith("_off") else scene.replace("_on", "_off")
            self.setup.discard(opposite) if opposite != scene else None

    def _crossed(self, view: View) -> bool:
        """Whether it ran to one side while the other was asked for."""
        ran = {s for _, s in view.sides if s in _BOTH}
        asked = set(view.scene_sides) if view.way == "commanded" else set()
        if not view.has_scene and self.forward_way == "commanded":
            asked = set(self.forward_sides)
        return len(ran) == 1 and len(asked) == 1 and ran != asked

    def _modified(self, what: str, value: Value, past: bool) -> Claim:
        """A word elsewhere in the sentence (`sometimes`, `I let go`) can make a claim another one."""
        for name in (*self.modifiers, *(["past"] if past else [])):
            changed = self.words.modifiers.get(name, {}).get((what, value))
            if changed is not None:
                return changed
        return what, value

    def _plug(self, view: View, about: str, what: str) -> str:
        """A plug that goes by the name of its part is that part's when it is pulled or put back."""
        if what != "plugged":
            return about
        plugs = [n.item.data.plug for n in view.named if n.item.sort == "part" and about in n.about]
        return next((p for p in plugs if p), about)

    def _as_asked(self, about: str, what: str, value: Value) -> tuple[str, str, Value]:
        """Redirect a claim to another subject, and read it the way the test just asked wants it."""
        instead = self.answer.instead.get((what, value)) if self.answer is not None else None
        if instead is not None:
            about = self.answer.instead_about.get(about, about) if self.answer is not None else about
            return about, *instead
        if "." in what:
            about, what = what.split(".")
        elif what == "turns" and _base(about) == "motor":
            about, what = "thruster", next(iter(self.words.trial.split))
        return about, what, value

    def _draft(self, view: View, item: Item, about: str, what: str, value: Any, origin: str) -> Draft:
        start, end = item.start, item.end
        for named in view.named:
            if about in named.about:
                start, end = min(start, named.item.start), max(end, named.item.end)
        draft = Draft(about, what, value, start, end)
        draft.certain = not view.piece.doubted
        sides = self._view_sides(view)
        if not _sided(about, self.words.families):
            draft.sides = sides
        draft.only = view.only
        draft.answers = self._is_answer(about, what)
        if what in _set(self.words.settings, "takers"):
            draft.setup = set(self.setup)
        self._dress(draft, view.scene, view.way, view.scene_sides)
        if not view.scene_first or not view.has_scene:
            self._dress(draft, self.forward, self.forward_way, self.forward_sides)
        return draft

    def _is_answer(self, about: str, what: str) -> bool:
        return self.answer is not None and (about, what) in self.answer.takes

    # ------------------------------------------------------------------ circumstances
    def _dress(self, draft: Draft, scene: set[str], way: str, sides: tuple[str, ...]) -> None:
        """Put circumstances on a claim, as far as claims of this sort take them."""
        settings = self.words.settings
        if draft.what in _set(settings, "no_scene"):
            return
        families = [frozenset(f.split()) for f in settings.get("exclusive") or []]
        for name in sorted(scene):
            if any(name in f and draft.scene & (f - {name}) for f in families):
                continue
            draft.scene.add(name)
        if way and not draft.way:
            draft.way = way
        if way and sides and not draft.sides:
            if draft.what in self.words.trial.split and isinstance(draft.value, bool):
                draft.sides = sides
            elif not _sided(draft.about, self.words.families) or scene or way in _set(settings, "strong_ways"):
                draft.sides = sides

    def _finish(self, draft: Draft) -> list[Draft]:
        """Add the circumstances that the test implies and those of the direction."""
        settings = self.words.settings
        answer = self.answer
        way = draft.way
        if answer is not None and draft.about in answer.about_scene:
            draft.scene.add(answer.about_scene[draft.about])
        if draft.answers and answer is not None:
            load = {"at_rest", "under_load"}
            for name in answer.while_:
                if not (draft.scene & load and name in load):
                    draft.scene.add(name)
            if "at_rest" not in draft.scene:
                way = way or answer.way or ""
            for name, about in answer.scene_subject.items():
                if name in draft.scene and draft.about in answer.about:
                    draft.about = about
        self._dress(draft, draft.setup, "", ())
        if draft.what in _set(settings, "own_words"):
            draft.scene -= _set(settings, "not_with_own_words")
        if way and not draft.sides and draft.answers and way in _set(settings, "strong_ways"):
            draft.sides = _BOTH
        return self._by_direction(draft, way)

    def _by_direction(self, draft: Draft, way: str) -> list[Draft]:
        settings = self.words.settings
        if draft.what in self.words.trial.split:
            return [self._direct_run(draft, way)]
        sides = draft.sides
        family = _family_of(draft.about, self.words.families)
        if family is not None and draft.answers and self.answer is not None and self.answer.way:
            own = ("port",) if draft.about == family.port else ("starboard",)
            sides, way = own, way or self.answer.way
        still = _set(settings, "no_direction")
        if draft.about in still or f"{draft.about}.{draft.what}" in still:
            return [draft]
        if not sides or draft.what not in _set(settings, "directed"):
            return [draft]
        way = way or "commanded"
        if family is not None and way == "commanded" and not draft.way and not draft.answers:
            return [draft]
        if way == "commanded" and draft.what in _set(settings, "loaded") and (family is None or draft.way):
            draft.scene.discard("at_rest")
            draft.scene.add("under_load")
        out = []
        pair = self.words.trial.ways[way]
        for side in sides:
            copy = replace(draft, scene={*draft.scene, pair[0] if side == "port" else pair[1]})
            out.append(copy)
        return out

    def _direct_run(self, draft: Draft, way: str) -> Draft:
        what, value = draft.what, draft.value
        trial = self.words.trial
        strong = way in _set(self.words.settings, "strong_ways")
        if not strong:
            ways = trial.split[what].get(str(value), {})
            if len(draft.sides) == 1 and not any(ways.values()) and ways:
                pair = trial.ways["commanded"]
                draft.scene.add(pair[0] if draft.sides == ("port",) else pair[1])
            return draft
        pair = trial.ways[way]
        sides = _BOTH if draft.spread or not draft.sides else draft.sides
        draft.scene |= {pair[0] if s == "port" else pair[1] for s in sides}
        return draft

    # ------------------------------------------------------------------ figures
    def _number(self, view: View, at: int, item: Item) -> int:
        quantity: Quantity = item.data
        bound = self._bound(view.piece, at)
        if item.sort == "range":
            middle = (quantity.value + (quantity.high or 0)) / 2
            if middle == 0 or abs((quantity.high or 0) - quantity.value) > 0.0501 * abs(middle):
                self._question("range", item)
                return 0
            quantity = replace(quantity, value=middle)
        if item.sort == "change":
            return self._change(view, at, item, quantity)
        if _should(view.piece) or (view.piece.past and quantity.unit != "years"):
            return 0
        return self._reading(view, at, item, quantity, bound, ())

    def _none_of(self, view: View, at: int, item: Item) -> int:
        """`not a volt` is none; `not 12.2` says nothing of what it is."""
        quantity: Quantity = item.data
        if item.sort != "number" or quantity.digits or quantity.value != 1 or quantity.unit is None:
            return 0
        return self._reading(view, at, item, replace(quantity, value=0.0), None, ())

    def _change(self, view: View, at: int, item: Item, quantity: Quantity) -> int:
        first = replace(quantity, high=None)
        second = replace(quantity, value=quantity.high or 0.0, high=None)
        made = self._reading(view, at, item, first, None, ("at_rest",))
        return made + self._reading(view, at, item, second, None, ("under_load",))

    def _bound(self, piece: Piece, at: int) -> Bound | None:
        for item in reversed(piece.items[max(0, at - 2) : at]):
            if item.sort == "mark" and item.data.name == "over":
                return "at_least"
            if item.sort == "mark" and item.data.name == "under":
                return "at_most"
            if item.sort == "mark" and item.data.name == "about":
                return None
        after = piece.items[at + 1] if at + 1 < len(piece.items) else None
        if after is not None and after.sort == "mark" and after.data.name == "or_more":
            return "at_least"
        return None

    def _reading(
        self, view: View, at: int, item: Item, quantity: Quantity, bound: Bound | None, scene: tuple[str, ...]
    ) -> int:
        target = self._measured(view, at, quantity)
        if target is None:
            if not self.elsewhere and not (view.named and not view.named[-1].about):
                self.pending.append((quantity, view.piece, item, scene, ""))
            return 0
        group, what, factor = target
        if view.named:
            self.measured = group
        elif not self.subject_here or what in _set(self.words.settings, "no_scene"):
            self.subject, self.subject_here = group, True
        sides = self._view_sides(view)
        if len(group) == 2 and group == self._pair_asked() and not sides:
            group = self._next_of_pair(view, what, group)
        made = 0
        for about in group:
            draft = self._draft(view, item, about, what, quantity.value * factor, "")
            for name in scene:
                draft.scene -= {"at_rest", "under_load"}
                draft.scene.add(name)
            draft.bound = bound
            if bound or quantity.doubt:
                draft.certain = False
            self.drafts.append(draft)
            made += 1
        return made

    def _pair_asked(self) -> Group:
        return self.answer.about if self.answer is not None and self.answer.family is not None else ()

    def _next_of_pair(self, view: View, what: str, group: Group) -> Group:
        """Two bare figures answer for the two of a pair in turn."""
        if self.figures != 2:
            return group
        given = {d.about for d in self.drafts if d.what == what}
        return (group[1],) if given and group[1] not in given else (group[0],)

    def _measured(self, view: View, at: int, quantity: Quantity) -> tuple[Group, str, float] | None:
        groups = list(self._number_groups(view, at))
        found = self._by_measures(view, quantity, groups, at)
        if found is None and self.answer is not None and all(g for _, g in groups):
            asked = [("asked", self._asked_group(view))] if self.answer.about else []
            found = self._by_measures(View(view.piece, cues=view.cues), quantity, asked, at)
        return found

    def _by_measures(
        self, view: View, quantity: Quantity, groups: list[tuple[str, Group]], at: int
    ) -> tuple[Group, str, float] | None:
        count = quantity.unit is None and not quantity.decimal and 0 < quantity.value < 10
        if count and self._counts(view, at):
            return None
        for measure in self.words.measures:
            cues = self.cues if measure.anywhere else view.cues
            if not _unit_fits(measure, quantity) or not set(measure.cue) <= cues:
                continue
            figure = quantity.value * measure.factor
            if measure.largest is not None and figure > measure.largest:
                continue
            if measure.smallest is not None and figure < measure.smallest:
                continue
            if measure.not_beside and any(
                i.sort == "number" and i.data.unit == measure.not_beside for i in view.piece.items
            ):
                continue
            if measure.allowed and figure not in measure.allowed:
                continue
            if measure.asked and (self.answer is None or self.answer.number != measure.what):
                continue
            found = self._measure_subject(measure, groups, view)
            if found is not None:
                return (measure.gives,) if measure.gives else found, measure.what, measure.factor
        return None

    def _measure_subject(self, measure: Measure, groups: list[tuple[str, Group]], view: View) -> Group | None:
        if measure.always:
            return (measure.always,)
        for origin, group in groups:
            if not group:
                if origin in ("here", "after"):
                    return None
                continue
            if measure.units == ("bare",) and origin == "asked" and self.answer and self.answer.number:
                if measure.what != self.answer.number:
                    continue
            fits = tuple(g for g in group if _base(g) in measure.about)
            if fits and not (measure.here and origin not in ("here", "asked")):
                return fits
            if origin in ("here",) and measure.default is None:
                return None
        return (measure.default,) if measure.default and not any(g for o, g in groups if o in ("here", "after")) else None

    def _counts(self, view: View, at: int) -> bool:
        """A small whole number right before a part counts things and is no reading."""
        items = view.piece.items
        after = items[at + 1] if at + 1 < len(items) else None
        return after is not None and after.sort in ("part", "family") and not view.cues

    def _number_groups(self, view: View, at: int) -> Iterable[tuple[str, Group]]:
        before = [n for n in view.named if n.at < at]
        after = [n for n in view.named if n.at > at]
        if before and after and (self._leads(view, at, after[0]) or _figure_first(view)):
            before = []
        if not before and after:
            yield "here", after[0].about
        else:
            for named in reversed(before):
                yield "here", named.about
        if not view.named:
            asked = self.answer is not None and self.answer.number is not None
            if asked and self.subject != self.measured:
                yield "asked", self._asked_group(view)
            if self.subject_here:
                yield "sentence", self._turned(view, self.subject)
            if self.answer is not None and self.answer.about:
                yield "asked", self._asked_group(view)
            if not self.subject_here and self.subject:
                yield "before", self._turned(view, self.subject)
        elif self.answer is not None and self.answer.about:
            yield "asked", self._asked_group(view)

    def _leads(self, view: View, at: int, named: Named) -> bool:
        between = view.piece.items[at + 1 : named.at]
        return any(i.sort == "mark" and i.data.name == "at" for i in between) or (
            not between and any(i.sort in ("number", "range") for i in view.piece.items[:at]) is False
            and view.piece.items[0] is view.piece.items[at]
        )

    # ------------------------------------------------------------------ pieces without a claim
    def _without_claim(self, view: View, negated: bool, nots: list[Item]) -> None:
        piece = view.piece
        for item in piece.items:
            if item.sort == "mark" and item.data.name in ("yes", "no", "same"):
                self.bare.append((item.data.name, item))
        if negated:
            self.bare.append(("no", nots[0]))
        if not view.named and not view.only:
            self.lone_sides += [(s, piece.items[at]) for at, s in view.sides if s in _BOTH]
        no = negated or bool(piece.marks("no"))
        yes = bool(piece.marks("yes"))
        plain = view.sides and not view.named and not view.only and not yes
        if plain and not (piece.label and not no) and self._add_sides(view, no):
            return
        if view.sides and not view.named and self._side_claim(view, no, yes):
            return
        if view.sides and piece.marks("same") and self._copy(view):
            return
        if negated and view.named and self._none_at(view, nots):
            return
        late = not nots or not view.named or nots[0].start > view.named[0].item.start
        if (view.named or view.sides) and late and (no or yes or piece.marks("same")) and self.last:
            self._repeat(view, no)
        elif view.sides and piece.opener in ("start", "comma", "dash", "but", "and", "then", "colon"):
            self.topic_sides = self._view_sides(view)

    def _none_at(self, view: View, nots: list[Item]) -> bool:
        """`no signal`: of some things, none is a reading."""
        table = self.words.settings.get("none_of") or {}
        named = view.named[0]
        if nots[0].start > named.item.start or not set(named.about) <= set(table):
            return False
        for about in named.about:
            what, value = str(table[about]).split()
            item = Item("state", None, nots[0].start, named.item.end)
            self.drafts.append(self._draft(view, item, about, what, float(value), "here"))
        return True

    def _copy(self, view: View) -> bool:
        """`… and the same to starboard`: the last figure again, for the side named now."""
        last = self.drafts[-1] if len(self.drafts) > self.sentence_start else None
        if last is None or isinstance(last.value, bool | str):
            return False
        group = self._turned(view, (last.about,))
        for about in group:
            sides = () if _sided(about, self.words.families) else self._view_sides(view)
            self.drafts.append(replace(last, about=about, sides=sides, scene=set(last.scene), setup=set(last.setup)))
        return True

    def _add_sides(self, view: View, no: bool) -> bool:
        """Sides that come after a claim (`…, either way`) belong to it; `…, not port` after one is a contrast."""
        if len(self.drafts) == self.sentence_start:
            return False
        last = self.drafts[-1]
        if last.what not in self.words.trial.split:
            if no and isinstance(last.value, bool) and last.sides:
                other = replace(last, value=not last.value, sides=self._view_sides(view), scene=set(last.scene))
                self.drafts.append(other)
                return True
            return no and (isinstance(last.value, float | int) or _sided(last.about, self.words.families))
        if no or last.sides:
            return False
        if len(self._view_sides(view)) < 2 and not view.piece.opener == "comma":
            return False
        last.sides = self._view_sides(view)
        return True

    def _repeat(self, view: View, no: bool) -> None:
        """`… but the other one doesn't`: the last claim again, of what is named now."""
        place = len(view.piece.items)
        self._state(view, place, Item("state", self.last, view.piece.items[0].start, view.piece.items[-1].end), no)

    def _side_claim(self, view: View, no: bool, yes: bool) -> bool:
        """A side and nothing else (`only port`, `both ways`, `starboard no`)."""
        claim = self.answer.side_means if self.answer is not None else None
        if claim is None and self.last and (no or yes):
            self._repeat(view, no)
            return True
        bare = view.only or any(i.sort == "side" and i.data.name in ("both", "neither") for i in view.piece.items)
        if claim is None and not bare and not no and not yes:
            return False
        runs = bool(self.drafts) and self.drafts[-1].what in self.words.trial.split
        if claim is None and (
            not (bare or (no and runs)) or any(i.sort in ("word", "number") for i in view.piece.items)
        ):
            return False
        if claim is not None and not bare and not no and not yes and (view.piece.label or len(view.piece.items) > 3):
            return False
        no = no and self._denied_side(view)
        what = claim or next(iter(self.words.trial.split))
        about: Group = ("thruster",)
        if self.answer is not None and self.answer.side_means:
            about = self.answer.for_attribute.get(what, self.answer.about)
        neither = any(i.sort == "side" and i.data.name == "neither" for i in view.piece.items)
        first, last = view.piece.items[0], view.piece.items[-1]
        for subject in about:
            item = Item("state", None, first.start, last.end)
            draft = self._draft(view, item, subject, what, not (no or neither), "asked")
            self.drafts.append(draft)
        return True

    def _denied_side(self, view: View) -> bool:
        """Whether a `no` belongs to the side (`starboard no`, `not port`) and is no answer (`no, only port`)."""
        first = min(at for at, _ in view.sides)
        return any(
            i.sort == "mark" and (i.data.name == "not" or (i.data.name == "no" and n > first))
            for n, i in enumerate(view.piece.items)
        )

    # ------------------------------------------------------------------ corrections
    def _correct(self, view: View) -> None:
        """Figures and states that the piece says again replace the earlier ones of this text."""
        self.pending.clear()
        self.fixed = True

    # ------------------------------------------------------------------ to the assistant
    def _to_assistant(self, sentence: Sentence) -> bool:
        """Whether a sentence speaks to the assistant and states nothing."""
        items = [i for p in sentence.pieces for i in p.items]
        for item in items:
            if item.sort == "ask" and self._asked(sentence, item, items):
                return True
        return False

    def _asked(self, sentence: Sentence, item: Item, items: list[Item]) -> bool:
        name = item.data.name
        named = [i for i in items if i.sort in ("part", "family")]
        tells = any(i.sort in ("state", "number", "range", "change", "scene") for i in items)
        if name == "withdraw":
            return self._withdraw(named, items)
        if tells and not (name == "why_ask" and sentence.question):
            return False
        if name in ("why", "why_not"):
            return self._why(name, named)
        if name == "undo":
            self.undo = True
        elif name == "why_ask":
            self.ask = {"why_ask": self.heard.asked} if self.heard.asked else {"help": True}
        else:
            self.ask = {name: item.data.value}
        return True

    def _withdraw(self, named: list[Item], items: list[Item]) -> bool:
        sides = [s for i in items if i.sort == "side" for s in (i.data.name,) if s in _BOTH]
        for part in named:
            if part.sort == "part":
                self.withdraw += list(part.data.about)
            else:
                self.withdraw += list(part.data.members(_plain_sides(part.sides) or sides or _BOTH))
        return bool(named)

    def _why(self, name: str, named: list[Item]) -> bool:
        if not named:
            return False
        about = named[0].data.about if named[0].sort == "part" else (named[0].data.port, named[0].data.starboard)
        fault = next((f for f in self.heard.faults if f.split(".")[0] in about), None)
        if fault is not None:
            self.ask = {name: fault}
        return True

    # ------------------------------------------------------------------ questions back
    def _question(self, name: str, item: Item, hazard: str | None = None) -> None:
        question = self.words.questions.get(name)
        if question and len(self.unclear) < 3:
            self.unclear.append(Unclear(words=self.text[item.start : item.end], question=question, hazard=hazard))

    # ------------------------------------------------------------------ the end
    def reading(self) -> Reading:
        """Everything the text gave."""
        self._bare_answer()
        self._recall()
        drafts = fold_runs(self.drafts, self.words.trial)
        done = [d for draft in drafts for d in self._finish(draft)]
        done = self._drop_weak(done)
        done = self._last_word(done)
        facts = to_facts(done, self.text, self.words.trial)
        if not facts and self.pending and not self.unclear:
            self._question("place", self.pending[0][2])
        cannot = self.cannot if not facts else None
        return Reading(
            facts=facts, unclear=tuple(self.unclear), cannot=cannot, withdraw=tuple(dict.fromkeys(self.withdraw)),
            undo=self.undo, ask=self.ask,
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
        elif len(self.lone_sides) == 1 and (self.fixed or any(n == "same" for n, _ in self.bare)):
            side, item = self.lone_sides[0]
            moved, left = other_side(
                recent, side, self.words.families, self.words.trial, (item.start, item.end)
            )
            self.drafts += moved
            if self.fixed:
                self.withdraw += left

    def _bare_answer(self) -> None:
        answer = self.answer
        if answer is None or not self.bare or self.drafts:
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
        behaviour = _set(self.words.settings, "behaviour")
        strong = any(d.what in behaviour and not d.weak for d in drafts)
        return [d for d in drafts if not d.weak or not strong]

    def _last_word(self, drafts: list[Draft]) -> list[Draft]:
        """Of two values of one thing in one scene the later one counts, where a thing can have only one."""
        gathers = {a for a, spec in self.words.trial.attributes.items() if spec.get("gathers")}
        defects = _set(self.words.settings, "defects")
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


def _is_place(named: Named) -> bool:
    return named.item.sort == "part" and bool(named.item.data.place)


def _figure_first(view: View) -> bool:
    """Whether figures and names take turns, a figure first (`12.6 batt 0 studs`)."""
    order = [i.sort in ("number", "range") for i in view.piece.items if i.sort in ("number", "range", "part", "family")]
    return len(order) > 2 and order[0] and all(a != b for a, b in zip(order, order[1:], strict=False))


def _is_cue(item: Item) -> bool:
    return item.sort == "mark" and item.data.name.startswith("cue_")


def _next_to(items: Sequence[Item], one: Item, other: Item) -> bool:
    a, b = items.index(one), items.index(other)
    return all(i.sort == "mark" for i in items[a + 1 : b])


def _plain_sides(sides: Iterable[str]) -> tuple[str, ...]:
    out: list[str] = []
    for side in sides:
        out += _BOTH if side == "both" else [side]
    return tuple(dict.fromkeys(s for s in out if s in _BOTH))


def _base(about: str) -> str:
    head, _, tail = about.rpartition("_")
    return head + "_n" if tail.isdigit() else about


def _ordinary(about: str) -> bool:
    return about not in ("boat", "helper", "thruster", "bridge", "repair")


def _knows(saying: Saying, about: str, exact: bool) -> bool:
    base = _base(about)
    if base in saying.means:
        return bool(saying.means[base]) and exact
    return not exact and "any" in saying.means and _ordinary(about)


def _sense(saying: Saying, about: str) -> tuple[Claim, ...]:
    return saying.means.get(_base(about)) or saying.means.get("any") or ()


def _sided(about: str, families: dict[str, Family]) -> bool:
    return _family_of(about, families) is not None


def _family_of(about: str, families: dict[str, Family]) -> Family | None:
    return next((f for f in families.values() if about in (f.port, f.starboard)), None)


def _set(settings: Any, name: str) -> frozenset[str]:
    return frozenset(str(settings.get(name) or "").split())


def _should(piece: Piece) -> bool:
    return bool(piece.marks("should"))


def _unit_fits(measure: Measure, quantity: Quantity) -> bool:
    return (quantity.unit or "bare") in measure.units


__all__ = ["RawFact", "Talk"]
