"""Words for what is found of protected materials, and for the papers about them."""

from django.db.models import TextChoices


class IvoryKind(TextChoices):
    """Spelled as fixtures/protected_materials.json names them."""

    ELEPHANT = "elephant_ivory", "Elephant"
    LISTED = "listed_ivory", "Hippopotamus, killer whale, narwhal or sperm whale"
    WALRUS = "walrus_ivory", "Walrus"


class Rosewood(TextChoices):
    NIGRA = "dalbergia_nigra", "Brazilian rosewood (Dalbergia nigra)"
    COCHINCHINENSIS = "dalbergia_cochinchinensis", "Siamese rosewood (Dalbergia cochinchinensis)"
    OTHER = "dalbergia_other", "Another rosewood (Dalbergia)"
    NONE = "none", "No rosewood"


class Seam(TextChoices):
    """Where head and tail of a natural meet."""

    SEEN = "seen", "A seam between head and tail"
    ONE_PIECE = "one_piece", "One piece, no seam"


class Grain(TextChoices):
    CROSSING = "crossing", "Crossing or swirling, like a fingerprint"
    LINES = "lines", "Straight lines about 1 mm apart"
    FLECKS = "flecks", "Short dark pits and flecks"
    PLAIN = "plain", "None to be seen"


class ProtectedPaper(TextChoices):
    """Spelled as fixtures/protected_materials.json names them."""

    REGISTRATION = "registration", "Registration as exempt"
    CERTIFICATE = "certificate", "Certificate"
    EXEMPTION = "exemption", "Exemption of another kind"


class PaperHolder(TextChoices):
    SHOP = "shop", "The shop’s"
    SELLER = "seller", "The seller’s or owner’s, before us"
