"""The word lists of a language, compiled once into what the reader needs."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib.resources.abc import Traversable
from typing import Any

from assistant.errors import KnowledgeError
from assistant.knowledge.reader import read_yaml, rules_folder
from assistant.knowledge.tongue import BASE
from assistant.language.meanings import (
    Answer,
    Ask,
    Claim,
    Family,
    Mark,
    Measure,
    PartName,
    Scene,
    Side,
    Trial,
    compile_answers,
    compile_measures,
    compile_saying,
    read_replacements,
    read_trial,
)
from assistant.language.own_words import OwnLists, compile_own_names
from assistant.language.patterns import NEVER, Pattern, compile_pattern
from assistant.language.phrases import Entry, PhraseNet
from assistant.language.quantities import Units, compile_units
from assistant.language.ways import by_first_word, plainer_ways, ways


@dataclass(slots=True, repr=False, eq=False)
class Words:
    """Everything the reader knows about one language."""

    language: str
    filler: frozenset[str] = frozenset()
    spoken_signs: dict[str, str] = field(default_factory=dict)
    """Words that dictation writes for a sign, where they are no part of a figure (`on comma fuse not blown`)."""
    openers: dict[str, list[tuple[str, ...]]] = field(default_factory=dict)
    """Words that only begin to speak: first word → all words, the longest first."""
    light: frozenset[str] = frozenset()
    forms: dict[str, tuple[str, ...]] = field(default_factory=dict)
    endings: tuple[tuple[str, str], ...] = ()
    clipped: tuple[tuple[str, str], ...] = ()
    """Endings as some people speak them, and what they stand for (`pushin`)."""
    label_letters: dict[str, str] = field(default_factory=dict)
    """Single letters that stand for words where all of them label something (`P 14.2. S 13.9.`)."""
    bounds: dict[str, str] = field(default_factory=dict)
    """Signs that say of the figure glued behind them that it is a bound (`>200`)."""
    clitics: tuple[str, ...] = ()
    """What stands in one breath with the word behind it and adds nothing (`t'battery`)."""
    base: frozenset[str] = frozenset()
    common: frozenset[str] = frozenset()
    classes: dict[str, tuple[str, ...]] = field(default_factory=dict)
    also: dict[str, tuple[str, ...]] = field(default_factory=dict)
    """Other words as which a word may stand inside a phrase (`gone` in `go dark`)."""
    known: frozenset[str] = frozenset()
    targets: tuple[str, ...] = ()
    dotted: frozenset[str] = frozenset()
    dotted_figure: frozenset[str] = frozenset()
    """Words written with a dot; and those that are so only before a figure (`no. 2`)."""
    closers: frozenset[tuple[str, ...]] = frozenset()
    whole: dict[tuple[str, ...], tuple[str, ...]] = field(default_factory=dict)
    """All words of a text that is a yes, a no or nothing as a whole → the words that it stands for."""
    idle: frozenset[tuple[str, ...]] = frozenset()
    """All words of sentences that say nothing."""
    not_closing: frozenset[str] = frozenset()
    """Words that only end a speech, and those behind which they do not (`my mate`)."""
    stays: frozenset[str] = frozenset()
    """Words before which several words are no opener (`he says to switch it off`)."""
    always: frozenset[str] = frozenset()
    """Single words that before a comma only begin to speak, whatever follows."""
    begins: frozenset[str] = frozenset()
    """Words that begin a statement: a dot before them is a full stop, and `well` or `ok` only begins to speak."""
    denying: tuple[str, ...] = ()
    """Endings that deny the word they stand at."""
    negation: str = ""
    genitive: str = ""
    """An ending that may be taken off any word (`panel's`)."""
    letters: dict[int, str] = field(default_factory=dict)
    """Letters that are also written as others (`ä` as `ae`), and how they stand in the lists and in a text read."""
    heads: frozenset[str] = frozenset()
    """First parts of words that are written together (`Backbordspule`)."""
    tails: frozenset[str] = frozenset()
    links: tuple[str, ...] = ()
    """What may stand between the two."""
    plain: dict[str, dict[tuple[str, ...], tuple[str, ...]]] = field(default_factory=dict)
    """First word of a way of saying it → all its words → the plainer words that it is read as."""
    separable: Mapping[str, frozenset[str]] = field(default_factory=dict)
    """Particle → verbs from which it may stand apart, at the end of the clause (`zieht … ab`)."""
    joints: frozenset[str] = frozenset()
    """Words between clauses."""
    finite: tuple[str, ...] = ()
    """Endings of verbs of the third person, and those that only look like it."""
    not_finite: tuple[str, ...] = ()
    final: dict[str, str] = field(default_factory=dict)
    """What a word is meant to be when nothing follows it (`the led is of`)."""
    final_not_after: frozenset[str] = frozenset()
    """Words behind which it is not (`that I know of`)."""
    carriers: frozenset[str] = frozenset()
    """Words in front of a state that add nothing to it."""
    side_guards: dict[str, Side] = field(default_factory=dict)
    """Words for a side that are also ordinary words, and beside what they are."""
    net: PhraseNet = field(default_factory=PhraseNet)
    names: PhraseNet = field(default_factory=PhraseNet)
    """Names of parts: nothing may be stepped over inside them."""
    units: Units = field(default_factory=Units)
    groups: dict[str, tuple[str, ...]] = field(default_factory=dict)
    families: dict[str, Family] = field(default_factory=dict)
    measures: tuple[Measure, ...] = ()
    answers: dict[str, Answer] = field(default_factory=dict)
    topics: Mapping[str, frozenset[str]] = field(default_factory=dict)
    """Test → the subjects of its usual answers, and these with what is told of them (`fuse`, `fuse.blown`)."""
    bridges: dict[str, tuple[frozenset[str], ...]] = field(default_factory=dict)
    modifiers: Mapping[str, Mapping[Claim, Claim]] = field(default_factory=dict)
    end_like: Mapping[str, str] = field(default_factory=dict)
    sided_ends: Mapping[str, str] = field(default_factory=dict)
    """Part → the pair of ends of which it is one when a side is named before it (`the starboard pin`)."""
    half_bridges: Mapping[str, str] = field(default_factory=dict)
    half_removed: Mapping[str, str] = field(default_factory=dict)
    bridge_scenes: Mapping[str, str] = field(default_factory=dict)
    wired: frozenset[str] = frozenset()
    """The circumstances in which a test wire is in."""
    settings: Mapping[str, Any] = field(default_factory=dict)
    trial: Trial = field(default_factory=Trial)
    questions: Mapping[str, str] = field(default_factory=dict)
    misread: Pattern = NEVER
    """Lines that only say that the one before was taken wrongly."""
    done: Pattern = NEVER
    """Answers to the question whether something was done: it was."""
    ordinals: Mapping[str, int] = field(default_factory=dict)
    """Word → which of several readings it names; 0 is the other one, -1 all of them, -2 those not named."""
    just_did: Pattern = NEVER
    """Clauses in which somebody says that he did it now, and did not find it so."""
    done_now: Pattern = NEVER
    done_before: Pattern = NEVER
    """Answers to the question when a part was replaced: just now, or before the trouble began."""
    stale: frozenset[tuple[str, ...]] = frozenset()
    """All words of ways to say that something was so a while ago."""
    own_names: OwnLists | None = None
    """How people give parts names of their own; none where the language has no such sentences."""
    vocabulary: Mapping[str, Any] = field(default_factory=dict)
    cache: dict[str, tuple[str, ...]] = field(default_factory=dict)

    def canonical(self, word: str) -> tuple[str, ...]:
        """The words that a written word stands for: contractions opened, inflections taken back."""
        if word in self.forms:
            return self.forms[word]
        if word in self.base or word in self.common:
            return (word,)
        if self.genitive and word.endswith(self.genitive) and word != self.genitive:
            return self.canonical(word.removesuffix(self.genitive))
        for ending, instead in self.endings:
            if word.endswith(ending) and len(word) > len(ending) + 1:
                stem = word[: len(word) - len(ending)]
                for base in (stem + instead, stem[:-1] if len(stem) > 3 and stem[-1:] == stem[-2:-1] else ""):
                    if base in self.base:
                        return (base,)
        return self._taken_apart(word) or (word,)

    def _taken_apart(self, word: str) -> tuple[str, ...]:
        """The two words of one that is written together, or nothing."""
        for cut in range(len(word) - 3, 2, -1):
            head, tail = word[:cut], word[cut:]
            heads = (head, *(head.removesuffix(link) for link in self.links if head.endswith(link)))
            first = next((h for h in heads if h in self.heads), None)
            if first is not None and ({tail, *self.canonical(tail)} & self.tails):
                return (*self.canonical(first), *self.canonical(tail))
        return ()


def load_words(language: str = BASE, rules: Traversable | None = None) -> Words:
    """Read and compile the lists of a language.

    Args:
        language: Which.
        rules: The folder of the rule base; that of the program by default.

    Raises:
        KnowledgeError: A list is missing or says what nobody could use.
    """
    return _compiled(language) if rules is None else _read_words(language, rules)


@cache
def _compiled(language: str) -> Words:
    """The lists that came with the program, read once a process for each language."""
    return _read_words(language, rules_folder())


def _read_words(language: str, rules: Traversable) -> Words:
    raw: dict[str, Any] = {}
    for name in ("reading", f"words/{language}"):
        folder = rules / name
        try:
            files = sorted((f for f in folder.iterdir() if f.name.endswith(".yaml")), key=lambda f: f.name)
        except (OSError, ValueError) as error:
            raise KnowledgeError(f"there are no words for the language {language!r}", "words") from error
        for path in files:
            _merge(raw, read_yaml(path, f"{name}/{path.name}"), path.name)
    raw = _respelt(raw, _letters(raw))
    vocabulary = {
        "observations": read_yaml(rules / "observations.yaml"),
        "parts": read_yaml(rules / "parts.yaml"),
        "tests": read_yaml(rules / "tests.yaml"),
    }
    return compile_words(raw, vocabulary, language)


def _merge(into: dict[str, Any], new: Any, name: str) -> None:
    for key, value in (new or {}).items():
        if key not in into:
            into[key] = value
        elif isinstance(value, list):
            into[key] = [*into[key], *value]
        elif isinstance(value, dict):
            into[key] = {**into[key], **value}
        else:
            raise KnowledgeError(f"{key} stands in two files", name)


def _letters(raw: Mapping[str, Any]) -> dict[int, str]:
    return str.maketrans({str(k): str(v) for k, v in (raw.get("letters") or {}).items()})


_TOLD = ("questions", "letters")
"""What is shown to people, or about letters themselves: never respelt."""


def _respelt(raw: dict[str, Any], letters: dict[int, str]) -> dict[str, Any]:
    """The lists with every letter as a text is read, see `Words.letters`."""

    def one(value: Any) -> Any:
        if isinstance(value, str):
            return value.translate(letters)
        if isinstance(value, list):
            return [one(v) for v in value]
        if not isinstance(value, dict):
            return value
        out: Any = type(value)({one(k): one(v) for k, v in value.items()})
        if hasattr(value, "place"):
            out.place = value.place
        return out

    return {k: v if k in _TOLD else one(v) for k, v in raw.items()} if letters else raw


def compile_words(raw: Mapping[str, Any], vocabulary: Mapping[str, Any], language: str) -> Words:
    """Compile word lists given as plain data."""
    words = Words(language=language, vocabulary=vocabulary)
    _spelling(words, raw)
    words.groups = {k: tuple(v.split()) for k, v in (raw.get("groups") or {}).items()}
    entries = list(_entries(words, raw))
    words.base |= _phrase_words(words, entries)
    words.settings = raw.get("settings") or {}
    words.trial = read_trial(raw.get("settings") or {}, vocabulary["observations"])
    words.questions = raw.get("questions") or {}
    words.done_now, words.done_before = (compile_pattern(str(raw.get(k) or "")) for k in ("done_now", "done_before"))
    words.ordinals = {w: int(n) for n, names in (raw.get("ordinals") or {}).items() for w in str(names).split()}
    words.done, words.just_did, words.misread = (
        compile_pattern(str(raw.get(k) or "")) for k in ("done", "just_did", "misread")
    )
    words.own_names = compile_own_names(raw.get("own_names") or {}, words.groups)
    words.units = compile_units(raw.get("units") or [], raw.get("numbers") or {}, vocabulary["observations"])
    words.units.genitive = words.genitive
    words.measures = compile_measures(raw.get("measures") or [], words.groups)
    words.bridges = {
        value: tuple(frozenset(pair.split()) for pair in spec.split("|"))
        for value, spec in (raw.get("bridges") or {}).items()
    }
    words.modifiers = {
        name: read_replacements(spec, getattr(spec, "place", "")) for name, spec in (raw.get("modifiers") or {}).items()
    }
    words.end_like = raw.get("end_like") or {}
    words.sided_ends = raw.get("sided_ends") or {}
    words.half_bridges = raw.get("half_bridges") or {}
    words.half_removed = raw.get("half_removed") or {}
    words.bridge_scenes = raw.get("bridge_scenes") or {}
    words.wired = frozenset(words.bridge_scenes.values())
    seen: set[str] = set()
    lookup: dict[str, tuple[str, ...]] = {}

    def canonical(word: str) -> tuple[str, ...]:
        if word not in lookup:
            lookup[word] = tuple(w for w in words.canonical(word) if w not in words.filler)
        return lookup[word]

    for phrase, entry in entries:
        net = words.names if entry.sort in ("part", "family", "side") else words.net
        seen.update(net.add(phrase, entry, canonical, getattr(entry.data, "place", "")))
    words.answers = compile_answers(raw.get("answers") or {}, words.groups, words.families)
    orders = {name: _ordered(answer) for name, answer in words.answers.items() if answer.confirm}
    asked = {name: _topics(test) for name, test in vocabulary.get("tests", {}).get("tests", {}).items()}
    words.topics = {**orders, **asked}
    _known(words, raw, seen)
    return words


def _topics(test: Mapping[str, Any]) -> frozenset[str]:
    """The subjects of the usual answers of a test, and what is told of them."""
    told = {str(key) for a in test.get("answers") or () for f in a.get("facts") or () for key in f if "." in str(key)}
    return frozenset(told | {key.partition(".")[0] for key in told})


def _ordered(answer: Answer) -> frozenset[str]:
    """What the order of a stop is about."""
    return frozenset(answer.about) | {f"{about}.{what}" for about, what in answer.takes}


_PLAIN = re.compile(r"(?<![<\w'-])[^\W\d_]{3,}(?![\w>'-])")


def _phrase_words(words: Words, entries: Iterable[tuple[str, Entry]]) -> frozenset[str]:
    """Words of the phrases whose ordinary endings are taken back to them, as far as they have none themselves."""
    found = {w for phrase, _ in entries for w in _PLAIN.findall(phrase)}
    return frozenset(w for w in found if words.canonical(w) == (w,))


def _spelling(words: Words, raw: Mapping[str, Any]) -> None:
    words.base = frozenset((raw.get("base") or "").split())
    words.letters = _letters(raw)
    words.genitive = str(raw.get("genitive") or "")
    words.heads = frozenset((raw.get("heads") or "").split())
    words.tails = frozenset((raw.get("tails") or "").split())
    words.links = tuple((raw.get("links") or "").split())
    words.joints = frozenset((raw.get("joints") or "").split())
    words.separable = {p: frozenset(verbs.split()) for p, verbs in (raw.get("separable") or {}).items()}
    words.clipped = tuple((raw.get("clipped") or {}).items())
    words.label_letters = {str(k): str(v) for k, v in (raw.get("label_letters") or {}).items()}
    words.bounds = {str(k): str(v) for k, v in (raw.get("bounds") or {}).items()}
    words.clitics = tuple((raw.get("clitics") or "").split())
    words.endings = tuple((e["ending"], e.get("instead") or "") for e in raw.get("endings") or [])
    forms: dict[str, tuple[str, ...]] = {}
    for target, written in (raw.get("forms") or {}).items():
        for variant in str(written).split():
            forms[variant] = tuple(str(target).split())
    words.forms = forms
    for target, written in (raw.get("typos") or {}).items():
        for variant in str(written).split():
            forms.setdefault(
                variant,
                tuple(w for part in str(target).split() for w in words.canonical(part)),
            )
    words.plain = plainer_ways(*(raw.get(name) or {} for name in ("plainer", "plainer_before", "plainer_classes")))
    words.openers = by_first_word(ways(str(raw.get("openers") or "")))
    words.spoken_signs = {str(word): str(sign) for word, sign in (raw.get("spoken_signs") or {}).items()}
    words.closers = frozenset(ways(str(raw.get("closers") or "")))
    words.whole = {w: tuple(str(k).split()) for k, said in (raw.get("whole") or {}).items() for w in ways(str(said))}
    words.stale = frozenset(ways(str(raw.get("stale") or "")))
    words.idle = frozenset(ways(str(raw.get("idle") or "")))
    words.not_closing = frozenset((raw.get("closers_not_after") or "").split())
    words.stays = frozenset((raw.get("openers_stay") or "").split())
    words.filler = frozenset((raw.get("filler") or "").split())
    words.light = frozenset((raw.get("light") or "").split())
    words.common = frozenset((raw.get("common") or "").split()) - words.base
    words.denying = tuple((raw.get("denying") or "").split())
    words.finite = tuple((raw.get("finite") or "").split())
    words.not_finite = tuple((raw.get("not_finite") or "").split())
    words.also = {word: tuple(str(others).split()) for word, others in (raw.get("also") or {}).items()}
    words.final = {str(word): str(meant) for word, meant in (raw.get("final") or {}).items()}
    words.final_not_after = frozenset((raw.get("final_not_after") or "").split())
    words.negation = str(raw.get("negation") or "")
    words.carriers = frozenset((raw.get("carriers") or "").split())
    words.dotted = frozenset((raw.get("dotted") or "").split())
    words.always = frozenset((raw.get("openers_always") or "").split())
    words.begins = frozenset((raw.get("begins") or "").split())
    words.dotted_figure = frozenset((raw.get("dotted_figure") or "").split())
    classes: dict[str, list[str]] = {}
    for name, members in (raw.get("classes") or {}).items():
        for member in str(members).split():
            for word in words.canonical(member):
                classes.setdefault(word, []).append(f"<{name}>")
    words.classes = {k: tuple(dict.fromkeys(v)) for k, v in classes.items()}


def _entries(words: Words, raw: Mapping[str, Any]) -> Iterable[tuple[str, Entry]]:
    for about, say in (raw.get("names") or {}).items():
        yield str(say), Entry("part", PartName((about,)), 2)
    for say_about in raw.get("several") or []:
        about = tuple((say_about.get("about") or "").split())
        name = PartName(
            about,
            bool(say_about.get("negates")),
            say_about.get("end"),
            say_about.get("plug"),
            bool(say_about.get("place")),
            tuple((say_about.get("follows") or "").split()),
            bool(say_about.get("needed")),
            say_about.get("upstream"),
            bool(say_about.get("single")),
            bool(say_about.get("other")),
            say_about.get("thing"),
            bool(say_about.get("unknown")),
            say_about.get("kin"),
        )
        yield say_about["say"], Entry("part", name, int(say_about.get("rank", 2)))
    for say in raw.get("elsewhere") or []:
        yield say, Entry("part", PartName(()), 3)
    for spec in raw.get("ends") or []:
        end = PartName(tuple((spec.get("about") or "").split()), end=spec["end"])
        yield spec["say"], Entry("part", end, 3)
    for name, spec in (raw.get("families") or {}).items():
        family = Family(name, spec["port"], spec["starboard"], spec.get("alone"))
        words.families[name] = family
        yield spec["say"], Entry("family", family, 2)
        for plural in [spec["plural"]] if "plural" in spec else []:
            yield plural, Entry("part", PartName((spec["port"], spec["starboard"])), 2)
    for side, say in (raw.get("sides") or {}).items():
        yield str(say), Entry("side", Side(side), 1)
    for spec in raw.get("side_words") or []:
        keys = ("not_after", "not_before", "chat_before", "chat_then")
        guards = tuple(frozenset((spec.get(k) or "").split()) for k in keys)
        side = Side(spec["side"], *guards)
        words.side_guards.update({w: side for w in str(spec["say"]).split() if w != "|"})
        yield spec["say"], Entry("side", side, 0)
    for spec in raw.get("scenes") or []:
        yield spec["say"], Entry("scene", Scene.read(spec), int(spec.get("rank", 2)))
    for spec in raw.get("sayings") or []:
        yield spec["say"], Entry("state", compile_saying(spec, words.groups), int(spec.get("rank", 2)))
    for spec in raw.get("marks") or []:
        yield spec["say"], Entry("mark", Mark.read(spec), int(spec.get("rank", 1)))
    for spec in raw.get("asks") or []:
        yield spec["say"], Entry("ask", Ask.read(spec), int(spec.get("rank", 2)))


def _known(words: Words, raw: Mapping[str, Any], seen: set[str]) -> None:
    known = {w for key in ("common", "ordinary") for w in (raw.get(key) or "").split()}
    known |= seen | set(words.forms) | set(words.base)
    known |= words.filler | words.light | set(words.classes)
    known |= {w for ways in words.plain.values() for way in ways for w in way}
    known |= words.units.words | words.joints | {w for p, verbs in words.separable.items() for w in (p, *verbs)}
    guard = frozenset((raw.get("guard") or "").split())
    shortest = int(words.settings.get("shortest_guess", 4))
    targets = {w for w in seen | set(words.base) if len(w) >= shortest and w.isalpha() and w not in guard}
    words.known = frozenset(known)
    words.targets = tuple(sorted(targets))
