"""The ledger in one line. The phrases stand in `rules/figures/path.yaml`; this puts the figures in."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from assistant.electrics.path import LEGS, path_data

if TYPE_CHECKING:
    from assistant.electrics.ledger import Ledger, Segment


class Phrases:
    """The phrases and names of the path in one language."""

    def __init__(self, say: Callable[[str], str]) -> None:
        """Keep what says a text of the rule base in that language."""
        self.say = say

    def __getitem__(self, key: str) -> str:
        return self.say(str(path_data()["words"][key]))


def in_words(ledger: Ledger, say: Callable[[str], str] = str) -> str:
    """One line: the sum, what it should have cost, and what is too much and where.

    Args:
        ledger: The sum.
        say: Says a text of the rule base in the language of the case.
    """
    words = Phrases(say)
    head = ledger.total or next((item for item in ledger.segments if item.verdict == "too_much"), None)
    head = head or next(iter(ledger.segments), None)
    if head is None:
        return words["no_path"]
    told = _sum(ledger, head, words) + _amps(ledger, words)
    return told + _should(ledger, head, words) + _outcome(ledger, head, words)


def decimals(*values: float) -> int:
    """Places that show these readings as they were told, one at least and two at most."""
    return 2 if any(abs(round(value, 1) - value) > 1e-9 for value in values) else 1


def volts(value: float) -> str:
    """A voltage worked out, fit to be read: one place from 1 V up, two below."""
    return f"{value:.1f}" if abs(value) >= 0.995 else f"{value:.2f}"


def watts(value: float, words: Phrases) -> str:
    """Heat, in W below 100 and in kW above."""
    if value < 100:
        return words["watts"].format(value=f"{value:.0f}")
    return words["kilowatts"].format(value=f"{value / 1000:.1f}")


def _sum(ledger: Ledger, head: Segment, words: Phrases) -> str:
    readings = ledger.readings
    if head.id != "path":
        return words["part"].format(name=words.say(head.name), loss=volts(head.loss.value))
    if readings.battery_load is not None and readings.studs_load is not None:
        told = (readings.battery_load, readings.studs_load)
        places = decimals(*told)
        texts = [f"{value:.{places}f}" for value in (*told, head.loss.value)]
        return words["path"].format(battery=texts[0], studs=texts[1], loss=texts[2])
    sides = [item.loss.value for leg in LEGS if (item := ledger.segment(leg))]
    places = decimals(*sides)
    texts = [f"{value:.{places}f}" for value in (*sides, sum(sides))]
    return words["path_by_sides"].format(positive=texts[0], negative=texts[1], loss=texts[2])


def _amps(ledger: Ledger, words: Phrases) -> str:
    phrases = {"read": "current_read", "assumed": "current_assumed", "sides": "current_from_sides"}
    phrase = phrases.get(ledger.current_from)
    if phrase is None or ledger.current is None:
        return ""
    return words[phrase].format(current=f"{ledger.current.value:.3g}")


def _should(ledger: Ledger, head: Segment, words: Phrases) -> str:
    cable = ledger.cable
    if head.expected is None:
        return ""
    expected = volts(head.expected.value)
    if head.id in path_data()["parts"]:
        return words["expected_part"].format(expected=expected)
    phrase = words["lengths" if head.id == "path" else "length"]
    run = str(phrase).format(length=f"{cable.length:g}", section=f"{cable.cross_section:g}")
    return words["expected"].format(cable=run, expected=expected)


def _outcome(ledger: Ledger, head: Segment, words: Phrases) -> str:
    if head.verdict == "unknown" or head.excess is None or head.heat is None:
        blamed = [item for item in ledger.blamed if item is not head]
        missing = words["no_current"] if ledger.current is None else words["no_cable"]
        return str(missing) + "".join(_part_of_it(item, words) for item in blamed)
    if head.verdict == "sound":
        text = words["sound"]
    elif head.verdict == "not_shown":
        text = words["not_shown"].format(excess=volts(head.excess.value), spread=volts(head.excess.spread))
    else:
        return _too_much(ledger, head, words)
    return text + "".join(_part_of_it(item, words) for item in ledger.blamed if item is not head)


def _too_much(ledger: Ledger, head: Segment, words: Phrases) -> str:
    assert head.excess is not None and head.heat is not None
    narrower = [item for item in ledger.blamed if item is not head]
    where = "" if narrower else _where(head, words)
    text = words["too_much"].format(excess=volts(head.excess.value), heat=watts(head.heat.value, words), where=where)
    return text.rstrip() + "".join(_part_of_it(item, words) for item in narrower)


def _where(segment: Segment, words: Phrases) -> str:
    data = path_data()
    if segment.id == "path":
        return words.say(data["path"]["where"])
    if segment.id in LEGS:
        return words.say(data["legs"][segment.id]["where"])
    return words["in_the"].format(name=words.say(segment.name))


def _part_of_it(segment: Segment, words: Phrases) -> str:
    assert segment.excess is not None and segment.heat is not None and segment.excess_resistance is not None
    return words["part_of_it"].format(
        excess=volts(segment.excess.value),
        heat=watts(segment.heat.value, words),
        name=words.say(segment.name),
        milliohm=f"{segment.excess_resistance.value * 1000:.2g}",
    )
