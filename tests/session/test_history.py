"""The history of a case: what went in and came out, as it was, in little room."""

from __future__ import annotations

import json

from hypothesis import given
from hypothesis import strategies as st

from assistant.knowledge import load
from assistant.session import Session
from assistant.session.history import History

DATA = st.dictionaries(st.text(), st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text())


@given(st.lists(st.tuples(DATA, DATA)), st.tuples(DATA, DATA))
def test_it_gives_back_what_it_was_given_in_order(exchanges: list[tuple[dict, dict]], last: tuple[dict, dict]) -> None:  # type: ignore[type-arg]
    history = History(exchanges)
    history.add(*last)
    assert list(history) == [*exchanges, last]
    assert history[-1] == last and list(history[1:]) == [*exchanges, last][1:] and len(history) == len(exchanges) + 1


def test_a_case_keeps_what_it_gave_in_a_third_of_its_length() -> None:
    session = Session(load())
    outs = [session.take({"say": f"12.{n} V at the studs at rest, panel dark"}) for n in range(4)]
    assert [out for _, out in session.history] == json.loads(json.dumps(outs))
    kept = sum(len(packed) for packed in session.history._packed)
    assert kept < sum(len(json.dumps(out)) for out in outs) / 3
