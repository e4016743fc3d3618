"""What tests of figures share."""

from __future__ import annotations

import pytest

from hoofcalc.figures.web import asset


@pytest.fixture(scope="session")
def figure_script() -> str:
    """The figures' script with all that it needs, to be run in Node with more behind it."""
    script = asset("figure.js").replace("export function", "function")
    return script.replace("export default { render };", "")
