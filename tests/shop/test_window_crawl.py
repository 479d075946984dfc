"""What search engines and shared links are told. Sources: sitemaps.org 0.9, RFC 9309, ogp.me, BCP 47."""

import re
from xml.etree import ElementTree

import pytest
from django.core.exceptions import DisallowedHost

from shop.actions.listing import draft_listing
from shop.models import ShopProfile
from shop.site_address import site_of
from tests import make

pytestmark = pytest.mark.django_db
NAMESPACE = "{http://www.sitemaps.org/schemas/sitemap/0.9}"


@pytest.fixture
def listing(db):
    instrument = make.make_instrument(serial="31447", made="1912~", made_basis="serial")
    make.make_price(instrument=instrument)
    make.make_photo(instrument=instrument)
    return make.put_in_window(draft_listing(instrument=instrument, by=make.somebody()))


def name_the_site(address: str) -> None:
    ShopProfile.objects.update_or_create(pk=1, defaults={"public_address": address})


def content(words: str, name: str) -> str:
    return re.search(rf'<meta (?:name|property)="{name}" content="([^"]*)">', words).group(1)


def test_the_sitemap_names_what_stands_in_the_window_and_nothing_else(stranger, listing):
    draft_listing(instrument=make.make_instrument(), by=make.somebody())
    answer = stranger.get("/sitemap.xml")
    found = ElementTree.fromstring(answer.content)
    named = [each.text for each in found.iter(f"{NAMESPACE}loc")]
    assert answer["Content-Type"] == "application/xml; charset=utf-8"
    assert found.tag == f"{NAMESPACE}urlset"
    assert named == [
        f"http://testserver{path}" for path in ("/window/", "/listen/", listing.get_absolute_url())
    ]
    assert len(list(found.iter(f"{NAMESPACE}lastmod"))) == 1


def test_the_sitemap_asks_the_database_no_more_for_many_pieces(stranger, listing, django_assert_num_queries):
    with django_assert_num_queries(2):
        stranger.get("/sitemap.xml")
    another = make.make_instrument(serial="62")
    make.make_price(instrument=another)
    make.make_photo(instrument=another, colour="navy")
    make.put_in_window(draft_listing(instrument=another, by=make.somebody()))
    with django_assert_num_queries(2):
        assert stranger.get("/sitemap.xml").content.count(b"<lastmod>") == 2


def test_robots_may_read_the_public_pages_alone_and_are_led_to_the_sitemap(stranger, listing):
    answer = stranger.get("/robots.txt")
    lines = answer.content.decode().splitlines()
    assert answer["Content-Type"] == "text/plain; charset=utf-8"
    assert {"Disallow: /", "Allow: /window/", "Allow: /static/"} <= set(lines)
    assert not any(word in line for line in lines for word in ("stock", "people", "books"))
    assert lines[-1] == "Sitemap: http://testserver/sitemap.xml"


def test_a_page_names_its_one_address_and_its_language(stranger, listing):
    words = stranger.get(f"{listing.get_absolute_url()}?utm=x").content.decode()
    address = f"http://testserver{listing.get_absolute_url()}"
    assert '<html lang="en-GB">' in words
    assert f'<link rel="canonical" href="{address}">' in words
    assert re.findall(rf'<link rel="alternate" hreflang="([^"]+)" href="{re.escape(address)}">', words) == [
        "en-GB",
        "x-default",
    ]


def test_a_shared_link_has_its_picture_under_a_whole_address(stranger, listing):
    words = stranger.get(listing.get_absolute_url()).content.decode()
    photo = listing.instrument.photos.get()
    address = f"http://testserver{listing.get_absolute_url()}photo/{photo.pk}/large/"
    assert content(words, "og:image") == address
    assert content(words, "og:type") == "product"
    assert content(words, "og:title") == "Halden &amp; Rook upright, about 1912"
    assert stranger.get(address)["Content-Type"] == "image/jpeg"


def test_addresses_are_those_of_the_site_the_shop_has_named(stranger, listing):
    name_the_site("https://castlemere.example/pianos/window/")
    words = stranger.get(listing.get_absolute_url()).content.decode()
    site = "https://castlemere.example/pianos"
    assert f'<link rel="canonical" href="{site}{listing.get_absolute_url()}">' in words
    assert content(words, "og:image").startswith(f"{site}/window/")
    assert words.count("testserver") == 0
    assert f"Sitemap: {site}/sitemap.xml" in stranger.get("/robots.txt").content.decode()


@pytest.mark.parametrize(
    ("named", "site"),
    [
        ("", ""),
        ("https://a.example", "https://a.example"),
        ("https://a.example/window", "https://a.example"),
        ("https://a.example:8443/x/window/", "https://a.example:8443/x"),
    ],
)
def test_the_site_is_what_stands_above_the_window(named, site):
    assert site_of(ShopProfile(public_address=named)) == site


def test_a_host_that_is_not_ours_gets_into_no_address(stranger, listing, settings):
    settings.ALLOWED_HOSTS = ["castlemere.example"]
    answer = stranger.get("/window/", headers={"host": "evil.example"})
    assert answer.status_code == 400 and b"evil.example" not in answer.content
    with pytest.raises(DisallowedHost):
        answer.wsgi_request.get_host()


def test_a_crawler_may_ask_for_the_head_alone(stranger, listing):
    photo = listing.instrument.photos.get()
    paths = ["/window/", "/robots.txt", "/sitemap.xml", listing.get_absolute_url()]
    paths.append(f"{listing.get_absolute_url()}photo/{photo.pk}/large/")
    assert [stranger.head(path).status_code for path in paths] == [200] * 5


def test_pages_of_what_is_gone_are_indexed_no_more(stranger, listing):
    make.make_running_trial(instrument=listing.instrument)
    assert b'<meta name="robots" content="noindex">' in stranger.get(listing.get_absolute_url()).content


def test_crawlers_are_told_also_when_the_static_files_are_packed(stranger, settings):
    packed = {"BACKEND": settings.STATIC_BACKEND}
    settings.STORAGES = settings.STORAGES | {"staticfiles": packed}
    assert b"Allow: /static/\n" in stranger.get("/robots.txt").content
