"""Records of a horse: what was measured at its visits, and the page that tells its owner."""

from __future__ import annotations

from hoofcalc.case.owner_page import Measured, OwnerPage, Plan, owner_page, save_page

__all__ = ["Measured", "OwnerPage", "Plan", "owner_page", "save_page"]
