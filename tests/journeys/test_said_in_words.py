"""What WCAG 2.2 asks of words: never by look or place alone, alike everywhere, and help where it was."""

import html
import re

import pytest

from shop.models import ShopProfile
from tests.access_table import ACCESS, PUBLIC
from tests.house_rules.sources import ROOT
from tests.journeys.seen_pages import pages
from tests.journeys.sentences import sentences

TEMPLATES = {str(path.relative_to(ROOT)): path.read_text() for path in (ROOT / "templates").rglob("*.html")}
COLOUR = r"red|green|gr[ae]y|blue|yellow|orange|black|white|coloured|bold|round|square"
THING = r"(?:button|field|box|dot|mark|sign|link|line|icon|tab|bar|arrow|row|number|figure|thing)s?"
BY_LOOKS_OR_PLACE = re.compile(
    rf"\b(?:{COLOUR})\b[^.]{{0,20}}\b{THING}\b"
    rf"|\b{THING}\b[^.]{{0,20}}\b(?:in|on|at|to) (?:the )?(?:left|right|top|bottom|corner|{COLOUR})\b"
    rf"|\b(?:marked|shown|drawn|printed|stands?|is|are) (?:in )?(?:{COLOUR})\b"
    r"|\b(?:on|to|at) the (?:left|right|top|bottom)\b"
    r"|\b(?:top|bottom|upper|lower) (?:left|right|corner)\b|\b(?:left|right)-hand\b",
    re.IGNORECASE,
)
# No way to find a thing on the page: it is named by its words, or it is a place of a paper or a piano.
NAMED_OTHERWISE = {
    "under their name at the top of every page",
    "The loudest is at the top",
    "Counted row by row from the upper left",
    "Have every note played from the bottom to the top",
    "at the top",
}
# An icon on a button or link means one thing wherever it stands: the words that may stand beside it.
ICONS = {
    "arrow-left": r"toward the front",
    "arrow-right": r"toward the back",
    "camera": r"Add a photograph",
    "download": r"CSV|XLSX|Empty table",
    "music": r"recording|Listen",
    "plus": r"Log an instrument",
    "printer": r"PDF|Print",
    "search": r"Find",
    "trash-2": r"Put (it )?away",
    "triangle-alert": r"[Tt]ake care",
    "undo-2": r"Bring back",
    "upload": r"Import",
    "x": r"Leave out",
}
BESIDE_WORDS = re.compile(
    r'<(a|button|label|summary)\b[^>]*>\s*{% icon "([a-z0-9-]+)" %}(.*?)</\1>', re.DOTALL
)


def by_looks_or_place(said: str) -> list[str]:
    return [
        found.group()
        for found in BY_LOOKS_OR_PLACE.finditer(said)
        if not any(found.group() in each and each in said for each in NAMED_OTHERWISE)
    ]


def test_nothing_is_asked_for_by_its_look_or_place_alone():
    """1.3.3."""
    said = list(sentences())
    assert len(said) > 5000
    assert [(where, found) for where, each in said for found in by_looks_or_place(each)] == []


@pytest.mark.parametrize(
    "said",
    [
        "Press the green button.",
        "Fields in red are wanted.",
        "What is out is shown in red.",
        "Use the arrow on the right.",
        "The menu is in the upper right corner.",
        "Choose the round one: the square sign is another.",
    ],
)
def test_a_sentence_that_does_so_is_noticed(said):
    assert by_looks_or_place(said)


def test_no_words_are_shown_as_a_picture():
    """1.4.5: pictures are photographs that people took; icons have no words, drawings have them as text."""
    icons = {path.name: path.read_text() for path in (ROOT / "static" / "icons").glob("*.svg")}
    assert len(icons) > 20
    assert [name for name, drawn in icons.items() if re.search(r"<(text|image)\b", drawn)] == []
    shown = {
        (name, source)
        for name, template in TEMPLATES.items()
        for source in re.findall(r'<img[^>]*? src="([^"]*)"', template)
    }
    assert shown
    assert [each for each in sorted(shown) if not re.search(r"photo|picture\.src", each[1])] == []
    sheets = "".join(path.read_text() for path in (ROOT / "static" / "css").glob("*.css"))
    assert set(re.findall(r"url\(\"?\.\./(\w+)/", sheets)) == {"fonts"}


def test_an_icon_means_the_same_wherever_it_stands():
    """3.2.4."""
    found = [each for template in TEMPLATES.values() for each in BESIDE_WORDS.findall(template)]
    beside = [(icon, " ".join(re.sub(r"<[^>]*>|{%.*?%}", " ", words).split())) for _, icon, words in found]
    assert len(beside) > 15 and {icon for icon, _ in beside} == set(ICONS)
    assert [each for each in beside if not re.search(ICONS[each[0]], each[1])] == []


@pytest.mark.django_db(transaction=True)
def test_what_leads_to_the_same_place_is_named_the_same_on_every_page(client, owner, world):
    """3.2.4: the ways that pages offer again and again, each kind of them by itself."""
    client.force_login(owner)
    found = pages(client, world, [name for name, (_, right) in ACCESS.items() if right != PUBLIC])
    named: dict[tuple[str, str], set[str]] = {}
    for url in found.values():
        for way in ways_of(client.get(url, follow=True).content.decode()):
            named.setdefault(way[:2], set()).add(way[2])
    assert len(found) > 150 and len(named) > 20
    assert {way: words for way, words in named.items() if len(words) > 1} == {}


def ways_of(page: str) -> list[tuple[str, str, str]]:
    """Of each navigation that a page has: its name, and where its links lead and what they say."""
    navigations = re.findall(r'<nav\b[^>]*aria-label="([^"]*)"[^>]*>(.*?)</nav>', page, re.DOTALL)
    return [
        (name, address, " ".join(html.unescape(words).split()))
        for name, inner in navigations
        for address, words in re.findall(r'<a [^>]*?href="(/[^"?#]*)"[^>]*>([^<]+)</a>', inner)
    ]


@pytest.mark.django_db(transaction=True)
def test_help_stands_at_the_same_place_of_every_public_page(stranger, world):
    """3.2.6: whom to ask and where the shop is, in one order at the foot."""
    ShopProfile.objects.update_or_create(pk=1, defaults={"address": "4 Salt Lane\nPenhallow"})
    found = pages(stranger, world, [name for name, (_, right) in ACCESS.items() if right == PUBLIC])
    answers = {name: stranger.get(url, follow=True) for name, url in found.items()}
    of_the_window = [name for name, answer in answers.items() if _is_of_the_window(answer)]
    assert {"window", "listing_public", "listen", "comparison", "ask", "history_public"} <= set(of_the_window)
    feet = {_foot(answers[name].content.decode()) for name in of_the_window}
    assert feet == {("Ask us", f"{ShopProfile.current().name}, 4 Salt Lane, Penhallow")}


def _is_of_the_window(answer) -> bool:
    return "base_public.html" in {template.name for template in answer.templates}


def _foot(page: str) -> tuple[str, ...]:
    """The first two lines behind the page's own."""
    lines = re.findall(r"<p>(.*?)</p>", page.partition("</main>")[2], re.DOTALL)
    return tuple(html.unescape(re.sub(r"<[^>]*>", "", line)).strip() for line in lines[:2])
