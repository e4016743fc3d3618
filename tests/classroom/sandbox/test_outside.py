"""The trusted side on its own: limits, what is read of a process, and what may be shown to it."""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import psutil
import pytest

from hoofcalc.classroom.model.plain_data import A_FUNCTION
from hoofcalc.classroom.sandbox import family, runner
from hoofcalc.classroom.sandbox.runner import Limits, LostError, Report, Step

# ---- limits ----------------------------------------------------------------------------------


def test_where_nothing_is_walled_off_the_markers_own_processes_count_too(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(runner, "_own_processes", lambda: 40)
    for isolated, most in ((True, 32), (False, 72)):
        monkeypatch.setattr(runner, "isolated", lambda isolated=isolated: isolated)
        assert runner._resource_limits(Limits(processes=32))["RLIMIT_NPROC"] == most


@pytest.mark.skipif(not hasattr(os, "getuid"), reason="needs users")
def test_own_processes_are_those_of_this_user(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("1", "22", "333", "self", "meminfo"):
        (tmp_path / name).mkdir()
    monkeypatch.setattr(runner, "Path", lambda place: tmp_path)
    assert runner._own_processes() == 3
    mine = os.getuid()
    monkeypatch.setattr(runner.os, "getuid", lambda: mine + 1)
    assert runner._own_processes() == 0
    monkeypatch.setattr(runner, "Path", lambda place: tmp_path / "nothing")
    assert runner._own_processes() == 10_000, "unknown is taken for many"


class Process:
    """Stands for one of a family: so much memory of its own, and so much shared."""

    def __init__(self, resident_mb: float, share_mb: float, seconds: float, gone: bool = False):
        self.resident, self.share, self.seconds = resident_mb * 2**20, share_mb * 2**20, seconds
        self.gone = gone

    def _there(self) -> None:
        if self.gone:
            raise psutil.NoSuchProcess(1)

    def memory_info(self) -> Any:
        self._there()
        return SimpleNamespace(rss=self.resident)

    def memory_full_info(self) -> Any:
        self._there()
        return SimpleNamespace(pss=self.share, uss=0)

    def cpu_times(self) -> tuple[float, ...]:
        self._there()
        return (self.seconds, self.seconds / 2, 99.0, 99.0)  # user, system, and of children


def test_a_family_is_counted_together_and_shared_pages_once(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    two = [Process(300, 160, 2.0), Process(300, 160, 4.0), Process(9e9, 9e9, 9e9, gone=True)]
    monkeypatch.setattr(family, "_family", lambda process: two)
    assert not family.uses_more_than(320, 1), "600 MB are seen, of which 320 are taken"
    assert family.uses_more_than(319, 1)
    assert family.processor_s(1) == 3.0 + 6.0
    monkeypatch.setattr(family, "_family", lambda process: [])
    assert not family.uses_more_than(0, 1)


def test_of_a_process_that_has_ended_nothing_is_left_to_count() -> None:
    assert family._family(2**22 + 1) == []  # no such number is given out
    assert family.processor_s(os.getpid()) > 0
    assert psutil.Process() in family._family(os.getpid())


# ---- what is read of a process ---------------------------------------------------------------


@pytest.fixture
def hears() -> Callable[..., runner._Desk]:
    """A desk that hears what some process says before it ends."""
    opened: list[Any] = []

    def of(said: bytes, **limits: Any) -> runner._Desk:
        (nobody, requests), (answers, said_to) = os.pipe(), os.pipe()
        os.write(said_to, said)
        os.close(said_to)
        opened.extend(os.fdopen(end, kind) for end, kind in ((nobody, "rb"), (answers, "rb")))
        opened.append(os.fdopen(requests, "wb"))
        return runner._Desk(
            opened[-1], opened[-2], os.getpid(), Limits(**limits), time.monotonic() + 60.0
        )

    yield of
    for end in opened:
        end.close()


def test_an_answer_is_one_line_of_names_and_values(hears: Callable[..., Any]) -> None:
    assert hears(b'{"value": 3}\n').ask({"do": "call"}) == {"value": 3}


@pytest.mark.parametrize(
    "said",
    [
        b"rubbish\n",
        b"[1, 2]\n",
        b"3\n",
        b'{"value": 3}',  # cut off
        b"[" * 20_000 + b"\n",
        b'{"value": "' + b"x" * 30_000 + b'"}\n',
    ],
    ids=["rubbish", "a list", "a number", "cut off", "too deep", "too long"],
)
def test_what_is_no_such_line_cannot_be_read(hears: Callable[..., Any], said: bytes) -> None:
    with pytest.raises(LostError, match="cannot be read"):
        hears(said, reply_bytes=25_000).ask({"do": "values", "names": []})


def test_who_says_nothing_more_has_ended(hears: Callable[..., Any]) -> None:
    with pytest.raises(LostError, match="it ended Python itself"):
        hears(b"").ask({"do": "run"})


def test_who_takes_too_much_memory_is_stopped_while_it_is_waited_for(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked: list[tuple[float, int]] = []
    monkeypatch.setattr(runner, "uses_more_than", lambda *of: bool(asked.append(of)) or True)
    monkeypatch.setattr(runner, "_LOOK_S", 0.01)
    (waiting, end), (answers, kept) = os.pipe(), os.pipe()
    with os.fdopen(end, "wb") as requests, os.fdopen(answers, "rb") as silent:
        desk = runner._Desk(requests, silent, 77, Limits(memory_mb=50), time.monotonic() + 60)
        with pytest.raises(LostError, match="more than 50 MB of memory"):
            desk.ask({"do": "run"})
        os.close(kept)
        desk.listener.join()
    os.close(waiting)
    assert asked == [(50, 77)]


class Answers:
    """Stands for a desk: what each request is answered with."""

    def __init__(self, limits: Limits, *said: Any) -> None:
        self.limits, self.said, self.asked = limits, list(said), []

    def ask(self, request: Any, *, calling: bool = False) -> Any:
        self.asked.append((request["do"], calling))
        answer = self.said.pop(0)
        if isinstance(answer, LostError):
            raise answer
        return answer


def shows(letters: int) -> dict[str, Any]:
    return {"outputs": [{"output_type": "stream", "name": "stdout", "text": "y" * letters}]}


def test_all_cells_together_may_show_so_much() -> None:
    """120 letters and what goes with them, twice, do not fit into 300; and nothing fits then."""
    desk = Answers(Limits(output_bytes=300), shows(120), shows(120), shows(1))
    report = Report()
    steps = [Step("", place) for place in range(3)]
    assert runner._run_steps(desk, steps, [], report) is None  # type: ignore[arg-type]
    first, *others = (report.outputs[place][0]["text"] for place in range(3))
    assert first == "y" * 120
    assert all("shows too much" in text for text in others)


def test_a_step_left_out_is_not_asked_for_and_its_names_are_asked_for_at_the_end() -> None:
    desk = Answers(Limits(), {"values": {"a": {"plain": 1}}}, {"values": {"b": {"plain": 2}}})
    report = Report(left_out={1: "it hung"})
    steps = [Step("", 0, ("a",)), Step("", 1, ("b",))]
    assert runner._run_steps(desk, steps, ["a", "b"], report) is None  # type: ignore[arg-type]
    assert desk.asked == [("run", False), ("values", False)]
    assert report.values == {"a": {"plain": 1}, "b": {"plain": 2}}
    desk = Answers(Limits(), {}, LostError("it ended"))
    assert runner._run_steps(desk, steps, ["a"], report := Report(left_out={1: ""})) is None  # type: ignore[arg-type]
    assert report.values == {}


def test_the_step_that_ends_the_process_is_named_with_its_reason() -> None:
    desk = Answers(Limits(), {}, LostError("it ended Python itself"))
    steps = [Step("", place) for place in (4, 7, 9)]
    ended = runner._run_steps(desk, steps, ["a"], Report())  # type: ignore[arg-type]
    assert ended == (7, "it ended Python itself")


def test_after_a_call_that_is_lost_the_rest_of_its_function_is_lost_and_no_other() -> None:
    values = {name: {"is": A_FUNCTION} for name in "fg"} | {"x": {"plain": 3}}
    lost = LostError("it ran for longer")
    desk = Answers(Limits(), {"value": {"plain": 1.0}}, lost, {"value": {"plain": 5.0}})
    report = Report(values=values)
    calls = {"f": [(1.0,), (2.0,), (3.0,)], "g": [(1.0,)], "x": [(1.0,)], "not there": [(1.0,)]}
    runner._make_calls(desk, calls, report)  # type: ignore[arg-type]
    gone = {"lost": "it ran for longer"}
    assert report.results == {
        "f": [{"plain": 1.0}, gone, gone],
        "g": [{"plain": 5.0}],
        "x": [],
        "not there": [],
    }
    assert desk.asked == [("call", True)] * 3


# ---- what a hand-in may see ------------------------------------------------------------------


def test_what_tells_is_what_is_not_shown_on_purpose(tmp_path: Path) -> None:
    """Of a home in which Python lies, all beside the way to it; of what is shown, what is in it."""
    for place in ("home/python/lib", "home/letters", "home/python/notes", "elsewhere"):
        (tmp_path / place).mkdir(parents=True)
    home, shown = tmp_path / "home", [tmp_path / "home" / "python"]
    assert runner._telling(home, shown) == [home / "letters"]
    assert runner._telling(tmp_path / "elsewhere", shown) == [tmp_path / "elsewhere"]
    assert runner._telling(tmp_path / "nowhere", shown) == []
    assert set(runner._telling(shown[0], shown)) == {shown[0] / "lib", shown[0] / "notes"}


def test_of_the_checkout_only_what_is_handed_out_is_shown() -> None:
    path, shown = runner._readable()
    checkout = Path(runner.__file__).resolve().parents[3]
    assert str(checkout) in path
    assert checkout not in shown
    for kept in ("exercises/keys", "exercises/source", "tests", ".git", "exercises"):
        hidden = checkout / kept
        assert not any(hidden.is_relative_to(place) for place in shown), kept
    for needed in ("hoofcalc", "datasets", "exercises/release"):
        assert any((checkout / needed).is_relative_to(place) for place in shown), needed


def test_the_environment_is_the_scratch_folders_and_keeps_only_the_language(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("LANG", "en_GB.UTF-8")
    monkeypatch.setenv("HOME", "/home/teacher")
    monkeypatch.setenv("PYTHONPATH", "/home/teacher/keys")
    bare = runner._environment(tmp_path)
    assert bare["LANG"] == "en_GB.UTF-8"
    assert "teacher" not in str(bare)
    assert {bare[name] for name in ("HOME", "TMPDIR", "TEMP")} == {str(tmp_path)}
    assert bare["PYTHONHASHSEED"] == "0", "sets come in the same order at every marking"
    assert bare["OPENBLAS_NUM_THREADS"] == bare["OMP_NUM_THREADS"] == "1"


def test_bubblewrap_gives_a_folder_of_the_size_allowed_and_what_is_shown_to_read(
    tmp_path: Path,
) -> None:
    command = runner._bubblewrap(tmp_path, [tmp_path / "package"], 7)
    size = command.index("--size")  # counts for the folder named next: bwrap(1)
    assert command[size + 1 : size + 4] == [str(7 * 2**20), "--tmpfs", str(tmp_path)]
    shown = command.index(str(tmp_path / "package"))
    assert command[shown - 1 : shown + 2] == ["--ro-bind-try", *[str(tmp_path / "package")] * 2]
    assert not {"--bind", "--dev-bind", "--share-net"} & set(command)
    assert "--unshare-all" in command


class Kept:
    """Stands for the warm process and the line to it."""

    def __init__(self) -> None:
        self.done: list[str] = []
        self.process = self.line = self.folder = self

    def __getattr__(self, name: str) -> Callable[[], None]:
        return lambda: self.done.append(name)


@pytest.mark.parametrize("ours", [True, False])
def test_a_forked_worker_lets_the_warm_process_of_another_live(ours: bool) -> None:
    warm = object.__new__(runner._Warm)
    kept = Kept()
    warm.owner = os.getpid() if ours else os.getpid() + 1
    warm.process = warm.line = warm.folder = kept  # type: ignore[assignment]
    assert warm.alive() is ours
    warm.close()
    assert ("kill" in kept.done, "cleanup" in kept.done) == (ours, ours)
    assert "close" in kept.done, "its own end of the line"
