"""`python -m tests.trust.write_seen_by_role`: the table of which role is shown which words about people."""

from tests.trust.scratch import scratch_database

if __name__ == "__main__":
    with scratch_database():
        from tests.trust.seen_by_role import write_table

        write_table()
