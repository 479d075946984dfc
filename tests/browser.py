"""Debian's Chromium, driven by Playwright against the live server: fixtures `browser` and `page`.

`page` opens addresses of the live server ("/stock/"), reaches nothing but this machine, and fails its test
when a script breaks or the content security policy has to step in. Without Chromium these tests are
skipped, loudly; WRESTPLANK_REQUIRE_BROWSER=yes makes that a failure.
"""

import os
import shutil
from pathlib import Path
from urllib.parse import urlsplit

import pytest

# The one without a window of its own takes two thirds of the time.
FOUND = shutil.which("chromium-headless-shell") or shutil.which("chromium")
CHROMIUM = os.environ.get("WRESTPLANK_CHROMIUM") or FOUND or "/usr/bin/chromium"
BROWSER_IS_REQUIRED = os.environ.get("WRESTPLANK_REQUIRE_BROWSER", "no").lower() in {"yes", "true", "1"}
SWITCHES = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-dev-shm-usage",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
    # Names of other machines lead nowhere. A route would see to that too, but it turns the cache off, and
    # then every page fetches its fonts and style sheets anew.
    "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE localhost, EXCLUDE 127.0.0.1",
]
THIS_MACHINE = {"localhost", "127.0.0.1", "::1"}
PHONE = {"width": 360, "height": 740}
skipped_for_want_of_a_browser = []


def pytest_collection_modifyitems(items):
    for item in items:
        if {"browser", "page"} & set(getattr(item, "fixturenames", ())):
            item.add_marker(pytest.mark.browser)
            # A real browser on a busy machine may miss a moment; a fault of ours fails twice.
            item.add_marker(pytest.mark.flaky(reruns=1))


@pytest.fixture(scope="session")
def browser():
    if not Path(CHROMIUM).exists():
        sentence = f"no Chromium at {CHROMIUM}; install it or point WRESTPLANK_CHROMIUM at one"
        if BROWSER_IS_REQUIRED:
            pytest.fail(sentence, pytrace=False)
        skipped_for_want_of_a_browser.append(sentence)
        pytest.skip(sentence)
    from playwright.sync_api import sync_playwright

    # Playwright keeps an event loop in this thread, and Django would refuse the tests' own queries there.
    os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=CHROMIUM, args=SWITCHES)
        yield chromium
        chromium.close()
    del os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"]


@pytest.fixture
def complaints():
    """What pages did that they may not: a test ends well only when nothing is left in it."""
    return []


@pytest.fixture
def open_page(browser, live_server, complaints):
    """Open further pages, each in a browser of its own that nobody has logged in on."""
    contexts = []

    def open_one(**options):
        context = browser.new_context(base_url=live_server.url, locale="en-GB", **options)
        contexts.append(context)
        context.set_default_timeout(15_000)
        page = context.new_page()
        page.on("requestfailed", lambda request: _note_stranger(request.url, complaints))
        page.on("pageerror", lambda error: complaints.append(f"script error: {error}"))
        page.on("console", lambda said: _note_policy(said.text, complaints))
        return page

    yield open_one
    for context in contexts:
        context.close()
    assert complaints == []


@pytest.fixture
def page(open_page):
    return open_page(viewport={"width": 1280, "height": 900})


@pytest.fixture
def phone(open_page):
    return open_page(viewport=PHONE, has_touch=True, is_mobile=True)


def _note_stranger(url: str, complaints: list[str]) -> None:
    address = urlsplit(url)
    if address.scheme in {"http", "https", "ws", "wss"} and address.hostname not in THIS_MACHINE:
        complaints.append(f"the page asked for {url}")


def _note_policy(text: str, complaints: list[str]) -> None:
    if "Content Security Policy" in text:
        complaints.append(text)


def pytest_terminal_summary(terminalreporter):
    if skipped_for_want_of_a_browser:
        terminalreporter.section("BROWSER TESTS DID NOT RUN", sep="!", red=True, bold=True)
        terminalreporter.write_line(skipped_for_want_of_a_browser[0])
