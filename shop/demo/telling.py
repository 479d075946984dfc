"""From one instrument's table to entries of the diary, each an action such as the pages call."""

from concurrent.futures import Future
from datetime import date
from decimal import Decimal

from instruments.actions.documents import add_document
from instruments.actions.evidence import add_evidence, record_sightings
from instruments.actions.identity import correct_identity
from instruments.actions.intake import create_instrument
from instruments.actions.leads import measure_lever
from instruments.actions.moves import move_instrument
from instruments.actions.photos import add_photos, describe_photo
from instruments.actions.statements import add_statement, correct_statement
from instruments.models import TellTale
from instruments.scans import prepare_scan, stored_scan
from shop.actions.clearances import record_clearance
from shop.actions.listing import draft_listing, edit_listing, publish_listing
from shop.actions.money import add_cost, record_purchase, set_price
from shop.demo.bench import tell_order
from shop.demo.diary import Diary
from shop.demo.examining import examine
from shop.demo.keys import make_work, tell_marked
from shop.demo.pictures import TAKEN_LATER, Shot
from shop.demo.pieces import Bears, Cleared, Cost, Lever, Offer, Piece, Said, Saw, Scan
from shop.demo.scans import scanned
from shop.demo.shop_at_work import ShopAtWork
from shop.demo.touch import weigh

EXAMINED_AFTER = 3


def tell(piece: Piece, shop: ShopAtWork, diary: Diary, shots: list[Future[Shot]]) -> None:
    """Write the whole story of one instrument into the diary, up to its offer."""
    diary.on(piece.arrived, lambda on: arrive(piece, shop, on))
    for cost in piece.costs:
        diary.on(
            max(1, piece.arrived - cost.days_after), lambda on, cost=cost: spend(piece.key, cost, shop, on)
        )
    examined = max(1, piece.arrived - EXAMINED_AFTER)
    taken = dict(zip(piece.shots, shots, strict=True))
    for kind in TAKEN_LATER & taken.keys():
        shop.later_shots[piece.key] = taken.pop(kind)
    if taken:
        diary.on(examined, lambda on: photograph(piece.key, list(taken.values()), shop, on))
    for said in piece.said:
        day = piece.arrived if said.days_ago is None else said.days_ago
        diary.on(day, lambda on, said=said: hear(piece.key, said, shop, on))
    if piece.found:
        diary.on(
            examined,
            lambda on: examine(
                piece.key, piece.found, shop, on, occasion="as_bought", is_closed=not piece.walk_left_open
            ),
        )
    if piece.found_after:
        after = piece.orders[-1].last_day
        diary.on(after, lambda on: examine(piece.key, piece.found_after, shop, on, occasion="finished"))
    for days_ago, identity in piece.corrected:
        diary.on(
            days_ago,
            lambda on, identity=identity: correct_identity(
                instrument=shop.instrument(piece.key), by=shop.staff["tobias"], **identity
            ),
        )
    for scan in piece.scans:
        diary.on(scan.days_ago, lambda on, scan=scan: put_scan_on_file(piece.key, scan, shop))
    for bears in piece.evidence:
        diary.on(bears.days_ago, lambda on, bears=bears: put_on_file(piece.key, bears, shop))
    for saw in piece.saw:
        diary.on(saw.days_ago, lambda on, saw=saw: see(piece.key, saw, shop, on))
    for marked in piece.marked:
        tell_marked(piece.key, marked, shop, diary)
    for cleared in piece.cleared:
        diary.on(cleared.days_ago, lambda on, cleared=cleared: clear(piece.key, cleared, shop, on))
    for weighed in piece.weighed:
        diary.on(weighed.days_ago, lambda on, weighed=weighed: weigh(piece.key, weighed, shop, on))
    if lever := piece.lever:
        diary.on(lever.days_ago, lambda on: measure_keys(piece.key, lever, shop, on))
    for order in piece.orders:
        tell_order(piece.key, order, shop, diary)
    if piece.findings_to_work:
        days_ago, title = piece.findings_to_work
        diary.on(days_ago, lambda on: make_work(piece.key, title, shop, on))
    for days_ago, place, note in piece.moves:
        diary.on(days_ago, lambda on, place=place, note=note: move(piece.key, place, note, shop, on))
    if offer := piece.offer:
        diary.on(offer.days_ago, lambda on: put_up(piece.key, offer, shop, on))


def arrive(piece: Piece, shop: ShopAtWork, on: date) -> None:
    by = shop.staff[piece.logged_by]
    instrument = create_instrument(by=by, on=on, **piece.identity)
    shop.stock_numbers[piece.key] = instrument.stock_number
    record_purchase(
        instrument=instrument,
        seller=shop.person(piece.seller) if piece.seller else None,
        price_minor=None if piece.pounds is None else piece.pounds * 100,
        bought_on=None if piece.pounds is None else on,
        route=piece.route,
        note=piece.note,
        by=by,
    )


def spend(key: str, cost: Cost, shop: ShopAtWork, on: date) -> None:
    add_cost(
        instrument=shop.instrument(key),
        kind=cost.kind,
        amount_minor=cost.pounds * 100,
        note=cost.note,
        by=shop.staff["olive"],
        on=on,
    )


def photograph(key: str, drawn: list[Future[Shot]], shop: ShopAtWork, on: date) -> None:
    by, shots = shop.staff["tobias"], [shot.result() for shot in drawn]
    added = add_photos(instrument=shop.instrument(key), prepared=[shot.photo for shot in shots], by=by)
    for photo, shot in zip(added.new, shots, strict=True):
        describe_photo(photo=photo, by=by, shot=shot.kind, caption=shot.caption, is_public=True)
    shop.photos[key] = added.new


def hear(key: str, said: Said, shop: ShopAtWork, on: date) -> None:
    words = {
        "text": said.text,
        "grade": said.grade,
        "topic": said.topic,
        "told_by": said.by,
        "teller": said.teller if said.by else "",
        "asserts": said.asserts,
        "told_on": on if said.by else None,
        "dated": said.dated,
        "place": said.place,
        "source_note": said.source,
        "in_their_words": said.quoted,
        "is_public": said.public,
    }
    if said.corrects:
        statement = shop.statements[key, said.corrects]
        correct_statement(statement=statement, reason=said.reason, by=shop.staff["tobias"], **words)
        return
    by = shop.staff["bram" if said.by else "tobias"]
    statement = add_statement(instrument=shop.instrument(key), by=by, **words)
    if said.name:
        shop.statements[key, said.name] = statement


def put_scan_on_file(key: str, scan: Scan, shop: ShopAtWork) -> None:
    with stored_scan(prepare_scan(scanned(scan, width_px=shop.picture_px))) as stored:
        shop.documents[key, scan.name] = add_document(
            instrument=shop.instrument(key),
            title=scan.title,
            dated=scan.dated,
            seen_by=scan.seen_by,
            by=shop.staff["bram"],
            **stored.fields,
        )
        stored.keep()


def put_on_file(key: str, bears: Bears, shop: ShopAtWork) -> None:
    findings = shop.instrument(key).findings.current()
    finding = findings.get(part=bears.part) if bears.part else None
    add_evidence(
        statement=shop.statements[key, bears.on],
        side=bears.side,
        strength=bears.strength,
        note=bears.note,
        finding=None if bears.measure else finding,
        measured_value=finding.values.get(measure=bears.measure) if bears.measure else None,
        document=shop.documents[key, bears.scan] if bears.scan else None,
        by=shop.staff["tobias"],
    )


def see(key: str, saw: Saw, shop: ShopAtWork, on: date) -> None:
    looked_for = list(TellTale.objects.filter(question=saw.question))
    record_sightings(
        instrument=shop.instrument(key),
        seen=[tell_tale for tell_tale in looked_for if tell_tale.code in saw.codes],
        looked_for=looked_for,
        by=shop.staff["tobias"],
        on=on,
    )


def measure_keys(key: str, lever: Lever, shop: ShopAtWork, on: date) -> None:
    measure_lever(
        instrument=shop.instrument(key),
        natural_front_mm=Decimal(lever.naturals),
        sharp_front_mm=Decimal(lever.sharps),
        nearest_mm=Decimal(lever.nearest),
        farthest_mm=Decimal(lever.farthest),
        by=shop.staff["tobias"],
        on=on,
    )


def clear(key: str, cleared: Cleared, shop: ShopAtWork, on: date) -> None:
    record_clearance(
        instrument=shop.instrument(key),
        found=cleared.found,
        how=cleared.how,
        no_protected_material=cleared.none_in_it,
        reference=cleared.reference,
        note=cleared.note,
        seam=cleared.seam,
        grain=cleared.grain,
        **_paper(cleared, on),
        **_dated(cleared, shop.instrument(key)),
        **_measured(cleared),
        by=shop.staff["olive"],
    )


def _paper(cleared: Cleared, on: date) -> dict:
    if not cleared.reference:
        return {}
    return {"paper": "registration", "issued_on": on, "in_name_of": "shop"}


def _dated(cleared: Cleared, instrument) -> dict:
    if not cleared.dated_by:
        return {}
    return {"made": instrument.made, "is_documented": True, "dating_evidence": cleared.dated_by}


def _measured(cleared: Cleared) -> dict:
    if not cleared.pieces:
        return {}
    names = ("head_length_mm", "head_width_mm", "thickness_mm", "tail_length_mm", "tail_width_mm")
    sizes = zip(names, (*cleared.heads_mm, *cleared.tails_mm), strict=True)
    return {"pieces": cleared.pieces} | {name: Decimal(size) for name, size in sizes}


def move(key: str, place: str, note: str, shop: ShopAtWork, on: date) -> None:
    move_instrument(instrument=shop.instrument(key), place=place, note=note, by=shop.staff["olive"], on=on)


def put_up(key: str, offer: Offer, shop: ShopAtWork, on: date) -> None:
    """Set the price, draft the listing from the record and, if it is to be, put it in the window."""
    instrument = shop.instrument(key)
    if offer.pounds is not None:
        set_price(
            instrument=instrument,
            amount_minor=offer.pounds * 100,
            reason=offer.reason,
            by=shop.staff["olive"],
            on=on,
        )
    listing = draft_listing(instrument=instrument, by=shop.staff["selma"])
    if offer.words:
        edit_listing(listing=listing, by=shop.staff["selma"], **dict(offer.words))
    if offer.published:
        move_instrument(instrument=instrument, place="showroom", by=shop.staff["selma"], on=on)
        publish_listing(listing=listing, by=shop.staff["selma"])
