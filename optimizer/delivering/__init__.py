"""The build pack delivered: parts, sheets and drawings put together, documents, files."""

from optimizer.delivering.building import Delivery, build_pack
from optimizer.delivering.customer import customer_document
from optimizer.delivering.document import pack_document
from optimizer.delivering.labels import labels_document
from optimizer.delivering.survey import survey_document
from optimizer.delivering.writing import pack_files, write_pack

__all__ = [
    "Delivery",
    "build_pack",
    "customer_document",
    "labels_document",
    "pack_document",
    "pack_files",
    "survey_document",
    "write_pack",
]
