"""Notes pasted at once: every line read, in one turn, and nothing taken when the turn is refused; what can be said."""

from __future__ import annotations

import os
import pty
import select
import subprocess
import sys
import time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from session.talking import AT, described, f, session, tell

from assistant.errors import LineError
from assistant.session.line import LONGEST

ROOT = Path(__file__).resolve().parents[2]
NOTES = {
    "panel lights up": ("panel", "lights", True),
    "no click from the contactor": ("contactor", "clicks", False),
    "dead to port, runs to starboard": ("thruster", "runs", "starboard_only"),
    "12.6 V at the battery at rest": ("battery", "voltage", 12.6),
    "12.5 V at the thruster studs at rest": ("supply", "voltage", 12.5),
    "nobody in the water": ("boat", "people_clear", True),
    "24 V boat": ("boat", "nominal_voltage", 24),
    "port signal 12.3 V when port is asked": ("port_signal", "voltage", 12.3),
    "the main fuse is fine": ("main_fuse", "blown", False),
    "motor is cold": ("motor", "hot", False),
}


@settings(max_examples=15, deadline=None)
@given(st.permutations(list(NOTES)))
def test_ten_notes_at_once_are_all_read_in_any_order(order: list[str]) -> None:
    out = session().take({"say": "\n".join(order), "at": AT})
    told = {(x["about"], x["what"], x["value"]) for x in out["understood"]}
    assert {NOTES[line] for line in order} <= told
    assert out["turn"] == 1 and not out["refused"]


def test_a_note_that_cannot_be_is_refused_and_the_others_are_kept() -> None:
    out = session().take({"say": "panel lights up\n900 V at the thruster studs at rest\nmotor is cold", "at": AT})
    assert {x["about"] for x in out["understood"]} == {"panel", "motor"}
    assert len(out["refused"]) == 1


def test_a_paste_that_is_too_long_takes_nothing() -> None:
    s = session()
    with pytest.raises(LineError, match="20000"):
        s.take({"say": "panel lights up\n" * (LONGEST // 10), "at": AT})
    assert s.standing() == [] and s.case.turn == 0


def read_for(fd: int, until: str, seconds: float) -> str:
    """What a terminal shows until a text is there."""
    shown, end = b"", time.monotonic() + seconds
    while until.encode() not in shown and time.monotonic() < end:
        if select.select([fd], [], [], 0.2)[0]:
            shown += os.read(fd, 65536)
    return shown.decode("utf-8", "replace")


def test_a_paste_into_plain_talk_is_one_turn() -> None:
    master, slave = pty.openpty()
    talk = subprocess.Popen(
        [sys.executable, "-m", "assistant", "talk"], cwd=ROOT, stdin=slave, stdout=slave, stderr=slave, close_fds=True
    )
    try:
        read_for(master, "You:", 60)
        os.write(master, "\n".join([*NOTES, ""]).encode())
        shown = read_for(master, "You:", 60)
        assert shown.count("Taken:") == 1, shown
        for words in ("panel lights", "contactor does not click", "battery bank voltage 12.6 V", "motor"):
            assert words in " ".join(shown.split()), shown
        os.write(master, b"quit\n")
        assert talk.wait(30) == 0
    finally:
        talk.kill()
        talk.wait()
        os.close(master)
        os.close(slave)


def test_help_says_what_can_be_said_about_the_thing_just_asked() -> None:
    s = session()
    out = tell(s, *described(), f("panel.lights", True), f("thruster.runs", "none"))
    told = s.take({"say": "what can I say?", "at": AT})["answer"]["help"]
    assert all(a["text"] in told for a in out["next"]["answers"])
    asked = [q.asks for q in s.knowledge.questions_of(out["next"]["test"])]
    assert asked and all(text in told for text in asked)
    assert s.take({"ask": {"help": True}, "at": AT})["answer"]["help"] == told
