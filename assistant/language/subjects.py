"""What a claim is about: the part named beside it, spoken of before, or asked for."""

from __future__ import annotations

from collections.abc import Iterable

from assistant.knowledge.model import SIDES
from assistant.language.items import Item, is_mark, is_particle
from assistant.language.recall import spoken_of
from assistant.language.viewing import Viewing
from assistant.language.views import Group, Named, View, is_place, is_sided, names_in


class Subjects(Viewing):
    """What a claim is about: the part named beside it, spoken of before, or asked for."""

    def _groups(self, view: View, at: int) -> Iterable[tuple[str, Group]]:
        """Subjects a claim may be about, the likeliest first, with where each comes from."""
        things = self._things(view)
        before = [n for n in things if n.at < at]
        after = [n for n in things if n.at > at]
        for named in reversed(before):
            yield "here", named.about
        for named in after:
            yield "after", named.about
        if not view.named or view.piece.opener == "start":
            if not self.subject_here and self._goes_on(view):
                yield "before", self._turned(view, spoken_of(self.heard.recent))
            if self._one_of_asked(view):
                yield "asked", self._asked_group(view)
            if self.subject_here:
                yield ("here" if self.far_side else "sentence"), self._turned(view, self.subject)
            if self.answer is not None and self.answer.about and not self._pressed(view):
                if self.answer.family is None:
                    for about in self.answer.about:
                        yield "asked", (about,)
                else:
                    yield "asked", self._asked_group(view)
            if not self.subject_here and self.subject:
                yield "before", self._turned(view, self.subject)

    def _one_of_asked(self, view: View) -> bool:
        """`Unit unplugged: port one 11 ohms`: a side is that of the pair asked for, not of a part that has none."""
        pair = self.answer.family if self.answer is not None else None
        sided = any(is_sided(a, self.words.families) for a in self.subject)
        return pair is not None and self.subject_here and not sided and any(s in SIDES for _, s in view.sides)

    def _goes_on(self, view: View) -> bool:
        """`And wet`, `it is loose too`: behind a line of its own, what a text begins with goes on about that line."""
        first = not self.drafts and (view.piece.opener == "and" or bool(view.piece.marks("also")))
        return first and bool(spoken_of(self.heard.recent))

    def _things(self, view: View) -> list[Named]:
        """The parts that a piece speaks of, without those that only say where; all of them where there is no other."""
        return [n for n in view.named if not is_place(n) and not self._where(view, n)] or view.named

    def _where(self, view: View, named: Named) -> bool:
        """`The plus lug at the studs is loose`: a part behind another one and `at` only says where that one is."""
        if not set(named.about) <= names_in(self.words.settings, "whereabouts"):
            return False
        items = view.piece.items
        at = named.at - 1 - (named.at > 2 and items[named.at - 1].sort == "word")
        leads = at > 0 and (is_mark(items[at], "at") or is_particle(items[at]))
        told = at > 1 and items[at - 1].sort in ("state", "word")  # `melted at one stud`, `straight off the post`
        return leads and any(n.at == at - 1 - told and n.about for n in view.named)

    def _pressed(self, view: View) -> bool:
        """Whether a direction was asked for, while the test asks for something that has none (the panel's lamp)."""
        answer = self.answer
        if answer is None or answer.number is not None or answer.way or view.way != "commanded":
            return False
        return all(a in names_in(self.words.settings, "no_sides") for a in answer.about)

    def _turned(self, view: View, group: Group) -> Group:
        """The same pair of subjects on the side named now."""
        family = next((f for f in self.words.families.values() if {*group[:1]} & {f.port, f.starboard, f.alone}), None)
        if family is None:
            return group
        asked = self.answer is not None and self.answer.family is family and view.way == self.answer.way
        sides = self._view_sides(view) or (view.scene_sides if asked else ())  # `zippo when starboard's asked for`
        return family.members(sides) if sides else group

    def _asked_group(self, view: View) -> Group:
        assert self.answer is not None
        if self.answer.family is None:
            return self.answer.about
        tried = view.scene_sides if view.way == self.answer.way else ()  # `12.2 when I ask for port`
        if not tried and not view.way and self.forward_way == self.answer.way:
            tried = self.forward_sides  # `pushing port: 12.2`
        goes_on = view.piece.opener in ("comma", "and", "but", "dash") and not view.piece.marks("pronoun")
        kept = self.side_before if goes_on and not view.scene_sides else ()  # `port one reads nothing, open line`
        return self.answer.family.members(self._view_sides(view) or tried or kept or SIDES)

    def _pronoun(self, view: View, at: int) -> bool:
        """Whether `it` or `she` stands between the last part named and the claim."""
        last = max((n.at for n in view.named if n.at < at), default=-1)
        return last >= 0 and any(i.sort == "mark" and i.data.name == "pronoun" for i in view.piece.items[last + 1 : at])

    def _transitive(self, view: View, at: int) -> bool:
        """`I turn it`: somebody does it, the thing itself does nothing."""
        items = view.piece.items
        if (
            at < len(items)
            and items[at].text.split()[:1]
            and items[at].text.split()[0] in names_in(self.words.settings, "abilities")
        ):
            return False
        if at < len(items) and items[at].text in names_in(self.words.settings, "handled"):
            ends = names_in(self.words.settings, "particles")
            if any(i.text.split()[-1:] and i.text.split()[-1] in ends for i in items[at + 1 :]):
                return True  # `pulled a line off`: done to something
        object_ = next((i for i in items[at + 1 :] if i.sort not in ("word", "side")), None)
        thing = object_ is not None and object_.sort == "part" and len(object_.data.about) == 1
        if not at and len(items) > at + 1 and thing and self._tells_of_run(items[at]):
            return True  # `pulled the wrong plug`
        back = at - 1
        while back > 0 and items[back].sort == "mark" and items[back].data.name in ("auxiliary", "takes"):
            if items[back].text in names_in(self.words.settings, "abilities"):
                break
            back -= 1
        before = items[back] if at else None
        if before is not None and before.text in names_in(self.words.settings, "doers") and not view.sides:
            return True
        beside = [items[n] for n in (at - 1, at + 1) if 0 <= n < len(items)]
        return len(beside) == 2 and all(i.sort == "mark" and i.data.name == "pronoun" for i in beside)

    def _noun(self, view: View, at: int) -> bool:
        """`run 6 m`: followed by such a figure it is no verb."""
        after = view.piece.items[at + 1 : at + 2]
        joins = [n for n, i in enumerate(view.piece.items[:at]) if i.sort == "mark" and i.data.name == "join"]
        since = view.piece.items[joins[-1] + 1 : at] if joins else []
        if joins and not any(i.sort == "part" or (i.sort == "mark" and i.data.name == "pronoun") for i in since):
            return True  # `the jumper moved to starboard`
        before = view.piece.items[at - 1] if at else None
        if before is not None and before.sort == "number" and self._is_length(before):
            return True
        sinks = [i for i in view.piece.items[at + 1 : at + 4] if i.sort != "word"][:2]
        if sinks and sinks[0].sort == "mark" and sinks[0].data.name in ("fall", "to", "from"):
            return any(i.sort in ("number", "range", "change") for i in view.piece.items[at + 1 : at + 5])
        return (
            bool(after)
            and after[0].sort == "number"
            and after[0].data.unit in names_in(self.words.settings, "noun_before")
        )

    def _is_length(self, item: Item) -> bool:
        return item.data.unit in names_in(self.words.settings, "noun_before")

    def _in_clause(self, view: View, at: int) -> bool:
        """`when I switch it on`: it only says when."""
        return any(i.sort == "mark" and i.data.name == "when" for i in view.piece.items[:at]) and any(
            i.sort == "state" for i in view.piece.items[:at]
        )
