"""A notebook server's socket that sends each answer at once, and nothing that nobody waits for.

By default the operating system holds a small message back until the browser has acknowledged the
one before (Nagle's algorithm, RFC 896), and the browser's side waits up to 40 ms with that. A
living figure's answer is just such a second small message.

Before its answer to a control the kernel also says that it is busy, and afterwards that it is idle
again. Each time JupyterLab redraws its signs and lays its toolbar out anew while the answer waits:
a third of all the page's work at a move. So "busy" is kept back where a control caused it; for a
cell it goes through, and "idle" always does.

`hoofcalc lessons` starts its server with this class in place of the usual one, by the server's own
setting `ServerApp.kernel_websocket_connection_class`.
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

    def handle_outgoing_message(self, stream: Any, outgoing_msg: list[Any]) -> None:
        """Pass a message of the kernel on to the browser, as usual."""
        if not self._busy_with_a_control(outgoing_msg):
            super().handle_outgoing_message(stream, outgoing_msg)

    def _busy_with_a_control(self, message: list[Any]) -> bool:
        """Whether it says no more than that a control's message is being handled."""
        _, (_, header, parent, _, content, *_) = self.session.feed_identities(message)
        if self.session.unpack(header)["msg_type"] != "status":
            return False
        caused_by = self.session.unpack(parent).get("msg_type")
        says = self.session.unpack(content).get("execution_state")
        return bool(caused_by == "comm_msg" and says == "busy")
