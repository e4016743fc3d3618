"""A film on the measuring desk: the mark by hand and followed, scale, contacts, and what they tell.

No screen in here. Every change is kept in a draft beside the visit; the visit's own files change
when the person saves.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from hoofcalc._constants import ERRORS_FOR_95
from hoofcalc._counted import counted
from hoofcalc.case.desk.drafts import keep_draft, read_draft
from hoofcalc.case.storage import CaseError, files_of, own_fields
from hoofcalc.case.tracking import (
    SCALE_POINTS,
    MarkedFilm,
    read_film,
    save_film,
    stance_times,
    track_of,
)
from hoofcalc.landing import landing_vector

if TYPE_CHECKING:
    from hoofcalc.case.tracker import Followed

_NAME = "film"
#: Errors of the mark that a file may hold [px].
_ERRORS_PX = (0.05, 50.0)
#: Fewest frames that make a track (as in `hoofcalc.landing`).
_FEWEST_FRAMES = 10


class StoppedError(Exception):
    """The person stopped the following."""


def stored_film(folder: Path, visit: str) -> MarkedFilm | None:
    """The film of a visit with its marks, unsaved ones included; None where none was chosen."""
    left = read_draft(folder, visit, _NAME, _from_draft)
    return read_film(folder, visit) if left is None else left[0]


class FilmSession:
    """The film of a visit while it is marked.

    Parameters
    ----------
    folder
        The folder of the case.
    visit
        Name of the visit.

    Attributes
    ----------
    marked : MarkedFilm or None
        The film and its marks as they are now; None while no film is chosen.
    film : hoofcalc.case.film.Film or None
        The open film.
    came_down : float or None
        Frame of a contact whose leaving is still to be marked.
    lost_at : int or None
        Frame at which the mark was last lost on the way forward; None where it was not.
    from_draft : bool
        Whether it is what was left unsaved last time.

    Raises
    ------
    CaseError
        If what is on file cannot be read.
    """

    def __init__(self, folder: Path, visit: str) -> None:
        self.folder, self.visit = Path(folder), visit
        self.film: Any = None
        self._reading = threading.Lock()
        self.came_down: float | None = None
        self.lost_at: int | None = None
        self.marked = read_film(self.folder, visit)
        left = read_draft(self.folder, visit, _NAME, _from_draft)
        self.from_draft = left is not None
        if left is not None:
            self.marked, self.came_down = left

    def open(self, file: str) -> str:
        """Open a film, and choose it where another or none was; what to know, in a sentence.

        Raises
        ------
        CaseError
            If it cannot be read, or is not the film in which the marks were placed.
        """
        from hoofcalc.case.film import open_film  # here: it loads the film library

        film = open_film(files_of(self.folder, "film", self.visit) / file)
        size = film.width_px, film.height_px
        before = self.marked
        if before is None or before.file != file:
            self._choose(file, film)
        elif _size(before) != size:
            raise CaseError(
                f"{file} is {size[0]} by {size[1]} pixels, but its marks were placed in one of "
                f"{before.width_px} by {before.height_px}. Put the first one back, or take in "
                "this one under another name"
            )
        with self._reading:
            if self.film is not None:
                self.film.close()
            self.film = film
        return str(film.remark)

    def _choose(self, file: str, film: Any) -> None:
        """Take another film than before, with the marks that are on file for it."""
        before = self.marked
        self.save()
        self.came_down = None
        saved = read_film(self.folder, self.visit)
        if saved is None or saved.file != file or _size(saved) != (film.width_px, film.height_px):
            known: dict[str, Any] = {}
            if before is not None:
                known = {"length_mm": before.length_mm, "travel": before.travel}
            saved = MarkedFilm(
                file=file,
                true_fps=float(np.clip(film.capture_fps or film.stored_fps, 10, 5000)),
                width_px=film.width_px,
                height_px=film.height_px,
                **known,
            )
        self._change(saved)

    def close(self) -> None:
        """Let go of the film."""
        with self._reading:
            if self.film is not None:
                self.film.close()

    def picture(self, frame: int) -> bytes:
        """One frame as JPEG."""
        from hoofcalc.case.photograph import Photograph

        with self._reading:  # frames are asked for from threads
            pixels = self.film.frame(frame)
        return Photograph(pixels, "JPEG").shown(1920)

    # ---- marks -------------------------------------------------------------------------------

    def known(self, *, true_fps: float, travel: str, length_mm: float) -> None:
        """What the person says of the film: true rate [1/s], way it goes, known length [mm]."""
        known: dict[str, Any] = {
            "true_fps": float(true_fps),
            "travel": travel,
            "length_mm": float(length_mm),
        }
        self._change(replace(self._marked, **known))

    def place(self, frame: int, points: Mapping[str, Any]) -> None:
        """Take over what was placed on a frame: "mark" for that frame, ends of scale and ground.

        A mark that is not among the points is taken away from the frame.
        """
        marked = self._marked
        most = np.array([marked.width_px, marked.height_px], dtype=np.float64)
        clipped = {
            name: tuple(np.clip(np.asarray(at, float), 0, most).tolist())
            for name, at in points.items()
        }
        scale = {name: clipped[name] for name in SCALE_POINTS if name in clipped}
        rows = self._rows()
        if "mark" in clipped:
            there = rows.get(frame)
            if there is None or there[:2] != clipped["mark"]:
                rows[frame] = (*clipped["mark"], "hand", 1.0)
        else:
            rows.pop(frame, None)
        self._change(replace(marked, scale=scale, **_columns(rows)))

    def points(self, frame: int) -> dict[str, tuple[float, float]]:
        """What is placed on a frame: its mark, and the ends of scale and ground."""
        found = dict(self._marked.scale)
        row = self._rows().get(frame)
        return found if row is None else {**found, "mark": row[:2]}

    def follow(
        self,
        frame: int,
        last: int | None = None,
        *,
        first: int = 0,
        progress: Callable[[float], None] = lambda _part: None,
        stop: threading.Event | None = None,
    ) -> str:
        """Follow the mark from a frame on, and back where nothing is marked before it.

        Marks that were placed by hand stay as they are.

        Parameters
        ----------
        frame
            Where the mark is shown.
        last
            As far as this frame; to the end where left out.
        first
            Back to this frame; to the beginning where left out.
        progress
            Called with the part that is done, 0 to 1.
        stop
            Ends it when set; nothing is taken over then.

        Returns
        -------
        str
            What came of it; where the mark was lost, why, and what to do.

        Raises
        ------
        CaseError
            If no mark stands on this frame, or nothing like a mark is there.
        StoppedError
            If it was stopped.
        """
        from hoofcalc.case.tracker import follow  # here: it loads the picture library

        rows = self._rows()
        if frame not in rows:
            raise CaseError("the mark is not placed on this frame yet: place it first")
        end = self.film.frames - 1 if last is None else min(max(last, frame), self.film.frames - 1)
        back = max(frame - first, 0) if not any(other < frame for other in rows) else 0
        total = end - frame + back + 1

        def step(before: int) -> Callable[[int, int], None]:
            def seen(done: int, _all: int) -> None:
                progress(min((before + done) / total, 1.0))
                if stop is not None and stop.is_set():
                    raise StoppedError

            return seen

        mark = np.array(rows[frame][:2])
        ways = [(end, False, 0)] + ([(frame - back, True, end - frame)] if back else [])
        found = [
            follow(
                self.film, frame, mark, last_frame=to, backwards=backwards, progress=step(before)
            )
            for to, backwards, before in ways
        ]
        self.lost_at = found[0].lost_at
        count, error_px = self._take_over(found, frame)
        said = [f"Followed through {counted(count, 'frame')}, to about {error_px:.2g} pixels."]
        for track, (_, backwards, _) in zip(found, ways, strict=True):
            if track.lost_at is None:
                continue
            lost = "Going back: lost" if backwards else "Lost"
            said.append(f"{lost} at frame {track.lost_at}.")
            if not (backwards and self.lost_at is not None):  # else much the same again
                said.append(track.why or "It was not found any more.")
        return " ".join(said)

    def _take_over(self, found: Sequence[Followed], frame: int) -> tuple[int, float]:
        """Keep what was followed from a frame on: in how many others, and its error [px]."""
        rows = self._rows()  # anew: a mark may have been placed meanwhile
        before = any(row[2] == "followed" for row in rows.values())
        errors: list[float] = []
        count = 0
        for track in found:
            for number, place, sure in zip(
                track.frames.astype(int).tolist(), track.places_px, track.confidence, strict=True
            ):
                if number in rows and rows[number][2] == "hand" and number != frame:
                    continue
                count += number != frame
                by = "hand" if number == frame else "followed"
                # the first place is drawn to the middle of the mark: the same spot everywhere
                rows[number] = (float(place[0]), float(place[1]), by, float(np.clip(sure, 0, 1)))
            errors += [float(error) for error in track.errors_px]
        error_px = float(np.clip(np.sqrt(np.mean(np.square(errors))), *_ERRORS_PX))
        if before:  # other pieces were followed with an error of their own: the larger counts
            error_px = max(error_px, self._marked.point_error_px)
        self._change(replace(self._marked, point_error_px=error_px, **_columns(rows)))
        return count, error_px

    def forget_followed(self) -> None:
        """Take away what was followed; what was placed by hand stays."""
        rows = {frame: row for frame, row in self._rows().items() if row[2] == "hand"}
        self._change(replace(self._marked, **_columns(rows)))

    def forget_side(self, frame: int, side: str) -> str:
        """Take away every mark "before" or "after" a frame; how many, in a sentence."""
        rows = self._rows()
        left = {
            at: row
            for at, row in rows.items()
            if (at >= frame if side == "before" else at <= frame)
        }
        self._change(replace(self._marked, **_columns(left)))
        gone = counted(len(rows) - len(left), "frame")
        return f"The marks of {gone} {side} frame {frame} are taken away."

    # ---- contacts ----------------------------------------------------------------------------

    def contact(self, frame: float) -> str:
        """The foot comes down in this frame; what is to be done next, in a sentence."""
        before = self._marked.stances
        if before and frame <= before[-1][1]:
            raise CaseError(
                f"frame {frame:g} is not later than {before[-1][1]:g}, in which the foot left the "
                "ground before; mark the contacts in the order of the film"
            )
        self.came_down = float(frame)
        self._change(self._marked)
        return f"Contact at frame {frame:g}. Go on to where the foot leaves the ground."

    def leaving(self, frame: float) -> str:
        """The foot leaves the ground in this frame; what was marked, in a sentence."""
        if self.came_down is None:
            raise CaseError("mark first where the foot comes down")
        if frame <= self.came_down:
            raise CaseError(
                f"frame {frame:g} is not later than the contact at frame {self.came_down:g}; the "
                "foot leaves the ground after it came down"
            )
        stance = (self.came_down, float(frame))
        self.came_down = None
        self._change(replace(self._marked, stances=(*self._marked.stances, stance)))
        return f"Stance from frame {stance[0]:g} to {stance[1]:g}."

    def forget_contact(self) -> str:
        """Take away the last contact, or the last stance; what was taken away."""
        if self.came_down is not None:
            said = f"The contact at frame {self.came_down:g} is taken away."
            self.came_down = None
            self._change(self._marked)
            return said
        stances = self._marked.stances
        if not stances:
            raise CaseError("no contact is marked")
        self._change(replace(self._marked, stances=stances[:-1]))
        return f"The stance from frame {stances[-1][0]:g} to {stances[-1][1]:g} is taken away."

    # ---- what it tells -----------------------------------------------------------------------

    def numbers(self) -> tuple[dict[str, float], list[str]]:
        """What the film tells, by name with unit, and what it does not tell, in sentences."""
        marked = self._marked
        found: dict[str, float] = dict(stance_times(marked))
        remarks = []
        if not marked.stances:
            remarks.append("Mark where the foot comes down and where it leaves the ground.")
        elif len(marked.stances) < 2:
            remarks.append(
                "With a second stance of the same foot the film also tells the stride and the part "
                "of it spent on the ground."
            )
        elif "duty_factor" not in found:
            remarks.append(
                "Stance and stride do not go together as in any horse, so the part of the stride "
                "on the ground is not told. Was a stance in between left out, or that of another "
                "foot marked?"
            )
        wanting = self._wanting()
        try:
            landing = None if wanting else landing_vector(track_of(marked))
        except (CaseError, ValueError) as why:
            wanting, landing = str(why), None
        if landing is None:
            remarks.append(f"How the foot lands is not told yet: {wanting}.")
        else:
            found |= {
                "landing_speed_m_s": landing.speed_m_s,
                "landing_speed_m_s_error": landing.speed_error_m_s,
                "landing_descent_deg": landing.descent_deg,
                "landing_descent_deg_error": landing.descent_error_deg,
            }
        if "stride_s" in found:
            from hoofcalc.case.film import rate_doubt

            doubt = rate_doubt(found["stride_s"] * marked.true_fps, marked.true_fps)
            remarks += [doubt] if doubt else []
        return found, remarks

    def _wanting(self) -> str:
        """What a track still needs, in words."""
        if any(name not in self._marked.scale for name in SCALE_POINTS):
            return "the known length and the ground line are still to be placed"
        if len(self._marked.frames) < _FEWEST_FRAMES:
            return f"the mark is needed in at least {_FEWEST_FRAMES} frames in a row"
        gaps = np.flatnonzero(np.diff(self._marked.frames) > 1)
        if gaps.size:
            before, after = self._marked.frames[gaps[0] : gaps[0] + 2]
            return (
                f"the mark is missing between frames {before:.0f} and {after:.0f}. Show it in "
                f"frame {before + 1:.0f} or later and follow it on, or take away the marks before "
                "or after the gap"
            )
        return ""

    def in_words(self) -> list[str]:
        """The same as lines to read."""
        found, remarks = self.numbers()
        lines = []
        for name, (words, factor, unit, digits) in _WORDS.items():
            if name in found:
                reach = ERRORS_FOR_95 * found[f"{name}_error"] * factor
                value = found[name] * factor
                said = f"{words} {value:.{digits}f} ± {reach:.{digits}f} {unit}"
                lines.append(f"{said}.")
        if lines:
            lines.append("Behind each ± stands how far the truth may lie away, 19 times in 20.")
        return [*lines, *remarks]

    def save(self) -> list[str]:
        """Write the marks to the visit; what stood there is kept. What was written.

        A film without marks does not take the place of one with marks.
        """
        if self.marked is None:
            return []
        saved = read_film(self.folder, self.visit)
        other = saved is not None and saved.file != self.marked.file
        if saved is not None and other and _bare(self.marked) and not _bare(saved):
            self.marked = saved
            keep_draft(self.folder, self.visit, _NAME, None)
            return []
        written = save_film(self.folder, self.visit, self.marked)
        self.from_draft = False
        if self.came_down is None:
            keep_draft(self.folder, self.visit, _NAME, None)
        return written

    @property
    def _marked(self) -> MarkedFilm:
        if self.marked is None:
            raise CaseError("no film is chosen")
        return self.marked

    def _rows(self) -> dict[int, tuple[float, float, str, float]]:
        marked = self._marked
        return {
            int(frame): (float(right), float(down), by, float(sure))
            for frame, (right, down), by, sure in zip(
                marked.frames, marked.places_px, marked.by, marked.confidence, strict=True
            )
        }

    def _change(self, marked: MarkedFilm) -> None:
        self.marked = marked
        content = {name: getattr(marked, name) for name in _PLAIN}
        content |= {name: np.asarray(getattr(marked, name)).tolist() for name in _MARK}
        content |= {"scale": dict(marked.scale), "came_down": self.came_down}
        keep_draft(self.folder, self.visit, _NAME, content)


_MARK = ("frames", "places_px", "by", "confidence")
_PLAIN = (*(each.name for each in own_fields(MarkedFilm)), "stances")
#: By name: words, factor to the unit shown, the unit, digits.
_WORDS = {
    "stance_s": ("On the ground for", 1000.0, "thousandths of a second", 0),
    "stride_s": ("One stride lasts", 1000.0, "thousandths of a second", 0),
    "duty_factor": ("Part of the stride on the ground:", 100.0, "%", 0),
    "landing_speed_m_s": ("The mark lands at", 1.0, "metres a second", 2),
    "landing_descent_deg": (
        "Direction of landing (0 straight down, positive when it still goes forward):",
        1.0,
        "degrees",
        0,
    ),
}


def _size(marked: MarkedFilm) -> tuple[int, int]:
    return marked.width_px, marked.height_px


def _bare(marked: MarkedFilm) -> bool:
    """Whether nothing is marked in a film."""
    return not (len(marked.frames) or marked.stances or marked.scale)


def _columns(rows: Mapping[int, tuple[float, float, str, float]]) -> dict[str, Any]:
    """The mark by the names of `MarkedFilm`, in the order of the film."""
    order = sorted(rows)
    return {
        "frames": np.array(order, dtype=np.float64),
        "places_px": np.array([rows[frame][:2] for frame in order], dtype=float).reshape(-1, 2),
        "by": tuple(rows[frame][2] for frame in order),
        "confidence": np.array([rows[frame][3] for frame in order], dtype=np.float64),
    }


def _from_draft(draft: Mapping[str, Any]) -> tuple[MarkedFilm, float | None]:
    """The film in a draft, and the contact whose leaving was still to be marked."""
    plain: dict[str, Any] = {name: draft[name] for name in _PLAIN}
    plain["stances"] = tuple((float(down), float(up)) for down, up in plain["stances"])
    scale = {str(name): (float(x), float(y)) for name, (x, y) in draft["scale"].items()}
    marks = zip(*(draft[name] for name in _MARK), strict=True)
    rows = {
        int(frame): (float(right), float(down), str(by), float(sure))
        for frame, (right, down), by, sure in marks
    }
    came_down = draft.get("came_down")
    return (
        MarkedFilm(**plain, **_columns(rows), scale=scale),
        float(came_down) if isinstance(came_down, int | float) else None,
    )
