"""Bars 17, 24 and 25: who may open what, forged requests, and headers that lie."""

from tests.trust.board import Figure, measures
from tests.trust.scratch import scratch_database, undone

FEW = 3  # faults told on the board


def _told(faults: list[str]) -> str:
    return f"; e.g. {' / '.join(faults[:FEW])}" if faults else ""


@measures(17)
def who_may_open_what(long: bool) -> Figure:
    with scratch_database():
        from tests.trust import access_matrix as matrix

        seen = matrix.Seen()
        missing = matrix.without_rule()
        with undone():
            ground = matrix.make_ground()
            for part in (matrix.foreign_alike, matrix.absent_alike, matrix.media_paths):
                with undone():
                    part(ground, seen)
            with undone():
                matrix.guessed_tokens(ground, seen, each=1_000 if long else 100)
            for role in (matrix.STRANGER, *matrix.ROLES):
                with undone():
                    matrix.every_address(ground, seen, roles=(role,))
            unguarded = matrix.guard_taken_away(ground)
        kinds = ", ".join(f"{count:,} {kind}" for kind, count in seen.by_kind.items())
        said = (
            f"{len(matrix.ACCESS)} addresses, {len(missing)} without a rule; {seen.probes:,} probes ({kinds})"
            f", {seen.canaries:,} answers looked through: {len(seen.faults)} wrong{_told(seen.faults)}"
        )
    met = not missing and not seen.faults and seen.probes >= 2_000 and bool(unguarded)
    return Figure(said, met, f"a view without its guard: {len(unguarded)} roles get where they may not")


@measures(24)
def forged_requests(long: bool) -> Figure:
    with scratch_database():
        from tests.trust import access_forgery as forgery
        from tests.trust.access_matrix import make_ground

        with undone():
            ground = make_ground()
            unsafe = forgery.unsafe_addresses(ground)
            forged = forgery.forge(ground, unsafe)
            read = forgery.writes_of_reading(ground)
            with undone():
                let_through = forgery.check_taken_away(ground, unsafe)
            with undone():
                seen_writing = forgery.page_that_writes(ground)
    said = (
        f"{forged.endpoints} changing addresses, {forged.requests} forged requests: "
        f"{len(forged.faults)} taken{_told(forged.faults)}; "
        f"{read.asked} readings: {len(read.faults)} pages wrote{_told(read.faults)}, "
        f"{len(read.papers)} papers were kept because they were opened{_told(read.papers)}"
    )
    control = (
        f"without the check {let_through} get through; of a page that writes {seen_writing} readings are seen"
    )
    met = (
        not forged.faults and not read.faults and not read.papers and bool(let_through) and bool(seen_writing)
    )
    return Figure(said, met and forged.endpoints > 100, control)


@measures(25)
def headers_that_lie(long: bool) -> Figure:
    with scratch_database():
        from tests.trust import access_headers as headers
        from tests.trust.access_matrix import make_ground

        seen, warnings = headers.Probed(), headers.check_deploy()
        with undone():
            ground = make_ground()
            for part in (headers.hosts, headers.ways_back, headers.cookies_over_https):
                with undone():
                    part(ground, seen)
            headers.headers_of_answers(ground, seen)
            without = headers.header_taken_away(ground)
    said = (
        f"check --deploy: {'clean' if not warnings else warnings[:200]}; {seen.probes:,} probes of hosts, "
        f"forwarded headers, ways back, policies and cookies: {len(seen.faults)} wrong{_told(seen.faults)}"
    )
    return Figure(said, not warnings and not seen.faults and without > 0, f"a laxer policy: {without} faults")
