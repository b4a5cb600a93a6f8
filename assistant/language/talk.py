"""What a reader of one text remembers from piece to piece."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from assistant.facts import RawFact
from assistant.knowledge.model import SIDES
from assistant.language.drafts import Draft, to_facts
from assistant.language.items import Item
from assistant.language.meanings import Answer, PartName, Saying
from assistant.language.pieces import Piece
from assistant.language.quantities import Quantity, Unit
from assistant.language.reading import DONE, Heard, Unclear
from assistant.language.views import Group, View, base_of, names_in
from assistant.language.words import Words


@dataclass(eq=False)
class TalkState:
    """What a reader of one text remembers from piece to piece."""

    text: str
    heard: Heard
    words: Words
    answer: Answer | None = field(init=False)
    drafts: list[Draft] = field(default_factory=list)
    subject: Group = ()
    subject_here: bool = False
    elsewhere: bool = False
    last: tuple[Saying, ...] = ()
    last_denied: bool = False
    last_says_no: bool = False
    """Whether a negation is part of the last saying (`won't start`), so that `… and the other won't` is the same."""
    last_told: tuple[Saying, ...] = ()
    """What was said before that, where it was no bare denial."""
    pending: list[tuple[Quantity, Piece, Item, tuple[str, ...], str]] = field(default_factory=list)
    before: Piece | None = None
    """The piece read last."""
    spread: tuple[Quantity, Piece, Item, tuple[str, ...], str] | None = None
    """A figure that waits for the places of which it is that (`12.5 everywhere: …`)."""
    forward: set[str] = field(default_factory=set)
    forward_way: str = ""
    forward_sides: tuple[str, ...] = ()
    forward_at: int = 0
    """How many claims had been made when it was named."""
    topic_sides: tuple[str, ...] = ()
    trailing: tuple[set[str], str, tuple[str, ...]] = field(default_factory=lambda: (set(), "", ()))
    """A scene that stood at the end of a piece (`10.4 when he gives it port, 8.9 at the studs`)."""
    single: list[Group] = field(default_factory=list)
    """One of several that this sentence last spoke of (`one battery is 11.2, the other 12.8`)."""
    units_here: set[str] = field(default_factory=set)
    """The units of the figures of this sentence."""
    standing: tuple[set[str], str, tuple[str, ...]] = field(default_factory=lambda: (set(), "", ()))
    """A scene that was a sentence of its own (`On load now. Battery 11.2.`)."""
    apart: set[str] = field(default_factory=set)
    """Marks and circumstances that stand in a piece of their own and so go with the whole sentence."""
    rested: list[str] = field(default_factory=list)
    """Marks of the sentence before, which claimed nothing, that change what this one claims."""
    heading: Unit | None = None
    """The unit that the heading of this sentence names for its figures."""
    only_behind: set[str] = field(default_factory=set)
    """Marks of this sentence that stand only behind its `but`, and say nothing of what was told before that."""
    behind_at: int = 0
    """Where that part of the sentence begins, in characters."""
    pieces_here: list[Piece] = field(default_factory=list)
    """The pieces of this sentence."""
    far_side: bool = False
    """Whether the near side of the part spoken of was named, so that what follows is of its far side."""
    reads: bool = False
    """Whether this sentence gives a figure."""
    of_pair: bool = False
    """Whether this piece says `both` or `neither` of two stations spoken of."""
    sided: bool = False
    """Whether this sentence names a direction."""
    scene_later: bool = False
    """Whether a later piece of this sentence has a scene of its own."""
    spelled: Unit | None = None
    """The unit of the last figure of this sentence, for those that follow without one."""
    tried: tuple[str, tuple[str, ...]] = ("", ())
    """What a test wire told of before makes the thruster try, and which way."""
    marks_told: list[str] = field(default_factory=list)
    """Marks of the sentences that deny nothing."""
    read_last: Draft | None = None
    """The last claim that a figure made."""
    trial_over: bool = False
    """Whether this text tells that what the test takes apart is together again."""
    unfed: bool = False
    """Whether the text tells that nothing was fed or bridged although the test wants it."""
    bridge_gone: bool = False
    """Whether this text tells that a test wire was taken out again."""
    inherited: tuple[str, ...] = ()
    """The side of the piece before, which `and it turns` goes on speaking of."""
    side_before: tuple[str, ...] = ()
    """The one side that this sentence named last."""
    with_before: bool = False
    """Whether the piece before began with `with`, so that a wire told of after `and` sets the scene too."""
    setup: set[str] = field(default_factory=set)
    told_scenes: set[str] = field(default_factory=set)
    """All circumstances that the text names."""
    scenes_named: list[tuple[str, Item]] = field(default_factory=list)
    bare: list[tuple[str, Item]] = field(default_factory=list)
    wire_here: str = ""
    """The bridge whose ends this sentence names."""
    put_off: bool = False
    """Whether the text tells what somebody will do, cannot do, does not know or asks."""
    bare_of: set[str] = field(default_factory=set)
    """What the last bare no was said of (`port coil: no`)."""
    spoken: PartName | None = None
    """The name by which the subject went: its plug, and the part that stands at its place, go on with it."""
    upstream: Group = ()
    """The part of which the near side was spoken of."""
    lone_parts: list[tuple[Group, Item]] = field(default_factory=list)
    not_of: set[str] = field(default_factory=set)
    """Parts of which the text says only that it is not of them (`not the battery, the fuse holder is green`)."""
    lone_sides: list[tuple[str, Item]] = field(default_factory=list)
    unclear: list[Unclear] = field(default_factory=list)
    passing: set[int] = field(default_factory=set)
    """Where words begin of which it is asked only what part they are of if the text tells nothing else."""
    unsaid: list[tuple[View, int, Item, bool]] = field(default_factory=list)
    """States of this sentence that nothing was named for yet (`loose as anything, that clamp`)."""
    ask: dict[str, object] | None = None
    cannot: str | None = None
    withdraw: list[str] = field(default_factory=list)
    taken_back: list[Draft] = field(default_factory=list)
    """What was described only to be taken back (`forget the wet plug`)."""
    instead_of: list[RawFact] = field(default_factory=list)
    """Figures of earlier lines that this one takes back: what is told instead was read in their circumstances."""
    again: list[Draft] = field(default_factory=list)
    """What only says more of a figure of an earlier line, and answers no test."""
    undo: bool = False
    left_over: list[Item] = field(default_factory=list)
    """Words of clauses that told nothing, which no list knows as small talk beside a yes or a no."""
    ran_perhaps: bool = False
    """Whether the text may tell that it ran, so that a no beside it does not tell that it did not."""
    sole: bool = False
    """Whether the text is no more than one clause."""
    sentence_start: int = 0
    sentence_before: int = 0
    """Where the claims of the sentence before begin."""
    put_right: bool = False
    """A correction stood before what was said last, and no word that adds."""
    asked_to: Group = ()
    """The part that was told to do something (`asked the isolator to close`)."""
    parts_here: frozenset[str] = frozenset()
    """What is named in this sentence by its own name (`the upper one works, the lower one doesn't`)."""
    piece_start: int = 0
    """Where the claims of the last piece that made any begin."""
    carried_not: bool = False
    goes_on: bool = False
    """Whether the piece stands in the middle of a list that ends in `or`."""
    said: list[Draft] = field(default_factory=list)
    """What the piece before only quoted (`I said that it was blown`)."""
    doubt_next: bool = False
    figures: int = 0
    fixed: bool = False
    wrong: int = 0
    """How many claims had been made when the person corrected something."""
    corrects: bool = False
    refused: bool = False
    """Whether the piece before was a bare `no` at the start of a sentence."""
    contrary: bool = False
    """Whether the text begins with a `no` that stands for itself (`no, 12.1`, `no, it's on`)."""
    swapped_at: int = 0
    """How many claims had been made when the sides were changed over."""
    swapped: bool = False
    """Whether the text says that the sides of what was told are the other way round."""
    labelled: bool = False
    """Whether the piece before only named what the next speaks of (`I was on the plus cable: 0.4`)."""
    age: int = 9
    measured: Group = ()
    cues: set[str] = field(default_factory=set)
    modifiers: list[str] = field(default_factory=list)
    timed: bool = False
    carried_cues: set[str] = field(default_factory=set)
    sided_cues: set[str] = field(default_factory=set)
    """Cues of the figure just read for one direction, for the one of the other."""
    label_cues: set[str] = field(default_factory=set)
    """What a label says of all figures behind it (`SG: worst cell 1190, the rest 1260`)."""
    describes: bool = False
    """Whether something in this sentence describes the boat and her gear."""

    def __post_init__(self) -> None:
        """Look up how the question just asked is answered in bare words."""
        self.answer = self.words.answers.get(self.heard.asked or "")

    def _question(self, name: str, item: Item, hazard: str | None = None, fact: RawFact | None = None) -> None:
        question = self.words.questions.get(name)
        if question and len(self.unclear) < 3:
            said = self.text[item.start : item.end]
            self.unclear.append(
                Unclear(
                    words=said, question=question, hazard=hazard, kind=name, line=self.text, at=item.start,
                    asked=self.heard.asked, fact=fact,
                )
            )  # fmt: skip

    def _ask_whether_done(self, draft: Draft, item: Item) -> None:
        """Ask whether what stands in the form of an order was done."""
        self._question(DONE, item, fact=next(iter(to_facts([draft], self.text, self.words.trial)), None))

    def _strangers(self, items: Sequence[Item]) -> list[Item]:
        """The words that may mean something and that no phrase of the lists has taken."""
        return [i for i in items if i.sort == "word" and i.text not in self.words.light]

    def _unheard(self, items: Sequence[Item]) -> list[Item]:
        """The words that no list knows."""
        return [i for i in items if i.sort == "word" and i.text.isalpha() and i.text not in self.words.known]

    def _ask_meaning(self, items: Sequence[Item]) -> None:
        """Ask what was meant by words that may say anything."""
        self._question("bare", Item("state", None, items[0].start, items[-1].end))

    def _off_topic(self, view: View, about: str) -> bool:
        """Whether a line of one clause that names no part tells of the whole, where a test asks of other things."""
        topics = self.words.topics.get(self.heard.asked or "")
        whole = str(self.words.settings.get("whole"))
        return self.sole and not view.named and about == whole and topics is not None and whole not in topics

    def _cannot(self, items: Sequence[Item]) -> None:
        """Keep the first words with which the test that was asked for was refused."""
        if self.heard.asked and self.cannot is None:
            self.cannot = self.text[items[0].start : items[-1].end]

    def _stopping(self, name: str) -> str:
        """The cue that tells of a stop, or the modifier that a stop makes of what is said after it."""
        return str((self.words.settings.get("stopping") or {}).get(name, ""))

    def _view_sides(self, view: View) -> tuple[str, ...]:
        found = tuple(dict.fromkeys(s for _, s in view.sides if s in SIDES))
        return found or self.topic_sides or (() if view.scene_sides else self.inherited)

    def _last_sides(self) -> tuple[str, ...]:
        """The side that the last claim of this sentence named."""
        return self.drafts[-1].sides if len(self.drafts) > self.sentence_start else ()

    def _words_in(self, name: str) -> frozenset[str]:
        """The words of a setting of the language."""
        return names_in(self.words.settings, name)

    def _called(self, about: Group) -> Group:
        if self.answer is None:
            return about
        stations, called = self._words_in("no_sides"), self.answer.called
        own = {a for a, b in called.items() if base_of(a) in stations and b in self.parts_here}
        return tuple(dict.fromkeys(a if a in own else called.get(a, a) for a in about))

    def _is_answer(self, about: str, what: str) -> bool:
        return self.answer is not None and (about, what) in self.answer.takes
