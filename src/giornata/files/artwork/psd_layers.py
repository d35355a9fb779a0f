"""Layers of a PSD or PSB file as pictures, each with its place, name, opacity and visibility."""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image
from psd_tools import PSDImage
from psd_tools.constants import BlendMode, ColorMode, Resource

from giornata.core.artwork import Veil
from giornata.core.foundation import ArtworkError, Finding, Place, Severity
from giornata.files.artwork.psd_unread import blends_by_range, spot_findings

__all__ = ["Layer", "Layered", "read_layers", "read_merged"]

_MEMORY = 2 * 2**30  # bytes the library may take for one layer
_IN_LAYERS = {ColorMode.RGB: 3, ColorMode.GRAYSCALE: 1}  # with their channels of colour
_COVERING = (BlendMode.NORMAL, BlendMode.PASS_THROUGH)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Layer:
    """One layer's picture, cut to the canvas.

    Parameters
    ----------
    image : Image
        In a mode of Pillow.
    left, top : int
        Where it lies on the canvas. [px]
    group : str
        Names of the groups around it and its own, outermost first, with "/" between them.
    opacity : float
        0 to 1. [-]
    veils : tuple of Veil
        Translucent groups around it, outermost first.
    """

    image: Image.Image
    left: int
    top: int
    group: str
    opacity: float
    veils: tuple[Veil, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Layered:
    """A file of layers.

    Parameters
    ----------
    width, height : int
        Canvas. [px]
    profile : bytes or None
        Embedded colour profile.
    layers : tuple of Layer
        Bottom first, hidden ones too.
    groups, hidden : tuple of str
        Names of all layers and groups; of those that the file switches off.
    findings : tuple of Finding
        What of the layers is not read.
    """

    width: int
    height: int
    profile: bytes | None
    layers: tuple[Layer, ...]
    groups: tuple[str, ...]
    hidden: tuple[str, ...]
    findings: tuple[Finding, ...]


class _Walk:
    """Layers gone through from the bottom up, with what they are called and what they lack."""

    def __init__(self, document: PSDImage, name: str) -> None:
        self.canvas = (0, 0, document.width, document.height)
        self.channels = _IN_LAYERS.get(document.color_mode, 0)
        self.file = name
        self.names: dict[str, None] = {}
        self.hidden: list[str] = []
        self.findings: list[Finding] = []
        self.veils = 0

    def name_of(self, layer: Any) -> str:
        """Its name, made different from all before it, and without "/"."""
        plain = " ".join(str(layer.name).replace("/", "-").replace("\0", "").split()) or "layer"
        name, number = plain, 2
        while name in self.names:
            name, number = f"{plain} ({number})", number + 1
        self.names[name] = None
        if not layer.visible:
            self.hidden.append(name)
        return name

    def doubt(self, code: str, name: str, layer: Any, said: str, remedy: str) -> None:
        """Something of a layer that is not read; a layer that is off can wait."""
        self.findings.append(
            Finding(
                code=code,
                severity=Severity.STOP if layer.is_visible() else Severity.WARN,
                subject=f"layer {name}",
                message=said,
                remedy=remedy,
                place=Place(file=self.file),
            )
        )

    def layers(self, group: Any, path: tuple[str, ...], veils: tuple[Veil, ...]) -> Iterator[Layer]:
        """Layers in a group, bottom first."""
        base: Any = None
        under: tuple[str, ...] = ()  # the base's name: what is clipped to it goes with it
        around = veils
        for layer in group:
            name = self.name_of(layer)
            if layer.blend_mode not in _COVERING:
                self.doubt(
                    "artwork.blend", name, layer,
                    f"It blends with what lies below ({layer.blend_mode.name.lower()}); it is "
                    "read as covering it.",
                    "Set the layer to normal, or merge it with those below, and save again.",
                )  # fmt: skip
            if blends_by_range(layer, self.channels):
                self.doubt(
                    "artwork.blend", name, layer,
                    "It shows only where its own brightness, or that of what lies below, is "
                    "within a range; it is read as showing everywhere.",
                    "Set its blending ranges back to the whole, or flatten a copy and save that.",
                )  # fmt: skip
            if layer.has_effects():
                self.doubt(
                    "artwork.filter", name, layer,
                    "Effects (a shadow, a glow, a stroke) are not read.",
                    "Take them off, or turn the layer with its effects into pixels.",
                )  # fmt: skip
            if layer.clipping and base is None:
                self.doubt(
                    "artwork.mask", name, layer,
                    "It is clipped to a group, which is not read; it is read whole.",
                    "Clip it to a layer, or apply the clip to its pixels.",
                )  # fmt: skip
            if layer.kind == "artboard":
                self.doubt(
                    "artwork.layer", name, layer,
                    "It is an artboard: its background and its edges, which cut what is on it, "
                    "are not read.",
                    "Give it a layer filled with its background and crop what reaches beyond it, "
                    "then make it a plain group; or flatten a copy and save that.",
                )  # fmt: skip
            if layer.is_group():
                if layer.clipping and base is not None:
                    self.doubt(
                        "artwork.mask", name, layer,
                        "A group is clipped to a layer, which is not read; it is read whole.",
                        "Clip the layers in the group, or apply the clip to their pixels.",
                    )  # fmt: skip
                if layer.has_vector_mask() or (layer.has_mask() and not layer.mask.disabled):
                    self.doubt(
                        "artwork.mask", name, layer,
                        "A mask on a group is not read; what it covers is read whole.",
                        "Apply the mask to the layers in the group.",
                    )  # fmt: skip
                inner = veils
                if layer.opacity < 255:
                    self.veils += 1
                    inner = (*veils, Veil(number=self.veils, opacity=layer.opacity / 255))
                yield from self.layers(layer, (*path, name), inner)
                base = None
                continue
            opacity = layer.opacity / 255 * layer.fill_opacity / 255
            if not layer.clipping:
                base, under, around = layer, (name,), veils
                if opacity < 1 and layer.has_clip_layers():
                    self.veils += 1  # what is clipped to it fades with it, as one
                    around, opacity = (*veils, Veil(number=self.veils, opacity=opacity)), 1.0
            clipped = layer.clipping and base is not None
            found = self.picture(layer, name, base if clipped else None)
            if found is None:
                continue
            image, left, top = found
            yield Layer(
                image=image,
                left=left,
                top=top,
                group="/".join((*path, *(under if clipped else ()), name)),
                opacity=opacity,
                veils=around if clipped or base is layer else veils,
            )

    def picture(self, layer: Any, name: str, base: Any) -> tuple[Image.Image, int, int] | None:
        """Pixels of a layer on the canvas, masks applied."""
        if not layer.has_pixels() or layer.width < 1 or layer.height < 1:
            if layer.kind != "pixel":
                self.doubt(
                    "artwork.layer", name, layer,
                    f"It holds no pixels of its own ({layer.kind}); it is not read.",
                    "Turn the layer into pixels, or merge it with those below, and save again.",
                )  # fmt: skip
            return None
        if layer.has_vector_mask() and layer.kind == "pixel":
            self.doubt(
                "artwork.mask", name, layer,
                "An outline that cuts it is not read; it is read whole.",
                "Apply the outline to the layer's pixels and save again.",
            )  # fmt: skip
        if layer.has_mask() and not layer.mask.disabled and _softened(layer.mask):
            self.doubt(
                "artwork.mask", name, layer,
                "Its mask is feathered or thinned by a setting, which is not read; the mask "
                "is read without it.",
                "Apply the mask to the layer's pixels.",
            )  # fmt: skip
        image = layer.topil(apply_icc=False)
        if image is None:
            return None
        box = _common(layer.bbox, self.canvas)
        if box is None:
            return None
        left, top = layer.offset
        image = image.crop((box[0] - left, box[1] - top, box[2] - left, box[3] - top))
        covers = [_mask(layer, box)]
        if base is not None:
            covers.append(_alpha(base, box))
        for cover in covers:
            if cover is not None:
                image = _covered(image, cover)
        return image, box[0], box[1]


def _softened(mask: Any) -> bool:
    """Whether a mask has a density below full, or a feather."""
    given = mask.parameters
    if given is None:
        return False
    densities = (given.user_mask_density, given.vector_mask_density)
    feathers = (given.user_mask_feather, given.vector_mask_feather)
    return any(d not in (None, 255) for d in densities) or any(feathers)


def _common(one: tuple[int, ...], other: tuple[int, ...]) -> tuple[int, int, int, int] | None:
    left, top = max(one[0], other[0]), max(one[1], other[1])
    right, bottom = min(one[2], other[2]), min(one[3], other[3])
    return (left, top, right, bottom) if left < right and top < bottom else None


def _placed(
    grey: Image.Image | None, at: tuple[int, ...], box: tuple[int, int, int, int], around: int
) -> Image.Image:
    """A grey picture that lies somewhere, as seen in a box."""
    seen = Image.new("L", (box[2] - box[0], box[3] - box[1]), around)
    if grey is not None:
        seen.paste(grey.convert("L"), (at[0] - box[0], at[1] - box[1]))
    return seen


def _mask(layer: Any, box: tuple[int, int, int, int]) -> Image.Image | None:
    """The layer's own mask of grey, None where it has none."""
    if not layer.has_mask() or layer.mask.disabled:
        return None
    mask = layer.mask
    return _placed(mask.topil(), mask.bbox, box, int(mask.background_color))


def _alpha(layer: Any, box: tuple[int, int, int, int]) -> Image.Image:
    """Where a layer has pixels, for those that are clipped to it."""
    image = layer.topil(apply_icc=False)
    if image is None:
        return _placed(None, (0, 0), box, 0)
    whole = Image.new("L", image.size, 255)
    alpha = image.getchannel("A") if "A" in image.mode else whole
    cover = _placed(alpha, layer.bbox, box, 0)
    own = _mask(layer, box)
    return cover if own is None else _times(cover, own)


def _times(one: Image.Image, other: Image.Image) -> Image.Image:
    product = np.asarray(one).astype(np.uint16) * np.asarray(other)
    return Image.fromarray(((product + 127) // 255).astype(np.uint8))


def _covered(image: Image.Image, cover: Image.Image) -> Image.Image:
    """A picture that shows only as far as a cover lets it."""
    if image.mode not in ("LA", "RGBA"):
        image = image.convert("LA" if image.mode in ("L", "1") else "RGBA")
    image.putalpha(_times(image.getchannel("A"), cover))
    return image


def _profile(document: PSDImage) -> bytes | None:
    found = document.image_resources.get_data(Resource.ICC_PROFILE)
    return bytes(found) if found else None


def read_layers(path: Path, *, pixel_limit: int) -> Layered:
    """Layers of a PSD or PSB file, or its merged picture where it has none that can be read.

    Parameters
    ----------
    path : Path
        The file.
    pixel_limit : int
        Most pixels of canvas and of all layers together; 1 or more. [px]

    Raises
    ------
    ArtworkError
        If it has more pixels than the limit.
    Exception
        Whatever the library raises on a damaged file.
    """
    name = path.name
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        document = PSDImage.open(path, max_alloc_bytes=_MEMORY)
        _within(name, document.width * document.height, pixel_limit)
        walk = _Walk(document, name)
        layers: tuple[Layer, ...] = ()
        if document.color_mode in _IN_LAYERS:
            held = 0
            for layer in document.descendants():
                held += 0 if layer.is_group() else layer.width * layer.height
                _within(name, held, pixel_limit)
            layers = tuple(walk.layers(document, (), ()))
        elif len(list(document.descendants())) > 1:
            walk.findings.append(
                Finding(
                    code="artwork.more_pictures",
                    severity=Severity.NOTE,
                    subject=name,
                    message=f"Layers in colour mode {document.color_mode.name} are not read; the "
                    "merged picture is.",
                    remedy="Save it in RGB where options need the layers.",
                    place=Place(file=name),
                )
            )
        spots = spot_findings(document, name)
        if (not layers and not walk.findings) or document.color_mode not in _IN_LAYERS:
            merged = document.topil(apply_icc=False)
            if merged is not None:
                whole = Layer(image=merged, left=0, top=0, group="", opacity=1.0, veils=())
                layers = (whole,)
    return Layered(
        width=document.width,
        height=document.height,
        profile=_profile(document),
        layers=layers,
        groups=tuple(walk.names),
        hidden=tuple(walk.hidden),
        findings=(*walk.findings, *spots),
    )


def read_merged(
    path: Path, *, pixel_limit: int
) -> tuple[Image.Image, bytes | None, tuple[Finding, ...]]:
    """The picture of all shown layers that a PSD or PSB file holds, its profile, what it lacks.

    Parameters
    ----------
    path : Path
        The file.
    pixel_limit : int
        Most pixels; 1 or more. [px]

    Raises
    ------
    ArtworkError
        If it has more pixels than the limit, or holds no such picture.
    Exception
        Whatever the library raises on a damaged file.
    """
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        document = PSDImage.open(path, max_alloc_bytes=_MEMORY)
        _within(path.name, document.width * document.height, pixel_limit)
        merged = document.topil(apply_icc=False)
    if merged is None:
        raise ArtworkError(
            f"{path.name} holds its layers only, not the merged picture of them.",
            remedy="Save it with its merged picture (for the greatest compatibility), or as PNG.",
        )
    return merged, _profile(document), spot_findings(document, path.name)


def _within(name: str, pixels: int, limit: int) -> None:
    if pixels > limit:
        raise ArtworkError(
            f"{name} has {pixels / 1e6:.0f} million pixels in its layers; the limit is "
            f"{limit / 1e6:.0f} million.",
            remedy="Merge layers that no option needs apart, or save it smaller.",
        )
