"""What PDFium, a reader of PDF that is none of ours, finds in a file."""

import ctypes
import re

import numpy as np
import pypdfium2 as pdfium
from pypdfium2 import raw

from planner.colour.difference import delta_e
from planner.colour.screen import parse_hex, srgb_to_lab


def text_of(data):
    document = pdfium.PdfDocument(data)
    return "\n".join(page.get_textpage().get_text_range() for page in document)


def tight(text):
    """Return text without white space and hyphens: PDFium drops those at which a line is broken."""
    return re.sub(r"[\s\-\u200e\u200f\u202a-\u202e\u2066-\u2069\ufffe]+", "", text)


def images_of(data, ppi):
    return [page.render(scale=ppi / 72).to_pil().convert("RGB") for page in pdfium.PdfDocument(data)]


def fonts_of(data):
    """Return whether fonts are embedded, of every piece of text."""
    return {
        bool(raw.FPDFFont_GetIsEmbedded(raw.FPDFTextObj_GetFont(one.raw)))
        for page in pdfium.PdfDocument(data)
        for one in page.get_objects(filter=[raw.FPDF_PAGEOBJ_TEXT])
    }


def area_of(image, hexes, ppi):
    """Return square millimetres of a page within a ΔE00 of 1 of a colour."""
    wanted, pixels = parse_hex(hexes), np.asarray(image).reshape(-1, 3)
    # Whatever is within a ΔE00 of 1 is within a few steps of each channel; the pictures need not be asked.
    pixels = pixels[(np.abs(pixels.astype(int) - wanted) <= 8).all(axis=1)]
    near = delta_e(srgb_to_lab(wanted), srgb_to_lab(pixels)) <= 1.0
    return near.sum() * (25.4 / ppi) ** 2


def outlines_of(data):
    """Return (width without its stroke, stroke) of every stroked shape, mm."""
    found = []
    for page in pdfium.PdfDocument(data):
        for one in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
            stroke = ctypes.c_float()
            raw.FPDFPageObj_GetStrokeWidth(one.raw, ctypes.byref(stroke))
            left, _, right, _ = one.get_bounds()
            # PDFium keeps a whole stroke's width free on either side.
            found.append(((right - left - 2.0 * stroke.value) / 72 * 25.4, stroke.value / 72 * 25.4))
    return found
