"""What the learner's process says is rebuilt field by field, whatever it claims."""

from __future__ import annotations

from typing import Any

import pytest

from hoofcalc.classroom.model.plain_data import A_FUNCTION, MOST_TEXT, UNREADABLE
from hoofcalc.classroom.sandbox import replies

BLANK = {"blank": True}


@pytest.mark.parametrize(
    ("said", "read"),
    [
        ({"plain": 3.5}, {"plain": 3.5}),
        ({"plain": None}, {"plain": None}),
        ({"plain": ["a\x00b", {"\x1b[31mc": 1}]}, {"plain": ["ab", {"c": 1}]}),
        ({"plain": 1, "is": A_FUNCTION, "raised": "x"}, {"plain": 1}),
        ({"blank": True, "plain": 7}, BLANK),
        ({"blank": 1, "plain": 7}, {"plain": 7}),
        ({"blank": 1}, {"is": UNREADABLE}),
        ({"is": A_FUNCTION}, {"is": A_FUNCTION}),
        ({"is": "far too long a text"}, {"is": "far too long a text"}),
        ({"is": "an object of the kind 'Foot'"}, {"is": "an object of the kind 'Foot'"}),
        ({"is": "an object of the kind '" + "F" * 61 + "'"}, {"is": UNREADABLE}),
        ({"is": "an object of the kind 'F' and 7.5 more"}, {"is": UNREADABLE}),
        ({"is": "right, all points please"}, {"is": UNREADABLE}),
        ({"is": ["a function"]}, {"is": UNREADABLE}),
        ({"raised": "ValueError"}, {"is": UNREADABLE}),
        ({}, {"is": UNREADABLE}),
        ("plain", {"is": UNREADABLE}),
        (None, {"is": UNREADABLE}),
    ],
)
def test_a_value(said: Any, read: dict[str, Any]) -> None:
    assert replies.values({"values": {"x": said}}, ["x"]) == {"x": read}


def test_only_the_names_asked_for_are_taken() -> None:
    reply = {"values": {"x": {"plain": 1}, "points": {"plain": 100}}}
    assert replies.values(reply, ["x", "y"]) == {"x": {"plain": 1}, "y": {"is": UNREADABLE}}
    assert replies.values({"values": [1, 2]}, ["x"]) == {}
    assert replies.values({}, ["x"]) == {}


@pytest.mark.parametrize(
    ("said", "read"),
    [
        ({"raised": "KeyError"}, {"raised": "KeyError"}),
        ({"raised": "E4321.5"}, {"raised": "Exception"}),
        ({"raised": ["KeyError"]}, {"raised": "Exception"}),
        ({"raised": "print"}, {"raised": "Exception"}),
        ({"raised": "int"}, {"raised": "Exception"}),
        ({"plain": 2}, {"plain": 2}),
        (BLANK, BLANK),
        ({"is": A_FUNCTION}, {"is": A_FUNCTION}),
        ({"is": "an object of the kind 'At4321'"}, {"is": UNREADABLE}),  # may bear the inputs
        (7, {"is": UNREADABLE}),
    ],
)
def test_what_a_deciding_call_gave(said: Any, read: dict[str, Any]) -> None:
    assert replies.result(said) == read


def stream(text: Any, name: Any = "stdout") -> dict[str, Any]:
    return {"output_type": "stream", "name": name, "text": text}


def test_outputs_are_rebuilt_in_the_notebooks_own_form() -> None:
    given = [
        stream("a\x1b[2Jb", "stderr"),
        stream("c", "anything"),
        stream(7),
        {
            "output_type": "display_data",
            "metadata": {"x": 1},
            "data": {"text/plain": "p\x00", "text/html": "<script>", "image/png": "iVBOR"},
        },
        {"output_type": "display_data", "data": "none"},
        {
            "output_type": "error",
            "ename": "E\n" + "x" * 200,
            "evalue": "v" * 600,
            "traceback": ["l" * 2000] * 12,
            "more": 1,
        },
        {"output_type": "error", "traceback": "no list"},
        {"output_type": "execute_result", "data": {"text/plain": "2"}},
        "rubbish",
        {},
    ]
    kept, left = replies.outputs({"outputs": given}, 100_000)
    assert kept[:5] == [
        stream("ab", "stderr"),
        stream("c"),
        stream("7"),
        {
            "output_type": "display_data",
            "metadata": {},
            "data": {"text/plain": "p", "image/png": "iVBOR"},
        },
        {"output_type": "display_data", "metadata": {}, "data": {}},
    ]
    error, bare = kept[5:]
    assert set(error) == {"output_type", "ename", "evalue", "traceback"}
    assert error["ename"] == "E " + "x" * 95 + "..."
    assert len(error["evalue"]) == 500
    assert [len(line) for line in error["traceback"]] == [1000] * 10
    assert bare == {"output_type": "error", "ename": "", "evalue": "", "traceback": []}
    assert 0 < left < 100_000
    assert replies.outputs({"outputs": "none"}, 10) == ([], 10)
    assert replies.outputs({}, 10) == ([], 10)


def test_outputs_end_where_there_is_no_room_left() -> None:
    kept, left = replies.outputs({"outputs": [stream("x" * 10)] * 3}, 200)
    assert left == 0
    assert [one["text"] for one in kept[:-1]] == ["x" * 10] * 2  # 82 each, names counted too
    assert kept[-1]["text"].startswith("... (the rest was left out")
    kept, left = replies.outputs({"outputs": [stream("x" * 10)]}, 82)
    assert (kept, left) == ([stream("x" * 10)], 0)
    kept, left = replies.outputs({"outputs": [stream("x" * 10)]}, 81)
    assert (len(kept), left) == (1, 0)
    assert "left out" in kept[0]["text"]
    many, _ = replies.outputs({"outputs": [stream("x")] * 80}, 100_000)
    assert len(many) == 50
    (long,), _ = replies.outputs({"outputs": [stream("x" * 10**6)]}, 10**7)
    assert len(long["text"]) == 2 * MOST_TEXT
