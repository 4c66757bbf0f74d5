"""The build pack delivered: parts, sheets and drawings put together, documents, files."""

from optimizer.delivery.customer import customer_document
from optimizer.delivery.delivery import Delivery, build_pack
from optimizer.delivery.document import pack_document
from optimizer.delivery.labels import labels_document
from optimizer.delivery.pack_folder import pack_files, write_pack
from optimizer.delivery.survey import survey_document

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
