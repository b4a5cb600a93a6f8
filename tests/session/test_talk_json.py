"""`springline talk` as another program meets it: one process, lines in, lines out."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from session.talking import AT, f
from session.test_protocol_line import OUT_KEYS

ROOT = Path(__file__).resolve().parents[2]
COMMAND = [sys.executable, "-m", "assistant", "talk"]


def talk(
    data: bytes, *options: str, seed: str = "0", timeout: float = 120, **env: str
) -> subprocess.CompletedProcess[bytes]:
    setting = {**os.environ, "PYTHONHASHSEED": seed, **env}
    return subprocess.run(
        [*COMMAND, *options], input=data, capture_output=True, cwd=ROOT, timeout=timeout, env=setting, check=False
    )


def lines(*objects: Any) -> bytes:
    return b"".join(json.dumps(o, ensure_ascii=False).encode() + b"\n" for o in objects)


CASE = [
    {"facts": [f("panel.lights", False), f("thruster.runs", "none")], "at": AT},
    {"say": "12.6 V at the thruster studs, nothing running", "at": AT},
    {"facts": [f("boat.fuel", "petrol"), f("supply.voltage", 900)], "at": "2026-05-01T10:05:00+02:00"},
    {"answer": {"test": "panel_wake_up", "facts": [f("panel.lights", False), f("thruster.runs", "none")]}, "at": AT},
    {"ask": {"why": "panel.dead"}, "by": "auditor", "at": AT},
    {"facts": [f("panel.plugged", False), f("panel_lead.voltage", 12.6, unit="V")], "at": AT},
    {"facts": [f("thruster.runs", "both", "command_bridged_port", "command_bridged_starboard")], "at": AT},
    {"take_back": ["f1"], "at": AT},
    {"ask": {"report": "markdown"}, "at": AT},
]


@pytest.mark.parametrize("options", [("--json",), ("--json", "--role", "owner")], ids=["technician", "owner"])
def test_one_object_out_for_each_line_in(options: tuple[str, ...]) -> None:
    done = talk(lines(*CASE), *options)
    assert done.returncode == 0
    out = [json.loads(line) for line in done.stdout.decode("utf-8").splitlines()]
    assert [o["turn"] for o in out] == list(range(1, len(CASE) + 1))
    assert all(set(o) == set(OUT_KEYS) for o in out)
    assert done.stdout.endswith(b"\n")


def test_the_same_bytes_whatever_the_hash_seed_and_the_locale() -> None:
    outs = {
        talk(lines(*CASE), "--json", seed="0").stdout,
        talk(lines(*CASE), "--json", seed="1", LC_ALL="C", PYTHONUTF8="0").stdout,
        talk(lines(*CASE), "--json", seed="2", TZ="Asia/Tokyo").stdout,
    }
    assert len(outs) == 1


def test_bad_lines_get_an_error_and_move_nothing() -> None:
    bad = [
        b"\xff\xfe not text\n",
        b"{\n",
        b"[]\n",
        b"null\n",
        b"NaN\n",
        b'{"say": NaN}\n',
        b'{"colour": 1}\n',
        b'{"say": 5}\n',
        b'"x"\n',
        b'{"take_back": ["f99"]}\n',
        b"[" * 5000 + b"\n",
        b"{}\n",
        b'{"say": "x"} {"say": "y"}\n',
    ]
    good = lines(*CASE).splitlines(keepends=True)
    mixed = b"".join(b"".join((bad[i % len(bad)], bad[(i + 5) % len(bad)], g)) for i, g in enumerate(good)) + b"".join(
        bad
    )
    clean, dirty = talk(b"".join(good), "--json"), talk(mixed, "--json")
    assert dirty.returncode == 0
    answers = dirty.stdout.splitlines(keepends=True)
    errors = [a for a in answers if set(json.loads(a)) == {"error"}]
    assert len(errors) == 2 * len(good) + len(bad)
    assert all(set(json.loads(e)["error"]) == {"code", "text"} for e in errors)
    assert b"".join(a for a in answers if set(json.loads(a)) != {"error"}) == clean.stdout
    assert b"Traceback" not in dirty.stderr


def test_numbers_beyond_all_bounds_are_refused_or_an_error() -> None:
    data = b'{"facts": [{"about": "supply", "what": "voltage", "value": 1e999}]}\n' + lines(
        {"facts": [f("panel.lights", True)], "at": AT}
    )
    done = talk(data, "--json")
    assert done.returncode == 0 and b"Traceback" not in done.stderr
    first, second = (json.loads(x) for x in done.stdout.splitlines())
    assert "error" in first or first["refused"]
    assert second["understood"][0]["id"] == "f1"


def test_nothing_but_json_on_standard_output_and_status_0_at_the_end_of_input() -> None:
    for data in (b"", b"\n\n", lines({"ask": {"help": True}})):
        done = talk(data, "--json")
        assert done.returncode == 0
        for line in done.stdout.splitlines():
            json.loads(line)


def test_a_last_line_without_its_end_is_taken() -> None:
    done = talk(lines({"facts": [f("panel.lights", True)], "at": AT})[:-1], "--json")
    assert json.loads(done.stdout)["turn"] == 1


def test_text_is_utf_8_on_every_line_and_no_line_is_broken_in_two() -> None:
    said = "Ω – “das Ruder” 推進器 \u2028 \x85 \x0b end"
    done = talk(lines({"say": said, "at": AT}), "--json", LC_ALL="C")
    text = done.stdout.decode("utf-8")
    assert text.count("\n") == 1
    assert json.loads(text)["turn"] == 1


def test_every_line_is_answered_before_the_next_is_sent() -> None:
    with subprocess.Popen([*COMMAND, "--json"], cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as process:
        assert process.stdin and process.stdout
        for number, line in enumerate(CASE[:3], 1):
            process.stdin.write(lines(line))
            process.stdin.flush()
            assert json.loads(process.stdout.readline())["turn"] == number
        process.stdin.close()
        assert process.wait(30) == 0


def test_the_record_is_there_before_the_reply(tmp_path: Path) -> None:
    journal = tmp_path / "case.jsonl"
    with subprocess.Popen(
        [*COMMAND, "--json", "--journal", str(journal)], cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE
    ) as process:
        assert process.stdin and process.stdout
        process.stdin.write(lines(CASE[0]))
        process.stdin.flush()
        head = json.loads(process.stdout.readline())["head"]
        assert head in journal.read_text(encoding="utf-8")
        process.kill()


def test_plain_talk_has_no_box_and_no_colour() -> None:
    done = talk(b"the panel stays dark\nsupply 12.6 V at the studs at rest\nwhy panel\nnonsense xyzzy\n")
    text = done.stdout.decode("utf-8")
    assert done.returncode == 0 and "\x1b" not in text
    assert not any(0x2500 <= ord(c) <= 0x259F for c in text)
    assert b"Traceback" not in done.stderr


def test_the_same_lines_give_the_same_bytes_into_any_journal(tmp_path: Path) -> None:
    outs = [
        talk(data, "--json", "--journal", str(tmp_path / f"{i}.jsonl")).stdout
        for i, data in enumerate((lines(*CASE), lines(*CASE), lines({"x": 1}, *CASE, [], None)))
    ]
    turns = b"".join(x for x in outs[2].splitlines(keepends=True) if not x.startswith(b'{"error"'))
    assert outs[0] == outs[1] == turns
    kept = [(tmp_path / f"{i}.jsonl").read_bytes() for i in range(3)]
    assert kept[0] == kept[1] == kept[2]
