"""What a hand-in can reach from inside: no keys, no rights, no one else; and refusing to mark."""

from __future__ import annotations

import ctypes
import errno
import os
import re
import shutil
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from hoofcalc import cli
from hoofcalc.classroom.sandbox import namespaces, runner
from hoofcalc.classroom.sandbox.runner import Limits, SandboxError, Step, run

PATIENT = Limits(cell_s=120.0, call_s=120.0, total_s=500.0)
COURSE = Path(__file__).resolve().parents[3] / "exercises"

pytestmark = pytest.mark.skipif(
    sys.platform != "linux" or not runner.isolated(), reason="this machine walls nothing off"
)

KEYRINGS = """
import ctypes
libc = ctypes.CDLL(None, use_errno=True)
ADD, KEYCTL = {"x86_64": (248, 250)}.get(__import__("os").uname().machine, (217, 219))
def leave(keyring):
    return libc.syscall(ADD, b"user", b"left here", b"secret", 6, keyring)
def find(keyring):
    return libc.syscall(KEYCTL, 10, keyring, b"user", b"left here", 0)
"""


@pytest.fixture(params=["namespaces", "bubblewrap"])
def way(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    if request.param == "namespaces" and runner._way() != "namespaces":
        pytest.skip("this machine offers no namespaces")
    if request.param == "bubblewrap" and shutil.which("bwrap") is None:
        pytest.skip("bubblewrap is not installed")
    monkeypatch.setattr(runner, "_way", lambda: request.param)
    return str(request.param)


def plain(source: str, name: str) -> object:
    return run([Step(source, 0, (name,))], [name], {}, limits=PATIENT).values[name].get("plain")


@pytest.mark.parametrize("keyring", [-3, -4, -5], ids=["session", "user", "user session"])
def test_no_key_is_passed_from_hand_in_to_hand_in(way: str, keyring: int) -> None:
    left = plain(f"{KEYRINGS}\nx = leave({keyring})", "x")
    found = plain(f"{KEYRINGS}\nx = [find(ring) for ring in (-3, -4, -5)]", "x")
    assert found == [-1, -1, -1], left


def test_the_keys_of_whoever_marks_are_not_there(way: str, fresh_warm: None) -> None:
    scope: dict[str, Callable[[int], int]] = {}
    exec(KEYRINGS, scope)
    if scope["leave"](-3) < 0:
        pytest.skip("this machine keeps no keys")
    assert scope["find"](-3) > 0  # the warm process begins after this and inherits it
    assert plain(f"{KEYRINGS}\nx = find(-3)", "x") == -1


RIGHTS = """
import os
status = {}
if os.path.exists("/proc/self/status"):
    status = dict(l.split(":", 1) for l in open("/proc/self/status"))
import ctypes
libc = ctypes.CDLL(None, use_errno=True)
new = libc.prctl(39, 0, 0, 0, 0)           # PR_GET_NO_NEW_PRIVS
bound = [c for c in range(41) if libc.prctl(23, c, 0, 0, 0) == 1]   # PR_CAPBSET_READ
header = (ctypes.c_uint32 * 2)(0x20080522, 0)
data = (ctypes.c_uint32 * 6)()
libc.capget(header, data)
ambient = [c for c in range(41) if libc.prctl(47, 1, c, 0, 0) == 1]  # PR_CAP_AMBIENT_IS_SET
namespace = libc.unshare(0x10000000)
root = libc.setresuid(0, 0, 0)
mounted = libc.mount(b"none", b"/scratch", b"tmpfs", 0, None)
groups = os.getgroups()
parent = os.getppid()
"""


def test_there_is_no_way_back_to_more_rights() -> None:
    names = ("new", "bound", "data", "ambient", "namespace", "root", "mounted", "groups", "parent")
    source = f"{RIGHTS}\ndata = list(data)"
    found = run([Step(source, 0, names)], names, {}, limits=PATIENT).values
    got = {name: found[name].get("plain") for name in names}
    assert got["new"] == 1
    assert got["bound"] == []
    assert got["data"] == [0] * 6
    assert got["ambient"] == []
    assert (got["namespace"], got["root"], got["mounted"]) == (-1, -1, -1)
    if os.getuid() == 0:
        assert got["groups"] == []
    assert got["parent"] == 1  # a world of its own, in which it can see nobody else


PLACES = """
import os
def writable(place):
    try:
        os.close(os.open(os.path.join(place, "left"), os.O_CREAT | os.O_WRONLY))
        return True
    except OSError:
        return False
x = sorted(d for d in ("/", "/dev", "/usr", "/usr/lib", "/new", "/old", "/scratch", PACKAGE)
           if writable(d))
y = sorted(os.listdir("/dev"))
z = sorted(os.listdir("/"))
flags = [os.statvfs(d).f_flag & (os.ST_NOSUID | os.ST_NODEV) for d in ("/usr", "/scratch")]
locked = [bool(os.statvfs(d).f_flag & os.ST_RDONLY) for d in ("/", "/usr", PACKAGE, "/scratch")]
size = os.statvfs("/scratch").f_blocks * os.statvfs("/scratch").f_frsize
"""


def test_only_the_working_folder_can_be_written_and_only_so_much_of_it() -> None:
    names = ("x", "y", "z", "flags", "locked", "size")
    source = f"PACKAGE = {str(Path(runner.__file__).parents[2])!r}\n{PLACES}"
    limits = Limits(cell_s=120.0, call_s=120.0, total_s=500.0, scratch_mb=7)
    found = run([Step(source, 0, names)], names, {}, limits=limits).values
    assert found["x"]["plain"] == ["/scratch"]
    assert found["y"]["plain"] == sorted(namespaces._DEVICES)
    assert not {"proc", "sys", "var", "srv", "old", "new"} & set(found["z"]["plain"])
    assert found["flags"]["plain"] == [os.ST_NOSUID | os.ST_NODEV] * 2
    # for all users: whoever marks may own what is shown
    assert found["locked"]["plain"] == [True, True, True, False]
    assert found["size"]["plain"] == 7 * 1024 * 1024


@pytest.fixture
def shown(fresh_warm: None, monkeypatch: pytest.MonkeyPatch) -> Callable[[Path], None]:
    """Have a folder shown to hand-ins, as a checkout inside the environment's folder would be."""
    path, places = runner._readable()

    def show(folder: Path) -> None:
        monkeypatch.setattr(runner, "_readable", lambda: (path, [*places, folder]))

    return show


@pytest.mark.parametrize("what", ["keys", "hand-ins", "results", "source", "home"])
def test_marking_is_refused_where_a_hand_in_could_see_too_much(
    way: str,
    what: str,
    shown: Callable[[Path], None],
    tmp_path: Path,
    hand_in: Callable[..., Path],
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    course, handins, home = tmp_path / "here" / "course", tmp_path / "in", tmp_path / "home"
    home.mkdir()
    (home / "diary.txt").write_text("mine")
    monkeypatch.setattr(Path, "home", lambda: home)
    for part in ("keys", "source", "release"):
        shutil.copytree(COURSE / part, course / part)
    hand_in(handins, "anna")
    results = tmp_path / "out"
    results.mkdir()
    places = {"keys": course.parent, "hand-ins": handins, "results": results, "home": home}
    shown(places.get(what, course / "source"))
    call = ["mark", str(handins), "--exercise", "04-columns", "--course", str(course)]
    assert cli.main([*call, "--results", str(results)]) == 2
    said = capsys.readouterr().err
    assert "Nothing was marked: a hand-in could see" in said
    assert not (results / "marks-04-columns.csv").exists()


def test_nothing_is_refused_as_the_house_stands(way: str, tmp_path: Path) -> None:
    runner.refuse_if_seen(
        {"the keys": COURSE / "keys", "the hand-ins": tmp_path, "yours": Path.home()}
    )


def test_the_walls_stand_where_all_mounts_are_shared() -> None:
    """As a desktop has it: what is mounted in one namespace appears in those beside it."""
    shared = ["unshare", "--mount", "--propagation", "shared"]
    if not runner._works([*shared, sys.executable, "-c", ""]):
        pytest.skip("only root may try this")
    before = Path("/proc/self/mountinfo").read_text()
    shown = map(str, runner._readable()[1])
    assert runner._works([*shared, *runner._PYTHON, namespaces.__file__, *shown])
    assert Path("/proc/self/mountinfo").read_text() == before


def test_a_network_is_noticed(monkeypatch: pytest.MonkeyPatch) -> None:
    """As if the namespace had not held: the same process, not walled off."""
    monkeypatch.setattr(runner, "_way", lambda: "start")
    monkeypatch.setattr(runner, "isolated", lambda: True)
    with pytest.raises(SandboxError, match="could use the network"):
        runner.refuse_if_seen({})


def test_one_place_inside_another_is_shown_once() -> None:
    assert namespaces._outermost(["/usr/lib", "/usr", "/usrlocal", "/a/b", "/a"]) == [
        "/a",
        "/usr",
        "/usrlocal",
    ]


def test_temporary_files_go_into_the_working_folder(way: str) -> None:
    if Path(sys.prefix).resolve().is_relative_to("/tmp"):
        pytest.skip("what lies in /tmp itself is shown there, so nothing may be written beside it")
    source = (
        "import os, tempfile\n"
        "x = os.path.realpath(tempfile.mkdtemp()).startswith(os.path.realpath('.'))\n"
        "open('/tmp/left', 'w').write('x')\ny = os.path.exists('left') or os.path.exists('/tmp')"
    )
    found = run([Step(source, 0, ("x", "y"))], ["x", "y"], {}, limits=PATIENT).values
    assert (found["x"], found["y"]) == ({"plain": True}, {"plain": True})


class Libc:
    """Stands for the system's library: what it is asked, and what it answers."""

    def __init__(self, answer: int, number: int = 0) -> None:
        self.answer, self.number, self.asked = answer, number, []  # type: ignore[var-annotated]

    def syscall(self, *arguments: object) -> int:
        self.asked.append(arguments)
        ctypes.set_errno(self.number)
        return self.answer

    unshare = syscall


@pytest.fixture
def system(monkeypatch: pytest.MonkeyPatch) -> Callable[..., Libc]:
    def answers(answer: int, number: int = 0) -> Libc:
        libc = Libc(answer, number)
        monkeypatch.setattr(namespaces, "_libc", lambda: libc)
        return libc

    return answers


def test_where_the_system_keeps_no_keys_there_are_none_to_leave(
    system: Callable[..., Libc],
) -> None:
    for number in (errno.ENOSYS, errno.EPERM, errno.EACCES):
        libc = system(-1, number)
        namespaces.fresh_keyring(also_users=True)
        assert len(libc.asked) == 1
    system(-1, errno.EDQUOT)
    with pytest.raises(OSError, match="cannot leave its keyring"):
        namespaces.fresh_keyring()


def test_a_keyring_of_its_own_and_the_users_emptied(system: Callable[..., Libc]) -> None:
    libc = system(1)
    namespaces.fresh_keyring()
    assert [one[1:] for one in libc.asked] == [(1, None)]
    namespaces.fresh_keyring(also_users=True)
    assert [one[1:] for one in libc.asked[1:]] == [(1, None), (7, -4), (7, -5)]
    assert {one[0] for one in libc.asked} == {namespaces._SYS_KEYCTL[os.uname().machine]}


def test_what_the_system_refuses_is_an_error_with_its_reason(system: Callable[..., Libc]) -> None:
    system(-1, errno.ENOSPC)
    with pytest.raises(OSError, match="unshare: No space left") as trouble:
        namespaces._call("unshare", 1)
    assert trouble.value.errno == errno.ENOSPC
    with pytest.raises(OSError, match="the system knows no mount"):
        namespaces._call("mount")
    system(0)
    namespaces._call("unshare", 1)
    system(5)
    namespaces._call("unshare", 1)


@pytest.mark.parametrize("which", [*namespaces._NEW, "user"])
def test_each_namespace_has_the_number_that_the_kernel_knows_it_by(which: str) -> None:
    """A number that is none would be refused as such, and pass for a wall that holds."""
    number = namespaces._NEW.get(which, namespaces._NEW_USER)
    libc = namespaces._libc()
    child = os.fork()
    if child == 0:
        os._exit(libc.unshare(number) != 0 and ctypes.get_errno() == errno.EINVAL)
    assert os.waitpid(child, 0)[1] == 0


def defined(name: str, *headers: str) -> int:
    """A number as the kernel's headers, which compilers take it from, define it."""
    for header in headers:
        for path in Path("/usr/include").glob(header):
            number = r"(-?(?:0x[0-9a-f]+|\d+))"
            told = rf"\b{name}\s*=?\s*\(?{number}(?:\s*<<\s*{number})?"
            found = re.search(told, path.read_text())
            if found is not None:
                return int(found[1], 0) << int(found[2] or "0", 0)
    pytest.skip(f"there are no headers that define {name}")


@pytest.mark.parametrize(
    ("headers", "numbers"),
    [
        (
            ["linux/sched.h"],
            {f"CLONE_NEW{name.upper()}": number for name, number in namespaces._NEW.items()}
            | {"CLONE_NEWNS": namespaces._NEW["mount"], "CLONE_NEWUSER": namespaces._NEW_USER},
        ),
        (
            ["linux/mount.h", "*/sys/mount.h", "linux/fcntl.h"],
            {
                "MS_NOSUID": namespaces._NOSUID,
                "MS_NODEV": namespaces._NODEV,
                "MS_BIND": namespaces._BIND,
                "MS_REC": namespaces._REC,
                "MS_PRIVATE": namespaces._PRIVATE,
                "MNT_DETACH": namespaces._DETACH,
                "AT_FDCWD": namespaces._AT_FDCWD,
                "AT_RECURSIVE": namespaces._AT_RECURSIVE,
                "MOUNT_ATTR_RDONLY": namespaces._ATTR_RDONLY,
                "MOUNT_ATTR_NOSUID": namespaces._ATTR_NOSUID,
                "MOUNT_ATTR_NODEV": namespaces._ATTR_NODEV,
            },
        ),
        (
            ["linux/prctl.h", "linux/keyctl.h"],
            {
                "PR_CAPBSET_DROP": namespaces._PR_CAPBSET_DROP,
                "PR_SET_NO_NEW_PRIVS": namespaces._PR_SET_NO_NEW_PRIVS,
                "PR_CAP_AMBIENT": namespaces._PR_CAP_AMBIENT,
                "PR_CAP_AMBIENT_CLEAR_ALL": namespaces._CLEAR_ALL,
                "KEYCTL_JOIN_SESSION_KEYRING": namespaces._KEYCTL_JOIN_SESSION,
                "KEYCTL_CLEAR": namespaces._KEYCTL_CLEAR,
                "KEY_SPEC_USER_KEYRING": namespaces._USER_KEYRINGS[0],
                "KEY_SPEC_USER_SESSION_KEYRING": namespaces._USER_KEYRINGS[1],
            },
        ),
        (
            ["x86_64-linux-gnu/asm/unistd_64.h"],
            {
                "__NR_mount_setattr": namespaces._SYS_MOUNT_SETATTR,
                "__NR_pivot_root": namespaces._SYS_PIVOT_ROOT["x86_64"],
                "__NR_keyctl": namespaces._SYS_KEYCTL["x86_64"],
            },
        ),
        *(
            (
                ["asm-generic/unistd.h"],
                {
                    "__NR_mount_setattr": namespaces._SYS_MOUNT_SETATTR,
                    "__NR_pivot_root": namespaces._SYS_PIVOT_ROOT[machine],
                    "__NR_keyctl": namespaces._SYS_KEYCTL[machine],
                },
            )
            for machine in ("aarch64", "riscv64")
        ),
    ],
    ids=["namespaces", "mounts", "rights and keys", "x86_64", "aarch64", "riscv64"],
)
def test_the_numbers_are_those_of_the_kernels_headers(
    headers: list[str], numbers: dict[str, int]
) -> None:
    numbers.pop("CLONE_NEWMOUNT", None)  # it is called CLONE_NEWNS there
    for name, number in numbers.items():
        assert number == defined(name, *headers), name


def test_elsewhere_than_on_linux_nothing_is_put_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(namespaces.sys, "platform", "darwin")
    with pytest.raises(OSError, match="Linux's own"):
        namespaces._call("unshare", 1)


@pytest.mark.parametrize("refused", [False, True])
@pytest.mark.parametrize("user", [0, 1000])
def test_only_root_goes_without_a_user_namespace(
    user: int, refused: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is unshared, and whose user is mapped, without doing it."""
    calls: list[int] = []
    mapped: list[int] = []

    def call(name: str, flags: int) -> None:
        calls.append(flags)
        if refused and len(calls) == 1:
            raise PermissionError(errno.EPERM, "no")

    monkeypatch.setattr(namespaces.os, "getuid", lambda: user)
    monkeypatch.setattr(namespaces, "_call", call)
    monkeypatch.setattr(namespaces, "_map_user", lambda user, group: mapped.append(user))
    monkeypatch.setattr(namespaces, "_build", lambda shown, size: None)
    plainly = sum(namespaces._NEW.values())
    with_user = plainly | namespaces._NEW_USER
    if user and refused:
        with pytest.raises(PermissionError):
            namespaces.enter([], 1)
        assert (calls, mapped) == ([with_user], [])
        return
    namespaces.enter([], 1)
    assert calls == ([with_user] if user else [plainly, with_user] if refused else [plainly])
    assert mapped == ([user] if user or refused else [])


@pytest.mark.skipif(not hasattr(os, "fork"), reason="forks")
@pytest.mark.parametrize(
    "open_",
    ["nothing", "/proc", "/etc/passwd", "root", "another namespace", "the folder is closed"],
)
def test_walls_that_leave_anything_open_do_not_hold(
    open_: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, system: Callable[..., Libc]
) -> None:
    """What the trial run looks at, without the walls themselves."""

    class Place(type(tmp_path)):  # type: ignore[misc]
        def exists(self, **_: object) -> bool:
            return str(self) == open_

    entered: list[int] = []
    monkeypatch.setattr(namespaces, "enter", lambda shown, scratch_mb: entered.append(scratch_mb))
    monkeypatch.setattr(namespaces, "drop_rights", lambda number: None)
    monkeypatch.setattr(namespaces, "Path", Place)
    scratch = tmp_path / "none" if open_ == "the folder is closed" else tmp_path
    monkeypatch.setattr(namespaces, "SCRATCH", str(scratch))
    monkeypatch.setattr(namespaces.os, "getuid", lambda: 0 if open_ == "root" else 65534)
    system(0 if open_ == "another namespace" else -1)
    if open_ == "nothing":
        namespaces._try_out([])
    else:
        with pytest.raises(OSError, match="do not hold"):
            namespaces._try_out([])
    assert len(entered) == 1


class Rights:
    """Stands for the system of a marker: which rights there are, and what is given up."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, user: int, known: int | None) -> None:
        self.user, self.known, self.done = user, known, []  # type: ignore[var-annotated]
        monkeypatch.setattr(namespaces, "_libc", lambda: self)
        monkeypatch.setattr(namespaces.os, "getuid", lambda: self.user)
        monkeypatch.setattr(namespaces.os, "setgroups", lambda groups: self.done.append(groups))
        monkeypatch.setattr(namespaces.os, "setresgid", lambda *groups: self.become(*groups))
        monkeypatch.setattr(namespaces.os, "setresuid", lambda *users: self.become(*users))
        monkeypatch.setattr(
            namespaces, "fresh_keyring", lambda also_users: self.done.append(("keys", also_users))
        )

    def become(self, *ids: int) -> None:
        if self.known is not None and ids[0] != self.known:
            raise OSError(errno.EINVAL, "no such user")
        self.done.append(ids)
        self.user = ids[0]

    def prctl(self, what: int, value: int, *unused: int) -> int:
        if any(unused):  # unused ones must be zero: prctl(2)
            return -1
        if what == namespaces._PR_CAPBSET_DROP:
            self.done.append(("bound", value))
            return 0 if value < 3 else -1
        self.done.append((what, value))
        return 0

    def capset(self, header: Any, data: Any) -> int:
        self.done.append(("capset", header[1], list(data)))
        return 0


BOUND = [("bound", 0), ("bound", 1), ("bound", 2), ("bound", 3)]
GIVEN_UP = [("capset", 0, [0] * 6), (47, 4), (38, 1)]


@pytest.mark.parametrize("known", [None, 65534])
def test_root_becomes_nobody_and_gives_up_all_rights(
    known: int | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A user of its own for each hand-in; where a container knows few, the one it knows."""
    system = Rights(monkeypatch, 0, known)
    namespaces.drop_rights(7)
    mine = known or namespaces._NO_ONES + 7
    assert system.done == [*BOUND, [], (mine,) * 3, (mine,) * 3, ("keys", True), *GIVEN_UP]


def test_whoever_is_not_root_gives_up_all_rights_too(monkeypatch: pytest.MonkeyPatch) -> None:
    system = Rights(monkeypatch, 1000, None)
    namespaces.drop_rights(7)
    assert system.done == [*BOUND, ("keys", False), *GIVEN_UP]


def test_root_that_cannot_become_another_is_an_error(monkeypatch: pytest.MonkeyPatch) -> None:
    system = Rights(monkeypatch, 0, 4)
    with pytest.raises(OSError, match="cannot become another user"):
        namespaces.drop_rights(7)
    assert system.done == [*BOUND, []]
