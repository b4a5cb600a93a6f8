"""One boat with her faults, and the helpers with which the tests are answered."""

from __future__ import annotations

from dataclasses import dataclass

from .conditions import Boat, Conditions
from .machine import Attempt, Outcome, isolator_closed, panel_lights, run, starters
from .notation import WAYS, Fact, Way, fact


def volts(value: float) -> float:
    """What a hand meter shows of a voltage (V)."""
    return round(value, 1 if abs(value) >= 2 else 2)


def summary(ran: dict[Way, bool]) -> str:
    """Both ways in one word."""
    words = {(True, True): "both", (True, False): "port_only", (False, True): "starboard_only"}
    return words.get((ran["port"], ran["starboard"]), "none")


def one_way(way: Way, ran: bool) -> str:
    """The word for one attempt, one way."""
    return f"{way}_only" if ran else "none"


@dataclass(frozen=True)
class Case:
    """A boat under given conditions."""

    c: Conditions
    boat: Boat

    def run(self, way: Way, by: str = "station") -> Outcome:
        """One attempt, at the helm as it was found unless said otherwise."""
        return run(self.c, self.boat, Attempt(way, by))

    def runs(self, station: int = 1, *, woken: bool = False) -> str:
        """Both ways tried from a station, one after the other."""
        tries = {way: run(self.c, self.boat, Attempt(way, station=station, woken=woken)) for way in WAYS}
        return summary({way: done.turned for way, done in tries.items()})

    def loaded(self, *, thermal_bridged: bool = False) -> Outcome:
        """A run from the helm for the sake of a load: to port, or to starboard where port draws nothing."""
        tries = [run(self.c, self.boat, Attempt(way, thermal_bridged=thermal_bridged)) for way in WAYS]
        return next((done for done in tries if done.current), tries[0])

    def starts(self, *, panels: bool = True, harness: bool = True, unit: bool = True) -> bool:
        """It runs by itself once power is on."""
        return bool(starters(self.c, self.boat, panels=panels, harness=harness, unit=unit))

    def lights(self, station: int = 1, woken: bool = True) -> bool:
        """That station's panel shows that it is on."""
        return panel_lights(self.c, station, woken)

    def conducts(self) -> bool:
        """The isolator conducts as found."""
        return isolator_closed(self.c)

    def see(self, *names: str) -> list[Fact]:
        """What is found at these places (`part.attribute`); what is not there is left out."""
        keys = [(about, what) for about, _, what in (name.partition(".") for name in names)]
        gone = self.c.seen[("propeller", "present")] is False
        return [
            fact(about, what, self.c.seen[about, what])
            for about, what in keys
            if not (about == "propeller" and gone and what != "present")
        ]

    # -------------------------------------------------------- set-up and restoring
    def stations(self) -> list[str]:
        """The panels aboard, the one in use first."""
        return ["panel", *(f"panel_{number}" for number in range(2, self.boat.stations + 1))]

    def panels(self, plugged: bool) -> list[Fact]:
        """Every station's panel plugged in or not."""
        return [fact(panel, "plugged", plugged) for panel in self.stations()]

    def coil_bridge(self, way: Way) -> str:
        """The bridge that feeds a coil directly on this boat."""
        side = "negative" if self.boat.coil_switching == "negative_switched" else "positive"
        return f"motor_{side}_to_{way}_coil"

    def locked_off(self) -> list[Fact]:
        """Power off and locked, or the main fuse drawn where the isolator cannot be opened."""
        if not self.c.can_isolate:
            return [fact("main_fuse", "connected", False)]
        return [fact("isolator", "position", "off"), fact("isolator", "locked", True)]

    def unlocked(self) -> list[Fact]:
        """Back to how it was found."""
        if not self.c.can_isolate:
            return [] if self.starts() else [fact("main_fuse", "connected", True)]
        return [fact("isolator", "locked", False), fact("isolator", "position", self.position())]

    def position(self) -> str:
        """How the isolator stands between tests: as found, but off on a boat that runs by itself."""
        return "off" if self.c.isolator_off or self.starts() else "on"

    def load_facts(self, done: Outcome) -> list[Fact]:
        """What makes a reading under load worth something: did it run, and at what current (clamp aboard)."""
        out = [fact("thruster", "runs", "some" if done.turned else "none", "under_load")]
        if self.boat.has_clamp_meter:
            out.append(fact("motor", "current", round(done.current), "under_load"))
        return out
