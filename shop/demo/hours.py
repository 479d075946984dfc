"""When the invented people are at the bench, and when they are away."""

from datetime import timedelta

from shop.demo.diary import Diary
from shop.demo.shop_at_work import ShopAtWork
from workorders.actions.bench_hours import record_days_away, set_hours

# Days ago, who, and minutes from Monday to Sunday.
HOURS = (
    (540, "tobias", (390, 390, 390, 390, 300, 0, 0)),
    (540, "ines", (240, 0, 240, 0, 240, 0, 0)),
    (90, "ines", (300, 0, 300, 0, 300, 0, 0)),
    (540, "olive", (0, 0, 0, 0, 0, 180, 0)),
)
# Written down so many days ago: who, and the first and last day away counted from today.
AWAY = ((12, "ines", 9, 18, "holiday", "Walking in the hills"), (3, "tobias", 5, 5, "other", "A course"))


def tell_hours(shop: ShopAtWork, diary: Diary) -> None:
    for days_ago, who, minutes in HOURS:
        diary.on(
            days_ago,
            lambda on, who=who, minutes=minutes: set_hours(
                person=shop.staff[who], since=on, minutes=minutes, by=shop.staff["olive"]
            ),
        )
    for days_ago, who, first, last, kind, note in AWAY:
        diary.on(
            days_ago,
            lambda on, who=who, first=first, last=last, kind=kind, note=note: record_days_away(
                person=shop.staff[who],
                first_day=diary.today + timedelta(days=first),
                last_day=diary.today + timedelta(days=last),
                kind=kind,
                note=note,
                by=shop.staff["olive"],
            ),
        )
