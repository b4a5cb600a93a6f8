"""Pictures of the main screens, drawn from the demo cases: `python -m assistant.pictures`.

Each picture is an SVG file that needs nothing from outside: it names only fonts of the viewer's own.
"""

from __future__ import annotations

import asyncio
import re
import sys
import tempfile
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from assistant.demos import FOLDER, Typed
from assistant.doors import chosen_demo
from assistant.errors import SpringlineError
from assistant.knowledge import load
from assistant.session import Session
from assistant.terminal.app import SpringlineApp
from assistant.terminal.first_screen import Opened
from assistant.terminal.settings import Settings

_SIZES = ((80, 24), (120, 40))
_FONT_FACES = re.compile(r"@font-face\s*{[^}]*}\s*")
_FONTS = "Menlo, Consolas, 'DejaVu Sans Mono', monospace"
_FAMILY = re.compile(r"font-family:\s*[^;]*;")
_FRAME_DOTS = re.compile(r'<g transform="translate\(26,22\)">.*?</g>\s*', re.S)
_REMARKS = re.compile(r"<!--.*?-->\s*", re.S)
_UNIQUE = re.compile(r"terminal-\d+")


@dataclass(frozen=True)
class Shot:
    """One picture: a demo after some of its lines, some keys, and the colours."""

    name: str
    demo: str
    lines: int
    keys: Sequence[str] = ()
    theme: str = "night"


SHOTS = (
    Shot("talk", "1_dead_panel", 8),
    Shot("suspects", "1_dead_panel", 7, ("f3",)),
    Shot("test", "2_one_direction_only", 4, ("f4",)),
    Shot("path", "4_weak_under_load", 8, ("f10",), "day"),
    Shot("stop", "3_runs_by_itself", 1),
    Shot("safety", "1_dead_panel", 12, ("f2",)),
    Shot("palette", "1_dead_panel", 7, ("ctrl+p",), "contrast"),
)


def plain_svg(svg: str, name: str) -> str:
    """Return the picture without anything from outside, the same at every drawing.

    Args:
        svg: as the screen library exports it.
        name: takes the place of a number in the names of its styles.
    """
    svg = _FRAME_DOTS.sub("", _REMARKS.sub("", _FONT_FACES.sub("", svg)))
    return _UNIQUE.sub(f"terminal-{name}", _FAMILY.sub(f"font-family: {_FONTS};", svg))


async def _drawn(shot: Shot, typed: Typed, size: tuple[int, int], nowhere: Path) -> str:
    session = Session(load(typed.language), typed.role)
    for line in typed.lines[: shot.lines]:
        session.take(line)
    opened = Opened(session, typed.title)
    settings = Settings(theme=shot.theme)
    app = SpringlineApp(opened, settings=settings, settings_file=nowhere, clock=lambda: "09:00")
    app.animation_level = "none"
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        for key in shot.keys:
            await pilot.press(key)
        await app.workers.wait_for_complete()
        await pilot.pause()
        return plain_svg(app.export_screenshot(title="Springline"), f"{shot.name}-{size[0]}")


def draw(folder: Path, shots: Iterable[Shot] = SHOTS) -> list[Path]:
    """Draw the pictures into a folder, and return them.

    Raises:
        SpringlineError: a demo is missing.
    """
    folder.mkdir(parents=True, exist_ok=True)
    made = []
    with tempfile.TemporaryDirectory() as nowhere:
        for shot in shots:
            typed = chosen_demo(shot.demo)
            for size in _SIZES:
                svg = asyncio.run(_drawn(shot, typed, size, Path(nowhere) / "settings.json"))
                path = folder / f"{shot.name}_{size[0]}x{size[1]}.svg"
                path.write_text(svg, encoding="utf-8")
                made.append(path)
    return made


def main() -> int:
    """Draw all pictures beside the demos."""
    try:
        for path in draw(FOLDER / "pictures"):
            print(path.name)
    except (SpringlineError, OSError) as error:
        print(f"pictures: {error}", file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
