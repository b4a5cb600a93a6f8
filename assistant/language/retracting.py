"""What is taken back, turned round or was never read in the very text that told it."""

from __future__ import annotations

from dataclasses import replace

from assistant.knowledge.model import SIDES
from assistant.language.drafts import Draft
from assistant.language.items import Item, is_mark, is_particle
from assistant.language.pieces import Piece, Sentence
from assistant.language.pointing import Pointing
from assistant.language.views import base_of, names_in

_BESIDE = ("now", "also", "polite", "sure", "hedge", "then", "correction")
"""Marks that may stand beside a bare denial (`she tells me now it isn't`)."""


class Retracting(Pointing):
    """What is taken back, turned round or was never read in the very text that told it."""

    def _retract(self, piece: Piece) -> bool:
        """Undo what a piece takes back, and say whether it states nothing else."""
        turned = self._turn_round(piece) or self._other_way(piece)
        if not (piece.marks("retract") or self._of_other_gear(piece)):
            return turned
        self._forget_last()
        return not self._claims(piece)

    def _of_other_gear(self, piece: Piece) -> bool:
        """`12.9 … that's the starter one`: what was just read is of something that is none of the thruster's."""
        told = self.drafts[-1:]
        if not told or isinstance(told[0].value, bool | str):
            return False
        known = [i for i in piece.items if not is_mark(i, "correction", "but", "no", "not")]
        parts = [i for i in known if i.sort == "part"]
        if not parts or any(i.data.about or i.data.end for i in parts):
            return False
        if piece.opener == "but" and len(known) < 4 and (is_particle(known[0]) or is_mark(known[0], "at", "from")):
            return True  # `12.6 but off the engine battery`
        pronoun = is_mark(known[0], "pronoun") or known[0].text in names_in(self.words.settings, "relatives")
        return pronoun and not self._claims(piece) and any(is_mark(i, "auxiliary") for i in known[1:3])

    def _turn_round(self, piece: Piece) -> bool:
        """`Nobody in the water … oh yes there is`: the last yes or no was the other one."""
        found = piece.marks("turned")
        if not found:
            return False
        what, _, value = found[0].data.scope.partition("=")
        if not self.drafts:
            return self._obeys_turned(piece, what, value)
        told = [d for d in self.drafts if isinstance(d.value, bool) and what in (d.what, "any")]
        if not told or (value and str(told[-1].value).lower() == value):
            return False
        place = next(n for n, d in enumerate(self.drafts) if d is told[-1])
        self.drafts[place] = replace(told[-1], value=not told[-1].value, end=piece.items[-1].end)
        return not self._claims(piece)

    def _obeys_turned(self, piece: Piece, what: str, value: str) -> bool:
        """`He's out`, to a stop that wants everybody out."""
        answer = self.answer
        if answer is None or not answer.confirm or not value or (answer.about[0], what) not in answer.takes:
            return False
        items = piece.items
        draft = Draft(answer.about[0], what, value == "true", items[0].start, items[-1].end)
        all_but = any(p.marks("except") for p in self.pieces_here)  # `they're out now, all but one`
        self.drafts.append(replace(draft, certain=not (piece.doubted or all_but)))
        return not self._claims(piece)

    def _other_way(self, piece: Piece) -> bool:
        """`It only runs to starboard … no, to port`: what was just told is so in the other direction."""
        before = self.refused
        self.refused = piece.bare_no and piece.opener == "start"
        sides = {i.data.name for i in piece.items if i.sort == "side"}
        only = before and sides and all(i.sort in ("side", "word") or is_mark(i, "polite") for i in piece.items)
        told = [d for d in self.drafts[self.piece_start :] if d.sides]
        if not only or len(sides) != 1 or not sides <= set(SIDES) or any(set(d.sides) == sides for d in told):
            return False
        for draft in told:
            draft.sides = tuple(sides)
        return bool(told)

    def _not_so(self, sentence: Sentence, number: int) -> bool:
        """`My husband swore the breaker had tripped. It hadn't.`: the last statement before is not so."""
        piece, told = sentence.pieces[number], self._may_be_denied(sentence, number)
        if not told or told[-1].denied or self.last_denied:
            return False
        last = told[-1]
        denied = [c for s in self.last for c in s.denied.get(base_of(last.about)) or s.denied.get("any") or ()]
        if denied:
            last.what, last.value = denied[0]
        elif isinstance(last.value, bool):
            last.value = not last.value
        else:
            self.drafts.remove(last)
            self._question("negation", Item("state", None, last.start, piece.items[-1].end))
            return True
        last.denied, last.certain, last.end = True, not piece.doubted, piece.items[-1].end
        return True

    def _may_be_denied(self, sentence: Sentence, number: int) -> list[Draft]:
        """What was told before a piece that is no more than a denial; nothing before any other."""
        piece = sentence.pieces[number]
        only = piece.items[0] if len(piece.items) == 1 else None
        if number and only is not None and only.sort == "mark" and only.data.scope == "contrary":
            return self.drafts[max(self.piece_start, self.sentence_start) :]  # `the isolator is off, no it isn't`
        if number > 1 and sentence.pieces[number - 1].bare_no:
            told = self.drafts[self.sentence_start :]  # `the isolator is on, no, it isn't`
        else:
            told = self.drafts[self.sentence_before : self.sentence_start] if piece.opener == "start" else []
        return told if told and self._only_denies(piece) else []

    def _goes_against(self, piece: Piece) -> bool:
        """Whether a piece denies what was only quoted before it (`you said all clear, it's not`)."""
        return piece.opener == "but" or (piece.opener in ("comma", "cut", "dash") and self._only_denies(piece))

    def _only_denies(self, piece: Piece) -> bool:
        """Whether a piece is no more than a pronoun, a verb that stands for another, and `not`."""
        said = [i for i in piece.items if not is_mark(i, *_BESIDE)]
        plain = all(i.sort == "word" or is_mark(i, "pronoun", "auxiliary", "takes", "not") for i in said)
        if not plain or len(said) < 3 or piece.silent:
            return False
        end = said[-3:]
        verb = is_mark(end[1], "auxiliary", "takes") and is_mark(end[2], "not")
        return verb and is_mark(end[0], "pronoun") and end[0].text not in names_in(self.words.settings, "doers")

    def _unread(self, sentence: Sentence) -> None:
        """`No reading, the probe kept slipping`: where a sentence tells why none was taken, none is no figure."""
        if not any(p.marks("unread") for p in sentence.pieces):
            return
        listed = names_in(self.words.settings, "measured")
        self.drafts[self.sentence_start :] = [
            d
            for d in self.drafts[self.sentence_start :]
            if d.what not in listed or d.value != 0 or self.text[d.start : d.end].strip(" .,").isdigit()
        ]
        self.bare.clear()
