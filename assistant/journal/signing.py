"""Signatures over heads (Ed25519): who vouched for which length of a journal.

The chain alone shows that nothing inside a journal was changed. It cannot show that the end was not cut off,
nor that the whole was not written anew by whoever holds the file. A signature over a head, or the head itself
kept elsewhere, can: up to the entry that it names.

Signatures stand beside the journal, one JSON object a line, in a file of the same name with `.signed` added.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, cast

from assistant.errors import JournalError
from assistant.journal.canonical import canonical, plain
from assistant.journal.verify import Checked

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey

State = Literal["good", "not_trusted", "forged", "other_entry", "cut_off", "unreadable"]

STATES: Mapping[State, str] = {
    "good": "signed by a trusted key, and the journal is the same up to there",
    "not_trusted": "the journal is the same up to there, but nobody vouched for the key",
    "forged": "the signature does not fit the key and the head",
    "other_entry": "the entry that was signed is not the one that stands there now",
    "cut_off": "the journal is shorter than when it was signed: its end was cut off",
    "unreadable": "the line is not a signature",
}


@dataclass(frozen=True)
class Vouched:
    """What one signature is worth."""

    state: State
    entries: int
    """How many entries of the journal it covers, the header included."""
    key: str
    """The public key, in hex."""

    @property
    def sound(self) -> bool:
        """Whether it contradicts nothing."""
        return self.state in ("good", "not_trusted")


def signed_path(journal: Path) -> Path:
    """Where the signatures of a journal stand."""
    return journal.with_name(journal.name + ".signed")


def new_key(path: Path) -> str:
    """Make a key: the private half in `path` (readable by its owner only), the public in `path`.pub.

    Returns:
        The public key in hex.

    Raises:
        JournalError: A file is there already or cannot be written.
    """
    from cryptography.hazmat.primitives import serialization

    key = _library().Ed25519PrivateKey.generate()
    private = key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    )
    public = _hex(key.public_key())
    _write_new(path, private, 0o600)
    _write_new(path.with_name(path.name + ".pub"), public.encode("ascii") + b"\n", 0o644)
    return public


def sign(checked: Checked, journal: Path, key_file: Path) -> str:
    """Sign the head of a checked journal; return the public key in hex.

    Raises:
        JournalError: The journal has a problem, the key cannot be read, or the signature cannot be written.
    """
    if checked.problems or not checked.good_entries:
        raise JournalError(f"{journal} is not whole: only a sound journal is signed")
    key = _private_key(key_file)
    claim = {"entries": checked.good_entries, "head": checked.head}
    line = {**claim, "key": _hex(key.public_key()), "signature": key.sign(_message(claim)).hex()}
    try:
        with signed_path(journal).open("ab") as file:
            file.write(canonical(line) + b"\n")
            file.flush()
            os.fsync(file.fileno())
    except OSError as error:
        raise JournalError(f"the signature cannot be written: {error.strerror}") from error
    return str(line["key"])


def signatures(checked: Checked, journal: Path, trusted: Iterable[str] = ()) -> tuple[Vouched, ...]:
    """Judge every signature that stands beside a journal.

    Args:
        checked: The journal as checked.
        journal: Where it stands.
        trusted: Public keys in hex that somebody vouches for.
    """
    path = signed_path(journal)
    if not path.exists():
        return ()
    _library()
    seals = dict(enumerate(checked.seals, 1))
    trust = {key.strip().lower() for key in trusted}
    try:
        lines = path.read_bytes().splitlines()
    except OSError as error:
        raise JournalError(f"{path} cannot be read: {error.strerror}") from error
    return tuple(_judge(line, seals, trust) for line in lines)


def public_key(text_or_file: str) -> str:
    """A public key in hex, from the text itself or from a `.pub` file.

    Raises:
        JournalError: It is neither.
    """
    text = text_or_file
    if not _is_key(text):
        try:
            text = Path(text_or_file).read_text(encoding="ascii").strip()
        except (OSError, ValueError) as error:
            raise JournalError(f"{text_or_file} is neither a public key nor a file with one") from error
    if not _is_key(text):
        raise JournalError(f"{text_or_file} holds no public key (64 hex digits)")
    return text.lower()


def _judge(line: bytes, seals: Mapping[int, str], trust: set[str]) -> Vouched:
    try:
        data = plain(line)
        entries, key = int(data["entries"]), str(data["key"])
        claim = {"entries": entries, "head": str(data["head"])}
        signature = bytes.fromhex(data["signature"])
        public = _library().Ed25519PublicKey.from_public_bytes(bytes.fromhex(key))
    except (JournalError, KeyError, TypeError, ValueError):
        return Vouched("unreadable", 0, "")
    return Vouched(_state(public, signature, claim, seals, key in trust), entries, key)


def _state(
    public: Ed25519PublicKey,
    signature: bytes,
    claim: Mapping[str, Any],
    seals: Mapping[int, str],
    trusted: bool,
) -> State:
    from cryptography.exceptions import InvalidSignature

    try:
        public.verify(signature, _message(claim))
    except InvalidSignature:
        return "forged"
    seal = seals.get(claim["entries"])
    if seal is None:
        return "cut_off"
    if seal != claim["head"]:
        return "other_entry"
    return "good" if trusted else "not_trusted"


def _message(claim: Mapping[str, Any]) -> bytes:
    """What is signed: it says what it is, so that no other signature of the key can stand for it."""
    return canonical({"what": "springline journal head", **claim})


def _private_key(path: Path) -> Ed25519PrivateKey:
    from cryptography.hazmat.primitives import serialization

    ed25519 = _library()
    try:
        key = serialization.load_pem_private_key(path.read_bytes(), password=None)
    except (OSError, ValueError, TypeError) as error:
        raise JournalError(f"{path} is not a key made by 'springline key new'") from error
    if not isinstance(key, ed25519.Ed25519PrivateKey):
        raise JournalError(f"{path} is a key of another kind; 'springline key new' makes one")
    return cast("Ed25519PrivateKey", key)


def _hex(key: Ed25519PublicKey) -> str:
    return key.public_bytes_raw().hex()


def _is_key(text: str) -> bool:
    return len(text) == 64 and not text.lower().strip("0123456789abcdef")


def _write_new(path: Path, data: bytes, mode: int) -> None:
    try:
        descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode)
    except OSError as error:
        raise JournalError(f"{path} cannot be made: {(error.strerror or '').lower()}") from error
    with os.fdopen(descriptor, "wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _library() -> Any:
    """The optional package; asked for only where a key or a signature is at hand."""
    try:
        from cryptography.hazmat.primitives.asymmetric import ed25519
    except ImportError as error:
        raise JournalError("signing needs one more package: pip install 'springline[sign]'") from error
    return ed25519
