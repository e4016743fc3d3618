"""The list of cases opened here, and the command without a folder."""

from __future__ import annotations

from hoofcalc.case.case import Case, new_case
from hoofcalc.case.known import known_cases, remember_case
from hoofcalc.cli import main


def test_the_last_case_opened_stands_first_and_one_that_is_gone_is_left_out(
    tmp_path, monkeypatch, capsys
):
    monkeypatch.setenv("HOOFCALC_HOME", str(tmp_path / "home"))
    assert main(["case"]) == 0
    assert "No case was opened" in capsys.readouterr().out
    folders = [tmp_path / name for name in ("one", "two", "three")]
    for folder in folders:
        new_case(folder, Case(horse="Otterby", foot="right fore", mass_kg=505.0, invented=True))
        remember_case(folder)
    remember_case(folders[0])
    (folders[1] / "case.toml").unlink()
    assert known_cases() == [folders[0], folders[2]]
    monkeypatch.setattr("sys.stdin", open("/dev/null"))  # noqa: SIM115, PTH123
    assert main(["case"]) == 0
    out = capsys.readouterr().out
    assert out.index("one") < out.index("three")
    assert "two" not in out
