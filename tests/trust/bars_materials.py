"""Bars 29 and 41: what the program stands on, and what is thought through on paper alone."""

import json
from datetime import date
from importlib.metadata import version

from tests.trust.board import TREE, Figure, measures

MANY_SHOPS = "shop/operations/many_shops.md"


@measures(29)
def materials(long: bool) -> Figure:
    from shop.materials import bill_of_materials
    from tests.trust import advisories
    from tests.trust.newest import look

    bill, seen, today = bill_of_materials(), look(), date.today()
    listed = {part["name"]: part["version"] for part in bill["components"]}
    astray = [name for name, pin in seen.pinned.items() if name in listed and listed[name] != pin]
    beneath = sorted(name for name in seen.behind_beneath if name in listed)
    compared = seen.silent or (
        f"{len(seen.behind)} behind the newest release ({', '.join(sorted(seen.behind)) or 'none'}); Django "
        f"{version('Django')}, newest of its series {seen.newest_django}; of what those need by "
        f"themselves {len(beneath)} behind ({', '.join(beneath) or 'none'})"
    )
    answer = advisories.ask(advisories.parts())
    flaws = advisories.noted(answer, advisories.kept(), on=today)
    over = advisories.outstayed(flaws, on=today)
    said = (
        f"{len(listed)} packages in the bill of materials, {len(astray)} not as pinned; {len(seen.pinned)} "
        f"pins: {compared}. Databases of advisories, the makers or a reading answered for "
        f"{len(answer.answered)} of {len(answer.asked)}: {len(flaws)} known flaws, "
        f"{len(over)} past their time"
        + (f"; {answer.by_what}" if answer.by_what else "")
        + (f"; nobody answered for {', '.join(sorted(answer.unanswered))}" if answer.unanswered else "")
    )
    met = not (astray or over or answer.unanswered or seen.silent)
    return Figure(said, met and version("Django") == seen.newest_django, _control(today))


def _control(today: date) -> str:
    """An old Django, with a flaw that was told long ago."""
    from tests.trust import advisories
    from tests.trust.test_advisories import OLD

    answer = advisories.Answer({"django": "5.2.1"})
    advisories.read(json.dumps(OLD), answer)
    over = advisories.outstayed(advisories.noted(answer, {}, on=date(2026, 1, 1)), on=today)
    return f"an old Django by a recorded answer: {len(answer.flaws)} known flaw, {len(over)} past its time"


@measures(41)
def many_shops(long: bool) -> Figure:
    words = len((TREE / MANY_SHOPS).read_text().split())
    said = f"{MANY_SHOPS}, {words} words: one database a shop, and what sharing one would take"
    return Figure(said, met=False, on_paper=True)
