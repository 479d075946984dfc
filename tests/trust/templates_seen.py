"""A plugin for pytest: which templates were drawn while its tests ran, a line each, into WRESTPLANK_SEEN.

    WRESTPLANK_SEEN=file python -m pytest -p tests.trust.templates_seen …

What Django's own test settings tell of each template that is drawn (extended and included ones too) is kept.
"""

import os
from pathlib import Path

seen: set[str] = set()


def pytest_sessionstart(session):
    from django.test.signals import template_rendered

    template_rendered.connect(_note, dispatch_uid="templates seen")


def pytest_sessionfinish(session):
    Path(os.environ["WRESTPLANK_SEEN"]).write_text("".join(f"{name}\n" for name in sorted(seen)))


def _note(template, **_):
    if template.name:
        seen.add(template.name)
