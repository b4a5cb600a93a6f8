"""From text to tokens: a tokeniser that forgets nothing."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from assistant.folding import fold

_TOKEN = re.compile(
    r"""(?P<gauge>[1-4]/0(?!\d|[.,]\d))
      | (?P<clock>(?:[01]\d|2[0-3]):[0-5]\d(?![\d.,]*\d))
      | (?P<number>\d+(?:[.,]\d+)*)
      | (?P<word>[^\W\d_]+(?:['][^\W\d_]+)*)
      | (?P<space>\s+)
      | (?P<mark>.)""",
    re.VERBOSE | re.DOTALL,
)


_ROWS = 3
"""So many numbered rows are a list."""


@dataclass(frozen=True, slots=True)
class Token:
    """One token of the text, with its place."""

    sort: str
    """`word`, `number`, `gauge` or `mark`."""
    text: str
    """Folded: lower case, plain quotes and dashes."""
    start: int
    end: int
    glued: bool = False
    """True when no space stands before it."""


def tokenise(text: str) -> list[Token]:
    """Tokens of a text in order, white space left out; their places are those of the text given."""
    tokens: list[Token] = []
    glued = False
    for match in _TOKEN.finditer(fold(text)):
        sort = match.lastgroup or "mark"
        if sort == "space":
            glued = False
            if "\n" in match[0]:
                tokens.append(Token("mark", "\n", match.start(), match.end()))
            continue
        sort = "word" if sort == "clock" else sort  # the time of day (`09:40`) is no figure
        tokens.append(Token(sort, match[0], match.start(), match.end(), glued))
        glued = True
    return tokens


def without_row_numbers(tokens: list[Token]) -> list[Token]:
    """The tokens without the numbers of a list of three rows or more, that begin each with the next one.

    Args:
        tokens: The tokens of a text.
    """
    rows = [n for n, t in enumerate(tokens) if t.sort == "number" and (not n or tokens[n - 1].text == "\n")]
    numbered = [n for count, n in enumerate(rows, 1) if tokens[n].text == str(count)]
    if len(numbered) < _ROWS or len(numbered) < len(rows):
        return tokens
    signs = {n + 1 for n in numbered if n + 1 < len(tokens) and tokens[n + 1].glued and tokens[n + 1].text in ".):"}
    return [t for n, t in enumerate(tokens) if n not in signs and n not in numbered]


def is_label(tokens: Sequence[Token], at: int) -> bool:
    """Whether a token is the digit of a name like `S1` or `B2`, and no figure.

    Args:
        tokens: The tokens of a text.
        at: Which of them.
    """
    token, last = tokens[at], tokens[at - 1] if at else None
    after = tokens[at + 1] if at + 1 < len(tokens) else None
    digit = token.sort == "number" and token.glued and len(token.text) == 1
    letter = last is not None and last.sort == "word" and len(last.text) == 1 and not last.glued
    return digit and letter and (after is None or not after.glued or (after.sort == "mark" and after.text not in ".,"))


def without_clitics(tokens: list[Token], clitics: Sequence[str]) -> list[Token]:
    """The tokens without what is said in one breath with the word behind it (`t'battery`).

    Args:
        tokens: The tokens of a text.
        clitics: What may stand so, as it is written.
    """
    out: list[Token] = []
    for token in tokens:
        head = next((c for c in clitics if token.text.startswith(c) and len(token.text) > len(c) + 1), "")
        cut = len(head)
        out.append(replace(token, text=token.text[cut:], start=token.start + cut) if head else token)
    return out


def bounds_for_words(tokens: list[Token], bounds: Mapping[str, str]) -> list[Token]:
    """The tokens with a sign glued before a figure read as the word for a bound (`>200 meg`, and not `12.6 > 9`).

    Args:
        tokens: The tokens of a text.
        bounds: Sign → word.
    """
    out: list[Token] = []
    for n, token in enumerate(tokens):
        after = tokens[n + 1] if n + 1 < len(tokens) else None
        free = not n or (not token.glued and tokens[n - 1].sort != "number")
        bound = token.text in bounds and after is not None and after.sort == "number" and after.glued and free
        out.append(replace(token, sort="word", text=bounds[token.text]) if bound else token)
    return out


def letters_for_words(tokens: list[Token], letters: Mapping[str, str]) -> list[Token]:
    """The tokens with single letters read as what they stand for, where all of them are labels (`P 14.2. S 13.9.`).

    Args:
        tokens: The tokens of a text.
        letters: Letter → word; all of them have to begin a clause of the text.
    """
    heads = {t.text for n, t in enumerate(tokens) if not n or (tokens[n - 1].sort == "mark" and not t.glued)}
    if not letters or not heads >= set(letters):
        return tokens
    out: list[Token] = []
    for n, token in enumerate(tokens):
        unit = n > 0 and tokens[n - 1].sort == "number"  # `3 s`
        word = "" if unit else letters.get(token.text, "")
        out.append(replace(token, text=word) if word else token)
    return out


Openers = Mapping[str, Sequence[tuple[str, ...]]]
"""First word of an opener → all its words, the longest first."""


def without_closer(tokens: list[Token], closers: frozenset[tuple[str, ...]], not_after: frozenset[str]) -> list[Token]:
    """The tokens without the words that only end a speech (`cheers`, `mate`), where more stands before them.

    Args:
        tokens: The tokens of a text.
        closers: The words of each.
        not_after: Words behind which they are no closers (`I asked my mate`).
    """
    end = len(tokens)
    while end and tokens[end - 1].sort == "mark":
        end -= 1
    for size in range(min(6, end - 1), 0, -1):
        start = end - size
        closes = tuple(t.text for t in tokens[start:end]) in closers
        if closes and (size > 1 or tokens[start - 1].text not in not_after):
            return [*tokens[:start], *tokens[end:]]
    return tokens


def without_opener(
    tokens: list[Token],
    openers: Openers,
    begins: frozenset[str],
    stays: frozenset[str] = frozenset(),
    label: bool = False,
    always: frozenset[str] = frozenset(),
) -> list[Token]:
    """The tokens without the words that only begin to speak (`ok so`, `right then,`), where more follows.

    Args:
        tokens: The tokens of a text.
        openers: The ways to begin.
        begins: Words that begin a statement: only before them is a single word an opener (`well, it's dead`).
        stays: Words before which more words are no opener either (`he says to switch it off`).
        always: Single words that before a comma are always openers (`well, I'd rather not`).
        label: Whether the first word labels what follows: alone it is no opener then (`right no click, left clicks`).
    """
    ways = openers.get(tokens[0].text, ()) if tokens else ()
    found = next((w for w in ways if w == tuple(t.text for t in tokens[: len(w)])), ())
    if len(found) > 1 and len(found) < len(tokens) and tokens[len(found)].text in stays:
        return tokens
    rest = tokens[len(found) :]
    comma = bool(found) and bool(rest) and rest[0].text == ","
    rest = rest[1:] if comma else rest
    free = comma and found[0] in always
    if len(found) == 1 and not free and (label or not (rest and rest[0].text in begins)):
        return tokens
    return rest if any(t.sort != "mark" for t in rest) else tokens


def as_a_whole(tokens: list[Token], whole: Mapping[tuple[str, ...], tuple[str, ...]]) -> list[Token]:
    """The tokens as what they mean, where they are all of a text that says yes, no or nothing (`that's right`).

    Args:
        tokens: The tokens of a text; signs count for nothing.
        whole: All words of such a text → the words that it stands for, perhaps none.
    """
    said = tuple(t.text for t in tokens if t.sort != "mark")
    if said not in whole:
        return tokens
    first, last = tokens[0], tokens[-1]
    return [replace(first, sort="word", text=text, end=last.end) for text in whole[said]]


def without_idle(tokens: list[Token], idle: frozenset[tuple[str, ...]], ends: frozenset[str]) -> list[Token]:
    """The tokens without the sentences, and the words before a first comma, that say nothing (`here we go, 12.4`).

    Args:
        tokens: The tokens of a text.
        idle: All words of each such sentence.
        ends: Signs at which a sentence ends.
    """
    out: list[Token] = []
    start = 0
    for n, token in enumerate([*tokens, None]):
        comma = token is not None and not start and token.text == ","
        if token is not None and token.text not in ends and not comma:
            continue
        part = tokens[start:n]
        if tuple(t.text for t in part) not in idle:
            out += [*part, *([token] if token is not None else [])]
        start = n + 1
    return out


Plainer = Mapping[str, Mapping[tuple[str, ...], tuple[str, ...]]]
"""First word of a way of saying it → all its words → the plainer words that it is read as."""


def _longest_way(tokens: Sequence[Token], at: int, ways: Mapping[tuple[str, ...], tuple[str, ...]]) -> tuple[str, ...]:
    """The longest of these ways that stands at a place; they are listed with the longest first."""
    longest = len(next(iter(ways), ()))
    words = tuple(t.text for t in tokens[at : at + longest])
    return next((words[:size] for size in range(len(words), 0, -1) if words[:size] in ways), ())


def said_plainly(tokens: Sequence[Token], plain: Plainer) -> list[Token]:
    """The tokens with ways of saying it put into plainer ones; what stands for a sign is read as that sign.

    Args:
        tokens: The tokens of a text.
        plain: Those ways, and what they stand for.
    """
    out: list[Token] = []
    at = 0
    while at < len(tokens):
        ways = plain.get(tokens[at].text, {})
        found = _longest_way(tokens, at, ways)
        if not found:
            out.append(tokens[at])
            at += 1
            continue
        end = tokens[at + len(found) - 1].end
        for text in ways[found]:
            sort = "word" if text[0].isalpha() else "mark"
            out.append(replace(tokens[at], sort=sort, text=text, end=end, glued=tokens[at].glued and sort == "word"))
        at += len(found)
    return out
