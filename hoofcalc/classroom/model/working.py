"""While working: the learner's own numbers, and a message at once for each answer.

Needs nothing but the hints that lie beside the notebook. There is no truth in them,
so "right" here means: right as far as can be seen from here. The mark is decided
when the hand-in is marked.
"""

from __future__ import annotations

import contextlib
import html
import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from hoofcalc._where import course_folder
from hoofcalc.classroom.model.forms import (
    FormError,
    NotBegunError,
    Wire,
    is_function,
    read_letter,
    read_number,
)
from hoofcalc.classroom.model.hints import LAYOUT, bin_of, look_up
from hoofcalc.classroom.model.judge import NOT_BEGUN, out_of_range
from hoofcalc.classroom.model.plain_data import plain
from hoofcalc.classroom.model.questions import Near
from hoofcalc.classroom.model.variants import tidy_id, variant_of

HINTS = "hints.json"
#: A sign and a word for each state: nothing is told by colour.
HEADINGS = {
    "not begun": "○ Not begun",
    "keep going": "→ Keep going",
    "nearly": "≈ Nearly",
    "right": "✓ Right",
    "waiting": "… Waiting",
}
_AS_FAR = "Right as far as can be seen from here; the mark is decided when you hand in."


class Message:
    """What a check says: a heading and some words, as text and on the page."""

    def __init__(self, state: str, words: str, note: str = "") -> None:
        self.state, self.words, self.note = state, words, note

    def __repr__(self) -> str:
        note = f"\n({self.note})" if self.note else ""
        return f"{HEADINGS[self.state]}. {self.words}{note}"

    def _repr_html_(self) -> str:
        note = f"<br><em>{html.escape(self.note)}</em>" if self.note else ""
        return (
            '<div style="border-left: 4px solid #56B4E9; padding: 0.4em 0.8em; max-width: 48em">'
            f"<strong>{HEADINGS[self.state]}.</strong> {html.escape(self.words)}{note}</div>"
        )


class OwnNumbers:
    """The learner's own numbers, one name each: ``numbers.length_mm``."""

    def __init__(self, numbers: Mapping[str, float]) -> None:
        for name, value in numbers.items():
            setattr(self, name, value)

    def __repr__(self) -> str:
        return "\n".join(f"{name} = {value:g}" for name, value in vars(self).items())

    def __getattr__(self, name: str) -> float:
        known = ", ".join(vars(self))
        raise AttributeError(f"There is no number called {name!r}. There are: {known}.")


class Task:
    """One exercise in the hands of one learner."""

    def __init__(self, hints: Mapping[str, Any], my_id: Any) -> None:
        self._hints = hints
        self._id = "" if my_id is None else str(my_id)
        self._variant = variant_of(self._id, hints["exercise"], len(hints["variants"]) - 1)
        #: The learner's own numbers by name, as in ``task.numbers.length_mm``.
        self.numbers = OwnNumbers(hints["variants"][self._variant])

    def check(self, question: str, *answers: Any) -> Message:
        """Look at an answer and say how far it has got.

        Parameters
        ----------
        question : str
            The question's name, as in ``"1"``.
        *answers
            What you worked out.

        Returns
        -------
        Message
            Not begun, keep going, nearly, or right, and why.
        """
        known = self._hints["questions"]
        if str(question) not in known:
            return Message("keep going", f"The questions are called {', '.join(known)}.")
        entry = known[str(question)]
        wires = [plain(answer) for answer in answers]
        try:
            if not wires:
                raise NotBegunError
            match entry["kind"]:
                case "number":
                    return self._number(str(question), entry, wires[0])
                case "choice":
                    return self._choice(str(question), entry, wires)
                case "function":
                    return self._function(str(question), entry, answers[0], wires[0])
                case _:
                    return Message("waiting", "This one is read and marked by a person.")
        except NotBegunError:
            return Message("not begun", NOT_BEGUN)
        except FormError as trouble:
            return Message("keep going", str(trouble))

    def _number(self, question: str, entry: Mapping[str, Any], wire: Wire) -> Message:
        answer = read_number(wire)
        found = self._look_up(question, bin_of(answer, *entry["near"]))
        if found is not None:
            return found
        out = out_of_range(answer, entry["asked"], entry["plausible"])
        return Message("keep going", out or entry["keep_going"])

    def _choice(self, question: str, entry: Mapping[str, Any], wires: list[Any]) -> Message:
        letter = read_letter(wires[0], entry["options"])
        found = self._look_up(question, letter) or Message("keep going", entry["keep_going"])
        if found.state != "right":
            return found
        try:
            read_letter(
                wires[1] if len(wires) > 1 else {"blank": True}, dict.fromkeys(entry["reasons"], "")
            )
        except NotBegunError:
            return Message("nearly", "The choice looks right. Now add the letter of the reason.")
        return Message(
            "right", "The choice looks right.", "The reason is looked at when you hand in."
        )

    def _function(
        self, question: str, entry: Mapping[str, Any], function: Any, wire: Wire
    ) -> Message:
        if wire.get("blank"):
            raise NotBegunError
        if not is_function(wire):
            raise FormError("Hand over the function itself: its name without brackets.")
        near = Near(entry["near"][0], entry["near"][0], "while working", entry["near"][1])
        for which, (inputs, value) in enumerate(entry["examples"]):
            call = ", ".join(f"{part:g}" for part in inputs)
            try:
                given = plain(function(*inputs))
            except Exception as trouble:
                words = f"With the example values ({call}) it stops: {trouble!r}"
                return Message("keep going", words)
            try:
                answer = read_number(given)
            except NotBegunError:
                if which == 0:
                    raise
                words = f"With the example values ({call}) it gives nothing back."
                return Message("keep going", words)
            if not near.holds(answer, value):
                place = f"{which}:{bin_of(answer, *entry['near'])}"
                found = self._look_up(question, place)
                words = (
                    f"With the example values ({call}) you get {answer:.5g}; "
                    f"it should be about {value:.5g}."
                )
                if found is None or found.state == "right":
                    return Message("keep going", f"{words} {entry['keep_going']}")
                return Message(found.state, f"{words} {found.words}")
        return Message("right", entry["messages"][0][1], _AS_FAR)

    def _look_up(self, question: str, place: str) -> Message | None:
        found = look_up(self._hints, question, self._variant, place)
        if found is None:
            return None
        state, words = found
        return Message(state, words, _AS_FAR if state == "right" else "")

    def _greeting(self) -> str:
        if not tidy_id(self._id):
            return (
                "No id yet, so these are numbers to practise with. Type your id in the cell above "
                "between the quotation marks and run both cells again: then they are your own."
            )
        return f"Your own numbers, {self._id.strip()}. Your neighbour's are different."

    def __repr__(self) -> str:
        lines = [self._greeting()]
        for name, words, unit in self._hints["quantities"]:
            value = getattr(self.numbers, name)
            lines.append(f"  {words}: {value:g} {unit}   (task.numbers.{name})")
        return "\n".join(lines)

    def _repr_html_(self) -> str:
        rows = "".join(
            f"<tr><td style='text-align:left'>{html.escape(words)}</td>"
            f"<td style='text-align:right'><strong>{getattr(self.numbers, name):g}</strong></td>"
            f"<td style='text-align:left'>{html.escape(unit)}</td>"
            f"<td style='text-align:left'><code>task.numbers.{html.escape(name)}</code></td></tr>"
            for name, words, unit in self._hints["quantities"]
        )
        head = "".join(
            f"<th style='text-align:left'>{word}</th>"
            for word in ("what", "value", "unit", "in code")
        )
        return f"<p>{html.escape(self._greeting())}</p><table><tr>{head}</tr>{rows}</table>"


def open_exercise(name: str, my_id: str = "") -> Task:
    """Open an exercise for one learner: show the own numbers, and look at answers.

    Parameters
    ----------
    name : str
        The exercise's name, as in ``"04-columns"``.
    my_id : str
        The id you hand in with. Empty: numbers to practise with.

    Returns
    -------
    Task
        With ``task.numbers`` and ``task.check("1", answer_1)``.

    Raises
    ------
    ValueError
        If there is no such exercise, or its hints are damaged.

    References
    ----------
    Definition.

    Examples
    --------
    >>> open_exercise("99-none")
    Traceback (most recent call last):
    ...
    ValueError: there is no exercise called '99-none': ...
    """
    for place in _places(name):
        if place.is_file():
            hints = _read_hints(place)
            if hints["exercise"] == name:
                return Task(hints, my_id)
    raise ValueError(
        f"there is no exercise called {name!r}: its file {HINTS} should lie beside the notebook"
    )


def _places(name: str) -> list[Path]:
    places = [Path(HINTS), Path(str(name)) / HINTS]
    with contextlib.suppress(FileNotFoundError):
        places.append(course_folder("exercises") / str(name) / HINTS)
    return places


def _read_hints(path: Path) -> dict[str, Any]:
    try:
        hints = json.loads(path.read_text(encoding="utf-8"))
        layout = hints["layout"]
    except (OSError, ValueError, KeyError, TypeError):
        raise ValueError(
            f"the file {path} is damaged; take it afresh from what was handed out"
        ) from None
    if layout > LAYOUT:
        raise ValueError(f"the file {path} is newer than this hoofcalc; bring hoofcalc up to date")
    return dict(hints)
