"""Who may speak to the page: a browser on this machine that has the key, and nobody by way of another site.

A page of the web can make a browser send requests to 127.0.0.1: a foreign Host (a name made to point here) or Origin is
refused. Other people of the same machine can reach the port as well: without the token they see nothing. Every answer
carries a policy under which the browser loads nothing from elsewhere and runs no script that is not a file of ours.
"""

from __future__ import annotations

import asyncio
import hmac
from collections.abc import Awaitable, Callable, MutableMapping
from contextlib import suppress
from http.cookies import SimpleCookie
from typing import Any
from urllib.parse import parse_qs

from starlette.requests import ClientDisconnect

Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Message, Receive, Send], Awaitable[None]]

HOSTS = ("127.0.0.1", "localhost")
LARGEST = 60_000_000  # [bytes] of a request; a large geometry file has 30 MB
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS = (
    (b"content-security-policy", POLICY.encode()),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"cache-control", b"no-store"),
)


class Guard:
    """Wraps an app: 403 for a foreign host, origin or site, or without the token; 413 for too large a body."""

    def __init__(self, app: App, token: str, port: int, largest: int = LARGEST) -> None:
        self.app, self.token, self.largest = app, token, largest
        self.cookie = f"printworthy-{port}"  # cookies do not tell ports apart

    async def __call__(self, scope: Message, receive: Receive, send: Send) -> None:
        """Pass a request on, or refuse it."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":
            await send({"type": "websocket.close", "code": 1008})
            return
        headers = {k.decode("latin1").lower(): v.decode("latin1") for k, v in scope["headers"]}
        if not _of_this_page(scope["method"], headers):
            await refuse(send, 403, "Refused: this address answers its own pages only.")
        elif self._entering(scope):
            await self._let_in(send)
        elif not self._known(headers):
            words = "Open the address that printworthy serve has printed: it holds the key to this page."
            await refuse(send, 403, words)
        elif int(headers.get("content-length") or 0) > self.largest:
            await refuse(send, 413, f"Too large: {self.largest // 1_000_000} MB are taken.")
        else:
            await self._pass_on(scope, receive, send)

    def _entering(self, scope: Message) -> bool:
        stated = parse_qs(scope["query_string"].decode("latin1")).get("token", [""])[0]
        return scope["path"] == "/" and hmac.compare_digest(stated.encode(), self.token.encode())

    def _known(self, headers: dict[str, str]) -> bool:
        crumb = SimpleCookie(headers.get("cookie", "")).get(self.cookie)
        return crumb is not None and hmac.compare_digest(crumb.value.encode(), self.token.encode())

    async def _let_in(self, send: Send) -> None:
        cookie = f"{self.cookie}={self.token}; HttpOnly; SameSite=Strict; Path=/"
        headers = [*HEADERS, (b"set-cookie", cookie.encode()), (b"location", b"/")]
        await send({"type": "http.response.start", "status": 303, "headers": headers})
        await send({"type": "http.response.body", "body": b""})

    async def _pass_on(self, scope: Message, receive: Receive, send: Send) -> None:
        seen, begun, refused = 0, False, False

        async def counted() -> Message:
            nonlocal seen, refused
            message = await receive()
            seen += len(message.get("body", b""))
            if seen <= self.largest or begun:
                return message
            if not refused:  # a body sent in pieces states no length
                refused = True
                await refuse(send, 413, f"Too large: {self.largest // 1_000_000} MB are taken.")
            return {"type": "http.disconnect"}

        async def guarded(message: Message) -> None:
            nonlocal begun
            if refused:
                return
            if message["type"] == "http.response.start":
                begun = True
                own = {name for name, _ in message["headers"]}
                message["headers"] = [*message["headers"], *(h for h in HEADERS if h[0] not in own)]
            await send(message)

        try:
            with suppress(ClientDisconnect):  # gone, or turned away just now
                await self.app(scope, counted, guarded)
        except asyncio.CancelledError:  # the server ends and has waited for this long enough
            if not begun:
                await refuse(send, 503, "The page is being stopped.")


def _of_this_page(method: str, headers: dict[str, str]) -> bool:
    host, origin = headers.get("host", ""), headers.get("origin")
    if host.rsplit(":", 1)[0] not in HOSTS or (origin is not None and origin != f"http://{host}"):
        return False
    site = headers.get("sec-fetch-site", "none")
    followed = method == "GET" and headers.get("sec-fetch-mode") == "navigate"  # a link; no GET changes anything
    return site in ("none", "same-origin") or followed


async def refuse(send: Send, status: int, words: str) -> None:
    """A short answer in plain text."""
    headers = [*HEADERS, (b"content-type", b"text/plain; charset=utf-8")]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": words.encode()})
