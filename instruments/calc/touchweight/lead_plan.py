"""Key leads planned: how much, added or taken out, and where, so that each key falls inside its curve.

Lead works by its moment: m * x / L at the measuring point (S. Birkett, pianotech 26 Jul 1995), on D, U and
balance weight alike, and never on friction (CAUT list, as in `formulas`). So a key is led only when its
friction is in range, and only as far as its up-weight stays at its least. Of the ways that do it, the plan
takes the one that disturbs the key least: fewest leads moved, then nearest to the target, then the least
moment of inertia, m * x squared, since of two leads with one effect the nearer one is the lighter to set in
motion (Birkett).

Distances in mm from the balance rail, forwards; behind it negative. Weights in grams.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from itertools import combinations, product

from instruments.calc.compass import note_label
from instruments.calc.exact import plain
from instruments.calc.touchweight.formulas import lead_effect_g, lead_inertia_g_mm2
from instruments.calc.touchweight.weighoff import SLOW_RETURN_G, KeyVerdict

MOST_ADDED = 2  # leads put into one key at a time; our own limit: then weigh again
MOST_TAKEN_OUT = 2
APART_MM = 4  # wood left between two holes; common practice, no source

ADD, TAKE_OUT, LEAVE = "lead", "take out", "leave"
FRICTION_FIRST, WEIGH_UP_FIRST, NOT_BY_LEAD = "friction first", "weigh up first", "not by lead"


@dataclass(frozen=True, slots=True)
class LeadSize:
    """A lead the shop has: its mass in grams and its diameter in mm, both above 0."""

    name: str
    mass_g: Decimal
    diameter_mm: Decimal

    def __post_init__(self) -> None:
        if self.mass_g <= 0 or self.diameter_mm <= 0:
            raise ValueError("A lead has a mass and a diameter above 0.")


@dataclass(frozen=True, slots=True)
class PlacedLead:
    """A lead in a key, or to be put there."""

    size: LeadSize
    distance_mm: Decimal


@dataclass(frozen=True, slots=True)
class Lever:
    """A key seen from the side: where the weight is set, and where there is wood for lead.

    `front_mm` from the balance rail to the measuring point; leads may sit from `nearest_mm` to `farthest_mm`
    in front of the rail, and as far behind it when `behind_mm` is above 0 (that makes a key heavier).
    """

    front_mm: Decimal
    nearest_mm: Decimal
    farthest_mm: Decimal
    behind_mm: Decimal = Decimal(0)

    def __post_init__(self) -> None:
        if not 0 < self.nearest_mm <= self.farthest_mm <= self.front_mm:
            raise ValueError(
                "The room for leads lies between the balance rail and the measuring point: "
                "above 0, nearest before farthest, farthest not beyond the measuring point."
            )
        if self.behind_mm and self.behind_mm < self.nearest_mm:
            raise ValueError("Room behind the rail starts as far from it as room in front: give more, or 0.")

    @property
    def room(self) -> tuple[tuple[Decimal, Decimal], ...]:
        """From where to where a lead may sit, forwards from the rail."""
        behind = ((-self.behind_mm, -self.nearest_mm),) if self.behind_mm else ()
        return ((self.nearest_mm, self.farthest_mm), *behind)


@dataclass(frozen=True, slots=True)
class KeyPlan:
    """What to do at one key: `act` is ADD, TAKE_OUT, LEAVE, or why lead is not the answer.

    `moment_g_mm` is what has to be taken off (positive: lead in front) where no lead on file can do it.
    """

    key: int
    act: str
    sentence: str
    put_in: tuple[PlacedLead, ...] = ()
    take_out: tuple[PlacedLead, ...] = ()
    down_after_g: Decimal | None = None
    up_after_g: Decimal | None = None
    moment_g_mm: Decimal | None = None

    @property
    def is_treated(self) -> bool:
        return self.act in {ADD, TAKE_OUT}


def lead_plan(
    keys: Iterable[KeyVerdict],
    *,
    lever_of: Mapping[int, Lever],
    sizes: Sequence[LeadSize],
    leads_in: Mapping[int, tuple[PlacedLead, ...]] | None = None,
    tolerance_g: Decimal = Decimal(2),
    least_up_g: Decimal = SLOW_RETURN_G,
) -> tuple[KeyPlan, ...]:
    """A plan for each key of a weigh-off, lowest first; keys inside the curve are left alone.

    `lever_of` gives each key its lever, `leads_in` the leads known to sit in it. No key is led while one of
    its readings is missing or its friction is high, and none is forced: what cannot be reached is reported.
    """
    known = leads_in or {}
    return tuple(
        _plan(key, lever_of[key.key], sizes, known.get(key.key, ()), tolerance_g, least_up_g)
        for key in sorted(keys, key=lambda verdict: verdict.key)
    )


def _plan(
    key: KeyVerdict,
    lever: Lever,
    sizes: Sequence[LeadSize],
    leads_in: tuple[PlacedLead, ...],
    tolerance: Decimal,
    least_up: Decimal,
) -> KeyPlan:
    note = note_label(key.key)
    if key.inside:
        return KeyPlan(key.key, LEAVE, f"{note} is inside the curve.")
    if key.up_g == 0:
        stuck = f"{note} does not return by itself. Free it first; no lead yet."
        return KeyPlan(key.key, FRICTION_FIRST, stuck)
    if key.up_g is None or key.friction_g is None:
        return KeyPlan(key.key, WEIGH_UP_FIRST, f"{note}: take its up-weight first.")
    if key.friction_high or key.cause == "friction":
        return KeyPlan(
            key.key,
            FRICTION_FIRST,
            f"{note}: friction is {plain(key.friction_g)} g. Ease, lubricate or re-centre first;"
            " no lead yet.",
        )
    least = key.deviation_g - tolerance
    most = min(key.deviation_g + tolerance, key.up_g - least_up)
    if most < least:
        return KeyPlan(
            key.key,
            NOT_BY_LEAD,
            f"{note}: enough lead to bring it down would leave less than {plain(least_up)} g up,"
            " and it would not return. Look at springs, hammer and centres.",
        )
    wanted = min(max(key.deviation_g, least), most)
    way = _best_way(_Search(lever, sizes, leads_in, least, most, wanted))
    if way is None:
        return _out_of_reach(key, lever, wanted, leads_in)
    return _led(key, way, lever)


@dataclass(frozen=True, slots=True)
class _Way:
    put_in: tuple[PlacedLead, ...]
    take_out: tuple[PlacedLead, ...]

    def effect_g(self, lever: Lever) -> Decimal:
        return _effect(self.put_in, lever) - _effect(self.take_out, lever)


@dataclass(frozen=True, slots=True)
class _Search:
    """One key's question: leads whose whole effect lies from `least` to `most`, best near `wanted`."""

    lever: Lever
    sizes: Sequence[LeadSize]
    leads_in: tuple[PlacedLead, ...]
    least: Decimal
    most: Decimal
    wanted: Decimal

    def ways(self, moved: int) -> Iterator[_Way]:
        """Every way that moves so many leads: some of those in the key out, some of the shop's in."""
        for count_out in range(min(moved, MOST_TAKEN_OUT, len(self.leads_in)) + 1):
            if moved - count_out > MOST_ADDED:
                continue
            for out in combinations(self.leads_in, count_out):
                staying = [lead for lead in self.leads_in if lead not in out]
                gone = _effect(out, self.lever)
                for put_in in self._additions(moved - count_out, staying, gone):
                    yield _Way(put_in, out)

    def _additions(self, count: int, staying: list[PlacedLead], gone: Decimal):
        least, most = self.least + gone, self.most + gone
        if count == 0:
            if least <= 0 <= most:
                yield ()
        elif count == 1:
            for size in self.sizes:
                yield from ((lead,) for lead in self._places(size, least, most, staying))
        else:
            for one, other in product(self.sizes, repeat=2):
                for far in _far_places(one, self.lever, staying, self.wanted + gone):
                    effect = _effect((far,), self.lever)
                    for lead in self._places(other, least - effect, most - effect, [*staying, far]):
                        yield (far, lead)

    def _places(self, size: LeadSize, least: Decimal, most: Decimal, staying: Sequence[PlacedLead]):
        """Every whole millimetre at which one lead has such an effect, where there is room."""
        per_g = self.lever.front_mm / size.mass_g
        for low, high in self.lever.room:
            first = max(least * per_g, low).to_integral_value(ROUND_CEILING)
            last = min(most * per_g, high).to_integral_value(ROUND_FLOOR)
            for distance in range(int(first), int(last) + 1):
                lead = PlacedLead(size, Decimal(distance))
                if _has_room(lead, staying):
                    yield lead


def _far_places(
    size: LeadSize, lever: Lever, staying: Sequence[PlacedLead], wanted: Decimal
) -> Iterator[PlacedLead]:
    """Where the first of two leads may go: at the end of its room, or at even steps inward from it."""
    near, far = (lever.nearest_mm, lever.farthest_mm) if wanted > 0 else (lever.nearest_mm, lever.behind_mm)
    if far < near:
        return
    sign = 1 if wanted > 0 else -1
    for step in range(9):
        distance = (far - (far - near) * step / 8).to_integral_value(ROUND_FLOOR)
        lead = PlacedLead(size, sign * distance)
        if near <= distance <= far and _has_room(lead, staying):
            yield lead


def _has_room(lead: PlacedLead, staying: Sequence[PlacedLead]) -> bool:
    return all(
        abs(lead.distance_mm - other.distance_mm)
        >= (lead.size.diameter_mm + other.size.diameter_mm) / 2 + APART_MM
        for other in staying
    )


def _best_way(search: _Search) -> _Way | None:
    """Of the ways that move fewest leads, the nearest to what is wanted; of those, the least inertia."""

    def cost(way: _Way):
        off = round(abs(way.effect_g(search.lever) - search.wanted), 1)
        return off, _inertia(way.put_in) - _inertia(way.take_out), repr(way)

    for moved in range(1, MOST_ADDED + MOST_TAKEN_OUT + 1):
        if way := min(search.ways(moved), key=cost, default=None):
            return way
    return None


def _led(key: KeyVerdict, way: _Way, lever: Lever) -> KeyPlan:
    effect = way.effect_g(lever)
    down, up = key.down_g - effect, key.up_g - effect
    doing = [f"take out {_words(lead)}" for lead in way.take_out]
    doing += [f"put in {_words(lead)}" for lead in way.put_in]
    sentence = (
        f"{note_label(key.key)}: {' and '.join(doing)}; then {round(down, 1)} g down, {round(up, 1)} g up."
    )
    act = ADD if way.put_in else TAKE_OUT
    return KeyPlan(key.key, act, sentence, way.put_in, way.take_out, down, up)


def _out_of_reach(
    key: KeyVerdict, lever: Lever, wanted: Decimal, leads_in: tuple[PlacedLead, ...]
) -> KeyPlan:
    note, moment = note_label(key.key), wanted * lever.front_mm
    if wanted < 0 and not leads_in:
        sentence = (
            f"{note} is {round(-key.deviation_g, 1)} g too light. Take out lead worth"
            f" {round(-moment)} g·mm (mass times distance from the rail); none is on file for this key."
        )
        return KeyPlan(key.key, NOT_BY_LEAD, sentence, moment_g_mm=moment)
    sentence = f"{note}: no lead the shop has reaches {round(moment)} g·mm in the room there is."
    return KeyPlan(key.key, NOT_BY_LEAD, sentence, moment_g_mm=moment)


def _words(lead: PlacedLead) -> str:
    where = "behind the rail" if lead.distance_mm < 0 else "from the rail"
    return f"{lead.size.name} at {plain(abs(lead.distance_mm))} mm {where}"


def _effect(leads: Iterable[PlacedLead], lever: Lever) -> Decimal:
    return sum(
        (lead_effect_g(lead.size.mass_g, lead.distance_mm, lever.front_mm) for lead in leads), Decimal(0)
    )


def _inertia(leads: Iterable[PlacedLead]) -> Decimal:
    return sum((lead_inertia_g_mm2(lead.size.mass_g, lead.distance_mm) for lead in leads), Decimal(0))
