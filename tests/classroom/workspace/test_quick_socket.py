"""The course's server sends each message to the browser at once."""

from __future__ import annotations

import json
from pathlib import Path
from types import SimpleNamespace

import pytest
from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection
from traitlets.utils.importstring import import_item

import hoofcalc.classroom.workspace

FOLDER = Path(hoofcalc.classroom.workspace.__file__).parent


def test_the_servers_setting_names_a_connection_that_does_not_wait(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    settings = json.loads((FOLDER / "jupyter_config" / "jupyter_server_config.json").read_text())
    socket = import_item(settings["ServerApp"]["kernel_websocket_connection_class"])
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
