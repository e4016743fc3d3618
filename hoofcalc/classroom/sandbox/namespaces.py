"""Namespaces around a learner's process, entered by the process itself before it runs any cell.

Linux only, by its own means (namespaces, see the manual pages ``namespaces(7)``,
``mount_setattr(2)``, ``pivot_root(2)``): no network, no other processes, no file but
what is shown, read-only, and an empty folder in memory to work in. Standard library
alone. Anything that cannot be put up is an ``OSError``, and then no cell may run.
"""

from __future__ import annotations

import ctypes
import errno
import os
import stat
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

#: The folder the learner's process works in.
SCRATCH = "/scratch"
#: The user it is inside. Outside, where root marks, it is nobody's user at all.
_NOBODY = 65534
_NO_ONES = 2_000_000_000
SYSTEM = ("/usr", "/lib", "/lib64", "/lib32", "/bin", "/sbin", "/etc/fonts", "/etc/ld.so.cache")
_DEVICES = ("null", "zero", "full", "random", "urandom")

# numbers of the Linux kernel's interface: sched.h, mount.h, prctl.h
_NEW = {"mount": 0x20000, "cgroup": 0x2000000, "uts": 0x4000000, "ipc": 0x8000000}
_NEW |= {"pid": 0x20000000, "net": 0x40000000}
_NEW_USER = 0x10000000
_NOSUID, _NODEV, _BIND, _REC, _PRIVATE = 2, 4, 4096, 16384, 1 << 18
_DETACH = 2
_AT_FDCWD, _AT_RECURSIVE = -100, 0x8000
_ATTR_RDONLY, _ATTR_NOSUID, _ATTR_NODEV = 1, 2, 4
_SYS_MOUNT_SETATTR = 442  # the same number on every architecture
_SYS_PIVOT_ROOT = {"x86_64": 155, "aarch64": 41, "riscv64": 41, "ppc64le": 203, "s390x": 217}
_SYS_KEYCTL = {"x86_64": 250, "aarch64": 219, "riscv64": 219, "ppc64le": 271, "s390x": 280}
_KEYCTL_JOIN_SESSION, _KEYCTL_CLEAR, _USER_KEYRINGS = 1, 7, (-4, -5)
_PR_CAPBSET_DROP, _PR_SET_NO_NEW_PRIVS, _PR_CAP_AMBIENT, _CLEAR_ALL = 24, 38, 47, 4


def enter(shown: Sequence[str], scratch_mb: int) -> None:
    """Enter new namespaces; the next child of this process is alone in them.

    The process itself is still outside in one respect: it sees its children and can end
    them. The child must call `drop_rights` before it does anything else.
    """
    user, group = os.getuid(), os.getgid()
    everything = sum(_NEW.values())
    try:
        # root needs no user namespace, and its child can become a user who owns nothing
        _call("unshare", everything if user == 0 else everything | _NEW_USER)
    except PermissionError:
        if user != 0:
            raise
        _call("unshare", everything | _NEW_USER)
        _map_user(user, group)
    else:
        if user != 0:
            _map_user(user, group)
    _build(shown, scratch_mb)


def drop_rights(number: int) -> None:
    """Give up every right that could lead out of the namespaces, for good.

    Where root marks, this process becomes a user who owns nothing; `number` makes it
    another user than that of the next process, so that limits count for each alone.
    """
    capability = 0
    while _libc().prctl(_PR_CAPBSET_DROP, capability, 0, 0, 0) == 0:
        capability += 1
    root = os.getuid() == 0
    if root:
        os.setgroups([])
        for user in (_NO_ONES + number, _NOBODY):  # a container may know few users
            try:
                os.setresgid(user, user, user)
                os.setresuid(user, user, user)
                break
            except OSError:
                continue
        if os.getuid() == 0:
            raise OSError("the process cannot become another user")
    fresh_keyring(also_users=root)
    header = (ctypes.c_uint32 * 2)(0x20080522, 0)  # capset, version 3, this process
    _call("capset", header, (ctypes.c_uint32 * 6)())
    _libc().prctl(_PR_CAP_AMBIENT, _CLEAR_ALL, 0, 0, 0)
    _call("prctl", _PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0)


def fresh_keyring(*, also_users: bool = False) -> None:
    """Leave the keys of whoever marks, and those that another hand-in may have left.

    `also_users` empties the user's own keyrings too: for a user who is nobody.
    """
    keyctl = _SYS_KEYCTL.get(os.uname().machine)
    if keyctl is None:
        return  # then nobody here has found them yet
    libc = _libc()
    if libc.syscall(keyctl, _KEYCTL_JOIN_SESSION, None) < 0:
        if ctypes.get_errno() in (errno.ENOSYS, errno.EPERM, errno.EACCES):
            return  # there are none, or they are closed to everyone in here
        raise OSError("the process cannot leave its keyring")
    for keyring in _USER_KEYRINGS if also_users else ():
        libc.syscall(keyctl, _KEYCTL_CLEAR, keyring)


def _map_user(user: int, group: int) -> None:
    Path("/proc/self/setgroups").write_text("deny")
    Path("/proc/self/uid_map").write_text(f"{_NOBODY} {user} 1")
    Path("/proc/self/gid_map").write_text(f"{_NOBODY} {group} 1")


def _build(shown: Sequence[str], scratch_mb: int) -> None:
    """A new root of nothing but what is shown; the old one is let go."""
    places = {place: os.path.realpath(place) for place in _outermost([*SYSTEM, *shown])}
    _mount(None, "/", None, _REC | _PRIVATE)
    _mount("tmpfs", "/tmp", "tmpfs", _NOSUID | _NODEV, "size=1m,mode=755")
    Path("/tmp/old").mkdir()
    new = Path("/tmp/new")
    new.mkdir()
    pivot = _SYS_PIVOT_ROOT.get(os.uname().machine)
    if pivot is None:
        raise OSError(f"namespaces are not known for this kind of machine ({os.uname().machine})")
    _call("syscall", pivot, b"/tmp", b"/tmp/old")
    os.chdir("/")
    old, new = Path("/old"), Path("/new")

    (new / "dev").mkdir()
    for device in _DEVICES:
        (new / "dev" / device).touch()
        _mount(f"/old/dev/{device}", f"/new/dev/{device}", None, _BIND)
    (new / SCRATCH[1:]).mkdir()
    size = f"size={scratch_mb}m,nr_inodes=10000,mode=777"
    _mount("tmpfs", f"/new{SCRATCH}", "tmpfs", _NOSUID | _NODEV, size)
    for place, real in places.items():
        link = old / place[1:]
        if place in SYSTEM and link.is_symlink():
            (new / place[1:]).symlink_to(link.readlink())
        else:
            _show(old / real[1:], new / place[1:])

    if not (new / "tmp").exists():
        (new / "tmp").symlink_to(SCRATCH)

    _call("umount2", b"/old", _DETACH)
    Path("/old").rmdir()
    _read_only("/", 0)
    # not the root of the mounts but a folder in it: from there no user namespace can be made
    os.chroot("/new")
    os.chdir(SCRATCH)


def _outermost(places: Sequence[str]) -> list[str]:
    """Places without those inside another one."""
    kept: list[str] = []
    for place in sorted(set(places)):
        if not any(place == other or place.startswith(f"{other}/") for other in kept):
            kept.append(place)
    return kept


def _show(there: Path, here: Path) -> None:
    try:
        folder = stat.S_ISDIR(there.stat().st_mode)
    except OSError:
        return  # not there, or not for this user
    if folder:
        here.mkdir(parents=True, exist_ok=True)
    else:
        here.parent.mkdir(parents=True, exist_ok=True)
        here.touch()
    _mount(str(there), str(here), None, _BIND | _REC)
    _read_only(str(here), _AT_RECURSIVE)


def _read_only(place: str, how: int) -> None:
    attributes = (ctypes.c_uint64 * 4)(_ATTR_RDONLY | _ATTR_NOSUID | _ATTR_NODEV, 0, 0, 0)
    size = ctypes.c_size_t(ctypes.sizeof(attributes))
    _call("syscall", _SYS_MOUNT_SETATTR, _AT_FDCWD, place.encode(), how, attributes, size)


def _mount(
    source: str | None, target: str, kind: str | None, flags: int, options: str | None = None
) -> None:
    def text(value: str | None) -> bytes | None:
        return None if value is None else value.encode()

    _call("mount", text(source), target.encode(), text(kind), ctypes.c_ulong(flags), text(options))


def _libc() -> Any:
    return ctypes.CDLL(None, use_errno=True)


def _call(name: str, *arguments: Any) -> None:
    """Call a function of the system's; what it refuses is an OSError."""
    if sys.platform != "linux":
        raise OSError("these namespaces are Linux's own")
    try:
        function = getattr(_libc(), name)
    except AttributeError:
        raise OSError(f"the system knows no {name}") from None
    if function(*arguments) < 0:
        number = ctypes.get_errno()
        raise OSError(number, f"{name}: {os.strerror(number)}")


def _try_out(shown: Sequence[str]) -> None:
    """Enter once and end; an error where the namespaces do not hold."""
    enter(shown, scratch_mb=1)
    child = os.fork()
    if child == 0:
        try:
            drop_rights(os.getpid())
            Path(SCRATCH, "file").write_text("x")
            # what must not work: to see what is outside, to make a namespace, to be someone
            sealed = (
                not Path("/proc").exists() and not Path("/etc/passwd").exists() and os.getuid() != 0
            )
            os._exit(0 if sealed and _libc().unshare(_NEW_USER) != 0 else 1)
        except BaseException:
            os._exit(1)
    if os.waitpid(child, 0)[1] != 0:
        raise OSError("the namespaces do not hold")


if __name__ == "__main__":
    _try_out(sys.argv[1:])
