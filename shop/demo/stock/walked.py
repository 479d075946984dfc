"""Whole walks round an upright: as it goes out on trial in good order, and as one came back."""

from instruments.states import Part
from shop.demo.pieces import Found


def whole(*findings: Found) -> tuple[Found, ...]:
    """Every part in the order of the walk; sound where nothing else is said."""
    said = {found.part: found for found in findings}
    return tuple(said.get(part.value, Found(part.value, "sound")) for part in Part)


HANDED_OVER = whole(
    Found("fall", "sound", "Clean; the name is whole."),
    Found("pins", "sound", measured=(("pin_torque_lowest", "7.2"), ("pin_torque_usual", "8.5"))),
    Found("damp", "sound", measured=(("humidity_inside", "51"),)),
    Found("hammers", "sound", "Refaced.", measured=(("felt_left_top", "4"),)),
    Found("centres", "sound", measured=(("hammers_dampers_off", "return"),)),
    Found("key_tops", "sound", "All heads whole.", shot="keys"),
    Found("keys", "sound", measured=(("lifted_natural", "falls"), ("lifted_sharp", "falls"))),
    Found("soundboard", "sound", measured=(("crown", "3"), ("sustain_a5", "14"))),
    Found("bridges", "not_examined"),
)
BROUGHT_BACK = whole(
    Found("case", "sound", "One more knock on the left toe, felt rather than seen."),
    Found("fall", "attend", "A scratch, 30 cm long."),
    Found("pins", "sound", measured=(("pin_torque_lowest", "6.9"),)),
    Found("damp", "sound", "Drier than it went out.", measured=(("humidity_inside", "38"),)),
    Found("hammers", "sound", "Refaced.", measured=(("felt_left_top", "4"),)),
    Found(
        "centres",
        "attend",
        "Three slow.",
        keys="D3, F3, A3",
        measured=(("hammers_dampers_off", "some_stay"),),
    ),
    Found("key_tops", "attend", "One head chipped at the front.", keys="E4", shot="keys_back"),
    Found("keys", "sound", measured=(("lifted_natural", "falls"), ("lifted_sharp", "slowly"))),
    Found("soundboard", "sound", measured=(("crown", "3"), ("sustain_a5", "14"))),
    Found("bridges", "not_examined"),
    Found("back", "not_examined"),
)
