"""One upright with everything known of it that can be: the one to look at first."""

from decimal import Decimal

from instruments.states import Teller
from shop.demo.pieces import Bears, Cost, Offer, Order, Piece, Said, Saw, Step, Weighed
from shop.demo.stock.halden_scans import SCANS
from shop.demo.stock.walked import HALDEN_AS_BOUGHT, HALDEN_FINISHED

# What a seller made of the bench's twenty-eight lines.
WORK_DONE = """\
Cleaned out, every screw turned, the frame looked over by a raking lamp: no crack.
Sixty wrest pins tried: lowest 5.8, usual 8, highest 10.4 N·m, none below 5.
Keys out, both rows of pins polished, every key eased until it falls by itself; two centres renewed.
All 85 bridle tapes renewed; hammers refaced, travelled and spaced.
Lubricated and regulated: blow 46 mm, dip 10 mm, let-off 2.5 mm, aftertouch 1 mm.
Raised to A4 = 440 Hz in two passes, settled, and tuned again a month later.
All 85 keys weighed: each within 2 g of 52 – 50 – 48 g; no lead was needed.
Voiced across the bass break. Lid and sides French polished."""

HALDEN = Piece(
    key="halden-1912",
    arrived=400,
    identity={
        "kind": "upright",
        "maker": "Halden & Rook",
        "model": "Cottage No. 3",
        "serial": "31 447",
        "serial_read_at": "in the frame, and in pencil on key 1",
        "made": "1912-05",
        "made_basis": "mark",
        "made_basis_note": "pencilled on the side of key 1",
        "height_cm": Decimal("126.5"),
        "width_cm": 148,
        "depth_cm": 64,
        "weight_kg": 225,
        "key_count": 85,
        "stringing": "overstrung",
        "damping": "under",
        "frame": "full_iron",
        "pedals": 2,
        "case_wood": "walnut",
        "case_finish": "French polished, brass sconces",
        "natural_covering": "celluloid",
        "sharp_covering": "ebony",
    },
    seller="Wilf Arden",
    pounds=180,
    costs=(
        Cost("transport", 95, "Two men, one step", 1),
        Cost("outwork", 240, "Lid and sides French polished", 70),
        Cost("tuning", 35, "String and wire", 90),
    ),
    said=(
        Said(
            text="It came new to my grandmother the year my uncle was born, and never left that room.",
            topic="owned",
            by="Wilf Arden",
            teller=Teller.LAST_OWNER_FAMILY,
            asserts="owned",
            dated="1912~",
            quoted=True,
            name="came new",
        ),
        Said(
            text="Receipt for “one cottage pianoforte, no. 31447”, made out to the family it came from",
            grade="document",
            topic="owned",
            dated="1912-11",
            source="receipt, kept in the stool",
            name="receipt",
        ),
        Said(
            text="“H & R 5/12” is pencilled on the bass side of key 1",
            grade="mark",
            topic="made",
            asserts="made",
            dated="1912-05",
            source="photographed before cleaning",
            days_ago=385,
        ),
        Said(
            text="My father had it restrung after the war.",
            topic="strings",
            by="Wilf Arden",
            teller=Teller.LAST_OWNER_FAMILY,
            asserts="restrung",
            dated="1946~",
            quoted=True,
            name="restrung",
        ),
        Said(
            text="The wire is dull in the coils and the paper under the pins undisturbed",
            grade="seen",
            topic="strings",
            days_ago=384,
        ),
        Said(
            text="The bass bridge was repaired long ago",
            grade="inferred",
            topic="repaired",
            asserts="repaired",
            dated="../1960",
            source="its screws are slotted brass and its glue is animal glue",
        ),
        Said(
            text="Lowest of sixty wrest pins 5.8 N·m at 52 % RH",
            grade="measured",
            topic="construction",
            source="torque wrench",
            days_ago=380,
        ),
        Said(
            text="Please do not name the village before my sister knows that I have let it go.",
            by="Wilf Arden",
            teller=Teller.LAST_OWNER_FAMILY,
            quoted=True,
            public=False,
        ),
    ),
    scans=SCANS,
    evidence=(
        Bears(
            on="came new",
            side="for",
            strength="strong",
            note="The receipt of November 1912 names this serial number and this family.",
            days_ago=384,
            scan="receipt-1912",
        ),
        Bears(
            on="receipt",
            side="for",
            strength="strong",
            note="Its scan; the number agrees with the one in the frame.",
            days_ago=384,
            scan="receipt-1912",
        ),
        Bears(
            on="restrung",
            side="against",
            strength="fair",
            note="The service card notes one string in 1949 and old wire in 1958.",
            days_ago=384,
            scan="service-card",
        ),
        Bears(
            on="restrung",
            side="against",
            strength="strong",
            note="Old wire, dull in the coils; the paper under the pins has never been lifted.",
            days_ago=384,
            part="strings",
            measure="strings_renewed",
        ),
    ),
    saw=(Saw(question="strings", codes=("dark-wire-under-felt", "rust-hidden-in-coils"), days_ago=384),),
    found=HALDEN_AS_BOUGHT,
    found_after=HALDEN_FINISHED,
    shots=("front", "keys", "hammers", "pins", "serial"),
    weighed=(
        Weighed(
            days_ago=378,
            naturals=13.1,
            sharps=19.4,
            humidity="57",
            note="Dampers lifted. Sharps slow to return everywhere.",
        ),
    ),
    orders=(
        Order(
            title="Bring to the shop's standard",
            opened=390,
            closed=300,
            note="Keep the plinth as it is. Wilf would like the sconces kept.",
            steps=(
                Step("record-as-found", "Photographed inside and out; A4 stood 46 cents flat.", 70),
                Step("clean-out", "Emptied and vacuumed; a service card with four tuners' dates kept.", 120),
                Step(
                    "tighten-screws",
                    "Every screw turned; the hammer rail had worked loose at the treble end.",
                    65,
                ),
                Step("check-frame", "Struts, bolts and under the action shelf looked over; no crack.", 35),
                Step(
                    "test-pins", "Sixty pins tried: lowest 5.8, usual 8, highest 10.4 N·m, none below 5.", 75
                ),
                Step(
                    "clean-keys",
                    "Keys out, both rows of pins polished; green taken off.",
                    140,
                    parts=(("front felt washers, set", "1", 11),),
                ),
                Step("ease-keys", "Sharps tight on the balance rail; eased until each falls by itself.", 165),
                Step("recentre", "Two tight centres, F#3 and D5; the rest even and left.", 45, figure="4"),
                Step("renew-tapes", "All 85 renewed.", 115, parts=(("bridle tapes", "85", 22),), who="ines"),
                Step("reface-hammers", "Grooves taken out in two passes; top octave barely touched.", 125),
                Step("space-hammers", "Twelve shanks burned in, hammers square to the strings.", 110),
                Step("lubricate-action", "Pins, capstans, springs and butts; every note returns.", 90),
                Step("level-keys", "Levelled to the ends, sharps 12 mm above.", 130),
                Step("set-blow", "Blow even, lost motion taken up.", 85, figure="46"),
                Step("set-dip", "Dip set key by key.", 115, figure="10"),
                Step("set-let-off", "Let-off set, closer at the top.", 90, figure="2.5"),
                Step("set-checks", "Checks bent to catch alike.", 80, figure="15"),
                Step("regulate-fine", "Gone over twice; even under the hand.", 270, figure="1"),
                Step(
                    "pitch-raise",
                    "Raised in two passes; two plain strings broke and were renewed.",
                    135,
                    figure="-7",
                ),
                Step("tuning-pass", "Settled and tuned through.", 90, figure="-2"),
                Step(
                    "set-touch-weight",
                    "All 85 keys weighed and inside 52 – 50 – 48 g; no lead was needed.",
                    150,
                    weighed=Weighed(
                        stage="after_work",
                        naturals=12.3,
                        sharps=12.6,
                        humidity="51",
                        note="After easing, two re-centred notes and lubrication. No lead moved.",
                    ),
                ),
                Step("touch-up-regulation", "Level and dip as before weighing.", 50),
                Step("voice", "Evened across the bass break; fifth octave a little warmer.", 140),
                Step("fine-tune", "Tuned to A4 = 440 Hz.", 95, figure="0"),
                Step("refit-case", "Case refitted after polishing; the fall clears the keys.", 70),
                Step(
                    "play-test",
                    "Played through soft and loud; nothing sticks, rattles or double-strikes.",
                    45,
                ),
                Step("settle-and-retune", "A month later; touched up.", 65, figure="-1.5"),
                Step("record-finished", "The same views taken as at the start.", 40),
            ),
            left=(("recover-keys", "The old celluloid is kept; the chip at C5 is shown."),),
        ),
    ),
    offer=Offer(
        days_ago=280,
        pounds=2450,
        reason="From three local sales of prepared cottage uprights",
        words=(
            ("headline", "Halden & Rook cottage upright of May 1912, one family from new"),
            ("work_done", WORK_DONE),
        ),
    ),
)

PIECES = (HALDEN,)
