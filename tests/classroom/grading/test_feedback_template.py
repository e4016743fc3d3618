"""The learner's page has our template, and no other page of nbgrader's has."""

from __future__ import annotations

from pathlib import Path

from nbconvert.exporters import HTMLExporter
from nbgrader.converters import GenerateFeedback
from nbgrader.coursedir import CourseDirectory
from traitlets.config import PyFileConfigLoader

from hoofcalc.classroom.grading.feedback_page import TEMPLATE

COURSE = Path(__file__).resolve().parents[3] / "exercises"


def test_our_template_is_that_of_the_feedback_page_alone() -> None:
    settings = PyFileConfigLoader("nbgrader_config.py", path=str(COURSE)).load_config()
    converter = GenerateFeedback(coursedir=CourseDirectory(config=settings), config=settings)
    page = converter.exporter_class(config=converter.config)
    assert page.template_name == TEMPLATE
    assert Path(page.template.filename).parent.name == TEMPLATE
    # the formgrader adds its own template to the settings and takes nbconvert's exporter
    settings.HTMLExporter.template_name = "basic"
    assert HTMLExporter(config=settings).template_name == "basic"
    assert (
        "HTMLExporter"
        not in PyFileConfigLoader("nbgrader_config.py", path=str(COURSE)).load_config()
    )
