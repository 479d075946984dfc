"""The files by which the shop is run for real name what there is."""

import os
import re
import runpy
import shlex
import ssl
import subprocess
import sys

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


def test_ciphers_are_sealed_forward_secret_and_the_strongest_come_first():
    (named,) = re.findall(r"ssl_ciphers ([\w:-]+);", (FOLDER / "nginx.conf").read_text())
    each = named.split(":")
    assert all(
        re.fullmatch(r"ECDHE-(ECDSA|RSA)-(AES(128|256)-GCM-SHA\d+|CHACHA20-POLY1305)", one) for one in each
    )
    assert each == sorted(each, key=lambda one: "AES128" in one)  # 256 bits before 128
    assert "ssl_prefer_server_ciphers on;" in (FOLDER / "nginx.conf").read_text()
    known = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    known.set_ciphers(named)
    assert set(each) <= {one["name"] for one in known.get_ciphers()}


def test_nginx_and_the_database_are_spoken_to_over_sockets_without_a_password():
    (upstream,) = re.findall(r"^\s+server (\S+);", (FOLDER / "nginx.conf").read_text(), re.MULTILINE)
    unit = (FOLDER / "wrestplank.socket").read_text()
    assert upstream == "unix:" + re.search(r"^ListenStream=(.*)$", unit, re.MULTILINE)[1]
    assert "SocketUser=www-data" in unit and "SocketMode=0600" in unit
    assert "Requires=wrestplank.socket" in (FOLDER / "wrestplank.service").read_text()
    assert "DATABASE_URL=postgres://%2Frun%2Fpostgresql/wrestplank" in GUIDE and "PASSWORD" not in GUIDE


@pytest.mark.parametrize("name", ["wrestplank.service", "wrestplank@.service"])
def test_a_unit_reaches_this_machine_alone_and_writes_one_folder(name):
    lines = (FOLDER / name).read_text().splitlines()
    for line in ("IPAddressDeny=any", "IPAddressAllow=localhost", "ProtectSystem=strict", "ProtectHome=yes"):
        assert line in lines, line
    assert [line for line in lines if line.startswith("ReadWritePaths=")] == [
        "ReadWritePaths=/srv/wrestplank"
    ]
    assert [line for line in lines if line.startswith("IPAddressAllow=")] == ["IPAddressAllow=localhost"]


def test_nginx_hands_requests_to_the_program_alone_and_serves_one_folder():
    said = (FOLDER / "nginx.conf").read_text()
    assert set(re.findall(r"proxy_pass (\S+);", said)) == {"http://wrestplank"}
    assert re.findall(r"location (\S+) \{ root", said) == ["/.well-known/acme-challenge/"]


def test_a_shop_runs_without_tests_and_demo(tmp_path):
    """The very checkout that the guide makes: nothing of either is there, and the program is whole."""
    patterns = shlex.split(re.search(r"sparse-checkout set --no-cone (.*) && git checkout", GUIDE)[1])
    git = ["git", "-C", str(tmp_path / "shop")]
    run([*["git", "clone", "-q", "--no-checkout"], str(settings.BASE_DIR), str(tmp_path / "shop")])
    run([*git, *["sparse-checkout", "set", "--no-cone"], *patterns])
    run([*git, "checkout", "-q"])
    assert not (tmp_path / "shop" / "tests").exists() and not (tmp_path / "shop" / "shop" / "demo").exists()
    told = os.environ | {"PYTHONPATH": str(tmp_path / "shop"), "WRESTPLANK_DATA": str(tmp_path / "data")}
    ran = run([sys.executable, "manage.py", "check"], cwd=tmp_path / "shop", env=told | {"DATABASE_URL": ""})
    assert "no issues" in ran
    helped = run(
        [sys.executable, "manage.py", "help"], cwd=tmp_path / "shop", env=told | {"DATABASE_URL": ""}
    )
    assert "prepare_shop" in helped and not re.search(r"\bdemo\b", helped)


def run(words: list[str], **more) -> str:
    return subprocess.run(words, capture_output=True, text=True, check=True, **more).stdout
