"""Drawings of a layout and of its sheets: one document each, written as DXF, SVG or PDF."""
