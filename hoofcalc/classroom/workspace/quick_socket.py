"""A notebook server's socket that sends each message at once.

By default the operating system holds a small message back until the browser has acknowledged the
one before (Nagle's algorithm, RFC 896), and the browser's side waits up to 40 ms with that. A
living figure's answer is just such a second small message. `hoofcalc lessons` starts its server
with this class in place of the usual one, by the server's own setting
`ServerApp.kernel_websocket_connection_class`.
"""

from __future__ import annotations

from typing import Any

from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection


class QuickSocket(ZMQChannelsWebsocketConnection):  # type: ignore[misc]
    """The server's usual connection from browser to kernel, without the wait."""

    def connect(self) -> Any:
        """Open the connection as usual, and let nothing be held back."""
        self.websocket_handler.set_nodelay(True)
        return super().connect()
