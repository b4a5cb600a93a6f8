"""The pages around the screen, made from templates of our own; they name no other host."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Any

import jinja2
from aiohttp import web

from assistant.serve.access import headers_for

HERE = Path(__file__).parent


@lru_cache(maxsize=1)
def _templates() -> jinja2.Environment:
    loader = jinja2.FileSystemLoader(HERE / "templates")
    return jinja2.Environment(loader=loader, autoescape=True, undefined=jinja2.StrictUndefined)


def page(request: web.Request, name: str, status: int = 200, **told: Any) -> web.Response:
    """Return a page.

    Args:
        request: for the address in its headers.
        name: of the template, without its ending.
        status: HTTP status.
        told: what the template shows.
    """
    text = _templates().get_template(f"{name}.html").render(**told)
    headers = headers_for(request.host)
    return web.Response(status=status, text=text, content_type="text/html", charset="utf-8", headers=headers)
