"""What a living figure is made of: sliders, presets, the calculation, the words, the picture."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import KW_ONLY, dataclass, field
from functools import cached_property
from typing import Any

import numpy as np

from hoofcalc._how_sure import HowSure
from hoofcalc._inputs import choice, numbers
from hoofcalc.figures.scene import Panel, Series, Style, series_points, series_text

#: Values of the sliders and of the presets' choices, by name.
Values = Mapping[str, Any]
#: What a calculation found: arrays (points in data units, or numbers) and short texts, by name.
Results = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
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
    says
        Takes a value and returns how it is read, unit included ("straight up", "3 of 12"); the
        number and its unit where nothing is said.
    """

    name: str
    label: str
    unit: str
    minimum: float
    maximum: float
    _: KW_ONLY
    step: float
    start: float
    log: bool = False
    says: Callable[[float], str] | None = None

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
    """A thing in the picture that the learner takes hold of: two numbers at once, or one.

    It is moved by mouse or finger, by a tap on the place where it shall go, or by the arrow keys
    (with Shift for larger steps). How a place in the picture becomes a number is data, so that it
    works wherever the picture is drawn:

    "place"
        two numbers, lengths in the panel's data units, across and up;
    "along x", "along y"
        one number, that of a slider: `per` data units of the panel for each unit of it;
    "angle"
        one number, that of a slider: the angle [degrees] of the line from the point `about` to
        the place, counted from `zero_deg` (0 points right, 90 up), anticlockwise, or clockwise
        where `turns` is -1.

    What it looks like: a disc with arrows; for a "place" a series of points (mark "ring") with
    the same data.

    Parameters
    ----------
    name
        Short name, in letters and underscores.
    label
        What the learner reads.
    x, y
        Argument names of its two numbers in the calculation, with their unit. A handle with one
        number has only `x`, the name of the slider that it moves.
    at
        Name of the result that says where it stands: an array of one point (1 x 2).
    says
        Name of the result (a short text) that says in words where it stands.
    x_limits, y_limits
        For a "place": lowest and highest value of each. It never leaves its panel either.
    start
        For a "place": both values at first and after a reset.
    step
        For a "place": how far an arrow key moves it; with Shift ten times as far.
    panel
        Number of its panel, counted from 0.
    kind
        One of those above.
    per, about, zero_deg, turns
        See above; `about` is the name of a result (1 x 2).
    level
        For an "angle": True where the thing slides along a level line (a buttress on the
        ground), so that only how far across the hand is counts.
    """

    name: str
    label: str
    x: str
    at: str
    says: str
    y: str = ""
    x_limits: tuple[float, float] = (0.0, 0.0)
    y_limits: tuple[float, float] = (0.0, 0.0)
    start: tuple[float, float] = (0.0, 0.0)
    step: float = 1.0
    panel: int = 0
    kind: str = "place"
    per: float = 1.0
    about: str = ""
    zero_deg: float = 0.0
    turns: int = 1
    level: bool = False

    def __post_init__(self) -> None:
        choice("kind", self.kind, ("place", "along x", "along y", "angle"))
        if self.turns not in (1, -1):
            raise ValueError(f"turns must be 1 or -1 (got {self.turns})")
        numbers("step", self.step, above=0)
        if (self.kind == "place") != bool(self.y):
            raise ValueError('y must name a number for kind="place", and only there')
        if (self.kind == "angle") != bool(self.about):
            raise ValueError('about must name a point for kind="angle", and only there')
        if self.per == 0:
            raise ValueError("per must not be 0 (got 0)")
        for name, low, high, start in self.numbers():
            numbers(name, start, at_least=low, at_most=high)

    def numbers(self) -> list[tuple[str, float, float, float]]:
        """Name, lowest and highest value and start of its own numbers; none where a slider's."""
        if self.kind != "place":
            return []
        return [(self.x, *self.x_limits, self.start[0]), (self.y, *self.y_limits, self.start[1])]


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table of all numbers.

    Parameters
    ----------
    quantity
        What it is, in plain words.
    value
        The number as it is read, or short words.
    interval
        How far it may be out ("1.9 to 2.6", "± 1.7"); empty where that is not known.
    unit
        Its unit.
    """

    quantity: str
    value: str
    _: KW_ONLY
    interval: str = ""
    unit: str = ""

    @classmethod
    def sure(cls, quantity: str, found: HowSure) -> Row:
        """A result with its 95 % interval."""
        value = f"{found.value:z.{found.digits}f}".replace("-", "\u2212")
        interval = found.interval.replace("-", "\u2212")
        return cls(quantity=quantity, value=value, interval=interval, unit=found.unit)


def in_and_out(*found: HowSure) -> tuple[Row, ...]:
    """Last rows of a table: what its intervals hold and what not.

    Parameters
    ----------
    found
        The results of the table; those that cover the same are said once.

    Returns
    -------
    tuple of Row
        Two for each kind.
    """
    kinds = dict.fromkeys((each.covers, each.leaves_out) for each in found)
    return tuple(
        row
        for covers, leaves_out in kinds
        for row in (
            Row(quantity="in the interval, 19 times in 20", value=covers),
            Row(quantity="not in it", value=leaves_out),
        )
    )


@dataclass(frozen=True, kw_only=True, slots=True)
class Preset:
    """A named setting: values for sliders and points, and for choices that have neither.

    Parameters
    ----------
    label
        The words on the button, in the trade's language.
    values
        Values by name.
    note
        A few quiet words after the label.
    key
        Line that stands for it in the picture, drawn beside the label.
    """

    label: str
    values: Values
    note: str = ""
    key: Style | None = None


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
    result
        The part of the sentence that is the finding; empty where none is marked.
    table
        All numbers.
    alt
        What is drawn, for those who cannot see it.
    refusal
        Why there is no result, in words; empty where there is one.
    """

    values: Values
    results: Results = field(default_factory=dict)
    sentence: str = ""
    result: str = ""
    table: tuple[Row, ...] = ()
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
        Two numbers to move or more; at most four of them in sight.
    compute
        Takes every value by name and returns the results; pure.
    sentence, alt
        Take the values and the results and say what is shown; pure. The sentence has at most 25
        words and one finding, which may stand between two pairs of asterisks.
    table
        Takes the same and returns all numbers. A figure that has one keeps to one screen; one
        that has none is still in the old form.
    more
        Names of the sliders that wait under "More".
    play
        Name of the slider that can be played, stopped and stepped; empty for none.
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
    table: Callable[[Values, Results], tuple[Row, ...]] | None = None
    more: tuple[str, ...] = ()
    play: str = ""

    def __post_init__(self) -> None:
        names = tuple(slider.name for slider in self.sliders)
        for name in (*self.more, *filter(None, [self.play])):
            choice("more and play", name, names)
        for handle in self.handles:
            if handle.kind != "place":
                choice(f"x of {handle.name}", handle.x, names)
        for panel in self.panels:
            for name in panel.turned_by or ():
                choice("turned_by", name, names)
        for preset in self.presets:
            self.checked({**self.start, **preset.values})

    def __repr__(self) -> str:
        return self.frame({}).sentence

    @property
    def keeps_to_one_screen(self) -> bool:
        """True for the form of today: one sentence, a table, four sliders in sight."""
        return self.table is not None

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
            before, result, after = _parted(self.sentence(values, results))
            return Frame(
                values=values,
                results=results,
                sentence=before + result + after,
                result=result,
                table=self.table(values, results) if self.table else (),
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
                "about": [float(part) for part in np.reshape(results[handle.about], 2)]
                if handle.about
                else [],
            }
            for handle in self.handles
        ]


def _parted(sentence: str) -> tuple[str, str, str]:
    """A sentence before, in and after the part between two pairs of asterisks."""
    before, _, rest = sentence.partition("**")
    result, _, after = rest.partition("**")
    return before, result, after
