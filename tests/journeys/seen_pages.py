"""Which addresses are pages, and what somebody who cannot see well, or holds a phone, would stumble over."""

from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse

from tests.access_table import ACCESS
from tests.access_world import arguments_for
from tests.journeys.eye import faults_by_eye
from tests.sampling import sampled
from tests.test_access import addresses

RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
OPTIONS = {
    "runOnly": {"type": "tag", "values": RULES},
    "resultTypes": ["violations"],
    "preload": False,  # of style sheets that no rule of these asks for
}
# As much room between letters, words, lines and paragraphs as somebody may need: WCAG 2.2, 1.4.12.
SPACED = """() => document.querySelectorAll("body, body *").forEach((each) => {
  each.style.letterSpacing = "0.12em"; each.style.wordSpacing = "0.16em"; each.style.lineHeight = "1.5";
  if (each.localName === "p") each.style.marginBottom = "2em";
})"""
# A phone that has to zoom out tells a wider window too: what counts is the page it lays things out on.
SIDEWAYS = "document.scrollingElement.scrollWidth > document.documentElement.clientWidth"
PHONE = {"width": 360, "height": 740}
NARROW = {"width": 320, "height": 700}
SHOP = {"", "shop"}  # the names of the public pages and of Today stand under no app
axe = Axe()


def pages_of_the_shop(client, world) -> dict[str, str]:
    return pages(client, world, [name for name in ACCESS if _app(name) in SHOP])


def pages_of_the_workshop(client, world) -> dict[str, str]:
    """All others, so that a new app's pages are seen as well."""
    return pages(client, world, [name for name in ACCESS if _app(name) not in SHOP])


def pages(client, world, names) -> dict[str, str]:
    """The address of each that answers with a page, by its name; files, fragments and acts fall away."""
    found = {}
    for name in names:
        if ACCESS[name][0] == "GET":
            url = reverse(name, kwargs=arguments_for(addresses()[name], name, world))
            if is_page(client.get(url, follow=True)):
                found[name] = url
    return found


def is_page(answer) -> bool:
    """A whole document that was found. A file is another type, a fragment has no head."""
    is_html = answer.headers.get("Content-Type", "").startswith("text/html")
    if answer.status_code != 200 or answer.streaming or not is_html:
        answer.close()
        return False
    return answer.content.lstrip()[:9].lower() == b"<!doctype"


def faults_on(page, found: dict[str, str]) -> dict[str, list[str]]:
    """The pages that have faults, each with them. One that does not answer with itself is a fault too."""
    wrong = {}
    for name, url in ((name, found[name]) for name in sampled(found)):
        answer = page.goto(url)
        faults = [] if answer.status == 200 else [f"answered {answer.status}"]
        if faults := faults + faults_of(page):
            wrong[name] = faults
    return wrong


def faults_of(page) -> list[str]:
    """What axe and the eye find on the page as a phone shows it, and whether it scrolls sideways.

    It stays spaced.
    """
    violations = axe.run(page, options=OPTIONS).response["violations"]
    faults = [f"{rule['id']}: {rule['nodes'][0]['html'][:160]}" for rule in violations]
    faults += faults_by_eye(page)
    for viewport in (PHONE, NARROW):
        page.set_viewport_size(viewport)
        if page.evaluate(SIDEWAYS):
            faults.append(f"scrolls sideways at {viewport['width']} px")
    page.set_viewport_size(PHONE)
    page.evaluate(SPACED)
    if page.evaluate(SIDEWAYS):
        faults.append("scrolls sideways with its letters spaced out")
    return faults


def _app(name: str) -> str:
    return name.rpartition(":")[0]
