"""The nginx and the gunicorn of a shop, as their files in `shop/operations` have them, on this machine.

Only what a test cannot have is put in place of it: the paths of the certificate, of logs and the socket, and
the ports. Behind them stands `seen_behind.py`, which tells what arrived.
"""

import json
import os
import re
import shutil
import socket
import ssl
import subprocess
import sys
import time
from contextlib import contextmanager, suppress
from pathlib import Path

from tests.trust.board import TREE

NGINX = shutil.which("nginx", path=os.environ.get("PATH", "") + ":/usr/sbin:/usr/local/sbin")
OPERATIONS = TREE / "shop" / "operations"
PATIENCE_SECONDS = 60
GUNICORN = (
    f"{sys.executable} -m gunicorn tests.trust.seen_behind:application --workers 1 --threads 4 "
    f"--config {OPERATIONS / 'gunicorn.conf.py'}"
)
WRAPPED = """daemon off; master_process off; pid {folder}/nginx.pid; error_log {folder}/error.log;
events {{ worker_connections 64; }}
http {{
  client_body_temp_path {folder}; proxy_temp_path {folder}; fastcgi_temp_path {folder};
  uwsgi_temp_path {folder}; scgi_temp_path {folder};
{site}
}}
"""


class Front:
    def __init__(self, folder: Path, certificate: tuple[Path, Path]):
        self.folder, self.seen = folder, folder / "seen"
        with socket.socket() as free, socket.socket() as other:
            free.bind(("127.0.0.1", 0))
            other.bind(("127.0.0.1", 0))
            self.port, self.plain_port = free.getsockname()[1], other.getsockname()[1]
        (folder / "nginx.conf").write_text(WRAPPED.format(folder=folder, site=self._site(certificate)))

    def _site(self, certificate: tuple[Path, Path]) -> str:
        site = (OPERATIONS / "nginx.conf").read_text()
        site = re.sub(r"listen \[::\]:\d+[^;]*;", "", site)
        site = site.replace("listen 80;", f"listen 127.0.0.1:{self.plain_port};")
        site = site.replace("listen 443 ", f"listen 127.0.0.1:{self.port} ")
        site = re.sub(r"(ssl_certificate) [^;]+;", rf"\1 {certificate[0]};", site, count=1)
        site = re.sub(r"(ssl_certificate_key) [^;]+;", rf"\1 {certificate[1]};", site)
        site = site.replace("/run/wrestplank.sock", f"{self.folder}/s").replace(
            "/var/log/nginx", str(self.folder)
        )
        return site

    def start(self) -> list[subprocess.Popen]:
        told = os.environ | {
            "SEEN": str(self.seen),
            "WRESTPLANK_DATA": str(self.folder),
            "PYTHONPATH": str(TREE),
        }
        quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
        with socket.socket(socket.AF_UNIX) as waiting:
            waiting.bind(f"{self.folder}/s")
            waiting.listen(64)
            behind = subprocess.Popen(
                ["sh", "-c", f"LISTEN_PID=$$ LISTEN_FDS=1 exec {GUNICORN}"],
                cwd=TREE,
                env=told,
                # As systemd hands over the socket of a unit: open already, as the first descriptor there is.
                preexec_fn=lambda: os.dup2(waiting.fileno(), 3),
                pass_fds=(3,),
                **quiet,
            )
        front = subprocess.Popen([NGINX, "-c", str(self.folder / "nginx.conf")], **quiet)
        until = time.monotonic() + PATIENCE_SECONDS
        while time.monotonic() < until:
            with suppress(OSError):
                if b" 200 " in self.over_tls(
                    b"GET /ready HTTP/1.1\r\nHost: shop.example\r\nConnection: close\r\n\r\n"
                ):
                    return [front, behind]
            time.sleep(0.2)
        raise RuntimeError((self.folder / "error.log").read_text()[-2000:])

    def over_tls(self, sent: bytes, *, ciphers: str = "", alpn: str = "") -> bytes:
        """What comes back for these very bytes until the line is closed or quiet for two seconds."""
        trusting = ssl.create_default_context()
        trusting.check_hostname, trusting.verify_mode = False, ssl.CERT_NONE
        if ciphers:
            trusting.maximum_version = ssl.TLSVersion.TLSv1_2
            trusting.set_ciphers(ciphers)
        if alpn:
            trusting.set_alpn_protocols([alpn])
        with (
            socket.create_connection(("127.0.0.1", self.port), timeout=5) as bare,
            trusting.wrap_socket(bare, server_hostname="shop.example") as line,
        ):
            line.sendall(sent)
            return _until_quiet(line)

    def to_the_program(self, sent: bytes) -> bytes:
        """The same, past nginx."""
        with socket.socket(socket.AF_UNIX) as line:
            line.settimeout(5)
            line.connect(f"{self.folder}/s")
            line.sendall(sent)
            return _until_quiet(line)

    def what_arrived(self) -> list[dict]:
        lines = self.seen.read_text().splitlines() if self.seen.exists() else []
        return [each for each in map(json.loads, lines) if each["path"] != "/ready"]

    def forget(self) -> None:
        self.seen.unlink(missing_ok=True)


def _until_quiet(line: socket.socket) -> bytes:
    got = b""
    line.settimeout(2)
    with suppress(OSError):
        while piece := line.recv(65_536):
            got += piece
    return got


@contextmanager
def front(folder: Path, certificate: tuple[Path, Path]):
    there = Front(folder, certificate)
    running = there.start()
    try:
        yield there
    finally:
        for process in running:
            process.terminate()
        for process in running:
            process.wait(timeout=30)
