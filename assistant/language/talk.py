"""What a reader of one text remembers from piece to piece."""

from __future__ import annotations

from assistant.language.drafts import Draft
from assistant.language.items import Item
from assistant.language.meanings import Answer, Saying
from assistant.language.pieces import Piece
from assistant.language.reading import Heard, Unclear
from assistant.language.units import Quantity
from assistant.language.views import BOTH, Group, View
from assistant.language.words import Words


class TalkState:
    """What a reader of one text remembers from piece to piece."""

    def __init__(self, text: str, heard: Heard, words: Words) -> None:
        """Start with nothing said."""
        self.text = text
        self.heard = heard
        self.words = words
        self.answer: Answer | None = words.answers.get(heard.asked or "")
        self.drafts: list[Draft] = []
        self.subject: Group = ()
        self.subject_here = False
        self.elsewhere = False
        self.last: tuple[Saying, ...] = ()
        self.last_denied = False
        self.pending: list[tuple[Quantity, Piece, Item, tuple[str, ...], str]] = []
        self.forward: set[str] = set()
        self.forward_way = ""
        self.forward_sides: tuple[str, ...] = ()
        self.topic_sides: tuple[str, ...] = ()
        self.trailing: tuple[set[str], str, tuple[str, ...]] = (set(), "", ())
        """A scene that stood at the end of a piece (`10.4 when he gives it port, 8.9 at the studs`)."""
        self.single: list[Group] = []
        """One of several that this sentence last spoke of (`one battery is 11.2, the other 12.8`)."""
        self.sided = False
        """Whether this sentence names a direction."""
        self.scene_later = False
        """Whether a later piece of this sentence has a scene of its own."""
        self.tried: tuple[str, tuple[str, ...]] = ("", ())
        """What a test wire told of before makes the thruster try, and which way."""
        self.inherited: tuple[str, ...] = ()
        """The side of the piece before, which `and it turns` goes on speaking of."""
        self.with_before = False
        """Whether the piece before began with `with`, so that a wire told of after `and` sets the scene too."""
        self.setup: set[str] = set()
        self.scenes_named: list[tuple[str, Item]] = []
        self.bare: list[tuple[str, Item]] = []
        self.upstream: Group = ()
        """The part of which the near side was spoken of."""
        self.lone_parts: list[tuple[Group, Item]] = []
        self.lone_sides: list[tuple[str, Item]] = []
        self.unclear: list[Unclear] = []
        self.ask: dict[str, object] | None = None
        self.cannot: str | None = None
        self.withdraw: list[str] = []
        self.undo = False
        self.sentence_start = 0
        self.piece_start = 0
        """Where the claims of the last piece that made any begin."""
        self.carried_not = False
        self.said: list[Draft] = []
        """What the piece before only quoted (`I said that it was blown`)."""
        self.doubt_next = False
        self.figures = 0
        self.fixed = False
        self.wrong = 0
        """How many claims had been made when the person corrected something."""
        self.corrects = False
        self.age = 9
        self.measured: Group = ()
        self.cues: set[str] = set()
        self.modifiers: list[str] = []
        self.timed = False
        self.carried_cues: set[str] = set()
        self.describes = False
        """Whether something in this sentence describes the boat and her gear."""

    def _question(self, name: str, item: Item, hazard: str | None = None) -> None:
        question = self.words.questions.get(name)
        if question and len(self.unclear) < 3:
            self.unclear.append(Unclear(words=self.text[item.start : item.end], question=question, hazard=hazard))

    def _view_sides(self, view: View) -> tuple[str, ...]:
        found = tuple(dict.fromkeys(s for _, s in view.sides if s in BOTH))
        return found or self.topic_sides or self.inherited

    def _last_sides(self) -> tuple[str, ...]:
        """The side that the last claim of this sentence named."""
        return self.drafts[-1].sides if len(self.drafts) > self.sentence_start else ()

    def _called(self, about: Group) -> Group:
        if self.answer is None:
            return about
        return tuple(dict.fromkeys(self.answer.called.get(a, a) for a in about))

    def _is_answer(self, about: str, what: str) -> bool:
        return self.answer is not None and (about, what) in self.answer.takes
