"""Several tagged PDFs become one, with the reading order of all of them kept.

The page merger copies pages but leaves their structure behind, so the structure trees
are joined here: the elements of each part hang under the first part's root, and each
number that points into its tree of parents moves up by those already taken.
Source: ISO 32000-1, 14.7.4 (structure trees, StructParents, the tree of parents).
"""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO

from pypdf import PageObject, PdfReader, PdfWriter
from pypdf.generic import (
    ArrayObject,
    DictionaryObject,
    NameObject,
    NumberObject,
    PdfObject,
)


def merge(parts: Sequence[bytes]) -> bytes:
    """Join the parts in order; title and language are those of the first."""
    if len(parts) == 1:
        return parts[0]
    writer = PdfWriter(clone_from=PdfReader(BytesIO(parts[0])))
    for part in parts[1:]:
        _append(writer, PdfReader(BytesIO(part)))
    whole = BytesIO()
    writer.write(whole)
    return whole.getvalue()


def pile(parts: Sequence[bytes]) -> bytes:
    """Lay untagged parts on one another; title and language are those of the first."""
    writer = PdfWriter(clone_from=PdfReader(BytesIO(parts[0])))
    for part in parts[1:]:
        writer.append(PdfReader(BytesIO(part)), import_outline=False)
    whole = BytesIO()
    writer.write(whole)
    return whole.getvalue()


def _append(writer: PdfWriter, reader: PdfReader) -> None:
    here = _tree(writer.root_object)
    there = _tree(reader.root_object)
    shift = len(_parents(here)) // 2
    pages_before = len(writer.pages)
    writer.append(reader, import_outline=False)
    copies = writer.pages[pages_before:]
    for copy, page in zip(copies, reader.pages, strict=True):
        _number(copy, page, shift)
    _append_elements(writer, here, there)
    _append_parents(writer, here, there, shift)


def _tree(root: DictionaryObject) -> DictionaryObject:
    tree = root["/StructTreeRoot"]
    if not isinstance(tree, DictionaryObject):
        raise TypeError("A part without a structure tree cannot be joined.")
    return tree


def _array(holder: DictionaryObject, key: str) -> ArrayObject:
    found = holder[key]
    if not isinstance(found, ArrayObject):
        raise TypeError(f"A part's {key} is not a list.")
    return found


def _parents(tree: DictionaryObject) -> ArrayObject:
    parents = tree["/ParentTree"]
    if not isinstance(parents, DictionaryObject):
        raise TypeError("A part without a tree of parents cannot be joined.")
    return _array(parents, "/Nums")


def _number(copy: PageObject, page: PageObject, shift: int) -> None:
    # The merger leaves a page's number out, but not those of the links on it.
    if "/StructParents" in page:
        copy[NameObject("/StructParents")] = _shifted(page["/StructParents"], shift)
    for annotation in copy.annotations or []:
        note = annotation.get_object()
        if isinstance(note, DictionaryObject) and "/StructParent" in note:
            note[NameObject("/StructParent")] = _shifted(note["/StructParent"], shift)


def _shifted(number: PdfObject, shift: int) -> NumberObject:
    return NumberObject(int(str(number)) + shift)


def _append_elements(
    writer: PdfWriter, here: DictionaryObject, there: DictionaryObject
) -> None:
    for kid in _array(there, "/K"):
        element = kid.get_object()
        # Its way up would bring the other part's root along.
        del element["/P"]
        copy = element.clone(writer)
        copy[NameObject("/P")] = here.indirect_reference
        _array(here, "/K").append(copy.indirect_reference)


def _append_parents(
    writer: PdfWriter, here: DictionaryObject, there: DictionaryObject, shift: int
) -> None:
    theirs = _parents(there)
    for number, owner in zip(theirs[::2], theirs[1::2], strict=True):
        _parents(here).append(_shifted(number, shift))
        _parents(here).append(owner.clone(writer))
