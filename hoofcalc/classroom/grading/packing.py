"""Pages packed for sending: a zip for each learner, or one laid out as the download was."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator
from pathlib import Path, PurePosixPath

from hoofcalc._counted import counted
from hoofcalc._files import write_whole
from hoofcalc.classroom.grading.download import REPORT
from hoofcalc.classroom.grading.results_folder import results_folder
from hoofcalc.classroom.grading.spreadsheets import read_columns

FOLDER = "to-send"


def pack(folder: Path, *, solutions: bool = False) -> int:
    """Pack everybody's pages, the solution sheets too where asked for; 0 when done."""
    target = results_folder(folder)
    pages = _pages(target, ["feedback", "solutions"] if solutions else ["feedback"])
    for learner, files in pages.items():
        write_whole(target / FOLDER / f"{learner}.zip", zipped(files))
    print(f"{counted(len(pages), 'learner')}: {target / FOLDER}, a zip for each")
    report = next(
        (
            place / REPORT
            for place in (folder.expanduser().resolve(), target)
            if (place / REPORT).is_file()
        ),
        None,
    )
    if report is not None:
        back = {
            PurePosixPath(*where.parts[:1], inside) if len(where.parts) > 1 else inside: content
            for learner, where in _places(report)
            for inside, content in _back(pages.get(learner, {}), where)
        }
        write_whole(target / "to-send-back.zip", zipped(back))
        print(f"All in one, in the download's own folders: {target / 'to-send-back.zip'}")
    return 0


def zipped(files: dict[PurePosixPath, bytes]) -> bytes:
    """A zip of some files: the same bytes for the same files."""
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in sorted(files.items()):
            archive.writestr(zipfile.ZipInfo(str(name), (1980, 1, 1, 0, 0, 0)), content)
    return stream.getvalue()


def _pages(target: Path, kinds: list[str]) -> dict[str, dict[PurePosixPath, bytes]]:
    found: dict[str, dict[PurePosixPath, bytes]] = {}
    for kind in kinds:
        for path in sorted((target / kind).glob("*/*.html")):
            name = PurePosixPath(f"{path.parent.name}-{kind}.html")
            found.setdefault(path.stem, {})[name] = path.read_bytes()
    return found


def _places(report: Path) -> Iterator[tuple[str, PurePosixPath]]:
    """Where each learner's hand-in lay in the download."""
    for row in read_columns(report, ("id", "file", "remark")):
        if row["id"] and not row["remark"].startswith("not used"):
            yield row["id"].removeprefix("'"), PurePosixPath(row["file"].removeprefix("'"))


def _back(
    pages: dict[PurePosixPath, bytes], where: PurePosixPath
) -> Iterator[tuple[PurePosixPath, bytes]]:
    for name, content in pages.items():
        if len(where.parts) > 1:
            yield name, content
        else:  # a flat download: the page is called after the file it belongs to
            yield PurePosixPath(f"{where.stem}-{name}"), content
