"""What Python needs in the browser, packed so that it wakes soon.

The bytes are those of the pinned files, sifted: what only a compiler or an editor needs stays out.
Where a Python of the same kind as the browser's is at hand (this one, or one on the PATH), modules
are compiled here instead of on every device at every visit: reading and compiling source is nearly
half of the time to wake.
"""

from __future__ import annotations

import functools
import io
import shutil
import subprocess
import sys
import tempfile
import zipfile
from collections.abc import Mapping
from pathlib import Path

from hoofcalc.site import runtime

#: What no program that runs needs: types, headers, sources of compiled parts, tools for builders.
_NOT_RUN = (".pyi", ".h", ".c", ".pxd", ".pyx", ".a", ".pyf", ".src", ".ini", ".build", ".typed")
_NOT_USED = ("numpy/f2py/", "numpy/distutils/", "numpy/_pyinstaller/", "numpy/testing/tests/")
#: Runs in the other Python: modules of a folder become compiled ones that no clock can spoil.
_COMPILES = """
import importlib.util, pathlib, py_compile, sys
place = pathlib.Path(sys.argv[1])
for path in sorted(place.rglob("*.py")):
    name = str(path.relative_to(place))
    try:
        py_compile.compile(str(path), str(path) + "c", name, doraise=True,
                           optimize=int(sys.argv[2]),
                           invalidation_mode=py_compile.PycInvalidationMode.UNCHECKED_HASH)
    except (py_compile.PyCompileError, ValueError, RecursionError):
        continue  # stays as it is
    path.unlink()
"""
_PATIENCE_S = 300


@functools.cache
def same_python() -> str | None:
    """A program of the same Python as the browser's, to two places of its version, if any."""
    wanted = runtime.python_version().rpartition(".")[0]
    for program in (sys.executable, shutil.which(f"python{wanted}")):
        if program is None:
            continue
        asks = "import sys; print('%d.%d' % sys.version_info[:2])"
        try:
            done = subprocess.run(
                [program, "-I", "-c", asks], capture_output=True, text=True, timeout=30, check=False
            )
        except (OSError, subprocess.SubprocessError):
            continue
        if done.returncode == 0 and done.stdout.strip() == wanted:
            return program
    return None


def packed(files: Mapping[str, bytes], *, words: bool = True) -> bytes:
    """An archive of these files, the same bytes each time.

    Parameters
    ----------
    files
        Contents by their place in the archive.
    words
        Whether compiled modules keep their descriptions, for those who ask `help`.

    Returns
    -------
    bytes
        A zip file, with modules compiled where that can be done.
    """
    written = io.BytesIO()
    with zipfile.ZipFile(written, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as archive:
        for name, content in sorted(_compiled(files, words=words).items()):
            stamp = zipfile.ZipInfo(name, (1980, 1, 1, 0, 0, 0))
            stamp.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(stamp, content)
    return written.getvalue()


def repacked(name: str, content: bytes) -> bytes:
    """A pinned archive, sifted and compiled.

    Parameters
    ----------
    name
        The pinned file's name.
    content
        Its bytes.

    Returns
    -------
    bytes
        A zip file; other files come back as they are.
    """
    if not name.endswith((".whl", ".zip")) or name.startswith("openblas"):
        return content
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        files = {
            one: archive.read(one)
            for one in archive.namelist()
            if not one.endswith(("/", *_NOT_RUN)) and not one.startswith(_NOT_USED)
        }
    return packed(files, words="stdlib" not in name)  # numpy builds on its own descriptions


def _compiled(files: Mapping[str, bytes], *, words: bool) -> dict[str, bytes]:
    """The files, with each module compiled if there is something to compile it with."""
    program = same_python()
    modules = {name: content for name, content in files.items() if name.endswith(".py")}
    if program is None or not modules:
        return dict(files)
    with tempfile.TemporaryDirectory() as scratch:
        place = Path(scratch)
        for name, content in modules.items():
            (place / name).parent.mkdir(parents=True, exist_ok=True)
            (place / name).write_bytes(content)
        try:
            subprocess.run(
                [program, "-I", "-c", _COMPILES, scratch, "0" if words else "2"],
                check=True,
                capture_output=True,
                timeout=_PATIENCE_S,
            )
        except (OSError, subprocess.SubprocessError):
            return dict(files)
        made = {
            str(path.relative_to(place)).replace("\\", "/"): path.read_bytes()
            for path in place.rglob("*")
            if path.is_file()
        }
    return {name: content for name, content in files.items() if name not in modules} | made
