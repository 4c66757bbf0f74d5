"""The build pack of a layout: what a builder needs to make it, except the drawings.

`pack.pack_of` puts it together from a job (a brief with one of its layouts), its parts and the plan
of how they lie on stock. Each other module makes one chapter of it; `tables` shows the chapters as
rows of text for CSV files and for paper. Lengths are in the units of the brief.
"""
