"""Many hand-ins: marked, entered in a gradebook, shown as a class."""

import sys

# A checker of international web addresses, which no notebook here has, takes a second to load.
sys.modules.setdefault("rfc3987_syntax", None)  # type: ignore[arg-type]
