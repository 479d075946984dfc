"""Logged in the last days, with next to nothing known yet."""

from shop.demo.pieces import Found, Marked, Piece, Said, Weighed

PIECES = (
    Piece(
        key="sallowfield",
        arrived=9,
        identity={
            "kind": "upright",
            "maker": "Sallowfield",
            "key_count": 88,
            "place": "seller",
            "place_note": "Ferry Cottage, Wenlow, up two steps",
        },
        seller="Alec Stroud",
        note="Wants it gone before the end of the month. No price spoken of yet.",
        said=(
            Said(
                text="My wife played it every day until three years ago. It was always tuned.",
                topic="used",
                by="Alec Stroud",
                quoted=True,
                public=False,
            ),
            Said(text="Bought new in Port Lennick.", topic="owned", by="Alec Stroud", dated="197X"),
        ),
    ),
    Piece(
        key="corvane",
        arrived=5,
        identity={
            "kind": "upright",
            "maker": "Corvane",
            "name_on_fall": "Corvane & Co., Port Lennick",
            "key_count": 85,
            "made": "1900/1915",
            "made_basis": "style",
            "case_wood": "mahogany",
            "height_cm": 124,
            "place": "store",
            "place_note": "store, bay 3",
        },
        seller="Ottoline Brice",
        pounds=60,
        note="Came with the Garth Hall clearance; name on the fall may be a dealer's.",
        shots=("front",),
        findings_to_work=(1, "What the first look found"),
        marked=(
            Marked(fault="sticks", keys="A0-E1, C5", days_ago=4),
            Marked(fault="no_covering", keys="G7, A7", days_ago=4, note="one of them lies in the bottom"),
        ),
        found=(
            Found("case", "attend", "Left toe loose; stand it on blocks.", shot="front", who="bram"),
            Found("fall", "sound", who="bram"),
            Found("castors", "sound", who="bram"),
            Found("lid", "sound", who="bram"),
            Found("pins", "attend", "Rusty at the top.", measured=(("pin_torque_lowest", "4.6"),)),
            Found("frame", "sound", "No crack by a raking lamp."),
            Found("damp", "attend", "Musty; old and dry.", measured=(("humidity_inside", "61"),)),
            Found("pests", "not_examined"),
        ),
        walk_left_open=True,
        weighed=(Weighed(days_ago=2, naturals=13.9, sharps=18.2, uneven=1.6, humidity="54", left_at=38),),
    ),
    Piece(
        key="unknown-barn",
        arrived=2,
        logged_by="olive",
        identity={
            "kind": "upright",
            "maker": "unknown",
            "key_count": 85,
            "place": "seller",
            "place_note": "a barn at Hexmoor, dry",
        },
        seller="Bettina Crail",
        route="gift",
        note="Offered for nothing if we fetch it.",
    ),
)
