"""What the invented bench keeps on its shelves, what it gives out of the house, and to whom."""

from datetime import date, timedelta
from decimal import Decimal

from shop.demo.diary import Diary
from shop.demo.shop_at_work import ShopAtWork
from workorders.actions.outside import (
    agree_price,
    ask_outside,
    bill_outside,
    bring_back,
    keep_outworker,
    send_out,
)
from workorders.actions.stores import count, keep_consumable, receive, use_from_stock
from workorders.actions.task_parts import set_task_parts
from workorders.models import Consumable, OutsideJob, Outworker, Task, TaskPart

SHELVED = 530
# Kind, name, unit, size or gauge of the metric table, mm, low mark, where, from whom, how many, for how much.
SHELVES = (
    ("strings", "Steel wire 14", "m", 14, "0.825", 20, "Wire rack", "Bellweather Wire", 75, 2100),
    ("strings", "Steel wire 15", "m", 15, "0.875", 20, "Wire rack", "Bellweather Wire", 75, 2150),
    ("strings", "Steel wire 16", "m", 16, "0.925", 20, "Wire rack", "Bellweather Wire", 60, 1800),
    ("strings", "Steel wire 18", "m", 18, "1.025", 20, "Wire rack", "Bellweather Wire", 18, 610),
    ("centre_pins", "Centre pins 20", "each", "20", "1.25", 100, "Drawer 3", "Pargeter & Nunn", 500, 1450),
    ("centre_pins", "Centre pins 21", "each", "21", "1.3", 100, "Drawer 3", "Pargeter & Nunn", 250, 800),
    (
        "wrest_pins",
        "Wrest pins 2/0",
        "each",
        "2/0, 60 mm",
        "7.15",
        50,
        "Drawer 7",
        "Pargeter & Nunn",
        120,
        4320,
    ),
    (
        "leads",
        "Key leads, half-inch",
        "each",
        "half-inch",
        "12.7",
        40,
        "Lead tin",
        "Ockley Castings",
        200,
        3200,
    ),
    ("felt", "Bushing cloth, red", "m", "", "", 1, "Shelf 2", "Mill Lane Felts", 3, 2700),
    ("felt", "Front rail punchings", "each", "", "", 90, "Shelf 2", "Mill Lane Felts", 180, 1980),
    ("glue", "Hide glue, pearls", "g", "", "", 250, "Shelf 4", "Mill Lane Felts", 1000, 1300),
    ("lubricant", "White spirit", "ml", "", "", 500, "Metal cupboard", "Ockley Hardware", 2000, 900),
)
HAZARDS = {"White spirit": "solvent"}
# Instrument, task, what, how many, and the days ago: into an item while its order was open.
USED = (
    ("halden-1912", "recentre", "Centre pins 20", "2", 366),
    ("orrin-grand", "recentre", "Centre pins 20", "66", 416),
    ("orrin-grand", "set-touch-weight", "Key leads, half-inch", "14", 400),
    ("tarnbrook-1926", "recentre", "Centre pins 20", "23", 93),
    ("tarnbrook-1926", "recentre", "Centre pins 21", "160", 93),
    ("wendelbruck-1911", "repair-bridges", "Hide glue, pearls", "120", 60),
)
# Task, and what it usually takes: from the shelves by its name there, else only named.
TYPICAL = (
    ("recentre", (("Centre pins 20", "20"), ("Centre pins 21", "10"))),
    ("rebush-keys", (("Bushing cloth, red", "1.5"), ("Hide glue, pearls", "60"))),
    ("repin", (("Wrest pins 2/0", "228"),)),
    ("renew-single-strings", (("Steel wire 16", "2"),)),
    ("set-touch-weight", (("Key leads, half-inch", "12"),)),
    ("renew-bass-strings", (("Becket felt", "1"),)),
)
OUTWORKERS = (
    ("Cordwain & Daughter", "Covered strings", "3 Rope Walk, Wexcombe", "01632 960 331"),
    ("Hazel Finch", "French polisher", "The Old Dairy, Ockley", "01632 960 447"),
    ("Thrupley Plank Works", "Planks and soundboards", "Mill Yard, Thrupley", "01632 960 512"),
)


def tell_stores(shop: ShopAtWork, diary: Diary) -> None:
    diary.on(SHELVED, lambda on: fill_shelves(shop, on))
    diary.on(SHELVED - 2, lambda on: say_what_tasks_take(shop))
    for key, task, name, quantity, days_ago in USED:
        diary.on(
            days_ago,
            lambda on, key=key, task=task, name=name, quantity=quantity: use_from_stock(
                item=shop.items[key, task],
                consumable=Consumable.objects.get(name=name),
                quantity=Decimal(quantity),
                by=shop.staff["tobias"],
                on=on,
            ),
        )
    diary.on(150, lambda on: more_came(shop, on))
    diary.on(31, lambda on: counted_the_punchings(shop, on))
    tell_outside(shop, diary)


def fill_shelves(shop: ShopAtWork, on: date) -> None:
    by = shop.staff["tobias"]
    for kind, name, unit, size, width, low, location, supplier, quantity, cost in SHELVES:
        is_wire = kind == "strings"
        kept = Consumable(
            kind=kind,
            name=name,
            unit=unit,
            gauge=Decimal(size) if is_wire else None,
            gauge_table="metric" if is_wire else "",
            size="" if is_wire else size,
            diameter_mm=Decimal(width) if width else None,
            low_mark=Decimal(low),
            location=location,
            supplier_note=supplier,
            hazard=HAZARDS.get(name, ""),
        )
        consumable = keep_consumable(consumable=kept, by=by)
        receive(consumable=consumable, quantity=Decimal(quantity), cost_minor=cost, by=by, on=on)


def say_what_tasks_take(shop: ShopAtWork) -> None:
    kept = {each.name: each for each in Consumable.objects.all()}
    for code, taken in TYPICAL:
        parts = [
            TaskPart(consumable=kept.get(name), name="" if name in kept else name, quantity=Decimal(quantity))
            for name, quantity in taken
        ]
        set_task_parts(task=Task.objects.get(code=code), parts=parts, by=shop.staff["olive"])


def more_came(shop: ShopAtWork, on: date) -> None:
    pins = Consumable.objects.get(name="Centre pins 20")
    note = "Bill 4471"
    receive(consumable=pins, quantity=Decimal(250), cost_minor=790, note=note, by=shop.staff["tobias"], on=on)


def counted_the_punchings(shop: ShopAtWork, on: date) -> None:
    punchings = Consumable.objects.get(name="Front rail punchings")
    why = "Half-yearly count; moth had been at one bag."
    count(consumable=punchings, counted=Decimal(172), why=why, by=shop.staff["ines"], on=on)


def tell_outside(shop: ShopAtWork, diary: Diary) -> None:
    diary.on(SHELVED, lambda on: introduce_outworkers(shop))
    strings = "24 bass strings covered to the pattern, core and copper as measured"
    diary.on(
        464,
        lambda on: give_out(
            shop, on, "orrin-grand", strings, "A rubbing of the bass and its measures", 31000
        ),
    )
    diary.on(443, lambda on: come_back(shop, on, "orrin-grand", 32450))
    strings = "32 bass strings covered to the old ones sent as patterns"
    diary.on(
        45, lambda on: give_out(shop, on, "wendelbruck-1911", strings, "32 old bass strings, numbered", 41500)
    )
    diary.on(56, lambda on: ask_about_the_plank(shop, on))


def introduce_outworkers(shop: ShopAtWork) -> None:
    for name, trade, address, telephone in OUTWORKERS:
        outworker = Outworker(name=name, trade=trade, address=address, telephone=telephone)
        keep_outworker(outworker=outworker, by=shop.staff["olive"])


def give_out(shop: ShopAtWork, on: date, key: str, work: str, what_goes: str, agreed: int) -> None:
    """Bass strings, promised in six weeks."""
    owner, item = shop.staff["olive"], shop.items[key, "renew-bass-strings"]
    job = ask_outside(
        order=item.order,
        items=[item],
        outworker=Outworker.objects.get(name="Cordwain & Daughter"),
        kind="bass_strings",
        work=work,
        by=owner,
        on=on,
    )
    agree_price(job=job, quoted_minor=agreed, agreed_minor=agreed, by=owner)
    send_out(
        job=job,
        goes="parts",
        what_goes=what_goes,
        condition="Complete and numbered from the bass.",
        promised_on=on + timedelta(days=42),
        by=shop.staff["tobias"],
        on=on,
    )


def come_back(shop: ShopAtWork, on: date, key: str, billed: int) -> None:
    job = OutsideJob.objects.get(order__instrument=shop.instrument(key))
    bring_back(job=job, condition="All there, evenly covered.", by=shop.staff["tobias"], on=on)
    bill_outside(job=job, amount_minor=billed, note="With carriage", by=shop.staff["olive"], on=on)


def ask_about_the_plank(shop: ShopAtWork, on: date) -> None:
    item = shop.items["hathersley-grand", "repin"]
    job = ask_outside(
        order=item.order,
        items=[item],
        outworker=Outworker.objects.get(name="Thrupley Plank Works"),
        kind="other",
        work="A new plank of beech, drilled for pins 1/0",
        by=shop.staff["olive"],
        on=on,
    )
    agree_price(job=job, quoted_minor=168000, agreed_minor=None, by=shop.staff["olive"])
