"""The build pack of a layout, from parts and stock plan: cut list, checks, mark-out, cost."""
