"""Look into a built wheel and source archive: the course is inside, and no key and no truth."""

from __future__ import annotations

import re
import sys
import tarfile
import zipfile
from pathlib import Path


def problems(names: list[str], *, wheel: bool) -> list[str]:
    """What is wrong with the files of an archive, in words; empty where nothing is."""
    found = [
        f"a key would be given away: {name}"
        for name in names
        if re.search(r"/exercises/(keys|source)/|/keys/|-handins\.py$", name)
    ]
    if wheel:
        found += [
            f"nothing of {part} is inside"
            for part in ("lessons", "exercises", "datasets")
            if not any(name.startswith(f"hoofcalc/_course/{part}/") for name in names)
        ]
    return found


def main(folder: str) -> int:
    """Check every archive in a folder; 0 when all are as they must be."""
    trouble = []
    archives = sorted(Path(folder).glob("*.whl")) + sorted(Path(folder).glob("*.tar.gz"))
    for archive in archives:
        if archive.suffix == ".whl":
            names = zipfile.ZipFile(archive).namelist()
        else:
            with tarfile.open(archive) as packed:
                names = packed.getnames()
        trouble += [
            f"{archive.name}: {words}" for words in problems(names, wheel=archive.suffix == ".whl")
        ]
    if not archives:
        trouble.append(f"there is nothing built in {folder}")
    print("\n".join(trouble or [f"{len(archives)} archives are as they must be"]))
    return int(bool(trouble))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
