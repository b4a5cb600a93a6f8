"""What the claims of one piece make of each other: opposites, work done, both ways, a load, what is so now."""

from __future__ import annotations

from assistant.knowledge.model import SIDES
from assistant.language.closing import Closing
from assistant.language.drafts import Draft
from assistant.language.items import Item
from assistant.language.pieces import Piece
from assistant.language.views import View, names_in


class Agreement(Closing):
    """What the claims of one piece make of each other."""

    def _agree(self, view: View, made: int) -> None:
        """Of two opposite claims in one piece (`no lamp comes on`) the denied one is meant; else neither is safe."""
        new = self.drafts[len(self.drafts) - made :] if made > 1 else []
        for n, one in enumerate(new):
            for other in new[n + 1 :]:
                same = (one.about, one.what, one.sides) == (other.about, other.what, other.sides)
                if same and self._opposite(one, other):
                    self._settle(one, other)

    def _answered_by_figure(self, asked: int) -> None:
        """`Lost 0.8 over the minus cable`: with its figure taken, nobody need say what the verb is about."""
        part = self.words.questions.get("part")
        kept = [u for u in self.unclear[asked:] if u.question != part or u.hazard]
        if len(kept) < len(self.unclear) - asked:
            self.unclear[asked:], self.unsaid = kept, []

    def _part_of_work(self, new: int) -> None:
        """`A new control box went on in spring`: that it was put on is part of the work, and no state of a plug."""
        table = self.words.settings.get("part_of_work") or {}
        done = {(d.about, part) for d in self.drafts[new:] for part in str(table.get(d.what, "")).split()}
        self.drafts[new:] = [d for d in self.drafts[new:] if (d.about, d.what) not in done]

    def _no_more(self, view: View, new: int) -> int:
        """`On starboard nothing but a click`, where it was made to run: it did not."""
        only = view.only or view.piece.marks("merely")
        tried = self.answer is not None and self.answer.way in names_in(self.words.settings, "strong_ways")
        less = names_in(self.words.settings, "no_more_than")
        heard = [d for d in self.drafts[new:] if d.what in less and d.value is True]
        if not (only and tried and heard) or len(heard) < len(self.drafts) - new:
            return 0
        what, whole = next(iter(self.words.trial.split)), str(self.words.settings["whole"])
        self.drafts.append(heard[0].again(about=whole, what=what, value=False, only=False))
        return 1

    def _both_ways(self, view: View, new: int) -> None:
        """`Full push both ways now` says that it runs both ways, too."""
        full = self.words.settings.get("full_both_ways") or {}
        both = {s for _, s in view.sides} >= set(SIDES)
        what = next(iter(self.words.trial.split))
        for draft in self.drafts[new:]:
            if both and full.get(draft.what) == draft.value and not any(d.what == what for d in self.drafts):
                self.drafts.append(draft.again(what=what, value=True, sides=SIDES, scene=set(), setup=set()))

    def _load(self, made: int) -> None:
        """`1.2 V lost at 300 A`: where a current flows, what was read beside it was read under load."""
        settings = self.words.settings
        new = self.drafts[len(self.drafts) - made :] if made else []
        told = self.drafts[self.sentence_start :]
        if made and self._of_the_list(told):
            new = told
        flows = [d for d in new if f"{d.about}.{d.what}" in names_in(settings, "shows_load") and d.value]
        if flows and len(new) > len(flows) and not any("at_rest" in d.scene for d in flows):
            for draft in new:
                if draft.what in names_in(settings, "listed") and not draft.scene:
                    draft.scene.add("under_load")

    def _of_the_list(self, told: list[Draft]) -> bool:
        """`0.6 along the plus and 0.7 along the minus, at 290 A`: one current is that of all losses told with it."""
        listed, shows = (names_in(self.words.settings, name) for name in ("lost_with", "shows_load"))
        flows = [d for d in told if f"{d.about}.{d.what}" in shows]
        return len(flows) == 1 and len(told) > 1 and all(d in flows or d.what in listed for d in told)

    def _now(self, new: int) -> None:
        """`It was dead, now it works`: what is so now takes the place of what this text told before."""
        told = self.drafts[new:]
        self.drafts[:new] = [
            d for d in self.drafts[:new]
            if not any((d.about, d.what) == (n.about, n.what) and d.scene == n.scene
                       and (not d.sides or not n.sides or set(d.sides) <= set(n.sides)) for n in told)
        ]  # fmt: skip

    def _opposite(self, one: Draft, other: Draft) -> bool:
        """Whether two claims of one thing cannot both be meant (`on off`, `plugged unplugged`)."""
        kinds = self.words.settings.get("asked_back") or {}
        plain = isinstance(one.value, bool) and isinstance(other.value, bool) and one.what == other.what
        kind = one.what in kinds and self._kind(one) == self._kind(other)
        return (one.what, one.value) != (other.what, other.value) and (plain or kind)

    def _kind(self, draft: Draft) -> str:
        return str((self.words.settings.get("asked_back") or {}).get(draft.what, draft.what))

    def _either(self, new: int) -> None:
        """`On or off, one of the two`: neither counts, and which it is is asked."""
        before = self.drafts[self.sentence_start : new]
        for other in self.drafts[new:]:
            alike = [d for d in before if d.about == other.about and self._kind(d) == self._kind(other)]
            one = alike[-1] if alike else None
            if one is not None and self._opposite(one, other) and one.sides == other.sides and one.scene == other.scene:
                self.drafts = [d for d in self.drafts if d is not one and d is not other]
                self._ask_back(one, other)

    def _ask_back(self, one: Draft, other: Draft) -> None:
        kind = (self.words.settings.get("asked_back") or {}).get(one.what, "negation")
        self._question(kind, Item("state", None, min(one.start, other.start), max(one.end, other.end)))

    def _settle(self, one: Draft, other: Draft) -> None:
        if one.weak != other.weak:
            idle = one if one.weak else other
            self.drafts = [d for d in self.drafts if d is not idle]
            return
        if one.denied != other.denied:
            meant_not = other if one.denied else one
            self.drafts = [d for d in self.drafts if d is not meant_not]
            return
        self.drafts = [d for d in self.drafts if d is not one and d is not other]
        self._ask_back(one, other)

    def _doubts_figure(self, piece: Piece, made: int) -> None:
        """`It switches itself off after maybe ten seconds`: a doubt about a figure that gives no fact is no other's."""
        hedges = [n for n, i in enumerate(piece.items) if i.sort == "mark" and i.data.name == "hedge"]
        after = [piece.items[n + 1].sort if n + 1 < len(piece.items) else "" for n in hedges]
        new = self.drafts[len(self.drafts) - made :] if made else []
        if hedges and set(after) <= {"number", "range"} and not any(type(d.value) in (int, float) for d in new):
            for draft in new:
                draft.certain = True
