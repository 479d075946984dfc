"""Walks round an upright: out on trial in good order and back from it, bought and finished."""

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
    Found("key_tops", "attend", "One head chipped at the front.", keys="E4", shot="keys"),
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
    Found(
        "key_tops",
        "repair",
        "The chipped head was mended by somebody; another is chipped now.",
        keys="C4, E4",
        shot="keys_back",
    ),
    Found("keys", "sound", measured=(("lifted_natural", "falls"), ("lifted_sharp", "slowly"))),
    Found("soundboard", "sound", measured=(("crown", "3"), ("sustain_a5", "14"))),
    Found("bridges", "not_examined"),
    Found("back", "not_examined"),
)
# Not every part, but those that both sides look at by the door.
LOOKED_OVER = (
    Found("case", "sound", "No new mark."),
    Found("fall", "sound", "The name is whole."),
    Found("damp", "sound", measured=(("humidity_inside", "50"),)),
    Found("hammers", "sound"),
    Found("key_tops", "sound"),
    Found("pedals", "sound", "Quiet."),
)

# The one to look at first, as it was bought and as it was finished.
HALDEN_AS_BOUGHT = (
    Found("case", "attend", "Polish gone at the lid; knocks along the plinth."),
    Found("key_tops", "attend", "Heads yellowed; one chip at the front.", keys="C5", shot="keys"),
    Found(
        "keys",
        "repair",
        "Sharps stick on the balance rail.",
        measured=(("lifted_natural", "falls"), ("lifted_sharp", "stays")),
    ),
    Found(
        "hammers",
        "repair",
        "Grooved in the middle, square at the top.",
        measured=(("groove_depth", "2.5"), ("felt_left_top", "5"), ("flat_length", "9")),
        shot="hammers",
    ),
    Found(
        "centres",
        "attend",
        "Two tight.",
        keys="F#3, D5",
        measured=(("swings_bass", "6"), ("swings_middle", "3"), ("hammers_dampers_off", "some_stay")),
    ),
    Found("springs", "replace", "Tapes brittle."),
    Found("strings", "sound", "Old; dull in the coils.", measured=(("strings_renewed", "0"),)),
    Found("pins", "sound", "The lowest of those tried.", measured=(("pin_torque_lowest", "5.8"),)),
    Found("bridges", "sound", "Old repair to the bass bridge, firm."),
    Found(
        "soundboard",
        "attend",
        "One closed crack in the bass corner; it does not buzz.",
        measured=(("grain_per_cm", "8"), ("crown", "2.5"), ("sustain_a5", "13")),
    ),
    Found("frame", "sound", "No crack."),
    Found("pests", "sound", "Old moth, nothing alive."),
    Found("back", "not_examined"),
)
HALDEN_FINISHED = (
    Found("case", "sound", "Lid and sides French polished; the plinth keeps its knocks."),
    Found("key_tops", "attend", "Heads yellowed; the chip stays.", keys="C5", shot="keys"),
    Found(
        "keys",
        "sound",
        "All fall freely.",
        measured=(("lifted_natural", "falls"), ("lifted_sharp", "falls"), ("key_dip", "10")),
    ),
    Found(
        "hammers",
        "sound",
        "Refaced; felt left for once more.",
        measured=(("groove_depth", "0"), ("felt_left_top", "4"), ("flat_length", "2")),
        shot="hammers",
    ),
    Found("centres", "sound", measured=(("swings_middle", "5"), ("hammers_dampers_off", "return"))),
    Found("pins", "sound", measured=(("pin_torque_lowest", "5.8"), ("pin_torque_usual", "8"))),
    Found("soundboard", "sound", measured=(("crown", "2.5"), ("sustain_a5", "13"))),
    Found("springs", "sound", "Tapes new."),
    Found("strings", "attend", "Old; two plain strings renewed, brighter than the rest.", keys="E4, A5"),
)
