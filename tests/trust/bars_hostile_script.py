"""Bar 23: texts that would run as script, in every column, on every page, in Chromium."""

import os

from tests.trust.board import Figure, measures
from tests.trust.scratch import scratch_database

A_FEW = 2


@measures(23)
def stored_script(long: bool) -> Figure:
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"  # Playwright keeps an event loop in this thread
    with scratch_database():
        from playwright.sync_api import sync_playwright
        from pytest import MonkeyPatch
        from pytest_django.live_server_helper import LiveServer

        from tests.browser import CHROMIUM, SWITCHES
        from tests.trust import planting
        from tests.trust.hostile_controls import name_marked_safe
        from tests.trust.payloads import PAYLOADS
        from tests.trust.script_trap import open_all

        turns = range(len(PAYLOADS)) if long else range(A_FEW)
        server = LiveServer("localhost")
        pages, faults = 0, []
        with sync_playwright() as playwright, MonkeyPatch.context() as patch:
            patch.setattr(planting, "TEXTS", PAYLOADS)
            chromium = playwright.chromium.launch(executable_path=CHROMIUM, args=SWITCHES)
            for turn in turns:
                world, client, context = _opened(server, chromium, turn)
                policy = client.get("/window/").headers["Content-Security-Policy"]
                caught = open_all(context, client, world)
                pages, faults = pages + caught.pages, faults + caught.faults
                client.logout()
                stranger = chromium.new_context(base_url=server.url)
                caught = open_all(stranger, client, world)
                pages, faults = pages + caught.pages, faults + caught.faults
                stranger.close()
                context.close()
            with MonkeyPatch.context() as without:
                world, client, context = _opened(server, chromium, 0)
                name_marked_safe(without)
                control = open_all(context, client, world, ["shop:person_page"])
            chromium.close()
        server.stop()
    said = (
        f"{len(PAYLOADS)} payloads, {len(turns)} rounds through all columns, {pages} pages opened: "
        f"{len(faults)} ran, were stopped or became markup{', first: ' + faults[0] if faults else ''}; "
        f"policy: {policy}"
    )
    met = not faults and pages > 100 * len(turns) and "unsafe" not in policy
    return Figure(said, met, f"one name marked safe: {len(control.faults)} seen, {control.faults[:1]}")


def _opened(server, chromium, turn: int):
    """A world of that turn in an emptied database, its owner signed in here and in a browser."""
    from django.core.management import call_command
    from django.test import Client

    from shop.db.append_only import remove_guards
    from tests.trust.hostile_world import make_hostile_world

    remove_guards(using="default")
    call_command("flush", verbosity=0, interactive=False)
    world, client = make_hostile_world(turn), Client()
    client.force_login(world.owner)
    context = chromium.new_context(base_url=server.url)
    cookie = {"name": "sessionid", "value": client.cookies["sessionid"].value, "url": server.url}
    context.add_cookies([cookie])
    return world, client, context
