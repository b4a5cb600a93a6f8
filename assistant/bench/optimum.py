"""The exact optimum of a small model by dynamic programming, and the rules that do not look at the weights."""

from __future__ import annotations

import math
from collections.abc import Sequence

from assistant.planner.small import Group, Rule, SetUp, SmallModel, SmallTest


class Optimum:
    """The least expected minutes to a group that no test tells apart, and the tests that reach it."""

    def __init__(self, model: SmallModel) -> None:
        """Keep the model; values are worked out when first asked for."""
        self.model = model
        self._known: dict[tuple[Group, SetUp], tuple[float, SmallTest | None]] = {}

    def value(self, group: Group | None = None, standing: SetUp = frozenset()) -> float:
        """Least expected minutes from here."""
        return self._solve(self.model.everything() if group is None else group, standing)[0]

    def choose(self, group: Group, standing: SetUp) -> SmallTest | None:
        """The best next test."""
        return self._solve(group, standing)[1]

    def _solve(self, group: Group, standing: SetUp) -> tuple[float, SmallTest | None]:
        key = (group, standing)
        if key not in self._known:
            options = [(self._cost(group, t, standing), place, t) for place, t in enumerate(self.model.useful(group))]
            best = min(options, key=lambda o: (round(o[0], 9), o[1])) if options else (0.0, 0, None)
            self._known[key] = (best[0], best[2])
        return self._known[key]

    def _cost(self, group: Group, test: SmallTest, standing: SetUp) -> float:
        whole = self.model.weight(group)
        parts = self.model.split(group, test)
        later = math.fsum(self.model.weight(p) / whole * self._solve(p, test.setup)[0] for p in parts)
        return self.model.minutes(test, standing) + later


def in_order(order: Sequence[str]) -> Rule:
    """Tests in a fixed order, those left out that tell nothing more."""

    def rule(model: SmallModel, group: Group, standing: SetUp) -> SmallTest | None:
        return min(model.useful(group), key=lambda t: order.index(t.name), default=None)

    return rule
