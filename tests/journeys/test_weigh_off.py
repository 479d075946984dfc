"""85 keys weighed off in one go, by keyboard and by thumb, with the connection cut in the middle."""

from decimal import Decimal

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from instruments.actions.weighing import begin_weighing
from instruments.models import KeyReading
from tests.browser import PHONE
from tests.journeys.seen_pages import faults_of
from tests.make import A_DAY, make_instrument

KEYS = range(1, 86)
CUT, RESTORED = 30, 60
ALL_ARRIVED = "85 of 85 keys have both weights."
WEIGHTS = {key: (45 + key % 10, 22 + key % 7) for key in KEYS}


@pytest.fixture
def weighing(technician):
    return begin_weighing(instrument=make_instrument(), by=technician, on=A_DAY)


@pytest.fixture
def told(capsys):
    """What is counted is shown, whatever pytest keeps to itself."""

    def tell(sentence):
        with capsys.disabled():
            print(f"\n{sentence}")

    return tell


def entry(weighing) -> str:
    return reverse("instruments:weighing_entry", args=[weighing.instrument.stock_number, weighing.pk])


def readings(weighing) -> dict:
    return {row.key: (row.down_g, row.up_g) for row in weighing.standing_readings()}


def corrections() -> int:
    return sum(row.corrects(row.replaces) for row in KeyReading.objects.exclude(replaces=None))


def expect_all_arrived(page, weighing):
    expect(page.locator("[data-weigh-count]")).to_have_text(ALL_ARRIVED, timeout=10_000)
    expect(page.locator(".outbox-count")).to_have_text("")
    assert readings(weighing) == {key: tuple(map(Decimal, pair)) for key, pair in WEIGHTS.items()}
    assert corrections() == 0


def test_85_keys_by_the_keyboard_alone_with_the_line_cut(open_for, technician, weighing, told):
    page = open_for(technician, viewport={"width": 1280, "height": 900})
    page.goto(entry(weighing))
    expect(page.get_by_label("A0 down-weight")).to_be_focused()
    presses = 0
    for key, pair in WEIGHTS.items():
        if key in {CUT, RESTORED}:
            page.context.set_offline(key == CUT)
        typed = "".join(f"{grams}\n" for grams in pair)
        page.keyboard.type(typed)
        presses += len(typed)
    expect_all_arrived(page, weighing)
    told(f"weigh-off by keyboard: {presses / 170:.2f} presses a reading, {presses} for 85 keys")
    assert presses / 170 <= 3


def test_85_keys_by_thumb_with_the_line_cut_and_the_page_loaded_again(open_for, technician, weighing, told):
    page = open_for(technician, viewport=PHONE, has_touch=True, is_mobile=True)
    page.goto(entry(weighing))
    expect(page.locator("#outbox[data-offline=ready]")).to_have_count(1)
    places = pad_of(page)
    taps = 0
    for key, pair in WEIGHTS.items():
        if key in {CUT, RESTORED}:
            page.context.set_offline(key == CUT)
        if key == CUT + 10:
            page.reload()
            expect(page.get_by_label("A0 up-weight")).to_have_value(str(WEIGHTS[1][1]))
            places = pad_of(page)
        for press in [press for grams in pair for press in (*str(grams), "next")]:
            page.touchscreen.tap(*places[press])
            taps += 1
    expect_all_arrived(page, weighing)
    assert faults_of(page) == []
    told(f"weigh-off by thumb: {taps / 170:.2f} taps a reading, {taps} for 85 keys")
    assert taps / 170 <= 3


def pad_of(page) -> dict:
    """Where the thumb finds each key of the pad."""
    expect(page.locator(".weigh-pad")).to_be_visible()
    boxes = {each: page.locator(f'.weigh-pad [data-press="{each}"]').bounding_box() for each in PRESSES}
    return {each: (box["x"] + box["width"] / 2, box["y"] + box["height"] / 2) for each, box in boxes.items()}


PRESSES = (*"0123456789", "next")


def test_downs_first_then_ups_and_a_correction_that_stays_in_sight(open_for, technician, weighing):
    page = open_for(technician, viewport={"width": 1280, "height": 900})
    page.goto(entry(weighing))
    page.get_by_text("All downs, then all ups").click()
    page.get_by_text("Naturals, then sharps").click()
    page.get_by_label("A0 down-weight").focus()
    page.keyboard.type("52\n51\n")
    expect(page.get_by_label("C1 down-weight")).to_be_focused()
    page.get_by_label("A0 up-weight").focus()
    page.keyboard.type("60\n")
    expect(page.locator("#down1[data-state=saved]")).to_have_count(1)
    expect(page.get_by_text("A0: more up than down")).to_be_visible()
    page.keyboard.type("28\n")
    expect(page.locator("[data-weigh-count]")).to_have_text("1 of 85 keys have both weights.")
    assert readings(weighing) == {1: (52, 28), 3: (51, None)}
    page.get_by_label("A0 down-weight").fill("50")
    page.keyboard.press("Enter")
    expect(page.locator("#down1[data-state=saved]")).to_have_count(1)
    assert (readings(weighing)[1], corrections()) == ((50, 28), 1)
    assert faults_of(page) == []


def test_what_is_so_far_follows_the_keys_as_they_are_kept(open_for, technician, weighing):
    page = open_for(technician, viewport=PHONE, has_touch=True, is_mobile=True)
    page.goto(entry(weighing))
    expect(page.locator("#so-far")).to_contain_text("Nothing has been weighed yet.")
    page.context.set_offline(True)
    page.get_by_label("A0 down-weight").fill("52")
    page.keyboard.press("Enter")
    expect(page.locator("#so-far")).to_contain_text("The first weights are written.")
    page.context.set_offline(False)
    # Somebody types on without a rest of two seconds.
    for key in range(2, 11):
        page.locator(f"#down{key}").press_sequentially("52\n", delay=120)
    expect(page.locator("#so-far figure")).to_be_visible(timeout=1_500)
