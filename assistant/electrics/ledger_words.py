"""The ledger in one line. The phrases stand in `rules/figures/path.yaml`; this puts the figures in."""

from __future__ import annotations

from typing import TYPE_CHECKING

from assistant.electrics.path import LEGS, path_data

if TYPE_CHECKING:
    from assistant.electrics.ledger import Ledger, Segment


def in_words(ledger: Ledger) -> str:
    """One line: the sum, what it should have cost, and what is too much and where."""
    words = path_data()["words"]
    head = ledger.total or next((item for item in ledger.segments if item.verdict == "too_much"), None)
    head = head or next(iter(ledger.segments), None)
    if head is None:
        return str(words["no_path"])
    return _sum(ledger, head) + _amps(ledger) + _should(ledger, head) + _outcome(ledger, head)


def decimals(*values: float) -> int:
    """Places that show these readings as they were told, one at least and two at most."""
    return 2 if any(abs(round(value, 1) - value) > 1e-9 for value in values) else 1


def volts(value: float) -> str:
    """A voltage worked out, fit to be read: one place from 1 V up, two below."""
    return f"{value:.1f}" if abs(value) >= 0.995 else f"{value:.2f}"


def watts(value: float) -> str:
    """Heat, in W below 100 and in kW above."""
    words = path_data()["words"]
    if value < 100:
        return str(words["watts"]).format(value=f"{value:.0f}")
    return str(words["kilowatts"]).format(value=f"{value / 1000:.1f}")


def _sum(ledger: Ledger, head: Segment) -> str:
    words, readings = path_data()["words"], ledger.readings
    if head.id != "path":
        return str(words["part"]).format(name=head.name, loss=volts(head.loss.value))
    if readings.battery_load is not None and readings.studs_load is not None:
        told = (readings.battery_load, readings.studs_load)
        places = decimals(*told)
        texts = [f"{value:.{places}f}" for value in (*told, head.loss.value)]
        return str(words["path"]).format(battery=texts[0], studs=texts[1], loss=texts[2])
    sides = [item.loss.value for leg in LEGS if (item := ledger.segment(leg))]
    places = decimals(*sides)
    texts = [f"{value:.{places}f}" for value in (*sides, sum(sides))]
    return str(words["path_by_sides"]).format(positive=texts[0], negative=texts[1], loss=texts[2])


def _amps(ledger: Ledger) -> str:
    words = path_data()["words"]
    phrases = {"read": "current_read", "assumed": "current_assumed", "sides": "current_from_sides"}
    phrase = phrases.get(ledger.current_from)
    if phrase is None or ledger.current is None:
        return ""
    return str(words[phrase]).format(current=f"{ledger.current.value:.3g}")


def _should(ledger: Ledger, head: Segment) -> str:
    words, cable = path_data()["words"], ledger.cable
    if head.expected is None:
        return ""
    expected = volts(head.expected.value)
    if head.id in path_data()["parts"]:
        return str(words["expected_part"]).format(expected=expected)
    phrase = words["lengths" if head.id == "path" else "length"]
    run = str(phrase).format(length=f"{cable.length:g}", section=f"{cable.cross_section:g}")
    return str(words["expected"]).format(cable=run, expected=expected)


def _outcome(ledger: Ledger, head: Segment) -> str:
    words = path_data()["words"]
    if head.verdict == "unknown" or head.excess is None or head.heat is None:
        blamed = [item for item in ledger.blamed if item is not head]
        missing = words["no_current"] if ledger.current is None else words["no_cable"]
        return str(missing) + "".join(_part_of_it(item) for item in blamed)
    if head.verdict == "sound":
        text = str(words["sound"])
    elif head.verdict == "not_shown":
        text = str(words["not_shown"]).format(excess=volts(head.excess.value), spread=volts(head.excess.spread))
    else:
        return _too_much(ledger, head)
    return text + "".join(_part_of_it(item) for item in ledger.blamed if item is not head)


def _too_much(ledger: Ledger, head: Segment) -> str:
    assert head.excess is not None and head.heat is not None
    narrower = [item for item in ledger.blamed if item is not head]
    where = "" if narrower else _where(head)
    text = str(path_data()["words"]["too_much"]).format(
        excess=volts(head.excess.value), heat=watts(head.heat.value), where=where
    )
    return text.rstrip() + "".join(_part_of_it(item) for item in narrower)


def _where(segment: Segment) -> str:
    data = path_data()
    if segment.id == "path":
        return str(data["path"]["where"])
    if segment.id in LEGS:
        return str(data["legs"][segment.id]["where"])
    return str(data["words"]["in_the"]).format(name=segment.name)


def _part_of_it(segment: Segment) -> str:
    assert segment.excess is not None and segment.heat is not None and segment.excess_resistance is not None
    return str(path_data()["words"]["part_of_it"]).format(
        excess=volts(segment.excess.value),
        heat=watts(segment.heat.value),
        name=segment.name,
        milliohm=f"{segment.excess_resistance.value * 1000:.2g}",
    )
