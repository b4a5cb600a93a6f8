"""Canonical JSON against RFC 8785 (JSON Canonicalization Scheme, June 2020)."""

from __future__ import annotations

import hashlib
import json
import struct

import pytest

from assistant.errors import JournalError
from assistant.journal import canonical, plain

# source: RFC 8785 section 3.2.2, the sample object and its canonical form
SAMPLE = (
    '{"numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001], '
    '"string": "\\u20ac$\\u000F\\u000aA\'\\u0042\\u0022\\u005c\\\\\\"\\/", "literals": [null, true, false]}'
)
SAMPLE_OUT = (
    '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
    '"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
)

# source: the authors' published test data (files arrays, structures, values): canonical text, its length in
# bytes, and SHA-256 of it
PUBLISHED = [
    (
        '[56, {"d": true, "10": null, "1": []}]',
        '[56,{"1":[],"10":null,"d":true}]',
        32,
        "099601b171cafed97c333f8878d68e7f8c8f795412adb34b2fdcf0e7c7beac42",
    ),
    (
        '{"1": {"f": {"f": "hi","F": 5} ,"\\n": 56.0}, "10": { }, "": "empty", "a": { }, '
        '"111": [ {"e": "yes","E": "no" } ], "A": { } }',
        '{"":"empty","1":{"\\n":56,"f":{"F":5,"f":"hi"}},"10":{},"111":[{"E":"no","e":"yes"}],"A":{},"a":{}}',
        98,
        "605f65004ec2db7692522a0852c22f1c989e036d547e88963d1a3143cf3195d5",
    ),
    (SAMPLE, SAMPLE_OUT, 118, "2d5e01a318d0f0879ab568c4be289c8b1f64ef8921a53c6277d5e069978baacb"),
]

# source: RFC 8785 appendix B, IEEE 754 bits and the text of the number
NUMBERS = """
0000000000000000 0
8000000000000000 0
0000000000000001 5e-324
8000000000000001 -5e-324
7fefffffffffffff 1.7976931348623157e+308
ffefffffffffffff -1.7976931348623157e+308
4340000000000000 9007199254740992
c340000000000000 -9007199254740992
4430000000000000 295147905179352830000
44b52d02c7e14af5 9.999999999999997e+22
44b52d02c7e14af6 1e+23
44b52d02c7e14af7 1.0000000000000001e+23
444b1ae4d6e2ef4e 999999999999999700000
444b1ae4d6e2ef4f 999999999999999900000
444b1ae4d6e2ef50 1e+21
3eb0c6f7a0b5ed8c 9.999999999999997e-7
3eb0c6f7a0b5ed8d 0.000001
41b3de4355555553 333333333.3333332
41b3de4355555554 333333333.33333325
41b3de4355555555 333333333.3333333
41b3de4355555556 333333333.3333334
41b3de4355555557 333333333.33333343
becbf647612f3696 -0.0000033333333333333333
43143ff3c1cb0959 1424953923781206.2
"""


@pytest.mark.parametrize(("given", "expected", "length", "digest"), PUBLISHED)
def test_published_documents(given: str, expected: str, length: int, digest: str) -> None:
    out = canonical(json.loads(given))
    assert out == expected.encode() == canonical(plain(given.encode()))
    assert len(out) == length and hashlib.sha256(out).hexdigest() == digest


@pytest.mark.parametrize("row", NUMBERS.split("\n")[1:-1])
def test_numbers_of_appendix_b(row: str) -> None:
    bits, text = row.split()
    value = struct.unpack(">d", bytes.fromhex(bits))[0]
    assert canonical(value) == text.encode()
    assert canonical(plain(text.encode())) == text.encode()


@pytest.mark.parametrize("bits", ["7fffffffffffffff", "7ff0000000000000", "fff0000000000000"])
def test_what_is_no_number_is_an_error(bits: str) -> None:
    # source: RFC 8785 section 3.2.2.3: NaN and Infinity must make the serializer stop with an error
    with pytest.raises(JournalError):
        canonical(struct.unpack(">d", bytes.fromhex(bits))[0])


def test_keys_sort_by_utf_16_code_units() -> None:
    # source: RFC 8785 section 3.2.3, the sorting sample: the keys in their right order
    order = ["\r", "1", "\x80", "\xf6", "\u20ac", "\U0001f600", "\ufb33"]
    out = canonical(dict.fromkeys(reversed(order), ""))
    assert list(json.loads(out)) == order


def test_no_unicode_normalisation() -> None:
    # source: RFC 8785 section 3.1: strings are kept as they are; the letter and its ring stay two code points
    assert canonical("A\u030a") == b'"A\xcc\x8a"'


def test_lone_surrogates_are_an_error() -> None:
    # source: RFC 8785 section 3.2.2.2: invalid Unicode such as a lone surrogate must be an error
    with pytest.raises(JournalError):
        canonical("\ud800")
