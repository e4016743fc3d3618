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
    taken = page.view.record
    assert [row["page"] for row in page.view.course["lessons"]][5] == "05-horn.ipynb"
    assert record.read(taken) == memory.all()
    assert heard(page, forget=True) == "Everything is deleted."
    assert not (tmp_path / FILE).exists()
    assert not record.read(page.view.record)["entries"]
    assert "damaged" in heard(page, bring=taken[:50], named="cut.json")
    assert not memory.all()["entries"]
    assert heard(page, bring=taken, named="mine.json").startswith("mine.json is back: 1 entry.")
    assert page.view.record == taken
    for nonsense in (None, 3, "x", [], {}):
        page._heard(None, nonsense, [])
    assert memory.all()["entries"]
    data, _ = page._repr_mimebundle_()
    assert WIDGET_VIEW in data
    page.close()
