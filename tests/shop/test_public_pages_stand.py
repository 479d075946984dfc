"""Every public page as programs take it: HTML, the words of schema.org, and how much it weighs."""

import gzip
import re
from decimal import Decimal
from pathlib import Path

import pytest
from django.conf import settings as project_settings
from django.contrib.staticfiles import finders
from django.urls import reverse

from shop.actions.listing import draft_listing, edit_listing
from tests import make
from tests.access_table import ACCESS, PUBLIC
from tests.access_world import arguments_for, make_world
from tests.html_faults import faults_of_html
from tests.make_recording import make_recording
from tests.schema_org import data_in, faults_in
from tests.test_access import addresses

pytestmark = pytest.mark.django_db
MOST_BYTES = 150_000
NO_PAGES = {
    *(
        "health",
        "readiness",
        "login_code",
        "logout",
        "offline_worker",
        "robots",
        "sitemap",
        "comparison_print",
    ),
    *("listing_photo", "listing_sound", "history_photo"),
}


@pytest.fixture
def listing(db):
    instrument = make.make_instrument(serial="31447", made="1912~", made_basis="mark", height_cm=Decimal(122))
    make.make_price(instrument=instrument)
    for colour in ("sienna", "navy"):
        make.make_photo(instrument=instrument, colour=colour)
    return make.put_in_window(draft_listing(instrument=instrument, by=make.somebody()))


@pytest.fixture
def full(listing):
    """With something in every part of the page."""
    instrument = listing.instrument
    make_recording(instrument=instrument, is_public=True)
    make.make_weighing(instrument=instrument)
    for number in range(8):
        make.make_statement(instrument=instrument, text=f"Played by hand {number}", is_public=True)
    words = "\n".join(f"Line {number} of what was said and done." for number in range(30))
    edit_listing(listing=listing, by=make.somebody(), work_done=words, not_done=words, faults=words)
    return listing


def test_every_public_page_is_html_that_a_parser_need_not_guess_at(stranger, owner):
    world = make_world(owner)
    names = {name for name, (_, right) in ACCESS.items() if right == PUBLIC} - NO_PAGES
    found = {name: reverse(name, kwargs=arguments_for(addresses()[name], name, world)) for name in names}
    found |= {
        "narrowed": "/window/?height_from=x&price_from=9&price_to=1",
        "nothing": "/window/?height_to=30",
    }
    found |= {"not there": "/window/no-such-piano/"}
    faults = {name: faults_of_html(stranger.get(url).content.decode()) for name, url in found.items()}
    assert {"window", "listing_public", "history_public", "listen"} <= set(faults)
    assert {name: said for name, said in faults.items() if said} == {}


def test_a_page_that_is_gone_is_html_too(stranger, listing):
    make.make_running_trial(instrument=listing.instrument)
    page = stranger.get(listing.get_absolute_url()).content.decode()
    assert faults_of_html(page) == []
    assert data_in(page) == []  # what is not offered has nothing to say to machines


def test_a_full_page_says_to_machines_only_what_the_vocabulary_has_words_for(stranger, full):
    page = stranger.get(full.get_absolute_url()).content.decode()
    (data,) = data_in(page)
    assert faults_of_html(page) == []
    assert faults_in(data) == []
    assert data["offers"]["price"] == "1800.00"
    assert data["offers"]["priceCurrency"] == project_settings.CURRENCY
    assert data["offers"]["availability"] == "https://schema.org/InStock"
    assert data["url"] == data["offers"]["url"] == f"http://testserver{full.get_absolute_url()}"


@pytest.mark.parametrize(
    ("page", "fault"),
    [
        ("<!doctype html><title>a</title><p><div></p>", "unexpected-end-tag"),
        ("<!doctype html><title>a</title><p id=a><b id=a>", "the id 'a' stands 2 times"),
        ("<!doctype html><title>a</title><label for=x>y</label>", "for='x' names nothing"),
        ("<!doctype html><title>a</title><a href='#x'>y</a>", "#x leads nowhere"),
        ("<!doctype html><title>a</title><img src=a>", "a picture without alt"),
        ("<title>a</title>", "expected-doctype"),
    ],
)
def test_the_check_of_html_bites(page, fault):
    assert any(fault in said for said in faults_of_html(page))


RIGHT = {"@context": "https://schema.org", "@type": "IndividualProduct", "name": "A piano"}


@pytest.mark.parametrize(
    ("changed", "fault"),
    [
        ({}, None),
        ({"gtinn": "1"}, "IndividualProduct has no gtinn"),
        ({"price": "1"}, "IndividualProduct has no price"),
        ({"@type": "Pianoforte"}, "no class of the vocabulary"),
        ({"brand": {"@type": "Place"}}, "brand does not expect"),
        ({"image": ["a picture"]}, "image does not expect"),
        ({"productionDate": "about 1912"}, "productionDate does not expect"),
        ({"itemCondition": "https://schema.org/InStock"}, "itemCondition does not expect"),
        ({"offers": {"@type": "Offer", "serialNumber": "2"}}, None),
        ({"offers": {"@type": "Offer", "maker": "2"}}, "Offer has no maker"),
        ({"@context": "https://schema.example"}, "the context is"),
    ],
)
def test_the_check_of_the_vocabulary_bites(changed, fault):
    said = faults_in(RIGHT | changed)
    assert said == [] if fault is None else any(fault in each for each in said)


def served_bytes(page: str) -> dict[str, int]:
    """What comes down the line without pictures and sounds, each file packed as it is served."""
    files = set(re.findall(r'(?:href|src)="/static/([^"]+)"', page)) - {"icons/touch-icon.png"}
    sheets = "".join(_content(name).decode() for name in files if name.endswith(".css"))
    faces = {f"fonts/{name}" for name in re.findall(r"fonts/([\w-]+-latin-\d+-\w+\.woff2)", sheets)}
    if "'EB Garamond'" not in page:  # upright and not strong: drawings alone ask for it
        faces.discard("fonts/eb-garamond-latin-400-normal.woff2")
    sizes = {name: _packed(name) for name in files | faces}
    return sizes | {"page": len(gzip.compress(page.encode(), 6))}


def _packed(name: str) -> int:
    content = _content(name)
    return len(content if name.endswith((".woff2", ".png")) else gzip.compress(content, 6))


def _content(name: str) -> bytes:
    return Path(finders.find(name)).read_bytes()


@pytest.mark.parametrize("which", ["window", "listing"])
def test_a_public_page_weighs_less_than_150_kilobytes_without_its_photographs(stranger, full, which):
    page = stranger.get("/window/" if which == "window" else full.get_absolute_url()).content.decode()
    sizes = served_bytes(page)
    assert any(name.endswith("public.css") for name in sizes) and any("fonts/" in name for name in sizes)
    assert sum(sizes.values()) < MOST_BYTES, sorted(sizes.items(), key=lambda each: -each[1])
