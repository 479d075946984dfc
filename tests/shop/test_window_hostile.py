"""An adversary's text in every field that reaches a public page prints as text, there and for machines."""

import unicodedata

import html5lib
import pytest

from instruments.models import Film, Instrument, Photo, Recording
from shop.actions.listing import draft_listing
from shop.models import Listing, ShopProfile
from tests import make
from tests.hostile import HOSTILE_TEXTS
from tests.html_faults import faults_of_html
from tests.make_recording import make_film, make_recording
from tests.schema_org import data_in, faults_in

pytestmark = pytest.mark.django_db
# What no HTML page can hold at all, and no field takes, is not for this test.
UNSPOKEN = {"Cc", "Cs", "Cn", "Co"}
TEXTS = [
    text
    for text in HOSTILE_TEXTS
    if not any(unicodedata.category(sign) in UNSPOKEN and sign not in "\n" for sign in text)
    and "\u2028" not in text
]
MORE = [
    "</script><script>alert(1)</script>",
    "{% load shop %}{{ settings.SECRET_KEY }}",
    "ש" * 90 + "\u202e",
    "🎹" * 80,
]
FIELDS = [
    *((Instrument, name) for name in ("maker", "serial", "serial_read_at", "made_basis_note", "case_finish")),
    *((Listing, name) for name in ("headline", "body", "history_words", "work_done", "not_done", "faults")),
    *((ShopProfile, name) for name in ("name", "address", "telephone", "delivery_words", "guarantee_words")),
    (Photo, "caption"),
    (Film, "title"),
    (Film, "told"),
    (Recording, "remark"),
    (Recording, "sound_words"),
]
OURS = {"script", "b", "i", "a", "img", "font", "para", "br", "link", "seq", "unknown", "ondraw", "bullet"}


@pytest.fixture
def listing(db):
    instrument = make.make_instrument(made="1912", made_basis="mark", stringing="overstrung")
    make.make_price(instrument=instrument)
    for colour in ("sienna", "navy"):
        make.make_photo(instrument=instrument, colour=colour)
    make_recording(instrument=instrument, is_public=True)
    make_film(instrument=instrument, is_public=True)
    ShopProfile.objects.get_or_create(pk=1)
    return make.put_in_window(draft_listing(instrument=instrument, by=make.somebody()))


def put_in(turn: int) -> dict[tuple, str]:
    """Each field another text, and with the next turn the next one; past the forms, as a hand might."""
    texts, kept = TEXTS + MORE, {}
    for place, (model, name) in enumerate(FIELDS):
        field = model._meta.get_field(name)
        text = texts[(turn + place) % len(texts)]
        kept[model, name] = text if field.max_length is None else text[: field.max_length]
        model.objects.update(**{name: kept[model, name]})
    return kept


def words_of(page: str) -> str:
    return plainly(" ".join(html5lib.parse(page, namespaceHTMLElements=False).itertext()))


def plainly(text: str) -> str:
    return " ".join(text.split())


def elements(page: str) -> list[tuple]:
    """Everything an adversary might have put in: elements of such names, and attributes that run."""
    tree = html5lib.parse(page, namespaceHTMLElements=False)
    return sorted(
        (each.tag, each.get("src", "")[:8], each.get("type", ""))
        for each in tree.iter()
        if isinstance(each.tag, str)
        and (each.tag.lower() in OURS or any(name.startswith("on") for name in each.attrib))
    )


@pytest.mark.parametrize("turn", range(0, len(TEXTS + MORE), 12))
def test_an_adversarys_text_prints_as_text_on_the_page_and_in_its_data(stranger, listing, turn):
    path = listing.get_absolute_url()
    made_of = {tag for tag, *_ in elements(stranger.get(path).content.decode())}
    texts = put_in(turn)
    answer = stranger.get(path)
    page = answer.content.decode()
    said, (data,) = words_of(page), data_in(page)
    missing = [name for (_, name), text in texts.items() if _shown(text) not in _shown(said)]
    assert answer.status_code == 200 and missing == []
    assert {tag for tag, *_ in elements(page)} <= made_of
    assert faults_of_html(page) == [] and faults_in(data) == []
    assert data["brand"]["name"] == texts[Instrument, "maker"]
    assert data["offers"]["seller"]["name"] == texts[ShopProfile, "name"]
    assert faults_of_html(stranger.get("/window/").content.decode()) == []


def _shown(text: str) -> str:
    """Apart from the lines it is broken into and the stop that a sentence gets."""
    return "".join(text.split()).rstrip(".").casefold()
