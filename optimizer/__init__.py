"""Closet layout optimizer: ranked, proved and checked layouts from a brief."""

__version__ = "0.1.0"
