"""Starting and stopping the page."""

from __future__ import annotations

import contextlib
import os
import secrets
import socket
import webbrowser
from collections.abc import Callable
from pathlib import Path

import uvicorn

from printworthy.errors import InputError
from printworthy.page.app import application
from printworthy.page.desk import Desk
from printworthy.page.guard import Guard
from printworthy.page.runs import folder_of

HOST = "127.0.0.1"


def serve(root: Path, port: int, say: Callable[[str], None], *, browser: bool = False) -> None:
    """Serve the page of a workspace until it is stopped (Ctrl-C, SIGTERM). `port` 0: any that is free; `say` is told
    the address, which holds the key; `browser` opens it.

    Raises InputError for a folder that is none or a port that is taken.
    """
    if not root.is_dir():
        raise InputError("is not a folder", where=str(root), do="Name the folder that holds vehicle.toml")
    desk = Desk(root.resolve())
    door = _door(port)
    port = door.getsockname()[1]
    token = _token(desk.root)
    ended: list[bool] = []
    guarded = Guard(application(desk, lambda: bool(ended) or server.should_exit), token, port)
    config = uvicorn.Config(
        guarded, log_level="warning", access_log=False, server_header=False, timeout_graceful_shutdown=3, lifespan="on"
    )
    server = uvicorn.Server(config)
    address = f"http://{HOST}:{port}/?token={token}"
    say(address)
    if browser:
        webbrowser.open(address)
    try:
        with contextlib.suppress(KeyboardInterrupt):
            server.run([door])
    finally:
        ended.append(True)
        desk.close()


def _door(port: int) -> socket.socket:
    door = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        door.bind((HOST, port))
        door.listen(128)  # whoever follows the printed address at once waits, and is not turned away
    except (OSError, OverflowError) as error:
        door.close()
        raise InputError(f"port {port} cannot be had: {error}", do="State another with --port") from error
    return door


def _token(root: Path) -> str:
    """The key to this workspace's page. It is kept in a file that only its owner may read, so that tabs that are open
    go on working when the page is started again."""
    path = folder_of(root) / "key"
    path.parent.mkdir(parents=True, exist_ok=True)
    with contextlib.suppress(FileNotFoundError):
        kept = path.read_text(encoding="ascii").strip()
        if len(kept) >= 32 and path.stat().st_mode & 0o077 == 0:
            return kept
    token = secrets.token_urlsafe(32)
    path.unlink(missing_ok=True)
    with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w", encoding="ascii") as file:
        file.write(token)
    return token
