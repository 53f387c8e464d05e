"""Pictures as sixels: in 256 colours of their own, dithered, so that glare fades without steps."""

import re

from PIL import Image
from textual.app import ComposeResult
from textual_image.widget import SixelImage, SixelOptions
from textual_image.widget.sixel import _ImageSixelImpl

_DEFINED = re.compile(r"#(\d+)(?:;\d+){4}")


class _Sixels(_ImageSixelImpl):
    """What `textual-image` draws with; both steps below are where it leaves them to a method."""

    def _image_to_sixels(
        self, image: Image.Image, sixel_options: SixelOptions | None = None,
        background: tuple[int, int, int, float] | None = None,
    ) -> str:  # fmt: skip
        sent = super()._image_to_sixels(dithered(image), sixel_options, background)
        # xterm draws on in the last colour where one is defined and not chosen.
        return _DEFINED.sub(r"\g<0>#\1", sent)


class DitheredImage(SixelImage, Renderable=SixelImage._Renderable):  # noqa: SLF001 - see below
    """A widget that shows its `image`; the library has every kind of widget name what renders it."""

    def compose(self) -> ComposeResult:
        """Yield what draws it."""
        yield _Sixels(self.image)


def dithered(image: Image.Image) -> Image.Image:
    """Return an image in the 256 colours that serve it best, by dithering (Floyd and Steinberg 1976)."""
    plain = image.convert("RGB")
    few = plain.quantize(256, method=Image.Quantize.MEDIANCUT)
    return plain.quantize(palette=few, dither=Image.Dither.FLOYDSTEINBERG)
