"""Delete everything that is kept about one learner in a results folder."""

from __future__ import annotations

import shutil
from pathlib import Path

from hoofcalc._files import write_whole
from hoofcalc.classroom.grading.course import CommandError
from hoofcalc.classroom.grading.results_folder import each_exercise, results_folder
from hoofcalc.classroom.grading.spreadsheets import as_table, read_table
from hoofcalc.classroom.model.clean_text import same_words

#: Tables in which a learner has lines, and the columns that name learners.
_COLUMNS = ("id", "id too")
#: What is made anew from the rest, and would show the learner until then.
_MADE_ANEW = ("overview.html", "overview.pdf", "overview.csv", "questions.csv", "to-send-back.zip")


def forget(
    folder: Path,
    learner: str,
    *,
    hand_ins: bool = False,
    course: Path | None = None,
    gradebook: str | None = None,
) -> int:
    """Delete a learner from gradebook, notes, tables, pages; 0 when done, 1 when hand-ins stay.

    The hand-ins themselves are the instructor's own files: they go only with `hand_ins`.
    """
    target = results_folder(folder)
    known = False
    alone: set[str] = set()
    for kept in each_exercise(target, course, gradebook):
        if learner in kept.learners():
            known = True
            others = [one for one in kept.learners() if one != learner]
            shared = {same_words(t) for one in others for t in kept.note(one).texts.values()}
            own = kept.note(learner).texts.values()
            alone |= {text for text in own if text.strip() and same_words(text) not in shared}
            kept.forget(learner)
    if not known:
        raise CommandError(f"Nothing is kept about '{learner}' in {target}.")
    shutil.rmtree(target / "course" / "autograded" / learner, ignore_errors=True)
    for kind in ("feedback", "solutions"):
        for page in (target / kind).glob("*"):
            (page / f"{learner}.html").unlink(missing_ok=True)
    (target / "to-send" / f"{learner}.zip").unlink(missing_ok=True)
    for name in _MADE_ANEW:
        (target / name).unlink(missing_ok=True)
    for path in sorted(target.glob("*.csv")):
        _without(path, learner, alone)
    print(f"{learner} is deleted from {target}.")
    left = _hand_ins(folder.expanduser().resolve(), learner)
    if hand_ins:
        for path in left:
            shutil.rmtree(path) if path.is_dir() else path.unlink()
            print(f"deleted: {path}")
        report = folder.expanduser().resolve() / "who-is-whom.csv"
        if report.is_file():
            _without(report, learner, set())
    elif left:
        print("Still there, and marked again next time (--hand-ins deletes them too):")
        print("\n".join(f"  {path}" for path in left))
    print("Copies you have made, sent or backed up are not reached. Call 'hoofcalc results' anew.")
    return 1 if left and not hand_ins else 0


def _hand_ins(folder: Path, learner: str) -> list[Path]:
    if folder.name.endswith("-results") or (folder / "course" / "notes").is_dir():
        folder = folder.with_name(folder.name.removesuffix("-results"))
    if not folder.is_dir():
        return []
    found = [folder / f"{learner}.ipynb", folder / "submitted" / learner]
    found += sorted(folder.glob(f"[0-9][0-9]-*/{_plain(learner)}.ipynb"))
    return [path for path in found if path.exists()]


def _plain(learner: str) -> str:
    """An id as a pattern of file names that means itself."""
    return "".join(f"[{sign}]" if sign in "[*?" else sign for sign in learner)


def _without(path: Path, learner: str, texts: set[str]) -> None:
    """A table without a learner's lines, and without lines that only hold the learner's texts."""
    rows, separator = read_table(path)
    if not rows:
        return
    places = [place for place, name in enumerate(rows[0]) if name.strip().lower() in _COLUMNS]
    written = [place for place, name in enumerate(rows[0]) if name.strip().lower() == "text"]
    blind = "code" in rows[0]

    def stays(row: list[str]) -> bool:
        named = any(row[p].strip().removeprefix("'") == learner for p in places if p < len(row))
        own = blind and any(row[p].strip().removeprefix("'") in texts for p in written)
        return not (named or own)

    kept = [rows[0], *(row for row in rows[1:] if stays(row))]
    if len(kept) < len(rows):
        write_whole(path, as_table(kept, separator))
