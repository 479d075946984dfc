"""An invented shop to look at: people, makers and towns are all made up, and every picture is a drawing.

It is built through the actions that the pages use, so it can hold nothing that the rules would refuse.
"""
