"""What the phrases of the word lists mean, as small typed records."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from assistant.errors import KnowledgeError
from assistant.facts.model import Value

Claim = tuple[str, Value]
"""An attribute and its value."""


def read_value(text: str) -> Value:
    """A value as the lists write it."""
    if text in ("true", "false"):
        return text == "true"
    try:
        return float(text) if "." in text else int(text)
    except ValueError:
        return text


def read_claims(text: str, place: str = "") -> tuple[Claim, ...]:
    """Claims written as `blown true; hot false`."""
    claims = []
    for part in text.split(";"):
        words = part.split()
        if len(words) != 2:
            raise KnowledgeError(f"{part!r} is not an attribute and a value", place)
        claims.append((words[0], read_value(words[1])))
    return tuple(claims)


def read_claims_by_subject(
    spec: Mapping[str, str], groups: Mapping[str, Sequence[str]], place: str = ""
) -> dict[str, tuple[Claim, ...]]:
    """Claims for each subject; a key may be a group of subjects, or several ids; what stands first wins."""
    out: dict[str, tuple[Claim, ...]] = {}
    for key, text in spec.items():
        claims = read_claims(text, place) if text else ()
        for name in key.split():
            for about in groups.get(name, (name,)):
                out.setdefault(about, claims)
    return out


@dataclass(frozen=True, slots=True)
class PartName:
    """A name of one or several subjects; none means something that is not the thruster's."""

    about: tuple[str, ...]
    negates: bool = False
    """True when the name says that what follows is not so (`neither panel`)."""
    end: str | None = None
    """The end of a test wire that it names, if it is one."""
    plug: str | None = None
    """The part that is plugged in with it, where that is another one."""
    place: bool = False
    """True when it says where rather than what (`at the thruster`)."""
    follows: tuple[str, ...] = ()
    """Parts that may have it: it is of the one just spoken of."""
    needed: bool = False
    """True when it names nothing unless one of those was just spoken of."""
    upstream: str | None = None
    """The part before which it lies, so that `after it` speaks of that part."""
    single: bool = False
    """True when it is one of several, whose figures are not those of the whole."""
    other: bool = False
    """True when it may also mean the other of two directions (`the other side`)."""
    thing: str | None = None
    """The part meant by what is no reading (`12.4 at the motor`, but `a smell at the motor`)."""
    unknown: bool = False
    """True when without what it needs it is of a thing that nobody named, and what is said is of no other."""
    kin: str | None = None
    """The table that tells what of the part just spoken of it is (`no volts at the port coil, its wire is open`)."""


@dataclass(frozen=True, slots=True)
class Family:
    """Two subjects that differ by the side only."""

    name: str
    port: str
    starboard: str
    alone: str | None = None

    def members(self, sides: Sequence[str]) -> tuple[str, ...]:
        """The subjects for these sides."""
        return tuple(self.port if side == "port" else self.starboard for side in sides)


@dataclass(frozen=True, slots=True)
class Side:
    """A word for a side: `port`, `starboard`, `both`, `neither` or `only`."""

    name: str
    not_after: frozenset[str] = frozenset()
    not_before: frozenset[str] = frozenset()
    """Words beside which it is an ordinary word and no side."""
    chat_before: frozenset[str] = frozenset()
    """Words and signs before which it only opens the talk, when no other side is named (`right, so …`)."""
    chat_then: frozenset[str] = frozenset()
    """Words that show behind such a sign that it does, whatever side is named later."""


@dataclass(frozen=True, slots=True)
class Scene:
    """A phrase that says in which circumstances something was seen."""

    while_: tuple[str, ...] = ()
    way: str | None = None
    side: str | None = None
    press: bool = False
    if_asked: bool = False
    """True when it is one only for a test to which it matters, and a finding otherwise."""
    unnamed: bool = False
    """Whether it names no wire (`with the bridge`), and so means the one that the test tries."""

    @staticmethod
    def read(spec: Mapping[str, Any]) -> Scene:
        """From one entry of the lists."""
        return Scene(
            tuple((spec.get("while") or "").split()),
            spec.get("way"),
            spec.get("side"),
            bool(spec.get("asked")),
            bool(spec.get("if_asked")),
            bool(spec.get("unnamed")),
        )


@dataclass(frozen=True, slots=True, eq=False)
class Saying:
    """A way of saying that something is so; what it means depends on what it is said of."""

    means: Mapping[str, tuple[Claim, ...]]
    denied: Mapping[str, tuple[Claim, ...]]
    default: str | None = None
    weak: bool = False
    scene: tuple[str, ...] = ()
    firm: bool = False
    """True when it cannot be denied: with a negation in front it is asked back."""
    hazard: str | None = None
    place: str = ""
    own: bool = False
    """True when it is said of its own subject whatever part is named beside it."""
    setup: bool = False
    particle: bool = False
    """True when it says something only where no noun follows (`the switch is on`, not `on the studs`)."""
    without_scene: bool = False
    """True when it means this only while no circumstance is named beside it."""
    of_reading: bool = False
    """True when a test that asks for a figure makes it speak of the figure (`it doesn't move`)."""
    cue: str | None = None
    """A cue it gives to figures; with a time beside it, it claims nothing of its own."""
    object: bool = False
    """True when what it is said of comes after it (`took off the lead`)."""
    with_side: bool = False
    """True when naming a direction is enough to know that `else` is meant."""
    near: bool = False
    """True when it is said of a part only if that was just named."""
    negates: bool = False
    """True when it turns round a state that follows it in the same piece."""
    here: bool = False
    """True when it is said only of a part named in the same piece, or asked for."""
    granted: bool = False
    """True when a question with it takes it for granted (`how do I stop it?`)."""
    tame: bool = False
    """True when it says nothing beside a run that obeyed (`runs both ways, kept running`)."""
    nouns: frozenset[str] = frozenset()
    """Words of which one must be in the name of the part, if it is named (`the brushes are fine`, no other part)."""
    at_place: bool = False
    """True when it means this only of a place (`behind the fuse`), and not of the part that gives it its name."""
    without_side: bool = False
    """True when it means this only while no direction is named beside it (`the fuse goes`, `it goes both ways`)."""
    noun: bool = False
    """True when it is a thing that shows something by being there (`a green light`), of which more may be said."""
    at_head: bool = False
    """True when it is of its own subject at the head of a clause (`switch on.`, in notes), whatever was spoken of."""
    without_figure: bool = False
    """True when it only says what a figure of the sentence was read with (`clamp meter: 300 A`)."""
    whole: bool = False
    """True when it says this only as the whole of a clause (`one panel`, but not `one panel is dark`)."""
    vague: bool = False
    """True when it may be said of anything, so that as a whole line it tells of the thruster only where the test
    does (`nothing`, `dead`)."""
    judges: bool = False
    """True when it says how it is and not what it does (`fine`, `no change`)."""

    @property
    def tells(self) -> tuple[Claim, ...]:
        """All that it may say, of whatever part."""
        return tuple(claim for claims in self.means.values() for claim in claims)


@dataclass(frozen=True, slots=True)
class Mark:
    """A word that steers the reading: a negation, a doubt, a question, a plan and the like."""

    name: str
    scope: str = "piece"

    @staticmethod
    def read(spec: Mapping[str, Any]) -> Mark:
        """From one entry of the lists."""
        return Mark(spec["mark"], spec.get("scope", "piece"))


@dataclass(frozen=True, slots=True)
class Ask:
    """Something said to the assistant itself."""

    name: str
    value: Any = True

    @staticmethod
    def read(spec: Mapping[str, Any]) -> Ask:
        """From one entry of the lists."""
        return Ask(spec["ask"], spec.get("value", True))


@dataclass(frozen=True, slots=True)
class Measure:
    """Which attribute a figure gives: by its unit, the words beside it and the subject."""

    units: tuple[str, ...]
    what: str
    about: tuple[str, ...]
    cue: tuple[str, ...] = ()
    default: str | None = None
    always: str | None = None
    factor: float = 1.0
    largest: float | None = None
    smallest: float | None = None
    here: bool = False
    """True when the subject must stand in the same piece."""
    allowed: tuple[float, ...] = ()
    asked: bool = False
    """True when it counts only as the answer to a test that asks for this attribute."""
    without_scene: bool = False
    """True when it counts only where no circumstance is named beside it."""
    not_beside: str | None = None
    """A unit of which no figure may stand in the same piece."""
    gives: str | None = None
    """The subject that the figure is really about."""
    anywhere: bool = False
    """True when the words beside the figure may stand in another piece of the sentence."""
    not_cue: str | None = None
    """A cue beside which the figure means something else."""
    describes: bool = False
    """True when it counts only where the sentence describes the boat and her gear, and no part is named beside it."""
    not_place: bool = False
    """True when it does not count at a place (`behind the fuse`), only of the part itself."""
    unless_asked: str | None = None
    """An attribute, or a circumstance: where the test asks for it, or reads in it, the figure answers that."""
    beside: str | None = None
    """A unit of which a figure must stand in the same sentence (`6 m of 70 square`)."""
    not_of: tuple[str, ...] = ()
    """Parts of which it is not said: where one of them is named beside the figure, it does not count."""
    whole: bool = False
    """True when only a figure without a decimal point counts (12.4 beside no unit is no temperature)."""
    not_at: bool = False
    """True when it does not count behind an `at` (`0.6 lost at 280 A`)."""
    apart_from: str | None = None
    """A unit of which no figure may stand in the same sentence."""
    not_with: str = ""
    """A list of words of the language with one of which in the same piece it does not count (`waited an hour`)."""


def _limit(row: Mapping[str, Any], name: str) -> float | None:
    return None if row.get(name) is None else float(row[name])


def compile_measures(spec: Sequence[Mapping[str, Any]], groups: Mapping[str, Sequence[str]]) -> tuple[Measure, ...]:
    """The measures in the order of the list."""
    out = []
    for row in spec:
        about: list[str] = []
        for name in (row.get("about") or "").split():
            about.extend(groups.get(name, (name,)))
        out.append(
            Measure(
                tuple(str(row["unit"]).split()),
                row["what"],
                tuple(about),
                tuple((row.get("cue") or "").split()),
                row.get("else"),
                row.get("always"),
                float(row.get("factor", 1)),
                _limit(row, "to"),
                _limit(row, "from"),
                bool(row.get("here")),
                tuple(float(v) for v in str(row.get("allowed") or "").split()),
                bool(row.get("asked")),
                bool(row.get("without_scene")),
                row.get("not_beside"),
                row.get("gives"),
                bool(row.get("anywhere")),
                row.get("not_cue"),
                bool(row.get("describes")),
                bool(row.get("not_place")),
                row.get("unless_asked"),
                row.get("beside"),
                tuple(str(row.get("not_of") or "").split()),
                bool(row.get("whole")),
                bool(row.get("not_at")),
                row.get("apart_from"),
                row.get("not_with", ""),
            )
        )
    return tuple(out)


def compile_saying(spec: Mapping[str, Any], groups: Mapping[str, Sequence[str]]) -> Saying:
    """One saying from its entry."""
    place = getattr(spec, "place", "")
    return Saying(
        read_claims_by_subject(spec.get("means") or {}, groups, place),
        read_claims_by_subject(spec.get("denied") or {}, groups, place),
        spec.get("else"),
        bool(spec.get("weak")),
        tuple((spec.get("while") or "").split()),
        bool(spec.get("firm")),
        spec.get("hazard"),
        place,
        bool(spec.get("own")),
        bool(spec.get("setup")),
        bool(spec.get("particle")),
        bool(spec.get("without_scene")),
        bool(spec.get("of_reading")),
        spec.get("cue"),
        bool(spec.get("object")),
        bool(spec.get("with_side")),
        bool(spec.get("near")),
        bool(spec.get("negates")),
        bool(spec.get("here")),
        bool(spec.get("granted")),
        bool(spec.get("tame")),
        frozenset(str(spec.get("nouns") or "").split()),
        bool(spec.get("at_place")),
        bool(spec.get("without_side")),
        bool(spec.get("noun")),
        bool(spec.get("at_head")),
        bool(spec.get("without_figure")),
        bool(spec.get("whole")),
        bool(spec.get("vague")),
        bool(spec.get("judges")),
    )


@dataclass(frozen=True, slots=True, eq=False)
class Answer:
    """How bare words answer one test."""

    test: str
    about: tuple[str, ...] = ()
    family: Family | None = None
    number: str | None = None
    while_: tuple[str, ...] = ()
    way: str | None = None
    takes: frozenset[tuple[str, str]] = frozenset()
    for_attribute: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    yes: Mapping[str, tuple[Claim, ...]] = field(default_factory=dict)
    no: Mapping[str, tuple[Claim, ...]] = field(default_factory=dict)
    side_means: str | None = None
    instead: Mapping[Claim, Claim] = field(default_factory=dict)
    """What an ordinary claim means as an answer to this test."""
    instead_about: Mapping[str, str] = field(default_factory=dict)
    scene_subject: Mapping[str, str] = field(default_factory=dict)
    """The subject of a claim about the whole when it was made in a certain circumstance."""
    scenes: frozenset[str] = frozenset()
    """Circumstances that matter so much here that a word for one is never a finding."""
    scene_says: Mapping[str, Claim] = field(default_factory=dict)
    """What naming a circumstance and nothing else says."""
    about_scene: Mapping[str, str] = field(default_factory=dict)
    """Circumstances that a claim about a subject has by itself here."""
    called: Mapping[str, str] = field(default_factory=dict)
    """What a part is called in an answer to this test."""
    named: Claim | None = None
    """What naming a part and nothing else says."""
    confirm: bool = False
    """Whether it is an order and no question: a bare yes may mean that it is being done."""
    mark_says: Mapping[str, Claim] = field(default_factory=dict)
    """What a mark says that stands for itself (`at power on`, where it is asked when it runs)."""
    states: Mapping[str, Claim] = field(default_factory=dict)
    """Circumstance → the state of a switch in which a reading may be told besides (`on 12.6, off 0`)."""
    figures: bool = True
    """Whether a figure that names no place can be an answer to it."""
    in_order: tuple[str, ...] = ()
    """The parts of which it asks for a reading one after the other."""
    sets_up: frozenset[str] = frozenset()
    """What the test has done to the things that it does not ask of (`lights=False` of the other stations)."""
    plug: str | None = None
    """The part whose plug is meant where one is told of without a name."""
    read_at: frozenset[str] = frozenset()
    """Where it is read: a figure at one of these, with a direction named, is that of the pair asked for."""


def compile_answers(
    spec: Mapping[str, Any], groups: Mapping[str, Sequence[str]], families: Mapping[str, Family]
) -> dict[str, Answer]:
    """The answers by test id."""
    out = {}
    for test, row in spec.items():
        place = getattr(row, "place", "")
        about_names = (row.get("about") or "").split()
        family = families.get(about_names[0]) if about_names else None
        about = (family.port, family.starboard) if family else tuple(about_names)
        special: dict[str, tuple[str, ...]] = {}
        for what, name in (row.get("said_of") or {}).items():
            inner = families.get(name)
            special[what] = (inner.port, inner.starboard) if inner else (name,)
        takes = frozenset((pair.split(".")[0], pair.split(".")[1]) for pair in (row.get("takes") or "").split())
        out[test] = Answer(
            test, about, family, row.get("number"), tuple((row.get("while") or "").split()), row.get("way"),
            takes, special,
            read_claims_by_subject(row.get("yes") or {}, groups, place),
            read_claims_by_subject(row.get("no") or {}, groups, place),
            row.get("side_means"),
            read_replacements(row.get("instead") or {}, place),
            dict(row.get("instead_about") or {}),
            dict(row.get("scene_subject") or {}),
            frozenset((row.get("scenes") or "").split()),
            {k: read_claims(v, place)[0] for k, v in (row.get("scene_says") or {}).items()},
            dict(row.get("about_scene") or {}),
            dict(row.get("called") or {}),
            read_claims(row["named"], place)[0] if row.get("named") else None,
            bool(row.get("confirm")),
            {k: read_claims(v, place)[0] for k, v in (row.get("mark_says") or {}).items()},
            {k: read_claims(v, place)[0] for k, v in (row.get("states") or row.get("scene_says") or {}).items()},
            bool(row.get("figures", True)),
            tuple((row.get("in_order") or "").split()),
            frozenset(str(row.get("sets_up") or "").split()),
            row.get("plug"),
            frozenset((row.get("read_at") or "").split()),
        )  # fmt: skip
    return out


def read_replacements(spec: Mapping[str, str], place: str) -> dict[Claim, Claim]:
    """Claims written `attribute value: attribute value`."""
    return {read_claims(old, place)[0]: read_claims(new, place)[0] for old, new in spec.items()}


@dataclass(frozen=True, slots=True)
class Trial:
    """What the reader must know of the vocabulary: directions, set-up, own words."""

    ways: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    order: tuple[str, ...] = ()
    split: Mapping[str, Mapping[str, Mapping[str, bool]]] = field(default_factory=dict)
    reports: Mapping[tuple[str, str, Value], str] = field(default_factory=dict)
    attributes: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    single: frozenset[str] = frozenset()
    """Attributes with choices that are no directions: their `no` is a value, not a denial."""


def read_trial(settings: Mapping[str, Any], observations: Mapping[str, Any]) -> Trial:
    """The needed part of the vocabulary."""
    ways = {}
    for pair in observations.get("directions") or []:
        name = pair["port"].replace("_port", "").replace("port_", "")
        ways[name] = (pair["port"], pair["starboard"])
    reports = {
        (row["about"], row["what"], row["value"]): scene for scene, row in (observations.get("reports") or {}).items()
    }
    return Trial(
        ways, tuple(observations["circumstances"]), observations.get("split_by_direction") or {}, reports,
        observations["attributes"],
        frozenset(a for a, spec in observations["attributes"].items() if "choice" in spec)
        - frozenset(observations.get("split_by_direction") or {}),
    )  # fmt: skip
