"""Python for the browser, where it can be had."""

from __future__ import annotations

import base64
import json
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from hoofcalc.site import bundle, runtime
from hoofcalc.site.build import archives, package_zip


class InNode:
    """hoofcalc in WebAssembly, asked line by line."""

    def __init__(self, program: str, folder: Path) -> None:
        script = Path(__file__).parent / "python_in_node.cjs"
        self._process = subprocess.Popen(
            [program, str(script), str(folder)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            encoding="utf-8",
        )
        assert self._process.stdout is not None
        assert self._process.stdout.readline() == "awake\n"

    def ask(self, function: str, /, **words: Any) -> tuple[Any, bytes]:
        """What a function of `in_browser` answers there."""
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        self._process.stdin.write(json.dumps({"ask": function, "words": words}) + "\n")
        self._process.stdin.flush()
        answer = json.loads(self._process.stdout.readline())
        assert "trouble" not in answer, answer["trouble"]
        assert "scipy" not in answer, "scipy was fetched"
        return json.loads(answer["text"]), base64.b64decode(answer["floats"])

    def end(self) -> None:
        """End the process."""
        self._process.kill()
        self._process.wait(timeout=30)


@pytest.fixture(scope="session")
def in_node(parts, tmp_path_factory) -> Iterator[InNode]:
    """The same code as in the browser, in Node."""
    program = shutil.which("node")
    if program is None:
        pytest.skip("no Node found: wasm is not held against native Python")
    folder = tmp_path_factory.mktemp("runtime")
    for name, content in parts.items():
        (folder / name).write_bytes(bundle.repacked(name, content))
    (folder / "archives.json").write_text(json.dumps([*archives(), "hoofcalc.zip"]), "utf-8")
    (folder / runtime.LOCK).write_bytes(runtime.lock_file())
    (folder / "hoofcalc.zip").write_bytes(package_zip())
    node = InNode(program, folder)
    yield node
    node.end()
