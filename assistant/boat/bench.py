"""The person on the simulated boat: sets up a test, carries it out, tells what was seen.

How each test is done stands in `rules/boat.yaml`; the words are those of the vocabulary.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from assistant.boat.control import Moment, ways
from assistant.boat.data import boat_data
from assistant.boat.saying import ON_OFF, FactDict, fact_of, told, word
from assistant.boat.setting_up import prepare, switch
from assistant.boat.sights import Sights, sight

if TYPE_CHECKING:
    from assistant.boat.boat import Boat


def tests() -> tuple[str, ...]:
    """Every test the person can be asked for."""
    return tuple(boat_data()["tests"])


def possible(boat: Boat, test: str) -> bool:
    """Whether this kind of boat has what the test is about.

    Raises:
        ValueError: No such test.
    """
    if test not in boat_data()["tests"]:
        raise ValueError(f"No test is called {test!r}.")
    return boat.spec.suits(boat_data()["tests"][test].get("for"))


def carry_out(boat: Boat, test: str) -> list[FactDict]:
    """Set up, do, tell.

    Raises:
        ValueError: No such test, or this boat has nothing to try it on.
    """
    if not possible(boat, test):
        raise ValueError(f"This boat has nothing to carry out {test} on.")
    entry = boat_data()["tests"][test]
    return list(_run(boat, entry["setup"], entry["scenes"]))


def _run(boat: Boat, setup: dict[str, Any], scenes: list[dict[str, Any]]) -> Iterator[FactDict]:
    yield from prepare(boat, setup)
    memory: dict[str, Any] = {}
    for scene in scenes:
        yield from Scene(boat, scene, memory).play()


def complaint(boat: Boat) -> list[FactDict]:
    """What the owner says first: what the thruster does, and what he knows besides."""
    memory: dict[str, Any] = {}
    scenes = boat_data()["complaint"]
    if not boat.state.position:
        scenes = [scene for scene in scenes if scene["with"] != "power_up"]
    out: list[FactDict] = []
    for scene in scenes:
        well = any(fact["what"] == "runs" and fact["value"] == "both" for fact in out)
        if scene.get("where_well") and not well:
            continue
        found = list(Scene(boat, scene, memory).play())
        out += found
        if scene["with"] == "power_up" and found:
            boat.power_off()
            out.append(told("position", ON_OFF[False]))
            break
    for about, what, value, *rest in boat.damage.told:
        out.append(fact_of(about, what, value, tuple(rest[0]) if rest else ()))
    return out


# ---------------------------------------------------------------- a scene


class Scene:
    """One part of a test: bring it about, once or once for each way, and read."""

    def __init__(self, boat: Boat, scene: dict[str, Any], memory: dict[str, Any]) -> None:
        """Take the boat, the scene's entry, and what earlier scenes of the test left to remember."""
        self.boat, self.scene, self.memory = boat, scene, memory
        self.kind = scene.get("with", "")

    def play(self) -> Iterator[FactDict]:
        """The facts of this scene."""
        if self.kind in boat_data()["attempts"] and self._moves(self.boat.moment()):
            self.memory["stopped"] = True
            yield told("runs_by_itself", word("right_now"))
            yield from switch(self.boat, False)
        if self.memory.get("stopped"):
            return
        if not self.boat.spec.suits(self.scene.get("for")):
            return
        for about, what, sound in self.scene.get("look", ()):
            yield fact_of(about, what, self.boat.damage.signs.get((about, what), sound))
        if self.kind == "power_on" and self.memory.get("found_off"):
            return
        if self.scene.get("each"):
            yield from self._each()
        elif self.scene.get("ways") or self.scene.get("best"):
            yield from self._both()
        elif self.scene.get("stations"):
            yield from self._stations()
        else:
            yield from self._once()

    def _once(self) -> Iterator[FactDict]:
        if self.kind == "power_on":
            self.boat.power_off()
        closed_before = self.boat.moment().logic.isolator
        if self.kind == "power_off":
            if not self.boat.state.position:
                self.memory["found_off"] = True
            self.boat.power_off()
            if self.scene.get("tell"):
                yield told("position", ON_OFF[False])
        elif self.kind in ("power_on", "power_up"):
            self.boat.power_on()
        elif self.kind == "wake_up":
            self.boat.wake_up()
        moment = self.boat.moment()
        station = int(self.scene.get("station", 1))
        sights = Sights(self.boat, moment, station=station, closed_before=closed_before)
        yield from self._read(sights, self._while(moment))
        if self.kind == "power_up" and self._moves(moment):
            self.boat.run(None)

    def _each(self) -> Iterator[FactDict]:
        for way in ways():
            skip = self.scene.get("where_dead")
            if skip and not self.memory.get(f"dead_{way}"):
                continue
            if self.kind == "power_off":
                yield from switch(self.boat, False)
            moment, before, after = self._try(way)
            yield from before
            sights = Sights(self.boat, moment, {way: moment})
            yield from self._read(sights, self._while(moment, way), way)
            yield from after

    def _both(self) -> Iterator[FactDict]:
        tried: dict[str, Moment] = {}
        set_up: list[FactDict] = []
        for way in ways():
            moment, before, after = self._try(way)
            tried[way] = moment
            set_up += before + after
        best = max(ways(), key=lambda way: (abs(self.boat.amps("lug_positive", tried[way])), way == ways()[0]))
        yield from [fact for fact in set_up if fact["what"] == "fitted"][:1]
        sights = Sights(self.boat, tried[best], tried, station=self.scene.get("station", 1))
        closed = sorted(tried[best].closed)
        yield from self._read(sights, tuple(self.scene.get("while", ())), closed[0] if closed else best)
        yield from [fact for fact in set_up if fact["what"] == "removed"][-1:]

    def _stations(self) -> Iterator[FactDict]:
        """Stations put back one at a time, power on each time."""
        for n in range(1, self.boat.spec.stations + 1):
            self.boat.power_off()
            for m in range(1, self.boat.spec.stations + 1):
                self.boat.plug(f"panel_{m}", m == n)
            yield fact_of(f"panel_{n}", "plugged", True)
            moment = self.boat.power_on()
            yield from self._read(Sights(self.boat, moment, station=n), (), station=n)
            self.boat.power_off()
            if n < self.boat.spec.stations:
                yield fact_of(f"panel_{n}", "plugged", False)

    def _try(self, way: str) -> tuple[Moment, list[FactDict], list[FactDict]]:
        """An attempt one way, and the test wires told before and after it."""
        if self.kind in ("", "rest", "power_off"):
            return self.boat.moment(), [], []
        if self.kind == "helm":
            return self.boat.run((int(self.scene.get("station", 1)), way)), [], []
        name = f"coil_{self.boat.spec.coil_switching}" if self.kind == "coil" else self.kind
        value = boat_data()["bridges"][name]["value"].format(way=way)
        self.boat.bridge(value)
        moment = self.boat.run((1, way) if self.kind == "thermal" else None)
        self.boat.bridge(value, False)
        return moment, [told("fitted", value)], [told("removed", value)]

    def _moves(self, moment: Moment) -> bool:
        return abs(moment.turning.speed) > float(boat_data()["motor"]["turns_above"])

    def _while(self, moment: Moment, way: str = "") -> tuple[str, ...]:
        """The circumstances; nothing is at rest while the motor runs by itself."""
        names = [name.format(way=way) for name in self.scene.get("while", ())]
        warmth = "motor_hot" if self.boat.state.temperature > boat_data()["thermal"]["just_run"] else "motor_cold"
        names = [warmth if name == "@warmth" else name for name in names]
        if "at_rest" in names and self._moves(moment):
            names = ["under_load" if name == "at_rest" else name for name in names]
        return tuple(names)

    def _read(self, sights: Sights, while_: tuple[str, ...], way: str = "", station: int = 0) -> Iterator[FactDict]:
        if self.kind == "rest" and self._moves(sights.moment) and "at_rest" in self.scene.get("while", ()):
            yield told("runs_by_itself", word("right_now"))
        for read in self.scene.get("reads", ()):
            value = sight(sights, read, way)
            if value is None or ("unless" in read and value == read["unless"]):
                continue
            about = read["about"].format(way=way, n=station)
            yield fact_of(about, read["what"], value, () if read.get("plain") else while_)
            if read["what"] == "voltage" and about == f"{way}_coil":
                self.memory[f"dead_{way}"] = value < 1.0
