"""A client finds every static file, also where another looked for them before."""

import pytest
from django.conf import settings as project_settings
from whitenoise.middleware import WhiteNoiseMiddleware

from tests import static_once


@pytest.fixture
def looks(monkeypatch):
    """How often it was looked, beginning with nothing found."""
    looked = []
    monkeypatch.setattr(static_once, "_found", {})
    look = static_once._look
    monkeypatch.setattr(static_once, "_look", lambda middleware: looked.append(look(middleware)))
    return looked


def test_the_second_finds_what_the_first_found(looks):
    first, second = WhiteNoiseMiddleware(None), WhiteNoiseMiddleware(None)
    assert second.files.keys() == first.files.keys() > {"/static/js/app.js"}
    assert len(looks) == 1


def test_elsewhere_it_is_looked_anew(looks, settings, tmp_path):
    WhiteNoiseMiddleware(None)
    (tmp_path / "new.css").write_text("p { color: black }")
    settings.STATICFILES_DIRS = [*project_settings.STATICFILES_DIRS, tmp_path]
    assert "/static/new.css" in WhiteNoiseMiddleware(None).files
    assert len(looks) == 2
