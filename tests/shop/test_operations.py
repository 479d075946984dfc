"""The files by which the shop is run for real name what there is."""

import re
import runpy

import pytest
from django.conf import settings
from django.core.management import get_commands

FOLDER = settings.BASE_DIR / "shop" / "operations"
GUIDE = (FOLDER / "OPERATIONS.md").read_text()
TIMERS = [path.name.removesuffix(".timer").partition("@")[2] for path in FOLDER.glob("*.timer")]


def test_every_timer_starts_a_command_there_is():
    assert {"backup", "send_reminders", "retention", "verify"} == set(TIMERS) <= set(get_commands())


def test_guide_names_commands_and_files_there_are():
    commands = set(re.findall(r"(?<![\w/@])wrestplank ([a-z_]+)", GUIDE)) - {"wrestplank"}
    assert commands and commands <= set(get_commands())
    for name in re.findall(r"shop/operations/([\w.@]+\.conf)", GUIDE):
        assert (FOLDER / name).exists(), name


def test_units_run_the_program_from_one_place_with_one_file_of_settings():
    units = [path.read_text() for path in FOLDER.glob("*.service")]
    assert len(units) == 2
    for unit in units:
        assert "WorkingDirectory=/opt/wrestplank" in unit and "EnvironmentFile=/etc/wrestplank.env" in unit
        assert "ReadWritePaths=/srv/wrestplank" in unit and "User=wrestplank" in unit


def test_gunicorn_reads_its_file():
    read = runpy.run_path(str(FOLDER / "gunicorn.conf.py"))
    assert read["worker_class"] == "gthread" and read["bind"].startswith("127.0.0.1:")
    assert read["logconfig_dict"]["loggers"]["gunicorn.error"]["handlers"] == ["lines"]


@pytest.mark.parametrize(
    "line",
    [
        "X-Forwarded-For $remote_addr",
        "X-Forwarded-Proto $scheme",
        'X-Forwarded-Host ""',
        "X-Request-ID $request_id",
    ],
)
def test_nginx_throws_away_what_strangers_claim(line):
    assert f"proxy_set_header {line};" in (FOLDER / "nginx.conf").read_text()


def test_nginx_writes_no_address_of_a_page_or_of_a_person():
    (form,) = re.findall(r"log_format wrestplank '(.*)';", (FOLDER / "nginx.conf").read_text())
    assert not {"$request", "$request_uri", "$uri", "$args", "$remote_addr", "$http_referer"} & set(
        form.split()
    )
