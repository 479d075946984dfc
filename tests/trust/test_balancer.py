"""What `shop/operations/balancer.conf` does when one of two machines does not answer, asked of nginx."""

import re
import socket
import subprocess
import threading
import time
from contextlib import contextmanager, suppress
from http.client import HTTPConnection
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from types import SimpleNamespace

import pytest

from tests.trust import nodes
from tests.trust.front import NGINX, OPERATIONS, PATIENCE_SECONDS, WRAPPED

pytestmark = pytest.mark.skipif(NGINX is None, reason="there is no nginx on this machine")
FORM, FILES = "application/x-www-form-urlencoded", "multipart/form-data; boundary=x"
BODY = b"form_token=a&words=" + b"w" * 600_000  # as a signature that was drawn makes it


class Machine(ThreadingHTTPServer):
    """It answers with what it was sent; `dies` when it has read it, as a program that is killed does."""

    def __init__(self, *, dies: bool = False, has_files: bool = True):
        super().__init__(("127.0.0.1", 0), Answer)
        self.dies, self.has_files, self.seen = dies, has_files, []
        threading.Thread(target=self.serve_forever, daemon=True).start()


class Answer(BaseHTTPRequestHandler):
    protocol_version = "HTTP/1.1"

    def do_POST(self):
        body = self.rfile.read(int(self.headers.get("Content-Length") or 0))
        self.server.seen.append((self.path, body))
        if self.server.dies:
            self.connection.shutdown(socket.SHUT_RDWR)
            self.close_connection = True
            return
        is_there = self.server.has_files or not self.path.startswith("/static/")
        self.send_response(200 if is_there else 404)
        self.send_header("Content-Length", "0")
        self.end_headers()

    do_GET = do_POST

    def log_message(self, *words):
        pass


@contextmanager
def before(folder, *ports: int, **changed: str):
    """nginx with the shop's own file, without TLS, before these two; yields its port."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    site = (OPERATIONS / "balancer.conf").read_text()
    site = re.sub(r"^\s+(proxy_ssl|ssl)_.*;\n", "", site, flags=re.MULTILINE)
    site = site.replace("listen 443 ssl http2;", f"listen 127.0.0.1:{port};").replace("https://", "http://")
    for number, each in enumerate(ports, 1):
        site = site.replace(f"10.0.0.{number}:443", f"127.0.0.1:{each}")
    for old, new in changed.values():
        assert old in site
        site = site.replace(old, new)
    (folder / "nginx.conf").write_text(WRAPPED.format(folder=folder, site=f"access_log off;\n{site}"))
    process = subprocess.Popen([NGINX, "-c", str(folder / "nginx.conf")], stderr=subprocess.DEVNULL)
    try:
        until = time.monotonic() + PATIENCE_SECONDS
        while time.monotonic() < until:
            with suppress(OSError), socket.create_connection(("127.0.0.1", port), 1):
                break
            time.sleep(0.05)
        yield port
    finally:
        process.terminate()
        process.wait(timeout=30)


def statuses(port: int, path: str, *, count: int = 6, body: bytes = b"", kind: str = FORM) -> list[int]:
    found = []
    for _ in range(count):
        line = HTTPConnection("127.0.0.1", port, timeout=PATIENCE_SECONDS)
        line.request("POST" if body else "GET", path, body=body or None, headers={"Content-Type": kind})
        found.append(line.getresponse().status)
        line.close()
    return found


def test_a_form_that_a_killed_machine_had_read_is_sent_whole_to_the_other(tmp_path):
    killed, other = Machine(dies=True), Machine()
    with before(tmp_path, killed.server_port, other.server_port) as port:
        assert statuses(port, "/pay/", body=BODY) == [200] * 6
    assert killed.seen and set(killed.seen + other.seen) == {("/pay/", BODY)}


@pytest.mark.parametrize(
    "taken_away",
    [
        (" non_idempotent", ""),
        ("client_max_body_size 1m;", "client_max_body_size 1m; proxy_request_buffering off;"),
    ],
)
def test_without_either_of_two_lines_whoever_pressed_the_button_sees_a_fault(tmp_path, taken_away):
    killed, other = Machine(dies=True), Machine()
    with before(tmp_path, killed.server_port, other.server_port, without=taken_away) as port:
        assert 502 in statuses(port, "/pay/", body=BODY)


def test_files_go_to_one_machine_alone_and_are_longer_than_a_form_may_be(tmp_path):
    one, other = Machine(), Machine()
    photo = b"p" * 3_000_000
    with before(tmp_path, one.server_port, other.server_port) as port:
        assert statuses(port, "/photos/", count=1, body=photo, kind=FILES) == [200]
        assert statuses(port, "/photos/", count=1, body=photo) == [413]
    assert one.seen + other.seen == [("/photos/", photo)]


def test_where_both_did_not_answer_both_are_asked_again_at_once(tmp_path):
    one, other = Machine(dies=True), Machine(dies=True)
    with before(tmp_path, one.server_port, other.server_port) as port:
        statuses(port, "/", count=2)
        one.dies = other.dies = False
        assert statuses(port, "/") == [200] * 6


def test_a_machine_that_is_gone_keeps_nobody_waiting_for_long(tmp_path):
    with socket.socket() as gone, socket.socket() as fills_it:
        gone.bind(("127.0.0.1", 0))
        gone.listen(0)
        fills_it.connect(gone.getsockname())  # whoever knocks now is told nothing
        begun = time.monotonic()
        with before(tmp_path, gone.getsockname()[1], Machine().server_port) as port:
            assert statuses(port, "/") == [200] * 6
        assert time.monotonic() - begun < 30


def test_a_file_of_another_release_is_asked_of_the_other_machine(tmp_path):
    without, with_it = Machine(has_files=False), Machine()
    with before(tmp_path, without.server_port, with_it.server_port) as port:
        assert statuses(port, "/static/pages.js") == [200] * 6
    assert without.seen


def test_nodes_that_are_never_ready_are_ended(monkeypatch, tmp_path):
    ended = []
    server = SimpleNamespace(port=1, kill_all=lambda: ended.append("server"))
    nursery = SimpleNamespace(open=lambda: server, close=lambda: ended.append("nursery"))

    def never(port):
        raise RuntimeError("A node was not ready in time.")

    monkeypatch.setattr(nodes, "Nursery", lambda *given, **named: nursery)
    monkeypatch.setattr(nodes, "wait_until_ready", never)
    with pytest.raises(RuntimeError, match="not ready"):
        nodes.Nodes(tmp_path)
    assert ended == ["server", "server", "nursery", "nursery"]
