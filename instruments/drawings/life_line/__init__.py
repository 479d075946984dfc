"""The life of an instrument on one axis, and how each part of it is known; lying down or standing up."""

from instruments.drawings.life_line.entries import Entry, mark_of
from instruments.drawings.life_line.upright import upright_life_line
from instruments.drawings.life_line.wide import life_line

__all__ = ["Entry", "life_line", "mark_of", "upright_life_line"]
