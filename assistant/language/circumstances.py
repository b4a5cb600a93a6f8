"""In which circumstances a claim holds: said, set up before, implied by the test, or by its direction."""

from __future__ import annotations

from dataclasses import replace

from assistant.knowledge.model import SIDES
from assistant.language.drafts import Draft
from assistant.language.subjects import Subjects
from assistant.language.views import family_of, is_sided, names_in


class Circumstances(Subjects):
    """In which circumstances a claim holds: said, set up before, implied by the test, or by its direction."""

    def _dress(self, draft: Draft, scene: set[str], way: str, sides: tuple[str, ...]) -> None:
        """Put circumstances on a claim, as far as claims of this sort take them."""
        settings = self.words.settings
        if draft.what in names_in(settings, "no_scene"):
            return
        families = [frozenset(f.split()) for f in settings.get("exclusive") or []]
        only = settings.get("only_with") or {}
        own = names_in(settings, "own_words")
        for name in sorted(scene):
            if draft.what not in str(only.get(name, draft.what)).split():
                continue
            if draft.what in own and name in names_in(settings, "not_with_own_words"):
                continue
            if any(name in f and draft.scene & (f - {name}) for f in families):
                continue
            draft.scene.add(name)
        if way and not draft.way:
            draft.way = way
        tried = draft.what in self.words.trial.split and isinstance(draft.value, bool)
        free = scene or not is_sided(draft.about, self.words.families)
        if way and sides and not draft.sides and (tried or free or way in names_in(settings, "strong_ways")):
            draft.sides = sides

    def _finish(self, draft: Draft) -> list[Draft]:
        """Add the circumstances that the test implies and those of the direction."""
        settings = self.words.settings
        answer = self.answer
        way = draft.way
        if answer is not None and draft.about in answer.about_scene:
            draft.scene.add(answer.about_scene[draft.about])
        if draft.answers and answer is not None:
            load = {"at_rest", "under_load"}
            for name in answer.while_:
                if not (draft.scene & load and name in load):
                    draft.scene.add(name)
            if "at_rest" not in draft.scene:
                way = way or answer.way or ""
            for name, about in answer.scene_subject.items():
                if name in draft.scene and draft.about in answer.about:
                    draft.about = about
        self._dress(draft, draft.setup, "", ())
        if draft.what in names_in(settings, "own_words"):
            draft.scene -= names_in(settings, "not_with_own_words")
        if way and not draft.sides and draft.answers and way in names_in(settings, "strong_ways"):
            draft.sides = SIDES
        return self._by_direction(draft, way)

    def _by_direction(self, draft: Draft, way: str) -> list[Draft]:
        settings = self.words.settings
        if draft.what in self.words.trial.split:
            return [self._direct_run(draft, way)]
        sides = draft.sides
        family = family_of(draft.about, self.words.families)
        resting = "at_rest" in draft.scene and not draft.way  # `12.1 on the signal, and that's with nobody asking`
        if family is not None and draft.answers and self.answer is not None and self.answer.way and not resting:
            own = ("port",) if draft.about == family.port else ("starboard",)
            sides, way = own, way or self.answer.way
        if family is not None and way and draft.way and len(sides) != 1:
            sides = ("port",) if draft.about == family.port else ("starboard",)
        still = names_in(settings, "no_direction")
        if draft.about in still or f"{draft.about}.{draft.what}" in still:
            return [draft]
        if not sides or draft.what not in names_in(settings, "directed"):
            return [draft]
        if draft.what in names_in(settings, "way_alone"):
            draft.scene.discard("under_load")
        way = way or "commanded"
        strong = way in names_in(settings, "strong_ways")
        if len(sides) == 2 and not strong and draft.what not in names_in(settings, "one_way"):
            return [draft]
        if family is not None and way == "commanded" and not draft.way and not draft.answers:
            return [draft]
        asked = draft.answers and self.answer is not None and self.answer.way == way
        loads = way == "commanded" and draft.what in names_in(settings, "loaded") and (family is None or draft.way)
        if loads and not asked:
            draft.scene.discard("at_rest")
            draft.scene.add("under_load")
        elif asked and (family is not None or not draft.way):
            draft.scene.discard("under_load")
        out = []
        pair = self.words.trial.ways[way]
        for side in sides:
            copy = replace(draft, scene={*draft.scene, pair[0] if side == "port" else pair[1]})
            out.append(copy)
        return out

    def _direct_run(self, draft: Draft, way: str) -> Draft:
        what, value = draft.what, draft.value
        trial = self.words.trial
        strong = way in names_in(self.words.settings, "strong_ways")
        if not strong:
            ways = trial.split[what].get(str(value), {})
            if len(draft.sides) == 1 and not any(ways.values()) and ways:
                pair = trial.ways["commanded"]
                draft.scene.add(pair[0] if draft.sides == ("port",) else pair[1])
            return draft
        pair = trial.ways[way]
        sides = SIDES if draft.spread or not draft.sides else draft.sides
        draft.scene |= {pair[0] if s == "port" else pair[1] for s in sides}
        return draft
