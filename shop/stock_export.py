"""The stock list as a table for a spreadsheet. What it cost is only in it for those who may see costs."""

from collections.abc import Iterable
from decimal import Decimal

from instruments.calc import compass
from shop.stock import state_words
from workorders.currency import exponent

MOST_EXPORTED = 20_000

COLUMNS = {
    "stock number": lambda one: one.stock_number,
    "kind": lambda one: one.get_kind_display(),
    "maker": lambda one: one.maker,
    "name on the fall": lambda one: one.name_on_fall,
    "model": lambda one: one.model,
    "serial": lambda one: one.serial,
    "made": lambda one: one.made_words if one.made else "",
    "made (EDTF)": lambda one: one.made,
    "date known": lambda one: one.get_made_basis_display(),
    "height cm": lambda one: one.height_cm,
    "length cm": lambda one: one.length_cm,
    "keys": lambda one: one.key_count,
    "lowest key": lambda one: compass.pitch_name(one.first_key),
    "stringing": lambda one: one.get_stringing_display(),
    "damping": lambda one: one.get_damping_display(),
    "frame": lambda one: one.get_frame_display(),
    "wood": lambda one: one.get_case_wood_display(),
    "finish": lambda one: one.case_finish,
    "naturals": lambda one: one.get_natural_covering_display(),
    "sharps": lambda one: one.get_sharp_covering_display(),
    "where": lambda one: one.get_place_display(),
    "where exactly": lambda one: one.place_note,
    "state": state_words,
    "open work": lambda one: one.has_open_work,
    "asking price": lambda one: major(one.price_now),
}
COST_COLUMNS = {
    "price paid": lambda one: major(one.bought_for),
    "bought on": lambda one: one.bought_on,
}


def stock_table(stock, *, with_costs: bool) -> tuple[list[str], Iterable[list]]:
    """Headings and rows; `stock` carries `with_purchase` when costs are asked for."""
    columns = COLUMNS | (COST_COLUMNS if with_costs else {})
    rows = stock[:MOST_EXPORTED].iterator(chunk_size=500)
    return list(columns), ([cell(one) for cell in columns.values()] for one in rows)


def major(amount_minor: int | None) -> Decimal | None:
    """Pounds and pence as an exact number a spreadsheet can add up."""
    return None if amount_minor is None else Decimal(amount_minor).scaleb(-exponent())
