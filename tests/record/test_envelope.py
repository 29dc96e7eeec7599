"""An event is canonical JSON named by its hash; what no reader keeps exact is refused."""

from __future__ import annotations

import hashlib
import json

import pytest
import rfc8785  # an independent writer of RFC 8785, the JSON Canonicalization Scheme
from hypothesis import given
from hypothesis import strategies as st
from msgspec import Raw

from siltline.errors import Broken
from siltline.record.envelope import LARGE, LARGEST, Late, canonical, heads, seal, unseal

TEXT = st.text(st.characters(exclude_categories=("Cs",)))
VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-LARGEST, LARGEST) | TEXT,
    lambda inner: st.lists(inner) | st.dictionaries(st.text(st.characters(codec="ascii")), inner),
    max_leaves=20,
)
STAMP = {"at": "2026-03-12T08:00:00.000-05:00", "device": "aa", "by": None}


@given(st.dictionaries(st.text(st.characters(codec="ascii")), VALUES))
def test_canonical_json_is_that_of_rfc_8785(value: dict[str, object]) -> None:
    assert canonical(value).encode("utf-8") == rfc8785.dumps(value)


@given(st.dictionaries(st.text(st.characters(codec="ascii")), VALUES))
def test_an_event_read_back_is_the_event_that_was_sealed(body: dict[str, object]) -> None:
    event = seal("ticked", body, parents=("b", "a"), **STAMP)
    assert event.id == hashlib.sha256(event.text.encode("utf-8")).hexdigest()
    assert unseal(event.text, event.id) == event
    assert event.parents == ("a", "b")


@given(st.dictionaries(st.text(st.characters(codec="ascii")), VALUES))
def test_a_large_event_reads_the_same_though_its_parts_are_decoded_late(
    body: dict[str, object],
) -> None:
    whole = {**body, "padding": "." * LARGE}
    event = seal("ticked", whole, parents=("a",), **STAMP)
    read = unseal(event.text, event.id)
    assert isinstance(read.body, Late)
    assert dict(read.body) == whole
    assert read == event
    assert seal("ticked", dict(read.body), parents=("a",), **STAMP).text == event.text


def test_whether_a_part_is_there_is_told_without_decoding_it() -> None:
    body = Late({"plan": Raw(b"{this is never decoded")})
    assert "plan" in body
    assert "sheet" not in body
    assert body.get("sheet") is None


@pytest.mark.parametrize(
    ("part", "broken"),
    [('"body":{', '"body":[{'), ('"a":"', '"a":'), ('"v":1', '"v":2'), ('"v":1', '"v":1,"w":1')],
)
def test_a_large_event_that_is_none_is_refused_when_it_is_read(part: str, broken: str) -> None:
    text = seal("ticked", {"a": "." * LARGE}, parents=(), **STAMP).text
    assert part in text
    with pytest.raises(Broken):
        unseal(text.replace(part, broken, 1), "0" * 64)


@pytest.mark.parametrize("value", [1.5, float("nan"), b"x", {1}, 2**53, object()])
def test_what_no_reader_keeps_exact_is_refused(value: object) -> None:
    with pytest.raises(TypeError):
        seal("ticked", {"deep": [{"value": value}]}, parents=(), **STAMP)


def test_keys_past_ascii_and_lone_surrogates_are_refused() -> None:
    with pytest.raises(TypeError, match="ASCII"):
        canonical({"é": 1})
    with pytest.raises(UnicodeEncodeError):
        canonical({"a": "\ud800"})


def test_the_envelope_of_the_first_version_is_fixed_for_ever() -> None:
    event = seal("ticked", {"step": "a/b"}, parents=("f" * 64,), **STAMP)
    assert event.text == (
        '{"at":"2026-03-12T08:00:00.000-05:00","body":{"step":"a/b"},"by":null,"device":"aa",'
        '"kind":"ticked","parents":["' + "f" * 64 + '"],"v":1}'
    )


@pytest.mark.parametrize("text", ["", "[]", "{}", '{"v":2}', "null", "[" * 100_000])
def test_what_is_no_envelope_is_told_as_a_fault_of_the_file(text: str) -> None:
    with pytest.raises(Broken):
        unseal(text, "0" * 64)


def test_an_envelope_of_another_version_is_refused() -> None:
    event = seal("ticked", {}, parents=(), **STAMP)
    newer = json.dumps({**json.loads(event.text), "v": 2})
    with pytest.raises(Broken):
        unseal(newer, event.id)


def test_heads_are_the_events_that_nothing_was_written_upon() -> None:
    first = seal("begun", {}, parents=(), **STAMP)
    left = seal("ticked", {"n": 1}, parents=(first.id,), **STAMP)
    right = seal("ticked", {"n": 2}, parents=(first.id,), **STAMP)
    assert heads([first, left, right]) == tuple(sorted((left.id, right.id)))
    joined = seal("ticked", {"n": 3}, parents=(left.id, right.id), **STAMP)
    assert heads([first, left, right, joined]) == (joined.id,)
