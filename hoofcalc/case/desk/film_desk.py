"""The part of the desk on which a film is marked: frames, mark, scale, contacts, what it tells."""

from __future__ import annotations

import threading
from collections.abc import Callable
from pathlib import Path
from typing import Any

import anywidget
import ipywidgets as widgets
import traitlets

from hoofcalc._counted import counted
from hoofcalc.case.desk import widgets as screen
from hoofcalc.case.desk.film_session import FilmSession, StoppedError
from hoofcalc.case.desk.placing import Placing
from hoofcalc.case.desk.session import CaseSession
from hoofcalc.case.desk.steps import MARK, steps
from hoofcalc.case.markup import piece
from hoofcalc.case.storage import CaseError

_TASKS = {"the mark on the hoof": "mark", "the known length and the ground line": "scale"}
_FAR = 10
_DUTY = "Without a film: part of a stride that the foot is on the ground (at trot 0.35 to 0.5)"


class FrameSlider(anywidget.AnyWidget):  # type: ignore[misc]
    """A slider over frames, moved by mouse, finger or arrow keys.

    Attributes
    ----------
    value, last : int
        The frame that is wished for, and the last there is.
    shown : int
        The frame that stands on the screen; the next wish is sent after that.
    """

    _esm = Path(__file__).with_name("frame_slider.js")
    value = traitlets.Int(0).tag(sync=True)
    last = traitlets.Int(0).tag(sync=True)
    shown = traitlets.Int(-1).tag(sync=True)


class FilmDesk(screen.Part):
    """The film of one visit.

    Parameters
    ----------
    hand
        The case.
    visit
        Name of the visit.
    changed
        Called when more or less is done than before.
    """

    def __init__(self, hand: CaseSession, visit: str, changed: Any = lambda: None) -> None:
        self.hand, self.visit, self._changed = hand, visit, changed
        self.work: Any = None  # a FilmSession, where the files can be read
        self._stop = threading.Event()
        self.said = screen.Said()
        self.bar = screen.progress_bar("Opening the film")
        self.file = screen.choose("Film", [])
        self.duty = screen.NumberField(_DUTY, 0.05, 0.95)
        self.duty.show(hand.case.duty_factor)
        parts = (self._of_known(), self._of_frames(), self._of_following(), self._of_contacts())
        self.film_part = widgets.VBox([piece for part in parts for piece in part])
        super().__init__([self.file, self.bar, self.said, self.film_part, self.duty])
        self.hear(self.file, self._open, self.said)
        self.hear(self.duty, self._set_duty, self.said)
        self.refresh()

    def _of_known(self) -> list[Any]:
        """What a person says of the film."""
        self.hint = widgets.HTML()
        self.true_fps = screen.NumberField(
            "Frames that the camera really took in a second", 10, 5000
        )
        self.travel = screen.choose(
            "In the picture the horse goes to the", ["right", "left"], "right"
        )
        self.length = screen.NumberField("The known length, in mm", 10, 20_000)
        for field in (self.true_fps, self.travel, self.length):
            self.hear(field, self._set_known, self.said)
        return [self.hint, self.true_fps, self.travel, self.length]

    def _of_frames(self) -> list[Any]:
        """Frames, and what is placed in one."""
        self.slider = FrameSlider()
        self.frame_bar = screen.progress_bar("Looking for the frame")
        self.task = screen.choose("Now place", list(_TASKS.items()), "mark")
        self.placing = Placing()
        self.hear(self.slider, self._show_frame, self.said)
        self.hear(self.task, self._lay, self.said)
        self.hear(self.placing, self._take, self.said, "points")
        ways = (f"Back {_FAR}", -_FAR), ("Back one", -1), ("On one", 1), (f"On {_FAR}", _FAR)
        by = screen.row(
            *(screen.button(words, self._stepper(many), self.said) for words, many in ways)
        )
        return [screen.heading("Frames"), self.slider, by, self.frame_bar, self.task, self.placing]

    def _of_following(self) -> list[Any]:
        """The mark followed through the film."""
        said = self.follow_said = screen.Said()
        self.follow_bar = screen.progress_bar("Following")
        self.since = screen.labelled(widgets.BoundedIntText, "Follow back to frame", min=0, max=0)
        self.until = screen.labelled(widgets.BoundedIntText, "Follow as far as frame", min=0, max=0)
        self.follow = screen.button("Follow the mark from this frame", self._follow, said)
        self.stop = screen.button("Stop following", self._halt, said)
        screen.shown(self.stop, False)
        acts = [screen.button("Delete what was followed", self._forget, said)]
        acts += [
            screen.button(f"Delete the marks {side} this frame", self._side(side), said)
            for side in ("before", "after")
        ]
        buttons = screen.row(self.follow, self.stop, *acts)
        head = screen.heading("Follow the mark")
        return [head, self.since, self.until, buttons, self.follow_bar, said]

    def _of_contacts(self) -> list[Any]:
        """Contacts, and what the film tells."""
        said, save_said = screen.Said(), screen.Said()
        self.results = widgets.HTML()
        acts = (
            ("The foot comes down in this frame", lambda: self.work.contact(self._frame)),
            ("It leaves the ground in this frame", lambda: self.work.leaving(self._frame)),
            ("Delete the last one", lambda: self.work.forget_contact()),
        )
        buttons = screen.row(
            *(screen.button(words, self._and_tell(act), said) for words, act in acts)
        )
        save = screen.row(screen.button("Save the film's marks", self._save, save_said))
        tells = screen.heading("What the film tells")
        return [screen.heading("Contacts"), buttons, said, tells, self.results, save, save_said]

    def leave(self) -> None:
        """Stop what runs, save, and let go of the film; the draft stays if it cannot be saved."""
        self._stop.set()
        if self.work is not None:
            try:
                self.work.save()
                self.work.close()
            except Exception as trouble:
                self.said.refuse(trouble)

    def refresh(self) -> None:
        """Look again which films there are."""
        screen.shown(self.film_part, False)
        names = self.hand.films(self.visit)
        try:
            self.work = FilmSession(self.hand.folder, self.visit)
        except Exception as trouble:
            self.work = None
            self.said.refuse(trouble)
            return
        with self.unheard():
            marked = self.work.marked
            self.file.options = names
            self.file.value = marked.file if marked and marked.file in names else (*names, None)[0]
        screen.shown(self.file, bool(names))
        if not names:
            self.said.say(_NO_FILM)
            return
        self._open()

    def _open(self) -> None:
        """Open the chosen film beside the screen."""
        work, file = self.work, self.file.value
        screen.shown(self.film_part, False)
        if work is None or file is None:
            return

        def done(remark: str) -> None:
            from hoofcalc.case.film import rate_hint

            film, marked = work.film, work.marked
            last = film.frames - 1
            with self.unheard():
                self.hint.value = screen.paragraph(rate_hint(film))
                self.true_fps.show(marked.true_fps)
                self.travel.value = marked.travel
                self.length.show(marked.length_mm)
                for field, end in ((self.since, 0), (self.until, last)):
                    field.max, field.value = last, end
                self.slider.last, self.slider.shown = last, -1
                self.slider.value = int((*marked.frames, 0)[0])
            left = "What was not saved last time is here. " if work.from_draft else ""
            size = f"{film.frames} frames, {film.width_px} by {film.height_px} pixels."
            self.said.say(f"{left}{size} {remark}".strip())
            screen.shown(self.film_part, True)
            self._show_frame()
            self._tell()

        screen.in_background(lambda _progress: work.open(file), done, self.said, self.bar)

    def _set_duty(self) -> str | None:
        if not self.hand.change_case(duty_factor=self.duty.number):
            return None
        self._changed()
        return "Saved; it counts where no film tells it."

    # ---- frames ------------------------------------------------------------------------------

    @property
    def _frame(self) -> int:
        """The frame on the screen."""
        if self.work is None or self.slider.shown < 0:
            raise CaseError("no frame is shown yet")
        return int(self.slider.shown)

    def _stepper(self, by: int) -> Any:
        def step() -> None:
            self.slider.value = min(max(self.slider.value + by, 0), self.slider.last)

        return step

    def _show_frame(self) -> None:
        """The frame that is wished for, with what is placed on it."""
        work = self.work
        if work is None or work.film is None:
            return
        frame = min(max(self.slider.value, 0), self.slider.last)

        def done(jpeg: bytes) -> None:
            if frame != self.slider.value:
                return  # another one was wished for meanwhile
            self.slider.shown = frame
            self._lay(jpeg)

        def failed(trouble: BaseException) -> None:
            self.slider.shown = frame
            self.said.refuse(trouble)

        screen.in_background(
            lambda _progress: work.picture(frame), done, self.said, self.frame_bar, failed=failed
        )

    def _points(self, of_task: bool) -> dict[str, tuple[float, float]]:
        """Of what is placed on this frame, what belongs to the task, or the rest."""
        mark = (self.task.value == "mark") == of_task
        placed = self.work.points(self._frame)
        return {name: at for name, at in placed.items() if (name == "mark") == mark}

    def _lay(self, jpeg: bytes | None = None) -> None:
        """Ask for the mark, or for scale and ground, on this frame or on a new one."""
        points = self._points(of_task=True)
        case, task = self.hand.folder.resolve(), self.task.value
        key = f"{case}|{self.visit}|{self.file.value}|{self._frame}|{task}"
        ends = tuple(step for step in steps("side", "length") if step.group in ("scale", "level"))
        with self.unheard():
            if jpeg is not None:
                size = self.work.film.width_px, self.work.film.height_px
                self.placing.show_picture(jpeg, *size, points, key=key)
            else:
                self.placing.key = key
                self.placing.points = {name: list(at) for name, at in points.items()}
            self.placing.set_steps((MARK,) if task == "mark" else ends)

    def _take(self) -> str | None:
        """Keep what was placed on this frame."""
        frame, placed = self._frame, self.placing.points
        self.work.place(frame, {**self._points(of_task=False), **placed})
        self.placing.keep()
        self._tell()
        by_hand = f"The mark is placed by hand on frame {frame}, and kept."
        return by_hand if "mark" in placed else None

    def _set_known(self) -> None:
        known = self.work.marked
        self.work.known(
            true_fps=self.true_fps.number or known.true_fps,
            travel=self.travel.value,
            length_mm=self.length.number or known.length_mm,
        )
        self._tell()

    # ---- following ---------------------------------------------------------------------------

    def _follow(self) -> str | None:
        if self.follow.disabled:
            return "It is being followed already."
        work, frame, first, last = self.work, self._frame, self.since.value, self.until.value
        self._stop.clear()
        self._show_following(True)

        def done(words: str) -> None:
            self._show_following(False)
            self._save()
            self.follow_said.say(f"{words} Saved.")
            if work.lost_at is not None:
                self.slider.value = min(work.lost_at, self.slider.last)
            self._show_frame()
            self._tell()

        def failed(trouble: BaseException) -> None:
            self._show_following(False)
            if isinstance(trouble, StoppedError):
                self.follow_said.say("Stopped. Nothing was taken over.")
            else:
                self.follow_said.refuse(trouble)

        self.follow_said.say("The mark is being followed ...")
        screen.in_background(
            lambda progress: work.follow(
                frame, last, first=first, progress=progress, stop=self._stop
            ),
            done,
            self.follow_said,
            self.follow_bar,
            failed=failed,
        )
        return None

    def _show_following(self, under_way: bool) -> None:
        screen.shown(self.stop, under_way)
        self.follow.disabled = self.file.disabled = under_way

    def _halt(self) -> str:
        self._stop.set()
        return "Being stopped ..."

    def _forget(self) -> str:
        self.work.forget_followed()
        self._show_frame()
        self._tell()
        return "What was followed is taken away; what was placed by hand stays."

    def _side(self, side: str) -> Callable[[], str]:
        return self._and_tell(lambda: self.work.forget_side(self._frame, side))

    def _and_tell(self, act: Callable[[], str]) -> Callable[[], str]:
        """Do something with the marks, then say anew what the film tells."""

        def done() -> str:
            said = act()
            self._tell()
            return said

        return done

    def _tell(self) -> None:
        """What the film tells, in words."""
        marked = self.work.marked
        stances = "; ".join(f"{down:g} to {up:g}" for down, up in marked.stances)
        lines = [f"The mark is placed in {counted(len(marked.frames), 'frame')}."]
        lines += [f"Stances marked, by frame: {stances}."] if stances else []
        self.results.value = piece("listing", [*lines, *self.work.in_words()])
        self._changed()

    def _save(self) -> str:
        written = self.work.save()
        self._changed()
        return screen.saved(written)


_NO_FILM = (
    "There is no film of this visit yet: take one in under Visits and files. Without a film "
    "everything else can be done; to see where the push goes, type below for how much of a stride "
    "the foot is on the ground."
)
