"""What strangers ask by the window, in each state, and what the shop makes of it."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, timedelta

from django.utils import timezone

from shop.actions.enquiries import close_enquiry, pass_on, put_asker_on_file, take_enquiry
from shop.actions.enquiry_answers import answer_enquiry
from shop.actions.wanted import keep_wanted
from shop.asking_marks import Opened
from shop.demo.diary import Diary
from shop.demo.shop_at_work import ShopAtWork
from shop.enquiry_words import consent_words, signed
from shop.models import Enquiry, ShopProfile, Wanted


@dataclass(frozen=True)
class Asked:
    """One enquiry: so many days ago, `seconds` after its page was opened, with what `follows` at the shop."""

    days_ago: int
    name: str
    about: str
    message: str
    email: str = ""
    telephone: str = ""
    key: str = ""
    tell_me: bool = False
    seconds: int = 95
    follows: tuple[Callable, ...] = field(default=())


def tell_enquiries(shop: ShopAtWork, diary: Diary) -> None:
    for asked in ASKED:
        diary.on(asked.days_ago, lambda on, asked=asked: ask(asked, shop, on))


def ask(asked: Asked, shop: ShopAtWork, on: date) -> None:
    now, profile = timezone.now(), ShopProfile.current()
    enquiry = take_enquiry(
        asked={
            "about": asked.about,
            "name": asked.name,
            "email": asked.email,
            "telephone": asked.telephone,
            "message": asked.message,
            "tell_me": asked.tell_me,
            "agreed_to": consent_words(profile),
        },
        trap="",
        opened=Opened(asked.name, now - timedelta(seconds=asked.seconds)),
        address="demo",
        instrument=shop.instrument(asked.key) if asked.key else None,
        by=None,
        at=now,
    )
    for follow in asked.follows:
        follow(enquiry, shop, on)


def told(how: str, words: str) -> Callable:
    def follow(enquiry: Enquiry, shop: ShopAtWork, on: date) -> None:
        letter = f"Dear {enquiry.name},\n\n{words}\n\n{signed(ShopProfile.current())}"
        said = letter if how == "email" else words
        answer_enquiry(enquiry=enquiry, how=how, words=said, by=shop.staff["selma"])

    return follow


def closed(outcome: str, why: str) -> Callable:
    def follow(enquiry: Enquiry, shop: ShopAtWork, on: date) -> None:
        close_enquiry(enquiry=enquiry, outcome=outcome, why=why, by=shop.staff["selma"], on=on)

    return follow


def to_the_bench(advice: str) -> Callable:
    def follow(enquiry: Enquiry, shop: ShopAtWork, on: date) -> None:
        pass_on(
            enquiry=enquiry, to=shop.staff["tobias"], why="A question for the bench", by=shop.staff["selma"]
        )
        answer_enquiry(enquiry=enquiry, how="advice", words=advice, by=shop.staff["tobias"])

    return follow


def on_file(**wish) -> Callable:
    def follow(enquiry: Enquiry, shop: ShopAtWork, on: date) -> None:
        selma = shop.staff["selma"]
        person = put_asker_on_file(enquiry=enquiry, person=None, by=selma)
        wanted = Wanted(person=person, enquiry=enquiry, asked_on=on, asked_by=selma, **wish)
        keep_wanted(wanted=wanted, is_told=enquiry.tell_me, by=selma, on=on)

    return follow


ASKED = (
    Asked(
        400,
        "Orla Winstay",
        "similar",
        "We look for a walnut upright, not above 118 cm, for a low room.",
        email="orla@winstay.example",
        follows=(told("telephone", "Nothing so low just now."), closed("silent", "Rang twice, no answer.")),
    ),
    Asked(
        150,
        "Isolde Hartwell",
        "similar",
        "I am after an upright with a light touch and a warm sound, up to 2,200. Tell me when one comes.",
        email="isolde@hartwell.example",
        tell_me=True,
        follows=(
            told("email", "We write to you when one comes that is as you say."),
            on_file(
                kind="upright",
                most_cm=132,
                least_keys=85,
                touch="lighter",
                tone="warm",
                most_minor=220_000,
                must=["kind", "size", "keys"],
            ),
            closed("customer", "On file, with what she looks for."),
        ),
    ),
    Asked(
        21,
        "Fergus Loam",
        "delivery",
        "Would it go up a stair with one turn, in Port Lennick? The landing is 92 cm wide.",
        telephone="07700 900231",
        key="mossop-1889",
        follows=(told("telephone", "Photographs of the turn first."), closed("came", "Comes on Saturday.")),
    ),
    Asked(
        6,
        "Nerys Cold",
        "work",
        "The C above the middle of my old upright buzzes when I play softly. Is that a big thing?",
        email="nerys@cold.example",
        follows=(to_the_bench("Often a loose screw or a hinge pin: half an hour at their home."),),
    ),
    Asked(
        5,
        "Barnaby Quist",
        "see",
        "May I come and play it one evening? I work until six.",
        email="barnaby@quist.example",
        key="quarle-1958",
        follows=(told("email", "Thursday at half past six, if it suits you."),),
    ),
    Asked(
        4,
        "Priya Ravenhall",
        "trial",
        "Could I have this one at home for a month before I decide?",
        email="priya.ravenhall@example.org",
        key="brandlesome-1928",
    ),
    Asked(
        1,
        "Calum Teasdale",
        "question",
        "How old are the strings, and when was it last tuned?",
        telephone="01632 960233",
        key="nordlycke-1964",
    ),
    Asked(
        1,
        "Best Ranking Service",
        "question",
        "First page in a week! http://ranking.example http://more.example http://deals.example",
        email="sales@ranking.example",
        seconds=1,
    ),
)
