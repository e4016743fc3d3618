"""The part of the desk on which a film is marked: frames, mark, scale, contacts, what it tells."""

from __future__ import annotations

import threading
from pathlib import Path
from typing import Any

import anywidget
import ipywidgets as widgets
import traitlets

from hoofcalc.case.desk.film_session import FilmSession, StoppedError
from hoofcalc.case.desk.placing import Placing
from hoofcalc.case.desk.session import CaseSession
from hoofcalc.case.desk.steps import Step, steps
from hoofcalc.case.desk.widgets import (
    NumberField,
    Said,
    button,
    choose,
    heading,
    in_background,
    labelled,
    progress_bar,
    row,
    saved,
    shown,
    text,
)
from hoofcalc.case.markup import piece

__all__ = ["FilmDesk", "FrameSlider"]

_MARK = Step(
    "mark",
    "The mark on the hoof",
    "In the middle of the mark, on a frame in which it is sharp, such as one in which the foot "
    "stands.",
    "",
    group="foot",
)
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


class FilmDesk(widgets.VBox):  # type: ignore[misc]
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
        self.work: FilmSession | None = None
        self._setting = False
        self._stop = threading.Event()
        self._following = False
        self.said = Said()
        self.bar = progress_bar("Opening the film")
        self.file = choose("Film", [])
        self.duty = NumberField(_DUTY, 0.05, 0.95)
        self.duty.show(hand.case.duty_factor)
        parts = (self._of_known(), self._of_frames(), self._of_following(), self._of_contacts())
        self.film_part = widgets.VBox([piece for part in parts for piece in part])
        super().__init__([self.file, self.bar, self.said, self.film_part, self.duty])
        self.file.observe(lambda _: self._open(), "value")
        self.duty.observe(lambda _: self._set_duty(), "value")
        self.refresh()

    def _of_known(self) -> list[Any]:
        """What a person says of the film."""
        self.hint = text("")
        self.true_fps = NumberField("Frames that the camera really took in a second", 10, 5000)
        self.travel = choose("In the picture the horse goes to the", ["right", "left"], "right")
        self.length = NumberField("The known length, in mm", 10, 20_000)
        for field in (self.true_fps, self.travel, self.length):
            field.observe(lambda _: self._set_known(), "value")
        return [self.hint, self.true_fps, self.travel, self.length]

    def _of_frames(self) -> list[Any]:
        """Frames, and what is placed in one."""
        self.slider = FrameSlider()
        self.frame_bar = progress_bar("Looking for the frame")
        self.task = choose("Now place", list(_TASKS.items()), "mark")
        self.placing = Placing()
        self.slider.observe(lambda _: self._show_frame(), "value")
        self.task.observe(lambda _: self._lay(), "value")
        self.placing.observe(lambda _: self._take(), "points")
        ways = (f"Back {_FAR}", -_FAR), ("Back one", -1), ("On one", 1), (f"On {_FAR}", _FAR)
        by = row(*(button(words, self._stepper(many), self.said) for words, many in ways))
        return [heading("Frames"), self.slider, by, self.frame_bar, self.task, self.placing]

    def _of_following(self) -> list[Any]:
        """The mark followed through the film."""
        said = self.follow_said = Said()
        self.follow_bar = progress_bar("Following")
        self.since = labelled(widgets.BoundedIntText, "Follow back to frame", min=0, max=0)
        self.until = labelled(widgets.BoundedIntText, "Follow as far as frame", min=0, max=0)
        self.follow = button("Follow the mark from this frame", self._follow, said)
        self.stop = button("Stop following", self._halt, said)
        shown(self.stop, False)
        acts = [button("Delete what was followed", self._forget, said)]
        acts += [
            button(f"Delete the marks {side} this frame", self._side(side), said)
            for side in ("before", "after")
        ]
        buttons = row(self.follow, self.stop, *acts)
        head = heading("Follow the mark")
        return [head, self.since, self.until, buttons, self.follow_bar, said]

    def _of_contacts(self) -> list[Any]:
        """Contacts, and what the film tells."""
        said, self.save_said = Said(), Said()
        self.contact_said, self.results = said, widgets.HTML()
        buttons = row(
            button("The foot comes down in this frame", self._down, said),
            button("It leaves the ground in this frame", self._up, said),
            button("Delete the last one", self._undo, said),
        )
        save = row(button("Save the film's marks", self._save, self.save_said))
        tells = heading("What the film tells")
        return [heading("Contacts"), buttons, said, tells, self.results, save, self.save_said]

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
        shown(self.film_part, False)
        self._setting = True
        try:
            self.work = FilmSession(self.hand.folder, self.visit)
            names = self.hand.films(self.visit)
            marked = self.work.marked
            self.file.options = names
            if names:
                self.file.value = names[0]
            if marked is not None and marked.file in names:
                self.file.value = marked.file
        except Exception as trouble:
            self.work = None
            self.said.refuse(trouble)
            return
        finally:
            self._setting = False
        shown(self.file, bool(names))
        if not names:
            self.said.say(
                "There is no film of this visit yet: take one in under Visits and files. Without a "
                "film everything else can be done; to see where the push goes, type below for how "
                "much of a stride the foot is on the ground."
            )
        self._open()

    def _open(self) -> None:
        """Open the chosen film beside the screen."""
        work, file = self.work, self.file.value
        if self._setting or work is None:
            return
        shown(self.film_part, False)
        if file is None:
            return

        def done(remark: str) -> None:
            from hoofcalc.case.film import rate_hint

            assert work.marked is not None
            last = work.film.frames - 1
            self._setting = True
            self.hint.value = text(rate_hint(work.film)).value
            self.true_fps.show(work.marked.true_fps)
            self.travel.value = work.marked.travel
            self.length.show(work.marked.length_mm)
            for field, end in ((self.since, 0), (self.until, last)):
                field.max, field.value = last, end
            self.slider.last, self.slider.shown = last, -1
            marked = work.marked.frames
            self.slider.value = int(marked[0]) if len(marked) else 0
            self._setting = False
            left = "What was not saved last time is here. " if work.from_draft else ""
            size = (
                f"{work.film.frames} frames, {work.film.width_px} by {work.film.height_px} pixels."
            )
            self.said.say(f"{left}{size} {remark}".strip())
            shown(self.film_part, True)
            self._show_frame()
            self._tell()

        in_background(lambda _progress: work.open(file), done, self.said, self.bar)

    def _set_duty(self) -> None:
        try:
            if self.hand.change_case(duty_factor=self.duty.number):
                self.said.say("Saved; it counts where no film tells it.")
                self._changed()
        except Exception as trouble:
            self.said.refuse(trouble)

    # ---- frames ------------------------------------------------------------------------------

    def _stepper(self, by: int) -> Any:
        def step() -> None:
            self.slider.value = min(max(self.slider.value + by, 0), self.slider.last)

        return step

    def _show_frame(self) -> None:
        """The frame that is wished for, with what is placed on it."""
        work = self.work
        if self._setting or work is None or work.film is None:
            return
        frame = min(max(self.slider.value, 0), self.slider.last)

        def done(jpeg: bytes) -> None:
            if frame != self.slider.value:
                return  # another one was wished for meanwhile
            film = work.film
            self._setting = True
            try:
                self.placing.show_picture(
                    jpeg,
                    film.width_px,
                    film.height_px,
                    self._points(frame),
                    key=self._key(frame),
                )
            finally:
                self._setting = False
            self.slider.shown = frame
            self._lay(points=False)

        def failed(trouble: BaseException) -> None:
            self.slider.shown = frame
            self.said.refuse(trouble)

        in_background(
            lambda _progress: work.picture(frame), done, self.said, self.frame_bar, failed=failed
        )

    def _key(self, frame: int) -> str:
        folder = self.hand.folder.resolve()
        return f"{folder}|{self.visit}|{self.file.value}|{frame}|{self.task.value}"

    def _points(self, frame: int) -> dict[str, tuple[float, float]]:
        """Of what is placed on a frame, what belongs to the task."""
        assert self.work is not None
        mark = self.task.value == "mark"
        return {
            name: at for name, at in self.work.points(frame).items() if (name == "mark") == mark
        }

    def _lay(self, points: bool = True) -> None:
        """Ask for the mark, or for scale and ground."""
        work = self.work
        if self._setting or work is None or work.film is None:
            return
        frame = self.slider.shown
        self._setting = True
        if points:
            self.placing.key = self._key(frame)
            self.placing.points = {name: list(at) for name, at in self._points(frame).items()}
        ends = tuple(step for step in steps("side", "length") if step.group in ("scale", "level"))
        self.placing.set_steps((_MARK,) if self.task.value == "mark" else ends)
        self._setting = False

    def _take(self) -> None:
        """Keep what was placed on this frame."""
        work = self.work
        if self._setting or work is None or work.film is None or self.slider.shown < 0:
            return
        frame = self.slider.shown
        mark = self.task.value == "mark"
        other = {name: at for name, at in work.points(frame).items() if (name == "mark") != mark}
        try:
            work.place(frame, {**other, **self.placing.points})
            self.placing.keep()
            if mark and "mark" in self.placing.points:
                self.said.say(f"The mark is placed by hand on frame {frame}, and kept.")
            self._tell()
        except Exception as trouble:
            self.said.refuse(trouble)

    def _set_known(self) -> None:
        if self._setting or self.work is None or self.work.marked is None:
            return
        try:
            known = self.work.marked
            self.work.known(
                true_fps=self.true_fps.number or known.true_fps,
                travel=self.travel.value,
                length_mm=self.length.number or known.length_mm,
            )
            self._tell()
        except Exception as trouble:
            self.said.refuse(trouble)

    # ---- following ---------------------------------------------------------------------------

    def _follow(self) -> str | None:
        work = self.work
        if work is None or work.film is None:
            return "No film is chosen."
        if self._following:
            return "It is being followed already."
        frame, first, last = self.slider.shown, self.since.value, self.until.value
        self._following = True
        self._stop.clear()
        shown(self.stop, True)
        self.follow.disabled = self.file.disabled = True
        self.follow_said.say("The mark is being followed ...")

        def ended() -> None:
            self._following = False
            shown(self.stop, False)
            self.follow.disabled = self.file.disabled = False

        def done(words: str) -> None:
            ended()
            self._save()
            self.follow_said.say(f"{words} Saved.")
            if work.lost_at is not None:
                self.slider.value = min(work.lost_at, self.slider.last)
            self._show_frame()
            self._tell()

        def failed(trouble: BaseException) -> None:
            ended()
            if isinstance(trouble, StoppedError):
                self.follow_said.say("Stopped. Nothing was taken over.")
            else:
                self.follow_said.refuse(trouble)

        in_background(
            lambda progress: work.follow(
                frame, last, first=first, progress=progress, stop=self._stop
            ),
            done,
            self.follow_said,
            self.follow_bar,
            failed=failed,
        )
        return None

    def _halt(self) -> str:
        self._stop.set()
        return "Being stopped ..."

    def _forget(self) -> str:
        if self.work is None or self.work.marked is None:
            return "No film is chosen."
        self.work.forget_followed()
        self._show_frame()
        self._tell()
        return "What was followed is taken away; what was placed by hand stays."

    def _side(self, side: str) -> Any:
        def forget() -> str:
            if self.work is None or self.slider.shown < 0:
                return "No frame is shown yet."
            said = self.work.forget_side(self.slider.shown, side)
            self._tell()
            return said

        return forget

    # ---- contacts ----------------------------------------------------------------------------

    def _down(self) -> str:
        return self._said_of_contact(lambda work: work.contact(self.slider.shown))

    def _up(self) -> str:
        return self._said_of_contact(lambda work: work.leaving(self.slider.shown))

    def _undo(self) -> str:
        return self._said_of_contact(lambda work: work.forget_contact())

    def _said_of_contact(self, act: Any) -> str:
        if self.work is None or self.slider.shown < 0:
            return "No frame is shown yet."
        said: str = act(self.work)
        self._tell()
        return said

    def _tell(self) -> None:
        """What the film tells, in words."""
        if self.work is None or self.work.marked is None:
            self.results.value = ""
            return
        try:
            marked = self.work.marked
            stances = "; ".join(f"{down:g} to {up:g}" for down, up in marked.stances)
            many = len(marked.frames)
            lines = [f"The mark is placed in {many} frame{'' if many == 1 else 's'}."]
            lines += [f"Stances marked, by frame: {stances}."] if stances else []
            self.results.value = piece("listing", [*lines, *self.work.in_words()])
        except Exception as trouble:
            self.said.refuse(trouble)
        self._changed()

    def _save(self) -> str:
        if self.work is None:
            return "No film is chosen."
        written = self.work.save()
        self._changed()
        return saved(written)
