"""The course's folders are found in a checkout and in an installed wheel alike."""

from __future__ import annotations

import pytest

from hoofcalc._where import course_folder


@pytest.mark.parametrize("name", ["lessons", "exercises", "datasets"])
def test_a_wheel_carries_the_course_inside_the_package(tmp_path, name):
    inside = tmp_path / "hoofcalc" / "_course" / name
    inside.mkdir(parents=True)
    (tmp_path / name).mkdir()  # somebody else's folder beside the installed package
    assert course_folder(name, package=tmp_path / "hoofcalc") == inside


@pytest.mark.parametrize(
    ("name", "place"),
    [("lessons", "lessons"), ("exercises", "exercises/release"), ("datasets", "datasets")],
)
def test_a_checkout_keeps_the_course_beside_the_package(tmp_path, name, place):
    (tmp_path / "pyproject.toml").touch()
    (tmp_path / place).mkdir(parents=True)
    assert course_folder(name, package=tmp_path / "hoofcalc") == tmp_path / place


def test_a_stranger_of_the_same_name_beside_an_installed_package_is_left_alone(tmp_path):
    (tmp_path / "datasets").mkdir()
    with pytest.raises(FileNotFoundError, match="datasets are missing: looked in"):
        course_folder("datasets", package=tmp_path / "hoofcalc")


def test_an_unknown_name_is_refused_with_the_list():
    with pytest.raises(ValueError, match=r"'lessons', 'exercises', 'datasets' \(got 'recipes'\)"):
        course_folder("recipes")
