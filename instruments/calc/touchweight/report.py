"""What a weigh-off asks for, and what changed between two of them."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from instruments.calc.exact import plain
from instruments.calc.touchweight.weighoff import KeyVerdict, Summary, WeighOff, summary_of

# In the order in which they are dealt with: friction hides the weight, and a missing weight hides both.
# Order: common practice, no source. Signs: the CAUT list post named in formulas.py.
ASKS = {
    "stuck": (
        "Does not return by itself",
        "Ease the key; look at spring, centre and damper. Then weigh it again.",
    ),
    "friction": (
        "Friction: high down, low up",
        "Ease the bushings, lubricate, re-centre; then weigh these keys again.",
    ),
    "hidden": (
        "Inside, but with high friction",
        "The down-weight hides it. Ease, lubricate or re-centre; the key will then be lighter.",
    ),
    "unknown": ("Out, without an up-weight", "Take the up-weight: without it nothing tells why."),
    "weight": ("Weight: down and up both high", "Check springs and hammers, then add lead in front."),
    "light": ("Too light", "Check springs and hammers, then take lead out."),
    "slow": ("Inside, but slow to return", "Less than 20 g up. Look at spring, centre and damper."),
}


@dataclass(frozen=True, slots=True)
class Asked:
    """Some keys that want the same thing done."""

    cause: str
    keys: tuple[int, ...]

    @property
    def words(self) -> str:
        return ASKS[self.cause][0]

    @property
    def do(self) -> str:
        return ASKS[self.cause][1]


@dataclass(frozen=True, slots=True)
class Comparison:
    """The same keys before and after, each judged by its own weigh-off."""

    keys: tuple[tuple[KeyVerdict, KeyVerdict], ...]
    before: Summary
    after: Summary

    @property
    def sentence(self) -> str:
        if not self.keys:
            return "The two have no key in common."
        count = len(self.keys)
        said = [
            f"Of {count} keys weighed both times {self.before.out} were out before, {self.after.out} now."
        ]
        said += _moved("Largest step", self.before.largest_step_g, self.after.largest_step_g)
        said += _moved("Mean friction", self.before.friction_mean_g, self.after.friction_mean_g)
        said += _moved("Mean balance weight", self.before.balance_mean_g, self.after.balance_mean_g)
        return " ".join(said)


def asked_of(keys: Iterable[KeyVerdict]) -> list[Asked]:
    """Who wants what, in the order in which it is done. Each key stands once."""
    found: dict[str, list[int]] = {cause: [] for cause in ASKS}
    for key in keys:
        cause = key.cause or ("hidden" if key.friction_high else "slow" if key.slow_return else "")
        if cause:
            found[cause].append(key.key)
    return [Asked(cause, tuple(those)) for cause, those in found.items() if those]


def compare(before: WeighOff, after: WeighOff) -> Comparison:
    """Only keys weighed both times count, so that a partial weigh-off gains nothing by what it left out."""
    earlier = {key.key: key for key in before.keys}
    pairs = tuple((earlier[key.key], key) for key in after.keys if key.key in earlier)
    return Comparison(pairs, summary_of([was for was, _ in pairs]), summary_of([now for _, now in pairs]))


def _moved(what: str, before: Decimal | None, after: Decimal | None) -> list[str]:
    if before is None or after is None:
        return []
    if before == after:
        return [f"{what} as before, {plain(after)} g."]
    return [f"{what} {plain(before)} g before, {plain(after)} g now."]
