"""`python -m api` serves; `python -m api settings` lists the settings."""

from __future__ import annotations

import argparse
import json
import signal
import sys

import uvicorn
from pydantic import ValidationError

from api.app import create_app
from api.http.protocol import guarded_protocol
from api.settings import ENV_PREFIX, Settings, setting_lines


def main(arguments: list[str] | None = None) -> int:
    """Do what the command line says; 2 for settings that break a rule."""
    parser = argparse.ArgumentParser(prog="python -m api", description=__doc__)
    parser.add_argument(
        "command",
        nargs="?",
        default="serve",
        choices=("serve", "settings", "openapi"),
        help="serve (as without it), list the settings, or print the OpenAPI page",
    )
    command = parser.parse_args(arguments).command
    try:
        settings = Settings()
    except ValidationError as error:
        for entry in error.errors(include_url=False, include_input=False):
            name = "_".join(str(step) for step in entry["loc"]).upper()
            sys.stderr.write(f"{ENV_PREFIX}{name}: {entry['msg']}\n")
        return 2
    if command == "settings":
        sys.stdout.write("\n".join(setting_lines(settings)) + "\n")
    elif command == "openapi":
        sys.stdout.write(json.dumps(create_app(settings).openapi(), indent=2) + "\n")
    else:
        serve(settings)
    return 0


def serve(settings: Settings) -> None:
    """Serve until a signal asks for the stop."""
    config = uvicorn.Config(
        create_app(settings),
        host=settings.host,
        port=settings.port,
        http=guarded_protocol(settings.header_timeout_s, settings.send_timeout_s),
        log_config=None,
        access_log=False,
        server_header=False,
        timeout_keep_alive=settings.keep_alive_s,
        timeout_graceful_shutdown=round(settings.shutdown_grace_s) + 1,
        proxy_headers=bool(settings.trusted_proxies),
        forwarded_allow_ips=settings.trusted_proxies or None,
        backlog=1024,
    )
    # The server below raises the signal again once it has stopped: that is no failure here.
    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, lambda *_: None)
    uvicorn.Server(config).run()


if __name__ == "__main__":
    sys.exit(main())
