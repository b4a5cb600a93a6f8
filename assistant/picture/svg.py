"""The picture of the path as one SVG that needs nothing else: no fonts, no scripts, nothing fetched.

The battery stands on the left, the motor on the right; the upper lane leads out, the lower one back. What each
stretch loses hangs from its lane, all to one scale. Black and white only, so that it can be printed.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from html import escape

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

_WIDTH, _BOX = 960, 170
_LEFT, _RIGHT = 10 + _BOX, _WIDTH - 10 - _BOX
_OUT, _BACK = 96, 470
"""Heights of the two lanes."""
_TALLEST = 150.0
"""The largest loss, in units of the drawing."""
_BAR = 34
_LETTER = 6.6
"""Width of a letter at 12 units, on the safe side."""
_FILLS = {
    "sound": 'fill="#fff" stroke="#000"',
    "too_much": 'fill="#000" stroke="#000"',
    "not_shown": 'fill="url(#springline-over)" stroke="#000"',
    "unknown": 'fill="url(#springline-dots)" stroke="#000"',
    "missing": 'fill="none" stroke="#000" stroke-dasharray="4 3"',
}
_PATTERNS = (
    '<defs><pattern id="springline-over" width="6" height="6" patternUnits="userSpaceOnUse">'
    '<rect width="6" height="6" fill="#fff"/><path d="M0 6L6 0" stroke="#000"/></pattern>'
    '<pattern id="springline-dots" width="6" height="6" patternUnits="userSpaceOnUse">'
    '<rect width="6" height="6" fill="#fff"/><circle cx="3" cy="3" r="1.2"/></pattern></defs>'
)


def to_svg(picture: Picture) -> str:
    """The picture as the text of an SVG element, the same for the same readings."""
    words = picture_data()["words"]
    below = [*_wrapped(picture.sum, 132), *_wrapped(wanted_text(picture), 132)]
    legend_at = _BACK + 84
    text_at = legend_at + 22 * (1 + (len(_legend_items(picture)) - 1) // 2) + 14
    height = text_at + 18 * len(below) + 6
    pieces = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDTH} {height}" role="img" '
        'font-family="sans-serif" font-size="12" fill="#000" style="max-width:100%;height:auto">',
        f"<title>{_safe(words['title'])}</title><desc>{_safe(picture.sum)}</desc>",
        _PATTERNS,
        f'<rect width="{_WIDTH}" height="{height}" fill="#fff"/>',
        *_lanes(picture),
        *_end(picture.battery, 10, _battery_more(picture)),
        *_end(picture.motor, _RIGHT, [motor_text(picture), *_terminals(picture.terminals)]),
        *_wholes(picture),
        *_legend(picture, legend_at),
        *(_text(10, text_at + 18 * place, line) for place, line in enumerate(below)),
        "</svg>",
    ]
    return "\n".join(pieces)


def _unit(picture: Picture) -> float:
    """Units of the drawing for a volt."""
    return _TALLEST / picture.largest if picture.largest > 0 else 0.0


def _lanes(picture: Picture) -> Iterator[str]:
    words = picture_data()["words"]
    for lane, arrow, said, at in (
        (_OUT, f"M{_RIGHT - 14} {_OUT - 5}L{_RIGHT} {_OUT}L{_RIGHT - 14} {_OUT + 5}Z", words["out"], _OUT - 80),
        (_BACK, f"M{_LEFT + 14} {_BACK - 5}L{_LEFT} {_BACK}L{_LEFT + 14} {_BACK + 5}Z", words["back"], _BACK + 66),
    ):
        yield f'<path d="M{_LEFT} {lane}H{_RIGHT}" stroke="#000" stroke-width="3"/><path d="{arrow}"/>'
        yield _text((_LEFT + _RIGHT) / 2, at, said, "middle", 'font-weight="bold"')
    yield from _lane(picture, picture.out, _OUT, down=True)
    yield from _lane(picture, tuple(reversed(picture.back)), _BACK, down=False)


def _lane(picture: Picture, items: Sequence[Stretch], lane: int, *, down: bool) -> Iterator[str]:
    room = (_RIGHT - _LEFT) / len(items)
    for place, item in enumerate(items):
        middle = _LEFT + room * (place + 0.5)
        names = _wrapped(item.name, int(room / _LETTER))[:3]
        first = lane - 10 - 15 * (len(names) - 1) if down else lane + 20
        yield from (_text(middle, first + 15 * row, name, "middle") for row, name in enumerate(names))
        yield from _hanging(picture, item, middle, lane, down=down)
        if item.id in picture.behind:
            yield from _inside(picture.behind[item.id], middle + room / 2, lane)


def _inside(point: Point, x: float, lane: int) -> Iterator[str]:
    """A point on a lane with what was read there; its place between the stretches names it."""
    ring = f'cx="{_n(x)}" cy="{lane}" r="5" fill="#fff" stroke="#000" stroke-width="2"'
    yield f"<circle {ring}><title>{_safe(point.name)}</title></circle>"
    rows = [text for pair in _read(point) for text in pair]
    yield from (_text(x, lane + 19 + 13 * row, said, "middle", 'font-size="10"') for row, said in enumerate(rows))


def _terminals(point: Point) -> list[str]:
    return [f"{point.name}:", *(" ".join(pair) for pair in _read(point))]


def _read(point: Point) -> list[tuple[str, str]]:
    """What was read at a point, at rest and in a run."""
    words, mark = picture_data()["words"], picture_data()["marks"]["missing"]
    rows = (("at_rest", point.rest), ("under_load", point.load))
    return [(str(words[name]), mark if value is None else volts(value)) for name, value in rows]


def _hanging(picture: Picture, item: Stretch, middle: float, lane: int, *, down: bool) -> Iterator[str]:
    side, start = (1 if down else -1), lane + (2 if down else -2)
    left = middle - _BAR / 2
    if item.loss is None:
        yield _bar(left, start, _BAR, 30 * side, "missing")
        yield _text(middle, start + 19 * side + (4 if not down else 0), "?", "middle", 'font-weight="bold"')
        yield _text(middle, start + 44 * side + (5 if not down else 0), picture_data()["words"]["missing"], "middle")
        return
    unit = _unit(picture)
    kind = "unknown" if item.verdict == "unknown" else "sound"
    sound, over = item.sound * unit, item.over * unit
    if sound > 0:
        yield _bar(left, start, _BAR, sound * side, kind)
    if over > 0:
        yield _bar(left, start + sound * side, _BAR, over * side, item.verdict)
    said = [loss_text(item.loss), verdict_text(item)]
    at = start + (sound + over + 15) * side + (4 if not down else 0)
    for row, text in enumerate(text for text in said if text):
        yield _text(middle, at + 15 * row * side, text, "middle", 'font-weight="bold"' if row == 0 else "")


def _bar(x: float, y: float, width: float, tall: float, kind: str) -> str:
    top = min(y, y + tall)
    return f'<rect x="{_n(x)}" y="{_n(top)}" width="{_n(width)}" height="{_n(max(abs(tall), 0.5))}" {_FILLS[kind]}/>'


def _battery_more(picture: Picture) -> list[str]:
    if picture.sag is None or picture.sag <= 0:
        return []
    return [picture_data()["sag"], loss_text(picture.sag)]


def _end(point: Point, left: float, more: list[str]) -> Iterator[str]:
    """The battery or the motor: a box that joins both lanes, with what was read across it."""
    words, mark = picture_data()["words"], picture_data()["marks"]["missing"]
    yield (
        f'<rect x="{_n(left)}" y="{_OUT - 20}" width="{_BOX}" height="{_BACK - _OUT + 40}" rx="8" fill="#fff" '
        'stroke="#000" stroke-width="2"/>'
    )
    middle, at = left + _BOX / 2, (_OUT + _BACK) / 2 - 70
    yield _text(middle, at, point.name, "middle", 'font-weight="bold" font-size="14"')
    for row, (name, value) in enumerate((("at_rest", point.rest), ("under_load", point.load))):
        read = f"{mark} {words['missing']}" if value is None else volts(value)
        y = at + 30 + 42 * row
        yield _text(middle, y, words[name], "middle")
        yield _text(middle, y + 18, read, "middle", 'font-size="15" font-weight="bold"')
    lines = [line for text in more for line in _wrapped(text, int(_BOX / _LETTER) - 2)]
    yield from (_text(middle, at + 122 + 16 * row, line, "middle") for row, line in enumerate(lines))


def _wholes(picture: Picture) -> Iterator[str]:
    """Both sides and the whole path in the middle, to the same scale."""
    unit, start = _unit(picture), (_LEFT + _RIGHT) / 2 - 60
    first = (_OUT + _BACK) / 2 - 24
    for row, item in enumerate(picture.wholes):
        y = first + 26 * row
        yield _text(start - 8, y + 12, item.name, "end")
        if item.loss is None:
            yield f'<rect x="{_n(start)}" y="{_n(y)}" width="30" height="16" {_FILLS["missing"]}/>'
            yield _text(start + 15, y + 12, "?", "middle", 'font-weight="bold"')
            continue
        sound, over = item.sound * unit, item.over * unit
        kind = "unknown" if item.verdict == "unknown" else "sound"
        for x, wide, fill in ((start, sound, kind), (start + sound, over, item.verdict)):
            if wide > 0:
                yield f'<rect x="{_n(x)}" y="{_n(y)}" width="{_n(wide)}" height="16" {_FILLS[fill]}/>'
        said = ", ".join(text for text in (loss_text(item.loss), verdict_text(item)) if text)
        yield _text(start + sound + over + 8, y + 12, said, "start", 'font-weight="bold"')


def _legend_items(picture: Picture) -> list[tuple[str, str]]:
    words = picture_data()["words"]
    items = [(kind, str(words[kind])) for kind in picture.kinds]
    return [*items, ("scale", "")] if picture.largest > 0 else items


def _legend(picture: Picture, at: int) -> Iterator[str]:
    for place, (kind, said) in enumerate(_legend_items(picture)):
        x, y = 10 + 420 * (place % 2), at + 22 * (place // 2)
        if kind == "scale":
            step = round_step(picture.largest / 3)
            wide = step * _unit(picture)
            yield f'<path d="M{x} {y - 4}v8M{x} {y}h{_n(wide)}m0 -4v8" stroke="#000" stroke-width="2" fill="none"/>'
            yield _text(x + wide + 8, y + 4, step_text(step))
        else:
            yield f'<rect x="{x}" y="{y - 7}" width="22" height="14" {_FILLS[kind]}/>'
            yield _text(x + 30, y + 4, said)


def _text(x: float, y: float, text: str, anchor: str = "start", more: str = "") -> str:
    tail = f" {more}" if more else ""
    return f'<text x="{_n(x)}" y="{_n(y)}" text-anchor="{anchor}"{tail}>{_safe(text)}</text>'


def _wrapped(text: str, letters: int) -> list[str]:
    return textwrap.wrap(clean(text), max(letters, 8))


def _safe(text: str) -> str:
    return escape(clean(text), quote=True)


def _n(value: float) -> str:
    return f"{value:.1f}".rstrip("0").rstrip(".")
