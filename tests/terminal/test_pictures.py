"""The pictures of the screens: drawn from the demos, alike at every drawing, without outside links."""

from __future__ import annotations

import html
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest

from assistant.errors import JournalError
from assistant.pictures import SHOTS, Shot, draw

STOPPED = next(shot for shot in SHOTS if shot.name == "stop")


def words(path: Path) -> str:
    text = "".join(ElementTree.parse(path).getroot().itertext())
    return " ".join(html.unescape(text).replace("\xa0", " ").split())


def test_a_picture_shows_the_screen_and_links_nothing(tmp_path: Path) -> None:
    small, large = draw(tmp_path, [STOPPED])
    assert [small.name, large.name] == ["stop_80x24.svg", "stop_120x40.svg"]
    for path in (small, large):
        assert "STOP" in words(path) and "DANGER" in words(path)
        svg = path.read_text()
        assert set(re.findall(r"https?://[^\"'\s)]+", svg)) == {"http://www.w3.org/2000/svg"}
        assert "@font-face" not in svg and "url(http" not in svg


def test_a_second_drawing_is_the_same_byte_for_byte(tmp_path: Path) -> None:
    first = [path.read_bytes() for path in draw(tmp_path / "a", [STOPPED])]
    assert [path.read_bytes() for path in draw(tmp_path / "b", [STOPPED])] == first


def test_a_demo_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(JournalError, match="no demo 'nowhere'"):
        draw(tmp_path, [Shot("x", "nowhere", 1)])
