"""Sheets joined into one PDF, and their pages numbered.

In: the PDF of each sheet, and one with what stands around the music: the title page, heads and feet. Out: one PDF. The
same in, the same bytes out. Only this module knows pypdf.
"""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from typing import Any

from pypdf import PageObject, PdfReader, PdfWriter
from pypdf.generic import ArrayObject, DictionaryObject, FloatObject, NameObject, StreamObject

_OVER = "/CavataHead"
_POINTS_IN_MM = 72 / 25.4


def joined_pages(
    sheets: Sequence[tuple[bytes, tuple[int, int]]], frame: bytes, heads: int, shift: int
) -> bytes | None:  # fmt: skip
    """The pages of all sheets one after the other; None if there are more than `heads`.

    With each sheet stands how many of its first and last pages are left out. Before them stand the first pages of
    `frame`, and the last `heads` of its pages are laid over them. Every page was set as one that lies on the right; one
    on the left is moved by `shift` millimeters, since it is bound at its other side.
    """
    writer = PdfWriter()
    around = PdfReader(BytesIO(frame))
    music = [page for sheet, left_out in sheets for page in _without(PdfReader(BytesIO(sheet)), *left_out)]
    front = len(around.pages) - heads
    if len(music) > heads:
        return None
    for page in around.pages[:front]:
        writer.add_page(page)
    for number, (page, head) in enumerate(zip(music, around.pages[front:], strict=False), start=front + 1):
        _finish(writer, writer.add_page(page), head, 0 if number % 2 else shift * _POINTS_IN_MM)
    if around.metadata:
        writer.metadata = around.metadata
    made = BytesIO()
    writer.write(made)
    return made.getvalue()


def _without(sheet: PdfReader, first: int, last: int) -> list[PageObject]:
    pages = list(sheet.pages)
    return pages[first : len(pages) - last]


def _finish(writer: PdfWriter, page: PageObject, head: PageObject, shift: float) -> None:
    """Move what a page draws, and draw another over it as one object, so that neither has to be read."""
    after = "\nQ\n"
    if (form := _form(writer, head)) is not None:
        _drawn_objects(page)[NameObject(_OVER)] = writer._add_object(form)
        after = f"\nQ q {_OVER} Do Q\n"
    below = page["/Contents"]
    streams: list[Any] = list(below) if isinstance(below, ArrayObject) else [page.raw_get("/Contents")]
    around = [writer._add_object(_stream(text)) for text in (f"q 1 0 0 1 {shift:.4f} 0 cm\n", after)]
    page[NameObject("/Contents")] = ArrayObject([around[0], *streams, around[1]])


def _form(writer: PdfWriter, page: PageObject) -> StreamObject | None:
    """What a page draws, as one object."""
    contents = page.get_contents()
    if contents is None:
        return None
    drawn = StreamObject()
    drawn.set_data(contents.get_data())
    form = drawn.flate_encode()
    form[NameObject("/Type")] = NameObject("/XObject")
    form[NameObject("/Subtype")] = NameObject("/Form")
    form[NameObject("/BBox")] = ArrayObject(FloatObject(edge) for edge in page.mediabox)
    form[NameObject("/Resources")] = page["/Resources"].clone(writer)
    return form


def _stream(text: str) -> StreamObject:
    made = StreamObject()
    made.set_data(text.encode("ascii"))
    return made


def _drawn_objects(page: PageObject) -> DictionaryObject:
    """The page's own table of drawn objects, made if there is none."""
    resources = page["/Resources"].get_object()
    assert isinstance(resources, DictionaryObject)
    if "/XObject" not in resources:
        resources[NameObject("/XObject")] = DictionaryObject()
    drawn = resources["/XObject"].get_object()
    assert isinstance(drawn, DictionaryObject)
    return drawn
