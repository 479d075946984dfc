import os
import time

import pytest
from django.core.exceptions import ImproperlyConfigured

from shop.environment import environment_flag, environment_list, files_are_collected, kept_secret_key


@pytest.mark.parametrize(
    ("said", "meant"),
    [("yes", True), ("TRUE", True), ("1", True), ("no", False), ("false", False), ("0", False)],
)
def test_flag_is_yes_or_no(monkeypatch, said, meant):
    monkeypatch.setenv("WRESTPLANK_HTTPS", said)
    assert environment_flag("WRESTPLANK_HTTPS", default=not meant) is meant


def test_flag_that_is_neither_is_refused_by_name(monkeypatch):
    monkeypatch.setenv("WRESTPLANK_HTTPS", "maybe")
    with pytest.raises(ImproperlyConfigured, match="WRESTPLANK_HTTPS must be yes or no, not 'maybe'"):
        environment_flag("WRESTPLANK_HTTPS", default=False)


def test_list_is_cut_at_commas(monkeypatch):
    monkeypatch.setenv("WRESTPLANK_HOSTS", "shop.example, www.shop.example,")
    assert environment_list("WRESTPLANK_HOSTS", "") == ["shop.example", "www.shop.example"]


def test_secret_key_is_made_once_and_kept_for_this_user_alone(tmp_path):
    first = kept_secret_key(tmp_path)
    assert kept_secret_key(tmp_path) == first
    assert len(first) >= 50
    assert (tmp_path / "secret_key").stat().st_mode & 0o077 == 0
    assert [path.name for path in tmp_path.iterdir()] == ["secret_key"]


@pytest.fixture
def program(tmp_path):
    """A checkout whose files were written an hour before now."""
    for name in ("shop/bound_files.py", "static/css/tokens.css"):
        path = tmp_path / "program" / name
        path.parent.mkdir(parents=True)
        path.touch()
        os.utime(path, (time.time() - 3_600,) * 2)
    os.utime(tmp_path / "program" / "static" / "css", (time.time() - 3_600,) * 2)
    return tmp_path / "program"


def test_the_first_run_of_collectstatic_packs_the_files_already(tmp_path, program, monkeypatch):
    monkeypatch.setattr("sys.argv", ["manage.py", "check"])
    assert files_are_collected(tmp_path, program) is False
    monkeypatch.setattr("sys.argv", ["manage.py", "collectstatic", "--noinput"])
    assert files_are_collected(tmp_path, program) is True
    monkeypatch.setattr("sys.argv", ["gunicorn", "shop.wsgi"])
    (tmp_path / "staticfiles.json").touch()
    assert files_are_collected(tmp_path, program) is True


@pytest.mark.parametrize("changed", ["shop/bound_files.py", "static/css/tokens.css"])
def test_what_was_packed_before_an_update_is_not_served_any_more(tmp_path, program, monkeypatch, changed):
    monkeypatch.setattr("sys.argv", ["gunicorn", "shop.wsgi"])
    (tmp_path / "staticfiles.json").touch()
    os.utime(program / changed, (time.time() + 60,) * 2)
    assert files_are_collected(tmp_path, program) is False
