"""A line to a served shop, kept open: what a browser sends, and what nobody's browser would."""

import http.client
import re
import secrets
import select
import socket
import time
from dataclasses import dataclass
from pathlib import Path

from shop.demo.serve import HOST

PATIENCE_SECONDS = 120
BOUNDARY = "wrestplank-7c1d"


@dataclass(frozen=True)
class Said:
    status: int
    seconds: float
    headers: http.client.HTTPMessage
    body: bytes


class Line:
    """One browser; `session` is its login, and its forms carry the CSRF token it made up itself."""

    def __init__(self, port: int, session: str = ""):
        self.port, self.token = port, secrets.token_hex(16)
        self.cookies = {"csrftoken": self.token} | ({"sessionid": session} if session else {})
        self.line = http.client.HTTPConnection(HOST, port, timeout=PATIENCE_SECONDS)

    def send(self, method: str, address: str, body: bytes = b"", headers: dict | None = None) -> Said:
        heads = {"Cookie": "; ".join(f"{name}={value}" for name, value in self.cookies.items())}
        heads |= headers or {}
        begun = time.monotonic()
        try:
            self.line.request(method, address, body=body or None, headers=heads)
            answer = self.line.getresponse()
            said = Said(answer.status, time.monotonic() - begun, answer.headers, answer.read())
        except (http.client.HTTPException, OSError):
            self.line.close()
            self.line = http.client.HTTPConnection(HOST, self.port, timeout=PATIENCE_SECONDS)
            return Said(0, time.monotonic() - begun, http.client.HTTPMessage(), b"")
        if answer.headers.get("Connection") == "close":
            self.line.close()
        return said

    def post_file(self, address: str, fields: dict[str, list[str]], file: tuple[str, str, bytes]) -> Said:
        """A form with one file; the file's name goes out as it is, whatever is in it."""
        fields = fields | {"csrfmiddlewaretoken": [self.token]}
        if "form_token" in fields and len(fields["form_token"][0]) == 32:
            fields["form_token"] = [secrets.token_hex(16)]
        field, name, content = file
        parts = [
            f'--{BOUNDARY}\r\nContent-Disposition: form-data; name="{key}"\r\n\r\n{value}\r\n'.encode(
                errors="replace"
            )
            for key, values in fields.items()
            for value in values
        ]
        name = name.replace('"', "%22")
        head = f'--{BOUNDARY}\r\nContent-Disposition: form-data; name="{field}"; filename="{name}"\r\n'
        parts += [head.encode(), b"Content-Type: image/jpeg\r\n\r\n", content, b"\r\n"]
        body = b"".join([*parts, f"--{BOUNDARY}--\r\n".encode()])
        return self.send("POST", address, body, {"Content-Type": f"multipart/form-data; boundary={BOUNDARY}"})


def awake(server) -> None:
    """Wait until somebody stands behind the door: a signal that comes before that is lost."""
    if Line(server.port).send("GET", "/window/").status != 200:
        raise RuntimeError(server.log.read_text(errors="replace")[-2_000:])


def bytes_taken(port: int, address: str, *, length: int, session: str = "", chunked: bool = False):
    """(status, bytes sent) of a body that never ends: how much of it is taken before it is refused.

    With the cookie of a form, as a browser has it: without one no body would be looked at for its token.
    """
    cookie = f"Cookie: csrftoken={secrets.token_hex(16)}; sessionid={session}\r\n"
    size = "Transfer-Encoding: chunked" if chunked else f"Content-Length: {length}"
    head = f"POST {address} HTTP/1.1\r\nHost: {HOST}\r\n{cookie}{size}\r\n"
    head += f"Content-Type: multipart/form-data; boundary={BOUNDARY}\r\n\r\n"
    piece = b"x" * 65_536
    opening = f'--{BOUNDARY}\r\nContent-Disposition: form-data; name="f"; filename="x"\r\n\r\n'.encode()
    sent = 0
    with socket.create_connection((HOST, port), timeout=PATIENCE_SECONDS) as line:
        line.sendall(head.encode())
        for block in _endless(opening, piece, length, chunked):
            try:
                line.sendall(block)
                sent += len(block)
            except (OSError, TimeoutError):
                break
            if select.select([line], [], [], 0.005)[0]:
                break
        line.settimeout(PATIENCE_SECONDS)
        return _answered(line), sent


def _endless(opening: bytes, piece: bytes, length: int, chunked: bool):
    so_far = 0
    for block in [opening, *[piece] * (length // len(piece))]:
        so_far += len(block)
        yield f"{len(block):x}\r\n".encode() + block + b"\r\n" if chunked else block


def _answered(line: socket.socket) -> int:
    try:
        start = line.recv(64)
    except (TimeoutError, OSError):
        return 0
    found = re.match(rb"HTTP/1\.1 (\d{3})", start)
    return int(found[1]) if found else 0


def memory_of(pid: int) -> tuple[int, int]:
    """(now, at most so far) of one process, in bytes: VmRSS and VmHWM of proc(5)."""
    told = Path(f"/proc/{pid}/status").read_text()
    return tuple(int(re.search(rf"{name}:\s+(\d+) kB", told)[1]) * 1024 for name in ("VmRSS", "VmHWM"))


def at_percent(seconds: list[float], percent: float) -> float:
    return sorted(seconds)[min(len(seconds) - 1, int(len(seconds) * percent / 100))]
