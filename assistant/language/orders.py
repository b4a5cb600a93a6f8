"""What is said to the assistant itself, and what is taken back."""

from __future__ import annotations

from assistant.knowledge.model import SIDES
from assistant.language.ellipsis import ShortForms
from assistant.language.items import Item, is_mark
from assistant.language.moods import OF_THE_CASE
from assistant.language.pieces import Piece, Sentence
from assistant.language.views import plain_sides


class Orders(ShortForms):
    """What is said to the assistant itself, and what is taken back."""

    def _to_assistant(self, sentence: Sentence) -> bool:
        """Whether a sentence speaks to the assistant and states nothing."""
        items = [i for p in sentence.pieces for i in p.items]
        head = sentence.pieces[0].items
        if self._gone(head) and not self.drafts:
            return self._withdraw([i for i in head if i.sort in ("part", "family")], head)
        return any(item.sort == "ask" and self._asked(sentence, item, items) for item in items)

    def _after_withdrawal(self, sentence: Sentence) -> Sentence:
        """What a sentence goes on to state behind `forget what I said about the fuse`; nothing behind other orders."""
        at = next((n for n, p in enumerate(sentence.pieces) if _withdraws(p)), None)
        at = 0 if self._gone(sentence.pieces[0].items) else at
        rest = sentence.pieces[at + 1 :] if at is not None else []
        return Sentence(rest if any(p.has("state", "number", "range") for p in rest) else [], sentence.question)

    def _asked(self, sentence: Sentence, item: Item, items: list[Item]) -> bool:
        name = item.data.name
        named = [i for i in items if i.sort in ("part", "family")]
        tells = any(i.sort in ("state", "number", "range", "change", "scene") for i in items)
        if name == "withdraw":
            described = any(item in p.items and p.has("state") for p in sentence.pieces)  # `… about the wet plug`
            return bool(named) and not described and self._withdraw(named, items)
        if name == "undo" and tells and self.drafts and item is sentence.pieces[0].items[0]:
            self._forget_last()  # `motor cold. Forget it, my lead had fallen out`
            return True
        asks = sentence.question or not tells or item is items[0]
        if name in OF_THE_CASE and asks and not self._tells_before(sentence, item):
            return self._of_what_stands(name, named)
        if tells and not (name == "why_ask" and sentence.question):
            return False
        if name in ("why", "why_not"):
            return self._why(name, named)
        if name == "undo" and self.drafts:  # `the fuse is whole ... no, forget that`
            self._forget_last()
        elif name == "undo":
            self.undo = True
        elif name == "why_ask":
            self.ask = {"why_ask": self.heard.asked} if self.heard.asked else {"help": True}
        else:
            self.ask = {name: item.data.value}
        return True

    def _tells_before(self, sentence: Sentence, item: Item) -> bool:
        """`It's in the off position, shall I turn it on?`: what is told before is not to be lost."""
        at = next(n for n, p in enumerate(sentence.pieces) if item in p.items)
        return any(p.has("state", "number", "range", "scene") for p in sentence.pieces[:at])

    def _of_what_stands(self, name: str, named: list[Item]) -> bool:
        """`Is it safe now?`, `what did I tell you about the studs?`."""
        parts = [a for i in named for a in (i.data.about if i.sort == "part" else i.data.members(SIDES))]
        self.ask = {name: parts if name == "told" and parts else True}
        return True

    def _forget_last(self) -> None:
        """Drop what the last piece that claimed anything told."""
        del self.drafts[self.piece_start :]
        self.wrong = min(self.wrong, len(self.drafts))
        self.pending.clear()
        self.bare.clear()
        self.last = ()

    def _gone(self, items: list[Item]) -> bool:
        """`Scrap that 12.1 on the studs`: the figure behind such words is the one that is taken back."""
        gone = len(items) > 1 and is_mark(items[0], "correction") and items[0].data.scope == "gone"
        return gone and items[1].sort in ("number", "range", "change")

    def _withdraw(self, named: list[Item], items: list[Item]) -> bool:
        self.undo = not named  # `scrap that 12.1`: all that was told last
        sides = [s for i in items if i.sort == "side" for s in (i.data.name,) if s in SIDES]
        for part in named:
            if part.sort == "part":
                self.withdraw += list(part.data.about)
                if self._gone(items):  # `scrap that 12.1 at the studs, it's 11.9`
                    self.subject, self.subject_here = part.data.about, True
            else:
                self.withdraw += list(part.data.members(plain_sides(part.sides) or sides or SIDES))
        return True

    def _why(self, name: str, named: list[Item]) -> bool:
        if not named:
            return False
        about = named[0].data.about if named[0].sort == "part" else (named[0].data.port, named[0].data.starboard)
        fault = next((f for f in self.heard.faults if f.split(".")[0] in about), None)
        if fault is not None:
            self.ask = {name: fault}
        return True


def _withdraws(piece: Piece) -> bool:
    return any(i.sort == "ask" and i.data.name in ("withdraw", "undo") for i in piece.items)
