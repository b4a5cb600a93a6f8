"""The main screens as they were last looked at, in three sizes and four colourings, under the most severe banner.

A picture that changed is no fault by itself: look at it, and when it is right keep it with
`SPRINGLINE_KEEP_PICTURES=1 pytest tests/terminal/test_screen_pictures.py`. The pictures are SVG, packed (any browser
opens `.svgz`). Another release of the screen library may draw the same words otherwise; then the words alone count.
"""

from __future__ import annotations

import gzip
import html
import os
from importlib.metadata import version
from pathlib import Path
from xml.etree import ElementTree

import pytest

from assistant.pictures import plain_svg

from .conftest import Held, Stage
from .stage import BRIDGE, MAY_START, OPENING, SAID, STOP, UNCONFIRMED_HOT

FOLDER = Path(__file__).parent / "pictures"
DRAWN_WITH = FOLDER / "drawn_with.txt"
KEEP = os.environ.get("SPRINGLINE_KEEP_PICTURES") == "1"
SIZES = ((80, 24), (120, 40), (200, 60))
THEMES = ("night", "day", "grey", "contrast")
SCREENS = {
    "talk": ("escape",),
    "suspects": ("f3",),
    "test": ("f4",),
    "known": ("f5",),
    "to_do": ("f6",),
    "safety": ("f2",),
    "palette": ("escape", "escape", "ctrl+p"),
}
"""The screens, each with the keys that lead there from the one before."""


def words(svg: str) -> str:
    return " ".join(html.unescape("".join(ElementTree.fromstring(svg).itertext())).replace("\xa0", " ").split())


async def drawn(held: Held, name: str) -> str:
    await held.settle()
    return plain_svg(held.app.export_screenshot(title="Springline"), name)


def check(name: str, svg: str) -> str:
    """Return what is wrong with a picture; nothing when it is as it was."""
    path = FOLDER / f"{name}.svgz"
    if KEEP:
        FOLDER.mkdir(exist_ok=True)
        path.write_bytes(gzip.compress(svg.encode(), mtime=0))
        DRAWN_WITH.write_text(version("textual") + "\n")
        return ""
    kept = gzip.decompress(path.read_bytes()).decode()
    if words(kept) != words(svg):
        return f"{name}: other words"
    same_library = DRAWN_WITH.read_text().strip() == version("textual")
    return f"{name}: the same words, drawn otherwise" if same_library and kept != svg else ""


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
async def test_the_main_screens_are_as_they_were_looked_at(stage: Stage, size: tuple[int, int], theme: str) -> None:
    severe = {**OPENING, "hazards": [MAY_START, BRIDGE, UNCONFIRMED_HOT]}
    wrong = []
    async with stage(severe, STOP, size=size, theme=theme) as held:
        await held.say(SAID)
        for screen, keys in SCREENS.items():
            await held.press(*keys)
            name = f"{screen}_{size[0]}x{size[1]}_{theme}"
            svg = await drawn(held, name)
            assert "DANGER" in words(svg), name
            wrong.append(check(name, svg))
        await held.press("escape")
        await held.say("it is running by itself")
        name = f"stop_{size[0]}x{size[1]}_{theme}"
        svg = await drawn(held, name)
        assert "STOP" in words(svg)
        wrong.append(check(name, svg))
    assert not [text for text in wrong if text]


def test_no_picture_is_left_over() -> None:
    wanted = {f"{s}_{w}x{h}_{t}.svgz" for s in (*SCREENS, "stop") for w, h in SIZES for t in THEMES}
    assert {path.name for path in FOLDER.glob("*.svgz")} == wanted
