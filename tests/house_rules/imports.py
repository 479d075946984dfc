"""Which module may know which."""

import re
import sys
from collections.abc import Iterable, Sequence

from tests.house_rules.sources import APPS, Import, Source

# The ground first. What is not named here ("shop.costs", "instruments.documents") stands where what it
# imports lets it stand.
LAYERS = ("calc", "states", "models", "problems", "actions", "forms", "views", "urls")
# Slow to load and seldom needed: these may be imported when the moment comes.
LATE_IMPORTS = re.compile(
    r"(reportlab|numpy|av|openpyxl|instruments\.hearing|\w+\.documents\.\w+_layout)(\.|$)"
)
CALC_MAY_IMPORT = sys.stdlib_module_names | {"numpy"}


def upward_imports(sources: Iterable[Source]) -> list[str]:
    return [
        f"{source.name}:{found.line} imports {found.target}"
        for source in sources
        for found in source.imports
        if _stands_above(found.target.partition(".")[0], source.app)
    ]


def upward_names(sources: Iterable[Source]) -> list[str]:
    """Foreign keys, template names and migrations by a string: "shop.Person" anywhere below the shop."""
    breaches = []
    for source in sources:
        above = [app for app in APPS if _stands_above(app, source.app)]
        if above and (pattern := re.compile(rf"""["'](?:{"|".join(above)})[./:][\w./:]+["']""")):
            breaches += [
                f"{source.name}:{number} names {found.group()}"
                for number, line in enumerate(source.text.splitlines(), start=1)
                if (found := pattern.search(line))
            ]
            breaches += [
                f"{source.name} depends on {found.group(1)}'s migrations"
                for found in re.finditer(rf"""\(\s*["']({"|".join(above)})["'],""", source.text)
            ]
    return breaches


def _stands_above(app: str, other: str) -> bool:
    return app in APPS and other in APPS and APPS.index(app) > APPS.index(other)


def late_imports(sources: Iterable[Source]) -> list[str]:
    """An import inside a function hides a cycle; `apps.py` has to, and slow libraries may."""
    return [
        f"{source.name}:{found.line} imports {found.target} inside a function"
        for source in sources
        if not source.name.endswith(".apps")
        for found in source.imports
        if found.is_inside_function and not LATE_IMPORTS.match(found.target)
    ]


def impure_calculations(sources: Iterable[Source]) -> list[str]:
    return [
        f"{source.name}:{found.line} imports {found.target}"
        for source in sources
        if _is_calc(source.name)
        for found in source.imports
        if found.target.partition(".")[0] not in CALC_MAY_IMPORT and not _is_calc(found.target)
    ]


def _is_calc(dotted: str) -> bool:
    return dotted.split(".")[1:2] == ["calc"]


def layers_upside_down(sources: Sequence[Source]) -> list[str]:
    """A layer that reaches a higher one of its own app, itself or through the modules it leans on."""
    known = {source.name: source for source in sources}
    breaches = []
    for source in sources:
        own = _layer(source.name)
        if own is None:
            continue
        for reached, through in _reached(source, known).items():
            if reached.partition(".")[0] == source.app and (_layer(reached) or 0) > own:
                breaches.append(f"{source.name} reaches {reached} through {through}")
    return breaches


def _layer(dotted: str) -> int | None:
    part = next(iter(dotted.split(".")[1:2]), "")
    return LAYERS.index(part) if part in LAYERS else None


def _reached(source: Source, known: dict[str, Source]) -> dict[str, str]:
    """What a module imports, looking through modules without a layer of their own; and from where."""
    reached: dict[str, str] = {}
    waiting = [(name, source.name) for name in _known_targets(source, known)]
    while waiting:
        name, through = waiting.pop()
        if name in reached:
            continue
        reached[name] = through
        if _layer(name) is None and known[name].app == source.app:
            waiting += [(further, name) for further in _known_targets(known[name], known)]
    return reached


def import_cycles(sources: Sequence[Source]) -> list[str]:
    """Modules that lead back to themselves by their imports at the top."""
    known = {source.name: source for source in sources}
    edges = {name: _known_targets(source, known, late=False) - {name} for name, source in known.items()}
    breaches, done = [], set()
    for start in edges:
        path, trail = [], [(start, iter(sorted(edges[start])))]
        path.append(start)
        while trail:
            following = next(trail[-1][1], None)
            if following is None:
                done.add(trail.pop()[0])
                path.pop()
            elif following in path:
                breaches.append(" -> ".join([*path[path.index(following) :], following]))
            elif following not in done:
                path.append(following)
                trail.append((following, iter(sorted(edges[following]))))
    return breaches


def _known_targets(source: Source, known: dict[str, Source], *, late: bool = True) -> set[str]:
    wanted = (found for found in source.imports if late or not found.is_inside_function)
    return {name for found in wanted if (name := _module_of(found, known))}


def _module_of(found: Import, known: dict[str, Source]) -> str | None:
    """`from shop.calc.margin import half_up` names a thing in a module; the module is what counts."""
    if found.target in known:
        return found.target
    parent = found.target.rpartition(".")[0]
    return parent if parent in known else None
