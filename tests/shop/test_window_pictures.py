import re

import pytest

from shop.actions.listing import draft_listing
from shop.window_pictures import fitted
from tests import make

pytestmark = pytest.mark.django_db


@pytest.fixture
def listing(db):
    instrument = make.make_instrument()
    make.make_price(instrument=instrument)
    for colour in ("sienna", "navy", "olive"):
        make.make_photo(instrument=instrument, colour=colour)
    return make.put_in_window(draft_listing(instrument=instrument, by=make.somebody()))


def pictures_on(words: str) -> list[str]:
    return re.findall(r"<img [^>]+>", words)


@pytest.mark.parametrize("path", ["/window/", "listing"])
def test_every_picture_keeps_its_place_and_is_offered_in_three_sizes(stranger, listing, path):
    path = listing.get_absolute_url() if path == "listing" else path
    found = pictures_on(stranger.get(path).content.decode())
    assert found
    for picture in found:
        assert re.search(r' width="\d+" height="\d+"', picture) and ' sizes="' in picture
        assert re.search(r'srcset="[^" ]+/thumb/ \d+w, [^" ]+/medium/ \d+w, [^" ]+/page/ \d+w"', picture)
        assert re.search(r' alt="[^"]+"', picture)


def test_a_photo_from_before_there_was_a_medium_size_is_shown_in_the_others(stranger, listing):
    listing.instrument.photos.update(medium="")
    page = stranger.get(listing.get_absolute_url()).content.decode()
    assert "/page/" in page and "/medium/" not in page


def test_only_the_first_picture_is_fetched_before_it_is_scrolled_to(stranger, listing):
    found = pictures_on(stranger.get(listing.get_absolute_url()).content.decode())
    assert ['fetchpriority="high"' in each for each in found] == [True, False, False]
    assert ['loading="lazy"' in each for each in found] == [False, True, True]


@pytest.mark.parametrize(
    ("measures", "side", "shown"),
    [
        ((4032, 3024), 1280, (1280, 960)),
        ((3024, 4032), 400, (300, 400)),
        ((300, 200), 400, (300, 200)),
        ((15_000, 4), 400, (400, 1)),
    ],
)
def test_a_picture_is_brought_down_to_its_longer_side_and_never_enlarged(measures, side, shown):
    assert fitted(*measures, side) == shown


def test_the_sizes_said_are_those_of_the_files(stranger, listing):
    from io import BytesIO

    from PIL import Image

    (first, *_) = pictures_on(stranger.get(listing.get_absolute_url()).content.decode())
    for address, width in re.findall(r"(\S+/(?:thumb|page)/) (\d+)w", first.replace('srcset="', " ")):
        file = b"".join(stranger.get(address).streaming_content)
        assert Image.open(BytesIO(file)).width == int(width)
