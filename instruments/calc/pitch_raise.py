"""How to bring a piano to pitch: how many passes, how far over, when to come again, and what to ask first.

Sources. The steps at 5, 20 and 50 cents, 10 to 15 cents over on an old piano, two raises from 40 to 50 cents
and the three ways to offer are practitioners' rules without one source that could be cited: common
practice, no source. So is a quarter of the flatness as the usual over-pull. A440 and A415 (a semitone flat,
415.3 Hz): ISO 16:1975 and 440 / 2^(1/12).
"""

from dataclasses import dataclass

from instruments.calc.compass import count_word

TUNE_ONLY_CENTS = 5
AGAIN_CENTS, SOONER_CENTS = 20, 50
TWO_RAISES_OLD_CENTS, TWO_RAISES_CENTS = 40, 50
SEMITONE_CENTS = 100
OVER_PULL_SHARE = 0.25
OVER_PULL_OLD_CENTS = (10, 15)
OLD_YEARS = 50  # from here a piano is treated as old: common practice, no source

STRINGS_CAUTION = (
    "A string can break at any pin, most easily a rusty or spliced one. Keep faces and hands out of its line,"
    " wear glasses, lower a pin before raising it, and let nobody lean over."
)
OWNER_CAUTION = "Tell the owner first: strings may break, and a crack that is there already may open."
BRIDGE_CAUTION = "Look at the bass bridge and the frame before the first pull; a cracked bridge comes first."
SEMITONE_CAUTION = (
    "It lies a semitone or more low, about A415. Raising it is a risk to plan with the owner: leaving it low,"
    " in tune with itself, is honest too."
)
SHARP_CAUTION = "It lies sharp: let it down with care, and find out why before it is called a fault."


@dataclass(frozen=True)
class Way:
    """One of the three ways to offer. `code` is what a record keeps."""

    code: str
    name: str
    sentence: str


@dataclass(frozen=True)
class RaisePlan:
    """`raises` come before the tuning itself; `over_pull_cents` are the most to go over in each."""

    cents: float
    raises: int
    over_pull_cents: float
    is_old: bool
    return_sentence: str
    cautions: tuple[str, ...]
    ways: tuple[Way, ...]

    @property
    def sentence(self) -> str:
        off = abs(round(self.cents))
        side = "flat" if self.cents < 0 else "sharp"
        if not self.raises:
            return f"About {off} cents {side}: tune it; no raise is needed."
        move = "raise" if self.cents < 0 else "lowering"
        passes = f"{count_word(self.raises)} {move}{'s' * (self.raises > 1)}"
        return f"About {off} cents {side}: {passes}, then the tuning."

    @property
    def over_pull_sentence(self) -> str:
        if not self.over_pull_cents:
            return ""
        each = "each raise" if self.raises > 1 else "the raise"
        words = f"In {each} go over by about {self.over_pull_cents:.0f} cents, a quarter of what it gains"
        low, high = OVER_PULL_OLD_CENTS
        limit = f"; on an old piano by no more than {low} to {high}" if self.is_old else ""
        return f"{words}{limit} (common practice, no source)."


def raise_plan(cents: float, *, is_old: bool = True) -> RaisePlan:
    """A plan for a piano that lies `cents` from its A4, minus being flat, in the section that says most.

    ValueError for what is not a number or more than 400 cents off.
    """
    if not abs(cents) <= 400:
        raise ValueError("A pitch raise can be planned within 400 cents.")
    flat = -cents
    raises = _raises(cents, is_old)
    return RaisePlan(
        cents=cents,
        raises=raises,
        over_pull_cents=_over_pull(flat, raises, is_old),
        is_old=is_old,
        return_sentence=_return_sentence(abs(cents)),
        cautions=_cautions(cents, raises),
        ways=_ways(flat) if flat > TUNE_ONLY_CENTS else (),
    )


def _raises(cents: float, is_old: bool) -> int:
    if abs(cents) <= TUNE_ONLY_CENTS:
        return 0
    return 2 if -cents > (TWO_RAISES_OLD_CENTS if is_old else TWO_RAISES_CENTS) else 1


def _over_pull(flat: float, raises: int, is_old: bool) -> float:
    """What the last raise goes over; with two, the first leaves little more than the half to do."""
    if flat <= TUNE_ONLY_CENTS:
        return 0
    usual = OVER_PULL_SHARE * flat / raises
    return min(usual, OVER_PULL_OLD_CENTS[1]) if is_old else usual


def _return_sentence(off: float) -> str:
    if off <= TUNE_ONLY_CENTS:
        return "Then as usual: twice a year keeps it there (common practice, no source)."
    if off <= AGAIN_CENTS:
        return "Come again within a month if it has moved house, else as usual (common practice, no source)."
    if off <= SOONER_CENTS:
        return "Tune it again within about six months (common practice, no source)."
    return "Come again within a month, and once more some months later (common practice, no source)."


def _cautions(cents: float, raises: int) -> tuple[str, ...]:
    if not raises:
        return ()
    if cents > 0:
        return (SHARP_CAUTION,)
    low = (SEMITONE_CAUTION,) if -cents >= SEMITONE_CENTS else ()
    return (*low, STRINGS_CAUTION, OWNER_CAUTION, BRIDGE_CAUTION)


def _ways(flat: float) -> tuple[Way, ...]:
    rounded = round(flat)
    return (
        Way(
            "itself",
            "In tune with itself",
            f"Left about {rounded} cents flat and tuned there: least strain, but it agrees with no other"
            " instrument and no recording.",
        ),
        Way("pitch", "Up to pitch", "Raised now, with what that asks of the strings, and tuned again soon."),
        Way(
            "gradual",
            "Gradual",
            "Raised by a part at each visit, so that strings, bridges and frame are loaded slowly;"
            " it takes two or three visits.",
        ),
    )
