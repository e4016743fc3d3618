"""The learner's record in their own folder: one small file, always written whole."""

from __future__ import annotations

import contextlib
import datetime
from functools import cache
from pathlib import Path
from typing import Any

from hoofcalc._files import write_whole
from hoofcalc.figures import record

FILE = "my-course.json"
#: What marks a learner's own copy of the course (see `hoofcalc.classroom.workspace`).
_OWN_COPY = ".hoofcalc"


class FolderMemory:
    """Keeps guesses, answers and the place in a file; without a folder, for this session only.

    A file that cannot be read is never written over: it is set aside under another name. A file
    that cannot be written costs the memory and nothing else.

    Parameters
    ----------
    folder
        Where the file lies; None to keep everything in this session only.
    """

    def __init__(self, folder: Path | None) -> None:
        self.path = None if folder is None else folder / FILE
        #: What could not be written; nothing where the file has it all.
        self._session = record.empty()

    def remember(self, key: str, value: Any) -> None:
        """Keep a value under a name.

        Parameters
        ----------
        key
            As `hoofcalc.figures.record.key` makes it.
        value
            Plain data.

        Raises
        ------
        ValueError
            If `value` is not plain data.
        """
        now = datetime.datetime.now(datetime.UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
        # the file is read again each time: another lesson may have written since
        self._write(record.with_entry(self.all(), key, value, now))

    def recall(self, key: str) -> Any:
        """What is kept under a name; None where there is nothing."""
        return record.value_of(self.all(), key)

    def all(self) -> dict[str, Any]:
        """Everything that is kept, as one record."""
        return record.merged(self._session, self._kept())

    def bring_back(self, text: str) -> int:
        """Add a record that was taken along; of an entry that is in both the later stays.

        Parameters
        ----------
        text
            The file's text.

        Returns
        -------
        int
            How many entries it held.

        Raises
        ------
        ValueError
            If `text` is no record of this course; nothing is changed then.
        """
        brought = record.read(text)
        self._write(record.merged(self.all(), brought))
        return len(brought["entries"])

    def forget(self) -> None:
        """Delete everything: the file, and what this session knows."""
        self._session = record.empty()
        if self.path is not None:
            with contextlib.suppress(OSError):
                self.path.unlink(missing_ok=True)

    def _write(self, whole: dict[str, Any]) -> None:
        """Write the file; on a full or locked disk the lesson goes on, and this session knows."""
        self._session = whole
        if self.path is not None:
            with contextlib.suppress(OSError):
                write_whole(self.path, record.text_of(whole).encode())
                self._session = record.empty()

    def _kept(self) -> dict[str, Any]:
        """The file as it is now; one that cannot be read is set aside and left in peace."""
        if self.path is None or not self.path.is_file():
            return record.empty()
        try:
            return record.read(self.path.read_text("utf-8"))
        except OSError:
            return record.empty()
        except ValueError:
            self._set_aside(self.path)
            return record.empty()

    @staticmethod
    def _set_aside(path: Path) -> None:
        for number in range(1, 1000):
            aside = path.with_name(f"{path.stem}-not-read-{number}.json")
            if not aside.exists():
                with contextlib.suppress(OSError):
                    path.rename(aside)
                return


def learners_memory() -> FolderMemory:
    """The memory of the learner whose lesson runs here: in the folder of their copy.

    Returns
    -------
    FolderMemory
        One that keeps nothing on disk where this is not a learner's own copy.
    """
    here = Path.cwd()
    own = (folder for folder in (here, *here.parents) if (folder / _OWN_COPY).is_dir())
    return _memory_of(next(own, None))


@cache
def _memory_of(folder: Path | None) -> FolderMemory:
    """One memory a folder, so that all cards of a session know the same."""
    return FolderMemory(folder)
