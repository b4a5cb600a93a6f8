"""Figures: which attribute of what a number gives."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import pairwise

from assistant.facts.model import Bound
from assistant.knowledge.model import SIDES
from assistant.language.items import Item, is_mark, is_particle, item_at
from assistant.language.meanings import Measure
from assistant.language.metering import Metering
from assistant.language.pieces import Piece
from assistant.language.quantities import Quantity, Unit
from assistant.language.recall import spoken_of
from assistant.language.views import Group, Named, View, base_of, is_cue, is_place, is_sided, names_in

_KILO = 1000
_HEADED = 2
"""A heading and what stands under it."""
_SPELLED_OUT = 3
"""A unit of more letters is a word that heads figures; `in` or `a` is not."""
_MOST_NUMBERED = 6
"""So many batteries are told apart by a number; more would be volts."""
_FAR_APART = 10
"""A figure without a unit that would be so many times the one before has not the thousands of that."""


class Figures(Metering):
    """Figures: which attribute of what a number gives."""

    def _number(self, view: View, at: int, item: Item) -> int:
        quantity: Quantity = item.data
        if self._names_one_of_several(view.piece, at) or self._of_the_tester(quantity):
            return 0
        after = item_at(view.piece.items, at + 1)
        if after is not None and after.sort == "word" and after.text in self._words_in("vague_figures"):
            quantity = replace(quantity, doubt=True)  # `nine something, couldn't read the rest`
        bound = self._bound(view.piece, at)
        if item.sort == "range":
            middle = (quantity.value + (quantity.high or 0)) / 2
            if middle == 0 or abs((quantity.high or 0) - quantity.value) > 0.0501 * abs(middle):
                self._question("range", item)
                return 0
            quantity = replace(quantity, value=middle)
        if item.sort == "change":
            return self._change(view, at, item, quantity)
        if quantity.unit != "years" and (_should(view.piece) or view.piece.past):
            return 0
        if _should(view.piece):
            quantity = replace(quantity, doubt=True)  # `the batteries should be five years old by now`
        if self._probed_elsewhere(view):
            return 0
        if quantity.unit == "s" and len(view.piece.items) == 1 and self._rested_before(item):
            return 0  # `gave it ten minutes, came back, stopped again, ten minutes, came back`
        self._tested(view, quantity)
        quantity = self._drawn(view, at, self._same_unit(view, quantity))
        if bound and self.timed and quantity.unit is None and not view.named:
            return 0  # `ten minutes, 12 at most`
        self.spelled = (quantity.spelled or self.spelled) if quantity.unit is not None else None
        return self._reading(view, at, item, quantity, bound, ())

    def _names_one_of_several(self, piece: Piece, at: int) -> bool:
        """`Bat 1 9.3`: a small whole number right behind such a part tells it from the others."""
        item, before = piece.items[at], piece.items[at - 1] if at else None
        quantity: Quantity = item.data
        if item.sort != "number" or before is None or before.sort != "part" or quantity.unit is not None:
            return False
        numbered = set(before.data.about) & names_in(self.words.settings, "numbered")
        small = not quantity.decimal and 0 < quantity.value <= _MOST_NUMBERED
        return bool(numbered) and small and not self.text[before.end : item.start].strip()

    def _probed_elsewhere(self, view: View) -> bool:
        """`He's put the probes on the engine battery, 12.9`: read at other gear, whatever was asked for."""
        before = self.before.items if self.before is not None else []
        placed = len(before) > 1 and (is_particle(before[-2]) or is_mark(before[-2], "at", "from"))
        other = placed and before[-1].sort == "part" and _is_other(before[-1])
        return other and self.elsewhere and not view.named and view.piece.opener in ("comma", "dash", "colon")

    def _heading_of(self, pieces: Sequence[Piece]) -> Unit | None:
        """`Coil volts: port 23.8, starboard 23.7`: the unit that a heading names for the figures behind it."""
        if len(pieces) < _HEADED or pieces[1].opener != "colon" or pieces[0].has("number", "range", "change"):
            return None
        said = self.text[pieces[0].items[0].start : pieces[0].items[-1].end].lower().split()
        named = [u for w in said if len(w) > _SPELLED_OUT and (u := self.words.units.spelled.get((w,))) is not None]
        return next((u for u in named if u.unit in names_in(self.words.settings, "meter_units")), None)

    def _same_unit(self, view: View, quantity: Quantity) -> Quantity:
        """`380 A to port and 402 to starboard`: the second figure has the unit of the first."""
        head = self.heading
        if head is not None and quantity.unit is None:
            return replace(quantity, value=quantity.value * head.factor + head.offset, unit=head.unit)
        unit = self.spelled
        sided = bool(view.sides) or bool(view.way) or any(n.item.sort == "family" for n in view.named)
        sided = sided or any(set(n.about) & names_in(self.words.settings, "alike") for n in view.named)
        told = self.drafts[-1].value if len(self.drafts) > self.sentence_start else None
        again = self.fixed and not view.named  # `pulled 380 A, no wait, 280`
        follows = again or (sided and not isinstance(told, bool | str | None))
        if quantity.unit is not None or unit is None or not follows:
            return quantity
        plain = unit.unit in names_in(self.words.settings, "bare_units") and unit.factor == 1
        if plain or view.cues or not self._has(view, unit):
            return quantity
        if unit.factor >= _KILO and isinstance(told, (int, float)) and quantity.value * unit.factor > _FAR_APART * told:
            return quantity  # `1.2 k on starboard, the port one plain 31`
        return replace(quantity, value=quantity.value * unit.factor + unit.offset, unit=unit.unit)

    def _has(self, view: View, unit: Unit) -> bool:
        """Whether what is named can have a figure in this unit (`400 A: 0.9 on the plus cable` are no amps)."""
        named = {base_of(a) for n in view.named for a in n.about}
        return not named or any(unit.unit in m.units and named & set(m.about) for m in self.words.measures)

    def _none_of(self, view: View, at: int, item: Item) -> int:
        """`not a volt` is none; `not 12.2` says nothing of what it is."""
        quantity: Quantity = item.data
        if item.sort != "number" or quantity.digits or quantity.value != 1 or quantity.unit is None:
            return 0
        return self._reading(view, at, item, replace(quantity, value=0.0), None, ())

    def _change(self, view: View, at: int, item: Item, quantity: Quantity) -> int:
        target = self._measured(view, at, quantity)
        if target is not None and target[1] not in names_in(self.words.settings, "falls"):
            self._question("range", item)  # a loss or a current that changes has no value at rest
            return 0
        first = replace(quantity, high=None)
        second = replace(quantity, value=quantity.high or 0.0, high=None)
        made = self._reading(view, at, item, first, None, ("at_rest",))
        return made + self._reading(view, at, item, second, None, ("under_load",))

    def _bound(self, piece: Piece, at: int) -> Bound | None:
        for item in reversed(piece.items[max(0, at - 2) : at]):
            if item.sort not in ("mark", "word"):
                return None  # `over the isolator 600 mV`
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
        if quantity.other is not None and (target is None or self._is_too_much(target[1], quantity.value)):
            quantity = replace(quantity, value=quantity.other)
            target = self._measured(view, at, quantity)
        target = self._put_right_as(view, quantity) if target is None else target
        if target is not None and self._cannot_fall(view, target[1]):
            target = None
        if target is not None and quantity.unit is None and self._is_too_much(target[1], quantity.value * target[2]):
            return 0  # `diver booked 1500`
        single = [n.about for n in view.named if n.item.sort == "part" and n.item.data.single]
        self.single = single or ([] if view.named else self.single)
        single = [] if target and target[1] in names_in(self.words.settings, "of_each") else self.single
        if target is None and self._went_out(view, quantity, item):
            return 1
        if target is None or target[0] in single:
            if not single and not self.elsewhere and not (view.named and not view.named[-1].about):
                self.pending.append((quantity, view.piece, item, scene, ""))
            return 0
        group, what, factor = target
        group = self._read_there(view, what, group)
        if bound is not None and what not in names_in(self.words.settings, "bounded"):
            self._question("range", item)
            return 0
        if view.named:
            self.measured = group
        elif not self.subject_here or what in names_in(self.words.settings, "no_scene"):
            self.subject, self.subject_here = group, True
        sides = self._view_sides(view)
        pair = {f.members(SIDES) for f in self.words.families.values()}
        if len(group) == 2 and group in pair and not sides:
            group = self._same_of_pair(view, what, group, quantity) or self._next_of_pair(view, what, group)
        group = self._both_alike(view, group)
        made = 0
        for about in group:
            draft = self._draft(view, item, about, what, quantity.value * factor, "")
            for name in scene:
                draft.scene -= {"at_rest", "under_load"}
                draft.scene.add(name)
                if name == "at_rest":
                    draft.way, draft.sides = "", ()
            draft.bound = bound
            if quantity.doubt:
                draft.certain = False
            self.drafts.append(draft)
            self.read_last = draft
            made += 1
        if len(group) == 1 and not view.named and len(set(sides)) == 1 and is_sided(group[0], self.words.families):
            self.subject, self.subject_here = group, True  # `24.8 on the port one, no click there`
        return made

    def _cannot_fall(self, view: View, what: str) -> bool:
        """`Drops to 9`, in a talk in which a resistance was asked for: of what it is, nobody can tell."""
        falls = what in names_in(self.words.settings, "falls")
        return not self.heard.answering and not view.named and bool(view.piece.marks("fall")) and not falls

    def _put_right_as(self, view: View, quantity: Quantity) -> tuple[Group, str, float] | None:
        """`It's a 24 volt boat. No, 12`: a bare figure that puts right is of what the wrong one was of."""
        wrong = self.drafts[self.wrong - 1] if self.fixed and 0 < self.wrong <= len(self.drafts) else None
        if wrong is None or view.named or view.has_scene or isinstance(wrong.value, bool | str):
            return None
        unit = self.words.trial.attributes[wrong.what].get("number")
        return ((wrong.about,), wrong.what, 1.0) if quantity.unit in (None, unit) else None

    def _both_alike(self, view: View, group: Group) -> Group:
        """`Minus cable 50 square, plus 70, length 6 m both`: both of those told of."""
        alike = names_in(self.words.settings, "alike")
        both = {s for _, s in view.sides} >= set(SIDES)
        told = {d.about for d in self.drafts[self.sentence_start :]} & alike
        if not both or view.named or len(told) < 2 or not set(group) <= alike:
            return group
        return tuple(dict.fromkeys((*group, *sorted(told))))

    def _is_too_much(self, what: str, value: float) -> bool:
        """Whether a figure of hundreds cannot be meant (`nine fifty` volts)."""
        unit = self.words.trial.attributes.get(what, {}).get("number")
        return unit in names_in(self.words.settings, "bare_units") and value > float(
            self.words.settings.get("most_bare", 60)
        )

    def _went_out(self, view: View, quantity: Quantity, item: Item) -> bool:
        """`It lights, then dies after five seconds`: a time to a stop, of what was just told to be on."""
        gone = self.words.settings.get("then_gone") or {}
        last = self.drafts[-1] if len(self.drafts) > self.sentence_start else None
        if last is None or last.what not in gone or last.value is not True or quantity.unit != "s":
            return False
        if self._stopping("cue") not in view.cues:
            return False
        self.drafts.append(self._draft(view, item, last.about, str(gone[last.what]), True, ""))
        return True

    def _same_of_pair(self, view: View, what: str, group: Group, quantity: Quantity) -> Group:
        """`Starboard dead, 0 V`: the figure of what was just told in words."""
        last = self.drafts[-1] if len(self.drafts) > self.sentence_start else None
        if last is None or last is self.read_last or view.piece.opener not in ("comma", "dash", "colon", "and"):
            return ()
        return (last.about,) if last.about in group and (last.what, last.value) == (what, quantity.value) else ()

    def _next_of_pair(self, view: View, what: str, group: Group) -> Group:
        """Two bare figures answer for the two of a pair in turn."""
        if self.figures != 2:
            return group
        given = {d.about for d in self.drafts if d.what == what}
        return (group[1],) if given and group[1] not in given else (group[0],)

    def _measured(self, view: View, at: int, quantity: Quantity) -> tuple[Group, str, float] | None:
        no_loss = self._no_loss(quantity)  # `battery was 11.6`, where the loss at its clamp was asked for
        in_order = None if no_loss else self._asked_in_order(view, quantity)
        if in_order is not None:
            return in_order
        groups = list(self._number_groups(view, at))
        if no_loss:
            groups = [("here", n.item.data.about) for n in view.named if n.item.sort == "part"] or groups
        found = self._by_measures(view, quantity, groups, at)
        if found is None and self.answer is not None and all(g for _, g in groups):
            asked = [("asked", self._asked_group(view))] if self._asks_figures() else []
            found = self._by_measures(View(view.piece, cues=view.cues), quantity, asked, at)
        return found

    def _asked_in_order(self, view: View, quantity: Quantity) -> tuple[Group, str, float] | None:
        """`On the first 12.6, on the second nothing`: of each place the test asks for the same reading."""
        answer, named = self.answer, {a for n in view.named for a in n.about}
        if not named and view.piece.opener in ("colon", "dash"):
            named = set(self.subject)
        if answer is None or answer.number is None or answer.yes or not named or not named <= set(answer.in_order):
            return None
        unit = self.words.trial.attributes[answer.number].get("number")
        places = tuple(a for a in answer.in_order if a in named)
        return (places, answer.number, 1.0) if quantity.unit in (None, unit) else None

    def _by_measures(
        self, view: View, quantity: Quantity, groups: list[tuple[str, Group]], at: int
    ) -> tuple[Group, str, float] | None:
        count = quantity.unit is None and not quantity.decimal and 0 < quantity.value < 10
        if count and self._counts(view, at):
            return None
        lasting = set() if view.named else self.cues & names_in(self.words.settings, "lasting_cues")
        own = self._own_cues(view, at, quantity) | lasting
        for measure in self.words.measures:
            cues = self.cues if measure.anywhere else own
            if not _unit_fits(measure, quantity) or not set(measure.cue) <= cues or measure.not_cue in cues:
                continue
            if measure.always and not measure.cue and self._of_no_part(view):
                continue
            if measure.always and not measure.cue and any(i.sort == "part" and i.data.end for i in view.piece.items):
                continue  # `12 V on control plus` is a reading, and not what the boat runs on
            if measure.describes and (not self.describes or view.named or view.has_scene):
                continue
            asked = self.answer.about if self.answer is not None and not view.named else ()
            if any(base_of(a) in measure.not_of for a in (*asked, *(a for n in view.named for a in n.about))):
                continue
            if measure.not_at and at and is_mark(view.piece.items[at - 1], "at"):
                continue
            if measure.not_with and self._said_with(view.piece, measure.not_with):
                continue
            if measure.not_place and any(is_place(n) for n in view.named):
                continue
            if measure.unless_asked and not view.named and self._reads_in(measure.unless_asked):
                continue
            if measure.anywhere and any(d.what == measure.what for d in self.drafts[self.sentence_start :]):
                continue
            figure = quantity.value * measure.factor
            if measure.largest is not None and figure > measure.largest:
                continue
            if measure.smallest is not None and figure < measure.smallest:
                continue
            if measure.whole and quantity.decimal:
                continue
            if measure.without_scene and (view.has_scene or (self.answer is not None and self.answer.way)):
                continue
            if measure.not_beside and any(
                i.sort == "number" and i.data.unit == measure.not_beside for i in view.piece.items
            ):
                continue
            if measure.beside and measure.beside not in self.units_here:
                continue
            if measure.apart_from in self.units_here:
                continue
            if measure.allowed and figure not in measure.allowed:
                continue
            if measure.asked and (self.answer is None or self.answer.number != measure.what):
                continue
            found = self._measure_subject(measure, groups, view)
            if found is not None:
                return (measure.gives,) if measure.gives else found, measure.what, measure.factor
        return None

    def _said_with(self, piece: Piece, name: str) -> bool:
        """Whether a word of a list of the language stands in the piece, by itself or in a phrase."""
        listed = self._words_in(name)
        return any(word in listed for i in piece.items for word in i.text.split())

    def _of_no_part(self, view: View) -> bool:
        """Whether only other gear was named (`one spare fuse is left, 250 A`)."""
        if view.named:
            return not any(n.about for n in view.named)
        return self.elsewhere and self.answer is None and view.piece.opener in ("comma", "and")

    def _own_cues(self, view: View, at: int, quantity: Quantity) -> set[str]:
        """The cues of a piece, and those that a list of readings carries on (`clamps drop 0.02, main fuse 0.06`)."""
        settings = self.words.settings
        if view.cues or view.named or not view.sides:
            self.sided_cues = view.cues if view.sides else set()
        elif self.sided_cues and view.piece.opener in ("cut", "comma", "and", "slash"):
            return set(self.sided_cues)  # `current port 380, stbd 0`
        small = quantity.unit in (None, "V") and quantity.value <= float(settings.get("largest_drop", 5))
        stepped = ("auxiliary", "about", "at")
        before = [i for i in view.piece.items[:at] if not (i.sort == "mark" and i.data.name in stepped)]
        if small and before and before[-1].sort == "mark" and before[-1].data.name == "fall":
            self.carried_cues = {"lost", "fallen"}
            return view.cues | self.carried_cues
        bare = bool(view.named) and not view.cues and not view.piece.has("state", "scene")
        if self.carried_cues and bare and small and view.piece.opener in ("comma", "and"):
            return view.cues | self.carried_cues
        self.carried_cues = view.cues & {"lost"} if small else set()
        return view.cues

    def _measure_subject(self, measure: Measure, groups: list[tuple[str, Group]], view: View) -> Group | None:
        if measure.always:
            return (measure.always,)
        for origin, group in groups:
            if not group:
                if origin in ("here", "after") and not measure.beside:
                    return None
                continue
            wanted = self.answer.number if self.answer is not None and origin == "asked" else None
            if measure.units == ("bare",) and wanted is not None and measure.what != wanted:
                continue
            fits = tuple(g for g in group if base_of(g) in measure.about)
            leads = view.piece.items[0].sort in ("number", "scene")
            place = leads and self.spoken is not None and self.spoken.place  # `load side of the fuse, zero`
            labelled = origin == "sentence" and (view.piece.opener == "colon" or place)
            if fits and not (measure.here and origin not in ("here", "asked") and not labelled):
                return fits
            if origin in ("here",) and measure.default is None:
                return None
        return (
            (measure.default,) if measure.default and not any(g for o, g in groups if o in ("here", "after")) else None
        )

    def _counts(self, view: View, at: int) -> bool:
        """A small whole number right before a part counts things and is no reading."""
        items = view.piece.items
        after = items[at + 1] if at + 1 < len(items) else None
        place = after is not None and after.sort == "part" and after.data.place
        return after is not None and after.sort in ("part", "family") and not place and not view.cues

    def _along_it(self, view: View) -> Group:
        """`Loses 0.2 along it`, behind a line about a cable: of what was told last, whatever was asked for."""
        items = view.piece.items
        leads = [is_mark(i, "over", "at") or is_cue(i) for i in items]
        object_ = self._words_in("object_words")
        it = any(
            lead and is_mark(i, "pronoun") and i.text in object_ for lead, i in zip(leads, items[1:], strict=False)
        )
        return spoken_of(self.heard.recent) if it and not (self.heard.answering or self.drafts) else ()

    def _number_groups(self, view: View, at: int) -> Iterable[tuple[str, Group]]:
        before = [n for n in view.named if n.at < at]
        after = [n for n in view.named if n.at > at]
        rated = names_in(self.words.settings, "rated")
        amps = view.piece.items[at].data.unit in names_in(self.words.settings, "load_units")
        if amps and after and after[0].at == at + 1 and set(after[0].about) <= rated:
            yield "here", after[0].about
        if before and after and (self._leads(view, at, after[0]) or _figure_first(view)):
            pair = before[-1].item.sort == "family" and after[0].item.sort != "family"
            before = before if pair and not _figure_first(view) else []
        if not before and after:
            yield "here", after[0].about
        else:
            pairs = [n for n in before if n.item.sort == "family"]
            for named in (*reversed(pairs), *(n for n in reversed(before) if n not in pairs)):
                yield "here", named.about
        if not view.named and (last := self._along_it(view)):
            yield "sentence", last
        if not view.named:
            if self.labelled and view.piece.opener in ("colon", "dash"):
                yield "sentence", self._turned(view, self.subject)
                asked_for = self.answer.about if self.answer is not None else ()
                if (
                    self.subject_here
                    and asked_for
                    and not set(self.subject) & {*asked_for, *self._called(self.subject)}
                ):
                    return  # `studs: 12.4`, whatever was asked for
            asked = self.answer is not None and self.answer.number is not None
            if asked and self.subject != self.measured:
                yield "asked", self._asked_group(view)
            if self.subject_here:
                yield "sentence", self._turned(view, self.subject)
            if self._asks_figures():
                yield "asked", self._asked_group(view)
            if not self.subject_here and self.subject:
                yield "before", self._turned(view, self.subject)
        elif self._asks_figures():
            yield "asked", self._asked_group(view)

    def _asks_figures(self) -> bool:
        """Whether a figure that names no place may be an answer to what was asked."""
        return self.answer is not None and bool(self.answer.about) and self.answer.figures

    def _leads(self, view: View, at: int, named: Named) -> bool:
        between = view.piece.items[at + 1 : named.at]
        told = at > 0 and is_particle(view.piece.items[at - 1])  # `isolator on 12.7 on the battery`
        return any(is_mark(i, "at") or (told and is_particle(i)) for i in between) or (
            not between
            and any(i.sort in ("number", "range") for i in view.piece.items[:at]) is False
            and view.piece.items[0] is view.piece.items[at]
        )


def _figure_first(view: View) -> bool:
    """Whether figures and names take turns, a figure first (`12.6 batt 0 studs`)."""
    order = [i.sort in ("number", "range") for i in view.piece.items if i.sort in ("number", "range", "part", "family")]
    return len(order) > 2 and order[0] and all(a != b for a, b in pairwise(order))


def _is_other(item: Item) -> bool:
    return not (item.data.about or item.data.end or item.data.upstream or item.data.place)


def _should(piece: Piece) -> bool:
    """Whether a figure is what ought to be (`should be 12`, `there ought to be 12 volts`)."""
    return bool(piece.marks("should")) or any(i.data.scope == "ought" for i in piece.marks("hedge"))


def _unit_fits(measure: Measure, quantity: Quantity) -> bool:
    return (quantity.unit or "bare") in measure.units
