"""What is told to those who asked: written and kept, and sent from here where a mail server is set."""

from functools import partial

from django.db import transaction

from instruments.problems import Refused
from shop.actions.enquiries import held, pass_on
from shop.actions.letters import in_a_line, mail_is_set, send_letter
from shop.enquiry_states import EnquiryWay
from shop.enquiry_words import answer_letter
from shop.models import Enquiry, EnquiryAnswer, EnquirySending, ShopProfile


@transaction.atomic
def answer_enquiry(*, enquiry: Enquiry, how: str, words: str, by) -> EnquiryAnswer:
    """Keep what they are told. What goes by e-mail from here is sent once this is in the database.

    Advice of somebody who sees no customers gives the enquiry back to those who do.
    """
    enquiry = held(enquiry)
    if how != EnquiryWay.ADVICE and not by.has_perm("shop.see_people"):
        raise Refused("You can advise a colleague what to tell them.")
    if how == EnquiryWay.SENT and not (enquiry.email and mail_is_set()):
        raise Refused("It cannot be sent from here: copy the words, and say how they went.")
    answer = EnquiryAnswer.objects.create(enquiry=enquiry, how=how, words=words, written_by=by)
    if how == EnquiryWay.ADVICE and enquiry.handler_id == by.pk and not by.has_perm("shop.see_people"):
        pass_on(
            enquiry=enquiry, to=ShopProfile.current().enquiries_to, why="advised what to tell them", by=by
        )
    if how == EnquiryWay.SENT:
        transaction.on_commit(partial(_send, answer))
    return answer


def _send(answer: EnquiryAnswer) -> EnquirySending:
    letter = answer_letter(answer.enquiry, answer.words)
    error = send_letter(letter, to=answer.enquiry.email, shop=ShopProfile.current())
    return EnquirySending.objects.create(answer=answer, was_sent=error is None, said=in_a_line(error))
