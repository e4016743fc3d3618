"""JupyterLab on the learner's folder: it answers, keeps its door shut, and goes when asked."""

from __future__ import annotations

import contextlib
import json
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request

import pytest

from hoofcalc._where import course_folder
from hoofcalc.classroom.workspace import serving
from hoofcalc.classroom.workspace.learner_folder import NOTES
from hoofcalc.cli import main

pytestmark = [pytest.mark.slow]


@pytest.fixture
def folder(tmp_path):
    """A folder with a space and an umlaut in its name, as learners have them."""
    folder = tmp_path / "Mein Kürs"
    (folder / NOTES).mkdir(parents=True)
    return folder


def reply(url: str) -> int:
    try:
        with urllib.request.urlopen(url, timeout=10) as answer:
            return answer.status
    except urllib.error.HTTPError as refusal:
        return refusal.code


def test_it_answers_only_with_its_token_and_ends_with_the_block(folder, monkeypatch):
    """On the next port, where another program has the first."""
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        monkeypatch.setattr(serving, "_FIRST_PORT", port)
        with serving.jupyterlab(folder) as (address, server):
            assert address.port != port
            assert reply(address.url("lab")) == 200
            assert reply(address.url("api/contents").replace(address.token, "wrong")) == 403
            assert serving.already_running(folder) == address
            with urllib.request.urlopen(address.url("lab/api/settings"), timeout=10) as answer:
                settings = json.load(answer)["settings"]
            news = [s for s in settings if s["id"] == "@jupyterlab/apputils-extension:notification"]
            assert news
            assert news[0]["schema"]["properties"]["fetchNews"]["default"] == "false"
    assert server.poll() is not None
    assert serving.already_running(folder) is None


def test_a_server_that_cannot_start_says_its_last_words(folder):
    program = ("-c", "import sys; sys.exit('there is no room here')")
    server = serving.jupyterlab(folder, program=program)
    with pytest.raises(serving.ServerError, match=r"did not start(.|\n)*there is no room"), server:
        pass


def test_a_server_that_never_answers_is_not_waited_for_for_ever(folder):
    program = ("-c", "import time; print('thinking', flush=True); time.sleep(60)")
    server = serving.jupyterlab(folder, program=program, wait_s=2.0)
    with pytest.raises(serving.ServerError, match=r"within 2 seconds(.|\n)*thinking"), server:
        pass


#: A shell that starts the tests in the background makes them, and what they start, deaf to Ctrl-C.
hear_ctrl_c = None if os.name == "nt" else lambda: signal.signal(signal.SIGINT, signal.SIG_DFL)


def test_the_whole_command_prints_the_address_and_works_again_the_next_day(tmp_path):
    own = tmp_path / "course"
    command = [sys.executable, "-m", "hoofcalc.cli", "lessons", "--no-browser", "--folder", own]
    for day in range(2):
        first = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, preexec_fn=hear_ctrl_c)
        try:
            said = ""
            while "Ctrl-C" not in said:
                line = first.stdout.readline()
                assert line, f"ended without an address: {said}"
                said += line
            url = re.search(r"http://127\.0\.0\.1:\d+/\S+", said)[0]
            assert reply(url) == 200
            if day == 0:
                second = subprocess.run(command, capture_output=True, text=True, check=True)
                assert "open already" in second.stdout
                assert url in second.stdout
            first.send_signal(signal.SIGINT)
            rest, _ = first.communicate(timeout=60)
            assert "Stopped" in rest
            assert first.returncode == 0
        finally:
            first.kill()
            first.wait()
        assert ("laid into" in said) == (day == 0)


@pytest.mark.skipif(os.name == "nt", reason="Windows ends a program without asking it")
def test_ended_from_outside_it_takes_jupyterlab_with_it(tmp_path):
    own = tmp_path / "course"
    command = [sys.executable, "-m", "hoofcalc.cli", "lessons", "--no-browser", "--folder", own]
    course = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    try:
        said = ""
        while "Ctrl-C" not in said:
            line = course.stdout.readline()
            assert line, f"ended without an address: {said}"
            said += line
        course.terminate()
        course.communicate(timeout=60)
        assert serving.already_running(own) is None
        with pytest.raises(urllib.error.URLError):
            reply(re.search(r"http://127\.0\.0\.1:\d+/\S+", said)[0])
    finally:
        course.kill()
        course.wait()


def test_check_runs_the_first_lesson_and_reports(tmp_path, capsys):
    assert main(["lessons", "--check", "--folder", str(tmp_path / "course")]) == 0
    assert "All is well" in capsys.readouterr().out


def test_check_says_when_a_lesson_does_not_run(tmp_path, capsys):
    own = tmp_path / "course"
    shutil.copytree(course_folder("lessons"), own / "lessons")
    first = min((own / "lessons").glob("*.ipynb"))
    lesson = json.loads(first.read_text(encoding="utf-8"))
    lesson["cells"].append(
        {
            "cell_type": "code",
            "id": "broken",
            "execution_count": None,
            "metadata": {},
            "outputs": [],
            "source": "1 / 0",
        }
    )
    first.write_text(json.dumps(lesson), encoding="utf-8")
    assert main(["lessons", "--check", "--folder", str(own)]) == 1
    assert "does not run" in capsys.readouterr().err


@pytest.mark.skipif(os.name == "nt", reason="waits for a process group")
def test_nothing_is_left_running(folder):
    with serving.jupyterlab(folder, program=("-m", "jupyter_server")) as (_, server):
        group = server.pid
    end = time.monotonic() + 5.0
    with contextlib.suppress(ProcessLookupError):
        while True:
            os.killpg(group, 0)
            assert time.monotonic() < end, "something is left"
            time.sleep(0.05)
