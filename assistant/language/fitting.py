"""Of what a saying can be said: what bars it from a part, and what makes it speak of another."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from assistant.facts.model import Value
from assistant.knowledge.model import SIDES
from assistant.language.circumstances import Circumstances
from assistant.language.meanings import Claim, Saying
from assistant.language.pieces import Piece
from assistant.language.views import Group, View, base_of, is_ordinary, is_place, names_in


class NothingToSay(Exception):  # noqa: N818
    """The words are known of this part, and say nothing that the vocabulary could hold."""


class Fitting(Circumstances):
    """Of what a saying can be said: what bars it from a part, and what makes it speak of another."""

    def _at_that_place(self, view: View, group: Group) -> bool:
        """`Load side of it: dead`: said of a place that stands as a heading before."""
        leads = self.before is not None and self.before.label and view.piece.opener in ("colon", "dash")
        return leads and self.spoken is not None and self.spoken.place and tuple(self.spoken.about) == tuple(group)

    def _fits(self, view: View, sayings: tuple[Saying, ...], group: Group, origin: str) -> tuple[Saying, Group] | None:
        if view.has_scene or self.forward:
            sayings = tuple(s for s in sayings if not s.without_scene)
        if any(s in SIDES for _, s in view.sides):
            sayings = tuple(s for s in sayings if not s.without_side)
            sided = tuple(s for s in sayings if not self._sideless(s, group))
            known = any(knows(s, group[0], True, self.words.settings) for s in sided)
            sayings = sided if known or origin != "here" else sayings
        if origin != "after" and not (origin == "asked" and self.answer is not None and self.answer.confirm):
            sayings = tuple(s for s in sayings if not s.object)
        if origin in ("sentence", "before"):
            sayings = tuple(s for s in sayings if not s.here)
        if origin in ("here", "after"):
            named = {w for n in view.named if n.about == group for w in n.item.text.split()}
            sayings = tuple(s for s in sayings if not s.nouns or s.nouns & named)
        if not any(is_place(n) and n.about == group for n in view.named) and not self._at_that_place(view, group):
            sayings = tuple(s for s in sayings if not s.at_place)
        lone = origin == "asked" and not (view.sides or view.way)
        if (lone or origin in ("sentence", "before")) and not view.has_scene:
            sayings = tuple(s for s in sayings if not self._read_otherwise(s, group, origin))
        if origin != "here" and not self.fixed and view.piece.opener != "then":
            sayings = tuple(s for s in sayings if not (s.negates and self._told_so(s, group)))
        if origin not in ("here", "after") and not (
            self.fixed or view.piece.opener == "then" or view.piece.marks("now")
        ):
            sayings = tuple(s for s in sayings if not self._contradicts(s, group)) or sayings
            sayings = tuple(s for s in sayings if not self._just_so(view, s, group))
        if self._of_reading(view, group, origin):
            sayings = tuple(s for s in sayings if not s.of_reading)
        settings = self.words.settings
        for exact in (True, False):
            for saying in sayings:
                about = self._special(view, saying, group, origin)
                fits = tuple(
                    g
                    for g in about
                    if knows(saying, g, exact, settings) and self._sayable(saying, g) and not self._cut_off(saying, g)
                )
                if (
                    not fits
                    and exact
                    and origin in ("here", "after", "sentence")
                    and any(knows(saying, g, True, self.words.settings) and self._is_silent(saying, g) for g in about)
                    and not saying.own
                ):
                    raise NothingToSay
                if fits and not (saying.near and origin in ("sentence", "before") and self.age > 1):
                    return saying, fits
        return None

    def _cut_off(self, saying: Saying, about: str) -> bool:
        """`Both panels unplugged, power on, away she goes`: what is unplugged shows nothing and starts nothing."""
        needs = names_in(self.words.settings, "needs_plug")
        if not any(what in needs and value in (True, "yes") for what, value in sense_of(saying, about)):
            return False
        told = [d.value for d in self.drafts if (d.about, d.what) == (about, "plugged")]
        return told[-1:] == [False]

    def _sideless(self, saying: Saying, group: Group) -> bool:
        """`Dead to port` is no lamp: a direction beside it says that something else than the part is meant."""
        sideless = names_in(self.words.settings, "sideless")
        return any(what in sideless for about in group for what, _ in sense_of(saying, about))

    def _read_otherwise(self, saying: Saying, group: Group, origin: str) -> bool:
        """`12.6 at the studs and still dead`: what was just read there is not nothing, so the words are of another."""
        if origin != "asked" and self._heard_elsewhere(saying, group):
            return True
        did = self.words.settings.get("did_obey") or {}
        told = {(d.about, d.what) for d in self.drafts[self.sentence_start :]}
        denied = {(a, did[what]) for a in group for what, value in sense_of(saying, a) if what in did and not value}
        if denied & told:
            return True  # `power on, nothing happens` is no isolator that does not obey
        none = {what for about in group for what, value in sense_of(saying, about) if type(value) in (int, float)}
        return any(
            d.about in group and d.what in none and type(d.value) in (int, float) and d.value
            for d in self.drafts[self.sentence_start :]
        )

    def _heard_elsewhere(self, saying: Saying, group: Group) -> bool:
        """`Isolator on, no click`: of this part it is heard only where it was told to be of the kind that does so."""
        rule = self.words.settings.get("heard_of") or {}
        whats = {what for about in group for what, _ in sense_of(saying, about)}
        wanted = [rule[about].split() for about in group if about in rule and rule[about].split()[0] in whats]
        asked = set(group) <= {*(self.answer.about if self.answer is not None else ()), *self.asked_to}
        told = {(d.what, str(d.value)) for d in self.drafts if d.about in group}
        return bool(wanted) and not asked and not any((what, value) in told for _, what, value in wanted)

    def _told_so(self, saying: Saying, group: Group) -> bool:
        """`It lights up, but pushing it does nothing`: what was just told to be so is not what is denied."""
        instead = self.answer.instead if self.answer is not None else {}
        claims = [(about, *instead.get(c, c)) for about in group for c in sense_of(saying, about)]
        denied = {(about, what) for about, what, value in claims if value is False}
        return any((d.about, d.what) in denied and d.value is True for d in self.drafts)

    def _contradicts(self, saying: Saying, group: Group) -> bool:
        """`The handle's at on but the meter says open`: of two meanings the one that leaves what was just told."""
        kinds = self.words.settings.get("asked_back") or {}
        here = self.drafts[self.sentence_start :]
        told = {(d.about, d.what): d.value for d in here if d.what in kinds and isinstance(d.value, str)}
        return _goes_against(told, saying, group)

    def _just_so(self, view: View, saying: Saying, group: Group) -> bool:
        """`Panel lights up. Still dead.`: what this text told to be so is not so of something else that is not."""
        if view.has_scene or self.forward or view.sides or view.piece.marks("pronoun") or view.piece.opener == "and":
            return False
        kept = names_in(self.words.settings, "shows")
        told = {(d.about, d.what): d.value for d in self.drafts if d.what in kept and not d.scene and not d.way}
        return _goes_against(told, saying, group)

    def _of_reading(self, view: View, group: Group, origin: str) -> bool:
        """Whether words for a thing speak of the figure that was asked for (`the clamp hardly moves`)."""
        if self.answer is None or self.answer.number is None or view.piece.opener == "but":
            return False
        own = {a for n in view.named if n.item.sort == "part" for a in n.item.data.about}
        return origin in ("asked", "sentence", "before") or not set(group) <= own

    def _sayable(self, saying: Saying, about: str) -> bool:
        """Whether any claim of it can become a fact here; some words count only for the test that asks for them."""
        trial = self.words.trial
        for what, value in sense_of(saying, about):
            if what in trial.attributes or "." in what or about == self.words.settings.get("turns_for_whole"):
                return True
            if self.answer is not None and (what, value) in self.answer.instead:
                return True
            if any((what, value) in self.words.modifiers[name] for name in (*self.modifiers, "otherwise")):
                return True
        return False

    def _is_silent(self, saying: Saying, about: str) -> bool:
        unsaid = names_in(self.words.settings, "silent") | names_in(self.words.settings, "told_if_asked")
        return any(what in unsaid for what, _ in sense_of(saying, about))

    def _special(self, view: View, saying: Saying, group: Group, origin: str) -> Group:
        """Some words answer the test of another part (`clicks` after a coil test are the coils')."""
        if self.answer is None or origin != "asked":
            return group
        for what, _ in saying.tells:
            if what in self.answer.for_attribute:
                last = () if self._view_sides(view) else self._last_sides()  # `won't run on port, doesn't even click`
                return self._fed(self._turned(view, self.answer.for_attribute[what]), last or view.scene_sides)
        return group

    def _read_there(self, view: View, what: str, group: Group) -> Group:
        """`Port 12.2 at the unit`, where the signals are asked for: what was read at their place is theirs."""
        answer = self.answer
        if answer is None or answer.family is None or answer.number != what or not set(group) <= answer.read_at:
            return group
        sides = self._view_sides(view) or view.scene_sides or self.forward_sides
        return answer.family.members(sides) if sides else group

    def _fed(self, group: Group, last: tuple[str, ...] = ()) -> Group:
        """Of a pair, the one that was just told to be fed (`fed the port coil, it pulled in`)."""
        sides = self.trailing[2] or self.forward_sides or last
        one = len(sides) == 1 and len(group) > 1
        return self._turned(View(Piece("start"), sides=[(0, sides[0])]), group) if one else group


def knows(saying: Saying, about: str, exact: bool, settings: Any) -> bool:
    """Whether a saying has a meaning for a part: one of its own (`exact`), or the one that any part shares."""
    base = base_of(about)
    if base in saying.means:
        return bool(saying.means[base]) and exact
    return not exact and "any" in saying.means and is_ordinary(about, settings)


def sense_of(saying: Saying, about: str) -> tuple[Claim, ...]:
    """What a saying claims of a part."""
    return saying.means.get(base_of(about)) or saying.means.get("any") or ()


def _goes_against(told: Mapping[tuple[str, str], Value], saying: Saying, group: Group) -> bool:
    """Whether a saying tells of a group another value than was told of it before."""
    senses = [(about, *claim) for about in group for claim in sense_of(saying, about)]
    return any(told.get((about, what), value) != value for about, what, value in senses)
