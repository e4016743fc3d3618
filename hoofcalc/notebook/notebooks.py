"""Keep lesson notebooks clean, run them, and turn them into plain pages.

From a command line, in the folder with the lessons:

    python -m hoofcalc.notebook.notebooks refresh lessons/04-columns.ipynb
    python -m hoofcalc.notebook.notebooks clean lessons/*.ipynb
    python -m hoofcalc.notebook.notebooks page lessons/04-columns.ipynb page.html
    python -m hoofcalc.notebook.notebooks picture columns columns.png lean_deg=10 thing=glued

`refresh` runs each notebook in a fresh kernel and keeps words, still pictures and questions, so
that a lesson can be read before anything is run; `clean` only strips; `page` runs one notebook
and writes it as a page with its pictures; `picture` writes the still picture of one figure, at
the values given.
"""

from __future__ import annotations

import argparse
import copy
import html
import sys
from pathlib import Path
from typing import Any

import nbformat

_TEXT = "text/plain"
_FACE = {
    "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
    "language_info": {"name": "python"},
}


def clean(notebook: Any) -> Any:
    """A notebook as it is stored: words, still pictures and questions, no traces of the run.

    Parameters
    ----------
    notebook
        A notebook, which stays as it is.

    Returns
    -------
    notebook
        A clean copy.
    """
    kept = copy.deepcopy(notebook)
    kept.metadata = nbformat.from_dict(_FACE)
    ran = 0
    for number, cell in enumerate(kept.cells):
        cell.id = f"cell-{number:02d}"
        kept_of_it = {"tags": cell.metadata["tags"]} if cell.metadata.get("tags") else {}
        if cell.metadata.get("jupyter", {}).get("source_hidden"):
            kept_of_it["jupyter"] = {"source_hidden": True}  # code stays folded until asked for
        cell.metadata = nbformat.from_dict(kept_of_it)
        if cell.cell_type != "code":
            continue
        outputs = []
        for output in cell.outputs:
            if output.output_type == "stream" and output.name == "stdout":
                outputs.append(output)
            elif _TEXT in output.get("data", {}):
                outputs.append(_kept(output))
        cell.outputs = outputs
        ran += 1
        # nbval takes a cell without a number for one that never ran; the cell's place will do
        cell.execution_count = ran if outputs else None
        for output in outputs:
            if output.output_type == "execute_result":
                output.execution_count = ran
    return kept


def _kept(output: Any) -> Any:
    """An output without what only a running kernel can show."""
    data, about = output.data, output.get("metadata", {})
    kept = {_TEXT: data[_TEXT]}
    described = about.get("image/png", {}).get("alt")
    if described and "image/png" in data:
        kept["image/png"] = data["image/png"]
    marks: dict[str, Any] = {"image/png": about["image/png"]} if described else {}
    if card := about.get("hoofcalc"):
        kept["text/html"] = card.get("html", data.get("text/html"))
        marks["hoofcalc"] = {"kind": "card"}
    output.data, output.metadata = nbformat.from_dict(kept), nbformat.from_dict(marks)
    return output


def run(notebook: Any, folder: Path, seconds: int = 120) -> Any:
    """A notebook after a run from top to bottom in a fresh kernel.

    Parameters
    ----------
    notebook
        A notebook, which stays as it is.
    folder
        Where it runs.
    seconds
        How long one cell may take [s].

    Returns
    -------
    notebook
        A copy with its outputs.
    """
    from nbclient import NotebookClient

    done = copy.deepcopy(notebook)
    NotebookClient(
        done,
        timeout=seconds,
        kernel_name="python3",
        resources={"metadata": {"path": str(folder)}},
        extra_arguments=["--IPKernelApp.log_level=40"],  # errors only, no technical remarks
        coalesce_streams=True,  # else one print may come in two pieces, by chance
    ).execute()
    return done


def still(notebook: Any) -> Any:
    """A notebook after a run, made ready for a page where nothing runs.

    Each living figure becomes its still picture with the description for those who cannot see it
    and its sentence below; each question becomes text; what belongs to the widgets goes.

    Parameters
    ----------
    notebook
        A notebook after a run, which stays as it is.

    Returns
    -------
    notebook
        A copy with HTML in place of widgets.
    """
    from hoofcalc.notebook.living import WIDGET_VIEW

    page = copy.deepcopy(notebook)
    page.metadata.pop("widgets", None)
    for cell in page.cells:
        for output in cell.get("outputs", []):
            data, about = output.get("data", {}), output.get("metadata", {})
            data.pop(WIDGET_VIEW, None)
            if "html" in about.get("hoofcalc", {}):
                data["text/html"] = about["hoofcalc"]["html"]
            elif "alt" in about.get("image/png", {}):
                data["text/html"] = _figure(data, about["image/png"])
                del data["image/png"]
    return page


def page(notebook: Any) -> str:
    """A notebook after a run as one HTML page that opens offline.

    Parameters
    ----------
    notebook
        A notebook after a run.

    Returns
    -------
    str
        The page.
    """
    from nbconvert import HTMLExporter

    exporter = HTMLExporter(exclude_input_prompt=True, exclude_output_prompt=True)
    exporter.mathjax_url = ""
    exporter.require_js_url = ""
    written, _ = exporter.from_notebook_node(still(notebook))
    return str(written)


def main(arguments: list[str] | None = None) -> int:
    """The command: clean, refresh, page or picture.

    Parameters
    ----------
    arguments
        The words after the command; the command line's own where nothing is given.

    Returns
    -------
    int
        0 when all went well.
    """
    parser = argparse.ArgumentParser(
        prog="python -m hoofcalc.notebook.notebooks", description="Look after lesson notebooks."
    )
    parser.add_argument("what", choices=("clean", "refresh", "page", "picture"))
    parser.add_argument(
        "words",
        nargs="+",
        help="notebooks; for page: a notebook and the page; for picture: a figure's name, the "
        "picture, and values as name=value",
    )
    wish = parser.parse_args(arguments)
    if wish.what in ("page", "picture") and len(wish.words) < 2:
        parser.error(f"{wish.what} needs what to take and the file to write")
    if wish.what == "page":
        source, target = map(Path, wish.words[:2])
        target.write_text(page(run(read(source), source.parent)), "utf-8")
        return 0
    if wish.what == "picture":
        Path(wish.words[1]).write_bytes(_picture(wish.words[0], wish.words[2:]))
        return 0
    for path in map(Path, wish.words):
        notebook = read(path)
        if wish.what == "refresh":
            notebook = run(notebook, path.parent)
        nbformat.write(clean(notebook), path)
        print(f"{path}: {wish.what} done")
    return 0


def read(path: Path) -> Any:
    """A notebook from its file.

    Parameters
    ----------
    path
        The file.

    Returns
    -------
    notebook
        Its cells and outputs.
    """
    return nbformat.read(path, as_version=4)


def _picture(name: str, settings: list[str]) -> bytes:
    """The still picture of the figure that a lesson opens by this name."""
    from hoofcalc import figures
    from hoofcalc.pictures import drawing_of

    figure: figures.Figure = getattr(figures, name)()
    values = dict(figure.start)
    for setting in settings:
        which, _, value = setting.partition("=")
        values[which] = value if which in figure.choices else float(value)
    frame = figure.frame(values)
    if frame.refusal:
        raise ValueError(frame.refusal)
    drawing = drawing_of(figure)
    drawing.show(frame.results)
    return drawing.png()


def _figure(data: Any, about: Any) -> str:
    """A still picture with its description and its sentence."""
    picture = "".join(data["image/png"].split())
    return (
        f'<figure style="margin:0"><img src="data:image/png;base64,{picture}" '
        f'alt="{html.escape(about["alt"])}" style="width:{about["width"]}px;max-width:100%">'
        f"<figcaption>{html.escape(data[_TEXT])}</figcaption></figure>"
    )


if __name__ == "__main__":
    sys.exit(main())
