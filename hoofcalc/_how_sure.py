"""How sure a result is, in the one form that every result with an error takes."""

from __future__ import annotations

from dataclasses import dataclass

from hoofcalc._constants import ERRORS_FOR_95
from hoofcalc._inputs import numbers


@dataclass(frozen=True)
class HowSure:
    """A value with its 95 % interval, what that interval covers and what it does not.

    Any calculation that gives an error can give this: `HowSure.from_error` for a normal
    error, the plain fields for draws or for an interval that is wider to one side.

    Parameters
    ----------
    value : float
        The value, in `unit`.
    low, high : float
        Ends of the interval that holds the true value 19 times in 20, in `unit`.
    unit : str
        The unit of all three; empty for a plain number.
    covers : str
        What the interval covers, in words.
    leaves_out : str
        What it does not cover, in words.

    Raises
    ------
    ValueError
        If `value`, `low` or `high` is no finite number, or `value` does not lie from `low`
        to `high`.

    References
    ----------
    Coverage interval: JCGM 100:2008, Guide to the expression of uncertainty in measurement
    (from memory).

    Examples
    --------
    >>> gap = HowSure(12.0, 7.1, 16.9, "degrees", "placing the points", "the camera's place")
    >>> print(gap)
    12.0 (7.1 to 16.9) degrees
    >>> print(gap.in_words)  # doctest: +NORMALIZE_WHITESPACE
    12.0 (7.1 to 16.9) degrees, 19 times in 20; in it: placing the points; not in it: the
    camera's place
    """

    value: float
    low: float
    high: float
    unit: str
    covers: str
    leaves_out: str

    def __post_init__(self) -> None:
        for name in ("value", "low", "high"):
            object.__setattr__(self, name, float(numbers(name, getattr(self, name))))
        if not self.low <= self.value <= self.high:
            raise ValueError(
                f"value must lie from low to high (got {self.value!r}, {self.low!r}, {self.high!r})"
            )

    @classmethod
    def from_error(
        cls, value: float, error: float, unit: str, covers: str, leaves_out: str
    ) -> HowSure:
        """From a standard deviation, taken as that of a normal error.

        Parameters
        ----------
        value, error : float
            The value and its standard deviation, the latter at least 0, in `unit`.
        unit, covers, leaves_out : str
            As in the class.

        Returns
        -------
        HowSure
            With ends 1.96 times the error away.

        Raises
        ------
        ValueError
            If `value` or `error` is no finite number, or `error` is below 0.

        References
        ----------
        Normal distribution.

        Examples
        --------
        >>> HowSure.from_error(12.0, 2.5, "degrees", "points", "camera").low
        7.1
        """
        reach = ERRORS_FOR_95 * float(numbers("error", error, at_least=0))
        middle = float(numbers("value", value))
        return cls(middle, middle - reach, middle + reach, unit, covers, leaves_out)

    @property
    def digits(self) -> int:
        """Decimals to show, so that the interval keeps two digits."""
        width = self.high - self.low
        return 0 if width >= 100 else 1 if width >= 1 else 2 if width >= 0.1 else 3

    @property
    def interval(self) -> str:
        """The ends of the interval, without the unit."""
        return f"{self.low:z.{self.digits}f} to {self.high:z.{self.digits}f}"

    def __str__(self) -> str:
        """Value and interval, rounded so that the interval keeps two digits."""
        return f"{self.value:z.{self.digits}f} ({self.interval}) {self.unit}".rstrip()

    @property
    def scope(self) -> str:
        """What the interval covers and what not, in words."""
        return f"in it: {self.covers}; not in it: {self.leaves_out}"

    @property
    def in_words(self) -> str:
        """Value, interval, and what the interval covers and what not, in words."""
        return f"{self}, 19 times in 20; {self.scope}"
