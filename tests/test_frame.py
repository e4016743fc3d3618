"""What holds for the repository as a whole."""

from __future__ import annotations

import ast
import graphlib
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent


def test_the_top_level_holds_the_frame_and_nothing_else():
    frame = {
        "README.md",
        "DEVELOPERS.md",
        "pyproject.toml",
        "lessons",
        "hoofcalc",
        "tests",
        "exercises",
        "datasets",
    }
    here = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    assert here - {"build", "dist"} - {p.name for p in ROOT.glob("*.egg-info")} == frame


def test_the_version_stands_once():
    from importlib.metadata import version

    import hoofcalc

    settings = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    assert "version" not in settings["project"]
    assert hoofcalc.__version__ == version("hoofcalc")


def test_importing_hoofcalc_loads_numpy_and_nothing_heavier():
    heavy = [
        "scipy",
        "matplotlib",
        "ipywidgets",
        "anywidget",
        "nbgrader",
        "nbformat",
        "IPython",
        "pandas",
    ]
    code = (
        "import sys, hoofcalc, hoofcalc.angles, hoofcalc.columns; "
        f"print([name for name in {heavy} if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


#: Arrows point downwards only: what each floor of the house may import.
FORMULAS = [
    "angles",
    "columns",
    "horn",
    "ground_force",
    "landing",
    "profile",
    "capsule",
    "_shell",
    "loadpath",
    "cycle",
    "forecast",
    "reading",
]


#: The rooms above the formulas, from the top down; a file at the top of a room stands above its
#: inner rooms unless it is named here. Each may use what stands below it, never what stands above.
ROOMS = [
    "cli",
    "case.commands",
    "case.desk",
    "case",
    "site",
    "notebook",
    "classroom",
    "classroom.workspace",
    "classroom.grading",
    "classroom.sandbox",
    "classroom.model",
    "pictures",
    "figures",
]
#: Who may use a room that stands beside the way: the case is a tenant, and no room leans on it.
ONLY_CLI_KNOWS = ("case", "site")


def every_module() -> dict[str, Path]:
    """Every module of the package by its dotted name."""
    return {
        ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__"): path
        for path in (ROOT / "hoofcalc").rglob("*.py")
    }


def room_of(module: str) -> str | None:
    """The innermost room that a module stands in; None for the formulas and what they share."""
    inside = module.removeprefix("hoofcalc.")
    rooms = [room for room in ROOMS if f"{inside}.".startswith(f"{room}.")]
    return max(rooms, key=len, default=None)


def imported_by(path: Path) -> set[str]:
    """The modules that a file imports, wherever in it."""
    imported = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            imported |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            imported |= {node.module, *(f"{node.module}.{alias.name}" for alias in node.names)}
    return imported


@pytest.mark.parametrize("name", FORMULAS)
def test_formulas_know_no_notebook_no_plot_and_no_file(name):
    modules = every_module()
    for module in imported_by(ROOT / "hoofcalc" / f"{name}.py"):
        top = module.split(".")
        assert top[0] in {"__future__", "numpy", "scipy", "hoofcalc"} | sys.stdlib_module_names
        if module in modules and module != "hoofcalc":
            below = {
                "_inputs",
                "_constants",
                "_counted",
                "_curves",
                "_elliptic",
                "_how_sure",
                *FORMULAS[: FORMULAS.index(name)],
            }
            assert top[1] in below, module


def test_no_room_imports_from_a_room_above_it():
    modules = every_module()
    for module, path in modules.items():
        here = room_of(module)
        for used in imported_by(path) & set(modules):
            there = room_of(used)
            if module == "hoofcalc" or there is None or there == here:
                continue
            assert here is not None, f"{module} uses {used}"
            assert ROOMS.index(there) > ROOMS.index(here), f"{module} uses {used}"
            if there.split(".")[0] in ONLY_CLI_KNOWS:
                assert here == "cli" or here.split(".")[0] == there.split(".")[0], module


def test_no_files_import_each_other_in_a_circle():
    modules = every_module()
    uses = {
        module: {
            used
            for used in imported_by(path) & set(modules)
            if used != module and modules[used].name != "__init__.py"
        }
        for module, path in modules.items()
    }
    try:
        tuple(graphlib.TopologicalSorter(uses).static_order())
    except graphlib.CycleError as circle:
        pytest.fail(f"a circle of imports: {circle.args[1]}")


BLOCKED = (
    "scipy",  # fifteen megabytes that no page in a browser should wait for
    "matplotlib",
    "mpl_toolkits",
    "PIL",
    "cv2",
    "av",
    "ipywidgets",
    "anywidget",
    "traitlets",
    "nbformat",
    "nbconvert",
    "IPython",
)
WITHOUT = f"""
import sys

class Blocker:
    def find_spec(self, name, path=None, target=None):
        if name.split(".")[0] in {BLOCKED!r}:
            raise ImportError(f"{{name}} is blocked")

sys.meta_path.insert(0, Blocker())
import importlib
from pathlib import Path
import hoofcalc

package = Path(hoofcalc.__file__).parent
for path in [*package.glob("[a-z]*.py"), *package.glob("figures/*.py"),
             *package.glob("classroom/model/*.py")]:
    if path.stem != "cli":
        name = ".".join(path.relative_to(package.parent).with_suffix("").parts)
        importlib.import_module(name.removesuffix(".__init__"))
"""


def test_every_figure_computes_a_frame_without_notebook_and_drawing_libraries():
    code = f"""{WITHOUT}
from hoofcalc.figures import EVERY_FIGURE
from hoofcalc.figures.wire import state
for figure in EVERY_FIGURE.values():
    frame = figure.frame({{}})
    assert frame.sentence and not frame.refusal, figure.name
    assert state(figure, frame)["floats"], figure.name
print(len(EVERY_FIGURE))
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.stdout.strip() == "11", done.stderr


def test_every_exercise_judges_an_answer_without_notebook_and_drawing_libraries():
    code = f"""{WITHOUT}
from hoofcalc.classroom.model.working import open_exercise
from hoofcalc._where import course_folder
for hints in sorted(course_folder("exercises").glob("*/hints.json")):
    folder = hints.parent
    task = open_exercise(folder.name, "a1")
    print(folder.name, task.check("1", -12345.0).state)
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert len(done.stdout.splitlines()) == 11, done.stderr
    assert "right" not in done.stdout


CASE_LIBRARIES = ("cv2", "av", "pillow_heif", "voila")
WITHOUT_CASE = f"""
import sys

class Blocker:
    def find_spec(self, name, path=None, target=None):
        if name.split(".")[0] in {CASE_LIBRARIES!r}:
            raise ModuleNotFoundError(f"No module named {{name!r}}", name=name)

sys.meta_path.insert(0, Blocker())
from hoofcalc.cli import main
"""


def without_the_case_libraries(*words: str) -> subprocess.CompletedProcess[str]:
    """A command as it runs where the extra [case] was left out."""
    code = f"{WITHOUT_CASE}\nsys.exit(main({list(words)!r}))"
    return subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)


def test_without_the_extra_a_case_says_in_one_sentence_what_to_install(tmp_path):
    for words in (["open"], ["example"]):
        done = without_the_case_libraries("case", str(tmp_path / words[0]), *words)
        assert done.returncode == 1
        assert done.stderr.count("\n") == 1, done.stderr
        assert "[case]" in done.stderr
        assert not (tmp_path / words[0]).exists(), "half a case was left behind"


def test_without_the_extra_every_other_command_works(tmp_path):
    """One does its work; those that take long are loaded, as far as their help needs them."""
    others = [
        [name, "--help"]
        for name in ("lessons", "results", "mark", "handout", "term", "site", "case")
    ]
    code = f"""{WITHOUT_CASE}
def run(*words):
    try:
        return main(list(words))
    except SystemExit as end:
        return end.code
for words in {others!r}:
    assert run(*words) == 0, words
assert run("cards", {str(tmp_path / "cards")!r}) == 0
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    assert list((tmp_path / "cards").glob("*.pdf"))


def test_without_the_extra_plain_records_are_measured_all_the_same(tmp_path):
    code = f"""{WITHOUT_CASE}
from pathlib import Path
from hoofcalc.case.practice import yard_case
from hoofcalc.case.case import open_case, read_visit, visit_names
from hoofcalc.case.measure import measure
folder = Path({str(tmp_path)!r}) / "case"
yard_case(folder, "Marrowfen", "right fore")
found = measure(open_case(folder), read_visit(folder, visit_names(folder)[-1]))
print(found.in_words()[0])
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.stdout.strip(), done.stderr
