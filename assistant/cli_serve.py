"""The command `serve`: the application in a browser."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from assistant.cli_options import add_language, language_of
from assistant.errors import SpringlineError

if TYPE_CHECKING:
    SubParsers = argparse._SubParsersAction[argparse.ArgumentParser]


def add_parsers(subparsers: SubParsers) -> None:
    """Hang the command onto the main command; its handler is `run`."""
    one = subparsers.add_parser(
        "serve",
        help="the application in a browser, for a tablet in the locker or a desk",
        epilog="On any other address than this machine's own, visitors need the token of the printed link.",
    )
    one.add_argument("--host", default="127.0.0.1", help="address to listen on (default: this machine only)")
    one.add_argument("--port", type=_port, default=8765, help="port to listen on (8765)")
    one.add_argument("--folder", type=Path, metavar="DIR", help="where the cases are kept (default: the usual place)")
    add_language(one)
    one.set_defaults(run=_serve)


def _port(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= 65535:
        raise argparse.ArgumentTypeError(f"give a port from 1 to 65535, not {text!r}")
    return int(text)


def _serve(args: argparse.Namespace) -> int:
    try:
        from assistant.serve.server import serve
    except ModuleNotFoundError as error:
        raise SpringlineError("the browser needs an extra: pip install 'springline[serve]'") from error
    from assistant.terminal.settings import case_folder

    return serve(args.host, args.port, (args.folder or case_folder()).absolute(), language_of(args))
