"""The papers that came with the upright of 1912. The receipt names the family, so few may see it."""

from shop.demo.pieces import Scan

SCANS = (
    Scan(
        name="receipt-1912",
        title="Receipt of 1912 for number 31447",
        heading="HALDEN & ROOK, Pianoforte Makers",
        lines=(
            "Ferrygate, 9 November 1912",
            "Received of Mr Jos. Arden, Mill House,",
            "for one cottage pianoforte, no. 31447,",
            "in walnut, with stool              £ 34  0  0",
            "less for his old square              2  0  0",
            "Paid with thanks                   £ 32  0  0",
        ),
        dated="1912-11-09",
        seen_by="owner",
        days_ago=385,
    ),
    Scan(
        name="service-card",
        title="Tuner's service card from under the lid",
        heading="SERVICE CARD",
        lines=(
            "31447 cottage",
            "3/31   tuned, two hammers glued      P. Larch",
            "10/37  tuned, moth seen to           P. Larch",
            "5/49   raised, one string, bass      A. Tull",
            "2/58   tuned. Old wire, go gently    A. Tull",
        ),
        dated="1931-03/1958-02",
        kind="png",
        days_ago=385,
    ),
)
