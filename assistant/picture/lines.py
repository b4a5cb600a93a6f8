"""The picture of the path in plain characters, for any width from 40 and for a screen without colour."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator

from assistant.picture.picture import Picture, Point, Stretch, picture_data
from assistant.picture.saying import (
    clean,
    loss_text,
    motor_text,
    round_step,
    step_text,
    verdict_text,
    volts,
    wanted_text,
)

NARROWEST = 40
_RAIL, _REST, _LOAD = 3, 9, 10
_WIDE, _NAME = 72, 30
"""From this width on the bars stand beside the figures, and this is the room for names then."""


def text_lines(picture: Picture, width: int) -> list[str]:
    """The whole picture as lines of at most `width` characters.

    Args:
        picture: What is drawn.
        width: Characters in a line; below 40 it is drawn for 40.
    """
    return _Page(picture, max(width, NARROWEST)).whole()


def brief_lines(picture: Picture, width: int) -> list[str]:
    """The points, what loses too much and the whole path: for a small place on a screen."""
    return _Page(picture, max(width, NARROWEST)).brief()


def table_of(picture: Picture) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """The picture as the head and the rows of a table, for where signs are not all of one width."""
    page, words = _Page(picture, NARROWEST), picture_data()["words"]
    unread = words["missing"]

    def point(item: Point, more: str = "") -> tuple[str, ...]:
        read = (unread if value is None else volts(value) for value in (item.rest, item.load))
        return (f"{item.name}, {more}" if more else item.name, *read, "", "")

    def stretch(item: Stretch) -> tuple[str, ...]:
        lost = unread if item.loss is None else loss_text(item.loss)
        return (item.name, "", lost, page.drawn(item), verdict_text(item))

    rows = [point(picture.battery)]
    for item in picture.out:
        rows += [stretch(item), *([point(picture.behind[item.id])] if item.id in picture.behind else [])]
    rows += [point(picture.motor), point(picture.terminals, motor_text(picture))]
    rows += [*map(stretch, picture.back), *map(stretch, picture.wholes)]
    head = (words["title"], words["at_rest"], words["under_load"], words["scale"].format(step=step_text(page.step)), "")
    return tuple(map(clean, head)), tuple(tuple(map(clean, row)) for row in rows)


class _Page:
    """Lines of one width."""

    def __init__(self, picture: Picture, width: int) -> None:
        self.picture, self.width = picture, width
        data = picture_data()
        self.marks, self.rails, self.words = data["marks"], data["rails"], data["words"]
        self.beside = width >= _WIDE
        self.name = _NAME if self.beside else width - _RAIL - _REST - _LOAD
        self.bar = width - _RAIL - self.name - _REST - _LOAD - 2 if self.beside else width - _RAIL
        self.step = round_step(picture.largest / self.bar)

    def whole(self) -> list[str]:
        """All of it."""
        picture = self.picture
        lines = [*self._head(), *self._battery()]
        for item in picture.out:
            lines += self._stretch(item, self.rails["out"])
            lines += self._point(picture.behind[item.id], "") if item.id in picture.behind else []
        lines += [*self._point(picture.motor, ""), *self._point(picture.terminals, motor_text(picture))]
        lines += [line for item in picture.back for line in self._stretch(item, self.rails["back"])]
        lines += [*self._row(self.rails["point"], self.words["again"], "", ""), ""]
        lines += [line for item in picture.wholes for line in self._stretch(item, " ")]
        lines += ["", *self._legend()]
        for text in (picture.sum, wanted_text(picture)):
            lines += ["", *textwrap.wrap(clean(text), self.width)] if text else []
        return lines

    def brief(self) -> list[str]:
        """What matters most."""
        picture = self.picture
        lines = [*self._head(), *self._point(picture.battery, "")]
        lines += [line for item in _blamed(picture.out) for line in self._stretch(item, self.rails["out"])]
        lines += self._point(picture.motor, motor_text(picture))
        lines += [line for item in _blamed(picture.back) for line in self._stretch(item, self.rails["back"])]
        whole = picture.wholes[-1]
        return lines if whole.loss is None else [*lines, *self._stretch(whole, " ")]

    def _head(self) -> list[str]:
        title = clean(self.words["title"])
        heads = f"{self.words['at_rest']:>{_REST}}{self.words['under_load']:>{_LOAD}}"
        room = _RAIL + self.name
        return [f"{title:<{room}}{heads}"] if len(title) <= room else [title, " " * room + heads]

    def _battery(self) -> Iterator[str]:
        yield from self._point(self.picture.battery, "")
        if self.picture.sag is not None and self.picture.sag > 0:
            yield from self._row(self.rails["inside"], picture_data()["sag"], "", loss_text(self.picture.sag))

    def _point(self, point: Point, more: str) -> list[str]:
        name = f"{point.name}, {more}" if more else point.name
        read = [self.marks["missing"] if value is None else volts(value) for value in (point.rest, point.load)]
        return self._row(self.rails["point"], name, *read)

    def _stretch(self, item: Stretch, rail: str) -> list[str]:
        if item.loss is None:
            return self._row(rail, item.name, "", self.marks["missing"])
        bar, said = self.drawn(item), verdict_text(item)
        if self.beside:
            return self._row(rail, item.name, "", loss_text(item.loss), bar, said)
        below = [text for text in (bar, said) if text]
        if bar and said and _RAIL + len(bar) + 1 + len(said) <= self.width:
            below = [f"{bar} {said}"]
        side = rail if rail != self.rails["point"] else " "
        return [*self._row(rail, item.name, "", loss_text(item.loss)), *(f"{side}  {text}" for text in below)]

    def drawn(self, item: Stretch) -> str:
        """A loss as a row of marks, to scale."""
        if item.loss is None or item.loss <= 0:
            return ""
        total = round(item.loss / self.step)
        if not total:
            return str(self.marks["small"])
        kind = "unknown" if item.verdict == "unknown" else "sound"
        sound = min(total, round(item.sound / self.step))
        over = self.marks[item.verdict] if item.over else self.marks[kind]
        return str(self.marks[kind]) * sound + str(over) * (total - sound)

    def _row(self, rail: str, name: str, rest: str, load: str, bar: str = "", said: str = "") -> list[str]:
        names = textwrap.wrap(clean(name), self.name - 1) or [""]
        line = f"{rail:<{_RAIL}}{names[0]:<{self.name}}{rest:>{_REST}}{load:>{_LOAD}}  {bar}".rstrip()
        side = rail if rail in (self.rails["out"], self.rails["back"], self.rails["inside"]) else " "
        more = [f"{side:<{_RAIL}}{text}".rstrip() for text in names[1:]]
        if not said:
            return [line, *more]
        if len(line) + 1 + len(said) <= self.width:
            return [f"{line} {said}", *more]
        place = self.width - len(said)
        if more and len(more[0]) < place:
            return [line, f"{more[0]:<{place}}{said}", *more[1:]]
        return [line, *more, f"{side:<{place}}{said}"]

    def _legend(self) -> Iterator[str]:
        kinds = list(self.picture.kinds)
        drawn = {self.drawn(item) for item in (*self.picture.stretches, *self.picture.wholes)}
        if self.marks["small"] in drawn:
            kinds.append("small")
        pieces = [f"{self.marks[kind]} {self.words[kind]}" for kind in kinds]
        if self.picture.largest > 0:
            pieces.append(self.words["scale"].format(step=step_text(self.step)))
        line = ""
        for piece in pieces:
            joined = f"{line}   {piece}" if line else piece
            if line and len(joined) > self.width:
                yield from textwrap.wrap(line, self.width, subsequent_indent="  ")
                joined = piece
            line = joined
        yield from textwrap.wrap(line, self.width, subsequent_indent="  ", replace_whitespace=False)


def _blamed(items: Iterable[Stretch]) -> Iterator[Stretch]:
    return (item for item in items if item.verdict == "too_much")
