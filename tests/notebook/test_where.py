"""The page "Where I am": what is kept is shown, taken along, brought back and deleted."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from hoofcalc.figures import record
from hoofcalc.notebook import WhereIAm
from hoofcalc.notebook.living import WIDGET_VIEW
from hoofcalc.notebook.memory import FILE, FolderMemory


def heard(page: WhereIAm, **message: Any) -> str:
    """What the page says to a message from the browser."""
    said: list[str] = []
    page.view.send = lambda content: said.append(content["says"])
    page._heard(None, message, [])
    return said[-1]


def test_it_shows_brings_back_and_deletes(tmp_path: Path) -> None:
    memory = FolderMemory(tmp_path)
    memory.remember("answer/horn/glue", {"chosen": 1, "right": True, "times": []})
    page = WhereIAm(memory)
    assert "1 of 6 answered, 1 right" in page.view.page
    taken = page.view.record
    assert record.read(taken) == memory.all()
    assert heard(page, forget=True) == "Everything is deleted."
    assert not (tmp_path / FILE).exists()
    assert "answered" not in page.view.page
    assert "damaged" in heard(page, bring=taken[:50], named="cut.json")
    assert not memory.all()["entries"]
    assert heard(page, bring=taken, named="mine.json").startswith("mine.json is back: 1 entry.")
    assert "1 of 6 answered" in page.view.page
    for nonsense in (None, 3, "x", [], {}):
        page._heard(None, nonsense, [])
    assert memory.all()["entries"]
    data, _ = page._repr_mimebundle_()
    assert WIDGET_VIEW in data
    page.close()
