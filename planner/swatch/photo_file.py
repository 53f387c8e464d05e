"""A photograph's file: opened with limits, turned upright, its pixels brought to XYZ by its own profile.

Pictures from strangers are data: only PNG, JPEG and HEIC are opened, the size is looked at before
anything is decoded, and what is kept has at most `WORKING_PIXELS`.
"""

import io
import warnings
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Final, NamedTuple

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageCms, ImageOps, UnidentifiedImageError

from planner.colour.cielab import lab_to_xyz
from planner.colour.screen import srgb_to_lab
from planner.colour.tristimulus import white_d65
from planner.refusal import Refusal

MOST_BYTES: Final = 100_000_000
"""Largest file that is opened."""

MOST_PIXELS: Final = 64_000_000
"""Most pixels that are decoded whole; today's telephones take 12 to 50 million."""

MOST_JPEG_PIXELS: Final = 178_000_000
"""Most pixels of a JPEG that is not progressive, which can be decoded at a fraction of its size."""

WORKING_PIXELS: Final = 16_000_000
"""Most pixels that are kept; a larger picture is averaged down."""

_DRAFT_SIDE: Final = 2000
# A telephone's MPO is opened as the JPEG that it begins with.
_FORMATS: Final = ("PNG", "JPEG")
_GREY: Final = ("1", "L", "LA", "La", "I", "I;16", "I;16B", "I;16L", "F")
# White of colour profiles, and the matrix by which they bring other whites to it (ICC.1:2010, 7.2.16 and
# annex E; from memory).
_D50: Final = np.array([0.9642, 1.0, 0.8249])
_BRADFORD: Final = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])
# Where the brand of an ISO media file stands, as HEIC is one.
_HEIF_MARK: Final = slice(4, 8)


class Area(NamedTuple):
    """A rectangle on the upright picture, in its own pixels."""

    x: int
    y: int
    width: int
    height: int


@dataclass(frozen=True, slots=True, eq=False)
class Picture:
    """A photograph as decoded."""

    path: Path
    """Where it came from."""

    width: int
    height: int
    """Of the upright picture in the file's own pixels, in which areas are given."""

    rgb: NDArray[np.uint8]
    """Its channels as encoded, upright, shape (h, w, 3); h and w may be smaller than the file's."""

    profile: bytes | None
    """Its colour profile (ICC); None for sRGB."""

    notes: tuple[str, ...] = ()
    """What had to be assumed."""

    def pixels(self, area: Area) -> NDArray[np.uint8]:
        """Return the encoded channels in an area, shape (h, w, 3)."""
        high, wide = self.rgb.shape[:2]
        across, down = wide / self.width, high / self.height
        left, top = int(area.x * across), int(area.y * down)
        right, bottom = int((area.x + area.width) * across), int((area.y + area.height) * down)
        return self.rgb[top:bottom, left:right]

    def to_xyz(self, encoded: NDArray[np.uint8]) -> NDArray[np.float64]:
        """Return XYZ, shape (..., 3), of encoded channels: D65 and Y = 1 for the picture's own white."""
        if self.profile is None:
            return lab_to_xyz(srgb_to_lab(encoded))
        flat = np.ascontiguousarray(encoded.reshape(-1, 1, 3))
        image = ImageCms.applyTransform(Image.fromarray(flat), _to_lab(self.profile))
        if image is None:
            raise Refusal(f"{self.path}: its colour profile cannot be used; save the picture as sRGB")
        # CIELAB in bytes: L* 0 to 255 for 0 to 100, a* and b* as signed bytes.
        raw = np.asarray(image).reshape(-1, 3)
        lab = raw.astype(np.float64)
        lab[:, 0] *= 100.0 / 255.0
        lab[:, 1:] = raw[:, 1:].view(np.int8)
        return np.asarray(lab_to_xyz(lab, _D50) @ _to_d65().T).reshape(encoded.shape)


LEAST_SIDE: Final = 16
"""Pixels across the shorter side of a photograph: in fewer no cloth and no paper is made out (our choice)."""


def open_picture(path: Path) -> Picture:
    """Return the photograph at `path`.

    Raises
    ------
    Refusal
        If it is missing, no PNG, JPEG or HEIC, too large, cut off, animated, grey, see-through or for
        print: one sentence.
    """
    data = _read(path)
    try:
        with warnings.catch_warnings():
            # Pillow's own alarm comes below our limit for JPEG.
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            return _decoded(path, data)
    except Refusal:
        raise
    except Image.DecompressionBombError:
        raise Refusal(
            f"{path}: found a picture of more than {MOST_JPEG_PIXELS // 1_000_000} million pixels; make a "
            "smaller copy"
        ) from None
    except UnidentifiedImageError:
        raise Refusal(
            f"{path}: found no picture that can be read; a photograph must be PNG, JPEG or HEIC"
        ) from None
    except MemoryError:
        raise Refusal(f"{path}: is too large for this machine's memory; make a smaller copy") from None
    except Exception as problem:  # noqa: BLE001 - a damaged file makes decoders fail in any way
        why = " ".join(str(problem).split())[:100] or type(problem).__name__
        raise Refusal(
            f"{path}: the picture is damaged or cut off ({why}); copy it again from the camera"
        ) from None


def _read(path: Path) -> bytes:
    try:
        if not path.is_file():
            found = "a folder" if path.is_dir() else "no such file"
            raise Refusal(f"{path}: found {found}; a photograph is needed here")
        size = path.stat().st_size
        if size > MOST_BYTES:
            raise Refusal(f"{path}: found {size} bytes; a photograph may have at most {MOST_BYTES}")
        return path.read_bytes()
    except OSError as problem:
        raise Refusal(f"{path}: cannot be read ({problem.strerror or problem})") from None


def _decoded(path: Path, data: bytes) -> Picture:
    formats: tuple[str, ...] = _FORMATS
    if data[_HEIF_MARK] == b"ftyp":
        _learn_heif(path)
        formats = ("HEIF",)
    with Image.open(io.BytesIO(data), formats=formats) as opened:
        _check(path, opened)
        size = opened.size
        if min(size) < LEAST_SIDE:
            raise Refusal(
                f"{path}: found a picture of {size[0]} × {size[1]} pixels; at least {LEAST_SIDE} either way "
                "are needed"
            )
        profile = opened.info.get("icc_profile")
        upright = ImageOps.exif_transpose(_shrunk(opened))
        turned = (upright.size[0] > upright.size[1]) != (size[0] > size[1])
        image = _three_channels(path, upright)
    width, height = size[::-1] if turned else size
    notes: tuple[str, ...] = ()
    if profile is not None and not _usable(profile):
        profile, notes = None, ("The picture's colour profile cannot be read; it is taken as sRGB.",)
    return Picture(path, width, height, np.asarray(image), profile, notes)


def _learn_heif(path: Path) -> None:
    try:
        from pillow_heif import register_heif_opener
    except ImportError:
        raise Refusal(
            f"{path}: is a HEIC picture, and the package pillow-heif, which reads them, is missing; install "
            "it, or save the picture as JPEG"
        ) from None
    register_heif_opener()


def _check(path: Path, image: Image.Image) -> None:
    """Refuse by what the header says, before anything is decoded."""
    width, height = image.size
    scalable = image.format in {"JPEG", "MPO"} and not image.info.get("progressive")
    most = MOST_JPEG_PIXELS if scalable else MOST_PIXELS
    if width * height > most:
        raise Refusal(
            f"{path}: found {width} × {height} pixels; at most {most // 1_000_000} million can be read, so "
            "make a smaller copy"
        )
    # A telephone's MPO and HEIC hold further views of the same picture; the first is the picture.
    if image.format == "PNG" and getattr(image, "is_animated", False):
        raise Refusal(f"{path}: found an animation; a single picture is needed")
    if image.mode in _GREY:
        raise Refusal(f"{path}: found a grey picture, which holds no colour; take it in colour")
    if image.mode in {"CMYK", "YCCK"}:
        raise Refusal(f"{path}: found a CMYK picture, made for print; use the photograph as it was taken")


def _shrunk(image: Image.Image) -> Image.Image:
    """Decode, JPEG at a fraction of its size if large, and average down to the working size."""
    if image.format in {"JPEG", "MPO"} and image.size[0] * image.size[1] > WORKING_PIXELS:
        image.draft("RGB", (_DRAFT_SIDE, _DRAFT_SIDE))
    image.load()
    factor = int(np.ceil(np.sqrt(image.size[0] * image.size[1] / WORKING_PIXELS)))
    # Colours of a palette or with transparency must be spelled out before they are averaged.
    if factor > 1 and image.mode in {"RGB", "RGBA"}:
        exif = image.getexif()
        image = image.reduce(factor)
        image.info["exif"] = exif.tobytes()
    return image


def _three_channels(path: Path, image: Image.Image) -> Image.Image:
    if image.mode == "RGB":
        return image
    if image.mode in {"RGBA", "PA"} or "transparency" in image.info:
        image = image.convert("RGBA")
        if image.getchannel("A").getextrema()[0] != 255:
            raise Refusal(f"{path}: found a picture with see-through parts; a photograph has none")
    return image.convert("RGB")


@cache
def _to_d65() -> NDArray[np.float64]:
    """Return the matrix that brings XYZ of a profile, under D50, back to D65, shape (3, 3)."""
    gain = (_BRADFORD @ white_d65()) / (_BRADFORD @ _D50)
    return np.asarray(np.linalg.inv(_BRADFORD) @ np.diag(gain) @ _BRADFORD)


def _usable(profile: bytes) -> bool:
    try:
        _to_lab(profile)
    except (ImageCms.PyCMSError, OSError, ValueError):
        return False
    return True


def _to_lab(profile: bytes) -> Any:
    """Return Pillow's transform from a profile to CIELAB relative to the medium's white."""
    return ImageCms.buildTransform(
        ImageCms.ImageCmsProfile(io.BytesIO(profile)), ImageCms.createProfile("LAB"), "RGB", "LAB",
        ImageCms.Intent.RELATIVE_COLORIMETRIC,
    )  # fmt: skip
