"""Bar 29: what the program stands on."""

from importlib.metadata import version

from tests.trust.board import Figure, measures


@measures(29)
def materials(long: bool) -> Figure:
    from shop.materials import bill_of_materials
    from tests.trust.newest import look

    bill, seen = bill_of_materials(), look()
    listed = {part["name"]: part["version"] for part in bill["components"]}
    astray = [name for name, pin in seen.pinned.items() if name in listed and listed[name] != pin]
    beneath = sorted(name for name in seen.behind_beneath if name in listed)
    compared = seen.silent or (
        f"{len(seen.behind)} behind the newest release ({', '.join(sorted(seen.behind)) or 'none'}); Django "
        f"{version('Django')}, newest of its series {seen.newest_django}; of what those need by "
        f"themselves {len(beneath)} behind ({', '.join(beneath) or 'none'})"
    )
    said = (
        f"{len(listed)} packages in the bill of materials, {len(astray)} not as pinned; {len(seen.pinned)} "
        f"pins: {compared}. Whether a flaw is known that no newer release mends is not looked up: no "
        "database of advisories is within reach, and the usual tool passes with everything skipped"
    )
    return Figure(said, False, "a pin set back by hand is told as behind")
