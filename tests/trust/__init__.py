"""The bars of trust: each with a harness that measures it, and a board that one command makes anew.

    python -m tests.trust                 every bar, and SCOREBOARD.md written
    python -m tests.trust --only 3,12     these; the lines of the others stay as they are
    python -m tests.trust --long          the long variants

A harness is a function in `bars_*.py` beside this file; the quick forms that CI runs are
the `test_*.py` here.
"""
