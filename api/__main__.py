"""`python -m api` serves and solves, `python -m api worker` solves alone."""

from __future__ import annotations

import argparse
import json
import signal
import sys
import threading
from typing import Any

import psycopg
from alembic.util import CommandError
from pydantic import ValidationError
from sqlalchemy.exc import DBAPIError

from api.http.errors import ServiceError
from api.logs import configure_logs
from api.metrics import ServiceMetrics
from api.settings import ENV_PREFIX, Settings, setting_lines
from api.store.database import Database
from api.store.migrate import migrate
from api.worker.calculators import CALCULATOR
from api.worker.slot import SOLVER
from api.worker.supervisor import Supervisor
from api.worker.template import open_template, unswept


def main(arguments: list[str] | None = None) -> int:
    """Do what the command line says; 2 for settings that break a rule."""
    parser = argparse.ArgumentParser(prog="python -m api", description=__doc__)
    parser.add_argument(
        "command",
        nargs="?",
        default="serve",
        choices=("serve", "worker", "settings", "openapi"),
        help="serve (as without it), solve studies of a shared store without serving, list the "
        "settings, or print the OpenAPI page",
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
        sys.stdout.write(json.dumps(described(settings), indent=2) + "\n")
    else:
        return work(settings) if command == "worker" else serve(settings)
    return 0


def described(settings: Settings) -> dict[str, Any]:
    """The OpenAPI page with an example of every body."""
    with unswept():
        from api.app import create_app  # noqa: PLC0415
        from api.reference.examples import service_examples  # noqa: PLC0415
        from api.reference.openapi import with_examples  # noqa: PLC0415
        from api.reference.study_examples import study_examples  # noqa: PLC0415

    examples = {**service_examples(), **study_examples()}
    return with_examples(create_app(settings).openapi(), examples)


def work(settings: Settings) -> int:
    """Solve studies that servers on the same store take in, until a signal asks for the stop."""
    configure_logs(settings.log_level)
    if not settings.workers:
        sys.stderr.write(f"{ENV_PREFIX}WORKERS: a process that only solves needs one at least\n")
        return 2
    template = open_template(settings, [SOLVER])
    failure = store_failure(settings)
    if failure:
        sys.stderr.write(f"the store cannot be opened: {failure}\n")
        return 1
    database = Database(settings.database_url, timeout_s=settings.store_timeout_s)
    supervisor = Supervisor(settings, database, ServiceMetrics(), lambda: None, template)
    stopping = threading.Event()
    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, lambda *_: stopping.set())
    supervisor.start()
    stopping.wait()
    supervisor.stop()
    database.close()
    return 0


def serve(settings: Settings) -> int:
    """Serve until a signal asks for the stop; 1 where the store cannot be opened."""
    # Here, not above: a process that only solves starts in a third of the time without them.
    with unswept():
        import uvicorn  # noqa: PLC0415

        from api.app import create_app  # noqa: PLC0415
        from api.http.protocol import guarded_protocol  # noqa: PLC0415

    # After them, which are much of what the children need, and before there are connections.
    template = open_template(settings, [SOLVER, CALCULATOR])
    failure = store_failure(settings)
    if failure:
        sys.stderr.write(f"the store cannot be opened: {failure}\n")
        return 1
    config = uvicorn.Config(
        create_app(settings, template=template),
        host=settings.host,
        port=settings.port,
        http=guarded_protocol(settings.header_timeout_s, settings.send_timeout_s),
        # Logs are set up already, as JSON; uvicorn's own would come beside them.
        log_config=None,
        access_log=False,
        # No need to tell the world which server this is, nor which version.
        server_header=False,
        timeout_keep_alive=settings.keep_alive_s,
        # A little after our own end of waiting, so that ours comes first.
        timeout_graceful_shutdown=round(settings.shutdown_grace_s) + 1,
        proxy_headers=bool(settings.trusted_proxies),
        forwarded_allow_ips=settings.trusted_proxies or None,
        backlog=1024,
    )
    # The server below raises the signal again once it has stopped: that is no failure here.
    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, lambda *_: None)
    uvicorn.Server(config).run()
    return 0


def store_failure(settings: Settings) -> str:
    """Why the store cannot be opened or brought up to date; nothing when it can."""
    database = Database(settings.database_url, timeout_s=settings.store_timeout_s)
    try:
        migrate(database)
    except (OSError, DBAPIError, psycopg.Error, ServiceError, CommandError) as error:
        message = str(error.orig if isinstance(error, DBAPIError) else error).strip()
        return " ".join(message.split()) or type(error).__name__
    finally:
        database.close()
    return ""


if __name__ == "__main__":
    sys.exit(main())
