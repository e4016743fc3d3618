"""The desk as the command opens it: with its key only, and nothing is left when it is closed."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import urllib.error
import urllib.request
from contextlib import contextmanager
from pathlib import Path

import pytest

from hoofcalc.case.case import Case, new_case
from hoofcalc.case.desk import serving
from hoofcalc.case.desk.serving import open_desk

pytestmark = [pytest.mark.slow]

OPEN = "import sys; from pathlib import Path; from hoofcalc.case.desk.serving import open_desk; "
OPEN += "sys.exit(open_desk(Path(sys.argv[1]), browser=False))"


@pytest.fixture
def folder(tmp_path, monkeypatch) -> Path:
    """A case with a space and an umlaut in its name; running programs are noted elsewhere."""
    monkeypatch.setenv("JUPYTER_RUNTIME_DIR", str(tmp_path / "running"))
    home = tmp_path / "Mein Förderhuf"
    new_case(home, Case(horse="Otterby", foot="right fore", mass_kg=505.0))
    return home


def reply(url: str) -> tuple[int, str]:
    """Status, and where one ends."""
    try:
        with urllib.request.urlopen(url, timeout=60) as answer:
            return answer.status, answer.url
    except urllib.error.HTTPError as refusal:
        return refusal.code, refusal.url


def files(folder: Path) -> set[Path]:
    return set(folder.rglob("*"))


@pytest.mark.skipif(os.name == "nt", reason="Windows ends a program without asking it")
def test_it_opens_with_its_key_once_and_leaves_nothing_behind(
    folder, tmp_path, monkeypatch, capsys
):
    before = files(folder)
    own = tmp_path / "config"  # settings of the person's own for other pages
    own.mkdir()
    (own / "voila.json").write_text('{"VoilaConfiguration": {"template": "classic"}}')
    monkeypatch.setenv("JUPYTER_CONFIG_DIR", str(own))
    command = [sys.executable, "-c", OPEN, str(folder)]
    desk = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    try:
        said = ""
        while "Ctrl-C" not in said:
            line = desk.stdout.readline()
            assert line, f"ended without an address: {said}"
            said += line
        url = re.search(r"http://127\.0\.0\.1:\d+/voila/render/\S+", said)[0]
        with urllib.request.urlopen(url, timeout=60) as answer:
            page = answer.read().decode()
        assert "The desk is being opened" in page
        assert "<title>Measuring desk</title>" in page
        assert not re.findall(r'(?:src|href)="(https?:[^"]*)"', page), "fetched from elsewhere"
        bare = url.split("?")[0]
        assert "/login" in reply(bare)[1], "without the key there is no desk"
        assert reply(bare.replace("voila/render/measure.ipynb", "api/contents"))[0] == 403
        (place,) = (tmp_path / "running" / "hoofcalc-desk").iterdir()
        assert place.stat().st_mode & 0o777 == 0o700, "for its owner only"
        assert open_desk(folder, browser=False) == 0
        second = capsys.readouterr().out
        assert "open already" in second
        assert url in second
        desk.send_signal(signal.SIGINT)
        rest, _ = desk.communicate(timeout=60)
        assert "Closed" in rest
        assert desk.returncode == 0
        assert not place.exists()
    finally:
        desk.kill()
        desk.wait()
    assert files(folder) == before


def test_what_cannot_be_opened_is_said(folder, monkeypatch, capsys):
    monkeypatch.setenv("JUPYTER_RUNTIME_DIR", str(folder / "case.toml"))
    assert open_desk(folder, browser=False) == 1
    assert "Traceback" not in capsys.readouterr().err


def test_a_case_comes_back_to_its_own_port(folder, monkeypatch):
    """What a page holds is the browser's for one port: another would not find it again."""
    ports = []

    @contextmanager
    def told(_place, *, port, **_settings):
        ports.append(port)
        yield None, None

    monkeypatch.setattr(serving, "jupyterlab", told)
    other = folder.parent / "other"
    new_case(other, Case(horse="Otterby", foot="right fore", mass_kg=505.0))
    for home in (folder, folder / ".." / folder.name, other):
        with serving.desk_open(home):
            pass
    assert ports[0] == ports[1] != ports[2]
    assert all(1024 < port < 32_768 for port in ports), "none that a system gives away itself"
