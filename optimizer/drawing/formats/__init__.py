"""A finished drawing, and the formats it is written in: DXF, SVG and PDF."""
