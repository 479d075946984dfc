"""Ivory and protected woods: what a date proves, what registration costs, how much there is.

Sources: Ivory Act 2018 ss 1, 7, 8, 38; SI 2022/94 reg 11 (fees); 50 CFR 17.40(e)(3) (US, African ivory);
CITES annotation #15 (rosewood). Check the law in force; this is not legal advice.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal

from instruments.calc.edtf import bounds, is_hedged
from instruments.calc.exact import Number, exact, plain

PRE_1975 = date(1975, 1, 1)  # s 38(2)
PRE_1947 = date(1947, 3, 3)  # s 38(3)
US_LIMIT_DATE = date(2016, 7, 6)
US_LIMIT_G = 200
LARGEST_SHARE = Decimal("0.20")  # s 8(1): less than this by volume

KNOWN_NOT_IVORY = frozenset({"celluloid", "imitation", "plastic", "bone", "wood", "ebony", "stained"})
DEALING = frozenset(
    {
        "buy",
        "sell",
        "hire",
        "part exchange",
        "swap",
        "discount",
        "advertise",
        "keep for sale",
        "keep for hire",
    }
)
NOT_DEALING = frozenset({"own", "gift", "inherit", "unpaid loan"})

_SINGLE_FEE_MINOR, _GROUP_FEE_MINOR, _GROUP_LARGEST = 20_00, 50_00, 20
MIXED_KG_PER_LITRE = 2  # wood and iron together, our own estimate
SHARE_OF_BOX = 12
IVORY_G_CM3 = Decimal("1.85")
_CITES_APPENDIX_I_OR_NAMED = {"dalbergia nigra", "dalbergia cochinchinensis"}


def made_before(made: str, limit: date, *, documented: bool = False) -> bool | None:
    """Whether an EDTF date proves that something was made before a day: True, False, or None for unproven.

    The outer bounds decide. A date marked ? ~ % proves nothing either way unless `documented` otherwise.
    ValueError when the text is not EDTF; "" proves nothing.
    """
    if not made or (is_hedged(made) and not documented):
        return None
    earliest, latest = bounds(made)
    if latest is not None and latest < limit:
        return True
    return False if earliest is not None and earliest >= limit else None


def made_before_1975(made: str, *, documented: bool = False) -> bool | None:
    """For the exemption of musical instruments: before 1 January 1975 (s 38)."""
    return made_before(made, PRE_1975, documented=documented)


def made_before_1947(made: str, *, documented: bool = False) -> bool | None:
    """Before 3 March 1947 (s 38): later ivory keyboards need a certificate besides the registration."""
    return made_before(made, PRE_1947, documented=documented)


def still_pre_1975_with_added_ivory(made: str, taken_from_wild: str, *, to_restore: bool) -> bool | None:
    """Whether an instrument with ivory added later still counts as made before 1975 (s 38(2), (3)).

    It does when that ivory was taken from the wild before 1975 (EDTF) and added to restore; None is unproven.
    """
    if not to_restore:
        return False
    proofs = (made_before_1975(made), made_before_1975(taken_from_wild))
    return False if False in proofs else None if None in proofs else True


def treated_as_ivory(covering: str) -> bool:
    """Whatever is not known to be something else: "unknown" counts as ivory (our rule, on the safe side)."""
    return covering not in KNOWN_NOT_IVORY


def is_dealing(act: str) -> bool:
    """Whether an act needs a registration beforehand (s 1): anything for a consideration does.

    ValueError for an act not listed in DEALING or NOT_DEALING.
    """
    if act not in DEALING | NOT_DEALING:
        raise ValueError(
            f"“{act:.30}” is not an act the list knows: {', '.join(sorted(DEALING | NOT_DEALING))}."
        )
    return act in DEALING


def registration_fee_minor(items: int) -> int:
    """UK fees in pence: 20 pounds an item; 50 for a group of 3 to 20 of one owner to one buyer (reg 11)."""
    if items < 1:
        raise ValueError("A registration is for one item or more.")
    groups, left_over = divmod(items, _GROUP_LARGEST)
    return groups * _GROUP_FEE_MINOR + min(left_over * _SINGLE_FEE_MINOR, _GROUP_FEE_MINOR)


def key_ivory_cm3(naturals: int, head_mm: Iterable[Number], tail_mm: Iterable[Number]) -> Decimal:
    """Volume of the key coverings; heads and tails as (length, width, thickness) in mm."""
    piece_mm3 = sum(_box_mm3(piece) for piece in (head_mm, tail_mm))
    return naturals * piece_mm3 / 1000


def ivory_mass_g(volume_cm3: Number) -> Decimal:
    """Mass at 1.85 g/cm3, an order of magnitude (our own reckoning, not published)."""
    return exact(volume_cm3, "volume") * IVORY_G_CM3


def ivory_share(volume_cm3: Number, instrument_cm3: Number) -> Decimal:
    """Ivory as a share of the instrument's material volume; it has to stay under LARGEST_SHARE."""
    whole = exact(instrument_cm3, "volume of the instrument")
    if whole <= 0:
        raise ValueError("The volume of the instrument has to be above 0.")
    return exact(volume_cm3, "volume") / whole


def rough_material_cm3(
    *, weight_kg: Number | None, sides_cm: Sequence[Number | None]
) -> tuple[Decimal | None, str]:
    """Volume of an instrument's own material, and in words what it is taken from; None where that is unknown.

    By its weight, at 2 kg to the litre for wood and iron together; or else a twelfth of the box around it.
    Both are rough and our own, no source; the weight goes first.
    """
    if weight_kg:
        return exact(weight_kg, "weight") / MIXED_KG_PER_LITRE * 1000, (
            f"{weight_kg} kg at about {MIXED_KG_PER_LITRE} kg to the litre"
        )
    sides = [exact(side, "side") for side in sides_cm if side]
    if len(sides) < 3:
        return None, ""
    box = sides[0] * sides[1] * sides[2]
    return (
        box / SHARE_OF_BOX,
        f"a twelfth of the box around it, {' × '.join(plain(each) for each in sides)} cm",
    )


def us_de_minimis_failures(*, mass_g: Number, made: str, african: bool) -> list[str]:
    """Which of weight, date and species stand against a sale across a US state line, in sentences.

    Import or origin, fixed parts, half the value and half the volume have to be judged besides.
    """
    failures = []
    if not african:
        failures.append("The exception is for African ivory only.")
    if exact(mass_g, "mass") >= US_LIMIT_G:
        failures.append(f"All the ivory together has to weigh less than {US_LIMIT_G} g.")
    if made_before(made, US_LIMIT_DATE) is not True:
        failures.append("It has to be proven that the instrument was made before 6 July 2016.")
    return failures


def rosewood_needs_permit(species: str) -> bool:
    """Whether a finished instrument of this wood needs papers at a border; other Dalbergia is free (#15)."""
    return " ".join(species.casefold().split()) in _CITES_APPENDIX_I_OR_NAMED


def _box_mm3(sides_mm: Iterable[Number]) -> Decimal:
    length, width, thickness = (exact(side, "measure") for side in sides_mm)
    if min(length, width, thickness) < 0:
        raise ValueError("A measure cannot be negative.")
    return length * width * thickness
