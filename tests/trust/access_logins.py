"""Signing in as it is served: wrong passwords at many processes at once, their time, and under attack."""

import re
import statistics
import time
from concurrent.futures import ThreadPoolExecutor
from http.client import HTTPConnection, RemoteDisconnected
from threading import Event, Thread
from urllib.parse import urlencode

from django.contrib.auth.models import User
from django.test import Client, override_settings
from django.urls import reverse

from shop import settings as project
from shop.demo.serve import HOST
from shop.models import SignInTry

PASSWORD = "copper-heron-lamp"
NAME = "olive"
LOOKED_AT, REFUSED, NO_ANSWER = 200, 429, 0


def real_hashing():
    """As a shop hashes, and not as quick tests do."""
    return override_settings(PASSWORD_HASHERS=project.PASSWORD_HASHERS)


def somebody() -> User:
    with real_hashing():
        return User.objects.create_user(NAME, password=PASSWORD)


class Door:
    """The login page of a served shop, opened once: its cookie and token serve for many tries."""

    def __init__(self, port: int):
        self.port = port
        line = HTTPConnection(HOST, port, timeout=60)
        line.request("GET", "/login/")
        answer = line.getresponse()
        self.token = re.search(r'csrfmiddlewaretoken" value="(\w+)"', answer.read().decode())[1]
        self.cookie = answer.headers["Set-Cookie"].partition(";")[0]

    def tries(self, address: str, *, name: str = NAME, password: str = "wrong") -> int:
        line = HTTPConnection(HOST, self.port, timeout=60)
        said = {"csrfmiddlewaretoken": self.token, "username": name, "password": password}
        headers = {
            "Cookie": self.cookie,
            "Content-Type": "application/x-www-form-urlencoded",
            "X-Forwarded-For": address,
        }
        try:
            line.request("POST", "/login/", urlencode(said), headers)
            return line.getresponse().status
        except (ConnectionError, RemoteDisconnected, TimeoutError):
            return NO_ANSWER
        finally:
            line.close()


def all_at_once(port: int, count: int = 60) -> list[int]:
    """Wrong passwords for one account from as many addresses, twelve at a time."""
    door = Door(port)
    with ThreadPoolExecutor(12) as pool:
        return list(pool.map(lambda number: door.tries(f"192.0.2.{number}"), range(count)))


def from_one_address(port: int, count: int = 60) -> list[int]:
    """Wrong passwords for as many accounts from one address."""
    door = Door(port)
    with ThreadPoolExecutor(12) as pool:
        return list(pool.map(lambda number: door.tries("198.51.100.7", name=f"n{number}"), range(count)))


def timing(rounds: int = 60) -> tuple[float, float]:
    """Processor seconds of a wrong password for somebody who exists, and for nobody: medians, in turn."""
    taken: dict[str, list[float]] = {NAME: [], "nobody-of-that-name": []}
    with real_hashing():
        client = Client()
        for _ in range(rounds):
            for name, seconds in taken.items():
                SignInTry.objects.all().delete()
                begun = time.process_time()
                client.post(reverse("login"), {"username": name, "password": "wrong"})
                seconds.append(time.process_time() - begun)
    existing, missing = (statistics.median(seconds) for seconds in taken.values())
    return existing, missing


def under_attack(port: int, session: str, *, seconds: float, rounds: int) -> tuple[float, float, int]:
    """p95 of the stock list in seconds, quiet and under fifty wrong logins a second; how many came."""
    quiet, loud, sent = [], [], 0
    for _ in range(rounds):
        quiet += _list_times(port, session, seconds)
        stop = Event()
        attackers = [_attack(port, stop, 10, number) for number in range(5)]
        loud += _list_times(port, session, seconds)
        stop.set()
        for thread, counted in attackers:
            thread.join()
            sent += len(counted)
    return _p95(quiet), _p95(loud), round(sent / (rounds * seconds))


def _attack(port: int, stop: Event, a_second: int, number: int) -> tuple[Thread, list[int]]:
    door, counted = Door(port), []

    def knock():
        due = time.monotonic()
        while not stop.is_set():
            counted.append(door.tries("203.0.113.9", name=f"guess{number}-{len(counted)}"))
            due += 1 / a_second
            time.sleep(max(0.0, due - time.monotonic()))

    thread = Thread(target=knock, daemon=True)
    thread.start()
    return thread, counted


def _list_times(port: int, session: str, seconds: float) -> list[float]:
    taken, end = [], time.monotonic() + seconds
    while time.monotonic() < end:
        begun = time.monotonic()
        line = HTTPConnection(HOST, port, timeout=60)
        line.request("GET", "/stock/", headers={"Cookie": f"sessionid={session}"})
        answer = line.getresponse()
        answer.read()
        line.close()
        if answer.status != 200:
            raise RuntimeError(f"The list answered {answer.status}.")
        taken.append(time.monotonic() - begun)
        time.sleep(0.02)
    return taken


def _p95(taken: list[float]) -> float:
    return statistics.quantiles(taken, n=20)[18]
