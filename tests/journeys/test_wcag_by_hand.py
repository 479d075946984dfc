"""What the checks of axe do not ask: criteria of WCAG 2.2 that are read off sheets, scripts and pages."""

import re

import pytest
from django.urls import reverse

from shop.forms.enquiries import AskForm
from tests import make
from tests.house_rules.sources import ROOT
from tests.make_recording import a_prepared_sound, make_recording
from tests.sounds import note, prepared_sound, wav

SHEETS = {path.name: path.read_text() for path in (ROOT / "static" / "css").glob("*.css")}
SCRIPTS = {path.name: path.read_text() for path in (ROOT / "static" / "js").glob("*.js")}
TEMPLATES = {path.name: path.read_text() for path in (ROOT / "templates").rglob("*.html")}


def holding(pattern: str, texts: dict[str, str]) -> list[str]:
    return sorted(name for name, text in texts.items() if re.search(pattern, text))


def test_no_sheet_turns_or_locks_the_page():
    """1.3.4: either way of holding the device; and no page forbids to be made larger (1.4.4)."""
    assert holding(r"orientation\s*:|rotate\(-?90deg\)", SHEETS) == []
    assert holding(r"user-scalable|maximum-scale", TEMPLATES) == []


def test_nothing_plays_by_itself():
    """1.4.2."""
    sounding = holding(r"<(audio|video)\b", TEMPLATES)
    assert sounding
    assert holding(r"<(audio|video)\b[^>]*\bautoplay", TEMPLATES) == []


def test_nothing_is_done_while_a_button_goes_down():
    """2.5.2: a press acts when it ends; only drawing, and a pad in the place of keys, act as it begins."""
    assert holding(r"mousedown|touchstart", SCRIPTS) == []
    assert holding("pointerdown", SCRIPTS) == ["signature.js", "weigh_off.js"]


def test_strangers_fields_say_whose_data_they_ask_for():
    """1.3.5, by the tokens of the HTML standard."""
    fields = AskForm().fields
    told = {name: fields[name].widget.attrs.get("autocomplete") for name in ("name", "email", "telephone")}
    assert told == {"name": "name", "email": "email", "telephone": "tel"}


def test_a_password_may_be_pasted_and_kept_by_the_browser(client, db):
    """3.3.8: nothing has to be remembered, typed off or solved."""
    page = client.get(reverse("login")).content.decode()
    assert 'autocomplete="username"' in page and 'autocomplete="current-password"' in page
    assert holding(r"[\"'](paste|copy)[\"']", SCRIPTS) == [
        "weigh_off.js"
    ]  # columns of weights, taken in whole


@pytest.mark.django_db
def test_the_masthead_stands_in_one_order_everywhere(client, owner):
    """3.2.3."""
    instrument = make.make_instrument()
    client.force_login(owner)
    orders = set()
    for url in ("/", "/stock/", instrument.get_absolute_url(), "/people/", "/books/", "/bench/", "/own/"):
        head = client.get(url).content.decode().partition("<main")[0]
        orders.add(tuple(re.findall(r'<a href="([^"]+)"', head)))
    assert len(orders) == 1 and len(orders.pop()) > 5


MOST_CHOICES = 12  # of a page
UNGUARDED = """() => {
  window.isTheSame = true;
  document.querySelectorAll("[data-guard]").forEach((form) => delete form.dataset.guard);
}"""
CHANGE = """(each) => {
  if (each.localName !== "select") return each.click();
  each.selectedIndex = (each.selectedIndex + 1) % each.options.length;
  for (const told of ["input", "change"]) each.dispatchEvent(new Event(told, { bubbles: true }));
}"""


def changed_on(page, url: str) -> list[str]:
    """The choices of a page by which it went elsewhere or came anew, each changed as a person would."""
    page.goto(url)
    page.evaluate(UNGUARDED)
    choices = page.locator("main :is(select, input[type=checkbox], input[type=radio]):visible")
    assert choices.count()
    for choice in choices.all()[:MOST_CHOICES]:
        name = choice.get_attribute("name")
        choice.evaluate(CHANGE)
        page.wait_for_timeout(100)
        if not page.evaluate("window.isTheSame === true"):
            return [name]
    return []


@pytest.mark.django_db(transaction=True)
def test_nothing_is_loaded_anew_because_something_was_chosen(signed_in):
    """3.2.2: a choice counts when its button is pressed; lists that narrow at once stay on their page."""
    pianos = [make.make_instrument(maker=maker) for maker in ("Quillon", "Castlemere")]
    sounds = {"tenor": a_prepared_sound(), "bass": prepared_sound("bass.wav", wav(note(seed=2)))}
    for piano in pianos:
        for register, prepared in sounds.items():
            make_recording(instrument=piano, register=register, prepared=prepared)
    for stage in ("as_found", "after_work"):
        weighing = make.make_weighing(instrument=pianos[1], stage=stage)
    numbers = [f"/stock/{piano.stock_number}/" for piano in pianos]
    looked_at = ("/listen/", f"{numbers[1]}weigh-off/{weighing.pk}/", "/stock/", "/stock/log/")
    looked_at += (f"{numbers[1]}trial/", f"{numbers[0]}sound/")
    assert {url: went for url in looked_at if (went := changed_on(signed_in, url))} == {}
    assert holding("data-send", TEMPLATES) == []
