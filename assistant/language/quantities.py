"""Figures with their units, and the lists that tell how they are written and said."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from assistant.folding import fold


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit in which people give a quantity, and how it becomes the vocabulary's."""

    unit: str
    factor: float = 1.0
    offset: float = 0.0


@dataclass(frozen=True, slots=True)
class Quantity:
    """A figure with its unit, already in the vocabulary's unit."""

    value: float
    unit: str | None
    start: int
    end: int
    doubt: bool = False
    decimal: bool = False
    digits: bool = True
    high: float | None = None
    """The upper end, when two figures were given as a range or a change."""
    soft: bool = False
    """A small number in words without a unit: a figure only where one was asked for."""
    other: float | None = None
    """What it is as well (`nine fifty`: 950, or 9.5 where 950 cannot be)."""
    spelled: Unit | None = None


@dataclass(slots=True)
class Units:
    """Unit spellings and number words."""

    spelled: dict[tuple[str, ...], Unit] = field(default_factory=dict)
    exact: dict[str, Unit] = field(default_factory=dict)
    longest: int = 1
    ones: dict[str, float] = field(default_factory=dict)
    point: frozenset[str] = frozenset()
    point_first: frozenset[str] = frozenset()
    """Words for a point before which no figure need stand (`point four`)."""
    sounds: dict[str, str] = field(default_factory=dict)
    """Words that dictation writes for a digit behind the point (`twelve point for`)."""
    sounds_before: frozenset[str] = frozenset()
    """Those of them that stand for it before the point too (`ate point two`)."""
    halves: dict[tuple[str, ...], float] = field(default_factory=dict)
    vague: dict[tuple[str, ...], float] = field(default_factory=dict)
    link: frozenset[str] = frozenset()
    single: frozenset[str] = frozenset()
    suffix: frozenset[str] = frozenset()
    articles: frozenset[str] = frozenset()
    tools: frozenset[str] = frozenset()
    """Behind a unit and an article these make a tool of it (`an ohm meter`)."""
    article_units: frozenset[str] = frozenset()
    never_with_article: frozenset[str] = frozenset()
    times_sign: frozenset[str] = frozenset()
    never_soft: frozenset[str] = frozenset()
    one_of: frozenset[str] = frozenset()
    """Words behind which `one` stands for a thing and is no figure (`port one`)."""
    reached: tuple[frozenset[str], frozenset[str], frozenset[str]] = (frozenset(), frozenset(), frozenset())
    """Words for a fall, those that stand before its end, and those that may follow it."""
    between: frozenset[str] = frozenset()
    """Words before the two ends of a range (`between one and two`)."""
    never_decimal: frozenset[str] = frozenset()
    """Units that are no units behind a decimal figure (`12.6 in, 12.6 out`)."""
    counted: frozenset[str] = frozenset()
    """Words behind which a small whole number is a name and counts nothing (`panel 2 in`)."""
    parting: frozenset[str] = frozenset()
    """Words between a part and the article of its unit (`point two of a volt`)."""
    late: frozenset[str] = frozenset()
    """Units that may be told behind a comma, as they are nothing else (`85, Fahrenheit`)."""
    late_after: frozenset[str] = frozenset()
    """What may stand between a figure and such a unit."""
    choice: frozenset[str] = frozenset()
    """Words between the two ends of a range (`a minute or two`)."""
    range: frozenset[str] = frozenset()
    """Words between two figures in words that are a range (`nine to ten`)."""
    careful: frozenset[str] = frozenset()
    """Units that are also ordinary words: they count when glued to the figure or followed by no noun."""
    careful_after: frozenset[str] = frozenset()
    joints: dict[str, str] = field(default_factory=dict)
    joint_units: frozenset[str] = frozenset()
    """More units, as written, that stand where the point would (`0M35`, `2k2`)."""
    comes_in: frozenset[str] = frozenset()
    """Units by which things are known, so that a number before such a figure counts them."""
    smaller: dict[str, str] = field(default_factory=dict)
    """Units behind which a small number counts in a smaller one (`eleven foot six`)."""
    gauge: dict[str, float] = field(default_factory=dict)
    gauge_unit: str = "mm2"
    words: frozenset[str] = frozenset()
    definite: frozenset[str] = frozenset()
    """Articles behind which a small number in words only counts (`the two`)."""
    hundreds: dict[str, float] = field(default_factory=dict)
    genitive: str = ""
    """An ending that may be taken off a unit (`half an hour's rest`)."""
    decimal: str = "."
    """The sign before the decimals; the other one parts the thousands where three figures follow it."""


_SETS = [
    "point",
    "sounds_before",
    "counted",
    "parting",
    "link",
    "definite",
    "articles",
    "tools",
    "article_units",
    "never_with_article",
    "one_of",
    "point_first",
    "between",
    "never_soft",
    "never_decimal",
    "late",
    "late_after",
    "choice",
    "range",
    "times_sign",
    "careful",
    "careful_after",
    "suffix",
    "comes_in",
    "joint_units",
]
"""Lists of number words that are kept as they stand, by the name of their field."""


def _reached(spec: Mapping[str, str]) -> tuple[frozenset[str], frozenset[str], frozenset[str]]:
    fall, behind, before = (frozenset(str(spec.get(k) or "").split()) for k in ("by", "behind", "before"))
    return fall, behind, before


def compile_units(
    units: Sequence[Mapping[str, Any]], numbers: Mapping[str, Any], observations: Mapping[str, Any]
) -> Units:
    """Compile the lists of units and number words."""
    out = Units()
    for row in units:
        unit = Unit(row["unit"], float(row.get("factor", 1)), float(row.get("offset", 0)))
        for spelling in str(row.get("exact") or "").split():
            out.exact[spelling] = unit
        for spelling in fold(str(row.get("say") or "")).split("|"):
            key = tuple(spelling.split())
            if key:
                out.spelled[key] = unit
                out.longest = max(out.longest, len(key))
    out.ones = {
        word: float(value) for value, spelled in (numbers.get("words") or {}).items() for word in spelled.split()
    }
    out.hundreds = {
        word: float(value) for value, spelled in (numbers.get("times") or {}).items() for word in spelled.split()
    }
    for name in _SETS:
        setattr(out, name, frozenset((numbers.get(name) or "").split()))
    out.sounds = {word: str(d) for d, spelled in (numbers.get("sounds") or {}).items() for word in spelled.split()}
    for name, store in (("parts", out.halves), ("vague", out.vague)):
        for value, spelled in (numbers.get(name) or {}).items():
            for phrase in spelled.split("|"):
                store[tuple(phrase.split())] = float(value)
    out.decimal = str(numbers.get("decimal") or out.decimal)
    out.single = frozenset((numbers.get("only_with_unit") or "").split())
    out.reached = _reached(numbers.get("reached") or {})
    smaller = numbers.get("smaller") or {}
    out.smaller = {word: str(smaller["counts"]) for word in (smaller.get("behind") or "").split()}
    out.joints = {j: u for u, spelled in (numbers.get("joints") or {}).items() for j in spelled.split()}
    gauge = observations.get("gauge") or {}
    out.gauge = {str(k): float(v) for k, v in (gauge.get("sizes") or {}).items()}
    out.gauge_unit = gauge.get("gives", "mm2")
    out.words = (
        frozenset(w for key in out.spelled for w in key) | frozenset(out.ones) | out.point | frozenset(out.hundreds)
    )
    return out
