"""A mark on the hoof followed through a film, until it is no longer surely the same.

Every frame is compared with the mark as it was in the frame where a person showed it, turned and
smeared as it may be by now. Nothing is carried on from frame to frame but where to look, so that
errors do not add up.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import product

import cv2
import numpy as np
from numpy.typing import ArrayLike, NDArray

from hoofcalc._inputs import FloatArray, numbers, points
from hoofcalc.case.film import Film
from hoofcalc.case.storage import CaseError

#: A spot less like the mark than this is not taken for it; one this like ends the search.
_LEAST_LIKE, _LIKE = 0.75, 0.88
#: Greatest likely error of a place before the mark counts as lost [px].
_LARGEST_ERROR_PX = 0.6
#: So many frames in a row may be less sure than that, if the path on both sides bears them out.
_MOST_UNSURE = 3
#: Before a loss, places that are less alike than usual by this are not kept.
_FADING = 0.05
_FAINT = (
    "the mark is so faint, blurred or unevenly lit that its middle cannot be told to a pixel; show "
    "it in the next frame in which it is sharp."
)
#: A second spot this nearly as like makes it doubtful which is the mark; one further off, where it
#: was not expected, must be better by more.
_DOUBT, _BETTER = 0.04, 0.12
_TWO = "two spots look like the mark; show which one it is."
#: A spot this like is taken as it is; one less like is looked at by quarters.
_SURE = 0.98
#: So many quarters must be found for a place to be trusted.
_FEWEST_QUARTERS = 3
#: A long streak less like than 0.97 has an error above the largest allowed.
_SURE_STREAK = 0.97 + _LARGEST_ERROR_PX
#: Least answer of a mark to the search for it [steps of brightness]; noise gives about 3.
_FAINTEST = 8.0
#: A spot less alike all round (two correlations added) has no middle; it is taken as shown.
_ALIKE = 1.0
#: So far from where it was shown the middle of a mark may lie: [px], and as a part of its radius.
#: A person who points at a corner of the hoof does not mean the hoof's middle.
_DRAWN_PX, _DRAWN_PART = 6.0, 0.5
#: Radii of marks that can be told [px].
_SMALLEST_PX, _LARGEST_PX = 2.0, 60.0
#: The mark is looked at so coarsely that its radius is at most about this [px].
_WORKING_PX = 10.0
#: Speed of the mark in the first step, which is not known yet, and the most at all [px/frame].
_FIRST_STEP_PX, _LONGEST_STEP_PX = 70.0, 200.0
#: Turn of the hoof that is tried from frame to frame [degrees].
_TURN_DEG = 6.0
_MOST_TURN_DEG = 24.0
#: A turn counts as better if the spot is more like by this.
_ALIKER = 0.004
#: Parts of the time between two frames for which the shutter may have been open.
_SHUTTERS = (0.0, 0.25, 0.5, 0.75, 1.0)
#: Places are counted from the picture's corner, in here from the middle of its first pixel [px].
_MIDDLE_PX = 0.5
#: Memory for following backwards, where frames are decoded piece by piece [bytes].
_PIECE_BYTES = 160_000_000


@dataclass(frozen=True, eq=False)
class Followed:
    """Where a mark was, frame by frame in the order of the film.

    Parameters
    ----------
    frames
        Numbers of the frames, shape (n,), without a gap; the frame of the start is one of them.
    places_px
        Middle of the mark, to the right and down, shape (n, 2) [px].
    confidence
        How like the spot is to the mark as first shown, shape (n,): their correlation after the
        best turn and smear, so that light and contrast do not count. 1 is the same picture,
        below 0.75 it is not taken for the mark.
    errors_px
        Likely error of each coordinate, one standard deviation, shape (n,) [px].
    lost_at
        Number of the first frame in which it was not found; None if it never was lost.
    why
        What happened there and what to do, in a sentence; empty if it never was lost.
    """

    frames: NDArray[np.intp]
    places_px: FloatArray
    confidence: FloatArray
    errors_px: FloatArray
    lost_at: int | None = None
    why: str = ""


def follow(
    film: Film,
    start_frame: int,
    mark_px: ArrayLike,
    *,
    last_frame: int,
    backwards: bool = False,
    progress: Callable[[int, int], None] | None = None,
) -> Followed:
    """Follow a round or crossed mark from the frame in which it is shown.

    The place shown is drawn to the middle of the mark, where the mark is alike from opposite
    sides, as dots, crosses and squares are; else it is followed as it was shown. Start in a frame
    in which the mark is sharp, such as one in which the foot stands. After a loss, show the mark
    anew and follow on from there.

    Parameters
    ----------
    film
        The film.
    start_frame
        Number of the frame in which the mark is shown.
    mark_px : array, shape (2,)
        Its place there, to the right and down [px].
    last_frame
        Number of the frame at which to end; before `start_frame` when going backwards.
    backwards
        Whether to follow against the order of the film.
    progress
        Called after each frame with the number of frames done and of all.

    Returns
    -------
    Followed
        Until `last_frame`, or until the mark was lost.

    Raises
    ------
    CaseError
        If nothing like a mark is there, or the first frame cannot be read.
    ValueError
        If the film has no such frames, or the place lies outside the picture.

    References
    ----------
    Model of our own: normalised correlation with the first sight of the mark, turned and smeared;
    errors from the sharpness of the peak of correlation.
    """
    start = int(numbers("start_frame", start_frame, at_least=0, at_most=film.frames - 1))
    low, high = (0, start) if backwards else (start, film.frames - 1)
    last = int(numbers("last_frame", last_frame, at_least=low, at_most=high))
    mark = points("mark_px", mark_px, 2)
    size = np.array([film.width_px, film.height_px])
    if mark.shape != (2,) or (mark < 0).any() or (mark >= size).any():
        raise ValueError(f"mark_px must lie inside the picture (got {mark.tolist()})")
    greys = _backwards(film, start, last) if backwards else film.greys_between(start, last)
    number, grey = next(greys, (-1, None))
    if number != start or grey is None:
        raise CaseError(f"{film.path.name}: frame {start} cannot be read; start from another")
    sight = _Sight(grey, mark - _MIDDLE_PX)
    total = abs(last - start) + 1
    found: list[_Row] = [(start, *sight.place, 1.0, sight.first_error_px)]
    unsure: list[_Row] = []
    lost_at, why = None, ""
    step = -1 if backwards else 1
    due = start
    if progress is not None:
        progress(1, total)
    while due != last and not why:
        due += step
        number, grey = next(greys, (-1, None))
        if number != due or grey is None:
            why = f"Frame {due} of the film cannot be read; begin anew after it."
            break
        seen = sight.next(grey)
        if isinstance(seen, str):
            why = f"In frame {due} {seen}"
        elif seen[3] > _LARGEST_ERROR_PX:
            unsure.append((due, *seen))
            if len(unsure) > _MOST_UNSURE or due == last:
                why = f"In frame {unsure[0][0]} {_FAINT}"
        else:
            between = _agreed(found, unsure, (due, *seen))
            if between is None:
                why = f"In frame {unsure[0][0]} {_FAINT}"
            else:
                found += [*between, (due, *seen)]
                unsure = []
        if progress is not None:
            progress(len(found) + len(unsure), total)
    if why:
        found = _without_fading(found)
        lost_at = found[-1][0] + step
        if lost_at != (unsure[0][0] if unsure and _FAINT in why else due):
            why = f"From frame {lost_at} on the mark is less and less surely seen. {why}"
    return _followed(found, lost_at, why)


def _followed(found: Sequence[_Row], lost_at: int | None, why: str) -> Followed:
    table = np.array(sorted(found), dtype=np.float64)
    return Followed(
        frames=table[:, 0].astype(np.intp),
        places_px=table[:, 1:3] + _MIDDLE_PX,
        confidence=table[:, 3],
        errors_px=table[:, 4],
        lost_at=lost_at,
        why=why,
    )


_Row = tuple[int, float, float, float, float]  # frame, right, down, likeness, error


def _agreed(found: list[_Row], unsure: list[_Row], after: _Row) -> list[_Row] | None:
    """Unsure places between sure ones, if they lie on the smooth path through these; else None.

    Two witnesses: what was seen, and a cubic through three sure places before and one after.
    """
    if not unsure:
        return []
    if len(found) < 3:
        return None
    sure = np.array([*found[-3:], after])
    times = sure[:, 0] - after[0]
    agreed: list[_Row] = []
    for frame, right, down, like, error in unsure:
        powers = np.vander([frame - after[0]], 4) @ np.linalg.inv(np.vander(times, 4))
        path = (powers @ sure[:, 1:3])[0]
        off = float(np.hypot(right - path[0], down - path[1]))
        if off > 1.5 * _LARGEST_ERROR_PX:
            return None
        right, down = float(right + path[0]) / 2, float(down + path[1]) / 2
        agreed.append((frame, right, down, like, max(off / 2, min(error, 0.5))))
    return agreed


def _without_fading(found: list[_Row]) -> list[_Row]:
    """Without the last places before a loss in which the mark was already half hidden."""
    usual = float(np.median([row[3] for row in found])) - _FADING
    kept = len(found)
    while kept > 1 and found[kept - 1][3] < usual:
        kept -= 1
    return found[:kept]


def _backwards(film: Film, start: int, last: int) -> Iterator[tuple[int, NDArray[np.uint8]]]:
    """Frames from `start` down to `last`, decoded forwards piece by piece."""
    piece = max(4, _PIECE_BYTES // (film.width_px * film.height_px))
    high = start
    while high >= last:
        low = max(high - piece + 1, last)
        held = [(number, grey.copy()) for number, grey in film.greys_between(low, high)]
        yield from reversed(held)
        high = low - 1


@dataclass(frozen=True)
class _Peak:
    """The best fit of one template."""

    like: float
    place: FloatArray  # in the picture [px]
    error_px: float
    doubtful: bool  # whether a second spot is nearly as like


@dataclass(eq=False)
class _Sight:
    """The mark as first seen, and where it was last."""

    grey: NDArray[np.uint8]
    shown: FloatArray
    place: FloatArray = field(init=False)
    radius_px: float = field(init=False)
    first_error_px: float = 0.1
    velocity: FloatArray | None = None
    turn_deg: float = 0.0
    shutter: float = 0.5

    def __post_init__(self) -> None:
        self.place, self.radius_px = _mark_at(self.grey, self.shown)
        # Coarser by a whole number for a large mark: quicker, and noise averages out.
        self.coarse = max(1, int(self.radius_px / _WORKING_PX))
        self.half = int(np.ceil(1.6 * self.radius_px / self.coarse)) + 2
        self.soft = max(0.7, self.radius_px / self.coarse / 7)
        # A wide piece about the middle, from which turned and smeared views are cut.
        self.reach = int(np.ceil(1.5 * self.half)) + int(_LONGEST_STEP_PX / self.coarse)
        square, middle = _square(self.grey, self.place, self.reach, self.coarse)
        off = (middle - self.place) / self.coarse
        shift = np.array([[1, 0, off[0]], [0, 1, off[1]]], dtype=np.float64)
        square = cv2.warpAffine(
            square, shift, square.shape, flags=cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE
        )
        self.first = _softened(square, self.soft)
        del self.grey

    def next(self, grey: NDArray[np.uint8]) -> tuple[float, float, float, float] | str:
        """Right, down, likeness and error in the next frame; or what happened, in words."""
        size = np.array(grey.shape[::-1])
        known = self.velocity is not None
        velocity = self.velocity if self.velocity is not None else np.zeros(2)
        guess = self.place + velocity
        speed = float(np.hypot(*velocity))
        radius = max(12.0, self.radius_px, 0.5 * speed) if known else _FIRST_STEP_PX
        best = self._look(grey, guess, velocity, radius, near=True)
        if best.like < _LIKE:
            wide = min(2 * radius + 10, _LONGEST_STEP_PX)
            again = self._look(grey, guess, velocity, wide, near=False)
            elsewhere = np.hypot(*(again.place - best.place)) > self.radius_px
            if elsewhere and best.like >= _LEAST_LIKE and again.like < best.like + _BETTER:
                return _TWO
            best = max(best, again, key=lambda peak: peak.like)
        edge = np.minimum(best.place, size - 1 - best.place).min()
        guess_edge = np.minimum(guess, size - 1 - guess).min()
        if best.like < _LEAST_LIKE:
            if min(guess_edge, edge) < self.radius_px + 0.5 * speed:
                return "the mark has left the picture."
            if speed > 3 * self.radius_px:
                return (
                    "the mark is too blurred to be known again; show it in the next frame in "
                    "which it can be seen."
                )
            return (
                "nothing looks like the mark: it may be hidden, or in very different light; show "
                "it in the next frame in which it can be seen."
            )
        if edge < 0.9 * self.radius_px:
            return "the mark has left the picture."
        if best.doubtful:
            return _TWO
        moved = best.place - self.place
        if float(np.hypot(*moved)) > _LONGEST_STEP_PX:
            return "the mark seems to have jumped; show where it is."
        self.velocity, self.place = moved, best.place
        return float(best.place[0]), float(best.place[1]), best.like, best.error_px

    def _look(
        self,
        grey: NDArray[np.uint8],
        guess: FloatArray,
        velocity: FloatArray,
        radius: float,
        near: bool,
    ) -> _Peak:
        """The best spot within `radius` of the guess, over smears and turns."""
        reach = int(np.ceil(radius / self.coarse))
        speed = float(np.hypot(*velocity))
        shutters: tuple[float, ...] = (self.shutter,)
        if speed * 0.25 > 1.5:
            shutters = (
                tuple(s for s in _SHUTTERS if abs(s - self.shutter) <= 0.3) if near else _SHUTTERS
            )
        tries = {}
        smeared = int(np.ceil(min(speed, _LONGEST_STEP_PX) / 2 / self.coarse))
        half = reach + self.half + smeared + 2
        square, guess = _square(grey, guess, half, self.coarse)
        window = _softened(square, self.soft)
        for shutter in shutters:
            tries[shutter] = self._fit(window, guess, velocity * shutter, self.turn_deg, reach)
        shutter = max(tries, key=lambda s: tries[s].like)
        best = tries[shutter]
        smear = velocity * shutter
        fits = {0.0: best}

        def at(turn: float) -> float:
            if turn not in fits:
                fits[turn] = self._fit(window, guess, smear, self.turn_deg + turn, reach)
            return fits[turn].like

        for times in (-1, 1) if near else (-4, -2, -1, 1, 2, 4):
            at(times * _TURN_DEG)
        top = max(fits, key=at)
        for side in (-_TURN_DEG, _TURN_DEG):  # as long as turning on makes it more alike
            while abs(top + side) <= _MOST_TURN_DEG and at(top + side) > at(top) + _ALIKER:
                top += side
        crest = _crest({turn: fit.like for turn, fit in fits.items()}, top)
        if abs(crest - top) > 1:
            at(crest)
            top = max(top, crest, key=at)
        if fits[top].like >= _LEAST_LIKE:
            self.shutter = shutter
            self.turn_deg += crest
        return fits[top]

    def _view(self, smear: FloatArray, turn_deg: float) -> NDArray[np.float32]:
        """The mark as it should look, turned against the clock and smeared."""
        length = float(np.hypot(*smear)) / self.coarse
        across, down = (int(np.ceil(abs(s) / 2 / self.coarse)) for s in smear)
        middle = float(self.reach)
        view = self.first
        if turn_deg:
            matrix = cv2.getRotationMatrix2D((middle, middle), turn_deg, 1.0)
            view = cv2.warpAffine(
                view,
                matrix,
                view.shape[::-1],
                flags=cv2.INTER_LINEAR,
                borderMode=cv2.BORDER_REPLICATE,
            )
        wide = self.half + across + 2, self.half + down + 2
        view = view[
            self.reach - wide[1] : self.reach + wide[1] + 1,
            self.reach - wide[0] : self.reach + wide[0] + 1,
        ]
        if length > 1:
            view = cv2.filter2D(
                view, -1, _streak(smear / self.coarse), borderType=cv2.BORDER_REPLICATE
            )
        return view[2:-2, 2:-2]

    def _fit(
        self,
        window: NDArray[np.float32],
        guess: FloatArray,
        smear: FloatArray,
        turn_deg: float,
        reach: int,
    ) -> _Peak:
        view = self._view(smear, turn_deg)
        centre = window.shape[0] // 2
        tall, wide = view.shape[0] // 2, view.shape[1] // 2
        part = window[
            centre - reach - tall : centre + reach + tall + 1,
            centre - reach - wide : centre + reach + wide + 1,
        ]
        like = cv2.matchTemplate(
            np.ascontiguousarray(part), np.ascontiguousarray(view), cv2.TM_CCOEFF_NORMED
        )
        like = np.nan_to_num(like, nan=0.0, posinf=0.0, neginf=0.0)
        rows, columns = np.ogrid[-reach : reach + 1, -reach : reach + 1]
        # Of two spots that are alike, the one nearer to where it should be.
        weighed = like - 0.1 * (rows**2 + columns**2) / max(reach, 1) ** 2
        row, column = divmod(int(np.argmax(weighed)), weighed.shape[1])
        for _ in range(5):  # to the top of this peak itself
            r0, c0 = max(row - 1, 0), max(column - 1, 0)
            near = like[r0 : row + 2, c0 : column + 2]
            up, along = divmod(int(np.argmax(near)), near.shape[1])
            if (r0 + up, c0 + along) == (row, column):
                break
            row, column = r0 + up, c0 + along
        top = float(like[row, column])
        shift, curve = _summit(like, row, column)
        place = guess + (np.array([column - reach, row - reach]) + shift) * self.coarse
        away = max(self.half, 3)
        rest = weighed.copy()
        rest[max(row - away, 0) : row + away + 1, max(column - away, 0) : column + away + 1] = -1
        rival = float(rest.max())
        chosen = float(weighed[row, column])
        error = _likely_error(top, curve, view.size, self.soft)
        if _LEAST_LIKE <= top < _SURE:
            if np.hypot(*smear) > self.radius_px:  # quarters of a streak have no ends of their own
                error = max(error, _SURE_STREAK - top)
            else:
                middle = centre + row - reach, centre + column - reach
                whole, moved, error = _by_quarters(window, view, middle, shift, error)
                if not whole:
                    place = place + (moved - shift) * self.coarse
        doubtful = rival > _LEAST_LIKE and rival > chosen - _DOUBT
        return _Peak(top, place, error * self.coarse, doubtful)


# ---- pieces of the picture -------------------------------------------------------------------


def _square(
    grey: NDArray[np.uint8], about: FloatArray, half: int, coarse: int
) -> tuple[NDArray[np.float32], FloatArray]:
    """A square of (2 half + 1) coarse pixels about a place, and where its middle lies exactly.

    Beyond the border of the picture its edge goes on.
    """
    side = (2 * half + 1) * coarse
    corner = np.round(about - (side - 1) / 2).astype(int)
    columns, rows = corner[:, None] + np.arange(side)
    square = grey.take(rows, axis=0, mode="clip").take(columns, axis=1, mode="clip")
    fine = square.astype(np.float32)
    if coarse > 1:
        fine = cv2.resize(fine, (2 * half + 1,) * 2, interpolation=cv2.INTER_AREA)
    return fine, corner + (side - 1) / 2


def _softened(square: NDArray[np.float32], soft: float) -> NDArray[np.float32]:
    blurred = cv2.GaussianBlur(square, (0, 0), soft, borderType=cv2.BORDER_REPLICATE)
    return np.asarray(blurred, dtype=np.float32)


def _streak(smear: FloatArray) -> NDArray[np.float32]:
    """The weights of an even motion along `smear` during one frame."""
    reach = int(np.ceil(np.abs(smear).max() / 2)) + 1
    weights = np.zeros((2 * reach + 1, 2 * reach + 1), dtype=np.float32)
    at = smear * np.linspace(-0.5, 0.5, 4 * reach + 1)[:, None] + reach
    for beside in ((0, 0), (0, 1), (1, 0), (1, 1)):  # shared out among the four cells about
        cell = at.astype(np.intp) + np.array(beside)
        np.add.at(weights, (cell[:, 1], cell[:, 0]), np.prod(1 - np.abs(at - cell), axis=1))
    return np.asarray(weights / weights.sum(), dtype=np.float32)


# ---- the peak of a likeness ------------------------------------------------------------------


def _summit(like: NDArray[np.float32], row: int, column: int) -> tuple[FloatArray, float]:
    """From the highest cell to the top of the parabola through it, and the least curvature."""
    shift, curves = np.zeros(2), []
    for axis, (at, length) in enumerate(((column, like.shape[1]), (row, like.shape[0]))):
        if not 0 < at < length - 1:
            return shift, 0.0
        three = like[row, at - 1 : at + 2] if axis == 0 else like[at - 1 : at + 2, column]
        before, top, after = (float(each) for each in three)
        curve = 2 * top - before - after
        if curve <= 1e-6:
            return shift, 0.0
        shift[axis] = np.clip((after - before) / 2 / curve, -0.7, 0.7)
        curves.append(curve)
    return shift, min(curves)


def _by_quarters(
    window: NDArray[np.float32],
    view: NDArray[np.float32],
    middle: tuple[int, int],
    shift: FloatArray,
    error: float,
) -> tuple[bool, FloatArray, float]:
    """Look for each quarter of the mark by itself, to see whether all say the same.

    The edge of a shadow or a blade of grass misleads one or two quarters, not the others: their
    middle value stands then. Returns whether the whole may stand, the place beside `middle` that
    the quarters give, and the likely error [coarse pixels].
    """
    tall, wide = view.shape[0] // 2, view.shape[1] // 2
    slack = 3
    found = []
    for down, across in product((0, 1), (0, 1)):
        quarter = view[down * tall :, across * wide :][: tall + 1, : wide + 1]
        top, left = middle[0] + (down - 1) * tall, middle[1] + (across - 1) * wide
        part = window[
            max(top - slack, 0) : top + tall + 1 + slack,
            max(left - slack, 0) : left + wide + 1 + slack,
        ]
        if part.shape != (quarter.shape[0] + 2 * slack, quarter.shape[1] + 2 * slack):
            continue
        like = np.nan_to_num(cv2.matchTemplate(part, quarter, cv2.TM_CCOEFF_NORMED))
        row, column = np.unravel_index(int(np.argmax(like)), like.shape)
        beside, curve = _summit(like, int(row), int(column))
        if like[row, column] > _LEAST_LIKE and curve > 0:
            found.append(np.array([column - slack, row - slack]) + beside)
    if len(found) < _FEWEST_QUARTERS:
        return True, shift, max(error, 1.0)
    places = np.array(found)
    place = np.median(places, axis=0)
    # The two nearest the middle agree in any case; the third shows how far they can be trusted.
    off = np.sort(np.abs(places - place), axis=0)
    spread = float(off[:3].max())
    if float(np.abs(places - shift).max()) < 0.5:
        return True, shift, float(np.hypot(error, spread / 4))
    return False, place, float(np.hypot(error, spread / 2))


def _crest(likes: dict[float, float], top: float) -> float:
    """The turn [degrees] at which likeness is greatest, by a parabola through three tries."""
    before, after = likes.get(top - _TURN_DEG), likes.get(top + _TURN_DEG)
    if before is None or after is None:
        return top
    curve = 2 * likes[top] - before - after
    if curve < _ALIKER / 2:  # a round mark looks the same however it is turned
        return 0.0
    return top + _TURN_DEG * float(np.clip((after - before) / 2 / curve, -0.5, 0.5))


def _likely_error(like: float, curve: float, cells: int, soft: float) -> float:
    """One standard deviation of a place from the sharpness of the peak [coarse pixels].

    A template that explains the part `like`^2 of what is seen leaves the rest as noise, which
    shifts the top by its slope over the curvature of the peak; only so many cells count as
    independent as the softening leaves.
    """
    if like <= 0 or curve <= 0:
        return np.inf
    independent = max(cells / (4 * np.pi * soft**2), 4.0)
    rest = max(1 - like**2, 1e-4)
    return float(np.sqrt(rest / (independent * curve)) / np.sqrt(like) + 0.03)


# ---- the mark as it is shown -----------------------------------------------------------------


def _mark_at(grey: NDArray[np.uint8], shown: FloatArray) -> tuple[FloatArray, float]:
    """The spot nearest to where the mark was shown, and its radius [px]; refused if there is none.

    A round spot of radius r answers most to the second derivative of a Gaussian of r / sqrt(2).
    """
    half = int(3 * _LARGEST_PX)
    square, middle = _square(grey, shown, half, 1)
    scales = (
        _SMALLEST_PX
        / np.sqrt(2)
        * 1.2 ** np.arange(int(np.log(_LARGEST_PX / _SMALLEST_PX) / np.log(1.2)) + 2)
    )
    rows, columns = np.mgrid[-half : half + 1, -half : half + 1]
    away = np.hypot(columns + middle[0] - shown[0], rows + middle[1] - shown[1])
    answers, places = [], []
    for scale in scales:
        near = away <= max(4.0, np.sqrt(2) * scale)
        soft = cv2.GaussianBlur(square, (0, 0), scale, borderType=cv2.BORDER_REPLICATE)
        answer = np.abs(cv2.Laplacian(soft, cv2.CV_32F)) * scale**2
        answer = np.where(near, answer, 0)
        row, column = np.unravel_index(int(np.argmax(answer)), answer.shape)
        answers.append(float(answer[row, column]))
        places.append(middle + np.array([column - half, row - half]))
    most = max(answers)
    if most < _FAINTEST:
        raise CaseError(
            "no spot stands out where the mark was shown; point at the middle of the mark, in a "
            "frame in which it is sharp"
        )
    chosen, best = (shown, _WORKING_PX), -2.0
    for each, answer in enumerate(answers):
        beside = answers[max(each - 1, 0) : each + 2]
        if answer < max(beside) or answer < 0.4 * most:
            continue
        # An arm of a cross is a spot too, and so is the hoof; the mark is alike all round.
        radius = float(np.sqrt(2) * scales[each])
        place = _middle(grey, places[each], radius)
        if np.hypot(*(place - shown)) > max(_DRAWN_PX, _DRAWN_PART * radius):
            continue
        alike = _alike_all_round(grey, place, radius)
        if alike > best:
            chosen, best = (place, radius), alike
    return chosen if best > _ALIKE else (shown, chosen[1])


def _alike_all_round(grey: NDArray[np.uint8], place: FloatArray, radius_px: float) -> float:
    """How like a spot is to itself after a quarter and after half a turn: a correlation."""
    half = int(np.ceil(1.4 * radius_px)) + 1
    square, _middle_of_it = _square(grey, place, half, 1)
    square = _softened(square, max(0.7, radius_px / 8))
    turned = [np.ascontiguousarray(np.rot90(square, turns)) for turns in (1, 2)]
    return sum(
        float(cv2.matchTemplate(square, each, cv2.TM_CCOEFF_NORMED)[0, 0]) for each in turned
    )


def _middle(grey: NDArray[np.uint8], place: FloatArray, radius_px: float) -> FloatArray:
    """The middle of a mark that looks the same turned half round; else `place` itself."""
    half = int(np.ceil(1.3 * radius_px)) + 1
    reach = int(np.ceil(radius_px)) + 1
    soft = max(0.7, radius_px / 8)
    at = place
    for _ in range(4):
        window, middle = _square(grey, at, half + reach, 1)
        window = _softened(window, soft)
        turned = window[reach:-reach, reach:-reach][::-1, ::-1]
        like = cv2.matchTemplate(window, np.ascontiguousarray(turned), cv2.TM_CCOEFF_NORMED)
        row, column = np.unravel_index(int(np.argmax(like)), like.shape)
        shift, _curve = _summit(like, int(row), int(column))
        moved = (np.array([column - reach, row - reach]) + shift) / 2
        if like[row, column] < 0.7:
            return place
        at = middle + moved
        if np.hypot(*moved) < 0.5:
            break
    return at if np.hypot(*(at - place)) <= radius_px + 2 else place
