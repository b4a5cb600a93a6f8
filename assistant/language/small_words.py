"""Small words beside a state: a negation, a preposition, how well, and that it only came about."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import islice

from assistant.language.items import Item, is_mark, is_particle
from assistant.language.pieces import Piece
from assistant.language.retracting import Retracting
from assistant.language.views import is_cue, names_in


class SmallWords(Retracting):
    """Small words beside a state: a negation, a preposition, how well, and that it only came about."""

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
        if self._ends_a_pull(piece, at):
            return True
        plain = self.words.light | self._words_in("end_of_clause")  # `isolator off first`
        behind = (i for i in islice(piece.items, at + 1, None) if not (i.sort == "word" and i.text in plain))
        after = list(islice(behind, 1))
        if not after:
            before = piece.items[at - 1] if at else None
            strange = before is not None and before.sort == "word" and before.text not in self.words.light
            ends = piece.items[at].text in names_in(self.words.settings, "near_and_far")
            return strange and ends and not piece.has("part", "family", "side")  # `the noise does my head in`
        leads = at == 0 and after[0].sort == "mark" and not is_mark(after[0], "auxiliary", "now", "not", "with")
        if leads and any(i.sort in ("part", "family") for i in behind):
            return True  # `on the last boat it was the fuse`
        if after[0].sort == "state":
            return not all(s.particle for s in after[0].data)
        if after[0].sort == "number" and self._own_particle(piece, at):
            return False
        return after[0].sort in ("part", "family", "word", "side", "number", "range") or (
            after[0].sort == "mark" and (after[0].data.name in ("pronoun", "which_side") or is_cue(after[0]))
        )

    def _ends_a_pull(self, piece: Piece, at: int) -> bool:
        """`Pulled the joystick off`: the particle belongs to what was done to the part before it."""
        before = piece.items[at - 1] if at else None
        verb = piece.items[at - 2] if at > 1 else None
        if before is None or before.sort != "part" or verb is None or verb.sort != "state" or is_particle(verb):
            return False
        return any(claim == ("plugged", False) for s in verb.data for claim in s.tells)

    def _own_particle(self, piece: Piece, at: int) -> bool:
        """`Isolator on 12.6 at the studs`: the part right before can be so, and the figure is read elsewhere."""
        before = piece.items[at - 1] if at else None
        if before is None or before.sort != "part" or not any(i.sort == "part" for i in piece.items[at + 2 :]):
            return False
        return any(about in s.means for s in piece.items[at].data for about in before.data.about)

    def _says_how(self, piece: Piece, at: int) -> bool:
        """`turns ok`: right behind another state it says how well, and nothing of its own."""
        before = piece.items[at - 1] if at else None
        if before is None or before.sort != "state" or all(s.particle for s in before.data):
            return False
        return piece.items[at].text in names_in(self.words.settings, "adverbs")

    def _becomes(self, piece: Piece, at: int) -> bool:
        """`The holder has gone crusty`: right before a defect it says no more than that it came about."""
        after = piece.items[at + 1] if at + 1 < len(piece.items) else None
        if piece.items[at].text.split()[-1] not in names_in(self.words.settings, "becomes") or after is None:
            return False
        defects = names_in(self.words.settings, "defects")
        states = after.data if after.sort == "state" else ()
        return any(what.split(".")[-1] in defects for s in states for what, _ in s.tells)

    def _only_came(self, piece: Piece, at: int, told: bool) -> bool:
        """`The wire has not gone back on`: a verb of coming about that told nothing leaves the denial to the next."""
        after = piece.items[at + 1] if at + 1 < len(piece.items) else None
        said = piece.items[at].text.split()[-1] in names_in(self.words.settings, "becomes")
        return not told and said and after is not None and after.sort == "state"

    def _later_state(self, piece: Piece, at: int) -> bool:
        return any(
            i.sort == "state" and not self._hanging(piece, at + 1 + n) for n, i in enumerate(piece.items[at + 1 :])
        )

    def _of_something(self, piece: Piece, at: int) -> bool:
        """`nothing rubbing`: what is denied is a word that nobody knows here."""
        after = piece.items[at + 1 : at + 2]
        return bool(after) and after[0].sort == "word" and after[0].text not in self.words.light

    def _not_after(self, piece: Piece, at: int) -> bool:
        """`lights: none`, `clicks no`: a negation that stands alone behind its state; in some languages, any."""
        behind = piece.items[at + 1 :]
        if self.words.settings.get("late_negation"):
            denials = [n for n, i in enumerate(behind) if self._is_not(i)]
            figure = bool(denials) and any(i.sort in ("number", "range") for i in behind[denials[0] :])
            return len(denials) == 1 and not figure and not self._later_state(piece, at)
        if self._heard_nothing(piece.items, at) or _is_none(piece.items[at], behind):
            return True
        neither = [i for i in behind if self._is_not(i) and i.sort in ("side", "part")]
        if len(neither) == 1 and not self._later_state(piece, at) and not piece.has("number", "range"):
            return all(i.sort in ("side", "part", "word") or is_mark(i, "to", "at", "from", "with") for i in behind)
        rest = [i for i in behind if i.sort != "side" and not (i.sort == "word" and i.text in self.words.light)]
        nots = [i for i in rest if i.sort == "mark" and i.data.name == "not"]
        marks = all(i.sort == "mark" and i.data.name in ("not", "with", "now", "also", "at", "pronoun") for i in rest)
        first = next((i for i in rest if not is_mark(i, "also")), None)  # `click no, turn also no`
        return len(nots) == 1 and marks and first is nots[0]


def _is_none(item: Item, behind: Sequence[Item]) -> bool:
    """`Rope or weed none`: behind a finding, and at the end, a word for nothing denies it."""
    found = item.sort == "state" and not any(s.negates for s in item.data)
    last = behind[0] if len(behind) == 1 else None
    return found and last is not None and last.sort == "state" and all(s.negates for s in last.data)
