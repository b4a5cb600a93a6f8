"""Numbers and units as people write and say them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from assistant.language.quantities import Quantity, Unit, Units
from assistant.language.tokens import Token


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
            glued = place == after and self.tokens[after].glued  # `2½`
            if (place == after and not glued) or own:  # `at forty seconds, and half an hour's rest …`
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
        thing = token.text in self.units.articles or token.text in self.units.never_soft  # `a 5 amp one`
        if step is None or not 0 < step < 10 or thing:
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
        if word in (self.units.point_first or self.units.point):
            return self._leading_point(place)
        if word in self.units.sounds_before and self._points(place + 1):
            value, after, _ = self._point(float(self.units.sounds[word]), place + 1)
            return self._finish(place, value, None, after, True, False)
        before = self.tokens[place - 1].text if place else ""
        if word not in self.units.ones:
            return None
        row = self._row(place)
        if word in self.units.never_soft and before in self.units.one_of and not (row and row[2]):
            return None  # `port one nine and a half`
        value, after, decimal = row or self._count(place)
        found = self._finish(place, value, None, after, decimal, False)
        if found and self._is_pair(place, value):
            found = replace(found[0], other=found[0].value / 100), found[1]
        if found and word in self.units.single and found[0].unit is None and after == place + 1:
            never = (word in self.units.articles or word in self.units.never_soft) and not self._begins_range(place)
            return None if never else (replace(found[0], soft=True), found[1])
        if found and word in self.units.articles and not self._counts_one(found[0], place):
            return None
        return None if found and word in self.units.articles and self._is_tool(found[1]) else found

    def _is_tool(self, place: int) -> bool:
        """`An ohm meter`, `a volt tester`: an article and a unit before a tool are no figure."""
        return place < len(self.tokens) and self.tokens[place].text in self.units.tools

    def _begins_range(self, place: int) -> bool:
        """`One to two volts`, `between one and two`: a small number is a figure where a range goes on from it."""
        joint = self.tokens[place + 1].text if place + 2 < len(self.tokens) else ""
        between = place > 0 and self.tokens[place - 1].text in self.units.between
        joins = joint in self.units.range or joint in self.units.choice or (between and joint in self.units.link)
        end = self.tokens[place + 2].text if joins else ""
        if self.tokens[place].text in self.units.never_soft and end in self.units.ones:
            return between or self._unit(place + 3) is not None
        return False

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
        after = place + 1
        article = self.tokens[place].text in self.units.articles
        if article and after < len(self.tokens) and self._is_count(self.tokens[after].text):
            return self._count(after)  # `a three second burst`
        value = last = self.units.ones[self.tokens[place].text]
        while after < len(self.tokens):
            word = self.tokens[after].text
            if word in self.units.hundreds and self.tokens[after].sort == "word":
                value *= self.units.hundreds[word]
                last = value
            elif word == "-" and after + 1 < len(self.tokens) and self.tokens[after + 1].text in self.units.ones:
                after += 1
                continue
            elif self._is_count(word):
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

    def _is_count(self, word: str) -> bool:
        """Whether a word is a small number and no article."""
        return word in self.units.ones and word not in self.units.articles | self.units.link

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
        spoken = place > 1 and before != "" and self.tokens[place - 2].text in self.units.point
        decimal = spoken or ("." in before or "," in before)  # `12,6 in`, `twelve point six in`
        split = decimal or before in self.units.never_soft  # `the upper one in`
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
