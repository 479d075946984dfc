"""What a conflict is called, in a sentence for the file. It quotes statements and so is never public."""

from collections.abc import Collection, Sequence

from instruments.calc.edtf import Point, describe, parse
from instruments.calc.evidence.claims import Claim

LONGEST_QUOTE = 90


def two_makers(one: Claim, other: Claim) -> str:
    names = f"{one.who.strip()} in {quoted(one)} and {other.who.strip()} in {quoted(other)}"
    return f"Two makers are named: {names}."


def made_twice(one: Claim, other: Claim) -> str:
    return f"It cannot have been made both {when(one)} and {when(other)}."


def serial_far_off(one: Claim, other: Claim, years: int) -> str:
    if one.asserts == other.asserts:
        return f"Two serial numbers put it {years} years apart or more: {when(one)} and {when(other)}."
    serial, made = (one, other) if one.asserts == "serial" else (other, one)
    return (
        f"The maker's marks put the serial number {when(serial)}, "
        f"{years} years or more from a making {when(made)}."
    )


def before_it_was_made(claim: Claim, made: Claim) -> str:
    by = (
        "the maker's marks, with twenty years to spare, put it" if made.asserts == "serial" else "it was made"
    )
    return f"{quoted(claim)} ({describe(claim.edtf)}) comes before {by} {when(made)}."


def before_its_patent(claim: Claim, patent: Claim) -> str:
    newer = f"{quoted(patent)} ({describe(patent.edtf)})"
    if claim.asserts == "serial":
        earlier = f"The serial number, which the maker's marks put {when(claim)},"
    elif claim.asserts == "made":
        earlier = f"A making {when(claim)}"
    else:
        earlier = f"{quoted(claim)} ({describe(claim.edtf)})"
    spare = " by twenty years or more" if claim.asserts == "serial" else ""
    return f"{earlier} comes{spare} before {newer}, and nobody built that earlier. Was it fitted later?"


def called_original(first: Claim, renewal: Claim, times: Sequence[Claim] = ()) -> str:
    day = f" ({describe(renewal.edtf)})" if renewal.edtf else ""
    owned = " and ".join(describe(time.edtf) for time in times)
    within = f", by {renewal.who.strip()}, who is said to have owned it: {owned}" if times else ""
    return f"{quoted(first)} ({describe(first.edtf)}) does not go with {quoted(renewal)}{day}{within}."


def outside_own_time(act: Claim, stretches: Sequence[Claim]) -> str:
    times = " and ".join(describe(stretch.edtf) for stretch in stretches)
    return (
        f"{quoted(act)} ({describe(act.edtf)}) falls outside the time "
        f"{act.who.strip()} is said to have owned it: {times}."
    )


def two_owners_at_once(claims: Collection[Claim]) -> str:
    ordered = sorted(claims, key=lambda claim: (claim.key, claim.text))
    listed = "; ".join(f"{quoted(claim)} ({describe(claim.edtf)})" for claim in ordered)
    owners = " and ".join(sorted({claim.who.strip() for claim in ordered}))
    return f"{owners} cannot each have owned it alone at these times: {listed}. Were they one household?"


def quoted(claim: Claim) -> str:
    text = " ".join(claim.text.split()).rstrip(".")
    return f"“{text[: LONGEST_QUOTE - 1].rstrip()}…”" if len(text) > LONGEST_QUOTE else f"“{text}”"


def when(claim: Claim) -> str:
    """The date as it follows "made": "in May 1912", "on 3 May 1912", "between 1910 and 1914"."""
    words, date = describe(claim.edtf), parse(claim.edtf)
    if isinstance(date, Point) and not words.startswith(("about ", "possibly ")):
        return f"on {words}" if len(date.parts) > 2 else f"in {words}"
    return f"in {words}" if words[:1].isdigit() else words
