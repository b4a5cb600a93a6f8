"""What the reader does with one text: facts in order, places, circumstances, doubt, and what is no fact."""

from __future__ import annotations

import cProfile
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.errors import KnowledgeError
from assistant.facts import RawFact
from assistant.language import Heard, Reading, Words, load_words, read

quick = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])


def facts(text: str, words: Words, asked: str | None = None, **heard: Any) -> list[tuple[Any, ...]]:
    reading = read(text, Heard(asked=asked, **heard), words)
    return [(f.about, f.what, f.value, *f.while_) + (() if f.certain else ("?",)) for f in reading.facts]


def test_order_units_and_words(words: Words) -> None:
    text = "Fuse ok, isolator on, 12,4 V at the batteries, 300 mV across the fuse under load"
    reading = read(text, Heard(), words)
    assert [(f.about, f.what) for f in reading.facts] == [
        ("main_fuse", "blown"), ("isolator", "position"), ("battery", "voltage"), ("main_fuse", "drop"),
    ]  # fmt: skip
    assert [f.unit for f in reading.facts] == [None, None, "V", "V"]
    assert reading.facts[3].value == 0.3 and reading.facts[3].while_ == ("under_load",)
    assert all(f.words and f.words in text for f in reading.facts)


@pytest.mark.parametrize(
    ("said", "value"),
    [
        ("12,4", 12.4), ("12v4", 12.4), ("12.40 V", 12.4), ("twelve and a half", 12.5), ("12400 mV", 12.4),
        ("twelve point four", 12.4), ("about 12.4", 12.4), ("12.4ish", 12.4), ("between 12.3 and 12.5", 12.4),
        ("twelve four", 12.4), ("12.3 to 12.5", 12.4), ("roughly twelve and a half volts", 12.5),
    ],
)  # fmt: skip
def test_figures(words: Words, said: str, value: float) -> None:
    assert facts(said, words, "supply_voltage_at_rest") == [("supply", "voltage", value, "at_rest")]


@pytest.mark.parametrize("said", ["between 9 and 12", "9 to 12 volts"])
def test_a_wide_range_is_asked_back(words: Words, said: str) -> None:
    reading = read(said, Heard(asked="supply_voltage_at_rest"), words)
    assert not reading.facts and reading.unclear


def test_a_bound_is_kept_as_a_bound(words: Words) -> None:
    (fact,) = read("over 500 megohm", Heard(asked="motor_insulation"), words).facts
    assert (fact.value, fact.bound, fact.certain) == (500, "at_least", True)


@pytest.mark.parametrize(
    ("said", "what", "value"),
    [
        ("cable is 2/0 AWG", "cross_section", 67.4), ("cable 50 mm²", "cross_section", 50),
        ("cable is 6 ft long", "length", 1.83), ("fuse is half a metre from the battery", "distance", 0.5),
        ("fuse 7 in from the battery", "distance", 0.178), ("batteries are 18 months old", "age", 1.5),
        ("motor at 180 °F", "temperature", 82.2), ("motor insulation 200 kΩ", "insulation", 0.2),
        ("coil to port is half an ohm", "resistance", 0.5),
    ],
)  # fmt: skip
def test_units(words: Words, said: str, what: str, value: float) -> None:
    assert [f[1:3] for f in facts(said, words)] == [(what, value)]


@pytest.mark.parametrize(
    "said",
    [
        "is the fuse blown?", "if the fuse is blown I'll get a new one", "the fuse blew last year",
        "tomorrow I'll unplug the panel", "should I unplug the panel now?", "it should read 12.5 there",
        "I don't know whether the fuse is blown", "hello there", "thank you!", "12.7 at the starter battery",
        "my neighbour's fuse was blown", "could it be the contactor?", "the electrician comes at 12",
        "I did not measure the voltage", "", "   ", "?!", "🙂🙂",
    ],
)  # fmt: skip
def test_no_fact(words: Words, said: str) -> None:
    assert facts(said, words) == []


def test_a_why_question_states_what_it_takes_for_granted(words: Words) -> None:
    assert facts("why does it only go to port?", words) == [("thruster", "runs", "port_only")]


@pytest.mark.parametrize(
    ("said", "asked", "want"),
    [
        ("yes", "fuse_check", [("main_fuse", "blown", False)]),
        ("no", "fuse_check", [("main_fuse", "blown", True)]),
        ("on", "isolator_check", [("isolator", "position", "on")]),
        ("still dark", "panel_wake_up", [("panel", "lights", False)]),
        ("both", "command_bridge",
         [("thruster", "runs", "both", "command_bridged_port", "command_bridged_starboard")]),
        ("nope only port", "command_bridge",
         [("thruster", "runs", "port_only", "command_bridged_port", "command_bridged_starboard")]),
        ("OL", "thermal_continuity", [("thermal_switch", "continuity", False)]),
        ("yes", "shaft_by_hand", [("motor", "turns_by_hand", True)]),
        ("no", "all_unplugged_power_on",
         [("thruster", "runs_by_itself", "no", "panel_unplugged", "control_unit_unplugged")]),
        ("yes", "contact_resistance", [("contactor", "continuity", True)]),
        ("12.2", "panel_lead_voltage", [("panel_lead", "voltage", 12.2, "panel_unplugged")]),
        ("28 and 30", "coil_resistance", [("port_coil", "resistance", 28), ("starboard_coil", "resistance", 30)]),
        ("380", "motor_current", [("motor", "current", 380, "under_load")]),
        ("ok", "isolator_check", []),
        ("yes", "command_bridge", []),
    ],
)  # fmt: skip
def test_bare_answers(words: Words, said: str, asked: str, want: list[Any]) -> None:
    assert facts(said, words, asked) == want


def test_a_bare_yes_that_says_too_little_is_asked_back(words: Words) -> None:
    assert read("yes", Heard(asked="command_bridge"), words).unclear


@pytest.mark.parametrize(
    ("said", "want"),
    [
        ("isolator off and locked", [("isolator", "position", "off", "just_done"), ("isolator", "locked", True)]),
        ("proved dead at the studs", [("supply", "proved_dead", True)]),
        ("there is no fuse", [("main_fuse", "present", False)]),
        ("one block sags", [("battery", "uneven", True)]),
        ("smell of petrol in the locker", [("boat", "fuel_vapour", True)]),
        ("isolator is bypassed", [("isolator", "bypassed", True)]),
        ("it is running by itself right now", [("thruster", "runs_by_itself", "right_now")]),
        ("cover is off", [("thruster", "cover_on", False)]),
        ("ran for 3 seconds", [("thruster", "ran_for", 3)]),
        ("the manual allows two minutes in one go", [("motor", "run_limit", 120)]),
        ("plate says max run 3 minutes", [("motor", "run_limit", 180)]),
        ("the thruster is rated for 4 min", [("motor", "run_limit", 240)]),
        ("fuse is rated 250 A and it ran 20 s", [("main_fuse", "rating", 250), ("thruster", "ran_for", 20)]),
        ("it stopped after 3 minutes in one go", [("thruster", "stops_after", 180)]),
        ("positive cable is off the stud", [("positive_cable", "connected", False)]),
        ("he is willing to do it", [("helper", "willing", True)]),
        ("isolator won't open", [("isolator", "obeys", False, "isolator_on")]),
    ],
)
def test_words_beyond_the_corpus(words: Words, said: str, want: list[Any]) -> None:
    assert facts(said, words) == want


def test_doubt_is_the_speakers(words: Words) -> None:
    assert facts("I think the fuse is blown", words) == [("main_fuse", "blown", True, "?")]
    assert facts("the fuse is blown, I am sure", words) == [("main_fuse", "blown", True)]
    assert facts("the fuse is fine, haven't checked though", words) == [("main_fuse", "blown", False, "?")]


def test_a_double_negation_is_asked_back(words: Words) -> None:
    reading = read("the fuse isn't not blown", Heard(), words)
    assert not reading.facts and reading.unclear


@pytest.mark.parametrize(
    ("said", "question", "about"),
    [
        ("the fuse isn't not blown", "negation", "main_fuse"), ("the panel lamp does not zorble", "negation", "panel"),
        ("isolator on or off, one of the two", "on_off", "isolator"), ("isolator is on off", "on_off", "isolator"),
        ("panel plugged or unplugged", "plugged", "panel"), ("panel plugged unplugged", "plugged", "panel"),
        ("sense lead plugged in or unplugged", "plugged", "sense_lead"),
        ("it only runs one way", "side", "thruster"), ("one of the coils clicks", "side", "port_coil"),
        ("it clicks on one side", "side", "contactor"),
        ("the jumper is in or the jumper is out", "bridged", "bridge"),
    ],
)  # fmt: skip
def test_what_is_not_sure_is_asked_back_and_counts_for_nothing(
    words: Words, said: str, question: str, about: str
) -> None:
    reading = read(said, Heard(), words)
    assert [f for f in reading.facts if f.about == about] == []
    assert words.questions[question] in [u.question for u in reading.unclear]
    assert all(u.words in said for u in reading.unclear)


@pytest.mark.parametrize(
    ("said", "want"),
    [
        ("no fuse is blown", [("main_fuse", "blown", False)]),
        ("neither fuse is blown", [("main_fuse", "blown", False)]),
        ("the panel is no longer unplugged", [("panel", "plugged", True)]),
        ("Fuse blown? No. Panel lit? Yes.", [("main_fuse", "blown", False), ("panel", "lights", True)]),
        ("clicks: no. lights: off", [("contactor", "clicks", False), ("panel", "lights", False)]),
        ("No. The panel is lit", [("panel", "lights", True)]), ("the light won't go out", [("panel", "lights", True)]),
        ("I said the fuse was blown but it isn't", [("main_fuse", "blown", False)]),
        ("the isolator can't be switched off", [("isolator", "obeys", False)]),
        ("it's not that the fuse is blown", []),
        ("starboard doesn't work, port does", [("thruster", "runs", "port_only")]),
        ("it was dead this morning, now it works both ways", [("thruster", "runs", "both")]),
        ("neither the plus nor the minus lug is loose",
         [("positive_cable", "loose", False), ("negative_cable", "loose", False)]),
        ("the engine won't start", []), ("my mate's gone to find a torch", []), ("the shore power is on", []),
    ],
)  # fmt: skip
def test_no_denial_is_lost_and_none_is_invented(words: Words, said: str, want: list[Any]) -> None:
    assert facts(said, words) == want


def test_a_bare_answer_is_never_made_of_a_denial_that_nobody_can_place(words: Words) -> None:
    reading = read("I can not come with the probe to the coil", Heard(asked="coil_voltage"), words)
    assert not reading.facts and reading.cannot
    assert facts("it doesn't", words, "panel_wake_up") == [("panel", "lights", False)]


def test_a_sure_side_is_not_asked_for(words: Words) -> None:
    assert not read("it runs one way only, to port", Heard(), words).unclear
    assert not read("contactor case melted on one side", Heard(), words).unclear


def test_corrections(words: Words) -> None:
    assert facts("12.1, no wait, 11.2 at the studs", words) == [("supply", "voltage", 11.2)]
    assert facts("I said port coil, I meant the starboard coil: 9 ohms", words) == [("starboard_coil", "resistance", 9)]
    last = RawFact(about="port_coil", what="resistance", value=9, unit="ohm")
    reading = read("sorry, I meant starboard", Heard(recent=(last,)), words)
    assert [(f.about, f.value) for f in reading.facts] == [("starboard_coil", 9)]
    assert reading.withdraw == ("port_coil",)
    assert facts("no, 11.2 I meant", words, recent=(last,)) == [("port_coil", "resistance", 11.2)]


def test_what_is_said_to_the_assistant(words: Words) -> None:
    heard = Heard(asked="fuse_check", faults=("panel.dead", "battery.flat"))
    assert read("why the panel?", heard, words).ask == {"why": "panel.dead"}
    assert read("why not the battery?", heard, words).ask == {"why_not": "battery.flat"}
    assert read("why do you ask that?", heard, words).ask == {"why_ask": "fuse_check"}
    assert read("help", heard, words).ask == {"help": True}
    assert read("report please", heard, words).ask == {"report": "markdown"}
    assert read("close the case", heard, words).ask == {"close": True}
    assert read("undo", heard, words).undo
    assert read("forget what I said about the fuse", heard, words).withdraw == ("main_fuse",)
    assert read("can't reach it", heard, words).cannot == "can't reach it"


@pytest.mark.parametrize(
    ("said", "moment"),
    [
        ("it started running by itself", "right_now"), ("fires up on its own", "right_now"),
        ("came on by itself", "right_now"), ("won't stop", "right_now"), ("it's stuck on", "right_now"),
        ("it ran with nobody touching it", "right_now"), ("had to pull the fuse to stop it", "right_now"),
        ("ran of its own accord", "right_now"), ("she's running on her own and I can't shut her down", "right_now"),
        ("it started running by itself the moment I switched the isolator on!!", "at_power_on"),
        ("runs the second I turn the power on", "at_power_on"), ("it runs as soon as there's power", "at_power_on"),
        ("keeps going after I let go", "after_release"),
        ("the stick springs back but the thruster carries on", "after_release"),
        ("it doesn't run by itself any more", "no"), ("it no longer starts by itself", "no"),
    ],
)  # fmt: skip
def test_a_thruster_that_runs_by_itself_is_heard_in_any_wording(words: Words, said: str, moment: str) -> None:
    assert [f[2] for f in facts(said, words) if f[1] == "runs_by_itself"] == [moment]


@pytest.mark.parametrize("said", ["runs both ways, full push, kept running", "does it start by itself?"])
def test_a_run_that_obeyed_or_is_asked_about_is_no_runaway(words: Words, said: str) -> None:
    assert "runs_by_itself" not in [f[1] for f in facts(said, words)]


@pytest.mark.parametrize(
    ("said", "want"),
    [
        ("12 volts, series motor with reversed field, petrol engine",
         [("boat", "nominal_voltage", 12), ("motor", "kind", "series_reversed"), ("boat", "fuel", "petrol")]),
        ("only works to starboard, port is dead, same from the flybridge",
         [("thruster", "runs", "starboard_only"), ("panel_2", "runs", "starboard_only")]),
        ("port signal shows 25 volts at the control unit while I ask for port",
         [("port_signal", "voltage", 25, "under_load", "port_commanded")]),
        ("sense lead lifted and taped off", [("sense_lead", "plugged", False)]),
        ("the motor is hot, afloat and all clear of the water",
         [("motor", "hot", True), ("boat", "afloat", True), ("boat", "people_clear", True)]),
        ("battery posts 11.8 and 260 amps while it runs",
         [("battery", "voltage", 11.8, "under_load"), ("motor", "current", 260, "under_load")]),
        ("clamps on the battery posts drop 0.02, main fuse 0.06, isolator 0.05, under load",
         [(p, "drop", v, "under_load") for p, v in
          (("battery_terminal", 0.02), ("main_fuse", 0.06), ("isolator", 0.05))]),
        ("rope and weed cleared from the propeller", [("propeller", "repaired", True)]),
        ("lock is off", [("isolator", "locked", False)]),
        ("12.6 before the isolator and nothing after it", [("isolator", "voltage", 0)]),
        ("left it runs, right it stays dead", [("thruster", "runs", "port_only")]),
        ("no one about in the water", [("boat", "people_clear", True)]),
    ],
)  # fmt: skip
def test_a_clause_speaks_of_what_it_names(words: Words, said: str, want: list[Any]) -> None:
    assert facts(said, words) == want


@pytest.mark.parametrize("said", ["12.1 at the studs, that is wrong, sorry, 11.2", "no sorry, 11.2 I meant"])
def test_a_correction_says_so(words: Words, said: str) -> None:
    last = RawFact(about="supply", what="voltage", value=12.1, unit="V")
    reading = read(said, Heard(recent=(last,)), words)
    assert [(f.about, f.value) for f in reading.facts] == [("supply", 11.2)]
    assert reading.corrects is (not said[0].isdigit())


def test_a_correction_of_the_part_takes_the_other_back(words: Words) -> None:
    last = RawFact(about="supply", what="voltage", value=12.1, unit="V")
    reading = read("sorry, I meant at the battery", Heard(recent=(last,)), words)
    assert [(f.about, f.value) for f in reading.facts] == [("battery", 12.1)]
    assert reading.withdraw == ("supply",) and reading.corrects
    assert not read("12.4 at the studs", Heard(recent=(last,)), words).corrects


def test_a_bridge_to_control_minus_is_a_fact_even_for_a_moment(words: Words) -> None:
    said = "I touched control plus to control minus for a moment"
    assert facts(said, words) == [("bridge", "fitted", "control_positive_to_negative")]


# ------------------------------------------------------------------ any text
@quick
@given(st.text(max_size=300))
def test_any_text_is_read_without_an_error(words: Words, text: str) -> None:
    reading = read(text, Heard(asked="supply_voltage_at_rest"), words)
    assert isinstance(reading, Reading)
    assert all(f.words in text for f in reading.facts)


VOCABULARY = (
    "port starboard not no never neither nor only both the other fuse isolator panel coil studs on off in out to from "
    "12.4 9 300 V mV A under load at rest when he pushes it clicks runs blown hot loose , . : ? and or but then if "
    "drops falls sorry same also jumper control plus minus signal motor negative unplugged bridged 28 ohm"
)
PIECES = st.sampled_from(VOCABULARY.split())


@settings(max_examples=400, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(PIECES, max_size=25), st.sampled_from([None, "command_bridge", "coil_resistance", "fuse_check"]))
def test_words_of_the_lists_in_any_order_are_read_without_an_error(words: Words, said: list[str], asked: Any) -> None:
    text = " ".join(said)
    reading = read(text, Heard(asked=asked), words)
    assert all(f.words in text and f.words for f in reading.facts)
    assert read(text, Heard(asked=asked), words) == reading


@pytest.mark.parametrize("asked", [None, "command_bridge", "fuse_check", "isolator_check"])
@pytest.mark.parametrize(
    "said", ["runs or runs, sorry", "runs nor runs sorry", "on or off, i mean on", "clicks or clicks no sorry"]
)
def test_a_correction_behind_what_neither_counts_of_is_read_without_an_error(
    words: Words, said: str, asked: str | None
) -> None:
    assert all(f.words in said for f in read(said, Heard(asked=asked), words).facts)


@quick
@given(st.text(alphabet="qxzvkjw #%&", max_size=200))
def test_noise_gives_no_fact(words: Words, text: str) -> None:
    assert not read(text, Heard(), words).facts


def calls_for(text: str, words: Words) -> int:
    """How many functions are called to read a text: what time it takes, the same on any machine."""
    profile = cProfile.Profile()
    profile.runcall(read, text, Heard(), words)
    return sum(int(entry.callcount) for entry in profile.getstats())


@pytest.mark.parametrize(
    "piece", ["-", "x", "sorry, ", "no wait ", "not ", "12, ", "the panel is dark, 12.4 at the studs and "]
)
def test_four_times_the_text_takes_about_four_times_the_work(words: Words, piece: str) -> None:
    short, long = (calls_for(piece * (size // len(piece)), words) for size in (1_000, 4_000))
    assert long < 6 * short


def test_the_longest_text_is_read(words: Words) -> None:
    read("the panel is dark, 12.4 at the studs and " * 600, Heard(), words)
    read("x" * 20_000, Heard(), words)
    read("-" * 20_000, Heard(), words)
    read("not " * 5_000, Heard(), words)


# ------------------------------------------------------------------ one change, one difference
PARTS = ["fuse", "battery clamp", "isolator", "contactor", "positive cable", "control unit", "propeller"]
STATES = ["hot", "loose", "damaged", "corroded"]


@quick
@given(st.sampled_from(PARTS), st.sampled_from(STATES))
def test_not_turns_the_value_and_nothing_else(words: Words, part: str, state: str) -> None:
    plain = facts(f"the {part} is {state}", words)
    denied = facts(f"the {part} is not {state}", words)
    assert [(a, w, not v) for a, w, v in plain] == denied
    assert facts(f"is the {part} {state}?", words) == []


SIDED = [
    "it only runs to {0}", "{0} coil 28 ohms", "it clicks when he presses {0}", "12.2 at the {0} coil",
    "nothing happens when I press {0}", "{0} signal 12.1 V", "jumper from control plus to the {0} signal is in",
    "with the {0} coil fed directly it runs", "{0} coil does not click",
]  # fmt: skip


@quick
@given(st.sampled_from(SIDED))
def test_swapping_the_side_swaps_the_side(words: Words, said: str) -> None:
    port, starboard = facts(said.format("port"), words), facts(said.format("starboard"), words)
    assert port and starboard

    def swap(item: Any) -> Any:
        return item.replace("port", "starboard") if isinstance(item, str) and "starboard" not in item else item

    assert [tuple(swap(i) if i != "supply" else i for i in f) for f in port] == starboard


@quick
@given(st.integers(0, 300).map(lambda n: n / 10), st.sampled_from(["battery", "studs", "panel lead"]))
def test_another_figure_changes_the_figure_only(words: Words, volts: float, place: str) -> None:
    (one,) = facts(f"{volts} V at the {place}", words)
    (other,) = facts(f"{volts * 1000:.0f} mV at the {place}", words)
    assert one[2] == other[2] == pytest.approx(volts, rel=0.005)
    assert one[:2] == other[:2]


POLITE = ["please note: ", "hello, ", "thanks! ", "ok, ", "well, ", "right, "]
POLITE += ["ok so ", "right so ", "Good morning. ", "caller says ", "he says "]


@quick
@given(st.sampled_from(POLITE), st.sampled_from([s.format("port") for s in SIDED]))
def test_politeness_changes_nothing(words: Words, polite: str, said: str) -> None:
    assert facts(polite + said, words) == facts(said, words) == facts(said + ", thank you", words)
    assert facts(said + " cheers mate", words) == facts(said, words)


@quick
@given(st.sampled_from([s.format("port") for s in SIDED]), st.integers(0, 60))
def test_a_typing_error_in_a_long_word_changes_nothing(words: Words, said: str, at: int) -> None:
    long = [w for w in said.split() if len(w) > 6 and w not in ("starboard", "nothing")]
    if not long:
        return
    word = long[at % len(long)]
    place = 2 + at % (len(word) - 4)
    swapped = word[:place] + word[place + 1] + word[place] + word[place + 2 :]
    assert facts(said.replace(word, swapped), words) == facts(said, words)


TOLD = ["fuse is blown", "isolator is on", "12.4 at the studs", "panel is dark", "battery clamp is loose"]


@quick
@given(st.permutations(TOLD))
def test_the_order_of_statements_does_not_matter(words: Words, told: list[str]) -> None:
    assert sorted(facts(". ".join(told), words), key=str) == sorted(facts(". ".join(TOLD), words), key=str)


@quick
@given(st.sampled_from(TOLD + SIDED))
def test_the_same_text_gives_the_same_reading(words: Words, said: str) -> None:
    assert read(said, Heard(), words) == read(said, Heard(), words)


def test_a_dangerous_bridge_is_spoken_of_before_it_is_fitted(words: Words) -> None:
    assert facts("I'm going to bridge control plus to control minus", words) == [
        ("bridge", "intended", "control_positive_to_negative")
    ]
    reading = read("can I link control plus to control minus?", Heard(), words)
    assert not reading.facts and reading.unclear[0].hazard == "control_supply_bridged"


def test_a_side_before_a_colon_is_a_label(words: Words) -> None:
    assert facts("port: nothing. starboard: runs.", words, "command_bridge") == [
        ("thruster", "runs", "starboard_only", "command_bridged_port", "command_bridged_starboard")
    ]


def test_the_lists_of_a_missing_language_are_named() -> None:
    with pytest.raises(KnowledgeError, match="xx"):
        load_words("xx")


@pytest.mark.parametrize("asked", ["try_other_station", "motor_temperature", "panel_wake_up", None])
@pytest.mark.parametrize("said", ["no, 11.2 I meant", "no, 11.2 i meant", "no sorry, 11.2 I meant"])
def test_a_corrected_figure_never_answers_what_was_asked_since(said: str, asked: str | None, words: Words) -> None:
    last = RawFact(about="supply", what="voltage", value=12.4, unit="V", while_=("at_rest",))
    reading = read(said, Heard(asked=asked, recent=(last,)), words)
    assert [(f.about, f.what, f.value) for f in reading.facts] == [("supply", "voltage", 11.2)]
    assert reading.corrects


def test_a_bare_no_and_a_bare_figure_still_answer_what_was_asked(words: Words) -> None:
    last = RawFact(about="supply", what="voltage", value=12.4, unit="V", while_=("at_rest",))
    heard = Heard(asked="motor_temperature", recent=(last,))
    assert [(f.about, f.what, f.value) for f in read("31", heard, words).facts] == [("motor", "temperature", 31)]
    heard = Heard(asked="try_other_station", recent=(last,))
    assert [(f.about, f.what, f.value) for f in read("no", heard, words).facts] == [("panel_2", "runs", "none")]


@pytest.mark.parametrize(
    ("told", "said", "now"),
    [
        ("battery 12.6 at rest", "no sorry, 12.1", [("battery", "voltage", 12.1, ("at_rest",))]),
        ("studs 9.8 under load", "no, 10.8", [("supply", "voltage", 10.8, ("under_load",))]),
        ("it stops after 10 seconds", "no, 15 seconds", [("thruster", "stops_after", 15, ())]),
        ("dead to starboard, port runs", "no, it only runs to starboard", [("thruster", "runs", "starboard_only", ())]),
        (
            "port is fine, starboard dead",
            "no sorry, port is dead, starboard ok",
            [("thruster", "runs", "starboard_only", ())],
        ),
        ("port is fine, starboard dead", "other way round", [("thruster", "runs", "starboard_only", ())]),
        (
            "port coil 12.3, starboard coil 0.4",
            "sorry, got the sides mixed up",
            [("starboard_coil", "voltage", 12.3, ()), ("port_coil", "voltage", 0.4, ())],
        ),
        ("the fuse is blown", "no it isn't", [("main_fuse", "blown", False, ())]),
        ("the fuse is blown", "no, sorry, it's whole", [("main_fuse", "blown", False, ())]),
        ("the isolator is off", "no, on", [("isolator", "position", "on", ())]),
        ("battery 12.6", "no, it was the studs", [("supply", "voltage", 12.6, ())]),
    ],
)
def test_the_next_line_puts_the_last_one_right(told: str, said: str, now: list[object], words: Words) -> None:
    reading = read(said, Heard(recent=read(told, Heard(), words).facts), words)
    assert [(f.about, f.what, f.value, f.while_) for f in reading.facts] == now
    assert reading.corrects


@pytest.mark.parametrize(
    ("told", "said"),
    [
        ("battery 12.6 at rest", "no, 12.1 under load"),
        ("battery 12.6 at rest", "sorry, 40 amps"),
        ("no click", "no, nothing"),
        ("port coil 12.3", "no"),
        ("port is fine, starboard dead", "the plug goes in the other way round"),
    ],
)
def test_what_goes_on_takes_nothing_back(told: str, said: str, words: Words) -> None:
    before = read(told, Heard(), words).facts
    reading = read(said, Heard(recent=before), words)
    kept, now = ({(f.about, f.what, f.while_) for f in told} for told in (before, reading.facts))
    assert not reading.withdraw and not (reading.corrects and kept & now)


@pytest.mark.parametrize("asked", ["battery_voltage_at_rest", "thruster_sound"])
def test_any_test_can_be_declined_in_words(asked: str, words: Words) -> None:
    assert read("can't reach it", Heard(asked=asked), words).cannot == "can't reach it"
    assert read("can't reach it", Heard(), words).cannot is None


@pytest.mark.parametrize("said", ["scrap that 12.1 on the studs", "scratch that 12.1 I gave you for the studs"])
def test_a_figure_is_taken_back_with_the_part_it_was_told_of(said: str, words: Words) -> None:
    reading = read(said, Heard(), words)
    assert reading.facts == () and reading.withdraw == ("supply",)
    again = read(f"{said}, it's 11.9", Heard(), words)
    assert [(f.about, f.value) for f in again.facts] == [("supply", 11.9)]


def test_a_figure_without_a_part_takes_the_last_line_back(words: Words) -> None:
    reading = read("scrap that 12.1", Heard(), words)
    assert reading.facts == () and reading.undo
