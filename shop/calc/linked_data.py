"""An instrument in the words of schema.org, for machines that read its public page.

Source: schema.org, IndividualProduct, Offer, PropertyValue. Nothing is said here that the page does not say,
and nothing stronger: what is only told is a property worded as told, never a date or a fact of its own.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass

PLAIN_DATE = re.compile(r"\d{4}(-\d{2}(-\d{2})?)?")
SCHEMA = "https://schema.org"


@dataclass(frozen=True)
class Property:
    """One thing said of it, with how it is known."""

    name: str
    value: str
    basis: str = ""


@dataclass(frozen=True)
class Piece:
    """What the page says. `made` is EDTF, and empty where the date is only told; `price` is plain: "1395.00".

    `measures_cm`: height, width and depth, as measured.

    `is_restored`: an order of work is closed on it. `may_be_offered` is False while a protected material has
    no clearance: then no offer is made to machines either.
    """

    name: str
    stock_number: str
    maker: str = ""
    serial: str = ""
    model: str = ""
    made: str = ""
    category: str = ""
    description: str = ""
    address: str = ""
    pictures: tuple[str, ...] = ()
    properties: tuple[Property, ...] = ()
    measures_cm: tuple[tuple[str, str], ...] = ()
    is_restored: bool = False
    price: str = ""
    currency: str = ""
    seller: str = ""
    availability: str = "InStock"
    may_be_offered: bool = True


def individual_product(piece: Piece) -> dict:
    """JSON-LD as plain values. What is not known has no key; no trade number (GTIN) is invented."""
    condition = "RefurbishedCondition" if piece.is_restored else "UsedCondition"
    found = {
        "@context": SCHEMA,
        "@type": "IndividualProduct",
        "name": piece.name,
        "sku": piece.stock_number,
        "serialNumber": piece.serial,
        "brand": {"@type": "Brand", "name": piece.maker} if piece.maker else None,
        "model": piece.model,
        "category": piece.category,
        "description": piece.description,
        "url": piece.address,
        "image": list(piece.pictures),
        "productionDate": piece.made if PLAIN_DATE.fullmatch(piece.made) else "",
        "itemCondition": f"{SCHEMA}/{condition}",
        **{name: _centimetres(figure) for name, figure in piece.measures_cm},
        "additionalProperty": [_property(each) for each in _said(piece)],
        "offers": _offer(piece),
    }
    return {name: value for name, value in found.items() if value}


def _said(piece: Piece) -> Iterable[Property]:
    """What has no property of its own: an uncertain date goes as EDTF."""
    if piece.made and not PLAIN_DATE.fullmatch(piece.made):
        yield Property("Made (EDTF)", piece.made)
    yield from piece.properties


def _property(said: Property) -> dict:
    found = {"@type": "PropertyValue", "name": said.name, "value": said.value, "description": said.basis}
    return {name: value for name, value in found.items() if value}


def _offer(piece: Piece) -> dict | None:
    """None without a price. No VAT is stated: margin goods are sold so (SI 1995/1268 art. 12)."""
    if not piece.price.strip("0.") or not piece.currency or not piece.may_be_offered:
        return None
    return {
        "@type": "Offer",
        "price": piece.price,
        "priceCurrency": piece.currency,
        "availability": f"{SCHEMA}/{piece.availability}",
        **({"url": piece.address} if piece.address else {}),
        **({"seller": {"@type": "Organization", "name": piece.seller}} if piece.seller else {}),
    }


def _centimetres(figure: str) -> dict:
    """CMT is the centimetre of UN/CEFACT's common codes."""
    return {"@type": "QuantitativeValue", "value": figure, "unitCode": "CMT"}
