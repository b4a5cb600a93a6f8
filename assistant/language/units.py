"""Numbers and units as people write and say them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from assistant.language.tokens import Token, fold


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
    article_units: frozenset[str] = frozenset()
    never_with_article: frozenset[str] = frozenset()
    times_sign: frozenset[str] = frozenset()
    never_soft: frozenset[str] = frozenset()
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
    out.point = frozenset((numbers.get("point") or "").split())
    out.sounds = {word: str(d) for d, spelled in (numbers.get("sounds") or {}).items() for word in spelled.split()}
    out.sounds_before = frozenset((numbers.get("sounds_before") or "").split())
    out.counted = frozenset((numbers.get("counted") or "").split())
    out.parting = frozenset((numbers.get("parting") or "").split())
    for name, store in (("parts", out.halves), ("vague", out.vague)):
        for value, spelled in (numbers.get(name) or {}).items():
            for phrase in spelled.split("|"):
                store[tuple(phrase.split())] = float(value)
    out.decimal = str(numbers.get("decimal") or out.decimal)
    out.link = frozenset((numbers.get("link") or "").split())
    out.definite = frozenset((numbers.get("definite") or "").split())
    out.single = frozenset((numbers.get("only_with_unit") or "").split())
    out.articles = frozenset((numbers.get("articles") or "").split())
    out.article_units = frozenset((numbers.get("article_units") or "").split())
    out.never_with_article = frozenset((numbers.get("never_with_article") or "").split())
    out.never_soft = frozenset((numbers.get("never_soft") or "").split())
    out.never_decimal = frozenset((numbers.get("never_decimal") or "").split())
    out.late = frozenset((numbers.get("late") or "").split())
    out.late_after = frozenset((numbers.get("late_after") or "").split())
    out.choice = frozenset((numbers.get("choice") or "").split())
    out.range = frozenset((numbers.get("range") or "").split())
    out.times_sign = frozenset((numbers.get("times_sign") or "").split())
    out.careful = frozenset((numbers.get("careful") or "").split())
    out.careful_after = frozenset((numbers.get("careful_after") or "").split())
    out.suffix = frozenset((numbers.get("suffix") or "").split())
    out.comes_in = frozenset((numbers.get("comes_in") or "").split())
    out.joint_units = frozenset((numbers.get("joint_units") or "").split())
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


class NumberReader:
    """Finds the quantities in a list of tokens."""

    def __init__(self, tokens: Sequence[Token], text: str, units: Units) -> None:
        """Keep the tokens, the text as written and the lists."""
        self.tokens = tokens
        self.text = text
        self.units = units

    def at(self, place: int) -> tuple[Quantity, int] | None:
        """The quantity that starts at a token, and the token after it."""
        token = self.tokens[place]
        if token.sort == "gauge":
            return self._gauge(place, token.text, place + 1)
        if token.sort == "number":
            return self._digits(place)
        if token.sort == "word":
            return self._spoken(place)
        if token.text in "+-" and token.text and place + 1 < len(self.tokens):
            return self._signed(place)
        return None

    def _signed(self, place: int) -> tuple[Quantity, int] | None:
        after = self.tokens[place + 1]
        before = self.tokens[place - 1] if place else None
        if after.sort != "number" or not after.glued or (before and self.tokens[place].glued and before.sort != "mark"):
            return None
        if before is not None and before.sort == "number":
            return None
        found = self._digits(place + 1)
        if found is None or self.tokens[place].text == "+":
            return found
        q, end = found
        return replace(q, value=-q.value, start=self.tokens[place].start), end

    def _gauge(self, place: int, size: str, after: int) -> tuple[Quantity, int] | None:
        value = self.units.gauge.get(size)
        if value is None:
            return None
        unit = self._unit(after)
        end = self.tokens[after - 1].end
        if unit is not None and unit[0].unit == "AWG":
            after = unit[1]
            end = self.tokens[after - 1].end
        return Quantity(value, self.units.gauge_unit, self.tokens[place].start, end), after

    def _digits(self, place: int) -> tuple[Quantity, int] | None:
        token = self.tokens[place]
        row = self._single_digits(place)
        if len(row) > 2:
            return self._finish(place, float(row), None, place + len(row), False, True)
        value = read_digits(token.text, self.units.decimal)
        if value is None:
            return None
        after = place + 1
        decimal = "." in token.text or "," in token.text
        unit: Unit | None = None
        joint = self._joint(after)
        spoken = self._point(value, after) if not decimal else (value, after, decimal)
        if joint is not None:
            digits = self.tokens[after + 1].text
            value += int(digits) / 10 ** len(digits)
            unit, after, decimal = joint, after + 2, True
        elif spoken[1] > after:
            value, after, decimal = spoken
        else:
            value, after, decimal = self._tail(value, after, decimal)
        return self._finish(place, value, unit, after, decimal, True)

    def _single_digits(self, place: int) -> str:
        """Digits that stand apart (`3 3 0`)."""
        row = ""
        for token in self.tokens[place:]:
            if token.sort != "number" or len(token.text) != 1:
                break
            row += token.text
        return row

    def _joint(self, after: int) -> Unit | None:
        if after + 1 >= len(self.tokens):
            return None
        letter, digits = self.tokens[after], self.tokens[after + 1]
        if letter.glued and digits.glued and digits.sort == "number" and digits.text.isdigit() and len(digits.text) < 3:
            raw = self.text[letter.start : letter.end]
            if letter.text in self.units.joints and raw not in self.units.joint_units:
                return Unit(self.units.joints[letter.text])
            known = self.units.exact.get(raw) or self.units.spelled.get((letter.text,))
            return known if raw in self.units.joint_units else None
        return None

    def _tail(self, value: float, after: int, decimal: bool) -> tuple[float, int, bool]:
        """`and a half`, `1/2` and the like behind a whole number."""
        place = after
        if place < len(self.tokens) and self.tokens[place].text in self.units.link:
            place += 1
        found = self._phrase(self.units.halves, place)
        if found is not None and (place > after or not decimal):
            own = self.tokens[found[1] - 1].text in self.units.articles and self._unit(found[1]) is not None
            if place == after or own:  # `at forty seconds, and half an hour's rest …`
                return value, after, decimal
            return value + found[0], found[1], True
        return value, after, decimal

    def _or_more(self, after: int) -> tuple[float, int] | None:
        """`a minute or two`: the unit stands between the ends of the range."""
        if after + 1 >= len(self.tokens) or self.tokens[after].text not in self.units.choice:
            return None
        token = self.tokens[after + 1]
        value = self.units.ones.get(token.text) if token.sort == "word" else None
        value = float(token.text) if token.sort == "number" and token.text.isdigit() else value
        if value is None or token.text in self.units.articles or self._unit(after + 2) is not None:
            return None
        return value, after + 2

    def _loose_tenth(self, value: float, unit: Unit | None, after: int, decimal: bool) -> tuple[float, int, bool]:
        """`twelve volts four`: a small number right behind the unit, with nothing that it could count."""
        if decimal or unit is None or unit.unit not in self.units.joints.values() or after >= len(self.tokens):
            return value, after, decimal
        token = self.tokens[after]
        step = self.units.ones.get(token.text) if token.sort == "word" else None
        step = float(token.text) if token.sort == "number" and token.text.isdigit() else step
        if step is None or not 0 < step < 10 or token.text in self.units.articles:
            return value, after, decimal
        behind = self.tokens[after + 1] if after + 1 < len(self.tokens) else None
        if behind is None or behind.sort == "mark" or behind.text in self.units.careful_after:
            return value + step / 10, after + 1, True
        return value, after, decimal

    def _in_smaller(self, value: float, unit: Unit, after: int) -> tuple[float, int]:
        """`Eleven foot six`: a small number right behind such a unit, with nothing else that it could count."""
        inch = self.units.spelled.get((self.units.smaller.get(self.tokens[after - 1].text, ""),))
        if inch is None or after >= len(self.tokens):
            return value, after
        token = self.tokens[after]
        count = self.units.ones.get(token.text) if token.sort == "word" else None
        count = float(token.text) if token.sort == "number" and token.text.isdigit() else count
        if count is None or not 0 < count * inch.factor < unit.factor or token.text in self.units.articles:
            return value, after
        found = self._unit(after + 1)
        behind = self.tokens[after + 1] if after + 1 < len(self.tokens) else None
        if found is not None and found[0] == inch:
            return value + count * inch.factor / unit.factor, found[1]
        if found is None and (behind is None or behind.sort == "mark" or behind.text in self.units.careful_after):
            return value + count * inch.factor / unit.factor, after + 1
        return value, after

    def _phrase(self, phrases: Mapping[tuple[str, ...], float], place: int) -> tuple[float, int] | None:
        for length in (4, 3, 2, 1):
            key = tuple(t.text for t in self.tokens[place : place + length])
            if len(key) == length and key in phrases:
                return phrases[key], place + length
        return None

    def _spoken(self, place: int) -> tuple[Quantity, int] | None:
        vague = self._phrase(self.units.vague, place)
        if vague is not None:
            unit = self._unit(vague[1])
            if unit is not None:
                return self._finish(place, vague[0], None, vague[1], False, False, doubt=True)
        part = self._phrase(self.units.halves, place)
        if part is not None:
            return self._part(place, part)
        word = self.tokens[place].text
        if word in self.units.point:
            return self._leading_point(place)
        if word in self.units.sounds_before and self._points(place + 1):
            value, after, _ = self._point(float(self.units.sounds[word]), place + 1)
            return self._finish(place, value, None, after, True, False)
        if word not in self.units.ones:
            return None
        value, after, decimal = self._row(place) or self._count(place)
        found = self._finish(place, value, None, after, decimal, False)
        if found and self._is_pair(place, value):
            found = replace(found[0], other=found[0].value / 100), found[1]
        if found and word in self.units.single and found[0].unit is None and after == place + 1:
            never = word in self.units.articles or word in self.units.never_soft
            return None if never else (replace(found[0], soft=True), found[1])
        if found and word in self.units.articles and not self._counts_one(found[0], place):
            return None
        return found

    def _leading_point(self, place: int) -> tuple[Quantity, int] | None:
        """`point four`."""
        value, after, _ = self._point(0.0, place)
        before = self.tokens[place - 1] if place else None
        if after == place or (before is not None and before.sort == "number"):
            return None
        return self._finish(place, value, None, after, True, False)

    def _counts_one(self, quantity: Quantity, place: int) -> bool:
        """Whether an article stands for one of the unit that follows (`a foot`, but not `a meter`), or of hundreds."""
        after = self.tokens[place + 1].text if place + 1 < len(self.tokens) else ""
        if after in self.units.hundreds:
            return True
        return quantity.unit in self.units.article_units and after not in self.units.never_with_article

    def _part(self, place: int, part: tuple[float, int]) -> tuple[Quantity, int] | None:
        after = part[1]
        if after < len(self.tokens) and self.tokens[after].text in self.units.single:
            after += 1
        unit = self._unit(after)
        if unit is None:
            return None
        return self._finish(place, part[0], None, after, True, False)

    def _row(self, place: int) -> tuple[float, int, bool] | None:
        """Figures said one by one: `two five point one`, `three four zero amps`."""
        after = place
        digits = ""
        while after < len(self.tokens) and self.tokens[after].text not in self.units.articles:
            step = self.units.ones.get(self.tokens[after].text)
            if step is None or step >= 10:
                break
            digits += str(int(step))
            after += 1
        if len(digits) < 2:
            return None
        value, end, decimal = self._point(float(digits), after)
        if end > after and self.tokens[after].text in self.units.point:
            return value, end, decimal
        return (float(digits), after, False) if len(digits) > 2 and self._unit(after) is not None else None

    def _count(self, place: int) -> tuple[float, int, bool]:
        value = self.units.ones[self.tokens[place].text]
        after = place + 1
        last = value
        while after < len(self.tokens):
            word = self.tokens[after].text
            if word in self.units.hundreds and self.tokens[after].sort == "word":
                value *= self.units.hundreds[word]
                last = value
            elif word == "-" and after + 1 < len(self.tokens) and self.tokens[after + 1].text in self.units.ones:
                after += 1
                continue
            elif word in self.units.ones and word not in self.units.articles | self.units.link:
                step = self.units.ones[word]
                if (last >= 20 and last % 10 == 0 and step < 10) or (last >= 100 and step < 100):
                    value += step
                    last = step
                elif step < 10 and last < 100:
                    return self._digit_by_digit(value, after)
                elif value == last < 10 <= step and self._says_hundreds(place) and not self._of_one(after + 1):
                    value, last = value * 100 + step, step
                else:
                    break
            elif (
                word in self.units.link
                and after + 1 < len(self.tokens)
                and last >= 100
                and (self.tokens[after + 1].text in self.units.ones)
            ):
                pass
            else:
                break
            after += 1
        return self._point(value, after)

    def _is_pair(self, place: int, value: float) -> bool:
        """Whether hundreds were said as in `three ninety`."""
        digit = self.units.ones[self.tokens[place].text]
        times = any(t.text in self.units.hundreds for t in self.tokens[place : place + 3])
        return 0 < digit < 10 and digit * 100 < value < (digit + 1) * 100 and not times

    def _says_hundreds(self, place: int) -> bool:
        """`Three ninety`; but not `the left one eleven`."""
        noun = self.tokens[place].text in self.units.never_soft
        return not noun or not place or self.tokens[place - 1].sort == "mark"

    def _of_one(self, place: int) -> bool:
        """Whether a unit follows in which things come (`three twelve volt batteries` are no 312 volts)."""
        unit = self._unit(place)
        return unit is not None and unit[0].unit in self.units.comes_in

    def _digit_by_digit(self, value: float, after: int) -> tuple[float, int, bool]:
        """`nine six five` is 9.65."""
        digits = ""
        while after < len(self.tokens) and len(digits) < 3:
            token = self.tokens[after]
            step = self.units.ones.get(token.text) if token.sort == "word" else None
            if step is None or step >= 10 or token.text in self.units.articles:
                break
            if digits and token.text in self.units.never_soft:
                break
            digits, after = f"{digits}{step:g}", after + 1
        return value + int(digits) / 10 ** len(digits), after, True

    def _point(self, value: float, after: int) -> tuple[float, int, bool]:
        if after + 1 < len(self.tokens) and self.tokens[after].text in self.units.point:
            digits = ""
            place = after + 1
            while place < len(self.tokens) and self._digit(place) is not None:
                digits += self._digit(place) or ""
                place += 1
            if digits:
                return value + int(digits) / 10 ** len(digits), place, True
        tail, place, decimal = self._tail(value, after, False)
        return tail, place, decimal

    def _points(self, place: int) -> bool:
        """Whether a point in words and a digit stand here."""
        point = place + 1 < len(self.tokens) and self.tokens[place].text in self.units.point
        return point and self._digit(place + 1) is not None

    def _digit(self, place: int) -> str | None:
        token = self.tokens[place]
        value = self.units.ones.get(token.text)
        if token.sort == "number" and token.text.isdigit() and len(token.text) < 4:
            return token.text
        if value is None and self.tokens[place - 1].text in self.units.point:
            return self.units.sounds.get(token.text)
        return str(int(value)) if value is not None and value < 100 else None

    def _unit(self, place: int) -> tuple[Unit, int] | None:
        if place >= len(self.tokens):
            return None
        raw = self.text[self.tokens[place].start : self.tokens[place].end]
        for length in range(min(self.units.longest, len(self.tokens) - place), 1, -1):
            key = tuple(t.text for t in self.tokens[place : place + length])
            if key in self.units.spelled:
                return self.units.spelled[key], place + length
        if raw in self.units.exact:
            return self.units.exact[raw], place + 1
        key = (self.tokens[place].text.removesuffix(self.units.genitive),)
        if key in self.units.spelled and not self._doubtful(place):
            return self.units.spelled[key], place + 1
        return None

    def _late_unit(self, place: int) -> tuple[Unit, int] | None:
        """`85, in Fahrenheit`: a unit that is nothing else, told behind the figure."""
        start = place
        while place < len(self.tokens) and place < start + 3 and self.tokens[place].text in self.units.late_after:
            place += 1
        late = place > start and place < len(self.tokens) and self.tokens[place].text in self.units.late
        return self._unit(place) if late else None

    def _doubtful(self, place: int) -> bool:
        """Whether a word that may be a unit (`in`, `a`) is more likely an ordinary word here."""
        token = self.tokens[place]
        if token.text not in self.units.careful or token.glued:
            return False
        before = self.tokens[place - 1].text if place and token.text in self.units.never_decimal else ""
        split = "." in before or before in self.units.never_soft  # `the upper one in`
        if split or place + 1 == len(self.tokens):
            return split
        after = self.tokens[place + 1]
        return after.sort == "word" and after.text not in self.units.careful_after

    def _of_a(self, place: int) -> int:
        """Where the unit stands behind a part of it (`point two of a volt`)."""
        words = [t.text for t in self.tokens[place : place + 2]]
        parts = len(words) == 2 and words[0] in self.units.parting and words[1] in self.units.articles
        return place + 2 if parts and self._unit(place + 2) is not None else place

    def _finish(
        self,
        place: int,
        value: float,
        unit: Unit | None,
        after: int,
        decimal: bool,
        digits: bool,
        *,
        doubt: bool = False,
    ) -> tuple[Quantity, int] | None:
        if (
            after < len(self.tokens)
            and self.tokens[after].text in self.units.suffix
            and self.tokens[after].sort == "word"
        ):
            after += 1
        elif (
            after + 1 < len(self.tokens)
            and self.tokens[after].text == "-"
            and self.tokens[after + 1].text in self.units.suffix
        ):
            after += 2
        elif (
            after + 1 < len(self.tokens)
            and self.tokens[after].text == "-"
            and self.tokens[after].glued
            and self.tokens[after + 1].glued
            and self._unit(after + 1)
        ):
            after += 1
        named = bool(place) and self.tokens[place - 1].text in self.units.counted and not decimal and value < 10
        found = None if named else self._unit(self._of_a(after) if decimal else after) or self._late_unit(after)
        if found is not None and (unit is None or found[0].unit == unit.unit):
            unit, after = found
        if unit is not None:
            high = self._or_more(after)
            if high is not None and high[0] > value:
                top = high[0] * unit.factor + unit.offset
                low = value * unit.factor + unit.offset
                span = (self.tokens[place].start, self.tokens[high[1] - 1].end)
                return Quantity(low, unit.unit, *span, doubt, decimal, digits, top, spelled=unit), high[1]
            value, after, more = self._tail(value, after, decimal)
            decimal = decimal or more
            value, after, decimal = self._loose_tenth(value, unit, after, decimal)
            value, after = self._in_smaller(value, unit, after)
        end = self.tokens[after - 1].end
        start = self.tokens[place].start
        if unit is None:
            return Quantity(value, None, start, end, doubt, decimal, digits), after
        if unit.unit == "AWG":
            size = self.units.gauge.get(self.tokens[place].text) or self.units.gauge.get(f"{value:g}")
            if size is None:
                return None
            return Quantity(size, self.units.gauge_unit, start, end, doubt, decimal, digits), after
        figure = value * unit.factor + unit.offset
        return Quantity(figure, unit.unit, start, end, doubt, decimal, digits, spelled=unit), after


def read_digits(text: str, decimal: str = ".") -> float | None:
    """The number that digits with points or commas stand for; None when they stand for none (a date, an address)."""
    if text.isascii() is False:
        try:
            text = "".join(c if c in ".," else str(int(c)) for c in text)
        except ValueError:
            return None
    if len(text) > 24:
        return None
    signs = [c for c in text if c in ".,"]
    if not signs:
        return float(text)
    if len(signs) == 1:
        whole, _, part = text.partition(signs[0])
        if signs[0] != decimal and len(part) == 3 and whole.lstrip("0") and len(whole) <= 3:
            return float(whole + part)
        return float(f"{whole}.{part}")
    groups = text.replace(".", ",").split(",")
    if len(set(signs)) == 1:
        return float("".join(groups)) if all(len(g) == 3 for g in groups[1:]) else None
    if signs.count(signs[-1]) == 1 and all(len(g) == 3 for g in groups[1:-1]):
        return float("".join(groups[:-1]) + "." + groups[-1])
    return None
