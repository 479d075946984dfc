import os
import socket
import subprocess
import time
from http.client import HTTPConnection
from io import StringIO
from urllib.parse import urlsplit

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from instruments.models import Instrument
from shop.demo.mark import Holding, holding
from shop.demo.serve import HOST, open_port, server_command
from tests import make


def test_the_demo_refuses_a_database_that_holds_somebodys_shop(db):
    make.make_instrument()
    told = StringIO()
    with pytest.raises(CommandError, match="holds a shop that is not the demo, and nothing was changed"):
        call_command("demo", no_serve=True, stdout=told)
    assert told.getvalue() == ""
    assert Instrument.objects.count() == 1


def test_a_shop_with_nobody_but_its_owner_is_a_shop(owner):
    assert holding() is Holding.A_SHOP


def test_a_database_without_rows_holds_nothing(db):
    assert holding() is Holding.NOTHING


def test_a_free_port_is_taken_as_asked():
    free = open_port(0)
    assert open_port(free) == free


def test_a_port_that_somebody_has_is_passed_over():
    with socket.socket() as theirs:
        theirs.bind((HOST, 0))
        theirs.listen()
        assert open_port(theirs.getsockname()[1]) != theirs.getsockname()[1]


def test_the_server_opens_the_door_and_closes_it_when_told(transactional_db, tmp_path):
    port = open_port(0)
    environment = os.environ | {
        "WRESTPLANK_DATA": str(tmp_path),
        "DATABASE_URL": address_of_the_test_database(),
    }
    server = subprocess.Popen(server_command(port), env=environment)
    try:
        assert answer_of(port, "/healthz") == 200
    finally:
        server.terminate()
    assert server.wait(timeout=20) == 0


def address_of_the_test_database() -> str:
    name = connection.settings_dict["NAME"]
    if connection.vendor == "sqlite":
        return f"sqlite:///{name}"
    return urlsplit(os.environ["DATABASE_URL"])._replace(path=f"/{name}").geturl()


def answer_of(port: int, path: str) -> int:
    """The status, once somebody listens; on a busy machine that takes its time."""
    patience = time.monotonic() + 60
    while time.monotonic() < patience:
        door = HTTPConnection(HOST, port, timeout=20)
        try:
            door.request("GET", path)
            return door.getresponse().status
        except (ConnectionError, TimeoutError):
            time.sleep(0.2)
        finally:
            door.close()
    raise AssertionError("Nobody answered.")
