"""Texts that would run as script, on the fullest pages, in Chromium; `tests.trust --only 23` opens all."""

import pytest

from tests.trust import planting
from tests.trust.hostile_controls import name_marked_safe
from tests.trust.hostile_world import make_hostile_world
from tests.trust.payloads import PAYLOADS
from tests.trust.script_trap import open_all

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.browser]
FULL_PAGES = ("listing_public", "instrument", "shop:person_page", "shop:people", "today", "shop:trial_page")


def test_nothing_typed_runs_in_a_browser(browser, live_server, client, monkeypatch):
    monkeypatch.setattr(planting, "TEXTS", PAYLOADS)
    world = make_hostile_world(turn=0)
    client.force_login(world.owner)
    context = browser.new_context(base_url=live_server.url)
    session = client.cookies["sessionid"].value
    context.add_cookies([{"name": "sessionid", "value": session, "url": live_server.url}])
    caught = open_all(context, client, world, FULL_PAGES)
    assert caught.faults == [] and caught.pages == len(FULL_PAGES)
    name_marked_safe(monkeypatch)
    assert open_all(context, client, world, ["shop:person_page"]).faults
    context.close()
