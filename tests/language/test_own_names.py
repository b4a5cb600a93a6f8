"""A person's own words for parts: given in many ways, used like the trade's, never at the cost of what words mean."""

from __future__ import annotations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from assistant.language import Heard, Reading, Words, load_words, read

GREEN = ("green", "port_signal")
K1 = ("K1", "port_coil")
UPSTAIRS = ("upstairs", "panel_2")


def heard(text: str, words: Words, *names: tuple[str, str], asked: str | None = None) -> Reading:
    return read(text, Heard(names=names, asked=asked), words)


def facts(reading: Reading) -> list[tuple[object, ...]]:
    return [(f.about, f.what, f.value, f.while_) for f in reading.facts]


@pytest.mark.parametrize(
    ("text", "about", "name"),
    [
        ("the port signal wire is the green one here", "port_signal", "green"),
        ("we call the flybridge panel 'upstairs'", "panel_2", "upstairs"),
        ("port coil is marked K1 on our diagram", "port_coil", "K1"),
        ("blue wire = starboard signal", "starboard_signal", "blue"),
        ("by the way, our name for the sense lead is Bob", "sense_lead", "Bob"),
        ("by green/yellow i mean the port signal", "port_signal", "green/yellow"),
        ("starboard coil is K2", "starboard_coil", "K2"),
        ("the starboard coil has the label “W 12”", "starboard_coil", "W 12"),
        ("the red one is the port signal", "port_signal", "red"),
        ("note: panel 3 is called crow's nest", "panel_3", "crow's nest"),
    ],
)
def test_a_name_is_given_and_is_no_fact(text: str, about: str, name: str, words: Words) -> None:
    reading = heard(text, words)
    assert [(n.about, n.name, n.refused) for n in reading.named] == [(about, name, None)]
    assert not reading.facts and not reading.unclear


@pytest.mark.parametrize(
    ("text", "trade", "name"),
    [
        ("12.3 on the green", "12.3 on the port signal", GREEN),
        ("green wire 12.3 V when port is asked", "port signal 12.3 V when port is asked", GREEN),
        ("no volts on the green one", "no volts on the port signal", GREEN),
        ("no click from K1", "no click from the port coil", K1),
        ("12.1 V at k1 when I ask for port", "12.1 V at the port coil when I ask for port", K1),
        ("upstairs is dark", "panel 2 is dark", UPSTAIRS),
        ("panel upstairs works", "panel 2 works", UPSTAIRS),
    ],
)
def test_a_name_is_read_as_its_part(text: str, trade: str, name: tuple[str, str], words: Words) -> None:
    told = facts(heard(trade, words))
    assert told and facts(heard(text, words, name)) == told


@pytest.mark.parametrize(
    "text",
    [
        "panel shows a green light", "the green light is on",
        "pins are green and crusty", "12.4 V on the red cable at rest",
        "green stuff on the clamp", "the fuse is marked 300 A", "he calls the panel dead", "panel is black",
        "gear oil is white", "coil is K12x3", "a 1 volt drop over the plus cable under load", "red light blinks",
        "Vbatt=12.6 Vstud=9.1 under load", "the isolator is marked off", "the port coil is the bad one",
    ],
)  # fmt: skip
def test_ordinary_words_keep_their_meaning(text: str, words: Words) -> None:
    named = heard(text, words, GREEN, K1, ("red", "starboard_signal"), ("A1", "starboard_coil"))
    plain = heard(text, words)
    assert named == plain and not plain.named


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("we call the port signal wire starboard", "means_side"),
        ("we call the port wire 'starboard'", "means_side"),
        ("the port coil is called 'motor'", "means_part"),
        ("we call the sense lead 'not'", "ordinary"),
        ("we call the sense lead 'unplugged'", "ordinary"),
        ("we call the sense lead '12'", "ordinary"),
        ("we call the sense lead 'the'", "ordinary"),
        (f"we call the sense lead '{'x' * 60}'", "too_long"),
        ("we call the sense lead 'a\x07b'", "unreadable"),
    ],
)
def test_a_name_that_would_change_meaning_is_refused(text: str, why: str, words: Words) -> None:
    reading = heard(text, words)
    assert [n.refused for n in reading.named] == [why] and not reading.facts


def test_two_parts_never_have_the_same_name(words: Words) -> None:
    later = heard("the starboard coil is marked k1", words, K1)
    assert [(n.refused, n.other) for n in later.named] == [("taken", "port_coil")]
    at_once = heard("port coil is K5, starboard coil is K5", words)
    assert [n.refused for n in at_once.named] == [None, "taken"]


def test_what_cannot_be_told_is_asked_back(words: Words) -> None:
    assert [u.question for u in heard("we call the signal wire 'bob'", words).unclear] == [
        words.questions["own_name_side"]
    ]
    assert [u.question for u in heard("we call the port wire 'bob'", words).unclear] == [
        words.questions["own_name_part"]
    ]


@pytest.mark.parametrize(
    "text",
    ["forget the name K1", "we don't call it K1 any more", "K1 is not the port coil", "the port coil is not K1",
     "forget the name of the port coil", "forget what we called the port coil"],
)  # fmt: skip
def test_a_name_is_taken_back(text: str, words: Words) -> None:
    reading = heard(text, words, GREEN, K1)
    assert reading.unnamed == ("port_coil",) and not reading.facts and not reading.named


def test_another_language_has_sentences_of_its_own() -> None:
    german = load_words("de")
    reading = read("das Signal Backbord ist die grüne Ader, die Spule Backbord heißt K1", Heard(), german)
    assert [(n.about, n.name) for n in reading.named] == [("port_signal", "grüne"), ("port_coil", "K1")]
    used = read("K1 klickt nicht", Heard(names=(("K1", "port_coil"),)), german)
    assert facts(used) == facts(read("Spule Backbord klickt nicht", Heard(), german)) != []


def test_a_name_holds_for_the_rest_of_its_line(words: Words) -> None:
    reading = heard("the port signal is the red one, 11.9 on the red one", words)
    assert facts(reading) == facts(heard("11.9 on the port signal", words)) != []


_NAMES = st.text(alphabet=st.characters(codec="utf-8", exclude_characters="\"'\n"), min_size=1, max_size=50)


@settings(max_examples=300, deadline=None)
@given(_NAMES)
@example("[bold]x[/bold]")
@example("\x1b[31mred")
@example("{name}")
@example("LIGHT")
def test_any_text_as_a_name(words: Words, name: str) -> None:
    reading = heard(f'we call the sense lead "{name}"', words)
    assert not reading.facts
    for naming in reading.named:
        if naming.refused is None:
            assert naming.name.isprintable() and 0 < len(naming.name) <= 40
            trade = facts(heard("the sense lead is damaged", words))
            used = heard(f"damaged: {naming.name}", words, (naming.name, "sense_lead"))
            assert {f[:3] for f in facts(used)} <= {f[:3] for f in trade}


_LABELS = st.from_regex(r"[B-Z]{1,2}[0-9]{1,2}", fullmatch=True)


@settings(max_examples=60, deadline=None)
@given(
    st.permutations(["port coil", "starboard coil", "port signal"]),
    st.lists(_LABELS, min_size=3, max_size=3, unique=True),
)
def test_the_order_of_naming_does_not_matter(words: Words, order: list[str], labels: list[str]) -> None:
    given_names = dict(zip(["port coil", "starboard coil", "port signal"], labels, strict=True))
    line = ", ".join(f"the {part} is marked {given_names[part]}" for part in order)
    other = ". ".join(f"the {part} is marked {given_names[part]}" for part in reversed(order))
    first, second = heard(line, words), heard(other, words)
    assert {(n.about, n.name, n.refused) for n in first.named} == {(n.about, n.name, n.refused) for n in second.named}


@settings(max_examples=200, deadline=None)
@given(st.text(max_size=300), _NAMES)
def test_noise_with_a_name_is_no_danger(words: Words, text: str, name: str) -> None:
    names = ((" ".join(name.split()) or "x", "port_coil"), GREEN)
    reading = heard(text, words, *names)
    assert all(f.about for f in reading.facts)


def test_what_only_begins_like_naming_says_nothing(words: Words) -> None:
    for piece in ('"a ', "we call ", "a is b is called ", "'"):
        assert heard(piece * (20_000 // len(piece)), words, GREEN).facts == ()
