"""What was said before: corrections of the last line, and `the same` for another side or part."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from assistant.facts.model import RawFact
from assistant.knowledge.model import SIDES
from assistant.language.drafts import Draft
from assistant.language.meanings import Family, Trial
from assistant.language.views import on_side


def last_figure(recent: Sequence[RawFact]) -> RawFact | None:
    """The last figure told, if there was one."""
    return next((f for f in reversed(recent) if not isinstance(f.value, bool | str)), None)


def corrected_figure(recent: Sequence[RawFact], value: float, unit: str | None, start: int, end: int) -> Draft | None:
    """The last figure told, with the value that now replaces it; none where the new one is of another unit."""
    last = last_figure(recent)
    if last is None or unit not in (None, last.unit):
        return None
    return Draft(last.about, last.what, value, start, end, scene=set(last.while_))


def other_side(
    recent: Sequence[RawFact], side: str, families: Mapping[str, Family], trial: Trial, span: tuple[int, int]
) -> tuple[list[Draft], list[str]]:
    """The facts of the last line, moved to the side named now.

    Returns:
        The moved facts, and the subjects that they were told of before where those are others.
    """
    drafts: list[Draft] = []
    left: list[str] = []
    for fact in recent:
        about = on_side(fact.about, side, families)
        scene = _turn(fact.while_, side, trial)
        value = _turn_value(fact, side, trial)
        if (about, scene, value) == (fact.about, set(fact.while_), fact.value):
            continue
        draft = Draft(about, fact.what, value, *span, scene=scene, certain=fact.certain)
        drafts.append(draft)
        if about != fact.about:
            left.append(fact.about)
    return drafts, left


def turned_round(
    recent: Sequence[RawFact], families: Mapping[str, Family], trial: Trial, span: tuple[int, int]
) -> tuple[list[Draft], list[str]]:
    """The facts of the last line with port and starboard changed over, and the subjects they were told of before."""
    drafts: list[Draft] = []
    left: list[str] = []
    for fact in recent:
        for side in SIDES:
            moved, gone = other_side([fact], side, families, trial, span)
            drafts += moved
            left += gone
    return drafts, left


def denied(recent: Sequence[RawFact], span: tuple[int, int]) -> list[Draft]:
    """`No it isn't`: the contrary of the one yes or no that was told last."""
    if len(recent) != 1 or not isinstance(recent[0].value, bool):
        return []
    last = recent[0]
    return [Draft(last.about, last.what, not last.value, *span, scene=set(last.while_))]


def spoken_of(recent: Sequence[RawFact]) -> tuple[str, ...]:
    """The one part that the last line spoke of."""
    parts = tuple(dict.fromkeys(f.about for f in recent))
    return parts if len(parts) == 1 else ()


def as_told(fact: RawFact, recent: Sequence[RawFact]) -> RawFact:
    """A figure that puts one right stands in the circumstances in which that was told."""
    last = last_figure(recent)
    if last is None or (last.about, last.what) != (fact.about, fact.what):
        return fact
    return fact.model_copy(update={"while_": last.while_})


def contradicts(recent: Sequence[RawFact], facts: Sequence[RawFact]) -> bool:
    """Whether a fact says of something told last, in the same circumstances, another thing."""
    told = {(f.about, f.what, f.while_): f.value for f in recent}
    return any(told.get((f.about, f.what, f.while_), f.value) != f.value for f in facts)


def other_part(recent: Sequence[RawFact], about: Sequence[str], span: tuple[int, int]) -> tuple[list[Draft], list[str]]:
    """What was told last of one part, now told of another; and the part it was told of before."""
    last = recent[-1].about
    if len(about) != 1 or about[0] == last:
        return [], []
    moved = [f for f in recent if f.about == last]
    return [Draft(about[0], f.what, f.value, *span, scene=set(f.while_), certain=f.certain) for f in moved], [last]


def _turn(scene: Sequence[str], side: str, trial: Trial) -> set[str]:
    out = set(scene)
    for pair in trial.ways.values():
        if out & set(pair):
            out -= set(pair)
            out.add(pair[0] if side == "port" else pair[1])
    return out


def _turn_value(fact: RawFact, side: str, trial: Trial) -> str | bool | int | float:
    """`port only` becomes `starboard only`."""
    for name, ways in trial.split.get(fact.what, {}).items():
        if name == fact.value and len(set(ways.values())) == 2:
            wanted = {way: (way == side) for way in ways}
            return next((n for n, w in trial.split[fact.what].items() if w == wanted), fact.value)
    return fact.value
