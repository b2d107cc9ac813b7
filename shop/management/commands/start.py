"""`manage.py start`: migrate, say where to open, serve. `--demo` serves the invented shop."""

from __future__ import annotations

import os
import select
import socket
import sys
from argparse import ArgumentParser
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.db import OperationalError, connection
from django.db.migrations.executor import MigrationExecutor

from shop.running import copies, serving
from shop.running.serving import serve_demo
from stock.ledger import triggers

MOST_PORTS = 65_535
MOST_THREADS = 64
MOST_CONNECTIONS = 400  # select() on Windows takes 512 at most
SILENCE_S, SWEEP_S = 20, 5  # a request that sends nothing for so long is dropped
EVERYWHERE = ("0.0.0.0", "::", "*")


class Command(BaseCommand):
    """Set up what is missing and serve the app."""

    help = "Sets up what is missing and serves the app."

    def add_arguments(self, parser: ArgumentParser) -> None:
        """Host, port, demo."""
        parser.add_argument("--demo", action="store_true", help="serve the invented demo shop")
        parser.add_argument("--port", type=int, default=8000, help="port to listen on (8000)")
        parser.add_argument(
            "--host", default="127.0.0.1", help="0.0.0.0 lets phones on the shop's network in"
        )
        parser.add_argument("--threads", type=int, default=8, help="requests served at once (8)")

    def handle(self, *args: Any, **options: Any) -> None:
        """Do it."""
        if options["demo"] and not settings.IS_DEMO:
            serve_demo(sys.argv)
        refuse_odd_numbers(port=options["port"], threads=options["threads"])
        take_data(port=options["port"])
        refuse_taken_port(options["host"], options["port"])
        answer_to(options["host"])
        self.migrate()
        end_what_was_cut_off()
        sweep_sessions()
        self.gather_files()
        if settings.IS_DEMO:
            call_command("demo", stdout=self.stdout)
        self.say_where(options["host"], options["port"])
        serve(host=options["host"], port=options["port"], threads=options["threads"])

    def say(self, words: str) -> None:
        """One line, at once."""
        self.stdout.write(words)
        self.stdout.flush()

    def migrate(self) -> None:
        """Bring the database up to this version, if it is not."""
        try:
            executor = MigrationExecutor(connection)
        except OperationalError as error:
            raise CommandError(f"The database does not answer: {str(error).strip()}") from error
        if strange := copies.stranger(executor.loader.applied_migrations):
            raise CommandError(f"It cannot start: {copies.NEWER.format(strange)}")
        if executor.migration_plan(executor.loader.graph.leaf_nodes()):
            self.say("Bringing the database up to date …")
            call_command("migrate", verbosity=0)
        if triggers.missing():  # an update was cut off after it had taken them off
            triggers.install()

    def gather_files(self) -> None:
        """Put styles and scripts where they are served from, under lasting names."""
        self.say("Gathering the pages' files …")
        call_command("collectstatic", interactive=False, verbosity=0)

    def say_where(self, host: str, port: int) -> None:
        """The addresses to open, and how to get in."""
        from shop.people import first_run

        self.say("")
        self.say(f"Open  http://127.0.0.1:{port}/")
        if host == "0.0.0.0":
            self.say(f"Phones on the same network:  http://{own_address()}:{port}/")
        if settings.IS_DEMO:
            from shop.demo import HELPER, OWNER, PASSWORD

            self.say(f"Sign in as {OWNER} (owner) or {HELPER} (helper), password {PASSWORD}")
        elif not first_run.is_set_up():
            self.say(f"The first page sets the shop up. It asks for this code: {first_run.code()}")
        self.say("Stop with Ctrl+C.")


def refuse_odd_numbers(*, port: int, threads: int) -> None:
    """Ports and threads that cannot be."""
    if not 1 <= port <= MOST_PORTS:
        raise CommandError(f"Port {port} is none; write one from 1 to {MOST_PORTS}, such as 8000.")
    if not 1 <= threads <= MOST_THREADS:
        raise CommandError(f"{threads} threads will not do; write 1 to {MOST_THREADS}.")


def refuse_taken_port(host: str, port: int) -> None:
    """Say it in a sentence when something else listens there."""
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except socket.gaierror as error:
            raise CommandError(
                f"'{host}' is no address of this machine. Leave --host out, or write 0.0.0.0."
            ) from error
        except OSError as error:
            raise CommandError(
                f"Port {port} on {host} cannot be used ({error.strerror}). Try --port {port + 1}."
            ) from error


def take_data(*, port: int) -> None:
    """One `start` at a time on the same data."""
    name = "demo.lock" if settings.IS_DEMO else "shop.lock"
    try:
        serving.take(settings.DATA_DIR / name, about=f"process {os.getpid()}, port {port}")
    except serving.DataInUse as error:
        raise CommandError(str(error)) from error


def end_what_was_cut_off() -> None:
    """What an earlier server was computing when it ended will never answer."""
    from shop.buying import writing as buying
    from shop.planning import runs

    runs.end_all()
    buying.end_all()


def sweep_sessions() -> None:
    """Forget the sign-ins that have run out."""
    from django.contrib.sessions.backends.db import SessionStore

    SessionStore.clear_expired()


def answer_to(host: str) -> None:
    """A name that was given to listen on is one to be called by."""
    if host not in EVERYWHERE:
        settings.ALLOWED_HOSTS.append(f"[{host}]" if ":" in host else host.lower())


def own_address() -> str:
    """This machine's address on its network; nothing is sent."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))
            return str(probe.getsockname()[0])
        except OSError:
            return socket.gethostname()


def serve(*, host: str, port: int, threads: int) -> None:
    """Serve until stopped."""
    import waitress

    from shop.wsgi import application

    waitress.serve(
        application,
        host=host,
        port=port,
        threads=threads,
        ident="billetwright",
        # So many that are begun and never ended must not keep a shop's phones out.
        connection_limit=MOST_CONNECTIONS,
        channel_timeout=SILENCE_S,
        cleanup_interval=SWEEP_S,
        asyncore_use_poll=hasattr(select, "poll"),
        # Kept, since one of them says whether a browser behind a proxy came by HTTPS.
        clear_untrusted_proxy_headers=False,
    )
