"""Answers asked for ahead of time: never another setting's, and Python stands where the hand is."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from hoofcalc.figures.web import asset


def test_answers_ahead_of_time_change_nothing_but_the_wait() -> None:
    program = shutil.which("node")
    if program is None:
        pytest.skip("no Node found: the figures' scripts are not tried by themselves")
    script = asset("figure.js").replace("export function", "function")
    checks = Path(__file__).with_name("ahead.cjs").read_text("utf-8")
    whole = script.replace("export default { render };", "") + checks
    done = subprocess.run([program, "-"], input=whole, capture_output=True, text=True, timeout=60)
    assert done.returncode == 0, done.stderr
    assert done.stdout.count("\n") == checks.count('  async "')
