"""The learner's feedback page, written from a marked notebook by our own template."""

from __future__ import annotations

import functools
from pathlib import Path
from typing import Any

from jinja2 import pass_context
from nbconvert.exporters import HTMLExporter, TemplateExporter
from nbconvert.filters.markdown_mistune import IPythonRenderer, MarkdownWithMath
from traitlets.config import Config

#: The feedback page's template: what it is called, and where it lies.
TEMPLATE, TEMPLATES = "hoofcalc_feedback", Path(__file__).resolve().parent / "templates"


class FeedbackPage(HTMLExporter):  # type: ignore[misc]
    """The learner's feedback page. The formgrader's own page is left as nbgrader made it."""

    @property
    def default_config(self) -> Config:
        """nbgrader names a template for every page; for this one it is ours."""
        ours = Config(
            FeedbackPage={
                "template_name": TEMPLATE,
                "extra_template_basedirs": [str(TEMPLATES)],
            }
        )
        ours.merge(super().default_config)
        return ours

    def from_notebook_node(
        self, nb: Any, resources: Any = None, **more: Any
    ) -> tuple[str, dict[str, Any]]:
        """Fill in the template. What HTMLExporter would change in the page afterwards, ours has."""
        filled = TemplateExporter.from_notebook_node(self, nb, resources, **more)
        return filled[0], filled[1]

    def page(self, notebook: Any, resources: Any) -> str:
        """The page of a notebook that is whole, and may be shown as it is."""
        return str(self.template.render(nb=notebook, resources=resources)).lstrip("\r\n")

    @pass_context
    def markdown2html(self, _context: Any, source: str) -> str:
        """Words of the exercise, which are the same on each page."""
        return _as_html(source)


@functools.lru_cache(maxsize=1000)
def _as_html(source: str) -> str:
    return str(MarkdownWithMath(renderer=IPythonRenderer(escape=False)).render(source))
