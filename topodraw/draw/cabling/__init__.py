"""The cabling view: what is plugged into what, from the outside world down to end stations."""

from topodraw.draw.cabling.sheets import cabling_sheets

__all__ = ["cabling_sheets"]
