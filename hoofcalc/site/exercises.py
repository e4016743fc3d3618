"""An exercise as cards, made from the notebook and the hints that are handed out, nothing else."""

from __future__ import annotations

import html
import json
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from hoofcalc.classroom.model.working import HINTS
from hoofcalc.site.lessons import Page, in_script, markdown, plain_text

#: Sentences that are about cells in a notebook; a card has a field in their place.
_ABOUT_CELLS = (
    r"Put your number in place of the three dots( and run the cell)?\. ?",
    r"Then run the cell below it\. ?",
    r"[^.?!\n]*between quotation marks\. ?",
    r"\*\*How it works\.\*\*.*?(?=\n\n|\Z)",
    r"[^.\n]*\b(first cell|both cells|Shift and Enter)\b[^.\n]*\. ?",
)


def exercise_page(folder: Path) -> Page:
    """One exercise as a page.

    Parameters
    ----------
    folder
        What is handed out: the notebook and its hints.

    Returns
    -------
    Page
        Its page; the heading's kicker stands in the body.
    """
    notebook = json.loads((folder / f"{folder.name}.ipynb").read_text("utf-8"))
    hints_text = (folder / HINTS).read_text("utf-8")
    hints = json.loads(hints_text)
    number = folder.name.split("-")[0]
    cells = {cell["metadata"]["nbgrader"]["grade_id"]: cell for cell in notebook["cells"]}
    intro = _words(_source(cells[f"{number}-0-intro"]))
    title, _, rest = intro.partition("\n")
    cards = [_card(name, hints, cells, number) for name in hints["questions"]]
    data = {
        "name": folder.name,
        "hints": hints_text,
        "idCell": f"{number}-0-id",
        "notebook": notebook,
        "cards": [{key: part for key, part in one.items() if key != "html"} for one in cards],
    }
    body = (
        f"{markdown(rest)}\n{_ID_CARD}\n{_numbers_card(hints)}\n"
        + "\n".join(_card_html(card, hints) for card in cards)
        + f"\n{_HAND_IN}\n"
        f'<script type="application/json" id="exercise-data">{in_script(data)}</script>'
    )
    words = " ".join([plain_text(markdown(rest)), *(plain_text(card["html"]) for card in cards)])
    name = title.lstrip("# ")
    return Page(f"exercise-{folder.name}", name, body, sections=(("", name, words),))


def _source(cell: Mapping[str, Any]) -> str:
    source = cell["source"]
    return source if isinstance(source, str) else "".join(source)


def _words(text: str) -> str:
    """A text without the sentences that are about cells."""
    for pattern in _ABOUT_CELLS:
        text = re.sub(pattern, "", text, flags=re.DOTALL)
    return text.replace("in the first cell", "at the top")


def _card(
    name: str, hints: Mapping[str, Any], cells: Mapping[str, Any], number: str
) -> dict[str, Any]:
    """What a card must know."""
    entry = hints["questions"][name]
    prompt = _words(_source(cells[f"{number}-{name}-prompt"]))
    heading, _, asked = prompt.partition("\n")
    text = asked
    shown = re.fullmatch(r"## \w+\. (.+) \(([\d.]+ points?)\)", heading.strip())
    options: list[list[str]] = []
    reasons: list[list[str]] = []
    if entry["kind"] == "choice":
        rows = re.findall(r"^- \*\*([A-Z])\*\* (.+)$", text, re.MULTILINE)
        options = [[a, plain_text(markdown(b))] for a, b in rows if a in entry["options"]]
        reasons = [[a, plain_text(markdown(b))] for a, b in rows if a in entry["reasons"]]
        text = re.sub(r"^- \*\*[A-Z]\*\* .+$\n?", "", text, flags=re.MULTILINE)
        text = text.replace("The reason:", "")
    answer_cell = cells[f"{number}-{name}-answer"]
    return {
        "question": name,
        "kind": entry["kind"],
        "title": shown[1] if shown else heading.lstrip("# "),
        "points": shown[2] if shown else "",
        "html": markdown(text),
        "unit": _unit(entry.get("asked", "")),
        "stub": _source(answer_cell),
        "cell": f"{number}-{name}-answer",
        "answers": entry["answers"],
        "options": options,
        "reasons": reasons,
        "chips": _own_numbers(name, asked, hints),
    }


def _unit(asked: str) -> str:
    """The unit that an answer is asked for in, from the words that say what is asked for."""
    spelt = {
        "newtons": "N",
        "newton": "N",
        "per cent": "%",
        "cubic centimetres": "cm³",
        "seconds": "s",
        "N mm": "N mm",
    }
    units = "degrees|mm|ms|MPa|N mm|N|kg|newtons?|per cent|cubic centimetres|seconds"
    found = re.findall(rf"\bin ({units})\b(?! mm\b)", asked)
    if not found and re.search(r"\bhow many degrees|by how many degrees", asked):
        found = ["degrees"]
    if not found and (many := re.search(r"how many (millimetres|degrees)", asked)):
        found = ["mm" if many[1] == "millimetres" else "degrees"]
    return spelt.get(found[-1], found[-1]) if found else ""


def _own_numbers(name: str, text: str, hints: Mapping[str, Any]) -> list[str]:
    """The own numbers that a question speaks of: by their names, or by what they are of."""
    if hints["questions"][name]["kind"] == "function":
        return []  # a function is tried on values of its own
    found = []
    said = _telling(text)
    if fronts := tuple(re.findall(r"`(\w+_)\.\.\.`", text)):
        return [called for called, _, _ in hints["quantities"] if called.startswith(fronts)]
    for called, words, _unit in hints["quantities"]:
        of_question = re.match(r"question (\w+):", words)
        if of_question:
            if of_question[1] == name:
                found.append(called)
            continue
        head = words.split(":")[0]
        # of several things with letters all are meant, or none
        lettered = re.fullmatch(r"(.+) [A-Z]", head)
        meant = re.search(r"\bB\b", text) if lettered else True
        named = re.search(rf"\b{called}\b", text)
        if named or (meant and _telling(lettered[1] if lettered else head) <= said):
            found.append(called)
    return found


def _telling(text: str) -> set[str]:
    """The words that tell one thing from another, without an ending of many."""
    found = {word.removesuffix("s") for word in re.findall(r"[a-z]+", text.lower())}
    return found - {"the", "a", "of", "at", "on", "in", "to", "and", "that", "it", "hairline"}


_ID_CARD = """<section class="card id-card"><label for="my-id"><strong>Your id</strong></label>
<input id="my-id" type="text" autocomplete="off" autocapitalize="off" spellcheck="false">
<p class="small quiet whose"></p><p class="small quiet python-word" role="status">Answers are looked
at where scripts may run.</p><p class="small keeps-nothing" role="alert" hidden></p></section>"""

_HAND_IN = """<div class="give"><p><span class="dots" aria-hidden="true"></span>
<span class="tally"></span></p><button type="button" class="main hand-in">Hand in</button></div>
<p class="file-says" role="status"></p>
<section class="card"><h2 id="your-file">Your file</h2><p><strong>Hand in</strong> writes a notebook
file on your device, called by your id. Give it to your instructor in the way you agreed. Nothing
is sent anywhere.</p><p>To go on on another device, or in JupyterLab, take the same file along.
Here you bring it back:</p><p><label class="file">Bring a file back
<input type="file" class="bring-back" accept=".ipynb,application/json"></label></p></section>"""


def _numbers_card(hints: Mapping[str, Any]) -> str:
    """All own numbers of the exercise, folded."""
    rows = "".join(
        f"<tr><th scope='row'>{html.escape(words)}</th>"
        f"<td class='n'><b data-number-of='{name}'>…</b></td><td>{html.escape(unit)}</td>"
        f"<td><code>task.numbers.{name}</code></td></tr>"
        for name, words, unit in hints["quantities"]
    )
    return (
        '<section class="card"><details class="all-numbers"><summary>All your numbers</summary>'
        '<div class="wide" tabindex="0" role="region" aria-label="All your numbers"><table>'
        "<thead><tr><th>what</th><th>value</th><th>unit</th><th>in code</th></tr></thead>"
        f"<tbody>{rows}</tbody></table></div></details></section>"
    )


def _card_html(card: Mapping[str, Any], hints: Mapping[str, Any]) -> str:
    """A card as it stands before any script."""
    about = {name: (words, unit) for name, words, unit in hints["quantities"]}
    chips = "".join(
        f"<span>{html.escape(re.sub(r'^question .+?: ', '', about[name][0]))} "
        f"<b data-number-of='{name}'>…</b> {html.escape(about[name][1])}</span>"
        for name in card["chips"]
    )
    field_first = card["kind"] == "number" and re.fullmatch(
        r"((import|from) .+\n+)*answer_\w+ = \.\.\.", card["stub"].strip()
    )
    check = (
        ""
        if card["kind"] == "written"
        else '<div class="does"><button type="button" class="check">Check</button>'
        '<button type="button" class="stop" hidden>Stop</button></div>'
    )
    as_code = '<button type="button" class="as-code link-like"></button>' if field_first else ""
    return (
        f'<section class="card task" data-question="{card["question"]}" '
        f'aria-labelledby="task-{card["question"]}"><div class="head">'
        f'<h2 id="task-{card["question"]}">{card["question"]}. {html.escape(card["title"])}</h2>'
        f'<span class="small quiet points">{card["points"]}</span></div>'
        + (f'<div class="nums">{chips}</div>' if chips else "")
        + f'{card["html"]}<div class="entry"></div>{as_code}{check}'
        '<pre class="output printed" hidden></pre><div class="state" role="status"></div></section>'
    )
