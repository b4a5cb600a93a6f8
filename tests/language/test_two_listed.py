"""What is answered for one direction and for the other, listed in any way, is never given to the other one."""

from __future__ import annotations

from itertools import product

import pytest

from assistant.facts import RawFact
from assistant.language import Heard, Words, read

OTHER = {"port": "starboard", "starboard": "port"}
LABELS = (
    "{s} {v}", "{s}: {v}", "{s} - {v}", "{v} on {s}", "on {s} {v}", "{s} is {v}", "{s} gets {v}", "I get {v} on {s}",
    "asked for {s}: {v}", "with {s} pushed {v}", "{s} side {v}", "{s} = {v}", "the {s} one {v}", "{s} has {v}",
)  # fmt: skip
JOINED = ("{a}, {b}", "{a}. {b}", "{a} and {b}", "{a}; {b}", "{a} / {b}", "{a} - {b}", "{a}\n{b}")
READ = {"signal_voltage": "{s}_signal", "coil_voltage": "{s}_coil"}
FIGURES = (("12.4", 12.4), ("nothing", 0.0), ("0", 0.0), ("nil", 0.0))
OHMS = ("28", "27.5", "31 ohm")

TRIED = (
    "{s} {v}", "{s}: {v}", "{s} - {v}", "{s}, {v}", "on {s} {v}", "with {s} bridged: {v}", "{s} bridged, {v}",
    "bridging {s}: {v}", "{s} side {v}", "the {s} one {v}", "to {s} {v}", "{s} done, {v}", "did {s}: {v}",
)  # fmt: skip
RAN = (("runs", True), ("she turns", True), ("nothing", False), ("won't turn", False), ("no", False), ("yes", True))
RUNS = {(True, True): "both", (True, False): "port_only", (False, True): "starboard_only", (False, False): "none"}
PRESSED = ("{s}: {v}", "{s} - {v}", "{s} {v}", "push {s}: {v}", "pushing {s}: {v}", "{v} to {s}", "asked for {s}: {v}")
HEARD = (("clicks", True), ("a clunk", True), ("no click", False), ("not a sound", False))


def way_of(fact: RawFact) -> str:
    return next((s for s in OTHER for name in fact.while_ if s in name.split("_")), "")


def listed(label: str, joined: str, one: str, other: str) -> str:
    return joined.format(a=label.format(s="port", v=one), b=label.format(s="starboard", v=other))


@pytest.mark.parametrize("label", LABELS)
@pytest.mark.parametrize("asked", READ)
def test_one_figure_is_of_the_direction_that_was_named(asked: str, label: str, words: Words) -> None:
    wrong = []
    for side, (said, value) in product(OTHER, FIGURES):
        text = label.format(s=side, v=said)
        told = {(f.about, way_of(f), f.value) for f in read(text, Heard(asked=asked), words).facts}
        if told != {(READ[asked].format(s=side), side, value)}:
            wrong.append((text, told))
    assert wrong == []


@pytest.mark.parametrize("joined", JOINED)
@pytest.mark.parametrize("asked", READ)
def test_two_figures_are_each_of_their_own_direction(asked: str, joined: str, words: Words) -> None:
    wrong = []
    for label, (one, first), (other, second) in product(LABELS, FIGURES, FIGURES):
        text = listed(label, joined, one, other)
        facts = read(text, Heard(asked=asked), words).facts if first != second else ()
        told = {(f.about, way_of(f), f.value) for f in facts if f.what == "voltage"}
        if told - {(READ[asked].format(s=s), s, v) for s, v in (("port", first), ("starboard", second))}:
            wrong.append((text, told))
    assert wrong == []


@pytest.mark.parametrize("joined", JOINED)
def test_two_resistances_are_each_of_their_own_coil(joined: str, words: Words) -> None:
    wrong = []
    for label, one, other in product(LABELS[:8], OHMS, OHMS):
        text = listed(label, joined, one, other)
        told = {(f.about, f.value) for f in read(text, Heard(asked="coil_resistance"), words).facts}
        if told - {("port_coil", float(one.split()[0])), ("starboard_coil", float(other.split()[0]))}:
            wrong.append((text, told))
    assert wrong == []


@pytest.mark.parametrize("joined", JOINED)
def test_two_trials_are_each_of_their_own_direction(joined: str, words: Words) -> None:
    wrong = []
    for label, (one, first), (other, second) in product(TRIED, RAN, RAN):
        text = listed(label, joined, one, other)
        told = {f.value for f in read(text, Heard(asked="command_bridge"), words).facts if f.what == "runs"}
        if told != {RUNS[first, second]}:
            wrong.append((text, told))
    assert wrong == []


@pytest.mark.parametrize("joined", JOINED)
def test_two_clicks_are_each_of_their_own_direction(joined: str, words: Words) -> None:
    wrong = []
    for label, (one, first), (other, second) in product(PRESSED, HEARD, HEARD):
        text = "contactor: " + listed(label, joined, one, other)
        told = {(way_of(f), f.value) for f in read(text, Heard(), words).facts if f.what == "clicks" and way_of(f)}
        if told - {("port", first), ("starboard", second)}:
            wrong.append((text, told))
    assert wrong == []
