"""Bar 4: the power cut, at the shop's own setting and at two weaker ones."""

from tests.trust.bars_crash import run_in_a_shop
from tests.trust.board import Figure, measures

CUTS, CUTS_LONG = 400, 2000
WEAKER = {"synchronous NORMAL": "hasty_with_the_disk", "synchronous OFF": "careless_of_the_disk"}


@measures(4)
def power_cut(long: bool) -> Figure:
    cuts = CUTS_LONG if long else CUTS
    seen = run_in_a_shop("powercut", "--cuts", str(cuts))
    weaker = {
        words: run_in_a_shop("powercut", "--cuts", str(CUTS), "--door", f"tests.trust.crash_doors:{door}()")
        for words, door in WEAKER.items()
    }
    return Figure(
        said=f"{said(seen)}; {seen['settled'] / max(1, seen['told']):.2f} waits for the disk an act",
        met=is_whole(seen) and seen["told"] > 0 and not any(is_whole(each) for each in weaker.values()),
        control=". ".join(f"{words}: {said(each)}" for words, each in weaker.items()),
    )


def is_whole(seen: dict) -> bool:
    return not (seen["damaged"] or seen["halves"] or seen["losing"] or seen["troubles"])


def said(seen: dict) -> str:
    return (
        f"{seen['cuts']} cuts of {seen['told']} acts told: {seen['damaged']} damaged, {seen['halves']} with"
        f" an act by halves, {seen['losing']} losing what was told (at worst {seen['worst_loss']} acts)"
    )
