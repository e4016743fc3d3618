"""What a notebook server writes when a lesson is saved: pictures and questions, nothing alive.

A living figure or question can be shown only while the kernel runs that drew it. Saved as it is,
it would be an error message the next day. `hoofcalc lessons` starts its server with this hook, by
the server's own setting `ContentsManager.pre_save_hook`: what is saved is what a lesson shows
before it runs. The page on which it was saved stays alive.
"""

from __future__ import annotations

from typing import Any

_ALIVE = "application/vnd.jupyter.widget-view+json"


def at_rest(model: dict[str, Any], **where: Any) -> None:
    """Put still pictures and plain questions in the place of what is alive.

    What has no picture and no words for rest is left as it is.

    Parameters
    ----------
    model
        What the server is about to save, which is changed.
    where
        The file and the server's part that saves it; not needed.

    Examples
    --------
    >>> about = {"hoofcalc": {"html": "?"}}
    >>> shown = {"data": {_ALIVE: {}, "text/plain": "Why?"}, "metadata": about}
    >>> at_rest({"type": "notebook", "content": {"cells": [{"outputs": [shown]}]}})
    >>> shown
    {'data': {'text/plain': 'Why?', 'text/html': '?'}, 'metadata': {'hoofcalc': {'kind': 'card'}}}
    """
    del where
    if model.get("type") != "notebook" or not isinstance(model.get("content"), dict):
        return
    for cell in model["content"].get("cells", []):
        for output in cell.get("outputs", []):
            data, about = output.get("data", {}), output.get("metadata", {})
            if _ALIVE not in data:
                continue
            if "html" in about.get("hoofcalc", {}):
                data["text/html"] = about["hoofcalc"]["html"]
                about["hoofcalc"] = {"kind": "card"}
                del data[_ALIVE]
            elif "alt" in about.get("image/png", {}):
                del data[_ALIVE]
