"""Ways of saying it, written out word for word: for the lists in which a text is compared as it stands."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from itertools import chain, product

from assistant.language.patterns import Pattern, compile_pattern

Way = tuple[str, ...]


def ways(said: str) -> list[Way]:
    """All ways that a line of a list holds, in the notation of `phrases`, without those of no words.

    Raises:
        KnowledgeError: Brackets do not pair.
    """
    return [way for way in dict.fromkeys(_written_out(compile_pattern(said))) if way]


def _written_out(pattern: Pattern) -> Iterator[Way]:
    for row in pattern.ways:
        choices = [list(_written_out(n)) if isinstance(n, Pattern) else [(n,)] for n in row]
        for chosen in product(*choices):
            yield tuple(chain.from_iterable(chosen))
    if pattern.optional:
        yield ()


def by_first_word(found: Iterable[Way]) -> dict[str, list[Way]]:
    """The ways under their first word, the longest first."""
    out: dict[str, list[Way]] = {}
    for way in sorted(found, key=len, reverse=True):
        out.setdefault(way[0], []).append(way)
    return out


def plainer_ways(
    spec: Mapping[str, str], before: Mapping[str, str], classes: Mapping[str, str]
) -> dict[str, dict[Way, Way]]:
    """First word of a way of saying it → all its words → the plainer words that it is read as.

    Args:
        spec: Plainer words → the ways of saying it. A `<name>` in both stands for each word of that class in turn.
        before: Words that are others before some (`its`).
        classes: Those classes, each a list of ways.
    """
    found: dict[Way, Way] = {}
    for plain, said in spec.items():
        for meant, line in _each_of_class(str(plain), str(said), classes):
            found |= {way: tuple(meant.split()) for way in ways(line)}
    for word, row in before.items():
        plain, _, some = row.partition("|")
        found |= {(word, after): (*plain.split(), after) for after in some.split()}
    return {first: {way: found[way] for way in listed} for first, listed in by_first_word(found).items()}


def _each_of_class(plain: str, said: str, classes: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    names = [name for name in classes if f"<{name}>" in said]
    for chosen in product(*(ways(classes[name]) for name in names)):
        meant, line = plain, said
        for name, words in zip(names, chosen, strict=True):
            meant, line = (text.replace(f"<{name}>", " ".join(words)) for text in (meant, line))
        yield meant, line
