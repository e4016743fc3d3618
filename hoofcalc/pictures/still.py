"""A picture that does not move, with the words that belong to it."""

from __future__ import annotations

import base64
import io
from dataclasses import dataclass, field
from typing import Any

from PIL import Image


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
    parts
        Of how many drawings of one width, side by side, it is made.
    """

    png: bytes = field(repr=False)
    width: int
    caption: str
    alt: str
    parts: int = 1

    def stacked(self) -> tuple[bytes, int]:
        """The same for a narrow screen, its drawings below each other, so that words stay large.

        Returns
        -------
        tuple
            A PNG file, and how wide it stands on the page [pixels].
        """
        wide = Image.open(io.BytesIO(self.png))
        in_a_row = 2 if self.parts > 3 else 1
        across, down = wide.width // self.parts, wide.height
        rows = -(-self.parts // in_a_row)
        stack = Image.new(wide.mode, (in_a_row * across, rows * down))
        stack.putpalette(wide.getpalette() or [])
        for part in range(self.parts):
            piece = wide.crop((part * across, 0, (part + 1) * across, down))
            stack.paste(piece, (part % in_a_row * across, part // in_a_row * down))
        store = io.BytesIO()
        stack.save(store, "PNG", optimize=True)
        return store.getvalue(), self.width // self.parts * in_a_row

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
