"""How the invented bench writes up its common jobs: (what was done, minutes, figure), several ways each."""

from instruments.drawings.finish import Variety
from shop.demo.pieces import Step

PREPARE = (
    "record-as-found",
    "clean-out",
    "tighten-screws",
    "check-frame",
    "test-pins",
    "ease-keys",
    "lubricate-action",
    "regulate-fine",
    "pitch-raise",
    "tuning-pass",
    "fine-tune",
    "refit-case",
    "play-test",
)

USUAL: dict[str, tuple[tuple[str, int, str], ...]] = {
    "record-as-found": (
        ("Photographed inside and out; A4 stood 38 cents flat.", 55, ""),
        ("Photographed part by part; A4 stood 22 cents flat, two unisons slipped.", 60, ""),
        ("Photographed; A4 stood 61 cents flat and even across the compass.", 50, ""),
    ),
    "clean-out": (
        ("Emptied, brushed and vacuumed; three pencils, a hymn list and a thimble found.", 110, ""),
        ("Keys out, bed and bottom vacuumed; some old moth, nothing alive.", 130, ""),
        ("Stripped and cleaned; a tuner's card of 1951 kept with the papers.", 120, ""),
    ),
    "tighten-screws": (
        ("Every screw of action and key bed turned; about a third had worked loose.", 60, ""),
        ("All screws taken up; two stripped ones in the hammer rail plugged.", 85, ""),
        ("All screws taken up; none stripped.", 55, ""),
    ),
    "check-frame": (
        ("Struts and bolts looked over by a raking lamp; no crack.", 30, ""),
        ("No crack found; one bolt by the bass break taken up.", 35, ""),
    ),
    "test-pins": (
        ("Forty pins tried: lowest 5.8, usual 8, highest 10.5 N·m, none below 5, at 52 % RH.", 60, ""),
        ("Sixty pins tried: lowest 5.2, usual 7.5, highest 9.8 N·m, none below 5, at 49 % RH.", 70, ""),
        ("Forty pins tried: lowest 6.4, usual 9, highest 11 N·m, none below 5, at 55 % RH.", 60, ""),
    ),
    "clean-keys": (
        ("Keys numbered and out; both rows of pins polished bright.", 120, ""),
        ("Key bed cleaned, pins polished, green from the front pins taken off.", 140, ""),
    ),
    "ease-keys": (
        ("Sharps tight on the balance rail; eased until each falls by itself.", 130, ""),
        ("Eleven keys eased, the rest fell freely.", 75, ""),
        ("All keys eased at the balance rail, four at the front.", 120, ""),
    ),
    "recentre": (
        ("Twenty-three hammer centres renewed, mostly in the tenor.", 210, "4"),
        ("All hammer centres renewed with the next size of pin.", 330, "5"),
        ("Nine tight centres renewed; the others left, being even.", 95, "4"),
    ),
    "renew-tapes": (
        ("All tapes renewed; the old ones had gone to dust at the tips.", 125, ""),
        ("Tapes renewed throughout.", 110, ""),
    ),
    "reface-hammers": (
        ("Grooves taken out in two passes; the top octave only just, there is little felt there.", 130, ""),
        ("Refaced; felt left for one more time.", 115, ""),
    ),
    "space-hammers": (
        ("Travelled and spaced to the strings, twelve shanks burned in.", 120, ""),
        ("Spaced; five shanks burned in.", 90, ""),
    ),
    "lubricate-action": (
        ("Key pins, capstans, springs and butts done; every note now returns.", 85, ""),
        ("Lubricated throughout; four notes had needed easing first.", 95, ""),
        ("Lubricated; repetition even with the dampers off.", 80, ""),
    ),
    "level-keys": (
        ("Naturals levelled to the ends, sharps 12 mm above.", 130, ""),
        ("Levelled and squared; a hollow in the middle taken out with papers.", 140, ""),
    ),
    "set-blow": (
        ("Blow even, lost motion taken up.", 80, "46"),
        ("Blow set and lost motion taken up.", 90, "47"),
    ),
    "set-dip": (
        ("Dip set key by key with a block.", 110, "10"),
        ("Dip evened; front washers papered.", 120, "9.8"),
    ),
    "set-let-off": (
        ("Let-off set, closer at the top.", 85, "2.5"),
        ("Let-off set by eye against a gauge.", 95, "2.8"),
    ),
    "set-checks": (("Checks bent to catch alike.", 80, "15"), ("Checking even, loud and soft.", 85, "14")),
    "set-dampers": (
        ("Spoons set; the lift is even and nothing rings on.", 95, ""),
        ("Dampers timed; two bass wedges renewed.", 110, ""),
    ),
    "regulate-fine": (
        ("Aftertouch even from end to end.", 250, "1"),
        ("Gone over twice; even under the hand.", 285, "0.9"),
        ("Gone over note by note; a little more in the bass than in the treble.", 240, "1.1"),
    ),
    "set-pedals": (
        ("Both pedals quiet; a squeak in the trapwork cured.", 45, ""),
        ("Half-blow rail and sustaining pedal set.", 40, ""),
    ),
    "pitch-raise": (
        ("Raised in two passes; no string broke.", 130, "-6"),
        ("Raised once; one plain string broke and was renewed.", 110, "-9"),
        ("Raised once, evenly.", 85, "-5"),
    ),
    "tuning-pass": (("Settled and tuned through.", 85, "-2"), ("Tuned through, unisons hold.", 80, "-3")),
    "voice": (
        ("Evened across the bass break, a little warmer in the fifth octave.", 150, ""),
        ("Brightness taken off the middle; bass left as it is.", 120, ""),
    ),
    "fine-tune": (("Tuned to A4 = 440 Hz.", 90, "0"), ("Tuned to A4 = 440 Hz; octaves clean.", 95, "-0.5")),
    "refit-case": (
        ("Case refitted; the fall clears the keys, nothing rubs.", 55, ""),
        ("Case cleaned and refitted; one hinge screw renewed.", 65, ""),
    ),
    "play-test": (
        ("Played through soft and loud; nothing sticks, rattles or double-strikes.", 40, ""),
        ("Played through twice; a faint buzz on B1 found in a candle sconce and cured.", 55, ""),
    ),
    "settle-and-retune": (
        ("Three weeks later; touched up.", 70, "-2"),
        ("A month later; held well, touched up.", 60, "-1"),
    ),
    "record-finished": (
        ("The same views taken as at the start.", 40, ""),
        ("Photographed as it leaves.", 35, ""),
    ),
    "check-castors": (("All four roll; one toe screw renewed.", 35, ""), ("Toes and castors tight.", 25, "")),
    "touch-up-regulation": (("Level and dip as before weighing; let-off touched in the treble.", 60, ""),),
}


def usual(key: str, *tasks: str, who: str = "tobias") -> tuple[Step, ...]:
    """Common jobs on one instrument, each written up in one of its usual ways."""
    variety = Variety(key)
    return tuple(Step(task, *variety.pick(task, USUAL[task]), who=who) for task in tasks)
