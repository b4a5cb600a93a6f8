"""Who may come in: hosts, origins and the token."""

from __future__ import annotations

import hmac
import ipaddress
import re
import secrets
from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from urllib.parse import urlsplit

from aiohttp import web
from aiohttp.typedefs import Middleware

Handler = Callable[[web.Request], Awaitable[web.StreamResponse]]
COOKIE = "springline_token"
_HOST = re.compile(r"(?P<name>\[[0-9A-Fa-f:.]+\]|[A-Za-z0-9.-]+)(?::\d{1,5})?\Z")
_TOKEN_BYTES = 16
_OPEN = ("/static/", "/token")
"""Paths that need no token: the look of the page that asks for it, and its form."""


def is_loopback(host: str) -> bool:
    """Return whether only this machine can reach the address."""
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host.strip("[]")).is_loopback
    except ValueError:
        return False


def new_token() -> str:
    """Return a token nobody can guess."""
    return secrets.token_urlsafe(_TOKEN_BYTES)


@dataclass(frozen=True)
class Access:
    """What a request must bring along."""

    token: str = ""
    """Empty where only this machine can come in."""

    def knows(self, given: str | None) -> bool:
        """Return whether this is the token, or none is needed."""
        if not self.token:
            return True
        return given is not None and hmac.compare_digest(given.encode(), self.token.encode())

    def refusal(self, request: web.Request) -> str:
        """Return why a request is refused whatever token it brings; empty when it is not."""
        host = _HOST.match(request.host)
        if host is None:
            return "The address of this request cannot be read."
        if not self.token and not is_loopback(host["name"]):
            return "Only this machine may come in here; give it by its name localhost."
        changes = request.method not in ("GET", "HEAD") or "upgrade" in request.headers.get("Connection", "").lower()
        if changes and urlsplit(request.headers.get("Origin", "")).netloc != request.host:
            return "This comes from another page."
        return ""

    def let_in(self, response: web.StreamResponse) -> None:
        """Give the browser the token to keep."""
        response.set_cookie(COOKIE, self.token, httponly=True, samesite="Lax", path="/")

    def middleware(self, ask: Handler) -> Middleware:
        """Return the guard in front of every page.

        Args:
            ask: answers those who brought no token.
        """

        @web.middleware
        async def guard(request: web.Request, handler: Handler) -> web.StreamResponse:
            if reason := self.refusal(request):
                return web.Response(status=403, text=reason)
            given = request.query.get("token")
            if self.token and given is not None and request.method == "GET" and self.knows(given):
                bare = web.HTTPFound(request.rel_url.with_query(_without_token(request)))
                self.let_in(bare)
                raise bare
            if self.knows(request.cookies.get(COOKIE)) or request.path.startswith(_OPEN):
                return await handler(request)
            return await ask(request)

        return guard


def _without_token(request: web.Request) -> list[tuple[str, str]]:
    return [(key, value) for key, value in request.query.items() if key != "token"]


def safe_way(way: str) -> str:
    """Return a path of this server to go on to; the start for anything else."""
    return way if re.match(r"/(?![/\\])[\w/.-]*\Z", way) else "/"


def headers_for(host: str) -> dict[str, str]:
    """Return headers that keep a page to itself: nothing is loaded from or sent to another place."""
    rules = (
        "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; font-src 'self'; "
        f"img-src 'self' data:; connect-src 'self' ws://{host} wss://{host}; form-action 'self'; "
        "base-uri 'none'; frame-ancestors 'none'"
    )
    return {
        "Content-Security-Policy": rules,
        "Referrer-Policy": "same-origin",
        "X-Content-Type-Options": "nosniff",
        "Cache-Control": "no-store",
    }
