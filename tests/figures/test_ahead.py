"""Answers asked for ahead of time: never another setting's, and Python stands where the hand is."""

from __future__ import annotations

from pathlib import Path


def test_answers_ahead_of_time_change_nothing_but_the_wait(printed_by_node, figure_script) -> None:
    checks = Path(__file__).with_name("ahead.cjs").read_text("utf-8")
    said = printed_by_node(figure_script + checks)
    assert said.count("\n") == checks.count('  async "')
