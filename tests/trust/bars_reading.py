"""Bars 37, 42 and 43: the stock under somebody's hand, who can reach it, and how long all bars take."""

import json
import os
import tempfile
from collections import Counter
from pathlib import Path

from tests.trust.__main__ import kept
from tests.trust.bars import BARS
from tests.trust.bars_asvs import rows, without_proof
from tests.trust.bars_weight import printed_by
from tests.trust.board import TREE, Figure, measured, measures, pytest_counts

CRITERIA = Path(__file__).parent / "wcag.tsv"
SEEN_BY_AXE = (
    "tests/journeys/test_pages_are_accessible.py",
    "tests/journeys/test_pages_of_the_shop_are_accessible.py",
    "tests/journeys/test_pages_of_the_workshop_are_accessible.py",
    "tests/journeys/test_rare_pages_are_accessible.py",
    "tests/journeys/test_rare_states_are_accessible.py",
    "tests/journeys/test_window_on_a_phone.py",
)
BY_HAND = (
    "tests/journeys/test_by_keyboard_alone.py",
    "tests/journeys/test_said_in_words.py",
    "tests/journeys/test_session_end_is_told.py",
    "tests/journeys/test_swaps_keep_the_place.py",
    "tests/journeys/test_wcag_by_hand.py",
    "tests/shop/test_listen.py",
    "tests/shop/test_signature.py",
)
IN_CI, LONG = 5 * 60, 90 * 60  # seconds
MEASURES_ALL = 43


@measures(37)
def under_the_hand(long: bool) -> Figure:
    figures = json.loads(printed_by("measure_in_a_browser").splitlines()[-1])
    plain, slow = figures["1x"], figures["4x"]
    met = (
        slow["longest wait"] <= 100
        and slow["painted p95"] <= 300
        and plain["painted median"] <= 100
        and plain["largest"] <= 1_500
        and slow["moved"] <= 0.02
    )
    return Figure(
        f"100,000 instruments, four times slower: longest wait {slow['longest wait']:.0f} ms, list narrowed"
        f" and painted {slow['painted p95']:.0f} ms at p95, moved {slow['moved']:.3f}; as it is: painted"
        f" {plain['painted median']:.0f} ms (median), largest part after {plain['largest']:.0f} ms",
        met,
    )


@measures(42)
def for_everybody(long: bool) -> Figure:
    with tempfile.NamedTemporaryFile() as told:
        seen_by = {"WRESTPLANK_SEEN": told.name, "WRESTPLANK_REQUIRE_BROWSER": "yes"}
        looked = ("-p", "tests.trust.templates_seen", *SEEN_BY_AXE)
        passed, failed, _ = pytest_counts(*looked, env=seen_by)
        seen = set(Path(told.name).read_text().split())
    by_hand, fell, _ = pytest_counts(*BY_HAND, env={"WRESTPLANK_REQUIRE_BROWSER": "yes"})
    templates = {str(path.relative_to(TREE / "templates")) for path in (TREE / "templates").rglob("*.html")}
    unseen = sorted(templates - seen)
    table = rows(CRITERIA)
    stands = Counter(each["stands"] for each in table)
    met = not (failed or fell or unseen or without_proof(table) or stands["open"])
    return Figure(
        f"axe and the eye find nothing in {passed} walks of pages ({failed} with faults), which draw"
        f" {len(templates) - len(unseen)} of {len(templates)} templates; {by_hand} tests by keyboard, of"
        f" focus after a swap and by hand passed, {fell} failed; of {len(table)} criteria"
        f" {stands['pass']} pass, {stands['not applicable']} do not apply, {stands['open']} are"
        f" open; not drawn:"
        f" {', '.join(unseen) or 'none'}",
        met,
        "among them: a picture without words, targets of 12 px, faint edges, a line too wide are found",
    )


@measures(MEASURES_ALL)
def time_of_all(long: bool) -> Figure:
    """From the lines as they were last measured, of each bar in one of its variants; it runs none itself."""
    lines = {number: each for number, each in kept().items() if int(number) != MEASURES_ALL}
    taken = {"short": 0, "long": 0}
    for each in lines.values():
        taken["long" if each["when"].endswith(", long") else "short"] += each["seconds"]
    lacking = len(BARS) - 1 - len(lines)
    broken = measured(-1, "a bar that breaks", long=long, harness=_breaks)
    return Figure(
        f"on {os.cpu_count()} processors the bars measured in their short variant took"
        f" {taken['short'] / 60:.0f} min, those in their long one {taken['long'] / 60:.0f};"
        f" {lacking} have no line",
        taken["short"] <= IN_CI and taken["long"] <= LONG and not lacking and "--only" in broken.again,
        f"a bar that breaks says “{broken.again}”",
    )


def _breaks(long: bool) -> Figure:
    raise RuntimeError("on purpose")
