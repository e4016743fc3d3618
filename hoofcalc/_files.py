"""Writing a file whole or not at all, shared by all that keep a person's work."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

#: How the name of a file begins that is being written; one left by a crash is no one's work.
BEING_WRITTEN = ".being-written-"


@contextmanager
def written_whole(path: Path, *, through: bool = False) -> Iterator[BinaryIO]:
    """A stream to write a file through, which takes its place when the block ends without error.

    Parameters
    ----------
    path
        The file; its folder is made if it is not there.
    through
        True waits until the disk has it, so that it also stands when the power goes.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=BEING_WRITTEN)
    os.close(handle)
    scratch = Path(name)
    try:
        with scratch.open("wb") as stream:
            yield stream
            if through:
                stream.flush()
                os.fsync(stream.fileno())
        scratch.chmod(0o644)  # a fresh temporary file is private; this one is read like any other
        scratch.replace(path)
    except BaseException:
        scratch.unlink(missing_ok=True)
        raise


def write_whole(path: Path, content: bytes, *, through: bool = False) -> None:
    """Write a file whole or not at all: a half-written file never stands in its place.

    Parameters
    ----------
    path
        The file; its folder is made if it is not there.
    content
        What it holds.
    through
        True waits until the disk has it, so that it also stands when the power goes.
    """
    with written_whole(path, through=through) as stream:
        stream.write(content)
