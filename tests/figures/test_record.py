"""What is remembered of a learner comes back as it was, wherever it was kept."""

from __future__ import annotations

import pytest

from hoofcalc.figures import record

WHEN, LATER = "2026-11-01T10:00:00Z", "2026-11-02T10:00:00Z"


def test_what_is_remembered_comes_back_from_the_text() -> None:
    name = record.key("predict", "underrun")
    value = {"drawn": [1.5, None, 2.0], "shown": False}
    kept = record.with_entry(record.empty(), name, value, WHEN)
    assert record.value_of(record.read(record.text_of(kept)), name) == value
    assert record.value_of(kept, "answer/underrun/rule") is None
    assert record.value_of(record.empty(), name) is None, "the first record is left as it was"


def test_two_records_become_one_and_the_later_entry_stays() -> None:
    one = record.with_entry(record.empty(), "a", 1, WHEN)
    one = record.with_entry(one, "b", 1, LATER)
    other = record.with_entry(record.empty(), "a", 2, LATER)
    other = record.with_entry(other, "b", 2, WHEN)
    for both in (record.merged(one, other), record.merged(other, one)):
        assert (record.value_of(both, "a"), record.value_of(both, "b")) == (2, 1)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "not JSON"),
        ("{", "not JSON"),
        ("[" * 100_000, "not JSON"),
        ("[1]", "something else"),
        ('{"entries": {}}', "something else"),
        ('{"hoofcalc": 1, "entries": []}', "something else"),
        ('{"hoofcalc": 2, "entries": {}}', "of version 2"),
        ('{"hoofcalc": 1, "entries": {"a": 3}}', "the entry 'a' must hold"),
        ('{"hoofcalc": 1, "entries": {"a": {"value": 1}}}', "the entry 'a' must hold"),
        (" " * 2_000_001, "at most 2000000 letters"),
    ],
)
def test_a_file_that_is_no_record_is_refused_in_words(text: str, says: str) -> None:
    with pytest.raises(ValueError, match=says):
        record.read(text)


def test_only_plain_data_is_kept() -> None:
    for value in (object(), float("nan"), {1, 2}):
        with pytest.raises(ValueError, match="value must be plain data"):
            record.with_entry(record.empty(), "a", value, WHEN)
    with pytest.raises(ValueError, match="kind must be one of"):
        record.key("weather", "underrun")
