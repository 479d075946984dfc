"""The servers of a nursery: what is killed is gone at once, whoever buries the orphans of the machine."""

import os
import signal
import time
from contextlib import suppress
from pathlib import Path

import pytest

from tests.trust.nursery import Nursery

PATIENCE_SECONDS = 60


def eventually(find):
    until = time.monotonic() + PATIENCE_SECONDS
    while time.monotonic() < until:
        with suppress(OSError):
            if found := find():
                return found
        time.sleep(0.01)
    raise AssertionError("It did not happen in time.")


def parent_of(pid: int) -> int:
    return int(Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[1])


def children_of(pid: int) -> list[int]:
    return [int(each) for each in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]


@pytest.mark.django_db(transaction=True)
def test_nursery_buries_the_workers_of_a_server_that_was_killed(tmp_path):
    nursery = Nursery(tmp_path, workers=1)
    server = nursery.open()
    try:
        (worker,) = eventually(lambda: children_of(server.pid))
        os.kill(worker, signal.SIGSTOP)  # so that it does not leave by itself when it is alone
        os.kill(server.pid, signal.SIGKILL)
        eventually(lambda: parent_of(worker) != server.pid)
        assert parent_of(worker) == nursery.process.pid
        server.kill_all()
        assert not Path(f"/proc/{worker}").exists()
    finally:
        server.kill_all()
        nursery.close()
