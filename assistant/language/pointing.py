"""Figures that were told before and are spoken of again: `that 12.65 was at rest`, `the 11.2 was the engine bank`."""

from __future__ import annotations

from collections.abc import Sequence

from assistant.facts import RawFact
from assistant.language.agreement import Agreement
from assistant.language.drafts import Draft
from assistant.language.items import Item, is_mark, is_particle
from assistant.language.pieces import Piece
from assistant.language.quantities import Quantity
from assistant.language.views import View, base_of

_NEAR = 0.0005
"""Two figures that differ by less than this part of them are the same."""


class Pointing(Agreement):
    """Figures that were told before and are spoken of again."""

    def _points_back(self, piece: Piece) -> bool:
        """Whether a piece only says more of a figure told before: when, where or that it was none."""
        numbers = [i for i in piece.items if i.sort == "number"]
        if not numbers:
            return self._both_of_them(piece)
        told = self._pointed_at(piece, numbers[0]) if len(numbers) == 1 else None
        if told is None:
            return False
        view = self._view(piece)
        named = [n for n in view.named if n.about]
        gone = any(piece.marks(name) for name in ("take_back", "retract")) or self._says_wrong(piece)
        if gone or (view.named and not named):
            self._forget_told(told)
            return True
        if piece.silent or piece.has("change", "range"):
            return False
        if self._in_another_unit(view, numbers[0], told):
            return True
        if named and told.about not in named[-1].about:
            return self._of_another_place(view, numbers[0], told)
        if view.has_scene:
            self._in_another_scene(view, numbers[0], told)
            return True
        if piece.doubted:
            self._say_again(view, numbers[0], told, set(told.while_))
            return True
        return False

    def _not_again(self, piece: Piece, first: int) -> None:
        """`Free spinning is wrong`, `nonsense about it staying dark`: what stands is taken back, and not told anew."""
        if not (piece.marks("take_back") or piece.marks("retract") or self._says_wrong(piece)):
            return
        standing = {(f.about, f.what, f.value): f for f in self.heard.standing}
        for draft in self.drafts[first:]:
            told = standing.get((draft.about, draft.what, draft.value))
            if told is not None:
                self.drafts.remove(draft)
                self._take_back(told)

    def _both_of_them(self, piece: Piece) -> bool:
        """`Both at rest`, `both with nothing running`: the figures of the last line, and when they were read."""
        both = any(i.sort == "side" and i.data.name == "both" for i in piece.items)
        plain = all(i.sort in ("scene", "side", "word") or is_mark(i, "pronoun", "auxiliary") for i in piece.items)
        if not (both and plain and piece.has("scene")) or self.drafts:
            return False
        figures = [f for f in self.heard.recent if not isinstance(f.value, bool | str)]
        open_ = self._told_barely(figures)
        view = self._view(piece)
        if len(open_) < 2 or view.way:
            return False
        for told in open_:
            self._in_another_scene(view, piece.items[0], told)
        return True

    def _pointed_at(self, piece: Piece, item: Item) -> RawFact | None:
        """The figure told before that is meant; none where it is a reading of its own."""
        elsewhere = piece.marks("also") and piece.has("part", "family")  # `the 12.6 at the studs too`
        states = any(i.sort == "state" and not is_particle(i) for i in piece.items)
        if elsewhere or piece.marks("same") or states or self._told_here(item.data):
            return None
        before = self.text[: item.start].split()[-1:]
        pointed = bool(before) and before[0].lower() in self._words_in("pointing_words")
        taken_back = bool(piece.marks("take_back"))
        bare = piece.has("scene") and not piece.has("part", "family", "side")
        found = [f for f in self.heard.figures if _is_same(f, item.data)]
        if len({f.about for f in found}) > 1:  # `take back the 11 ohm on the starboard coil`
            named = {a for n in self._view(piece).named for a in n.about}
            found = [f for f in found if f.about in named] or found
        if pointed or taken_back:
            return found[-1] if found else None
        open_ = self._told_barely(found)
        return open_[-1] if bare and len({(f.about, f.what) for f in open_}) == 1 else None

    def _told_barely(self, figures: Sequence[RawFact]) -> list[RawFact]:
        """Those figures of which nobody said when they were read."""
        return [f for f in figures if not set(f.while_) & self._words_in("figure_circumstances")]

    def _told_here(self, quantity: Quantity) -> bool:
        return any(type(d.value) in (int, float) and d.value == quantity.value for d in self.drafts)

    def _says_wrong(self, piece: Piece) -> bool:
        """`The 12.6 is wrong`, `forget the 12.6`, but not `don't forget that …`, `it goes the wrong way`."""
        wrong = self._words_in("wrong_words")
        said = [i for i in piece.items if i.sort != "state" and not is_mark(i, "polite")]
        return any(word in wrong for i in said for word in i.text.split())

    def _forget_told(self, told: RawFact) -> None:
        """Take a figure back; what is told instead stands in its circumstances."""
        self._take_back(told)
        self.instead_of.append(told)

    def _of_another_place(self, view: View, item: Item, told: RawFact) -> bool:
        """`The 12.6 was at the isolator`: read elsewhere than was told."""
        about = [n.about for n in view.named if n.about][-1]
        unit = self.words.trial.attributes[told.what].get("number")
        fits = any(
            unit in m.units and m.what == told.what and base_of(about[0]) in m.about for m in self.words.measures
        )
        if len(about) != 1 or not fits:
            return False
        self._forget_told(told)
        scene = view.scene or set(told.while_)
        self._say_again(view, item, told.model_copy(update={"about": about[0]}), set(scene))
        return True

    def _in_another_unit(self, view: View, item: Item, told: RawFact) -> bool:
        """`That 24.8 was volts, you wrote ohms`: the same figure, of what is measured in the unit that is named."""
        items = view.piece.items
        said = self.text[item.end : items[-1].end].lower().split()
        units = [
            u.unit for w in said if len(w) > 1 and (u := self.words.units.spelled.get((w.strip(".,"),))) is not None
        ]
        if not units or units[0] == self.words.trial.attributes[told.what].get("number"):
            return False
        measure = next(
            (m for m in self.words.measures if units[0] in m.units and base_of(told.about) in m.about and not m.cue),
            None,
        )
        if measure is None:
            return False
        self._forget_told(told)
        self.instead_of.pop()  # of another unit, it was read in circumstances of its own
        self._say_again(view, item, told.model_copy(update={"what": measure.what}), set(view.scene))
        return True

    def _in_another_scene(self, view: View, item: Item, told: RawFact) -> None:
        """`That 12.65 was at rest`."""
        if view.scene != set(told.while_):
            self._forget_told(told)
        self._say_again(view, item, told, set())

    def _say_again(self, view: View, item: Item, told: RawFact, scene: set[str]) -> None:
        """Tell the figure anew, in the circumstances named now where there are any."""
        items = view.piece.items
        draft = Draft(told.about, told.what, told.value, min(item.start, items[0].start), items[-1].end, scene=scene)
        draft.certain = not view.piece.doubted and told.certain
        self._dress(draft, view.scene, view.way, view.scene_sides)
        self.again.append(draft)
        self.drafts.append(draft)


def _is_same(fact: RawFact, quantity: Quantity) -> bool:
    """Whether a figure told before is this one."""
    if isinstance(fact.value, bool | str) or quantity.unit not in (None, fact.unit):
        return False
    return abs(fact.value - quantity.value) <= _NEAR * abs(quantity.value)
