"""A screen that always carries the safety banner on top."""

from __future__ import annotations

from collections.abc import Iterable

from textual.app import ComposeResult
from textual.screen import Screen, ScreenResultType
from textual.widget import Widget

from assistant.terminal.banner import Banner
from assistant.terminal.case import Case

_TINY = 20
"""Lines below which a screen is very low."""


class GuardedScreen(Screen[ScreenResultType]):
    """Base of every screen shown while a case is open.

    The banner is part of the layout above the body, not a layer over it: it cannot be
    scrolled, and nothing is drawn over it.
    """

    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (110, "-wide"), (170, "-huge")]  # noqa: RUF012
    VERTICAL_BREAKPOINTS = [(0, "-low"), (34, "-tall")]  # noqa: RUF012

    def __init__(self, case: Case) -> None:
        """Keep the case."""
        super().__init__()
        self.case = case

    def compose(self) -> ComposeResult:
        """Put the banner above the body."""
        yield Banner()
        yield from self.compose_body()

    def compose_body(self) -> Iterable[Widget]:
        """Yield what stands below the banner."""
        return ()

    def on_resize(self) -> None:
        """Know a very low screen, on which what has to be done comes before all else."""
        self.set_class(self.app.size.height < _TINY, "-tiny")

    async def on_mount(self) -> None:
        """Draw what the case has now."""
        await self.begin()
        self.show_case()

    async def begin(self) -> None:
        """Fill what does not come from the case; nothing by itself."""

    def show_case(self) -> None:
        """Draw the case anew."""
        self.query_one(Banner).show(self.case.hazards)
