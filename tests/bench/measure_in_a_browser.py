"""How quickly the stock answers under somebody's hand, with 100,000 instruments. Printed as JSON.

    python -m tests.bench.measure_in_a_browser [--size 100000] [--rounds 60]

Chromium on the stock list, once with the processor as it is and once four times slower: how long from a
change of the filter to the narrowed list painted, the worst wait between any press and the next paint (INP),
when the largest part of the page stood (LCP), and how far things moved (CLS). All in milliseconds of the
browser's own clock.
"""

import argparse
import json
from statistics import median

from playwright.sync_api import sync_playwright

from tests.bench.ground import Shop
from tests.bench.measure_serving import Served
from tests.browser import CHROMIUM, SWITCHES

SLOWER = 4
WATCH = """
window.seen = {largest: 0, moved: 0, waits: {}};
const watch = (type, note, more) => new PerformanceObserver(list => list.getEntries().forEach(note))
  .observe({type, buffered: true, ...more});
watch("largest-contentful-paint", each => { seen.largest = each.startTime; });
watch("layout-shift", each => { if (!each.hadRecentInput) seen.moved += each.value; });
watch("event", each => { if (each.interactionId)
  seen.waits[each.interactionId] = Math.max(seen.waits[each.interactionId] || 0, each.duration); },
  {durationThreshold: 16});
"""
# From the press to two frames after the new list stands in its place: by then it has been painted.
PAINTED = """() => new Promise(done => {
  let begun = 0;
  addEventListener("change", () => { begun = performance.now(); }, {once: true, capture: true});
  addEventListener("htmx:afterSwap", () => requestAnimationFrame(() => requestAnimationFrame(() =>
    done(performance.now() - begun))), {once: true});
})"""


def hand(browser, site: Served, *, slower: int, rounds: int) -> dict:
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    context.add_cookies([{"name": "sessionid", "value": site.cookie, "domain": "127.0.0.1", "path": "/"}])
    page = context.new_page()
    page.add_init_script(WATCH)
    context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": slower})
    page.goto(f"http://127.0.0.1:{site.port}/stock/", wait_until="load")
    page.wait_for_timeout(500)
    taken = []
    for number in range(rounds):
        page.evaluate(f"() => {{ window.painted = ({PAINTED})(); }}")
        page.locator("main #id_sort").focus()
        page.keyboard.press("ArrowDown" if number % 6 < 3 else "ArrowUp")
        taken.append(page.evaluate("() => window.painted"))
    page.locator("main #id_q").focus()
    page.keyboard.type("walnut", delay=60)
    page.wait_for_timeout(1_000)
    seen = page.evaluate("() => seen")
    context.close()
    taken.sort()
    return {
        "painted median": median(taken),
        "painted p95": taken[int(len(taken) * 0.95)],
        "longest wait": max(seen["waits"].values(), default=0),
        "largest": seen["largest"],
        "moved": seen["moved"],
    }


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--size", type=int, default=100_000)
    asked.add_argument("--rounds", type=int, default=60)  # of fifteen, p95 is the longest
    given = asked.parse_args()
    shop = Shop(given.size)
    site = Served(shop.owner.cookies["sessionid"].value, given.size)
    try:
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=CHROMIUM, args=SWITCHES)
            figures = {
                f"{slower}x": hand(browser, site, slower=slower, rounds=given.rounds)
                for slower in (1, SLOWER)
            }
            browser.close()
    finally:
        site.close()
    print(json.dumps(figures))


if __name__ == "__main__":
    main()
