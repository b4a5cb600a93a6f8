"""The door: a fact as somebody sent it becomes a fact in the vocabulary's units, or is refused with a reason."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import Any

from assistant.facts.model import RawFact, Value
from assistant.facts.vocabulary import Attribute, Vocabulary

_KEYS = frozenset({"about", "what", "value", "unit", "while", "certain", "bound", "words", "id"})


class RefusalError(ValueError):
    """Why one fact was not taken; the text is fit to be shown."""


def take_fact(raw: Any, words: Vocabulary, nominal: float | None = None) -> list[RawFact]:
    """Check one fact, convert its unit and add what goes without saying.

    Args:
        raw: The fact as sent.
        words: The vocabulary.
        nominal: Nominal voltage of the boat in volts, when known; limits of the possible depend on it.

    Returns:
        One fact, or one for each direction where the circumstances named both.

    Raises:
        RefusalError: The fact says something that the vocabulary cannot say or that cannot be.
    """
    if not isinstance(raw, Mapping):
        raise RefusalError(f"a fact is an object with about, what and value, not {_show(raw)}")
    unknown = sorted(str(k) for k in raw if k not in _KEYS)
    if unknown:
        raise RefusalError(
            f"unknown key {unknown[0]} in a fact; known are about, what, value, unit, while, certain, bound"
        )
    about, what = raw.get("about"), raw.get("what")
    if not isinstance(about, str) or not words.knows_part(about):
        raise RefusalError(f"unknown subject {_show(about)}")
    if not isinstance(what, str) or what not in words.attributes:
        raise RefusalError(f"unknown attribute {_show(what)}")
    attribute = words.attributes[what]
    value = _value(raw.get("value"), raw.get("unit"), attribute, about, words)
    _possible(value, attribute, nominal)
    certain, bound = raw.get("certain", True), raw.get("bound")
    if not isinstance(certain, bool):
        raise RefusalError(f"certain is true or false, not {_show(certain)}")
    if bound not in (None, "at_least", "at_most"):
        raise RefusalError(f"bound is at_least or at_most, not {_show(bound)}")
    if bound and attribute.kind != "number":
        raise RefusalError(f"only a number can be a bound, and {what} is none")
    fact = RawFact(
        about=about, what=what, value=value, unit=attribute.unit, certain=certain, bound=bound,
        words=str(raw.get("words", ""))[:2000], **{"while": _circumstances(raw.get("while"), words)},
    )  # fmt: skip
    return split_directions(with_implied(fact, words), words)


def _value(value: Any, unit: Any, attribute: Attribute, about: str, words: Vocabulary) -> Value:
    if attribute.kind == "flag":
        if not isinstance(value, bool):
            raise RefusalError(f"{attribute.id} is true or false, not {_show(value)}")
        return value
    if attribute.kind == "choice":
        allowed = attribute.choices
        if attribute.only:
            allowed = attribute.only.get(about, ())
            if not allowed:
                raise RefusalError(f"{attribute.id} says nothing of {about}; it belongs to {', '.join(attribute.only)}")
        if not isinstance(value, str) or value not in allowed:
            raise RefusalError(f"{attribute.id} is one of {', '.join(allowed)}, not {_show(value)}")
        return value
    return _number(value, unit, attribute, words)


def _number(value: Any, unit: Any, attribute: Attribute, words: Vocabulary) -> float:
    own = attribute.unit
    if unit == words.gauge["unit"] and own == words.gauge["gives"]:
        size = words.gauge["sizes"].get(str(value))
        if size is None:
            raise RefusalError(f"{_show(value)} is not a wire gauge known here")
        return float(size)
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise RefusalError(f"{attribute.id} is a number, not {_show(value)}")
    if unit is None or unit == own:
        return float(value)
    known = words.units.get(own or "", {})
    if not isinstance(unit, str) or unit not in known:
        raise RefusalError(f"{attribute.id} is in {own or 'no unit'}; {_show(unit)} cannot be converted to it")
    rule = known[unit]
    factor, offset = (rule["factor"], rule["offset"]) if isinstance(rule, Mapping) else (rule, 0)
    return float(f"{value * factor + offset:.9g}")


def _possible(value: Value, attribute: Attribute, nominal: float | None) -> None:
    if attribute.kind != "number" or isinstance(value, str):
        return
    low, high = attribute.low, attribute.high
    if nominal is not None and attribute.nominal_high is not None and attribute.nominal_low is not None:
        low, high = attribute.nominal_low * nominal, attribute.nominal_high * nominal
    if attribute.allowed and value not in attribute.allowed:
        raise RefusalError(
            f"{attribute.name} is one of {', '.join(f'{v:g}' for v in attribute.allowed)} here, not {value:g}"
        )
    if (low is not None and value < low) or (high is not None and value > high):
        on = f" on a {nominal:g} V boat" if nominal is not None and attribute.nominal_high is not None else ""
        raise RefusalError(f"{attribute.name} {value:g} {attribute.unit or ''} cannot be{on}; {low:g} to {high:g} can")


def _circumstances(raw: Any, words: Vocabulary) -> tuple[str, ...]:
    if raw is None:
        return ()
    if not isinstance(raw, list | tuple):
        raise RefusalError(f"while is a list of circumstances, not {_show(raw)}")
    for name in raw:
        if not isinstance(name, str) or name not in words.circumstances:
            raise RefusalError(f"unknown circumstance {_show(name)}")
    for pair in words.opposites:
        if pair <= set(raw):
            raise RefusalError(
                f"a reading cannot be taken in two opposite circumstances at once ({', '.join(sorted(pair))})"
            )
    return words.ordered(set(raw))


def with_implied(fact: RawFact, words: Vocabulary) -> RawFact:
    """Add the circumstances that go without saying."""
    scene = set(fact.while_)
    if "before_the_trouble" in scene:
        return fact
    for rule in words.implied:
        meant = fact.what in rule.get("what", (fact.what,)) and fact.about in rule.get("about", (fact.about,))
        if meant and fact.about not in rule.get("not_about", ()):
            scene.add(rule["while"])
    return fact.model_copy(update={"while_": words.ordered(scene)})


def imply_from_test(fact: RawFact, words: Vocabulary, asked: str, reads: Iterable[tuple[str, str]]) -> RawFact:
    """Add what the test just asked implies, when this is one of the readings that it asks for."""
    implied = words.implied_by_test.get(asked, ())
    if not implied or (fact.about, fact.what) not in set(reads) or "before_the_trouble" in fact.while_:
        return fact
    family = set(implied)
    if family & set(fact.while_) and len(implied) > 1:
        return fact
    if {"at_rest", "under_load"} & set(fact.while_) and {"at_rest", "under_load"} & family:
        return fact
    sided = {scene for pair in words.directions for scene in pair.values()}
    if family <= sided and (sided | {"at_rest"}) & set(fact.while_):
        return fact  # read at rest, or while the thruster was asked for in another way
    return fact.model_copy(update={"while_": words.ordered(set(fact.while_) | family)})


def split_directions(fact: RawFact, words: Vocabulary) -> list[RawFact]:
    """A reading told for both directions at once is one reading for each; `runs` stays one fact."""
    if fact.what in words.split_by_direction:
        return [fact]
    for pair in words.directions:
        both = set(pair.values())
        if both <= set(fact.while_):
            rest = set(fact.while_) - both
            return [
                fact.model_copy(update={"while_": words.ordered(rest | {one})})
                for one in (pair["port"], pair["starboard"])
            ]
    return [fact]


def _show(value: Any) -> str:
    text = repr(value) if not isinstance(value, str) else f"“{value}”"
    text = "".join(c if c.isprintable() else "�" for c in text)
    return text if len(text) <= 60 else text[:57] + "…"
