"""Lines on their way to the session: one at a time, in order, off the screen's own thread."""

from __future__ import annotations

import asyncio
import sys
from collections import deque
from collections.abc import Awaitable, Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import TypeVar

from assistant.errors import LineError, SpringlineError
from assistant.terminal.commands import Note
from assistant.terminal.port import FactData, Line, Out, Session, standing_of
from assistant.terminal.settings import keep_failure

T = TypeVar("T")


@dataclass
class Errand:
    """One line to be sent, built only when its turn comes."""

    said: str
    """The line in the person's words, as the conversation shows it."""
    build: Callable[[], Line | Note]
    at: str = ""
    typed: str = ""
    """What goes back into the entry when the line cannot be taken."""
    move: str = "tell"
    otherwise: str = ""
    """What the screen itself can say when the session does not know the question."""
    line: Line = field(default_factory=dict)


@dataclass(frozen=True)
class Result:
    """What became of an errand: an output, a note of the screen's own, or a sentence about an error."""

    out: Out | None = None
    standing: list[FactData] | None = None
    note: str = ""
    error: str = ""


class Errands:
    """An ordered queue in front of the session.

    The session works in one thread of its own, so typing never waits for it, and two
    lines never overtake each other.
    """

    def __init__(
        self, session: Session, done: Callable[[Errand, Result], None], drawn: Callable[[], Awaitable[None]]
    ) -> None:
        """Keep the session and whom to tell of it, on the screen's thread.

        Args:
            session: Takes the lines.
            done: Told of each errand and its result.
            drawn: Returns once what was said stands on the screen; drawing while the session works takes twice as long.
        """
        self._session = session
        self._done = done
        self._drawn = drawn
        self._waiting: deque[Errand] = deque()
        self._thread = ThreadPoolExecutor(max_workers=1, thread_name_prefix="session")
        self.working = False
        self._sending = False

    def __len__(self) -> int:
        """Return how many lines wait or are being worked on."""
        return len(self._waiting) + int(self._sending)

    @contextmanager
    def _yielding(self) -> Iterator[None]:
        """While the session works, give the screen's thread its turn ten times as often as usual.

        Every look for the next key gives up the interpreter; at the usual interval each costs
        5 ms to get back, and a key takes several.
        """
        usual = sys.getswitchinterval()
        sys.setswitchinterval(min(usual, 0.0005))
        try:
            yield
        finally:
            sys.setswitchinterval(usual)

    def put(self, errand: Errand) -> None:
        """Add an errand at the end."""
        self._waiting.append(errand)

    async def work_off(self) -> None:
        """Send what waits, one by one, until nothing is left."""
        if self.working:
            return
        self.working = True
        try:
            while self._waiting:
                errand = self._waiting.popleft()
                self._sending = True
                result = await self._send(errand)
                self._sending = False
                self._done(errand, result)
        finally:
            self.working = self._sending = False

    async def _send(self, errand: Errand) -> Result:
        line = errand.build()
        if isinstance(line, Note):
            return Result(note=line.text)
        errand.line = line
        await self._drawn()
        with self._yielding():
            return await asyncio.get_running_loop().run_in_executor(self._thread, self._take, line, errand.otherwise)

    def _take(self, line: Line, otherwise: str) -> Result:
        try:
            out = self._session.take(line)
            return Result(out=out, standing=standing_of(self._session))
        except LineError as error:
            unknown = otherwise and error.code in ("unknown_fault", "unknown_ask")
            return Result(note=otherwise) if unknown else Result(error=error.text)
        except SpringlineError as error:
            return Result(error=str(error))
        except Exception as error:
            sorry = "The assistant itself failed on this line. Put it another way, or leave it out and go on."
            return Result(error=sorry + keep_failure(error))

    async def look(self, work: Callable[[], T]) -> T:
        """Look something up in the session, after the lines that wait."""
        return await asyncio.get_running_loop().run_in_executor(self._thread, work)

    async def shut(self) -> None:
        """Let the line in work come to its end and take no more."""
        await asyncio.to_thread(self._thread.shutdown, wait=True, cancel_futures=True)
