"""The course's server sends each answer at once, and nothing that nobody waits for."""

from __future__ import annotations

import json
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from jupyter_client.session import Session
from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection
from traitlets.utils.importstring import import_item

import hoofcalc.classroom.workspace

FOLDER = Path(hoofcalc.classroom.workspace.__file__).parent


@pytest.fixture
def socket() -> Any:
    """The class that the server's setting names."""
    settings = json.loads((FOLDER / "jupyter_config" / "jupyter_server_config.json").read_text())
    return import_item(settings["ServerApp"]["kernel_websocket_connection_class"])


def test_the_servers_setting_names_a_connection_that_does_not_wait(
    socket: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert issubclass(socket, ZMQChannelsWebsocketConnection)
    done: list[object] = []
    monkeypatch.setattr(
        ZMQChannelsWebsocketConnection, "connect", lambda self: done.append("connected")
    )
    handler = SimpleNamespace(set_nodelay=lambda value: done.append(value))
    connection = socket.__new__(socket)
    monkeypatch.setattr(socket, "websocket_handler", handler)
    connection.connect()
    assert done == [True, "connected"]


@pytest.mark.parametrize(
    ("kind", "content", "cause", "reaches_the_browser"),
    [
        ("status", {"execution_state": "busy"}, "comm_msg", False),
        ("status", {"execution_state": "idle"}, "comm_msg", True),  # ends what the browser awaits
        ("status", {"execution_state": "busy"}, "execute_request", True),
        ("status", {"execution_state": "starting"}, None, True),
        ("comm_msg", {"comm_id": "a figure's", "data": {}}, "comm_msg", True),
    ],
)
def test_only_that_the_kernel_is_busy_with_a_control_is_kept_back(
    socket: Any,
    monkeypatch: pytest.MonkeyPatch,
    kind: str,
    content: dict[str, Any],
    cause: str | None,
    reaches_the_browser: bool,
) -> None:
    passed: list[list[bytes]] = []
    monkeypatch.setattr(
        ZMQChannelsWebsocketConnection,
        "handle_outgoing_message",
        lambda self, stream, message: passed.append(message),
    )
    session = Session(key=b"known to both")
    parent = session.msg(cause) if cause else {}
    message = session.serialize(session.msg(kind, content, parent=parent), ident=b"iopub topic")
    connection = socket.__new__(socket)
    monkeypatch.setattr(socket, "session", session)
    connection.handle_outgoing_message("iopub", message)
    assert passed == ([message] if reaches_the_browser else [])
