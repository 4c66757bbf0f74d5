"""The interface as a page to be read: made from the OpenAPI document, nothing else needed."""

from api.reference.manual.page import manual_page

__all__ = ["manual_page"]
