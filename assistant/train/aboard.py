"""The trainee's hands: doing things to the simulated boat, and telling what came of it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from assistant.bench.aboard import SimulatedHelper
from assistant.boat.boat import Boat
from assistant.boat.data import boat_data
from assistant.boat.saying import FactDict, fact_of, told, word
from assistant.boat.setting_up import switch
from assistant.knowledge import Knowledge
from assistant.train.data import training_data, triple
from assistant.train.draw import TrainingCase


class Hands:
    """What a trainee can do aboard."""

    def __init__(self, case: TrainingCase, knowledge: Knowledge) -> None:
        """Go aboard."""
        self.case, self.knowledge = case, knowledge
        self.helper = SimulatedHelper(knowledge, case.spec, case.faults, case.boat_seed)
        self.boat = self.helper.boat
        self._sound = Boat(case.spec, (), case.boat_seed).complaint()

    def report(self) -> list[FactDict]:
        """The boat, the trainee and what the owner says."""
        return [*self.boat.describe(), *map(dict, training_data()["told_first"]), *self.boat.complaint()]

    def test(self, test: str, minutes: float) -> list[FactDict] | None:
        """Carry a test out; None when this boat has nothing to do it on."""
        if test == self.knowledge.limits["first_question"]:
            return self.boat.complaint()
        return self.helper.answer(test, minutes)

    def may_state(self, fact: Mapping[str, Any]) -> bool:
        """Whether a fact is something done or seen to, and not a finding."""
        about, what, _ = triple(fact)
        return about in training_data()["told_freely"] or what in self.knowledge.words.states

    def act(self, facts: Iterable[Mapping[str, Any]]) -> list[FactDict]:
        """Do what these facts say, and tell it."""
        words, out = training_data()["isolator_words"], list[FactDict]()
        for fact in facts:
            about, what, value = triple(fact)
            done = [fact_of(about, what, value, tuple(fact.get("while") or ()))]
            if about == words["about"] and what in (words["position"], words["locked"]):
                off = value in (words["off"], True)
                done = self.helper.make_safe() if off else list(switch(self.boat, True)) or done
            elif isinstance(value, bool):
                for name in self._plugs(about):
                    self.boat.plug(name, value)
            out += [one for one in done if one not in out]
        return [*out, told("runs_by_itself", word("right_now"))] if self._moves() else out

    def _moves(self) -> bool:
        """Whether the motor turns though nobody asks for it."""
        return abs(self.boat.moment().turning.speed) > float(boat_data()["motor"]["turns_above"])

    def _plugs(self, about: str) -> list[str]:
        return [name for name in self.boat.state.plugged if name == about or name.startswith(f"{about}_")]

    def replace(self, fault: str) -> list[FactDict]:
        """Change a part or put a setting right, then everything back as it was meant to be."""
        return [*self.helper.repair(fault), *self.boat.restore()]

    def tried_again(self) -> list[FactDict]:
        """What the complaint is now; what the owner told of earlier days is not told again of a mended boat."""
        found = self.boat.complaint()
        if self.boat.faults():
            return found
        earlier = [
            fact_of(row[0], row[1], row[2], tuple(row[3]) if len(row) > 3 else ()) for row in self.boat.damage.told
        ]
        return [fact for fact in found if fact not in earlier]

    def still_wrong(self, found: Iterable[FactDict]) -> list[FactDict]:
        """What of a complaint would not be so on a sound boat."""
        return [fact for fact in found if fact not in self._sound]
