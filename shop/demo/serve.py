"""Serving the demo from this interpreter, on this machine only."""

import os
import socket
import subprocess
import sys

from django.conf import settings

HOST = "127.0.0.1"
WORKERS, THREADS = 2, 16


def open_port(wanted: int) -> int:
    """The wanted port, or one that is free when somebody else has it."""
    return wanted if wanted and _can_listen(wanted) else _free_port()


def pack_files() -> None:
    """As for a shop that is run for real: in a process of its own, whose settings know that it packs."""
    command = [sys.executable, str(settings.BASE_DIR / "manage.py"), "collectstatic", "--noinput"]
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)  # noqa: S603  fixed words


def serve(port: int) -> None:
    """Become the server. Does not come back."""
    os.chdir(settings.BASE_DIR)
    sys.stdout.flush()
    os.execv(sys.executable, server_command(port))  # noqa: S606  this very interpreter, fixed arguments


def server_command(port: int) -> list[str]:
    return [
        *(sys.executable, "-m", "gunicorn", "shop.wsgi"),
        *("--bind", f"{HOST}:{port}"),
        *("--worker-class", "gthread", "--workers", str(WORKERS), "--threads", str(THREADS)),
        *("--preload", "--log-level", "warning", "--no-control-socket"),
    ]


def _can_listen(port: int) -> bool:
    with socket.socket() as door:
        door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            door.bind((HOST, port))
        except OSError:
            return False
    return True


def _free_port() -> int:
    with socket.socket() as door:
        door.bind((HOST, 0))
        return door.getsockname()[1]
