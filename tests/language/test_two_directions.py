"""What is said of one direction and of the other in one breath is never mixed up, whatever joins the two."""

from __future__ import annotations

from itertools import product

import pytest

from assistant.language import Heard, Words, read

SAID = {
    "runs": ("runs {to}", "works {to}", "turns {to}", "{side} works", "{to} it runs"),
    "dead": ("dead {to}", "nothing {to}", "{side} dead", "doesn't run {to}", "won't go {to}", "no run {to}"),
    "clicks": ("clicks {to}", "{side} clicks", "a clunk {to}"),
    "silent": ("no click {to}", "doesn't click {to}", "{side} no click"),
    "weak": ("weak {to}", "{side} weak", "slow {to}"),
}
MEANT = {
    "runs": ("runs", True),
    "dead": ("runs", False),
    "clicks": ("clicks", True),
    "silent": ("clicks", False),
    "weak": ("thrust", "weak"),
}
JOINED = (", ", " and ", " but ", " while ", ". ", "; ", ", whereas ", ", and ", " - ", " / ", "\n")
WAYS = (("to port", "to starboard"), ("on port", "on starboard"), ("to the left", "to the right"))
RAN = {"both": (True, True), "none": (False, False), "port_only": (True, False), "starboard_only": (False, True)}


def told(text: str, words: Words) -> dict[tuple[str, str], object]:
    """What was read of each direction; `?` for a claim that has none."""
    out: dict[tuple[str, str], object] = {}
    for fact in read(text, Heard(), words).facts:
        sides = [s for s in ("port", "starboard") if f"{s}_commanded" in fact.while_]
        if fact.what == "runs" and fact.value in RAN:
            ran = dict(zip(("port", "starboard"), RAN[str(fact.value)], strict=True))
            out |= {("runs", s): ran[s] for s in (sides if fact.value == "none" and sides else ran)}
        else:
            out |= {(fact.what, s): fact.value for s in sides or ["?"]}
    return out


@pytest.mark.parametrize("joined", JOINED)
def test_what_is_said_of_each_direction_stays_with_it(joined: str, words: Words) -> None:
    parted = []
    for (one, other), (port, starboard) in product(product(SAID, SAID), WAYS):
        if one == other:
            continue
        for first, second in product(SAID[one], SAID[other]):
            sides = {s: s.split()[-1] for s in (port, starboard)}
            text = first.format(to=port, side=sides[port]) + joined + second.format(to=starboard, side=sides[starboard])
            want = {(MEANT[one][0], "port"): MEANT[one][1], (MEANT[other][0], "starboard"): MEANT[other][1]}
            for key, value in told(text, words).items():
                silent = key[0] == "runs" and value is False and key not in want  # `runs to port` alone: port only
                if not silent and value != want.get(key) and key[1] != "?":
                    parted.append((text, key, value))
    assert parted == []
