"""A picture that does not move, with the words that belong to it."""

from __future__ import annotations

import base64
from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True, kw_only=True)
class StillPicture:
    """A picture, its caption, and what it shows for those who cannot see it.

    Parameters
    ----------
    png
        The picture, a PNG file.
    width
        How wide it stands on the page [pixels].
    caption
        The words under it.
    alt
        What is drawn.
    """

    png: bytes = field(repr=False)
    width: int
    caption: str
    alt: str

    def __repr__(self) -> str:
        return self.caption

    def _repr_mimebundle_(
        self, include: Any = None, exclude: Any = None
    ) -> tuple[dict[str, Any], dict[str, Any]]:
        del include, exclude
        data = {
            "image/png": base64.b64encode(self.png).decode("ascii"),
            "text/plain": self.caption,
        }
        return data, {"image/png": {"alt": self.alt, "width": self.width}}
