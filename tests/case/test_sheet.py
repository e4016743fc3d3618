"""The printed square is true to size in both files, and nothing of a person's is lost."""

from __future__ import annotations

import re
import shutil
import subprocess
import zlib
from xml.etree import ElementTree

import cv2
import numpy as np
import pytest

from hoofcalc.case.calibration import by_square, refined_corners
from hoofcalc.case.sheet import save_sheet
from hoofcalc.case.storage import CaseError
from hoofcalc.case.target import found_target

#: A point is 1/72 inch in PDF (ISO 32000-1, 8.3.2.3) and in SVG (CSS units).
MM_PER_POINT = 25.4 / 72
A4_MM = (210.0, 297.0)
_NUMBER = r"(-?\d+\.?\d*)"


def paths_in_svg(root: ElementTree.Element) -> list[tuple[str, np.ndarray]]:
    """Letters and points [mm] of each path outside the shapes of the letters."""
    found = []
    for path in root.iter("{http://www.w3.org/2000/svg}path"):
        drawn = path.attrib.get("d", "")
        if path.attrib.get("style", "").startswith("fill: #ffffff") or "Q" in drawn:
            continue
        numbers = np.array(re.findall(_NUMBER, drawn), float)
        if numbers.size and numbers.size % 2 == 0:
            letters = re.sub(r"[^A-Za-z]", "", drawn)
            found.append((letters, numbers.reshape(-1, 2) * MM_PER_POINT))
    return found


def square_in_svg(text: str) -> tuple[np.ndarray, np.ndarray]:
    """Sheet and square [mm]: the only path of four corners that takes more than a few mm."""
    root = ElementTree.fromstring(text)
    assert root.attrib["width"].endswith("pt")
    size = np.array([float(root.attrib[name][:-2]) for name in ("width", "height")])
    assert [float(at) for at in root.attrib["viewBox"].split()] == [0, 0, *size]
    four = [at for letters, at in paths_in_svg(root) if letters == "MLLLz"]
    large = [at for at in four if np.ptp(at) > 20]
    assert len(large) == 1
    return size * MM_PER_POINT, large[0]


def square_in_pdf(content: bytes) -> tuple[np.ndarray, np.ndarray]:
    box = re.search(rb"/MediaBox \[ ?0 0 ([\d.]+) ([\d.]+)", content)
    size = np.array([float(at) for at in box.groups()])
    drawn = b""
    for stream in re.finditer(rb"stream\r?\n(.*?)\r?\nendstream", content, re.DOTALL):
        try:
            drawn += zlib.decompress(stream[1])
        except zlib.error:
            continue
    corner = rf"{_NUMBER} {_NUMBER} "
    four = rf"0 g\n\n{corner}m\n{corner}l\n{corner}l\n{corner}l\nh"
    found = re.findall(four, drawn.decode("latin-1"))
    assert len(found) == 1
    assert " cm\n" not in drawn.decode("latin-1").split(found[0][0])[0]  # nothing scales it
    return size * MM_PER_POINT, np.array(found[0], float).reshape(4, 2) * MM_PER_POINT


@pytest.fixture(scope="module")
def sheet(tmp_path_factory):
    return save_sheet(tmp_path_factory.mktemp("sheet"))


def test_the_square_is_true_to_size_on_a4_in_both_files(sheet, tmp_path):
    for side, (pdf, svg) in ((100.0, sheet), (62.5, save_sheet(tmp_path, 62.5))):
        for size, corners in (square_in_pdf(pdf.read_bytes()), square_in_svg(svg.read_text())):
            np.testing.assert_allclose(size, A4_MM, atol=0.01)
            edges = np.roll(corners, -1, axis=0) - corners
            np.testing.assert_allclose(np.abs(edges).max(axis=1), side, atol=1e-4)
            np.testing.assert_allclose(np.abs(edges).min(axis=1), 0, atol=1e-4)
            assert corners.min() >= 20  # white all round, and no printer's margin reaches it
            assert (corners.max(axis=0) <= np.array(A4_MM) - 20).all()


def test_the_line_to_check_the_printer_is_true_to_size(sheet):
    root = ElementTree.fromstring(sheet[1].read_text())
    ruler = [at for letters, at in paths_in_svg(root) if re.fullmatch(r"(ML){99,}L?", letters)]
    assert len(ruler) == 1
    strokes = ruler[0][:204].reshape(-1, 2, 2)
    assert not np.any(ruler[0][204:] - strokes[-1, 1])  # its last point may stand there twice
    assert np.abs(strokes[0, 1] - strokes[0, 0]) == pytest.approx([0, 100], abs=1e-4)
    heights = strokes[1:, 0, 1]
    np.testing.assert_allclose(strokes[1:, 1, 1], heights)
    np.testing.assert_allclose(np.diff(heights), -1, atol=1e-4)  # a mark at each millimetre
    assert len(heights) == 101


def test_the_same_sheet_is_the_same_file_and_what_else_stood_there_is_kept(sheet, tmp_path):
    (tmp_path / "square 100 mm.pdf").write_bytes(b"my own notes")
    save_sheet(tmp_path)
    again = save_sheet(tmp_path)
    for first, second in zip(sheet, again, strict=True):
        assert first.name == second.name
        assert first.read_bytes() == second.read_bytes()
    names = ["kept", "square 100 mm.pdf", "square 100 mm.svg"]
    assert sorted(path.name for path in tmp_path.iterdir()) == names
    assert [path.read_bytes() for path in (tmp_path / "kept").iterdir()] == [b"my own notes"]
    assert b"Date" not in again[0].read_bytes()
    assert "date" not in again[1].read_text()


def test_a_folder_that_cannot_be_written_to_is_told(tmp_path):
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(CaseError, match="cannot be written"):
        save_sheet(tmp_path / "file")


@pytest.mark.parametrize("side", [0, 39, 141, float("nan")])
def test_a_side_that_does_not_fit_is_refused(side, tmp_path):
    with pytest.raises(CaseError, match="side_mm"):
        save_sheet(tmp_path, side)


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="needs pdftoppm (poppler-utils)")
def test_printed_and_photographed_the_corners_are_found(sheet, tmp_path):
    """The PDF as another program draws it, at 10 pixels a millimetre."""
    drawn = tmp_path / "drawn"
    call = ["pdftoppm", "-r", "254", "-singlefile", "-png", str(sheet[0]), str(drawn)]
    subprocess.run(call, check=True)
    pixels = cv2.cvtColor(cv2.imread(f"{drawn}.png"), cv2.COLOR_BGR2RGB)
    np.testing.assert_allclose(pixels.shape[:2], (2970, 2100), atol=1)
    true = np.array([[22.0, 273.0], [122.0, 273.0], [122.0, 173.0], [22.0, 173.0]]) * 10
    found = refined_corners(pixels, true + np.array([3.0, -2.0]))
    np.testing.assert_allclose(found, true, atol=0.6)
    target = found_target(pixels)
    assert (target.side_mm, target.markers) == (100.0, 4)
    np.testing.assert_allclose(target.corners_px, true, atol=0.6)
    assert by_square(found, 100).to_mm(found[2]) == pytest.approx([100, 100])
    words = subprocess.run(
        ["pdftotext", str(sheet[0]), "-"], capture_output=True, text=True, check=True
    ).stdout
    for said in ("Print at 100 %", "lower edge on the ground", "in the plane of the hoof's middle"):
        assert said in words
