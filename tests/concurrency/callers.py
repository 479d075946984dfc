"""Fifty people at fifty browsers, without the browsers: each reads its form, then all send at one moment."""

import socket
import struct
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from http.client import HTTPConnection
from threading import Barrier
from uuid import uuid4

from django.conf import settings
from django.contrib.auth.models import User
from django.test import Client

from shop.demo.serve import HOST
from tests.journeys.page_forms import encoded, forms_on

PATIENCE_SECONDS = 60


@dataclass(frozen=True)
class Answer:
    status: int
    location: str
    page: str
    seconds: float


class Caller:
    """One browser with a session of its own."""

    def __init__(self, port: int, user: User):
        client = Client()
        client.force_login(user)
        name = settings.SESSION_COOKIE_NAME
        self.port, self.cookies = port, {name: client.cookies[name].value}

    def get(self, address: str) -> Answer:
        line = self._line()
        line.request("GET", address, headers=self._headers())
        return self._answer(line)

    def filled_in(self, address: str, **typed) -> "Filled":
        """The page's own form with its marks, as a browser holds it before the button is pressed."""
        page = self.get(address)
        assert page.status == 200, (address, page.status, page.location)
        form = next(form for form in forms_on(page.page, address) if "form_token" in form.standing())
        return Filled(self, form.action, form.standing() | {name: [text] for name, text in typed.items()})

    def _line(self, timeout: float = PATIENCE_SECONDS) -> HTTPConnection:
        return HTTPConnection(HOST, self.port, timeout=timeout)

    def _done(self, line: HTTPConnection) -> None:
        line.close()

    def _headers(self) -> dict[str, str]:
        cookies = "; ".join(f"{name}={value}" for name, value in self.cookies.items())
        return {"Cookie": cookies, "Connection": "close"}

    def _answer(self, line: HTTPConnection, since: float | None = None) -> Answer:
        response = line.getresponse()
        page = response.read().decode()
        for cookie in response.headers.get_all("Set-Cookie") or []:
            name, _, value = cookie.partition(";")[0].partition("=")
            self.cookies[name] = value
        self._done(line)
        seconds = time.monotonic() - since if since else 0.0
        return Answer(response.status, response.headers.get("Location", ""), page, seconds)


@dataclass(frozen=True)
class Filled:
    """A form that waits for its button; pressed again it sends the same once more."""

    caller: Caller
    address: str
    fields: dict[str, list[str]]

    def press(self, wait: Callable[[], object] = lambda: None, **headers: str) -> Answer:
        line = self.send(wait, **headers)
        return self.caller._answer(line, since=time.monotonic())

    def again(self, address: str) -> "Filled":
        """The same page, left open in a tab and sent to another address, under a mark of its own."""
        return Filled(self.caller, address, self.fields | {"form_token": [uuid4().hex]})

    def press_and_hang_up(self) -> None:
        """Send it whole and tear the line before the answer: a phone that lost its cell."""
        line = self.send()
        line.sock.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
        line.close()

    def press_and_give_up(self, after: float) -> None:
        """Wait no longer than this for an answer; raises when there was one."""
        line = self.send(timeout=after)
        try:
            line.getresponse()
        except TimeoutError:
            line.close()
        else:
            raise AssertionError("It was answered in time.")

    def body(self) -> tuple[bytes, str]:
        return encoded(self.fields), "application/x-www-form-urlencoded"

    def send(self, wait=lambda: None, timeout: float = PATIENCE_SECONDS, **headers) -> HTTPConnection:
        body, media_type = self.body()
        line = self.caller._line(timeout)
        line.putrequest("POST", self.address)
        kind = {"Content-Type": media_type, "Content-Length": str(len(body))}
        for name, value in (self.caller._headers() | kind | headers).items():
            line.putheader(name, value)
        line.endheaders(body[:-1])
        wait()
        line.send(body[-1:])
        return line


def all_at_once(presses: Sequence[Filled], *, without: str = "") -> list[Answer]:
    """Each sends all but its last byte; when all have, the last bytes go out together.

    `without` names a guard for the door that is unguarded (doors.py).
    """
    headers = {"X-Without": without} if without else {}
    barrier = Barrier(len(presses), timeout=PATIENCE_SECONDS)
    with ThreadPoolExecutor(len(presses)) as pool:
        return list(pool.map(lambda filled: filled.press(barrier.wait, **headers), presses))


def each(acts: Sequence[Callable[[], object]]) -> list:
    """Run them side by side, a few at a time; for what comes before the race."""
    with ThreadPoolExecutor(8) as pool:
        return list(pool.map(lambda act: act(), acts))


def one_won(answers: Sequence[Answer]) -> tuple[Answer, list[Answer]]:
    """The one answer that says it was done, and all the others, none of which is a fault of the server."""
    assert [answer.status for answer in answers if answer.status >= 500] == []
    done = [answer for answer in answers if answer.status == 302]
    assert len(done) == 1, sorted(answer.status for answer in answers)
    return done[0], [answer for answer in answers if answer.status != 302]
