"""The head of a paper, which the bench's papers carry too: it stands with what all papers are made of."""

from instruments.documents.letterhead import letterhead

__all__ = ["letterhead"]
