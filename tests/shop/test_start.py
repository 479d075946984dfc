"""What is in memory when a server takes its first request: all addresses, and nothing seldom needed."""

import subprocess
import sys

import pytest
from django.conf import settings

OPENED = """
import gc, sys
import shop.wsgi
from django.urls import get_resolver
print(gc.isenabled(), gc.get_freeze_count() > 10_000, get_resolver()._populated)
print(gc.get_threshold()[2] > 10, sys.getswitchinterval() < 0.001)
print(*sorted({name.partition(".")[0] for name in sys.modules}))
"""


@pytest.fixture(scope="module")
def opened(tmp_path_factory):
    """The three lines that a fresh process says once the door is open."""
    ran = subprocess.run(
        [sys.executable, "-c", OPENED],
        cwd=settings.BASE_DIR,
        env={
            "DJANGO_SETTINGS_MODULE": "shop.settings",
            "WRESTPLANK_DATA": str(tmp_path_factory.mktemp("start")),
            "WRESTPLANK_ONE_PROCESS": "yes",
        },
        capture_output=True,
        text=True,
        check=True,
    )
    return ran.stdout.splitlines()


def test_rubbish_is_looked_for_again_and_what_was_loaded_is_left_out_of_it(opened):
    assert opened[0] == "True True True"


def test_it_is_looked_for_seldom_and_threads_take_short_turns(opened):
    assert opened[1] == "True True"


@pytest.mark.parametrize("library", ["numpy", "openpyxl", "pi_heif", "av"])
def test_a_slow_library_waits_until_it_is_needed(opened, library):
    assert library not in opened[2].split()
