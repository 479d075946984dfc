"""A deal as the desk lives it: press what a page offers as its next step, fill in, read what it says."""

import re
from datetime import date

from django.urls import reverse
from django.utils import timezone

from shop.actions.ledger import credit_of
from shop.models import Payment, Person, Trial
from shop.statements import statement_of
from shop.states import PaperKind
from tests.journeys.steps import pdf_at, printed_at
from tests.reading import Reading
from workorders.currency import in_words


class Desk:
    """One page of one browser, and the figures that are read back from its papers."""

    def __init__(self, page):
        self.page = page

    def press(self, name: str, within: str = "main") -> None:
        """The button or link of that name, as the page offers it."""
        place = self.page.locator(within)
        place.get_by_role("button", name=name, exact=True).or_(
            place.get_by_role("link", name=name, exact=True)
        ).first.click()

    def fill(self, **typed) -> None:
        for name, value in typed.items():
            field = self.page.locator(f"[name={name}]:not([type=hidden])")
            kind = field.first.evaluate("each => each.type")
            if kind == "radio":
                self.page.check(f"[name={name}][value='{value}']")
            elif kind == "select-one":
                field.select_option(value)
            else:
                field.fill(value)

    def says(self, *words: str) -> None:
        for each in words:
            self.page.get_by_text(each).first.wait_for()

    def next_is(self, words: str) -> None:
        """The one filled button under "What now" leads on: press it."""
        self.page.locator("p", has_text="What now.").wait_for()
        offered = self.page.locator(".page-head .actions a.button:not(.quiet)")
        assert offered.first.inner_text() == words
        offered.first.click()

    def sign_both(self, name: str) -> None:
        """Both draw under the words, with the mouse."""
        self.fill(way="screen", customer_name=name)
        for pad in self.page.locator("[data-signature] canvas").all():
            pad.scroll_into_view_if_needed()
            box = pad.bounding_box()
            x, y = box["x"] + 40, box["y"] + box["height"] / 2
            self.page.mouse.move(x, y)
            self.page.mouse.down()
            for step in range(1, 9):
                self.page.mouse.move(x + 20 * step, y + (18 if step % 2 else -18))
            self.page.mouse.up()

    def draft(self, instrument, *, name: str, pay_now: str, **typed) -> Trial:
        """From the instrument's own page: somebody new takes it home."""
        self.page.goto(instrument.get_absolute_url())
        self.press("Home trial")
        person = Person.objects.filter(name=name).first()
        if person:
            self.fill(person=str(person.pk))
        else:
            self.fill(new_name=name, new_address="4 Salt Lane\nPenhallow")
        self.fill(pay_now_minor=pay_now, address="4 Salt Lane\nPenhallow", **typed)
        self.press("Draft the agreement")
        self.page.wait_for_url(re.compile(r"/trials/T[\d-]+/$"))
        return Trial.objects.latest("id")

    def prepare(self) -> None:
        """The way in and the mover, before anything is promised."""
        self.next_is("Ask about the way in")
        self.fill(floor="1", flights="14", doors_cm="82, 78")
        self.press("Write it down")
        self.next_is("Agree a mover")
        self.agree_mover()

    def agree_mover(self) -> None:
        self.fill(mover="Cobb Carriers", day=in_field(timezone.localdate()), amount_minor="120")
        self.press("Write it down")

    def send_out(self, name: str) -> None:
        """From a draft to a piano that stands at the customer's, agreed, paid and signed."""
        self.press("Start the trial")
        self.fill(method="card")
        self.sign_both(name)
        self.press("Paid and signed: start")
        self.says("is out on home trial. The agreement is signed.")
        self.next_is("Write the hand-over report")
        self.walk_round()
        self.next_is("Write down the delivery")
        self.fill(room_position="Inner wall", heating="radiators", temperature_c="20", humidity_percent="52")
        self.press("Write it down")
        self.says("received by")

    def fetch(self) -> None:
        """From agreeing a mover for the way back to the piano in the workshop."""
        self.agree_mover()
        self.next_is("Write down the collection")
        self.fill(mover="Cobb Carriers")
        self.press("Write it down")
        self.says("Compare its condition now.")

    def look_over(self, *, fault: str = "") -> None:
        self.next_is("Write the report as it came back")
        self.walk_round(fault=fault)

    def choose(self, ending: str) -> None:
        self.next_is("What do they choose?")
        self.press(ending)

    def settle(self, trial: Trial, name: str) -> str:
        """Both sign the settlement; what it says, read back."""
        self.says("it is settled.")
        self.press("Sign the settlement")
        self.sign_both(name)
        self.press("Signed")
        self.says("is signed.")
        return self.printed(reverse("shop:trial_paper", args=[trial.number, PaperKind.TRIAL_SETTLEMENT]))

    def statement(self, person: Person) -> list[str]:
        """From their card to the statement: the column of what stands after each step, the same on paper."""
        self.page.goto(person.get_absolute_url())
        self.press("Statement of account")
        column = self.page.locator("tr:not(.total) td[data-label='Stands at']").all_inner_texts()
        sums = [text for text in self.page.locator("td[data-label=Sum]").all_inner_texts() if text]
        printed = self.paper(self.page.get_by_role("link", name="Statement (PDF)").get_attribute("href"))
        for figure in (*column, *sums, f"In credit {in_words(credit_of(person))}"):
            assert figure in printed
        assert in_words(statement_of(person).balance_minor) == column[-1]
        return column

    def walk_round(self, *, fault: str = "") -> None:
        """Two parts of a condition report and its end; the case may have got a fault."""
        self.press("Begin the walk")
        case = self.page.locator("#part-case")
        if fault:
            case.get_by_text("Repair", exact=True).click()
            case.locator("textarea, input[type=text]").first.fill(fault)
        else:
            case.get_by_text("Sound", exact=True).click()
        self.press("Save and go on")
        self.page.wait_for_url("**/lid/**")
        self.page.locator(".page-head .lede a").click()
        self.press("Close the report")
        self.press("Close it", within="dialog[open]")
        self.says("Closed. It stands as it is.")
        self.page.get_by_role("link", name=re.compile("On with ")).click()

    def sign_slip(self, title: str, name: str) -> None:
        self.page.locator("li", has_text=f"{title} (PDF), not signed yet").get_by_role(
            "link", name="sign it"
        ).click()
        self.sign_both(name)
        self.press("Signed")
        self.says("is signed.")

    def receipts(self, person: Person) -> list[int]:
        """Every receipt and refund note that their account offers names its sum; the sums, in pence."""
        self.page.goto(f"{person.get_absolute_url()}#account")
        offered = self.page.locator("#account button", has_text=re.compile("Receipt|Refund note")).all()
        paid = list(Payment.objects.filter(person=person).order_by("id"))
        assert [button.get_attribute("formaction") for button in offered] == [
            each.receipt.get_absolute_url() for each in paid
        ]
        for payment in paid:
            text = self.printed(payment.receipt.get_absolute_url())
            assert in_words(abs(payment.amount_minor)) in text and payment.receipt.number in text
        return [payment.amount_minor for payment in paid]

    def printed(self, url: str) -> str:
        return Reading(printed_at(self.page, url)).text

    def paper(self, url: str) -> str:
        return Reading(pdf_at(self.page, url)).text


def in_field(day: date) -> str:
    return day.isoformat()
