"""The crash loop in small: it finds nothing in the shop, and at once what each door lacks."""

import pytest
from django.db import connection

from tests.trust.crash import Loop

pytestmark = pytest.mark.both


@pytest.fixture
def loop(transactional_db, roles, tmp_path, settings):
    settings.MEDIA_ROOT = tmp_path / "media"
    return lambda **options: Loop(tmp_path, **options)


def test_program_killed_under_load_keeps_what_it_said(loop):
    outcome = loop().run(3)
    assert outcome.faults == []
    assert (outcome.kills, outcome.in_flight > 0) == (3, True)
    assert outcome.acknowledged == outcome.sent


@pytest.mark.skipif(connection.vendor != "sqlite", reason="what the loop sees is the same on both")
def test_loop_sees_what_was_told_and_not_done(loop):
    door = "tests.trust.crash_doors:told_before_it_is_done()"
    outcome = loop(door=door, kinds=("pay",)).run(2, stop_at_a_fault=True)
    assert any("was acknowledged and is lost" in fault for fault in outcome.faults)
