"""The formgrader of nbgrader on a gradebook of `hoofcalc mark`, and a mark changed in it."""

from __future__ import annotations

import csv
import json
import os
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from hoofcalc import cli
from hoofcalc.classroom.grading.marking import load_assignment
from hoofcalc.classroom.model.bank import fill

pytestmark = [pytest.mark.slow, pytest.mark.browser]

COURSE = Path(__file__).resolve().parents[2] / "exercises"
NAME = "04-columns"
TOKEN = "for-this-test-only"


@contextmanager
def jupyter(folder: Path) -> Iterator[str]:
    """JupyterLab opened inside `folder`, as the guide says; its address."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    with (folder.parent / "jupyter.log").open("wb") as log:
        server = subprocess.Popen(
            [
                *(sys.executable, "-m", "jupyterlab", "--no-browser", "--allow-root"),
                f"--ServerApp.port={port}",
                "--ServerApp.port_retries=0",
            ],
            cwd=folder,
            env={**os.environ, "JUPYTER_TOKEN": TOKEN},
            stdin=subprocess.DEVNULL,
            stdout=log,
            stderr=log,
        )
    try:
        end = time.monotonic() + 120
        while not _answers(f"http://127.0.0.1:{port}/api?token={TOKEN}"):
            assert server.poll() is None, "JupyterLab ended"
            assert time.monotonic() < end, "JupyterLab does not answer"
            time.sleep(0.5)
        yield f"http://127.0.0.1:{port}"
    finally:
        server.terminate()
        try:
            server.wait(timeout=30)
        except subprocess.TimeoutExpired:
            server.kill()
            server.wait(timeout=10)


def _answers(address: str) -> bool:
    try:
        with urllib.request.urlopen(address, timeout=10) as reply:
            return bool(reply.status == 200)
    except (OSError, urllib.error.URLError):
        return False


def marks(results: Path) -> dict[str, dict[str, str]]:
    with (results / f"marks-{NAME}.csv").open(encoding="utf-8-sig", newline="") as stream:
        return {row["id"]: row for row in csv.DictReader(stream)}


def test_a_walk_through_the_formgrader(
    browser: Any, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder, results = tmp_path / "in", tmp_path / "in-results"
    folder.mkdir()
    assignment = load_assignment(COURSE, NAME)
    for learner in ("anna", "bert"):
        notebook = fill(assignment.exercise, assignment.original, learner, {}, reference=True)
        (folder / f"{learner}.ipynb").write_text(json.dumps(notebook), encoding="utf-8")
    call = ["mark", str(folder), "--exercise", NAME]
    assert cli.main(call) == 0
    # nbgrader's own commands use the course's settings; the formgrader's pages must bear them
    settings = results / "course" / "nbgrader_config.py"
    settings.write_text(settings.read_text() + (COURSE / "nbgrader_config.py").read_text())

    with jupyter(results / "course") as address:
        page = browser.new_page()
        troubles: list[str] = []
        page.on("response", lambda one: troubles.append(one.url) if one.status >= 500 else None)
        page.goto(f"{address}/formgrader/manage_assignments?token={TOKEN}")
        page.get_by_text(NAME, exact=True).first.wait_for()
        page.goto(f"{address}/formgrader/gradebook")
        page.get_by_role("link", name=NAME).first.click()
        page.get_by_role("link", name=NAME).first.click()
        page.get_by_role("link", name="Submission #1").click()
        score = page.locator("#\\30 4-1-check")
        score.wait_for()
        page.wait_for_function("document.getElementById('04-1-check').placeholder !== ''")
        assert "base_moment" in page.content()  # the learner's own work is to be seen
        learner = page.title() + page.content()
        assert "anna" in learner or "bert" in learner
        for cell, points in (("04-1-check", "0.25"), ("04-5-answer", "1.5")):
            with page.expect_response(
                lambda one: one.request.method == "PUT" and "/api/grade/" in one.url
            ) as saved:
                field = page.locator(f"input[id='{cell}']")
                field.fill(points)
                field.press("Tab")
            assert saved.value.ok
        with page.expect_response(lambda one: one.request.method == "PUT") as saved:
            words = page.locator("textarea[id='04-5-answer-comment']")
            words.fill("Well put.")
            words.press("Tab")
        assert saved.value.ok
        assert troubles == []

    for again in ([], ["--again"]):
        capsys.readouterr()
        assert cli.main([*call, *again]) == 0
        rows = marks(results)
        changed = {one for one, row in rows.items() if row["question 1"] == "0.25"}
        assert len(changed) == 1
        (who,) = changed
        assert (rows[who]["question 5"], rows[who]["to mark by hand"]) == ("1.5", "0")
        feedback = (results / "feedback" / NAME / f"{who}.html").read_text(encoding="utf-8")
        assert "Changed by your marker: 0.25 of 1 point" in feedback
        assert "Well put." in feedback
