"""Build packs: parts, sheets, prices and files of a layout."""
