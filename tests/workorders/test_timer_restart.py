"""The timer when the server is stopped in the middle of it and another one is started."""

import os
import subprocess
from contextlib import contextmanager
from datetime import timedelta
from http.client import HTTPConnection

import pytest
from django.conf import settings
from django.test import Client
from django.utils import timezone

from shop.demo.serve import HOST, open_port, server_command
from tests import make
from tests.shop.test_demo_serve import address_of_the_test_database, answer_of
from workorders.actions.timers import start_timer

pytestmark = pytest.mark.django_db(transaction=True)


@contextmanager
def a_server(folder):
    port = open_port(0)
    environment = os.environ | {
        "WRESTPLANK_DATA": str(folder),
        "DATABASE_URL": address_of_the_test_database(),
        "SECRET_KEY": settings.SECRET_KEY,
    }
    server = subprocess.Popen(server_command(port), env=environment)
    try:
        assert answer_of(port, "/healthz") == 200
        yield port
    finally:
        server.terminate()
        server.wait(timeout=20)


def bench_at(port: int, session: str) -> str:
    door = HTTPConnection(HOST, port, timeout=60)
    door.request("GET", "/bench/", headers={"Cookie": f"{settings.SESSION_COOKIE_NAME}={session}"})
    page = door.getresponse().read().decode()
    door.close()
    return page


def test_a_timer_runs_on_across_a_restart_of_the_server(technician, tmp_path):
    client = Client()
    client.force_login(technician)
    session = client.cookies[settings.SESSION_COOKIE_NAME].value
    item = make.make_item(name="Ease the keys")
    start_timer(item=item, by=technician, at=timezone.now() - timedelta(minutes=90))
    for _ in range(2):
        with a_server(tmp_path) as port:
            page = bench_at(port, session)
        assert "Ease the keys" in page and ">1 h 3" in page
