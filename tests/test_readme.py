"""The README's commands work as written, and its links lead somewhere."""

from __future__ import annotations

import importlib.util
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")

_spec = importlib.util.spec_from_file_location("readme_commands", ROOT / ".ci/readme_commands.py")
readme_commands = importlib.util.module_from_spec(_spec)
_spec.loader.exec_module(readme_commands)


def fresh_clone(folder: Path) -> Path:
    """The files that git knows, as they are now: what a clone would hold after a commit."""
    if shutil.which("git") is None or not (ROOT / ".git").exists():
        pytest.skip("not a git checkout")
    listing = subprocess.run(
        ["git", "ls-files", "-z"], cwd=ROOT, check=True, capture_output=True, text=True
    ).stdout
    for name in filter(None, listing.split("\0")):
        if (ROOT / name).exists():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(ROOT / name, folder / name)
    return folder


def test_it_opens_with_the_job_and_then_the_two_commands():
    title, job, *rest = README.split("\n\n")
    assert title == "# hoofcalc"
    assert len(job.split()) > 60
    assert "```sh" in rest[1]
    assert all(readme_commands.commands(README).values())
    assert all(len(sentence.split()) <= 60 for sentence in re.split(r"(?<=[.?!]) ", job))


def test_the_windows_lines_do_the_same():
    found = readme_commands.commands(README)
    for name in ("course", "tests"):
        translated = (
            found[name]
            .replace("python3 -m venv", "py -m venv")
            .replace(" &&", ";")
            .replace(".venv/bin/", ".venv\\Scripts\\")
        )
        assert found[f"{name}-windows"] == translated


def test_every_link_leads_somewhere():
    for target in re.findall(r"\]\(([^)#]+)\)", README):
        assert not target.startswith("http")
        assert (ROOT / target).exists(), target


def test_pictures_have_a_description():
    for description in re.findall(r"!\[([^\]]*)\]", README):
        assert len(description) > 30


@pytest.mark.slow
@pytest.mark.timeout(900)
@pytest.mark.skipif(sys.platform == "win32", reason="the PowerShell line is compared instead")
def test_the_course_command_sets_up_and_runs_a_lesson_in_a_fresh_clone(tmp_path):
    clone = fresh_clone(tmp_path / "clone")
    command = readme_commands.commands(README)["course"]
    environment = {
        name: value
        for name, value in os.environ.items()
        if name not in ("VIRTUAL_ENV", "PYTHONPATH", "PYTHONHOME")
    }
    done = subprocess.run(
        ["bash", "-euo", "pipefail", "-c", f'{command} --check --folder "{tmp_path}/my course"'],
        cwd=clone,
        env=environment,
        capture_output=True,
        text=True,
        timeout=800,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert "All is well" in done.stdout
    assert (tmp_path / "my course/lessons").is_dir()
