"""The build pack delivered: parts, sheets and drawings put together, one document, files."""

from optimizer.delivering.building import Delivery, build_pack
from optimizer.delivering.document import pack_document
from optimizer.delivering.writing import pack_files, write_pack

__all__ = ["Delivery", "build_pack", "pack_document", "pack_files", "write_pack"]
