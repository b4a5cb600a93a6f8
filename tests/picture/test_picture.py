"""The picture of the path: every reading stands in it, losses are to scale, what is missing is marked."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.electrics.ledger import path_ledger
from assistant.electrics.path import Cable, Readings
from assistant.picture import Picture, brief_lines, path_read, picture_of, text_lines, to_svg

WEAK = Readings(
    battery_rest=12.74, battery_load=11.6, studs_rest=12.7, studs_load=9.2,
    positive_drop=1.85, fuse_drop=0.92, isolator_drop=0.03, current=310,
)  # fmt: skip
CABLE = Cable(length=6, cross_section=70)
SVG = "{http://www.w3.org/2000/svg}"


def weak() -> Picture:
    return picture_of(path_ledger(WEAK, CABLE))


def rects(svg: str) -> list[dict[str, str]]:
    return [dict(item.attrib) for item in ET.fromstring(svg).iter(f"{SVG}rect")]


def texts(svg: str) -> list[str]:
    return [item.text or "" for item in ET.fromstring(svg).iter(f"{SVG}text")]


# ------------------------------------------------------------------------------- plain characters
@pytest.mark.parametrize("width", [40, 50, 72, 80, 120, 200])
def test_every_reading_stands_in_the_lines(width: int) -> None:
    lines = text_lines(weak(), width)
    whole = "\n".join(lines)
    for reading in ("12.74 V", "11.60 V", "12.70 V", "9.20 V", "310", "0.92 V", "30 mV", "1.85 V", "2.40 V"):
        assert reading in whole
    assert max(map(len, lines)) <= width
    head = next(line for line in lines if "at rest" in line)
    battery = next(line for line in lines if "battery posts" in line)
    assert battery.index("12.74") < head.index("in a run") <= battery.index("11.60") + len("11.60 V")


def test_points_and_parts_stand_in_the_order_of_the_path() -> None:
    lines = text_lines(weak(), 80)
    order = ["battery posts", "battery clamp", "main fuse", "isolator", "positive cable", "thruster studs", "negative"]
    places = [next(n for n, line in enumerate(lines) if name in line) for name in order]
    assert places == sorted(places)
    assert lines[places[-1]].startswith("^") and lines[places[2]].startswith("v")


def test_bars_are_to_scale_and_tell_too_much_from_what_it_should_cost() -> None:
    lines = text_lines(weak(), 120)
    step = float(re.search(r"one mark is ([\d.]+) mV", "\n".join(lines))[1]) / 1000  # type: ignore[index]
    fuse = next(line for line in lines if "main fuse and its holder  " in line)
    marks = re.search(r"V {2}([=#]+)", fuse)
    assert marks is not None
    assert abs(len(marks[1]) * step - 0.92) <= step / 2
    assert marks[1].count("#") > 10 * marks[1].count("=")
    legend = "\n".join(lines[lines.index("") :])
    assert all(f"{sign} " in legend for sign in ("=", "#", "?"))


def test_what_is_missing_is_marked_and_asked_for() -> None:
    lines = text_lines(weak(), 80)
    clamp = next(line for line in lines if "battery clamp" in line)
    assert clamp.rstrip().endswith("?")
    assert "To know more, read: loss across the battery clamp" in "\n".join(lines)
    bare = "\n".join(text_lines(picture_of(path_ledger(Readings(battery_rest=12.7), Cable())), 80))
    assert bare.count("?") >= 10 and "= what" not in bare and "one mark" not in bare


POINTS = replace(
    WEAK, fuse_far_rest=12.69, fuse_far_load=10.66, isolator_far_load=10.61, motor_load=8.83, isolator_drop=None
)  # fmt: skip


def test_every_point_of_the_path_has_its_readings_at_rest_and_in_a_run() -> None:
    picture = picture_of(path_ledger(POINTS, CABLE))
    lines = text_lines(picture, 80)
    names = ("battery posts", "behind the main fuse", "behind the isolator", "thruster studs", "motor terminals")
    rows = {name: next(line for line in lines if name in line) for name in names}
    assert "12.69 V" in rows["behind the main fuse"] and "10.66 V" in rows["behind the main fuse"]
    assert re.search(r"\? +10\.61 V", rows["behind the isolator"]) and re.search(
        r"\? +8\.83 V", rows["motor terminals"]
    )
    assert [lines.index(row) for row in rows.values()] == sorted(lines.index(row) for row in rows.values())
    said = texts(to_svg(picture))
    for reading in ("12.69 V", "10.66 V", "10.61 V", "in a run 8.83 V", "at rest ?"):
        assert reading in said


def test_a_loss_follows_from_the_points_before_and_behind() -> None:
    """10.66 − 10.61 = 0.05 V across the isolator, read nowhere else."""
    isolator = path_ledger(POINTS, CABLE).segment("isolator")
    assert isolator is not None and isolator.loss.value == pytest.approx(0.05)
    assert isolator.loss.u > 0.02, "two readings of 11 V leave the difference open"
    assert path_ledger(replace(POINTS, fuse_far_load=None), CABLE).segment("isolator") is None


def test_the_brief_form_keeps_the_points_what_loses_too_much_and_the_whole() -> None:
    brief = brief_lines(weak(), 50)
    assert not any(line.endswith("?") or "isolator" in line for line in brief)
    for piece in ("12.74 V", "9.20 V", "main fuse and its holder", "0.87 V too much", "whole path"):
        assert any(piece in line for line in brief)
    assert len(brief) < len(text_lines(weak(), 50)) / 2


def test_it_reads_in_plain_signs_alone() -> None:
    drawn = [line for line in text_lines(weak(), 80) if re.match(r"[ov^|] ", line)]
    assert drawn and all(line.isascii() for line in drawn)


# ------------------------------------------------------------------------------- SVG
def test_the_svg_needs_nothing_else_and_is_always_the_same() -> None:
    svg = to_svg(weak())
    assert svg == to_svg(weak())
    for foreign in ("href", "font-face", "<script", "<style", "@import", "<image", "foreignObject"):
        assert foreign not in svg
    assert "http" not in svg.replace('xmlns="http://www.w3.org/2000/svg"', "")


def test_the_svg_has_every_reading_and_every_missing_one() -> None:
    said = texts(to_svg(weak()))
    for reading in ("12.74 V", "11.60 V", "12.70 V", "9.20 V", "motor 310 A", "0.92 V", "30 mV"):
        assert reading in said
    inside = [value for point in weak().behind.values() for value in (point.rest, point.load)]
    assert said.count("?") == sum(item.loss is None for item in weak().stretches) + inside.count(None)
    dashed = [r for r in rects(to_svg(weak())) if "stroke-dasharray" in r and r["width"] == "34"]
    assert len(dashed) == 3


def test_all_bars_of_the_svg_are_to_one_scale() -> None:
    svg, picture = to_svg(weak()), weak()
    unit = float(max(r["width"] for r in rects(svg) if r.get("height") == "16" and r["x"] == "420"))
    wholes = {r["y"]: 0.0 for r in rects(svg) if r.get("height") == "16"}
    for r in rects(svg):
        if r.get("height") == "16":
            wholes[r["y"]] += float(r["width"])
    lengths = sorted(wholes.values())
    losses = sorted(item.loss or 0.0 for item in picture.wholes)
    for length, loss in zip(lengths, losses, strict=True):
        assert length / lengths[-1] == pytest.approx(loss / losses[-1], abs=0.01)
    hanging = [r for r in rects(svg) if r["width"] == "34" and "stroke-dasharray" not in r]
    drawn = sum(float(r["height"]) for r in hanging)
    lost = sum(item.loss or 0.0 for item in picture.stretches)
    assert drawn / lengths[-1] == pytest.approx(lost / losses[-1], abs=0.01)
    assert unit > 0


# ------------------------------------------------------------------------------- hostile text
HOSTILE = '</text><script>alert(1)</script>\x1b[31m"&\u202e\n# heading `x`'


def hostile() -> Picture:
    picture = weak()
    bad = tuple(replace(item, name=HOSTILE) for item in picture.out)
    return replace(picture, out=bad, battery=replace(picture.battery, name=HOSTILE), sum=HOSTILE, missing=(HOSTILE,))


def test_hostile_text_is_only_text() -> None:
    svg = to_svg(hostile())
    assert "<script" not in svg and "\x1b" not in svg and "\u202e" not in svg
    assert "alert(1)" in "".join(texts(svg))
    for width in (40, 80):
        lines = text_lines(hostile(), width)
        assert all(line.isprintable() and len(line) <= width for line in lines)


# ------------------------------------------------------------------------------- whatever is read
volt = st.none() | st.floats(0, 60)
drop = st.none() | st.floats(0, 3)


@given(
    rest=volt, load=volt, studs=volt, drops=st.tuples(*[drop] * 7), amps=st.none() | st.floats(0.01, 900),
    length=st.none() | st.floats(0.5, 40), width=st.integers(0, 240),
)  # fmt: skip
def test_any_readings_make_a_picture(
    rest: float | None, load: float | None, studs: float | None, drops: tuple[float | None, ...],
    amps: float | None, length: float | None, width: int,
) -> None:  # fmt: skip
    names = ("positive_drop", "negative_drop", "terminal_drop", "fuse_drop", "isolator_drop",
             "positive_joint_drop", "negative_joint_drop")  # fmt: skip
    told: dict[str, float | None] = dict(zip(names, drops, strict=True))
    told |= {"battery_rest": rest, "battery_load": load, "studs_load": studs, "current": amps}
    try:
        ledger = path_ledger(Readings.of(told), Cable(length=length, cross_section=70))
    except ValueError:
        return
    picture = picture_of(ledger)
    lines = text_lines(picture, width)
    assert all(len(line) <= max(width, 40) for line in lines)
    unread = sum(item.loss is None for item in (*picture.stretches, *picture.wholes))
    assert sum(line.split("  ")[-1].strip() == "?" or line.endswith(" ?") for line in lines) >= unread
    for item in picture.stretches:
        if item.loss is not None and item.loss > 0:
            assert item.sound + item.over == pytest.approx(item.loss)
    ET.fromstring(to_svg(picture))


# ------------------------------------------------------------------------------- from the facts of a case
def fact(about: str, what: str, value: Any, *scene: str, **more: Any) -> dict[str, Any]:
    return {"about": about, "what": what, "value": value, "while": list(scene), **more}


def test_the_newest_sure_reading_of_now_is_taken() -> None:
    facts = [
        fact("battery", "voltage", 12.0, "under_load"),
        fact("battery", "voltage", 11.5, "under_load"),
        fact("battery", "voltage", 3.0, "under_load", certain=False),
        fact("battery", "voltage", 2.0, "under_load", "before_the_trouble"),
        fact("supply", "voltage", 9.5, "under_load"),
        fact("supply", "voltage", True, "under_load"),
    ]
    ledger = path_read(facts)
    assert ledger is not None and ledger.total is not None
    assert ledger.readings.battery_load == 11.5
    assert ledger.total.loss.value == pytest.approx(2.0)


def test_nothing_read_gives_nothing_and_impossible_readings_are_refused() -> None:
    assert path_read([fact("panel", "lights", True)]) is None
    assert path_read([fact("positive_cable", "length", 6.0)]) is None
    with pytest.raises(ValueError, match="one run"):
        path_read([fact("battery", "voltage", 9.0, "under_load"), fact("supply", "voltage", 12.0, "under_load")])
