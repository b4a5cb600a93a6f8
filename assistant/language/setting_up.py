"""What a claim sets up for those that follow it, and what it undoes."""

from __future__ import annotations

from itertools import pairwise

from assistant.facts.model import Value
from assistant.language.drafts import Draft
from assistant.language.items import Item, is_mark, scene_of
from assistant.language.meanings import Claim
from assistant.language.pieces import Piece, Sentence
from assistant.language.topics import Topics
from assistant.language.views import Group, View, base_of, names_in


class SettingUp(Topics):
    """What a claim sets up for those that follow it, and what it undoes."""

    def _same_wire_gone(self, item: Item, what: str, value: Value) -> bool:
        """`Thermal lead to motor negative, had second thoughts, that link is out`: the one wire told of before."""
        told = [d for d in self.drafts if (d.about, d.what) == ("bridge", "fitted")]
        if len(told) != 1 or f"{what} {value}" != self.words.settings.get("every_bridge_gone"):
            return False
        told[0].what, told[0].end = what, item.end
        self._unbridged()
        return True

    def _after_the_bridge(self) -> bool:
        """`Took the wire out and it does nothing again`: that was no part of the test with the bridge."""
        asked = set(self.answer.while_) if self.answer is not None else set()
        return self.trial_over or (self.bridge_gone and bool(asked & self.words.wired))

    def _of_a_station(self) -> bool:
        """`Number one stick in, power on, nothing by itself`: what follows is of the station that was put back."""
        last = self.drafts[-1] if len(self.drafts) > self.sentence_start else None
        back = last is not None and last.value is True and base_of(last.about) in self._words_in("no_sides")
        return self.subject_here and back

    def _as_a_boat_runs(self, sentence: Sentence) -> bool:
        """`No coils`, `run from the panel`, where the test feeds something: it was not done as the test wants it."""
        asked = (*self.answer.while_, self.answer.way or "") if self.answer is not None else ()
        wired = any(a and scene.startswith(a) for a in asked for scene in self.words.wired)
        wired = wired or any(set(f.while_) & self.words.wired for f in self.heard.recent)
        if sentence.question or not wired:
            return False
        return any(self._from_a_station(p) or self._not_fed(p) for p in sentence.pieces)

    def _from_a_station(self, piece: Piece) -> bool:
        stations, helm = self._words_in("no_sides"), self._words_in("helm_words")
        return any(
            is_mark(before, "from")
            and (item.text in helm or (item.sort == "part" and {base_of(a) for a in item.data.about} & stations))
            for before, item in pairwise(piece.items)
        )

    def _only_denied(self, piece: Piece) -> Group:
        """The part of which a clause says no more than that it is not that one."""
        named = [i for i in piece.items if i.sort == "part"]
        rest = [i for i in piece.items if i.sort != "part"]
        plain = all(is_mark(i, "not", "no", "pronoun", "auxiliary", "merely", "correction") for i in rest)
        denied = any(is_mark(i, "not") for i in rest) and plain and len(named) == 1
        return tuple(named[0].data.about) if denied else ()

    def _not_fed(self, piece: Piece) -> bool:
        """Whether a clause says no more than that nothing was fed."""
        told = [i for i in piece.items if i.sort not in ("mark", "word")]
        scenes = [s for i in told if (s := scene_of(i)) is not None]
        fed = any(s.press for s in scenes) if scenes else all(i.sort == "family" for i in told)
        return bool(told and (piece.marks("not") or piece.marks("no"))) and fed

    def _unbridged(self) -> None:
        """No bridge is in any more, and nothing that follows was tried with one."""
        self.setup -= self.words.wired
        self.tried, self.bridge_gone = ("", ()), True

    def _end_trial(self, about: str, what: str, value: Value) -> None:
        """`Bridge off: dead` was not seen with the bridge, and what was put back is tried no more."""
        done = f"{about}.{what}" if value is True else ""
        if what == "removed" or done in names_in(self.words.settings, "ends_bridge"):
            self._unbridged()
        ends = (self.words.settings.get("ends_trial") or {}).get(self.answer.way if self.answer is not None else "")
        self.trial_over = self.trial_over or (bool(done) and done == ends)

    def _stop_denied(self, piece: Piece, at: int) -> bool:
        """`It didn't cut out after a minute`: no figure of when it stopped."""
        cue, figure = self._stopping("cue"), piece.items[at].data
        if not cue or getattr(figure, "unit", None) != "s":
            return False
        return any(
            is_mark(before, "not") and item.sort == "state" and any(s.cue == cue for s in item.data)
            for before, item in pairwise(piece.items[:at])
        )

    def _none_of_it(self, claim: Claim) -> int:
        """`Racing: no, it doesn't race`: neither what this text told of it counts, nor what the last line did."""
        self.drafts = [d for d in self.drafts if (d.what, d.value) != claim]
        self.taken_back += [
            Draft(f.about, f.what, f.value, 0, 0, scene=set(f.while_))
            for f in dict.fromkeys((*self.heard.standing, *self.heard.recent))
            if (f.what, f.value) == claim
        ]
        return 1

    def _by_hand(self, view: View, item: Item, what: str, value: Value) -> bool:
        """`Switched on and ran it`: what somebody did tells of no lamp, nor the noise of a plug of a contactor."""
        said = self.text[item.start : item.end].split()
        did = bool(said) and said[0].lower() in self._words_in("switched_by_hand")
        return self._latched(what, value) or (
            did and value is True and what in self._words_in("of_no_way") and not view.named
        )

    def _latched(self, what: str, value: Value) -> bool:
        """`Pushed the plug home, it made a click`: that was its latch."""
        heard = names_in(self.words.settings, "follows_press") - set(self.words.trial.split)
        last = self.drafts[-1] if len(self.drafts) > self.sentence_start else None
        home = last is not None and (last.what, last.value) == (self.words.settings.get("latches"), True)
        return home and what in heard and value is True and self.answer is None

    def _told_on(self, about: str, what: str) -> bool:
        """Whether this sentence told before that it was so."""
        told = [d.value for d in self.drafts[self.sentence_start :] if (d.about, d.what) == (about, what)]
        return told[-1:] == [True]

    def _clicked(self, view: View, ran: bool) -> tuple[str, ...]:
        """`It pulls in to starboard and the motor turns`: the side of what followed the press just before."""
        told = self.drafts[self.sentence_start :]
        follows = names_in(self.words.settings, "follows_press") - set(self.words.trial.split)
        openers = ("and",) if ran else ("and", "but", "comma")
        if not told or view.piece.opener not in openers or told[-1].what not in follows or told[-1].value is not True:
            return ()
        sides = {d.sides for d in told if d.what in follows}
        return told[-1].sides if len(sides) == 1 and len(told[-1].sides) == 1 else ()

    def _set_up(self, about: str, what: str, value: Value) -> None:
        """Keep what a statement sets up for those that follow, and drop what it undoes."""
        for (of, told, state), undone in self.words.trial.reports.items():
            if (of, told) == (about, what) and state != value:
                self.setup.discard(undone)
        base = base_of(about)
        same = [d for d in self.drafts if (d.what, d.value) == (what, value)] if base != about else []
        alike = {d.about for d in same if base_of(d.about) == base}
        whole = base.removesuffix("_n") if len(alike) > 1 else about  # `both panels unplugged`
        scene = self.words.trial.reports.get((whole, what, value))
        if scene and scene not in names_in(self.words.settings, "without_saying"):
            self.setup.add(scene)

    def _just_powered(self, piece: Piece) -> list[str]:
        """`Power on: takes off by itself`: what happens right behind a deed that is told as one."""
        last = self.drafts[-1] if len(self.drafts) > self.sentence_start else None
        scene = self.words.trial.reports.get((last.about, last.what, last.value)) if last else None
        mark = (self.words.settings.get("right_behind") or {}).get(scene)
        state = self.before is None or self.before.marks("auxiliary") or self.before.marks("pronoun")  # `it is on`
        goes_on = piece.opener in ("comma", "colon", "dash", "and", "then", "cut")
        alone = self.words.settings.get("right_behind_alone") or {}
        marks = [mark, *(m for name, m in alone.items() if name in self.setup)]
        return marks if mark and goes_on and not state else []
