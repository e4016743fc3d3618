"""What a living figure is made of: sliders, presets, the calculation, the words, the picture."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np

from hoofcalc._inputs import numbers
from hoofcalc.figures.scene import Panel, Series, series_points, series_text

#: Values of the sliders and of the presets' choices, by name.
Values = Mapping[str, Any]
#: What a calculation found: arrays (points in data units, or numbers) and short texts, by name.
Results = Mapping[str, Any]


@dataclass(frozen=True, kw_only=True, slots=True)
class Slider:
    """A number the learner moves.

    Parameters
    ----------
    name
        Argument name in the calculation, with its unit.
    label, unit
        What the learner reads, and the unit behind the number.
    minimum, maximum
        The two ends.
    step
        The smallest move; on a logarithmic slider the number of moves from end to end.
    start
        The value at first and after a reset.
    log
        True where each move multiplies instead of adding.
    """

    name: str
    label: str
    unit: str
    minimum: float
    maximum: float
    step: float
    start: float
    log: bool = False

    def __post_init__(self) -> None:
        numbers(self.name, self.start, at_least=self.minimum, at_most=self.maximum)

    def positions(self) -> list[float]:
        """Every value that the slider's knob can stand on."""
        if self.log:
            ratio = self.maximum / self.minimum
            count = round(self.step)
            digits = 2 if count <= 20.5 * math.log10(ratio) else 3  # round numbers where they do
            between = [self.minimum * ratio ** (place / count) for place in range(1, count)]
            rounded = [float(f"{value:.{digits}g}") for value in between]
            return [self.minimum, *rounded, self.maximum]
        count = math.floor((self.maximum - self.minimum) / self.step + 1e-9)
        return [round(self.minimum + place * self.step, 10) for place in range(count + 1)]


@dataclass(frozen=True, kw_only=True, slots=True)
class Handle:
    """A point in the picture that the learner takes and moves: two numbers at once.

    It is moved by mouse or finger, or by the arrow keys (with Shift for larger steps). The two
    numbers are lengths in the panel's data units: where the point stands, or how far it stands
    from a place that follows from the other values; the calculation says where it is drawn.
    What it looks like is a series of points (mark "ring") with the same data.

    Parameters
    ----------
    name
        Short name, in letters and underscores.
    label
        What the learner reads.
    x, y
        Argument names of its two numbers in the calculation, with their unit.
    x_limits, y_limits
        Lowest and highest value of each. It never leaves its panel either.
    start
        Both values at first and after a reset.
    step
        How far an arrow key moves it; with Shift ten times as far.
    at
        Name of the result that says where it stands: an array of one point (1 x 2).
    says
        Name of the result (a short text) that says in words where it stands.
    panel
        Number of its panel, counted from 0.
    """

    name: str
    label: str
    x: str
    y: str
    x_limits: tuple[float, float]
    y_limits: tuple[float, float]
    start: tuple[float, float]
    step: float
    at: str
    says: str
    panel: int = 0

    def __post_init__(self) -> None:
        numbers("step", self.step, above=0)
        for name, low, high, start in self.numbers():
            numbers(name, start, at_least=low, at_most=high)

    def numbers(self) -> list[tuple[str, float, float, float]]:
        """Name, lowest and highest value and start of its two numbers."""
        return [(self.x, *self.x_limits, self.start[0]), (self.y, *self.y_limits, self.start[1])]


@dataclass(frozen=True, kw_only=True, slots=True)
class Preset:
    """A named setting: values for sliders and points, and for choices that have neither.

    Parameters
    ----------
    label
        The words on the button, in the trade's language.
    values
        Values by name.
    """

    label: str
    values: Values


@dataclass(frozen=True, kw_only=True)
class Frame:
    """A figure at one setting: what was found, in numbers and in words.

    Parameters
    ----------
    values
        The setting.
    results
        What the calculation found.
    sentence
        What the picture shows, in words.
    alt
        What is drawn, for those who cannot see it.
    refusal
        Why there is no result, in words; empty where there is one.
    """

    values: Values
    results: Results = field(default_factory=dict)
    sentence: str = ""
    alt: str = ""
    refusal: str = ""


@dataclass(frozen=True, kw_only=True, repr=False)
class Figure:
    """A living figure as declared: everything but the drawing of it.

    Parameters
    ----------
    name
        Short name, in letters and dashes.
    title
        What the figure is.
    sliders
        Two to five numbers to move.
    compute
        Takes every value by name and returns the results; pure.
    sentence, alt
        Take the values and the results and say what is shown; pure.
    panels, series
        The picture.
    presets, presets_label
        Named settings, and what they are settings of.
    choices
        Start of each value that presets set and no slider moves.
    handles
        Points in the picture to move.
    note
        A line that always stands under the picture (scale, what is typical, what is invented).
    page_sliders
        The one or two sliders that move on a plain page; the first one where nothing is said.
    """

    name: str
    title: str
    sliders: tuple[Slider, ...]
    compute: Callable[..., Results]
    sentence: Callable[[Values, Results], str]
    alt: Callable[[Values, Results], str]
    panels: tuple[Panel, ...]
    series: tuple[Series, ...]
    presets: tuple[Preset, ...] = ()
    presets_label: str = "Start from"
    choices: Values = field(default_factory=dict)
    handles: tuple[Handle, ...] = ()
    note: str = ""
    page_sliders: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if not self.page_sliders:
            object.__setattr__(self, "page_sliders", (self.sliders[0].name,))
        for preset in self.presets:
            self.checked({**self.start, **preset.values})

    def __repr__(self) -> str:
        return self.frame({}).sentence

    @cached_property
    def start(self) -> dict[str, Any]:
        """The setting at first."""
        sliders = {slider.name: slider.start for slider in self.sliders}
        handles = {
            name: float(start) for handle in self.handles for name, _, _, start in handle.numbers()
        }
        return {**self.choices, **sliders, **handles}

    def checked(self, values: Values) -> dict[str, Any]:
        """A whole setting: the given values over the start, refused where out of range.

        Parameters
        ----------
        values
            Some or all values, by name.

        Returns
        -------
        dict
            Every value by name.

        Raises
        ------
        ValueError
            If a name is unknown or a number lies outside its slider or its point's limits.
        """
        unknown = sorted(set(values) - set(self.start))
        if unknown:
            known = ", ".join(self.start)
            raise ValueError(f"{self.name} has no value called {unknown[0]!r}; it has {known}")
        whole = {**self.start, **values}
        for slider in self.sliders:
            number = numbers(
                f"{slider.label} [{slider.unit}]",
                whole[slider.name],
                at_least=slider.minimum,
                at_most=slider.maximum,
            )
            whole[slider.name] = float(number)
        for handle in self.handles:
            for name, low, high, _ in handle.numbers():
                number = numbers(
                    f"{handle.label} ({name})", whole[name], at_least=low, at_most=high
                )
                whole[name] = float(number)
        return whole

    def frame(self, values: Values) -> Frame:
        """The figure at one setting; a calculation that refuses gives its reason, not an error.

        Parameters
        ----------
        values
            Some or all values, by name.

        Returns
        -------
        Frame
            Results, sentence and description, or the reason why there are none.
        """
        try:
            values = self.checked(values)
            results = self.compute(**values)
            return Frame(
                values=values,
                results=results,
                sentence=self.sentence(values, results),
                alt=self.alt(values, results),
            )
        except ValueError as reason:
            return Frame(values=values, refusal=f"This cannot be shown: {reason}.")

    def floats(self, results: Results) -> tuple[list[int], np.ndarray[Any, np.dtype[np.float32]]]:
        """The series as the browser takes them: points per series, and all numbers in one row."""
        places = [series_points(item, results) for item in self.series]
        row = np.concatenate([place.ravel() for place in places]).astype("<f4")
        return [len(place) for place in places], row

    def texts(self, results: Results) -> list[str]:
        """The short texts of the series of words, the classes of tiles, empty for the others."""
        return [series_text(item, results) for item in self.series]

    def places(self, results: Results) -> list[dict[str, Any]]:
        """Where each point to move stands, in data units and in words."""
        return [
            {
                "at": [float(part) for part in np.reshape(results[handle.at], 2)],
                "says": str(results[handle.says]),
            }
            for handle in self.handles
        ]
