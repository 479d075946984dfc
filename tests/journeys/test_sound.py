"""A recording comes in from a phone, plays, and is heard beside another at the same place, in a browser."""

import numpy as np
import pytest

from tests import make
from tests.journeys.conftest import log_in
from tests.journeys.seen_pages import faults_of
from tests.make_recording import make_recording
from tests.sounds import RATE, note, packed, prepared_sound, wav

# Two sweeps whose pitch tells the place: one rises from 600 Hz, the other from 700, by 500 Hz a second.
RISE_HZ_S = 500
# What comes out of the page, looked at where it would go to the loudspeaker.
LISTENER = """
const connect = AudioNode.prototype.connect;
AudioNode.prototype.connect = function (to, ...more) {
  if (to instanceof AudioDestinationNode && !(this instanceof AnalyserNode)) {
    window.ears ||= Object.assign(this.context.createAnalyser(), {fftSize: 4096, smoothingTimeConstant: 0});
    connect.call(this, window.ears);
  }
  return connect.call(this, to, ...more);
};
window.heardNow = () => {
  const at = window.ears.context.currentTime, bins = new Float32Array(window.ears.frequencyBinCount);
  window.ears.getFloatFrequencyData(bins);
  let top = 1;
  bins.forEach((db, bin) => { if (bin > 10 && bin < bins.length - 1 && db > bins[top]) top = bin; });
  const [a, b, c] = [bins[top - 1], bins[top], bins[top + 1]];
  const hz = (top + (a - c) / (2 * (a - 2 * b + c))) * window.ears.context.sampleRate / 4096;
  return {at, hz, db: b};
};
"""


def sweep(begins_hz: float, *, silence_s: float, db: float):
    t = np.arange(RATE * 8) / RATE
    sound = 10 ** (db / 20) * np.sin(2 * np.pi * (begins_hz * t + RISE_HZ_S / 2 * t**2))
    return np.concatenate([np.zeros(round(silence_s * RATE)), sound])


@pytest.fixture
def two(transactional_db, owner):
    """The second begins later in its file, and is eight decibels quieter."""
    return [
        make_recording(
            instrument=make.make_instrument(maker=maker),
            by=owner,
            prepared=prepared_sound("x.wav", wav(sweep(hz, silence_s=silence, db=db))),
            register="passage",
        )
        for maker, hz, silence, db in (("Halden & Rook", 600, 0.3, -6), ("Wexcombe", 700, 0.9, -14))
    ]


def listen(page, live_server, client, two, owner):
    page.add_init_script(LISTENER)
    log_in(page, client, owner, live_server)
    query = "&".join(f"of={each.instrument.stock_number}" for each in two)
    page.goto(f"{live_server.url}/listen/?register=passage&{query}")


def heard(page) -> dict:
    return page.evaluate("heardNow()")


def place(ears: dict, begins_hz: float) -> float:
    return (ears["hz"] - begins_hz) / RISE_HZ_S


def test_from_one_to_the_other_at_the_same_place(page, live_server, client, two, owner):
    listen(page, live_server, client, two, owner)
    page.get_by_role("button", name="Play").click()
    page.get_by_role("button", name="Pause").wait_for()
    page.wait_for_timeout(1200)
    before = heard(page)
    page.keyboard.press("2")
    page.wait_for_timeout(400)
    after = heard(page)
    passed = after["at"] - before["at"]
    assert place(after, 700) - place(before, 600) == pytest.approx(passed, abs=0.05)
    assert after["db"] == pytest.approx(before["db"], abs=1.5)
    page.get_by_label("Evened in loudness").uncheck()
    page.wait_for_timeout(300)
    page.keyboard.press("ArrowLeft")
    page.wait_for_timeout(300)
    assert heard(page)["db"] == pytest.approx(before["db"] + 8, abs=1.5)


def test_figures_choose_only_while_the_player_has_the_focus(page, live_server, client, two, owner):
    """Whoever speaks to the machine presses keys unawares: WCAG 2.2, 2.1.4."""
    listen(page, live_server, client, two, owner)
    chosen = page.locator("[data-choose][aria-pressed=true] .listen-number")
    page.get_by_role("heading", name="Listen side by side").click()
    page.keyboard.press("2")
    assert chosen.inner_text() == "1"
    page.locator("[data-choose]").first.focus()
    page.keyboard.press("2")
    assert chosen.inner_text() == "2"


def test_a_place_is_kept_over_a_pause_and_can_be_chosen(page, live_server, client, two, owner):
    listen(page, live_server, client, two, owner)
    page.get_by_role("slider").fill("3")
    page.get_by_role("button", name="Play").click()
    page.get_by_role("button", name="Pause").wait_for()
    page.wait_for_timeout(500)
    assert 3.2 < place(heard(page), 600) < 5
    page.get_by_role("button", name="Pause").click()
    page.get_by_role("button", name="Wexcombe").click()
    stood = float(page.get_by_role("slider").input_value())
    page.get_by_role("button", name="Play").click()
    page.wait_for_timeout(500)
    assert stood + 0.2 < place(heard(page), 700) < stood + 2


def test_a_recording_is_sent_from_a_phone_and_plays(signed_in, live_server, transactional_db):
    piano, phone = make.make_instrument(), signed_in
    phone.goto(f"{live_server.url}/stock/{piano.stock_number}/sound/")
    content = packed(note(49), "m4a")
    chosen = {"name": "Recording 7.m4a", "mimeType": "audio/mp4", "buffer": content}
    phone.get_by_label("The recording").set_input_files(chosen)
    phone.get_by_text("Tenor", exact=True).last.click()
    phone.get_by_role("button", name="Keep it").click()
    phone.get_by_text("Kept: Tenor, 3 s.").wait_for()
    lasts = phone.evaluate(
        "async () => { const a = document.querySelector('article audio'); a.muted = true; await a.play();"
        " await new Promise(done => setTimeout(done, 400)); return [a.duration, a.currentTime]; }"
    )
    assert lasts[0] == pytest.approx(2.7, abs=0.1) and lasts[1] > 0.1
    assert phone.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")


def test_the_pages_of_sound_are_accessible(page, live_server, client, two, owner):
    listen(page, live_server, client, two, owner)
    assert faults_of(page) == []
    number = two[0].instrument.stock_number
    for address in (f"/stock/{number}/sound/", f"/stock/{number}/sound/{two[0].pk}/"):
        page.goto(live_server.url + address)
        assert faults_of(page) == []
