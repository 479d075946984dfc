"""What stands against putting the shop's terms in force; the page prints it, the action refuses by it."""

from instruments.problems import Blocker, Caution, Problem
from shop.documents.clauses import KEEPING_IS_BUYING, KEEPING_IS_NOT_BUYING, shipped_terms, unknown_places
from shop.models import AgreementClause

# Regulated hire and credit: from memory, Consumer Credit Act 1974. Silence: Sale of Goods Act 1979, s. 18
# rule 4; Consumer Rights Act 2015, Part 2 and Consumer Contracts Regulations 2013, reg 39, both from memory.
HIRE_AND_CREDIT = (
    "A loan that can run to three months or has no end may be regulated hire, and buying by instalments or "
    "an option to buy may be regulated credit. Check the law in force and take licensed advice before such "
    "words."
)
SILENCE_BUYS = (
    "Keeping it past the last day then counts as buying. On approval, silence past a fixed day buys unless "
    "agreed otherwise (Sale of Goods Act 1979, s. 18, rule 4); but a consumer may dispute a purchase by "
    "silence as an unfair term (Consumer Rights Act 2015, Part 2), and saying nothing is no consent to what "
    "was never asked for (Consumer Contracts Regulations 2013, reg 39). Let them see it before they sign, "
    "remind them in good time, check the law in force and take licensed advice; this is not legal advice."
)
SILENCE_KEEPS_IT_OURS = (
    "Kept past the last day without a word, it stays ours and nothing is bought: the agreement sets the rule "
    "of the Sale of Goods Act 1979, s. 18, aside. Fetch it then, or agree more time in writing."
)


def terms_problems(words: dict, *, keeping_is_buying: bool) -> list[Problem]:
    wanted = KEEPING_IS_BUYING if keeping_is_buying else KEEPING_IS_NOT_BUYING
    problems: list[Problem] = []
    speaking = [clause for clause in words["clauses"] if clause["when"] == wanted]
    if not speaking:
        problems.append(Blocker("No clause says what keeping it past the last day means. Write one."))
    elif not any("$last_day" in clause["text"] for clause in speaking):
        problems.append(Blocker("The clause on silence has to name the last day: put $last_day into it."))
    for clause in words["clauses"]:
        if unknown := unknown_places(clause["text"]):
            named = ", ".join(f"${name}" for name in unknown)
            problems.append(Blocker(f"“{clause['heading']}”: an agreement cannot fill in {named}."))
    return [*problems, *silence_cautions(keeping_is_buying), *missing_subject_cautions()]


def silence_cautions(keeping_is_buying: bool) -> list[Problem]:
    return [Caution(SILENCE_BUYS)] if keeping_is_buying else []


def missing_subject_cautions() -> list[Problem]:
    """Subjects of the shipped terms that the shop's own no longer speak of."""
    in_use = set(AgreementClause.objects.in_use().values_list("code", flat=True))
    missing = [row["heading"] for row in shipped_terms()["clauses"] if row["code"] not in in_use]
    return [Caution(f"Nothing is said any more of: {heading}.") for heading in missing]
