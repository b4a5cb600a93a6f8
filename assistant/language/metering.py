"""What a figure is by the way in which it was measured: of the tester, a current drawn, too large to be a loss."""

from __future__ import annotations

from dataclasses import replace

from assistant.language.claims import Claims
from assistant.language.items import Item, is_mark
from assistant.language.quantities import Quantity
from assistant.language.views import View, names_in

_LEAST_DRAWN = 20
"""No thruster that turns draws less, in amperes."""


class Metering(Claims):
    """What a figure is by the way in which it was measured."""

    def _of_the_tester(self, quantity: Quantity) -> bool:
        """`120 megohms at 500 volts`: what an insulation tester tests with."""
        tested = self.answer is not None and self.answer.number in names_in(self.words.settings, "tested_with_volts")
        return tested and quantity.unit == "V"

    def _tested(self, view: View, quantity: Quantity) -> None:
        """`0.00 megohms`, where the insulation was asked for: that is what it is, however small."""
        asked = self.answer.number if self.answer is not None else None
        if asked in names_in(self.words.settings, "tested_with_volts") and quantity.unit == "ohm":
            view.cues.add(str(asked))

    def _drawn(self, view: View, at: int, quantity: Quantity) -> Quantity:
        """`Motor pulling 220`: what it draws is a current."""
        before = view.piece.items[at - 1] if at else None
        draws = before is not None and bool(set(before.text.split()[-1:]) & self._words_in("draws"))
        motor = {a for n in view.named for a in n.about} & names_in(self.words.settings, "draw_current")
        scene = before is not None and before.sort == "scene"
        large = quantity.unit is None and not quantity.decimal and quantity.value >= _LEAST_DRAWN
        if not (draws and large and (motor or scene)):
            return quantity
        view.cues.add("current")
        return replace(quantity, unit="A")

    def _reads_in(self, name: str) -> bool:
        """Whether the test asks for this attribute, or reads in this circumstance."""
        lost = self.words.settings.get("lost_with")
        if name == self.words.settings.get("flows_in") and any(
            d.what == lost for d in self.drafts[self.sentence_start :]
        ):
            return True  # `0.15 at the clamp, 1.7 over the isolator, all with her running, 310 amps`
        return self.answer is not None and name in (self.answer.number, *self.answer.while_)

    def _rested_before(self, item: Item) -> bool:
        """Whether the sentence told of a rest before this."""
        return any(
            i.start < item.start and is_mark(i, *self._words_in("carried")) for p in self.pieces_here for i in p.items
        )

    def _no_loss(self, quantity: Quantity) -> bool:
        """Whether a loss was asked for, and a figure is too large to be one."""
        settings = self.words.settings
        asked = self.answer is not None and self.answer.number == settings.get("lost_with")
        volts = quantity.unit in (None, "V")
        return asked and volts and quantity.value > float(settings.get("largest_drop", 5))
