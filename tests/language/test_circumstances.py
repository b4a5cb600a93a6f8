"""Where a figure was read, and at rest, under load or with a direction asked for, in whatever order that is said."""

from __future__ import annotations

from itertools import product

import pytest

from assistant.language import Heard, Words, read

PLACES = {
    "at the studs": "supply",
    "at the battery": "battery",
    "across the motor terminals": "motor_terminals",
    "on the contactor output": "motor_output",
    "at the thruster": "supply",
    "on the batteries": "battery",
    "behind the fuse": "main_fuse",
    "after the isolator": "isolator",
}
SCENES = {
    ("at_rest",): (
        "at rest",
        "resting",
        "with nobody on the stick",
        "standing still",
        "nothing running",
        "while idle",
        "with no load",
    ),
    ("under_load",): (
        "under load",
        "while it runs",
        "when he hits the stick",
        "with the thruster running",
        "as I push the stick",
        "running",
        "when it tries to turn",
        "with the motor turning",
    ),
    ("port_commanded", "under_load"): (
        "when I push port",
        "while asking for port",
        "with port pressed",
        "when he pushes to port",
        "with the stick to port",
        "as I go to port",
    ),
}
SAID = (
    "12.3 {place} {scene}",
    "12.3 volts {place} {scene}",
    "{place} 12.3 {scene}",
    "{scene}: 12.3 {place}",
    "{scene} 12.3 {place}",
    "{scene}, 12.3 {place}",
    "I get 12.3 {place} {scene}",
    "there's 12.3 V {place} {scene}",
    "{place} I read 12.3 {scene}",
    "meter shows 12.3 {place}, {scene}",
    "{scene} there is 12.3 {place}",
    "12.3 {place}, that's {scene}",
    "drops to 12.3 {place} {scene}",
    "{place}, {scene}, 12.3",
)


@pytest.mark.parametrize("meant", SCENES, ids=" ".join)
def test_a_figure_keeps_its_place_and_its_circumstances(meant: tuple[str, ...], words: Words) -> None:
    wrong = []
    for (place, about), scene, said in product(PLACES.items(), SCENES[meant], SAID):
        text = said.format(place=place, scene=scene)
        got = [(f.about, f.what, f.value, tuple(sorted(f.while_))) for f in read(text, Heard(), words).facts]
        wrong += [] if got == [(about, "voltage", 12.3, meant)] else [(text, got)]
    assert wrong == []
