"""topodraw: one text model of a site's network, checked and drawn."""

__version__ = "0.1.0"
