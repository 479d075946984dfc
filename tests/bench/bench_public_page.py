"""How soon a public page is in view on a slow telephone, and what it brings down the line.

    python manage.py collectstatic --noinput && python manage.py demo        (in another window)
    python -m tests.bench.bench_public_page http://127.0.0.1:8000 [path …]

Chromium, 360 by 740 at twice the density, its processor four times slower, the line 1.6 Mbit/s each way with
150 ms to and fro. Prints medians of five cold visits: how long the server alone took, first and largest paint
counted from when its answer began to come, how far things moved (CLS), and bytes by kind as they came.
Nothing is asserted: the weight has its own test. The aim is one second, on a machine with nothing else to do.
"""

import sys
from collections import Counter
from statistics import median

from playwright.sync_api import sync_playwright

from tests.browser import CHROMIUM, SWITCHES

VISITS = 5
LINE = {"offline": False, "latency": 150, "downloadThroughput": 200_000, "uploadThroughput": 200_000}
SLOWER = 4
PAINTS = ("first", "largest")
TELEPHONE = {"viewport": {"width": 360, "height": 740}, "device_scale_factor": 2, "is_mobile": True}
WATCH = """
window.seen = {moved: 0, largest: 0, what: ""};
new PerformanceObserver(list => { for (const each of list.getEntries()) {
  seen.largest = each.startTime; seen.what = each.element?.tagName + " " + (each.url || "").slice(-40); } })
  .observe({type: "largest-contentful-paint", buffered: true});
new PerformanceObserver(list => { for (const each of list.getEntries())
  if (!each.hadRecentInput) seen.moved += each.value; }).observe({type: "layout-shift", buffered: true});
"""
FIRST = "performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? 0"
ANSWER = "performance.getEntriesByType('navigation')[0].responseStart"


def visit(browser, address: str) -> dict:
    """One visit with nothing kept: milliseconds, movement, and bytes by kind."""
    context = browser.new_context(**TELEPHONE)
    page = context.new_page()
    page.add_init_script(WATCH)
    line = context.new_cdp_session(page)
    kinds, brought = {}, Counter()
    line.on("Network.responseReceived", lambda said: kinds.update({said["requestId"]: said["type"]}))
    line.on(
        "Network.loadingFinished",
        lambda said: brought.update({kinds.get(said["requestId"], "Other"): int(said["encodedDataLength"])}),
    )
    line.send("Network.enable")
    line.send("Network.emulateNetworkConditions", LINE)
    line.send("Emulation.setCPUThrottlingRate", {"rate": SLOWER})
    page.goto(address, wait_until="load")
    page.wait_for_timeout(700)
    found = page.evaluate("seen") | {"first": page.evaluate(FIRST), "answer": page.evaluate(ANSWER)}
    found["brought"] = brought
    context.close()
    return found


def main(site: str, paths: list[str]) -> None:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=SWITCHES)
        for path in paths:
            seen = [visit(browser, f"{site}{path}") for _ in range(VISITS)]
            wait = median(each["answer"] for each in seen) - LINE["latency"]
            first, largest = (median(each[name] - each["answer"] for each in seen) for name in PAINTS)
            moved, brought = max(each["moved"] for each in seen), seen[-1]["brought"]
            pictures = brought["Image"] + brought["Media"]
            print(path)
            what = seen[-1]["what"]
            print(f"  the server took {wait:.0f} ms; then first paint after {first:.0f} ms,")
            print(f"  largest after {largest:.0f} ms ({what}); moved {moved:.3f}")
            kinds = ", ".join(f"{kind.lower()} {count / 1000:.1f}" for kind, count in brought.most_common())
            print(f"  {(brought.total() - pictures) / 1000:.1f} kB without pictures; by kind in kB: {kinds}")
        browser.close()


if __name__ == "__main__":
    main(sys.argv[1].rstrip("/"), sys.argv[2:] or ["/window/"])
