"""The learner's own process: what comes out, what it may not do, and that it always ends."""

from __future__ import annotations

import contextlib
import itertools
import os
import queue
import random
import shutil
import sys
import threading
import time
from pathlib import Path

import numpy as np
import psutil
import pytest

from hoofcalc.classroom.model.plain_data import MOST_TEXT
from hoofcalc.classroom.sandbox import runner, worker
from hoofcalc.classroom.sandbox.runner import Limits, Step, run

#: For what must be stopped; the times are those of the processor.
QUICK = Limits(cell_s=2.0, call_s=1.0, total_s=120.0)
#: For what must come to its end on a busy machine, loading everything included.
PATIENT = Limits(cell_s=120.0, call_s=120.0, total_s=500.0)
REPOSITORY = Path(__file__).resolve().parents[3]
needs_isolation = pytest.mark.skipif(not runner.isolated(), reason="this machine walls nothing off")


def values(source: str, *names: str) -> dict:
    return run([Step(source, 0, names)], names, {}, limits=PATIENT).values


@pytest.mark.parametrize(
    ("source", "expected"),
    [
        ("x = 3", {"plain": 3}),
        ("x = True", {"plain": True}),
        ("x = (1, 2.5)", {"plain": [1, 2.5]}),
        ("x = {'a': [1]}", {"plain": {"a": [1]}}),
        ("import numpy as np; x = np.float32(0.5)", {"plain": 0.5}),
        ("import numpy as np; x = np.arange(3)", {"plain": [0, 1, 2]}),
        ("from fractions import Fraction; x = Fraction(1, 4)", {"plain": 0.25}),
        ("x = float('inf')", {"plain": float("inf")}),
        ("x = ...", {"blank": True}),
        ("x = None", {"blank": True}),
        ("y = 1", {"blank": True}),
        ("def x(): pass", {"is": "a function"}),
        ("x = 10 ** 1_000_000", {"is": "a whole number with far too many digits"}),
        ("x = 'a' * 10**6", {"is": "far too long a text"}),
        ("x = [0] * 10**6", {"is": "far too many values"}),
        ("x = []\nfor _ in range(10**4): x = [x]", {"is": "something that cannot be read"}),
        ("class F(float): pass\nx = F(3)", {"is": "an object of the kind 'F'"}),
    ],
)
def test_only_plain_data_comes_out(source: str, expected: dict) -> None:
    assert values(source, "x")["x"] == expected


@pytest.mark.parametrize("later", ["x = ...", "x = None", "del x"])
def test_an_answer_that_was_there_is_not_lost_to_a_later_blank(later: str) -> None:
    steps = [Step("x = 3", 0, ("x",)), Step(later, 1, ("x",))]
    assert run(steps, ("x",), {}, limits=PATIENT).values == {"x": {"plain": 3}}


def test_notebook_lines_work_and_outputs_are_kept() -> None:
    report = run(
        [
            Step("%matplotlib inline\nimport matplotlib.pyplot as plt\nplt.plot([1, 2]);", 0),
            Step("print('hello')\n3 + 4", 1),
            Step("import warnings; warnings.warn('hm'); x = 1", 2, ("x",)),
            Step("1 / 0", 3),
            Step("y = 1\nraise ValueError('no')", 4),
            Step("y = 1\nx = = 1", 5),
        ],
        ["x"],
        {},
        limits=PATIENT,
    )
    assert "image/png" in report.outputs[0][0]["data"]
    assert report.outputs[1][0]["text"] == "hello\n"
    assert report.outputs[1][1]["data"]["text/plain"] == "7"
    assert report.outputs[2][0]["name"] == "stderr"
    errors = [report.outputs[place][0] for place in (3, 4, 5)]
    assert [one["ename"] for one in errors] == ["ZeroDivisionError", "ValueError", "SyntaxError"]
    words = ["division by zero (line 1)", "no (line 2)", "invalid syntax (line 2)"]
    assert [one["evalue"] for one in errors] == words
    assert report.values["x"] == {"plain": 1}  # a warning costs nothing


def test_a_cell_that_hangs_or_kills_is_left_out_and_the_rest_counts() -> None:
    steps = [
        Step("a = 1", 0, ("a",)),
        Step("while True:\n    try:\n        while True: pass\n    except BaseException: pass", 1),
        Step("import os; os.kill(os.getpid(), 9)", 2),
        Step("import sys; sys.exit()", 3),
        Step("def f(n): return f(n)\nf(1)", 4),
        Step("b = 2", 5, ("b",)),
    ]
    report = run(steps, ["a", "b"], {}, limits=QUICK)
    assert report.values == {"a": {"plain": 1}, "b": {"plain": 2}}
    assert "longer than 2 seconds" in report.left_out[1]
    assert "ended Python itself" in report.left_out[2]


def test_memory_and_output_are_limited() -> None:
    steps = [
        Step("x = bytearray(8 * 1024**3)", 0),
        Step("for _ in range(100): print('y' * 10**6)", 1),
        Step("z = 1", 2, ("z",)),
    ]
    report = run(steps, ["z"], {}, limits=QUICK)
    assert report.values["z"] == {"plain": 1}
    if sys.platform == "linux":
        assert report.outputs[0][0]["ename"] == "MemoryError"
    assert len(report.outputs[1][0]["text"]) < 50_000


@pytest.mark.skipif(sys.platform != "linux", reason="limits of Linux")
def test_the_limits_stand_in_the_learners_process() -> None:
    """As it sees them itself: memory, processor, size of a file, processes, open files, dumps."""
    limits = Limits(120.0, 120.0, 300.0, memory_mb=1234, file_mb=7, processes=19)
    names = ("AS", "CPU", "FSIZE", "NPROC", "NOFILE", "CORE")
    source = f"import resource as r\nx = [r.getrlimit(getattr(r, 'RLIMIT_' + n)) for n in {names}]"
    (memory, cpu, file, processes, files, dump) = run(
        [Step(source, 0, ("x",))], ["x"], {}, limits=limits
    ).values["x"]["plain"]
    assert memory == [1234 * 2**20] * 2
    assert cpu == [301, 301], "a second more than the clock allows"
    assert file == [7 * 2**20] * 2
    assert files == [256, 256]
    assert dump == [0, 0]
    if runner.isolated():
        assert processes == [19, 19]
    else:
        assert processes[0] > 19


def test_what_is_cut_off_is_said_and_the_next_cell_has_its_room_again() -> None:
    stream = worker._Limited()
    for _ in range(3):
        assert stream.write("y" * (MOST_TEXT - 10)) == MOST_TEXT - 10, "as if all were taken"
    text = stream.take()
    assert text.startswith("y" * MOST_TEXT)
    assert text.strip("y") == "\n... (the rest was cut off)\n"
    stream.write("z")
    assert stream.take() == "z"


def test_pictures_of_a_cell_are_shown_until_there_are_too_many() -> None:
    """Four of 900,000 letters do not fit into 3,000,000; one of a million is too large itself."""
    show = "from IPython.display import display\nfor size in {}:\n"
    show += "    display({{'image/png': 'A' * size, 'text/plain': 'p'}}, raw=True)"
    steps = [Step(show.format([900_000] * 5), 0), Step(show.format([10, 1_000_000, 20]), 1)]
    outputs = run(steps, [], {}, limits=PATIENT).outputs
    kinds = [one["output_type"] for one in outputs[0]]
    assert kinds == ["display_data"] * 3 + ["stream"]
    assert "this cell shows too much" in outputs[0][-1]["text"]
    assert ["image/png" in one["data"] for one in outputs[1]] == [True, False, True]


def test_functions_are_called_after_all_cells_and_what_they_print_is_dropped() -> None:
    source = (
        "calls = []\n"
        "def f(x):\n    calls.append(x)\n    print('secret', x)\n    return 2 * x\n"
        "def g(x):\n    raise KeyError(f'{x}')\n"
        "def h(x):\n    while x > 1: pass\n    return x\n"
    )
    calls = {"f": [(1.0,), (2.5,)], "g": [(7.25,)], "h": [(1.0,), (2.0,), (3.0,)], "k": [(1.0,)]}
    steps = [Step(source, 0, ("f", "g", "h")), Step("calls", 1)]
    report = run(steps, ["f", "g", "h", "k"], calls, limits=QUICK)
    assert report.results["f"] == [{"plain": 2.0}, {"plain": 5.0}]
    assert report.results["g"] == [{"raised": "KeyError"}]
    assert report.results["h"][0] == {"plain": 1.0}
    assert all("lost" in result for result in report.results["h"][1:])
    assert report.results["k"] == []
    assert "secret" not in str(report.outputs)
    assert report.outputs[1][0]["data"]["text/plain"] == "[]"


def test_an_error_named_after_the_inputs_keeps_its_name_to_itself() -> None:
    source = "def f(x):\n    raise type(f'E{x}', (ValueError,), {})()"
    report = run([Step(source, 0, ("f",))], ["f"], {"f": [(4321.5,)]}, limits=PATIENT)
    assert report.results["f"] == [{"raised": "ValueError"}]


def test_patching_python_harms_nobody_else() -> None:
    steps = [
        Step("import builtins, json\nbuiltins.float = str\njson.dumps = lambda *a, **k: 'no'", 0),
        Step("import builtins; builtins.isinstance = lambda *a: True; x = 5", 1, ("x",)),
    ]
    report = run(steps, ["x"], {}, limits=PATIENT)
    assert report.values["x"] in ({"plain": 5}, {"is": "a function"}, {"blank": True})


@pytest.mark.parametrize("first", [1, 3])
def test_rubbish_on_the_line_is_survived(first: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """On any file that is open; in a process started afresh those of any program lead nowhere."""
    last = 30
    if first < 3:
        monkeypatch.setattr(runner, "_way", lambda: "start")
        last = 3
    steps = [
        Step(
            f"import os\nfor n in range({first}, {last}):\n"
            "    try: os.write(n, b'rubbish\\n' * 3)\n    except OSError: pass",
            0,
        ),
        Step("import os\nx = 1 if os.read(0, 1) == b'' else 2", 1, ("x",)),
    ]
    report = run(steps, ["x"], {}, limits=PATIENT)
    assert report.values["x"] == {"plain": 1}
    if first < 3:
        assert report.left_out == {}


@needs_isolation
def test_inside_there_is_no_key_no_gradebook_and_no_network() -> None:
    source = (
        "import os, socket\n"
        f"root = {str(REPOSITORY)!r}\n"
        "seen = [os.path.exists(os.path.join(root, p)) for p in "
        "('exercises/keys', 'exercises/gradebook.db', '.git', 'tests')]\n"
        "try:\n    open(os.path.join(root, 'hoofcalc', '__init__.py'), 'a')\n    wrote = True\n"
        "except OSError:\n    wrote = False\n"
        "try:\n    socket.create_connection(('127.0.0.1', 80), 1)\n    net = True\n"
        "except ConnectionRefusedError:\n    net = False\n"
        "except OSError:\n    net = False\n"
        "interfaces = [name for _, name in socket.if_nameindex()]\n"
        "import hoofcalc\nuser = os.getuid()"
    )
    names = ("seen", "wrote", "net", "interfaces", "user")
    found = values(source, *names)
    assert found["seen"] == {"plain": [False] * 4}
    assert found["wrote"] == {"plain": False}
    assert found["net"] == {"plain": False}
    assert found["interfaces"] == {"plain": ["lo"]}
    assert found["user"] != {"plain": 0}


def test_the_environment_and_the_folder_are_bare(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SCHOOL_PASSWORD", "secret")
    found = values(
        "import os; x = dict(os.environ); y = [n for n in os.listdir('.') if n[0] != '.']", "x", "y"
    )
    assert "SCHOOL_PASSWORD" not in found["x"]["plain"]
    assert found["y"] == {"plain": []}


@pytest.mark.skipif(sys.platform != "linux", reason="looks into /proc")
def test_nothing_is_left_running() -> None:
    mark = f"left-{os.getpid()}-{time.monotonic_ns()}"
    source = (
        f"import subprocess, sys\nsubprocess.Popen([sys.executable, '-c', "
        f"'import time; time.sleep(60) # {mark}'])"
    )
    run([Step(source, 0)], [], {}, limits=PATIENT)
    time.sleep(0.3)
    running = []
    for entry in Path("/proc").iterdir():
        if entry.name.isdigit():
            try:
                running.append((entry / "cmdline").read_bytes())
            except OSError:
                continue
    assert not any(mark.encode() in line for line in running)
    for kept in runner._kept_warm:  # and nobody waits to be taken note of
        for one in psutil.Process(kept.process.pid).children():
            with contextlib.suppress(psutil.NoSuchProcess):
                assert one.status() != psutil.STATUS_ZOMBIE


WAYS = ["namespaces", "bubblewrap", "fork", "start"]


@pytest.fixture(params=WAYS)
def way(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    """Each way in which a process comes about, where this machine can do it."""
    best = runner._way()
    if request.param in ("namespaces", "fork") and sys.platform != "linux":
        pytest.skip("Linux only")
    if request.param == "namespaces" and best != "namespaces":
        pytest.skip("this machine offers no namespaces")
    if request.param == "bubblewrap" and (shutil.which("bwrap") is None or best == "fork"):
        pytest.skip("bubblewrap is not installed")
    monkeypatch.setattr(runner, "_way", lambda: request.param)
    return str(request.param)


def test_each_way_gives_the_same_values_and_pictures(way: str) -> None:
    plot = "import matplotlib.pyplot as plt\nplt.plot([1, 2])\nplt.title('hei')\nplt.show()"
    source = (
        "import numpy as np, random\nfrom hoofcalc import columns\n"
        "x = [np.random.random(), random.random(), list({'a', 'b', 'c'})]"
    )
    steps = [Step(plot, 0), Step(source, 1), Step(plot.replace("plt.show()", "3"), 2)]
    report = run(steps, ["x"], {}, limits=PATIENT, seed=7)
    dice = np.random.RandomState(7)  # what np.random.seed(7) begins
    random.seed(7)
    assert report.values["x"]["plain"][:2] == [dice.random(), random.random()]
    pictures = [one["data"].get("image/png") for one in report.outputs[0] if "data" in one]
    assert len(pictures) == 1
    assert len(pictures[0]) > 5000
    assert any("image/png" in one["data"] for one in report.outputs[2])
    again = run(steps, ["x"], {}, limits=PATIENT, seed=7)
    assert (again.values, again.outputs) == (report.values, report.outputs)
    other = run(steps, ["x"], {}, limits=PATIENT, seed=8)
    assert other.values != report.values


def test_the_files_lie_in_the_folder_and_hand_ins_do_not_meet(way: str) -> None:
    step = Step("import os\nx = sorted(os.listdir('.'))\nopen('left.txt', 'w').write('hello')", 0)
    for _ in range(2):
        report = run([step], ["x"], {}, files={"hints.json": b"{}"}, limits=PATIENT)
        found = [name for name in report.values["x"]["plain"] if name[0] != "."]
        assert found == ["hints.json"]


def test_it_is_said_where_hand_ins_are_not_walled_off(way: str) -> None:
    assert bool(runner.weaker_mode()) is (way in ("fork", "start"))
    if runner.weaker_mode():
        assert "offers no way" in runner.weaker_mode()


def test_without_namespaces_the_next_best_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    if sys.platform != "linux":
        pytest.skip("Linux only")
    tried = []

    def works(command) -> bool:
        tried.append("bubblewrap" if "bwrap" in command else "namespaces")
        return False

    monkeypatch.setattr(runner, "_works", works)
    assert runner._way.__wrapped__() == "fork"
    assert tried[0] == "namespaces"
    monkeypatch.setattr(runner, "_works", lambda command: "bwrap" in command)
    monkeypatch.setattr(runner.shutil, "which", lambda name: "/usr/bin/bwrap")
    assert runner._way.__wrapped__() == "bubblewrap"


@needs_isolation
def test_a_sandbox_that_does_not_stand_is_our_fault_and_not_the_learners() -> None:
    if runner._way() != "namespaces":
        pytest.skip("this machine offers no namespaces")
    with pytest.raises(runner.SandboxError, match="could not be walled off"):
        run([Step("x = 3", 0)], ["x"], {}, limits=Limits(scratch_mb=-1))


def test_why_a_process_could_not_begin_is_told_even_if_it_has_ended_by_then() -> None:
    """It may be gone before it is asked to begin: what it said is in the pipe all the same."""
    for said, words in (
        (b'{"failed": "no room"}\n', "could not be walled off: no room"),
        (b"", "did not start: it ended Python itself"),
    ):
        (gone, requests), (answers, last_word) = os.pipe(), os.pipe()
        os.close(gone)
        os.write(last_word, said)
        os.close(last_word)
        with os.fdopen(requests, "wb", 0) as asked, os.fdopen(answers, "rb") as heard:
            desk = runner._Desk(asked, heard, 0, Limits(), time.monotonic() + 100.0)
            with pytest.raises(runner.SandboxError, match=words):
                desk.begin({}, 0)


def test_a_lost_warm_process_is_replaced(fresh_warm: None) -> None:
    if sys.platform != "linux":
        pytest.skip("Linux only")
    assert values("x = 1", "x")["x"] == {"plain": 1}
    for kept in runner._kept_warm:
        kept.process.kill()
        kept.process.wait()
    assert values("x = 2", "x")["x"] == {"plain": 2}


def test_what_only_some_name_is_loaded_before_their_process_is_forked(fresh_warm: None) -> None:
    if runner._way() not in ("namespaces", "fork"):
        pytest.skip("nothing is forked here")
    look = "import sys\nx = any(name.endswith('.optimize') for name in sys.modules)"
    assert values(look, "x")["x"] == {"plain": False}
    assert values(f"{look}  # for fixed_points", "x")["x"] == {"plain": True}


def test_only_a_program_that_ends_well_works() -> None:
    assert runner._works([sys.executable, "-c", ""])
    assert not runner._works([sys.executable, "-c", "raise SystemExit(3)"])
    assert not runner._works(["/there/is/no/such/program"])


@pytest.mark.parametrize("works", [False, True])
def test_time_counts_while_it_works_and_waiting_has_patience(
    works: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A process that has worked before, and now goes on working or waits for half a second."""
    used = itertools.count(1000.0, 10.0 if works else 0.0)
    monkeypatch.setattr(runner, "processor_s", lambda process: next(used))
    monkeypatch.setattr(runner, "uses_more_than", lambda memory_mb, process: False)
    nobody = os.open(os.devnull, os.O_RDONLY)
    with os.fdopen(nobody, "rb") as silent:
        desk = runner._Desk(silent, silent, 0, Limits(), time.monotonic() + 100.0)
        desk.listener.join()
        assert desk.lines.get() == b""
        if works:
            with pytest.raises(queue.Empty):
                desk._next_line(0.2, patience=1e6)
        else:
            threading.Timer(0.5, desk.lines.put, [b"there\n"]).start()
            assert desk._next_line(0.2, patience=1e6) == b"there\n"
