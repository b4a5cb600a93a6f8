"""Nodal analysis of a network of resistors and sources, in plain Python.

Nodes are eliminated one by one, each star replaced by its mesh. Conductances are only ever added and
divided, never subtracted, so a 10 µΩ joint beside a 10 MΩ meter costs no accuracy (Grassmann, Taksar and
Heyman, 1985, use the same trick on Markov chains). Every node leaks a little to ground, as a real
floating wire does: no node is ever undefined.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

GROUND = "bat_neg"
METER_OHMS = 1e7
"""Of a common hand-held meter."""
LEAK_OHMS = 1e9
"""From every node to ground: damp, dirt, capacitors."""


@dataclass(frozen=True)
class Resistor:
    """A resistance between two nodes, with a voltage in series where it is a source."""

    name: str
    plus: str
    minus: str
    ohms: float
    volts: float = 0.0
    """Source in series, positive at `plus`."""

    def __post_init__(self) -> None:
        """Refuse what has no place in a nodal matrix."""
        if not self.ohms > 0:
            raise ValueError(f"The element {self.name} must have a resistance above zero, not {self.ohms:g} ohm.")


def solve(elements: Iterable[Resistor], leak_ohms: float = LEAK_OHMS) -> dict[str, float]:
    """Voltage of every node against ground, V.

    Args:
        elements: Resistors and sources.
        leak_ohms: Resistance from every node to ground.
    """
    network = tuple(elements)
    links, injected = _assemble(network, 1.0 / leak_ohms)
    stars: list[tuple[str, dict[str, float], float, float]] = []
    for node in _order(tuple((item.plus, item.minus) for item in network)):
        star, current = links.pop(node), injected.pop(node)
        total = sum(star.values())
        stars.append((node, star, total, current))
        _star_to_mesh(node, star, total, links)
        for other, conductance in star.items():
            if other != GROUND:
                injected[other] += current * conductance / total
    volts = {GROUND: 0.0}
    for node, star, total, current in reversed(stars):
        volts[node] = (current + sum(g * volts[other] for other, g in star.items())) / total
    return volts


@lru_cache(maxsize=512)
def _order(pairs: tuple[tuple[str, str], ...]) -> tuple[str, ...]:
    """In which order to eliminate the nodes: always one with the fewest neighbours left."""
    beside: dict[str, set[str]] = {GROUND: set()}
    for plus, minus in pairs:
        beside.setdefault(plus, {GROUND}).add(minus)
        beside.setdefault(minus, {GROUND}).add(plus)
    left, order = set(beside) - {GROUND}, []
    while left:
        node = min(left, key=lambda name: (len(beside[name]), name))
        left.discard(node)
        order.append(node)
        arms = beside.pop(node) - {node, GROUND}
        for arm in arms:
            beside[arm] = (beside[arm] | arms) - {node, arm} | {GROUND}
    return tuple(order)


def _assemble(elements: Iterable[Resistor], leak: float) -> tuple[dict[str, dict[str, float]], dict[str, float]]:
    links: dict[str, dict[str, float]] = {GROUND: {}}
    injected: dict[str, float] = {GROUND: 0.0}
    for item in elements:
        conductance = 1.0 / item.ohms
        for a, b, sign in ((item.plus, item.minus, 1.0), (item.minus, item.plus, -1.0)):
            links.setdefault(a, {})
            injected.setdefault(a, 0.0)
            if item.plus != item.minus:
                links[a][b] = links[a].get(b, 0.0) + conductance
                injected[a] += sign * item.volts * conductance
    for node in links:
        if node != GROUND:
            links[node][GROUND] = links[node].get(GROUND, 0.0) + leak
    return links, injected


def _star_to_mesh(node: str, star: dict[str, float], total: float, links: dict[str, dict[str, float]]) -> None:
    arms = list(star.items())
    for other, _ in arms:
        links[other].pop(node, None)
    for place, (a, ga) in enumerate(arms):
        for b, gb in arms[place + 1 :]:
            share = ga * gb / total
            links[a][b] = links[a].get(b, 0.0) + share
            links[b][a] = links[b].get(a, 0.0) + share


def current(element: Resistor, volts: dict[str, float]) -> float:
    """Current through an element from its plus to its minus end, A (negative where a source feeds)."""
    return (volts[element.plus] - volts[element.minus] - element.volts) / element.ohms


def meter_volts(elements: Iterable[Resistor], plus: str, minus: str) -> float:
    """What a hand-held meter across two nodes shows, its own current included, V.

    A node that is not in the network reads as a wire that hangs free.
    """
    volts = solve([*elements, Resistor("meter", plus, minus, METER_OHMS)])
    return volts[plus] - volts[minus]
