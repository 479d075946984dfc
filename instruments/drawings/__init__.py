"""Drawings made from plain arguments: no database, no web framework."""
