"""The overview of a class as a page: one file, no script, nothing loaded from elsewhere.

Colours are those of Okabe and Ito, and nothing is told by colour alone. The pictures
are also written as a PDF.
"""

from __future__ import annotations

import base64
import io
import textwrap
from collections.abc import Callable, Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from hoofcalc._counted import counted
from hoofcalc._files import write_whole
from hoofcalc._markup import templates
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
    page = templates("hoofcalc.classroom.grading").get_template("overview_page.html.j2")
    text = page.render(
        names=names,
        exercises=[_section(view, names) for view in views],
        signs="; ".join(HEADINGS.values()),
        questions=questions,
        questions_header=HEADER,
        how_to_read=HOW_TO_READ,
    )
    write_whole(path, text.encode())
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


def _section(view: Overview, names: Mapping[str, str]) -> dict[str, Any]:
    """What the page says of one exercise."""
    few = view.slips[:_MOST_SLIPS]
    questions = [question.name for question in view.exercise.questions]
    return {
        "title": view.exercise.title,
        "marked": len(view.marked),
        "mean": f"{view.mean:.1f}",
        "most": counted(view.exercise.points, "point"),
        "ideas": [
            (idea.words, ", ".join(idea.questions), idea.percent, idea.full, idea.part, idea.none)
            for idea in view.ideas
        ],
        "ideas_drawn": _picture(
            _draw_ideas(view),
            "share of the points reached",
            [f"{idea.words}: {idea.percent}" for idea in view.ideas],
        ),
        "points_drawn": _picture(
            _draw_points(view),
            "learners by points",
            [f"{low} to {low + 1}: {count}" for low, count in _counted(view) if count],
        ),
        "slips": [(f"{s.question}. {s.title}", s.name, len(s.learners), s.message) for s in few],
        "slips_drawn": _picture(
            _draw_slips(view),
            "learners by slip",
            [f"{slip.name} in {slip.question}: {len(slip.learners)}" for slip in few],
        ),
        "people": _people(view, names),
        "everyone_header": ["id", "points", *(f"question {name}" for name in questions), "remark"],
        "everyone": [
            (
                called(row.learner, names),
                "" if row.points is None else f"{row.points:g}",
                *(_mark(row, name) for name in questions),
                row.remark,
            )
            for row in view.rows
        ],
    }


def _people(view: Overview, names: Mapping[str, str]) -> dict[str, list[str]]:
    """Whom to see, under each heading."""

    def people(rows: Iterable[Row], words: Callable[[Row], str]) -> list[str]:
        return [f"{called(row.learner, names)}: {words(row)}" for row in rows]

    found = {
        "Stuck": people(
            (row for row in view.marked if row.stuck),
            lambda row: f"{counted(row.points or 0.0, 'point')}; not yet: {', '.join(row.missing)}",
        ),
        "Still to be marked by hand": people(
            (row for row in view.marked if row.waiting), lambda row: str(row.waiting)
        ),
        "Late": people((row for row in view.rows if row.late), lambda row: str(row.handed_in)),
        "Not marked": people(
            (row for row in view.rows if row.points is None), lambda row: row.remark
        ),
    }
    if names:
        absent = sorted(set(names) - {row.learner for row in view.rows})
        found["Nothing handed in"] = [called(one, names) for one in absent]
    return found


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


def _picture(figure: Any, what: str, bars: Sequence[str]) -> tuple[str, str]:
    """A figure as PNG in base64, and what it shows in words."""
    stream = io.BytesIO()
    if figure is not None:
        figure.savefig(stream, format="png", metadata={"Software": None})
    return base64.b64encode(stream.getvalue()).decode(), f"Bars, {what}: {'; '.join(bars)}"
