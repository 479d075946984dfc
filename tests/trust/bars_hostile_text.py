"""Bars 21 and 22: what a person typed, in tables and on papers, and whether it is anything but text."""

import time
from datetime import date
from functools import cache

from tests.trust.board import Figure, measures
from tests.trust.scratch import scratch_database, undone

A_FEW = 5
SAMPLE = "A case of mahogany, its veneer lifting at the fall, and moth in the felt behind the hammers. "
LARGEST_TEXT = 20_000
SLOWEST_SECONDS = 0.5
MADE_AT_ONCE = ("_export", "_print")
TABLES = {"text/csv", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"}


@cache
def walked(long: bool) -> dict:
    """All rounds of texts over all addresses (a few of them in the short form), counted by kind."""
    with scratch_database():
        from django.test import Client
        from pytest import MonkeyPatch

        from tests.trust import hostile_walk, planting
        from tests.trust.hostile_controls import cells_past_the_exporter, words_read_as_markup
        from tests.trust.hostile_world import make_hostile_world

        files = {name: line for name, line in hostile_walk.ACCESS.items() if name.endswith(MADE_AT_ONCE)}
        formula = planting.turn_with("=1+1", "Instrument.maker")
        texts = len(planting.TEXTS)
        turns = range(texts) if long else range(formula, formula + texts, texts // A_FEW)
        seen = {"turns": len(turns), "texts": texts, "columns": len(planting.typed_columns())}
        seen |= {"faults": [], "shown": set(), "kinds": {}, "controls": {}}
        for turn in (each % texts for each in turns):
            with undone():
                world = make_hostile_world(turn)
                client = Client(raise_request_exception=False)
                client.force_login(world.owner)
                found = hostile_walk.walk(client, world, turn, who="owner")
                seen["faults"] += found.faults
                seen["shown"] |= found.shown
                for kind, count in found.kinds.items():
                    seen["kinds"][kind] = seen["kinds"].get(kind, 0) + count
                if turn == formula:
                    for take_away in (cells_past_the_exporter, words_read_as_markup):
                        with MonkeyPatch.context() as patch:
                            take_away(patch)
                            without = hostile_walk.walk(client, world, turn, who="x", names=files)
                        seen["controls"][take_away.__name__] = len(without.faults)
    return seen


@measures(21)
def tables(long: bool) -> Figure:
    seen = walked(long)
    faults = [fault for fault in seen["faults"] if "cell" in fault or "_export" in fault]
    count = sum(seen["kinds"].get(kind, 0) for kind in TABLES)
    live = seen["controls"]["cells_past_the_exporter"]
    said = (
        f"{seen['texts']} texts in {seen['columns']} columns, {seen['turns']} rounds, {count} tables read "
        f"back: {len(faults)} faults{_first(faults)}"
    )
    return Figure(said, not faults and count > 0, f"cells past the exporter: {live} faults")


@measures(22)
def papers(long: bool) -> Figure:
    seen, slowest = walked(long), slowest_paper()
    faults = [fault for fault in seen["faults"] if "cell" not in fault and "_export" not in fault]
    count = seen["kinds"].get("application/pdf", 0)
    said = (
        f"{seen['texts']} texts in {seen['columns']} columns, {seen['turns']} rounds, {count} papers and "
        f"{seen['kinds'].get('text/html', 0)} pages: {len(faults)} faults{_first(faults)}; "
        f"{len(seen['shown'])} columns read back whole; 20,000 characters in {slowest * 1000:.0f} ms "
        "of the processor"
    )
    broken = seen["controls"]["words_read_as_markup"]
    met = not faults and count > 0 and slowest <= SLOWEST_SECONDS
    return Figure(said, met, f"paragraphs that read markup: {broken} faults")


def slowest_paper() -> float:
    """Seconds of the processor for 20,000 characters, of words, of one word, and of lines; the slowest."""
    from instruments.documents import styles
    from instruments.documents.sheet import Imprint, print_sheet
    from instruments.documents.text import p

    imprint = Imprint("Sample", "", "Lark Row", "1", date(2026, 3, 21), "", "Sample")
    taken = []
    for whole in (SAMPLE * 300, "W" * LARGEST_TEXT, "line\n" * 4_000, "Ж и Ω " * 4_000):
        begun = time.process_time()
        print_sheet(p(whole[:LARGEST_TEXT], styles.BODY), imprint)
        taken.append(time.process_time() - begun)
    return max(taken)


def _first(faults: list[str]) -> str:
    return f", first: {faults[0][:200]}" if faults else ""
