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
from hoofcalc.classroom.model.bins import bin_of
from hoofcalc.classroom.model.common_slips import common_slip
from hoofcalc.classroom.model.forms import (
    BLANK,
    FormError,
    NotBegunError,
    Wire,
    is_function,
    read_letter,
    read_number,
)
from hoofcalc.classroom.model.hints import LAYOUT, look_up
from hoofcalc.classroom.model.judge import (
    NOT_BEGUN,
    REASON_MISSING,
    REASON_UNREADABLE,
    function_result,
    out_of_range,
)
from hoofcalc.classroom.model.plain_data import plain
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
_NAME_WITHOUT_BRACKETS = "Hand over the function itself: its name without brackets."


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
            if not self._hints["check"]:
                return self._read(entry, wires)
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

    def _read(self, entry: Mapping[str, Any], wires: list[Any]) -> Message:
        """Say of an answer only what it was read as: in an examination nothing else is told."""
        match entry["kind"]:
            case "number":
                words = f"{read_number(wires[0]):g}"
            case "choice":
                reason = wires[1] if len(wires) > 1 else BLANK
                words = f"{read_letter(wires[0], entry['options'])}, because of "
                words += read_letter(reason, entry["reasons"])
            case "function" if wires[0].get("blank"):
                raise NotBegunError
            case "function" if not is_function(wires[0]):
                raise FormError(_NAME_WITHOUT_BRACKETS)
            case _:
                words = "a function"
        return Message("waiting", f"Read as: {words}. It is marked when you hand in.")

    def _number(self, question: str, entry: Mapping[str, Any], wire: Wire) -> Message:
        answer = read_number(wire)

        def at(value: float) -> str:
            return bin_of(value, *entry["near"])

        found = self._look_up(question, at(answer))
        if found is not None:
            return found

        def fits(value: float) -> bool:
            there = self._look_up(question, at(value))
            return there is not None and there.state == "right"

        common = common_slip(answer, entry["asked"], fits)
        if common is not None:
            return Message("nearly", common.message)
        out = out_of_range(answer, entry["asked"], entry["plausible"])
        return Message("keep going", out or entry["keep_going"])

    def _choice(self, question: str, entry: Mapping[str, Any], wires: list[Any]) -> Message:
        letter = read_letter(wires[0], entry["options"])
        found = self._look_up(question, letter) or Message("keep going", entry["keep_going"])
        if found.state != "right":
            return found
        try:
            reason = read_letter(wires[1] if len(wires) > 1 else BLANK, entry["reasons"])
        except NotBegunError:
            return Message("nearly", REASON_MISSING)
        except FormError as trouble:
            return Message("nearly", f"{REASON_UNREADABLE} {trouble}")
        return self._look_up(question, f"reason {reason}") or found

    def _function(
        self, question: str, entry: Mapping[str, Any], function: Any, wire: Wire
    ) -> Message:
        if wire.get("blank"):
            raise NotBegunError
        if not is_function(wire):
            raise FormError(_NAME_WITHOUT_BRACKETS)
        for which, (inputs, value) in enumerate(entry["examples"]):
            said = self._example(question, entry, function, which, inputs, value)
            if said is not None:
                return said
        return self._further_values(question, entry, function)

    def _example(
        self,
        question: str,
        entry: Mapping[str, Any],
        function: Any,
        which: int,
        inputs: list[float],
        value: float,
    ) -> Message | None:
        """What is wrong with the function on an example that the learner can see."""
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
        found = self._look_up(question, f"{which}:{bin_of(answer, *entry['near'])}")
        if found is not None and found.state == "right":
            return None
        words = (
            f"With the example values ({call}) you get {answer:.5g}; "
            f"it should be about {value:.5g}."
        )
        if found is None:
            return Message("keep going", f"{words} {entry['keep_going']}")
        return Message(found.state, f"{words} {found.words}")

    def _further_values(self, question: str, entry: Mapping[str, Any], function: Any) -> Message:
        """Try the function on values of the kinds that decide, and say what the mark would."""
        off: list[tuple[str, Message | None]] = []
        for which, (inputs, words) in enumerate(entry["cases"], len(entry["examples"])):
            try:
                given = plain(function(*inputs))
            except Exception as trouble:
                given = {"raised": type(trouble).__name__}
            answer = function_result(given)
            if isinstance(answer, str):
                return Message("keep going", answer)
            found = self._look_up(question, f"{which}:{bin_of(answer, *entry['near'])}")
            if found is None or found.state != "right":
                off.append((words, found))
        if not off:
            return Message("right", entry["messages"][0][1], _AS_FAR)
        slips = {found.words for _, found in off if found is not None}
        first = off[0][1]
        if first is not None and len(slips) == 1 and all(found for _, found in off):
            return Message("nearly", f"The examples are right. {first.words}")
        return Message("nearly", f"The examples are right. {off[0][0]}")

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
    if layout < LAYOUT:
        raise ValueError(f"the file {path} is of an earlier course; take it afresh")
    if layout > LAYOUT:
        raise ValueError(f"the file {path} is newer than this hoofcalc; bring hoofcalc up to date")
    return dict(hints)
