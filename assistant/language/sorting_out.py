"""Which of the claims of one text count, where they say more than was meant, or two of them speak of one thing."""

from __future__ import annotations

from dataclasses import replace

from assistant.language.drafts import Draft, fold_runs
from assistant.language.orders import Orders
from assistant.language.views import names_in


class SortingOut(Orders):
    """Which of the claims of one text count."""

    def _runs(self) -> list[Draft]:
        """The claims, with those about one direction each put together."""
        strong = names_in(self.words.settings, "strong_ways")
        told = self._run_away([self._driven(d) for d in self.drafts])
        return fold_runs(self._ran_there_too(told), self.words.trial, strong)

    def _ran_there_too(self, drafts: list[Draft]) -> list[Draft]:
        """`Goes to port but weak, starboard weak too`: what pushes like the side that runs runs as well."""
        shows, what = names_in(self.words.settings, "shows_it_ran"), next(iter(self.words.trial.split))
        runs = [d for d in drafts if d.what == what and isinstance(d.value, bool)]
        told = {side for d in runs for side in d.sides}
        ran = next((d for d in reversed(runs) if d.value is True and d.sides and not (d.only or d.way)), None)
        if ran is None:
            return drafts
        like = [d for d in drafts if f"{d.what}={d.value}" in shows and d.about == ran.about and not d.way]
        of_ran = {d.what: d.value for d in like if d.sides in ((), ran.sides)}
        others = [d.sides for d in like if len(d.sides) == 1 and of_ran.get(d.what) == d.value]
        return [*drafts, *(ran.again(sides=sides) for sides in dict.fromkeys(others) if sides[0] not in told)]

    def _sort_out(self, done: list[Draft]) -> list[Draft]:
        """The claims that count."""
        done = self._by_itself(self._drop_idle(self._drop_tame(self._drop_weak(self._drop_denied(done)))))
        done = self._not_set_up(self._quiet_when_powered(self._quiet_since(done)))
        return self._last_word(self._one_is_enough(self._made_so(done)))

    def _driven(self, draft: Draft) -> Draft:
        """`Control plus to the port signal, and it's off like a rocket`: with a test wire in, it was made to run."""
        settings = self.words.settings
        now = f"{draft.what} {draft.value}" == settings.get("off_it_goes") and not draft.denied
        wired = draft.way in names_in(settings, "strong_ways") or draft.scene & self.words.wired
        return replace(draft, what=str(settings.get("way_of_its_own")), value=True) if now and wired else draft

    def _quiet_since(self, drafts: list[Draft]) -> list[Draft]:
        """`It took off by itself, and it's quiet now`: that it stopped is no finding of how it sounds."""
        unasked, quiet = self.words.settings.get("by_itself"), names_in(self.words.settings, "calm_since")
        away = any(d.what == unasked and d.value != "no" for d in drafts)
        return [d for d in drafts if not (away and f"{d.what}={d.value}" in quiet)]

    def _quiet_when_powered(self, drafts: list[Draft]) -> list[Draft]:
        """`Power on, stays quiet, nothing moves`: where nobody asked, that nothing moves is no run that failed."""
        unasked, behind = self.words.settings.get("by_itself"), self.words.settings.get("right_behind") or {}
        calm = any(d.what == unasked and d.value == "no" for d in drafts)
        powered = any(self.words.trial.reports.get((d.about, d.what, d.value)) in behind for d in drafts)
        if not (calm and powered) or self.tried[0] or any(d.way for d in drafts):
            return drafts
        return [d for d in drafts if not (d.what in self.words.trial.split and d.value == "none" and len(d.sides) != 1)]

    def _not_set_up(self, drafts: list[Draft]) -> list[Draft]:
        """`Unit's still plugged in, panels out, power on: she runs`: the test asks for more than was set up."""
        implied = set(self.answer.while_) - self.told_scenes if self.answer is not None else set()
        if not implied:
            return drafts
        for (about, what, state), scene in self.words.trial.reports.items():
            told = [d.start for d in drafts if (d.about, d.what) == (about, what) and d.value != state and d.certain]
            if scene in implied and told:
                for draft in drafts:
                    draft.scene -= {scene} if draft.start > min(told) else set()
        return drafts

    def _drop_weak(self, drafts: list[Draft]) -> list[Draft]:
        behaviour = names_in(self.words.settings, "behaviour")
        strong = [d for d in drafts if d.what in behaviour and not d.weak]
        apart = [d for d in drafts if d.weak and d.scene and all(s.scene and s.scene != d.scene for s in strong)]
        return [d for d in drafts if not d.weak or not strong or d in apart]  # `runs cold, refuses when hot`

    def _drop_idle(self, drafts: list[Draft]) -> list[Draft]:
        """`Dead when off`: with the power off nothing runs, and that is no finding."""
        idle, split = names_in(self.words.settings, "idle_scenes"), self.words.trial.split
        return [d for d in drafts if not (d.what in split and d.value == "none" and d.scene & idle)]

    def _by_itself(self, drafts: list[Draft]) -> list[Draft]:
        """`Control unit unplugged, closed the isolator, it took off`: where nobody can ask, it runs by itself."""
        settings, split = self.words.settings, self.words.trial.split
        cut_off, claim = names_in(settings, "not_asked_in"), str(settings.get("runs_unasked") or "").split()
        out = []
        for draft in drafts:
            unasked = draft.what in split and draft.value != "none" and draft.scene & cut_off and not draft.way
            if claim and unasked and not draft.scene & self.words.wired:
                draft = replace(draft, what=claim[0], value=claim[1], sides=())
            out.append(draft)
        return out

    def _run_away(self, drafts: list[Draft]) -> list[Draft]:
        """`Running on its own, still pushing to port`: where it goes unasked is not where it goes when asked."""
        unasked, asked = (self.words.settings.get(name) for name in ("by_itself", "way_of_its_own"))
        away = min((d.start for d in drafts if d.what == unasked and d.value != "no" and not d.denied), default=None)
        runs = [d for d in drafts if d.what == asked]
        if away is None or len(runs) != 1 or runs[0].start < away:
            return drafts
        free = len(runs[0].sides) == 1 and not (runs[0].denied or runs[0].only or runs[0].way or runs[0].scene)
        return [d for d in drafts if d is not runs[0]] if free and runs[0].value is True else drafts

    def _drop_denied(self, drafts: list[Draft]) -> list[Draft]:
        """`It isn't a hum, it's a rattle`: that it is not the one does not say that there is none."""
        table = self.words.settings.get("denied_other") or {}
        heard = {(d.what, d.sides) for d in drafts if d.what in table and d.value != table[d.what]}
        return [d for d in drafts if not (d.denied and d.value == table.get(d.what) and (d.what, d.sides) in heard)]

    def _drop_tame(self, drafts: list[Draft]) -> list[Draft]:
        """`Kept running` beside a run that obeyed both ways only tells that it did not stop."""
        obeyed = {tuple(str(claim).split()) for claim in self.words.settings.get("obeyed") or []}
        if not any((d.what, str(d.value)) in obeyed for d in drafts):
            return drafts
        return [d for d in drafts if not d.tame]

    def _made_so(self, drafts: list[Draft]) -> list[Draft]:
        """`Off and locked`: a lock is put on by somebody at work, and what it holds is no finding either."""
        settings = self.words.settings
        sure, just = {(d.about, d.what) for d in drafts if d.value is True}, names_in(settings, "done_just")
        found = {(d.about, d.what, d.value) for d in drafts if not d.scene & just}
        for draft in drafts:
            holds = (settings.get("done_with") or {}).get(draft.what)
            if (draft.about, holds) in sure and f"{draft.what}={draft.value}" in names_in(settings, "found_or_done"):
                draft.scene |= just
            elif (draft.about, draft.what, draft.value) in found:
                draft.scene -= just
        return drafts

    def _one_is_enough(self, drafts: list[Draft]) -> list[Draft]:
        """`Port contact closed, starboard open`: where one name stands for several, what one of them does is so."""
        table = {} if self.fixed else self.words.settings.get("one_is_enough") or {}
        so = {f"{d.about}.{d.what}" for d in drafts if d.value is True}
        low = {(d.about, d.what) for d in drafts if not isinstance(d.value, bool | str) and d.value < 1}
        so |= {name for name, what in table.items() if (name.partition(".")[0], what) in low}
        return [d for d in drafts if not (d.value is False and f"{d.about}.{d.what}" in so & set(table))]

    def _last_word(self, drafts: list[Draft]) -> list[Draft]:
        """Of two values of one thing in one scene the later one counts, where a thing can have only one."""
        gathers = {a for a, spec in self.words.trial.attributes.items() if spec.get("gathers")}
        defects = names_in(self.words.settings, "defects")
        last: dict[tuple[str, str, frozenset[str]], int] = {}
        for n, d in enumerate(drafts):
            key = (d.about, d.what, frozenset(d.scene) - names_in(self.words.settings, "done_just"))
            worse = key in last and d.what in defects and drafts[last[key]].value is True and not self.fixed
            if not worse or d.value is True:
                last[key] = n
        kept = set(last.values())
        return [d for n, d in enumerate(drafts) if d.what in gathers or n in kept]
