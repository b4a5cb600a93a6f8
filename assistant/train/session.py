"""The training session: the trainee asks, the simulated boat answers, and everything is counted.

To a screen it is a session like any other. Inside runs the real one, which records the case and keeps the
hazards; what it concludes stays hidden until the end.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import Any

from assistant.bench.course import Course
from assistant.bench.ways import Bench, Watched
from assistant.errors import LineError
from assistant.knowledge import Knowledge
from assistant.knowledge.model import Step
from assistant.language import Heard, load_words, read
from assistant.safety.hazards import step_applies
from assistant.session import Session
from assistant.session.history import History
from assistant.session.session import Sink
from assistant.train.aboard import Hands
from assistant.train.data import listed, say, training_data, triple
from assistant.train.draw import TrainingCase
from assistant.train.menu import Menu, choice_of
from assistant.train.naming import meant, names_of_faults, names_of_tests
from assistant.train.score import Score, score_lines
from assistant.train.shown import assistant_run, shown_lines

Out = dict[str, Any]


class TrainingSession:
    """One case on the simulated boat."""

    def __init__(self, case: TrainingCase, knowledge: Knowledge) -> None:
        """Prepare the case; `begin` tells it."""
        self.case, self.knowledge, self.score = case, knowledge, Score()
        self._data = training_data()
        self._diagnoser, self._hands = Watched(knowledge), Hands(case, knowledge)
        self._inner = Session(knowledge, self._data["role"], at=self._now(), diagnoser=self._diagnoser)
        self._bench = Bench(self._inner, self._diagnoser)
        self._menu = Menu(knowledge, self._inner.names)
        self._tests, self._faults = names_of_tests(knowledge), names_of_faults(knowledge)
        self._ever = set(case.faults)
        self._pending: str | None = None
        self._warned: list[str] = []
        self._inner_out: Out = {}
        self._own: Course | None = None
        self.over = False
        self.history = History()

    # ------------------------------------------------------------ what a screen asks of a session
    @property
    def names(self) -> Any:
        """Names for display."""
        return self._inner.names

    @property
    def role(self) -> str:
        """Who sits at the keyboard."""
        return self._inner.role

    def header(self) -> Mapping[str, Any]:
        """The first entry of the record."""
        return self._inner.header()

    def keep_in(self, sink: Sink) -> None:
        """Send turns from now on elsewhere."""
        self._inner.keep_in(sink)

    def standing(self) -> list[dict[str, Any]]:
        """The facts that stand now."""
        return self._inner.standing()

    def begin(self) -> Out:
        """Tell the boat and the complaint.

        Raises:
            JournalError: The turn could not be recorded.
        """
        self._take({"facts": self._hands.report()})
        out = self._shown([say("opening", boat=self.case.boat), self._told(self._inner_out)])
        self.history.add({"say": say("title", boat=self.case.boat, seed=self.case.seed)}, out)
        return out

    def take(self, line: Any) -> Out:
        """Take one line of the trainee.

        Args:
            line: The decoded line of the conversation.

        Raises:
            LineError: The line cannot be taken; nothing has changed.
            JournalError: The turn could not be recorded.
        """
        if not isinstance(line, Mapping):
            raise LineError("not_an_object", say("not_understood"))
        if line.get("take_back"):
            raise LineError("wrong_type", say("no_take_back"))
        if "ask" in line:
            return self._asked(line["ask"])
        if "answer" in line:
            return self._answered(line["answer"])
        if line.get("facts"):
            return self._act(list(line["facts"]))
        return self._said(str(line.get("say", "")))

    # ------------------------------------------------------------ what was said or picked
    def _asked(self, ask: Any) -> Out:
        kind = next(iter(ask), "") if isinstance(ask, Mapping) else ""
        if kind == "close" and not self.over:
            return self._give_up()
        if self.over and kind != "close":
            self._inner_out = self._inner.take({"ask": ask, "at": self._now()})
            return {**self._shown([str(self._inner_out["reply"])]), "answer": self._inner_out["answer"]}
        return self._shown([say("over" if self.over else "secret")])

    def _answered(self, answer: Any) -> Out:
        facts = answer.get("facts") if isinstance(answer, Mapping) else None
        chosen = choice_of(facts)
        if chosen is None:
            self._pending = None
            return self._act(facts) if facts else self._shown([])
        return self._choose(*chosen)

    def _choose(self, what: str, value: str) -> Out:
        if what == "test":
            self.score.offers += value == self._offer()
            return self._want(value)
        if what == "fault":
            return self._name(value)
        return self._command(value)

    def _said(self, text: str) -> Out:
        typed = " ".join(text.split())
        low = typed.lower().rstrip(".!")
        command = next((name for name, words in self._data["words"].items() if low in words), None)
        if command is not None:
            return self._command(command)
        if self.over:
            raise LineError("closed", say("over"))
        begin = next((word for word in self._data["name_begins"] if low.startswith(word)), None)
        if begin is not None:
            return self._named(typed[len(begin) :])
        reads_as_value = any(char.isdigit() for char in low) and self._stated(text)
        if reads_as_value:
            return reads_as_value
        surely = meant(low, self._tests, only_surely=True)
        if surely:
            return self._want(surely[0])
        return self._stated(text) or self._perhaps(low)

    def _command(self, name: str) -> Out:
        if name in ("show", "score") and self.over:
            return self._shown(self._way() if name == "show" else self._score())
        if self.over:
            raise LineError("closed", say("over"))
        simple = {
            "list": lambda: self._shown([say("tests_list", list=_rows(self._tests))]),
            "faults": lambda: self._shown([say("faults_list", list=_rows(self._faults))]),
            "safe": lambda: self._act(self._data["safety_steps"][1:3]),
            "give_up": self._give_up,
            "done": lambda: self._go(straight=False),
            "straight": lambda: self._go(straight=True),
            "back": self._back,
        }
        return simple[name]() if name in simple else self._shown([say("secret")])

    def _back(self) -> Out:
        self._pending = None
        return self._shown([])

    def _named(self, text: str) -> Out:
        found = meant(text, self._faults)
        if len(found) == 1:
            return self._name(found[0])
        out = self._shown([say("which_fault")])
        return {**out, "next": self._menu.which(say("which_fault"), "fault", found, self._faults) or out["next"]}

    def _perhaps(self, low: str) -> Out:
        found = meant(low, self._tests)
        if not found:
            return self._shown([say("not_understood")])
        return {
            **self._shown([say("which_test")]),
            "next": self._menu.which(say("which_test"), "test", found, self._tests),
        }

    def _stated(self, text: str) -> Out | None:
        """What was told to be done or seen to; None when nothing was understood."""
        told = read(text, Heard(), load_words())
        facts = [fact.model_dump(by_alias=True) for fact in told.facts]
        allowed = [fact for fact in facts if self._hands.may_state(fact)]
        if allowed:
            return self._act(allowed)
        return self._shown([say("measure")]) if facts else None

    # ------------------------------------------------------------ doing things
    def _act(self, facts: Sequence[Mapping[str, Any]]) -> Out:
        if not all(isinstance(fact, Mapping) and {"about", "what", "value"} <= set(fact) for fact in facts):
            raise LineError("wrong_type", say("not_understood"))
        if self.over:
            raise LineError("closed", say("over"))
        if not all(self._hands.may_state(fact) for fact in facts):
            return self._shown([say("measure")])
        self._take({"facts": self._hands.act(facts)})
        return self._shown([say("acted", facts=self._told(self._inner_out))])

    def _want(self, test: str) -> Out:
        """The trainee asks for a test: at once when nothing has to be seen to before it."""
        if test not in self._tests:
            return self._shown([say("which_test")])
        refused = self._refused(test)
        if refused:
            self._pending = None
            return self._shown(refused)
        self._pending = test
        return self._shown([say("set_up")]) if self._missing(test) else self._go(straight=False)

    def _refused(self, test: str) -> list[str]:
        stop = self._inner_out["stop"]
        name = self.names.test(test)
        if stop is not None:
            self.score.ignored.append(f"{stop['text']} ({name})")
            return [say("stop_first", text=stop["text"])]
        if self._bench.bar(test) != "unsafe":
            return []
        text = listed(self._why_unsafe() or [say("unsafe_step")], " ")
        self.score.ignored.append(f"{text} ({name})")
        return [say("unsafe", list=text)]

    def _why_unsafe(self) -> list[str]:
        """The hazards that stand in the way of a test."""
        vapour = self.knowledge.hazards[self.knowledge.limits["vapour"]]
        texts = [vapour.text] if step_applies(vapour, self._bench.situation().states) and vapour.step_when else []
        live = [h["text"] for h in self._inner_out["hazards"] if h["kind"] == "standing"]
        return list(dict.fromkeys([*texts, *live]))

    def _missing(self, test: str) -> list[Step]:
        """Set-up steps that keep people and parts whole and do not stand."""
        wanted = [triple(fact) for fact in self._data["safety_steps"]]
        stands = {triple(fact)[:2]: fact["value"] for fact in self._inner.standing()}
        out = []
        for step in self.knowledge.tests[test].setup:
            facts = [triple(fact) for fact in step.facts]
            if any(fact in wanted and stands.get(fact[:2]) != fact[2] for fact in facts):
                out.append(step)
        return out

    def _go(self, *, straight: bool) -> Out:
        test, self._pending = self._pending, None
        if test is None:
            return self._shown([say("which_test")])
        missing = self._missing(test)
        minutes, name = self._bench.minutes(test), self.names.test(test)
        found = self._hands.test(test, minutes)
        if found is None:
            self._take({"answer": {"test": test, "cannot": say("impossible", test=name)}})
            return self._shown([say("impossible", test=name)])
        lines = []
        if straight:
            self.score.skipped += [f"{step.text} ({name})" for step in missing]
            lines = [say("skipped", list=" ".join(step.text for step in missing))] if missing else []
        else:
            found = [*self._of(missing, "told_before"), *found, *self._proved_dead(missing)]
        self.score.minutes += minutes
        self.score.tests += 1
        self._take({"answer": {"test": test, "facts": found}})
        key = "found" if self._inner_out["understood"] else "nothing_found"
        lines.append(say(key, test=name, minutes=f"{minutes:g}", facts=self._told(self._inner_out)))
        return self._shown([*lines, say("clock", minutes=f"{self.score.minutes:g}")])

    def _of(self, steps: Sequence[Step], kind: str) -> list[dict[str, Any]]:
        wanted = [tuple(pair) for pair in self._data[kind]]
        return [dict(fact) for step in steps for fact in step.facts if triple(fact)[:2] in wanted]

    def _proved_dead(self, steps: Sequence[Step]) -> list[dict[str, Any]]:
        return [] if self._hands.boat.state.position else self._of(steps, "told_after_dead")

    # ------------------------------------------------------------ naming a fault
    def _name(self, fault: str) -> Out:
        if fault not in self._faults:
            return self._shown([say("which_fault")])
        if self._inner_out["stop"] is not None:
            self.score.ignored.append(f"{self._inner_out['stop']['text']} ({self.names.fault(fault)})")
            return self._shown([say("stop_first", text=self._inner_out["stop"]["text"])])
        self._pending = None
        self._ever |= set(self._hands.boat.faults())
        lines = [*self._judge(fault), *self._made_safe(fault)]
        self._take({"facts": self._hands.replace(fault)})
        first = str(self.knowledge.limits["first_question"])
        found = self._hands.tried_again()
        self._take({"answer": {"test": first, "facts": found}})
        wrong = self._hands.still_wrong(found)
        if not wrong:
            return self._end([*lines, say("gone")])
        return self._shown([*lines, say("still", facts=listed(map(self.names.fact, wrong)))])

    def _judge(self, fault: str) -> list[str]:
        """What naming this fault is worth, counted."""
        states = {s["fault"]: s["state"] for s in self._inner_out["suspects"]}
        part, name = fault.partition(".")[0], self.names.fault(fault)
        own = [one for one in sorted(self._ever) if one.partition(".")[0] == part]
        setting = bool(self.knowledge.faults[fault].put_right_by)
        gone = [fault] if setting else own
        self.score.found += [one for one in self._ever_listed() if one in gone and one not in self.score.found]
        lines = [] if states.get(fault) == "proved" else [say("unproved")]
        self.score.unproved += [fault] if lines else []
        if fault in self._ever:
            return [say("right", fault=name), *lines]
        if setting:
            return [say("setting", fault=name)]
        if own:
            return [say("same_part", fault=name, true=listed(map(self.names.fault, own))), *lines]
        self.score.condemned.append(fault)
        return [say("condemned", fault=name), *lines]

    def _ever_listed(self) -> list[str]:
        return [*self.case.faults, *sorted(self._ever - set(self.case.faults))]

    def _made_safe(self, fault: str) -> list[str]:
        """A part is changed with the power off and locked; what the trainee did not see to counts."""
        if self.knowledge.faults[fault].put_right_by:
            return []
        stands = {triple(fact)[:2]: fact["value"] for fact in self._inner.standing()}
        if all(stands.get((about, what)) == value for about, what, value in self._data["before_a_part"]):
            return []
        self.score.skipped.append(say("part_with_power", fault=self.names.fault(fault)))
        self._take({"facts": self._hands.helper.make_safe()})
        return [say("not_safe_for_part")]

    def _give_up(self) -> Out:
        return self._end([say("gave_up")])

    def _end(self, lines: list[str]) -> Out:
        self.over, self._pending = True, None
        return self._shown([*lines, *self._score()])

    # ------------------------------------------------------------ afterwards
    def _run_own(self) -> Course:
        if self._own is None:
            self._own = assistant_run(self.case, self.knowledge).course
        return self._own

    def _score(self) -> list[str]:
        """The score as lines."""
        return score_lines(self.score, self._run_own(), self.case.faults, self.case.seed, self.names.fault)

    def _way(self) -> list[str]:
        """How the assistant does it, as lines."""
        return shown_lines(self.case, assistant_run(self.case, self.knowledge), self.knowledge)

    # ------------------------------------------------------------ in and out
    def _now(self) -> str:
        start = datetime.fromisoformat(self._data["starts_at"])
        return (start + timedelta(minutes=self.score.minutes)).strftime("%Y-%m-%dT%H:%M:%SZ")

    def _take(self, line: Mapping[str, Any]) -> None:
        self._inner_out = self._inner.take({**line, "at": self._now(), "by": self._data["by"]})
        self._ever |= set(self._hands.boat.faults())

    def _told(self, out: Out) -> str:
        return listed(self.names.fact(fact) for fact in out["understood"])

    def _offer(self) -> str | None:
        """What the assistant would ask for now."""
        pending, step = self._inner.case.pending, self._inner_out["next"]
        if self._inner_out["stop"] is not None or pending is None or step is None or pending.kind in ("setup", "scene"):
            return None
        return str(step["test"]) if step["test"] in self._tests else None

    def _shown(self, lines: Sequence[str]) -> Out:
        """What the screen gets: the real session's output without its conclusions, with the trainer's menu.

        What was found stands in the reply and among the standing facts.
        """
        out = dict(self._inner_out)
        if not self.over:
            out |= {"suspects": [], "verdict": None, "narrowed_to": None, "conflicts": [], "may_close": [say("secret")]}
        out |= {"understood": [], "replaced": [], "unclear": [], "answer": None}
        out["next"] = None if self.over else self._next()
        if self.over:
            out["hazards"] = [h for h in out["hazards"] if h["kind"] == "standing"]
        out["closed"] = {"handed_over_to": None, "open": []} if self.over else None
        out["may_close"] = True if self.over else out["may_close"]
        out["reply"] = "\n".join([*lines, *self._new_hazards(out)] or [say("what_now")])
        return out

    def _new_hazards(self, out: Out) -> list[str]:
        """Hazards that no reply has told yet; the banner of a screen has all of them."""
        live = [] if self.over else [f"{h['level'].upper()}: {h['text']}" for h in out["hazards"]]
        fresh = [text for text in live if text not in self._warned]
        self._warned = live
        return fresh

    def _next(self) -> dict[str, Any] | None:
        if self._inner_out["stop"] is not None:
            return None
        if self._pending is not None:
            return self._menu.set_up(self._pending, self._bench.minutes(self._pending))
        return self._menu.usual(self._offer())


def _rows(names: Mapping[str, str]) -> str:
    return "\n".join(f"  {name}" for name in names.values())
