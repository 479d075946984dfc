"""The house rules as functions: each takes sources and gives back a sentence for every breach.

`tests/test_architecture.py` holds the project to them; the tests beside this file show that each goes red.
"""
