"""The person on the simulated boat: sets up a test, carries it out, tells what was seen.

How each test is done stands in `rules/boat.yaml`; the words are those of the vocabulary.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from assistant.boat.control import Moment, ways
from assistant.boat.data import boat_data
from assistant.boat.sights import Sights, sight

if TYPE_CHECKING:
    from assistant.boat.boat import Boat, FactDict

ON_OFF = {True: "on", False: "off"}


def tests() -> tuple[str, ...]:
    """Every test the person can be asked for."""
    return tuple(boat_data()["tests"])


def bridge_states() -> dict[str, str]:
    """Word of each test wire, and the state of the circuit it makes."""
    out = {}
    for entry in boat_data()["bridges"].values():
        for way in ways():
            out[entry["value"].format(way=way)] = entry["state"].format(way=way)
    return out


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
        told = list(Scene(boat, scene, memory).play())
        out += told
        if scene["with"] == "power_up" and told:
            boat.power_off()
            out.append(fact_of("isolator", "position", ON_OFF[False]))
            break
    for about, what, value, *rest in boat.damage.told:
        out.append(fact_of(about, what, value, tuple(rest[0]) if rest else ()))
    return out


def run_facts(seconds: float, to_the_end: bool) -> list[FactDict]:
    """How a run that was kept up is told."""
    out = [fact_of("thruster", "ran_for", seconds)]
    return out if to_the_end else [*out, fact_of("thruster", "stops_after", seconds)]


def fact_of(about: str, what: str, value: Any, while_: tuple[str, ...] = ()) -> FactDict:
    """A fact in the form of the conversation."""
    out: FactDict = {"about": about, "what": what, "value": value}
    if while_:
        out["while"] = list(while_)
    return out


# ---------------------------------------------------------------- set-up


def prepare(boat: Boat, setup: dict[str, Any]) -> Iterator[FactDict]:
    """Bring the boat into the state a test needs, telling each change."""
    yield from _take_bridges_off(boat)
    wanted = dict(setup)
    if wanted.pop("plugs", False):
        wanted = dict.fromkeys(("panels", *boat_data()["plugs"]), True) | wanted
    power, locked = wanted.pop("power", None), wanted.pop("locked", False)
    if wanted.pop("as_found", False):
        power = True
    changes = list(_changes(boat, wanted))
    if changes:
        yield from _switch(boat, False)
    for name, about, together in changes:
        if name is not None:
            boat.plug(name, together)
        if about is not None:
            yield fact_of(about, "plugged", together)
    if power is None:
        power = bool(boat.state.position) or bool(changes)
    yield from _switch(boat, power, locked)


def _changes(boat: Boat, wanted: dict[str, Any]) -> Iterator[tuple[str | None, str | None, bool]]:
    """What must be plugged or pulled: its own name, the word for it, and which."""
    for word, together in wanted.items():
        names = [n for n in boat.state.plugged if n.startswith("panel_")] if word == "panels" else [word]
        differing = [name for name in names if boat.state.plugged[name] is not together]
        for place, name in enumerate(differing):
            about = ("panel" if word == "panels" else word) if place == 0 else None
            yield name, about, together


def _switch(boat: Boat, power: bool, locked: bool = False) -> Iterator[FactDict]:
    if power and boat.state.fuse_drawn:
        boat.state.fuse_drawn = False
        about, what = boat_data()["words"]["fuse_drawn"]
        yield fact_of(about, what, True)
    if power and not boat.state.position and not boat.plant.flag("isolator_left_off"):
        boat.power_on()
        yield fact_of("isolator", "position", ON_OFF[True])
    elif not power and (boat.state.position or boat.plant.flag("isolator_left_off")):
        boat.power_off(locked=locked)
        yield fact_of("isolator", "position", ON_OFF[False])
    if not power:
        yield from _prove_dead(boat)
    if locked and not boat.state.locked:
        boat.state.locked = True
    if locked:
        yield fact_of("isolator", "locked", True)


def _prove_dead(boat: Boat) -> Iterator[FactDict]:
    """What was switched off must be dead; where it is not, the fuse is drawn."""
    words = boat_data()["words"]
    plus, minus = words["studs"]["between"]
    volts = boat.read_volts(plus, minus)
    if abs(volts) > words["studs"]["live_above"]:
        about, what = words["studs"]["reading"]
        yield fact_of(about, what, volts, tuple(words["studs"]["while"]))
        boat.state.fuse_drawn = True
        about, what = words["fuse_drawn"]
        yield fact_of(about, what, False)


def _take_bridges_off(boat: Boat) -> Iterator[FactDict]:
    for value, state in bridge_states().items():
        if state in boat.state.bridges:
            boat.bridge(value, False)
            yield fact_of("bridge", "removed", value)


def restore(boat: Boat) -> list[FactDict]:
    """Everything plugged, no test wires, power on."""
    return list(prepare(boat, {"power": True, "plugs": True}))


# ---------------------------------------------------------------- a scene


class Scene:
    """One part of a test: bring it about, once or once for each way, and read."""

    def __init__(self, boat: Boat, scene: dict[str, Any], memory: dict[str, Any]) -> None:
        """Take the boat, the scene's entry, and what earlier scenes of the test left to remember."""
        self.boat, self.scene, self.memory = boat, scene, memory
        self.kind = scene.get("with", "")

    def play(self) -> Iterator[FactDict]:
        """The facts of this scene."""
        if self.kind in boat_data()["words"]["attempts"] and self._moves(self.boat.moment()):
            self.memory["stopped"] = True
            yield fact_of("thruster", "runs_by_itself", "right_now")
            yield from _switch(self.boat, False)
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
                yield fact_of("isolator", "position", ON_OFF[False])
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
                yield from _switch(self.boat, False)
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
        best = max(
            ways(), key=lambda way: (abs(self.boat.amps("lug_positive", tried[way])), way == ways()[0])
        )
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
        return moment, [fact_of("bridge", "fitted", value)], [fact_of("bridge", "removed", value)]

    def _moves(self, moment: Moment) -> bool:
        return abs(moment.turning.speed) > float(boat_data()["motor"]["turns_above"])

    def _while(self, moment: Moment, way: str = "") -> tuple[str, ...]:
        """The circumstances; nothing is at rest while the motor runs by itself."""
        names = [name.format(way=way) for name in self.scene.get("while", ())]
        warmth = (
            "motor_hot" if self.boat.state.temperature > boat_data()["thermal"]["just_run"] else "motor_cold"
        )
        names = [warmth if name == "@warmth" else name for name in names]
        if "at_rest" in names and self._moves(moment):
            names = ["under_load" if name == "at_rest" else name for name in names]
        return tuple(names)

    def _read(
        self, sights: Sights, while_: tuple[str, ...], way: str = "", station: int = 0
    ) -> Iterator[FactDict]:
        if self.kind == "rest" and self._moves(sights.moment) and "at_rest" in self.scene.get("while", ()):
            yield fact_of("thruster", "runs_by_itself", "right_now")
        for read in self.scene.get("reads", ()):
            value = sight(sights, read, way)
            if value is None or ("unless" in read and value == read["unless"]):
                continue
            about = read["about"].format(way=way, n=station)
            yield fact_of(about, read["what"], value, () if read.get("plain") else while_)
            if read["what"] == "voltage" and about == f"{way}_coil":
                self.memory[f"dead_{way}"] = value < 1.0
