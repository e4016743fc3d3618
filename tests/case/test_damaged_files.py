"""A thousand damaged files: each is told in a sentence, none harms the case.

Seeded damage to good files, as hand editing, a spreadsheet, a full disk or a telephone does it:
half of them stand in the case itself, half are brought to it from outside.
"""

from __future__ import annotations

import contextlib
import io
import random
import re
import signal
import threading

import pytest

from hoofcalc.case import measure
from hoofcalc.cli import _parser

#: Made once: made anew for each damage it would take longer than all the rest.
PARSER = _parser()


@pytest.fixture(autouse=True)
def few_draws(monkeypatch):
    """As few as there may be: how sure a comparison of heels is does not matter here."""
    monkeypatch.setattr(measure, "_DRAWS", 40)


DAY = "2026-10-01"
PLACES = (
    "case.toml",
    f"visits/{DAY}/visit.toml",
    f"visits/{DAY}/points.csv",
    f"visits/{DAY}/wall_lines.csv",
    f"visits/{DAY}/outline.csv",
    f"visits/{DAY}/track.csv",
)
OPTIONS = {
    "points.csv": "--points",
    "wall_lines.csv": "--wall-lines",
    "outline.csv": "--outline",
    "track.csv": "--track",
}


def _pick(chance: random.Random, text: str, pattern: str) -> re.Match[str]:
    """One of the places where a pattern stands, outside remarks."""
    open_lines = re.sub(r"(?m)^#.*$", lambda found: "#" * len(found[0]), text)
    found = list(re.finditer(pattern, open_lines))
    return chance.choice(found)


def _swap_in(text: str, found: re.Match[str], new: str) -> str:
    return text[: found.start()] + new + text[found.end() :]


# Each damage: text and chance in, bytes out. Those in SURE can never be a good file.


def decimal_comma(text, chance):
    found = _pick(chance, text, r"(?<![\w-])\d+\.\d+(?![\w-])")
    return _swap_in(text, found, found[0].replace(".", ",")).encode()


def word_for_number(text, chance):
    found = _pick(chance, text, r"(?<![\w.\"-])-?\d+\.\d+(?![\w-])")
    word = chance.choice(["ten", "12mm", "1O5", "--4", "4 5", "1_0_", "nan", "inf", "'7'"])
    return _swap_in(text, found, word).encode()


def huge_number(text, chance):
    found = _pick(chance, text, r"(?<![\w.-])-?\d+\.\d+(?![\w-])")
    return _swap_in(text, found, chance.choice(["1e300", "9" * 400, "-1e99", "9" * 5000])).encode()


def name_lost(text, chance):
    """A field or a column gone, or without its unit."""
    if "=" in text:
        found = _pick(chance, text, r"(?m)^(version|horse|foot|mass_kg|date|facing|moment).*\n")
        return _swap_in(text, found, "").encode()
    found = _pick(chance, text, r"_mm|_s(?=,)")
    first = text.index(found[0])
    return (text[:first] + text[first + len(found[0]) :]).encode()


def name_unknown(text, chance):
    if "=" in text:
        return (text + f"\n{chance.choice(['weight_lb', 'hoof', 'mass', 'datum'])} = 3\n").encode()
    head, rest = text.split("\n", 1)
    return (head.replace("_mm", "_inch", 1) + "\n" + rest).encode()


def line_twice(text, chance):
    lines = text.splitlines()
    numbers = [k for k, line in enumerate(lines) if line and line[0] != "#" and k]
    at = chance.choice(numbers)
    return "\n".join([*lines[: at + 1], lines[at], *lines[at + 1 :]]).encode()


def backwards(text, chance):
    """Times, or whatever rows there are, in the wrong order."""
    lines = text.splitlines()
    at = chance.randrange(2, len(lines) - 1)
    lines[at], lines[at + 1] = lines[at + 1], lines[at]
    return "\n".join(lines).encode()


def swapped_points(text, chance):
    pair = chance.choice(
        [
            ("toe_ground", "heel_ground"),
            ("toe_ground", "toe_coronet"),
            ("heel_ground", "heel_coronet"),
            ("toe_coronet", "heel_coronet"),
        ]
    )
    return re.sub("|".join(pair), lambda found: pair[found[0] == pair[0]], text).encode()


def in_pixels(text, chance):
    """Points left in the picture's pixels, its rows counted downwards or not."""
    factor = chance.choice([17.0, 0.04, 9.0])
    return re.sub(r"-?\d+\.\d+", lambda found: repr(float(found[0]) * factor), text).encode()


def other_separator(text, chance):
    return text.replace(",", chance.choice([";", "\t"])).encode()


def nothing(text, chance):
    return chance.choice([b"", b"\n\n", b"\xef\xbb\xbf", b"# only a remark\n"])


def rubbish(text, chance):
    return chance.choice([b"\x00", b"\xff\xd8\xff", b"PK\x03\x04\xfe"]) + chance.randbytes(300)


def bytes_inside(text, chance):
    raw = text.encode()
    at = chance.randrange(len(raw))
    return raw[:at] + chance.choice([b"\xff", b"\xc3\x28", b"\x00", b"\xe2\x82"]) + b" " + raw[at:]


def wide_text(text, chance):
    return text.encode("utf-16")


def wrong_day(text, chance):
    day = chance.choice(
        [
            "2026-13-01",
            "2026-02-30",
            "01.10.2026",
            '"2026-10-01"',
            "2062-10-01",
            "1.10.",
            "20261001",
        ]
    )
    return re.sub(r"(?m)^date = .*$", f"date = {day}", text).encode()


def no_quotes(text, chance):
    found = _pick(chance, text, r'(?m)(?<== )"[^"\n]*"$')
    return _swap_in(text, found, found[0].strip('"')).encode()


def nested(text, chance):
    return (text + "\nx = " + "[" * chance.choice([40, 3000])).encode()


def open_quote(text, chance):
    at = chance.randrange(len(text))
    return (text[:at] + '"' + text[at:]).encode()


def cut_short(text, chance):
    return text.encode()[: chance.randrange(len(text))]


def one_letter(text, chance):
    at = chance.randrange(len(text))
    return (text[:at] + chance.choice("0x,.;-#=\"'[ \n") + text[at + 1 :]).encode()


def line_lost(text, chance):
    lines = text.splitlines()
    del lines[chance.randrange(len(lines))]
    return "\n".join(lines).encode()


EVERY = PLACES
TABLES, TOML = PLACES[2:], PLACES[:2]
#: Where a damage is done, and whether the file then can never be good.
KINDS = (
    (decimal_comma, (PLACES[1], *TABLES), True),
    (word_for_number, (PLACES[1], *TABLES), True),
    (huge_number, (PLACES[1], *TABLES), True),
    (name_lost, EVERY, True),
    (name_unknown, EVERY, True),
    (line_twice, (*TOML, PLACES[2], PLACES[5]), True),
    (backwards, (PLACES[5],), True),
    (swapped_points, (PLACES[2],), True),
    (in_pixels, (PLACES[2],), True),
    (other_separator, TABLES, True),
    (nothing, EVERY, True),
    (rubbish, EVERY, True),
    (bytes_inside, EVERY, True),
    (wide_text, EVERY, True),
    (wrong_day, (PLACES[1],), True),
    (no_quotes, TOML, True),
    (nested, TOML, True),
    (open_quote, EVERY, False),
    (cut_short, EVERY, False),
    (one_letter, EVERY, False),
    (line_lost, EVERY, False),
)


#: Files of points that were placed in photographs and film.
PLACED = tuple(
    f"visits/{DAY}/{name}"
    for name in (
        "side_points.csv",
        "front_points.csv",
        "below_points.csv",
        "film_points.csv",
        "side.toml",
        "front.toml",
        "below.toml",
        "film.toml",
    )
)
PLACED_TABLES, PLACED_TOML = PLACED[:4], PLACED[4:]
PLACED_KINDS = (
    (decimal_comma, PLACED, True),
    (word_for_number, PLACED_TABLES, True),
    (huge_number, PLACED, True),
    (name_unknown, PLACED_TOML, True),
    (line_twice, (*PLACED_TABLES[:3], *PLACED_TOML), True),
    (swapped_points, PLACED_TABLES[:1], True),
    (other_separator, PLACED_TABLES, True),
    (nothing, PLACED, True),
    (rubbish, PLACED, True),
    (bytes_inside, PLACED, True),
    (wide_text, PLACED, True),
    (no_quotes, PLACED_TOML, True),
    (nested, PLACED_TOML, True),
    (backwards, PLACED_TABLES[3:], False),
    (in_pixels, PLACED_TABLES, False),
    (open_quote, PLACED, False),
    (cut_short, PLACED, False),
    (one_letter, PLACED, False),
    (line_lost, PLACED, False),
)


def _run(*words) -> tuple[int, str]:
    err = io.StringIO()
    with contextlib.redirect_stdout(io.StringIO()), contextlib.redirect_stderr(err):
        arguments = PARSER.parse_args(["case", *map(str, words)])
        code = arguments.run(arguments)
    return code, err.getvalue()


def _is_a_clear_sentence(said: str, name: str, what: str) -> None:
    assert name in said, f"{what}: does not name the file: {said!r}"
    assert "Traceback" not in said, what
    assert 20 < len(said) < 700, f"{what}: {said!r}"
    assert said.strip()[-1] in ".?", f"{what}: {said!r}"
    assert all(letter.isprintable() or letter == "\n" for letter in said), f"{what}: {said!r}"
    for word in ("Error", "Exception", "object", "None", "numpy", "NoneType"):
        assert word not in said, f"{what}: {said!r}"


def damages(count: int, seed: int, kinds=KINDS):
    """So many damages: kind, place, whether it can never be good, its own chance."""
    chance = random.Random(seed)
    for number in range(count):
        kind, places, sure = kinds[number % len(kinds)]
        yield kind, chance.choice(places), sure, random.Random(f"{seed} {number}")


def hand_edited(case, files, count, seed, kinds=KINDS):
    good = files(case)
    refused = 0
    for kind, place, sure, chance in damages(count, seed, kinds):
        raw = kind(good[place].decode(), chance)
        what = f"{kind.__name__} of {place}"
        (case / place).write_bytes(raw)
        before = files(case)
        code, said = _run(case, "measure", DAY)
        if code:
            refused += 1
            assert code == 1, what
            _is_a_clear_sentence(said, place.rsplit("/", 1)[-1].split(".")[0], what)
            assert files(case) == before, f"{what}: the case was changed"
        else:
            assert not sure, f"{what}: was taken for good:\n{raw[:300]!r}"
            after = files(case)
            assert {at: after[at] for at in before} == before, f"{what}: a source was changed"
            for at in set(after) - set(before):
                (case / at).unlink()
        (case / place).write_bytes(good[place])
    assert files(case) == good
    assert _run(case, "measure", DAY) == (0, "")
    return refused


def brought_in(case, tmp_path, files, count, seed):
    good = files(case)
    refused = 0
    for kind, place, sure, chance in damages(count, seed):
        name = place.rsplit("/", 1)[-1]
        if name not in OPTIONS:
            continue
        raw = kind(good[place].decode(), chance)
        what = f"{kind.__name__} of {name}"
        outside = tmp_path / f"mine-{name}"
        outside.write_bytes(raw)
        code, said = _run(case, "add-visit", DAY, OPTIONS[name], outside)
        if code:
            refused += 1
            _is_a_clear_sentence(said, outside.name, what)
            assert files(case) == good, f"{what}: the case was changed"
            continue
        assert not sure, f"{what}: was taken for good:\n{raw[:300]!r}"
        if raw != good[place]:  # it is in, and what it replaced is kept
            kept = [at for at in files(case) if at.startswith("kept/")]
            assert [(case / at).read_bytes() for at in kept] == [good[place]], what
            for at in kept:
                (case / at).unlink()
            (case / place).write_bytes(good[place])
    assert files(case) == good
    return refused


def test_some_damaged_files(case, files, tmp_path):
    assert hand_edited(case, files, 105, seed=1) > 70
    assert brought_in(case, tmp_path, files, 63, seed=2) > 20


def test_some_damaged_files_of_placed_points(placed_case, files):
    assert hand_edited(placed_case, files, 57, 5, PLACED_KINDS) > 35


@pytest.mark.slow
def test_five_hundred_damaged_files_of_placed_points(placed_case, files):
    assert hand_edited(placed_case, files, 500, 6, PLACED_KINDS) > 300


@pytest.mark.slow
def test_a_thousand_damaged_files(case, files, tmp_path):
    refused = hand_edited(case, files, 1000, seed=3)
    refused += brought_in(case, tmp_path, files, 600, seed=4)
    assert refused > 1000


def test_a_folder_or_nothing_where_a_file_should_be(case, files):
    for place in PLACES[:3]:
        good = (case / place).read_bytes()
        (case / place).unlink()
        code, said = _run(case, "measure", DAY)
        assert code == 1
        assert place in said or "there is no case" in said
        (case / place).mkdir()
        code, said = _run(case, "measure", DAY)
        assert code == 1
        assert "folder" in said
        (case / place).rmdir()
        (case / place).write_bytes(good)
    (case / "visits" / "october").mkdir()
    code, said = _run(case)
    assert code == 1
    assert "visits/october" in said


def test_a_file_that_swells_is_not_read(case):
    path = case / "visits" / DAY / "track.csv"
    with path.open("ab") as stream:
        stream.truncate(3_000_000_000)  # a hole: it takes no room on most disks
    code, said = _run(case, "measure", DAY)
    assert code == 1
    assert "larger than 20 MB" in said


@pytest.mark.skipif(not hasattr(signal, "SIGALRM"), reason="needs an alarm clock of the system")
def test_no_damaged_text_takes_long(case):
    """Patterns that make slow readers crawl are answered at once."""
    assert threading.current_thread() is threading.main_thread()
    for place, text in (
        (PLACES[0], "horse = " + '"' * 200_000),
        (PLACES[0], "a." * 5_000 + "b = 1"),
        (PLACES[2], "point,right_mm,up_mm\ntoe_ground," + "9" * 200_000 + ",1"),
        (PLACES[2], "point,right_mm,up_mm\n" + '"' * 100_001),
    ):
        good = (case / place).read_bytes()
        (case / place).write_text(text, encoding="utf-8")
        signal.alarm(10)
        code, said = _run(case, "measure", DAY)
        signal.alarm(0)
        assert code == 1
        _is_a_clear_sentence(said, place.rsplit("/", 1)[-1], place)
        (case / place).write_bytes(good)
