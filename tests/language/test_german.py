"""Lines in German, written before the words that they need."""

from __future__ import annotations

import pytest

from assistant.language import Heard, Words, load_words, read

from .corpus import HERE, core_score, lines_of, taken_wrongly

LINES = lines_of(HERE / "german_utterances.jsonl")


@pytest.fixture(scope="module")
def german() -> Words:
    return load_words("de")


def values(text: str, words: Words) -> set[tuple[str, str, object]]:
    return {(f.about, f.what, f.value) for f in read(text, Heard(), words).facts}


def test_the_lines_are_read_nearly_all(german: Words) -> None:
    known = {fact["what"] for line in LINES for fact in line["facts"]}
    score, wrong = core_score(LINES, german, known)
    assert len(LINES) >= 60
    assert score >= 0.97 and len(wrong) <= 3, wrong


def test_nothing_is_turned_round(german: Words) -> None:
    assert {line["id"]: found for line in LINES if (found := taken_wrongly(line, german))} == {}


def test_swapping_the_sides_swaps_the_facts(german: Words) -> None:
    swap = {"backbord": "steuerbord", "Backbord": "Steuerbord"}
    swap |= {new: old for old, new in swap.items()}
    turned = 0
    for line in LINES:
        text = line["say"]
        other = " ".join(_swapped(word, swap) for word in text.split(" "))
        if other == text:
            continue
        turned += 1
        assert values(other, german) == {_turned(f) for f in values(text, german)}, text
    assert turned >= 10


def _swapped(word: str, swap: dict[str, str]) -> str:
    found = next((old for old in swap if word.startswith(old)), None)
    return word if found is None else swap[found] + word[len(found) :]


def _turned(fact: tuple[str, str, object]) -> tuple[str, str, object]:
    about, what, value = fact
    turn = {"port": "starboard", "starboard": "port"}

    def turned(text: str) -> str:
        return "_".join(turn.get(part, part) for part in text.split("_"))

    return turned(about), what, turned(value) if isinstance(value, str) else value


@pytest.mark.parametrize(
    ("said", "denied"),
    [
        ("es klickt", "es klickt nicht"),
        ("die Sicherung ist durchgebrannt", "die Sicherung ist nicht durchgebrannt"),
        ("der Motor ist heiß", "der Motor ist überhaupt nicht heiß"),
        ("das Bedienteil leuchtet", "das Bedienteil leuchtet leider immer noch nicht"),
        ("die Klemme am Pluskabel ist lose", "die Klemme am Pluskabel ist nicht lose"),
        ("die Messleitung ist angeklemmt", "die Messleitung ist nicht angeklemmt"),
    ],
)
def test_a_negation_before_or_behind_its_verb_turns_the_fact(said: str, denied: str, german: Words) -> None:
    (about, what, value) = next(iter(values(said, german)))
    assert values(denied, german) == {(about, what, not value)}


@pytest.mark.parametrize(
    ("text", "what", "value"),
    [
        ("ich ziehe den Stecker vom Steuergerät ab", "plugged", False),
        ("ich stecke das Bedienteil wieder an", "plugged", True),
        ("ich schalte den Hauptschalter aus", "position", "off"),
        ("ich schalte den Hauptschalter wieder ein", "position", "on"),
    ],
)
def test_a_particle_at_the_end_belongs_to_its_verb(text: str, what: str, value: object, german: Words) -> None:
    assert [(w, v) for _, w, v in values(text, german)] == [(what, value)]


@pytest.mark.parametrize(
    ("text", "value"),
    [("12,4 V", 12.4), ("12.4 V", 12.4), ("zwölf Komma vier Volt", 12.4), ("400 mV", 0.4), ("0,412 V", 0.412)],
)
def test_decimals_are_read_as_they_are_written(text: str, value: float, german: Words) -> None:
    assert ("battery", "voltage", value) in values(f"Batterie {text}", german)


@pytest.mark.parametrize("text", ["Hauptschalter läuft", "heiße Sicherung", "Thermoschalter für Backbord"])
def test_letters_may_be_spelt_out(text: str, german: Words) -> None:
    spelt = text.translate(str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "ß": "ss"}))
    assert values(spelt, german) == values(text, german)


@pytest.mark.parametrize(
    "text",
    [
        "wenn das Bedienteil abgesteckt ist, messe ich",
        "ist der Hauptschalter aus?",
        "ich werde die Brücke später einbauen",
        "soll ich die Sicherung tauschen?",
        "beim Nachbarn war die Sicherung durchgebrannt",
        "früher lief es nach Backbord",
        "keine Ahnung, ob die Sicherung durchgebrannt ist",
        "Hallo, vielen Dank, bis morgen",
    ],
)
def test_what_is_asked_planned_or_past_is_no_fact(text: str, german: Words) -> None:
    assert values(text, german) == set()


def test_answers_to_the_tests_are_read_mostly(german: Words) -> None:
    """Answers by somebody who did not know the word lists, four to each test; looked at since."""
    lines = lines_of(HERE / "german_answers.jsonl")
    known = {fact["what"] for line in lines for fact in line["facts"]}
    score, _ = core_score(lines, german, known)
    assert len(lines) >= 190 and score >= 0.82
    assert len([line["id"] for line in lines if taken_wrongly(line, german)]) <= 4
