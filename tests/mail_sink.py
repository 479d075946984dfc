"""A mail server on the loopback: it speaks enough of RFC 5321 for smtplib, and keeps what it got."""

import socketserver
import threading
from contextlib import contextmanager


class _Talk(socketserver.StreamRequestHandler):
    def handle(self):
        self._say("220 sink")
        while line := self.rfile.readline().decode("ascii", "replace").strip():
            word = line.split(":")[0].split(" ")[0].upper()
            if word == "QUIT":
                self._say("221 bye")
                return
            self._answer(word, line)

    def _answer(self, word: str, line: str) -> None:
        if word == "RCPT" and any(name in line for name in self.server.refused):
            self._say("550 no such mailbox")
        elif word == "DATA":
            self._say("354 go on")
            self.server.letters.append(self._letter())
            self._say("250 kept")
        else:
            self._say("250 sink" if word == "EHLO" else "250 ok")

    def _letter(self) -> bytes:
        lines = []
        while (line := self.rfile.readline()) not in {b".\r\n", b""}:
            lines.append(line[1:] if line.startswith(b".") else line)
        return b"".join(lines)

    def _say(self, words: str) -> None:
        self.wfile.write(words.encode() + b"\r\n")


class _Server(socketserver.ThreadingTCPServer):
    allow_reuse_address = daemon_threads = True

    def __init__(self, refused):
        super().__init__(("127.0.0.1", 0), _Talk)
        self.letters: list[bytes] = []
        self.refused = refused


@contextmanager
def mail_sink(*, refused: tuple[str, ...] = ()):
    """Gives the server: its port is `server_address[1]`, what came in lies in `letters`."""
    with _Server(refused) as server:
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        try:
            yield server
        finally:
            server.shutdown()
            thread.join()
