"""A walk through a page of the site, as a learner with a lot of time would take it."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

from hoofcalc._where import course_folder
from hoofcalc.classroom.grading.marking import load_assignment, mark
from hoofcalc.classroom.grading.submissions import parse
from hoofcalc.classroom.model.bank import fill
from hoofcalc.classroom.model.questions import Choice, Exercise, Number, Written, load_exercise
from hoofcalc.classroom.model.variants import variant_of
from hoofcalc.classroom.model.working import HINTS
from hoofcalc.classroom.sandbox.runner import Limits
from hoofcalc.figures import EVERY_FIGURE, EVERY_PREDICTION, Figure

TELEPHONE, LAPTOP = (390, 844), (1280, 800)
LEARNER = "bf-27"
WORDS = "The push leans.\n\nIt goes **across**: `sin` of the angle, 3 < 4 & more."
PATIENCE_MS = 180_000
COURSE = Path(__file__).parents[2] / "exercises"
OPEN_ALL = "all => all.forEach((one) => (one.open = true))"
PIXELS = """() => {
  const pen = new OffscreenCanvas(300, 150).getContext('2d', { willReadFrequently: true });
  const sums = [...document.querySelectorAll('.panel canvas + canvas')].map((one) => {
    pen.clearRect(0, 0, 300, 150);
    if (one.width) pen.drawImage(one, 0, 0, 300, 150);
    return pen.getImageData(0, 0, 300, 150).data.reduce((sum, x) => (sum * 31 + x) % 1000000007, 0);
  });
  return sums.join();
}"""

WITHOUT_WAS = """one => {
  const copy = one.cloneNode(true);
  copy.querySelectorAll('.was').forEach((was) => was.remove());
  return copy.textContent;
}"""


def awake(page: Any) -> None:
    """Wait until Python on the page is awake."""
    page.locator("[data-python=awake]").first.wait_for(state="attached", timeout=PATIENCE_MS)


def lesson(page: Any, address: str) -> dict[str, int]:
    """Move everything in a lesson and compare it with the library; how much there was."""
    page.goto(address)
    said = page.locator(".hoofcalc-figure .sentence").first
    said.wait_for()
    assert said.inner_text(), "the picture stands before Python wakes"
    awake(page)
    page.locator("details").evaluate_all(OPEN_ALL)
    figure = EVERY_FIGURE[page.locator("[data-figure]").first.get_attribute("data-figure")]
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth + 1")
    return {
        "settings": _sliders(page, figure) + _presets(page, figure),
        "handles": _handles(page, figure),
        "questions": _questions(page),
        "drawn": _drawn(page),
    }


def _says(page: Any, words: str) -> None:
    """Wait for a sentence; what its finding was before the move stands in brackets in it."""
    said = page.locator(".hoofcalc-figure .sentence").first
    now = ""
    for _ in range(600):
        now = said.evaluate(WITHOUT_WAS)
        if now == words:
            return
        page.wait_for_timeout(50)
    raise AssertionError(f"the page says {now!r}, the library {words!r}")


def _start_again(page: Any, figure: Figure) -> None:
    page.get_by_role("button", name="Start again").click()
    _says(page, figure.frame({}).sentence)


def _sliders(page: Any, figure: Figure) -> int:
    """Each slider to both its ends, by key; Undo brings the setting before back."""
    for slider in figure.sliders:
        knob = page.locator(f"input[type=range][data-name={slider.name}]")
        for key, end in (("Home", slider.minimum), ("End", slider.maximum)):
            knob.press(key)
            there = figure.frame({**figure.start, slider.name: end})
            _says(page, there.sentence or there.refusal)
        page.get_by_role("button", name="Undo").click()
        _start_again(page, figure)
    return 2 * len(figure.sliders)


def _presets(page: Any, figure: Figure) -> int:
    values = dict(figure.start)
    for at, preset in enumerate(figure.presets):
        page.locator(".presets button").nth(at).click()
        values |= preset.values  # what a preset does not name stays as it was
        there = figure.frame(values)
        _says(page, there.sentence or there.refusal)
    if figure.presets:
        _start_again(page, figure)
    return len(figure.presets)


def _handles(page: Any, figure: Figure) -> int:
    """What can be taken hold of moves, by key and by drag."""
    moved = 0
    for handle in figure.handles:
        grip = page.locator(f"[data-handle={handle.name}]")
        if not grip.is_visible():
            continue  # belongs to another choice, or the telephone leaves it to a slider
        for key in ("ArrowLeft", "ArrowRight"):
            before = page.evaluate(PIXELS)
            grip.press(key)
            moved += _changed(page, before)
        grip.scroll_into_view_if_needed()
        box = grip.bounding_box()
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        before = page.evaluate(PIXELS)
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x - 14, y - 8, steps=4)
        page.mouse.move(x + 10, y + 4, steps=4)
        page.mouse.up()
        moved += _changed(page, before)
        _start_again(page, figure)
    assert moved >= 2 * sum(
        page.locator(f"[data-handle={handle.name}]").is_visible() for handle in figure.handles
    ), "each moves, if not past its end"
    return moved


def _changed(page: Any, before: str) -> bool:
    for _ in range(40):
        if page.evaluate(PIXELS) != before:
            return True
        page.wait_for_timeout(50)
    return False


def _questions(page: Any) -> int:
    """Every question gets an answer and says something about it; it is still there afterwards."""
    cards = page.locator(".on-page.question .hoofcalc-card")
    asked = 0
    for at in range(cards.count()):
        card = cards.nth(at)
        if card.get_by_role("radio").count():
            card.get_by_role("radio").last.check()
        elif card.get_by_role("textbox").count():
            card.get_by_role("textbox").fill("12,5")
            card.get_by_role("button", name="Check").click()
        elif card.locator("select").count():
            for choose in card.locator("select").all():
                choose.select_option(index=1)
        else:
            assert len(card.inner_text()) > 20, "an answer card says something"
            continue
        assert all(len(reply) > 5 for reply in card.locator(".reply").all_inner_texts())
        asked += 1
    return asked


def _drawn(page: Any) -> int:
    """Each curve is drawn by keys, and judged by the library."""
    cards = page.locator(".hoofcalc-predict")
    for at in range(cards.count()):
        card = cards.nth(at)
        name = page.locator(".on-page.prediction script").nth(at).evaluate(
            "one => JSON.parse(one.textContent).name"
        )  # fmt: skip
        card.locator(".plane").focus()
        for _ in EVERY_PREDICTION[name].columns:
            page.keyboard.press("ArrowRight")
        card.get_by_role("button", name="Show what is true").click()
        reply = card.locator(".reply")
        reply.get_by_text(re.compile(".{60}")).first.wait_for()
    return cards.count()


# ---------------------------------------------------------------- exercises


def exercise_of(name: str) -> tuple[Exercise, dict[str, float]]:
    """An exercise's key, and the learner's own numbers."""
    exercise = load_exercise(COURSE / "keys" / f"{name}.py")
    hints = json.loads((course_folder("exercises") / name / HINTS).read_text("utf-8"))
    return exercise, hints["variants"][variant_of(LEARNER, name, exercise.variants)]


def released(name: str) -> dict[str, Any]:
    """The notebook that is handed out."""
    path = course_folder("exercises") / name / f"{name}.ipynb"
    return json.loads(path.read_text("utf-8"))  # type: ignore[no-any-return]


def card(page: Any, question: str) -> Any:
    """One card."""
    return page.locator(f'[data-question="{question}"]')


def check(page: Any, question: str) -> str:
    """Press Check on a card; the heading it says."""
    here = card(page, question)
    here.locator(".check").click()
    here.locator(".stop").wait_for(state="hidden", timeout=PATIENCE_MS)
    return str(here.locator(".state .h").inner_text())


def begin(page: Any, address: str) -> None:
    """Open an exercise and give an id."""
    page.goto(address)
    page.locator("#my-id").fill(LEARNER)
    awake(page)
    page.get_by_text(f"Your own numbers, {LEARNER}").wait_for()
    waiting = page.locator("[data-number-of]").filter(has_text="…")
    waiting.first.wait_for(state="detached", timeout=PATIENCE_MS)


def fill_in(page: Any, name: str) -> dict[str, str]:
    """Answer every card rightly and check it; what a notebook's cells would say."""
    exercise, own = exercise_of(name)
    answers = {}
    for question in exercise.questions:
        here = card(page, question.name)
        answers[question.name] = question.reference
        if isinstance(question, Written):
            here.locator("textarea").fill(WORDS)
            answers[question.name] = WORDS
            continue
        if isinstance(question, Choice):
            letters = (question.truth(own), question.right_reason)
            for group, letter in enumerate(letters):
                here.locator(".opts").nth(group).locator(f'[data-letter="{letter}"]').click()
        elif isinstance(question, Number) and here.locator("input").count():
            # with a decimal comma, as it is written by hand, and the unit behind it
            unit = here.locator(".unit").inner_text()
            typed = f"{question.truth(own):.4f} {unit}".replace(".", ",").strip()
            here.locator("input").fill(typed)
            answers[question.name] = re.sub(
                r"= \.\.\.", f"= {question.truth(own):.4f}", question.stub
            )
        else:
            here.locator("textarea").fill(question.reference)
        heading = check(page, question.name)
        assert heading == "Right", f"{question.name}: {here.locator('.state').inner_text()}"
    return answers


def hand_in(page: Any, path: Path) -> bytes:
    """Press Hand in, and keep the file that comes."""
    with page.expect_download() as coming:
        page.locator(".hand-in").click()
    assert coming.value.suggested_filename == f"{LEARNER}.ipynb"
    coming.value.save_as(path)
    return path.read_bytes()


def verdicts(name: str, content: bytes) -> dict[str, tuple[str, str, float]]:
    """What each answer of a hand-in is judged: state, message, points."""
    done = mark(load_assignment(COURSE, name), LEARNER, parse(content), Limits())
    return {question: (v.state, v.message, v.points) for question, v in done.verdicts.items()}


def to_the_mark(page: Any, name: str, folder: Path) -> None:
    """From the first card to the mark, which is that of the same answers in a notebook."""
    exercise, _ = exercise_of(name)
    as_in_a_notebook = fill_in(page, name)
    content = hand_in(page, folder / "handed-in.ipynb")
    original = released(name)
    expected = json.dumps(fill(exercise, original, LEARNER, as_in_a_notebook)).encode()
    found = verdicts(name, content)
    assert found == verdicts(name, expected)
    decided = [q for q in exercise.questions if not isinstance(q, Written)]
    assert sum(found[q.name][2] for q in decided) == sum(q.points for q in decided)

    # nothing else in the notebook was touched
    locked = {
        cell["metadata"]["nbgrader"]["grade_id"]: "".join(cell["source"])
        for cell in original["cells"]
        if not cell["metadata"]["nbgrader"]["solution"]
    }
    handed = {
        cell["metadata"]["nbgrader"]["grade_id"]: "".join(cell["source"])
        for cell in json.loads(content)["cells"]
    }
    assert {grade_id: handed[grade_id] for grade_id in locked} == locked

    # on another device the file brings everything back
    page.evaluate("localStorage.clear()")
    page.reload()
    page.set_input_files(".bring-back", folder / "handed-in.ipynb")
    page.get_by_text("are back").wait_for()
    assert page.locator("#my-id").input_value() == LEARNER
    again = hand_in(page, folder / "again.ipynb")
    assert json.loads(again)["cells"] == json.loads(content)["cells"]


# ---------------------------------------------------------------- the look of a page


def settled(page: Any) -> None:
    """Wait until what a change of size moves has moved."""
    page.evaluate("new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")


def misfits(page: Any, address: str) -> list[str]:
    """At which width a page runs over its edge: telephones, a laptop, letters of twice the size."""
    page.goto(address)
    if page.locator(".on-page.figure").count():
        page.locator(".hoofcalc-figure .sentence").first.wait_for()
    page.locator("details").evaluate_all(OPEN_ALL)
    found = []
    for width, letters in ((320, ""), (1280, ""), (390, ""), (390, "200%")):
        page.set_viewport_size({"width": width, "height": 844})
        page.evaluate("(size) => (document.documentElement.style.fontSize = size)", letters)
        settled(page)
        wide = page.evaluate("document.documentElement.scrollWidth")
        if wide > width:
            found.append(f"{address}: {wide} px on {width} {letters}")
    page.evaluate("document.documentElement.style.fontSize = ''")
    return found
