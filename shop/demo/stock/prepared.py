"""The common way of an upright through the shop, for those whose story lies in who took it."""

from shop.demo.pieces import Cost, Found, Offer, Order, Piece, Said
from shop.demo.usual_work import PREPARE, usual


def prepared(
    key: str,
    *,
    arrived: int,
    seller: str,
    pounds: int,
    price: int,
    said: tuple[Said, ...],
    found: tuple[Found, ...] = (),
    route: str = "private",
    shots: tuple[str, ...] = ("front",),
    who: str = "tobias",
    carriage: int = 90,
    **identity,
) -> Piece:
    """An upright bought, prepared in its usual way within seven weeks, and offered."""
    return Piece(
        key=key,
        arrived=arrived,
        identity={
            "kind": "upright",
            "key_count": 85,
            "stringing": "overstrung",
            "damping": "under",
            "frame": "full_iron",
            "pedals": 2,
            "natural_covering": "celluloid",
            "sharp_covering": "ebony",
            "made_basis": "serial",
            "serial_read_at": "in the frame",
        }
        | identity,
        seller=seller,
        pounds=pounds,
        route=route,
        costs=(Cost("transport", carriage, "Two men and a van", 1),),
        said=said,
        found=(
            *found,
            Found("soundboard", "sound"),
            Found("frame", "sound", "No crack."),
            Found("pins", "sound"),
        ),
        shots=shots,
        orders=(
            Order(
                title="Prepare for sale",
                opened=arrived - 8,
                closed=arrived - 42,
                steps=usual(key, *PREPARE, who=who),
                for_whom=who,
            ),
        ),
        offer=Offer(days_ago=arrived - 49, pounds=price, reason="Like others of its age sold by us"),
    )
