"""Every public name says what it means: units, errors, source and an example that runs.

The examples themselves run as doctests; here their presence is checked, and that
no argument, unit, error or source is left out.
"""

from __future__ import annotations

import importlib
import inspect
import re
import sys
from pathlib import Path

import pytest

import hoofcalc

PACKAGE = Path(hoofcalc.__file__).parent

MODULES = (
    "angles",
    "capsule",
    "columns",
    "cycle",
    "datasets",
    "forecast",
    "ground_force",
    "horn",
    "landing",
    "loadpath",
    "profile",
    "reading",
)
SECTIONS = ("Parameters", "Returns", "Raises", "References", "Examples")
#: How a name's ending is written as a unit, in brackets, in the text (patterns).
UNITS = {
    "mm": "mm",
    "mm2": "mm2",
    "mm3": "mm3",
    "mm4": "mm4",
    "deg": "deg(?:rees)?",
    "n": "N",
    "mpa": "(?:MPa|N/mm2)",
    "kg": "kg",
    "s": "s(?:econds)?",
    "hz": "Hz",
    "m_s": "m/s",
    "n_per_mm": "N/mm",
    "nmm": "N ?mm",
    "mm_per_day": "mm/day",
    "percent": "(?:%|percent)",
    "days": "days",
    "weeks": "weeks",
}


def public_things():
    for module_name in MODULES:
        module = importlib.import_module(f"hoofcalc.{module_name}")
        for name in module.__all__:
            thing = getattr(module, name)
            if inspect.isfunction(thing) or inspect.isclass(thing):
                yield pytest.param(thing, id=f"{module_name}.{name}")


def public_functions():
    return [p for p in public_things() if inspect.isfunction(p.values[0])]


def public_classes():
    return [p for p in public_things() if inspect.isclass(p.values[0])]


def sections(thing) -> dict[str, str]:
    text = inspect.getdoc(thing) or ""
    parts = re.split(r"^(\w[\w ]*)\n-{3,}\n", text, flags=re.MULTILINE)
    return {"": parts[0], **dict(zip(parts[1::2], parts[2::2], strict=True))}


def unit_of(name: str) -> str | None:
    """A pattern for the unit that a name's ending announces, the longest ending first.

    In `modulus_at_deg` the ending is the unit of what it is asked at, not of the result.
    """
    if "_at_" in name:
        return None
    for ending in sorted(UNITS, key=len, reverse=True):
        if name.endswith(f"_{ending}"):
            return rf"\[[^\]]*{UNITS[ending]}[^\]]*\]"
    return None


def described(parameters: str) -> dict[str, str]:
    """The text that describes each argument in a Parameters section."""
    found: dict[str, str] = {}
    names: list[str] = []
    for line in parameters.splitlines():
        head = re.match(r"^([*\w, ]+?)( *:.*)?$", line)
        if head and not line.startswith(" "):
            names = [name.strip().lstrip("*") for name in head[1].split(",")]
            for name in names:
                found[name] = line
        else:
            for name in names:
                found[name] += f"\n{line}"
    return found


#: Modules of formulas, and what in them is no formula but a table, a list, a name or a file.
FORMULAS = (
    "angles", "capsule", "columns", "cycle", "forecast", "ground_force", "horn", "landing",
    "loadpath", "profile", "reading",
)  # fmt: skip
NO_FORMULA = {"horn_at", "limbs_of", "plain_outline", "weakest_place", "write_stl"}


@pytest.mark.parametrize("function", public_functions())
def test_a_formula_states_its_equation(function):
    module = function.__module__.removeprefix("hoofcalc.")
    if module in FORMULAS and function.__name__ not in NO_FORMULA:
        assert re.search(r"\S\s+>?=\s+\S|Equation: ", sections(function)[""])


VAGUE = r"(an argument|a number|the side) is outside|outside (its range|the range (of|given))"


@pytest.mark.parametrize("path", sorted(PACKAGE.rglob("*.py")), ids=lambda path: path.stem)
def test_what_is_refused_is_said_argument_by_argument(path):
    assert not re.search(VAGUE, path.read_text(encoding="utf-8"))


@pytest.mark.parametrize("module_name", MODULES)
def test_the_module_says_what_it_is_and_what_is_public(module_name):
    module = importlib.import_module(f"hoofcalc.{module_name}")
    assert (module.__doc__ or "").strip()
    assert sorted(module.__all__) == sorted(set(module.__all__))
    own = {
        name
        for name, thing in vars(module).items()
        if (inspect.isfunction(thing) or inspect.isclass(thing))
        and thing.__module__ == module.__name__
        and not name.startswith("_")
    }
    assert own <= set(module.__all__), f"public but not listed: {own - set(module.__all__)}"


@pytest.mark.parametrize("function", public_functions())
def test_a_function_has_every_section(function):
    missing = [name for name in SECTIONS if not sections(function).get(name, "").strip()]
    if not inspect.signature(function).parameters:
        missing = [name for name in missing if name != "Parameters"]
    assert not missing, f"sections missing or empty: {missing}"
    assert ">>>" in sections(function)["Examples"]


CHECKED = r"(?:numbers|choice|points)\(\s*\"(\w+)\""


@pytest.mark.parametrize("function", public_functions())
def test_an_error_names_the_argument_that_it_is_about(function):
    """Each one that the function has checked, in backquotes; or whose errors are its own."""
    told = set(re.findall(r"`(\w+)", sections(function)["Raises"]))
    others = told & {*sys.modules[function.__module__].__all__}
    checked = set(re.findall(CHECKED, inspect.getsource(function)))
    missing = checked & {*inspect.signature(function).parameters} - told
    assert others or not missing, f"an error without its argument: {missing}"


@pytest.mark.parametrize("function", public_functions())
def test_every_argument_is_described_with_its_unit(function):
    texts = described(sections(function).get("Parameters", ""))
    for name in inspect.signature(function).parameters:
        assert name in texts, f"argument {name} is not described"
        unit = unit_of(name)
        if unit:
            assert re.search(unit, texts[name]), f"argument {name}: no unit like {unit} with it"


@pytest.mark.parametrize("function", public_functions())
def test_a_unit_in_the_functions_name_stands_in_what_it_returns(function):
    unit = unit_of(function.__name__)
    if unit:
        assert re.search(unit, sections(function)["Returns"]), f"no unit like {unit}"


@pytest.mark.parametrize("function", public_functions())
def test_arguments_and_result_are_annotated(function):
    signature = inspect.signature(function)
    bare = [n for n, p in signature.parameters.items() if p.annotation is inspect.Parameter.empty]
    assert not bare, f"without a type: {bare}"
    assert signature.return_annotation is not inspect.Signature.empty


@pytest.mark.parametrize("cls", public_classes())
def test_a_class_and_its_properties_say_what_they_are(cls):
    assert (inspect.getdoc(cls) or "").strip()
    for name, member in vars(cls).items():
        if name.startswith("_") or not isinstance(member, property):
            continue
        text = inspect.getdoc(member) or ""
        assert text.strip(), f"property {name} has no description"
        unit = unit_of(name)
        if unit:
            assert re.search(unit, text), f"property {name}: no unit like {unit} with it"
