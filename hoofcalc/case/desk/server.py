"""The desk's server: pages and kernels, without JupyterLab; run as a program by `serving`."""

from __future__ import annotations

import sys

# A checker of international web addresses, which nothing here has, takes seconds to load.
sys.modules["rfc3987_syntax"] = None  # type: ignore[assignment]

if __name__ == "__main__":
    from jupyter_server.serverapp import main

    main()
