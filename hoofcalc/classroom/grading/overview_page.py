"""The overview of a class as a page: one file, no script, nothing loaded from elsewhere.

Colours are those of Okabe and Ito, and nothing is told by colour alone. The pictures
are also written as a PDF.
"""

from __future__ import annotations

import base64
import html
import io
import textwrap
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from hoofcalc._counted import counted
from hoofcalc._files import write_whole
from hoofcalc.classroom.grading.overview import Overview, Row, called
from hoofcalc.classroom.grading.question_report import HEADER, HOW_TO_READ
from hoofcalc.classroom.model.working import HEADINGS

# Okabe M., Ito K., Color Universal Design, 2008: blue, sky blue, orange
_BLUE, _SKY, _ORANGE = "#0072B2", "#56B4E9", "#E69F00"
_MOST_SLIPS = 8


def write_page(
    path: Path,
    views: Sequence[Overview],
    names: Mapping[str, str],
    questions: Sequence[Sequence[str]] = (),
) -> Path:
    """Write the page, with the table of how each question works where there is one."""
    parts = [_HEAD, "<h1>How the class stands</h1>"]
    if names:
        parts.append(
            '<p class="box">This page holds names. It is for you; keep it where marks are kept.</p>'
        )
    for view in views:
        parts += _section(view, names)
    if questions:
        parts += ["<h2>How the questions work</h2>", f"<p>{HOW_TO_READ}</p>"]
        parts.append(_table(HEADER, questions))
    parts.append(
        "<p>Stuck means: less than half of the points decided so far. What waits for a marker "
        "counts against nobody.</p></body></html>"
    )
    write_whole(path, "\n".join(parts).encode())
    return path


def write_pdf(path: Path, views: Sequence[Overview]) -> Path:
    """Write the pictures as a PDF, a page for each exercise's pictures. It holds no ids."""
    from matplotlib.backends.backend_pdf import PdfPages

    stream = io.BytesIO()
    with PdfPages(stream, metadata={"CreationDate": None}) as pages:
        for view in views:
            for draw in (_draw_ideas, _draw_points, _draw_slips):
                figure = draw(view)
                if figure is not None:
                    pages.savefig(figure, bbox_inches="tight")
    write_whole(path, stream.getvalue())
    return path


def _section(view: Overview, names: Mapping[str, str]) -> list[str]:
    exercise = view.exercise
    marked = view.marked
    most = counted(exercise.points, "point")
    parts = [
        f"<h2>{html.escape(exercise.title)}</h2>",
        f"<p>{len(marked)} marked, mean {view.mean:.1f} of {most}.</p>",
        "<h3>By ability</h3>",
        _picture(
            _draw_ideas(view),
            "Bars, share of the points reached: "
            + "; ".join(f"{idea.words}: {idea.percent}" for idea in view.ideas),
        ),
        _table(
            ["ability", "questions", "mean share", "all points", "some", "none"],
            [
                [
                    idea.words,
                    ", ".join(idea.questions),
                    idea.percent,
                    str(idea.full),
                    str(idea.part),
                    str(idea.none),
                ]
                for idea in view.ideas
            ],
        ),
        "<h3>Marks</h3>",
        _picture(
            _draw_points(view),
            "Bars, learners by points: "
            + "; ".join(f"{low} to {low + 1}: {count}" for low, count in _counted(view) if count),
        ),
        "<h3>Common slips</h3>",
    ]
    if view.slips:
        few = view.slips[:_MOST_SLIPS]
        parts.append(
            _picture(
                _draw_slips(view),
                "Bars, learners by slip: "
                + "; ".join(
                    f"{slip.name} in {slip.question}: {len(slip.learners)}" for slip in few
                ),
            )
        )
        parts.append(
            _table(
                ["question", "slip", "learners", "what they are told"],
                [
                    [f"{s.question}. {s.title}", s.name, str(len(s.learners)), s.message]
                    for s in few
                ],
            )
        )
    else:
        parts.append("<p>None.</p>")
    parts += _people(view, names)
    return parts


def _people(view: Overview, names: Mapping[str, str]) -> list[str]:
    def people(rows: Sequence[Row], words: Any) -> str:
        lines = [
            f"<li>{html.escape(called(row.learner, names))}{html.escape(words(row))}</li>"
            for row in rows
        ]
        return f"<ul>{''.join(lines)}</ul>" if lines else "<p>Nobody.</p>"

    marked = view.marked
    questions = [question.name for question in view.exercise.questions]
    absent = sorted(set(names) - {row.learner for row in view.rows})
    parts = [
        "<h3>Stuck</h3>",
        people(
            [row for row in marked if row.stuck],
            lambda row: f": {counted(row.points, 'point')}; not yet: {', '.join(row.missing)}",
        ),
        "<h3>Still to be marked by hand</h3>",
        people([row for row in marked if row.waiting], lambda row: f": {row.waiting}"),
        "<h3>Late</h3>",
        people([row for row in view.rows if row.late], lambda row: f": {row.handed_in}"),
        "<h3>Not marked</h3>",
        people([row for row in view.rows if row.points is None], lambda row: f": {row.remark}"),
    ]
    if names:
        parts.append("<h3>Nothing handed in</h3>")
        lines = "".join(f"<li>{html.escape(called(one, names))}</li>" for one in absent)
        parts.append(f"<ul>{lines}</ul>" if lines else "<p>Nobody.</p>")
    parts += [
        "<h3>Everyone</h3>",
        f"<p>{'; '.join(html.escape(words) for words in HEADINGS.values())}</p>",
        _table(
            ["id", "points", *(f"question {name}" for name in questions), "remark"],
            [
                [
                    called(row.learner, names),
                    "" if row.points is None else f"{row.points:g}",
                    *(_mark(row, name) for name in questions),
                    row.remark,
                ]
                for row in view.rows
            ],
        ),
    ]
    return parts


def _mark(row: Row, question: str) -> str:
    state = row.states.get(question)
    if state is None:
        return ""
    score = row.scores.get(question)
    # a person may have given points since
    sign = HEADINGS[state].split()[0] if score is None or state != "waiting" else ""
    return f"{sign} {'' if score is None else f'{score:g}'}".strip()


def _counted(view: Overview) -> list[tuple[int, int]]:
    """How many learners have from so many points to below one more; the last includes the top."""
    most = max(1, round(view.exercise.points))
    counts = [0] * most
    for row in view.marked:
        counts[min(int(row.points or 0.0), most - 1)] += 1
    return list(enumerate(counts))


def _figure(height: float) -> tuple[Any, Any]:
    from matplotlib.figure import Figure

    figure = Figure(figsize=(8.0, height), dpi=110, layout="constrained")
    axes = figure.add_subplot()
    axes.spines[["top", "right"]].set_visible(False)
    return figure, axes


def _bars(view: Overview, rows: Sequence[tuple[str, float, str]], title: str) -> Any:
    """Bars lying on their side, each with its number in words at its end."""
    figure, axes = _figure(1.2 + 0.62 * len(rows))
    names = [textwrap.fill(words, 38) for words, _, _ in rows]
    places = range(len(rows))
    axes.barh(places, [value for _, value, _ in rows], color=_SKY, edgecolor=_BLUE, height=0.6)
    axes.set_yticks(places, names)
    axes.invert_yaxis()
    for place, (_, value, words) in enumerate(rows):
        axes.annotate(words, (value, place), xytext=(5, 0), textcoords="offset points", va="center")
    axes.set_title(f"{view.exercise.name}: {title}", loc="left")
    return figure, axes


def _draw_ideas(view: Overview) -> Any:
    rows = [(idea.words, 100 * (idea.share or 0.0), idea.percent) for idea in view.ideas]
    figure, axes = _bars(view, rows, "share of the points reached, by ability")
    axes.set_xlim(0, 112)
    axes.set_xticks(range(0, 101, 25))
    axes.set_xlabel("mean share of the points [%]")
    return figure


def _draw_points(view: Overview) -> Any:
    figure, axes = _figure(3.0)
    counts = _counted(view)
    axes.bar(
        [low + 0.5 for low, _ in counts],
        [count for _, count in counts],
        width=0.9,
        color=_SKY,
        edgecolor=_BLUE,
    )
    if view.marked:
        axes.axvline(view.mean, color=_ORANGE, linestyle="--", linewidth=2)
        axes.annotate(
            f"mean {view.mean:.1f}",
            (view.mean, 1.0),
            xycoords=("data", "axes fraction"),
            xytext=(4, -4),
            textcoords="offset points",
            va="top",
        )
    axes.set_xlim(0, len(counts))
    axes.yaxis.get_major_locator().set_params(integer=True)
    axes.set_xlabel("points so far")
    axes.set_ylabel("learners")
    axes.set_title(f"{view.exercise.name}: marks", loc="left")
    return figure


def _draw_slips(view: Overview) -> Any:
    rows = [
        (f"{slip.question}: {slip.name}", float(len(slip.learners)), str(len(slip.learners)))
        for slip in view.slips[:_MOST_SLIPS]
    ]
    if not rows:
        return None
    figure, axes = _bars(view, rows, "common slips")
    axes.xaxis.get_major_locator().set_params(integer=True)
    axes.set_xlim(0, 1.15 * max(value for _, value, _ in rows))
    axes.set_xlabel("learners")
    return figure


def _picture(figure: Any, words: str) -> str:
    stream = io.BytesIO()
    figure.savefig(stream, format="png", metadata={"Software": None})
    data = base64.b64encode(stream.getvalue()).decode()
    return f'<img src="data:image/png;base64,{data}" alt="{html.escape(words)}">'


def _table(header: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    head = "".join(f'<th scope="col">{html.escape(cell)}</th>' for cell in header)
    body = "".join(
        f"<tr>{''.join(f'<td>{html.escape(cell)}</td>' for cell in row)}</tr>" for row in rows
    )
    inside = f"<thead><tr>{head}</tr></thead><tbody>{body}</tbody>"
    return f'<div class="wide"><table>{inside}</table></div>'


_HEAD = """<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>How the class stands</title>
<style>
body { font: 17px/1.5 system-ui, sans-serif; color: #1a1a1a;
  max-width: 60em; margin: 1.5em auto; padding: 0 1em; }
h2 { border-top: 2px solid #999; padding-top: 0.8em; margin-top: 2em; }
img { max-width: 100%; height: auto; }
.wide { overflow-x: auto; }
table { border-collapse: collapse; font-size: 0.9em; }
th, td { border: 1px solid #999; padding: 0.25em 0.5em; text-align: left; vertical-align: top; }
.box { border: 2px solid #0072B2; border-radius: 6px; padding: 0.6em 0.9em; }
</style>
</head>
<body>"""
