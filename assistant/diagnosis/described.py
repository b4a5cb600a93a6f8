"""What a sum of the trade may lean on: the boat's data, the other readings, and what was taken for granted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from assistant.diagnosis.seen import HISTORY, Seen
from assistant.electrics import battery
from assistant.electrics.figures import figures

Assumed = tuple[str, tuple[float, ...]]
"""Something taken for granted: its entry in the words, and the figures that go into it."""


@dataclass(frozen=True)
class Reckoned:
    """What a sum makes of a reading: a word or a figure, or None; and what it took for granted."""

    value: str | float | None
    assumed: tuple[Assumed, ...] = ()


@dataclass(frozen=True)
class Boat:
    """What a sum may lean on besides the reading: the boat's data and the other readings of the epoch."""

    seen: tuple[Seen, ...]
    defaults: Mapping[str, Any]
    nominal: float
    nominal_told: bool = True

    def _told(self, about: str, what: str, scene: tuple[str, ...]) -> list[Seen]:
        return [
            s
            for s in self.seen
            if s.about == about
            and s.what == what
            and set(scene) <= s.scene
            and HISTORY not in s.scene
            and s.fact.certain
        ]

    def number(self, about: str, what: str, *scene: str) -> float | None:
        """The newest certain figure told of this, in at least this scene, or None."""
        told = self._told(about, what, scene)
        return _as_number(told[-1].value) if told else None

    def _told_by_name(self, name: str) -> list[Seen]:
        """The certain observations of the figure of this name (`figures/told.yaml`), oldest first."""
        rule = figures("told")["figures"][name]
        about, _, what = rule["reads"].partition(".")
        return self._told(about, what, rule["while"])

    def figure(self, name: str) -> float | None:
        """The newest certain figure of this name (`figures/told.yaml`), or None."""
        told = self._told_by_name(name)
        return _as_number(told[-1].value) if told else None

    def choice(self, name: str) -> str | None:
        """The newest certain choice of this name (`figures/told.yaml`), or None."""
        about, _, what = figures("told")["choices"][name].partition(".")
        told = self._told(about, what, ())
        return str(told[-1].value) if told and isinstance(told[-1].value, str) else None

    def of(self, name: str, what: str) -> list[Seen]:
        """The certain observations of this attribute on the parts of this name (`figures/told.yaml`), oldest first."""
        parts = figures("told")["parts"][name]
        return [s for s in self.seen if s.about in parts and s.what == what and s.fact.certain]

    @property
    def load_current(self) -> float | None:
        """The newest certain motor current told of a run, or told without a word of when, A."""
        run = self.figure("run_current")
        if run is not None:
            return run
        unsaid = [s for s in self.of("load", "current") if not s.scene]
        return float(unsaid[-1].value) if unsaid else None

    def current_beside(self, turn: int) -> float | None:
        """The motor current that belongs to a reading, A: told in the same line, else the newest of a run under load.

        Args:
            turn: The turn of the reading.
        """
        scene = set(figures("told")["figures"]["run_current"]["while"])
        told = [s for s in self.of("load", "current") if scene <= s.scene and HISTORY not in s.scene]
        beside = [float(s.value) for s in told if s.fact.turn == turn]
        if beside:
            return beside[-1]
        low, _, _ = self.current_limits()
        loads = [float(s.value) for s in told if abs(float(s.value)) >= low]
        return loads[-1] if loads else self.load_current

    def current_of(self, name: str) -> float | None:
        """The motor current that belongs to the newest figure of this name, A; None where either is missing."""
        told = self._told_by_name(name)
        return self.current_beside(told[-1].fact.turn) if told else None

    @property
    def nominal_assumed(self) -> tuple[Assumed, ...]:
        """That the nominal voltage was judged from the readings, where it was."""
        return () if self.nominal_told else (("nominal", (self.nominal,)),)

    @property
    def chemistry(self) -> tuple[battery.Chemistry, tuple[Assumed, ...]]:
        """The battery's kind; flooded where it was not told."""
        kinds: Mapping[str, battery.Chemistry] = {"agm": "agm", "gel": "gel", "lithium": "lithium"}
        told = self.choice("battery_kind")
        return kinds.get(told or "", "flooded"), () if told else (("battery_kind", ()),)

    def loaded(self, turn: int) -> bool:
        """Whether a normal load current, or a run in the same line, is reported beside a reading."""
        current = self.current_beside(turn)
        if current is not None:
            low, high, _ = self.current_limits()
            return low <= abs(current) <= high
        return any(s.fact.turn == turn and s.what == "runs_at_all" and s.value is True for s in self.seen)

    def current_limits(self) -> tuple[float, float, tuple[Assumed, ...]]:
        """Lowest and highest normal load current in amperes, from the motor's rating or the stated default."""
        rating = self.figure("rated_current")
        if rating is not None:
            share = self.defaults["load_current_rated"]
            return share["low"] * rating, share["high"] * rating, ()
        at_12 = self.defaults["load_current_12v"]
        rated = self.figure("fuse_rating")
        low, high = at_12["low"] * 12 / self.nominal, at_12["high"] * (12 / self.nominal) ** 0.5
        if rated:
            high = max(high, self.defaults["load_current_fuse"] * rated)
        return low, high, (*self.nominal_assumed, ("load_current", (low, high)))


def _as_number(value: Any) -> float | None:
    return None if isinstance(value, str) else float(value)
