"""One living figure on a page of its own, which opens from a file: no server, no Python."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from hoofcalc.figures.spec import Figure
from hoofcalc.site.lessons import figure_block
from hoofcalc.site.one_file import page_of


def write_page(
    path: Path | str,
    figure: Figure,
    sliders: Sequence[str],
    steps: Mapping[str, int] | None = None,
    *,
    presets: bool = True,
) -> Path:
    """A page with one figure that moves from frames calculated beforehand.

    Parameters
    ----------
    path
        Where the page is written.
    figure, sliders, steps, presets
        As for `frames.figure_data`.

    Returns
    -------
    Path
        The written file.

    Raises
    ------
    ValueError
        As `frames.figure_data`.
    """
    block, pictures = figure_block(figure, figure.name, sliders, steps, presets=presets)
    written = Path(path)
    written.write_text(
        page_of(figure.title, f'<main id="main">{block}</main>', pictures, {}), "utf-8"
    )
    return written
