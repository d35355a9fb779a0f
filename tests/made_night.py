"""Made photos of a made wall at night, whose truth is known: projector, lamps, chalk, phone.

Photometry, from memory and not checked: illuminance is lumens over area; a matt wall's luminance
is reflectance times illuminance over pi; the sensor of a phone at f/1.8 gets 0.218 of it in lux
and makes 4,600 electrons for each lux second and pixel of 12 million; read noise 2.5 electrons;
native contrast 400 : 1. Nothing here is taken from the program: poses and lens are written anew.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
CONTRAST, READ_NOISE, ELECTRONS, SENSOR = 400.0, 2.5, 4600.0, 0.218
ROOM = 0.8  # m of wall drawn around the picture


def turned(yaw: float, pitch: float, roll: float) -> Array:
    """Turn of a lens that looks square at the wall: axes right, down, ahead as rows. [rad]"""
    (a, b), (c, d), (e, f) = ((math.cos(x), math.sin(x)) for x in (yaw, pitch, roll))
    facing = np.array([[1.0, 0, 0], [0, -1.0, 0], [0, 0, -1.0]])
    sideways = np.array([[a, 0, -b], [0, 1, 0], [b, 0, a]])
    upwards = np.array([[1, 0, 0], [0, c, d], [0, -d, c]])
    level = np.array([[e, f, 0], [-f, e, 0], [0, 0, 1.0]])
    return level @ upwards @ sideways @ facing


def plane_matrix(axes: Array, place: Array, inner: Array) -> Array:
    """From chainage and level of a flat wall to pixels, (3, 3)."""
    made = inner @ axes @ np.column_stack([[1.0, 0, 0], [0, 1.0, 0], -place])
    return made / made[2, 2]


def camera_matrix(axes: Array, place: Array, inner: Array) -> Array:
    """From places in space to pixels, (3, 4)."""
    return inner @ axes @ np.column_stack([np.eye(3), -place])


def mapped(matrix: Array, points: Any) -> Array:
    return cv2.perspectiveTransform(
        np.asarray(points, np.float64).reshape(-1, 1, 2), matrix
    ).reshape(-1, 2)


@dataclass(frozen=True, kw_only=True)
class Profile:
    """A wall that is not flat: folded at a chainage, or curved about an upright axis.

    Chainage runs along the wall as a tape lies. Towards the viewer is positive.
    """

    at: float = 0.0  # chainage of the fold, or of where a curve touches the flat wall [m]
    fold: float = 0.0  # rad
    radius: float = math.inf  # m; its middle lies in front of the wall

    def space(self, places: Any) -> Array:
        """Places in space: along the flat wall, up, towards the viewer. [m]"""
        s, up = np.asarray(places, np.float64).reshape(-1, 2).T
        beyond = s - self.at
        if math.isfinite(self.radius):
            angle = beyond / self.radius
            return np.column_stack(
                [self.at + self.radius * np.sin(angle), up, self.radius * (1 - np.cos(angle))]
            )
        past = np.maximum(beyond, 0.0)
        return np.column_stack(
            [s - past * (1 - math.cos(self.fold)), up, past * math.sin(self.fold)]
        )

    def seen(self, camera: Array, places: Any) -> Array:
        """Pixels of places in a camera (3, 4) without bend."""
        space = self.space(places)
        made = np.column_stack([space, np.ones(len(space))]) @ camera.T
        return made[:, :2] / made[:, 2:]

    def places(self, camera: Array, flat: Array, px: Any, rounds: int = 40) -> Array:
        """Places that a camera sees at pixels, from those that it would see on a flat wall."""
        wanted = mapped(np.linalg.inv(flat), px)
        made = wanted.copy()
        for _ in range(rounds):
            made += wanted - mapped(np.linalg.inv(flat), self.seen(camera, made))
        return made


@dataclass(frozen=True, kw_only=True)
class Lamp:
    """A projector before the wall."""

    columns: int = 1920
    rows: int = 1080
    lumens: float = 3000.0
    px_from_wall: Array
    camera: Array | None = None  # (3, 4), where the wall is not flat
    profile: Profile | None = None

    def px(self, places: Any) -> Array:
        """Where places of the wall lie in its picture."""
        if self.profile is None or self.camera is None:
            return mapped(self.px_from_wall, places)
        return self.profile.seen(self.camera, places)

    def places(self, px: Any) -> Array:
        """Which places of the wall its pixels fall on. [m]"""
        if self.profile is None or self.camera is None:
            return mapped(np.linalg.inv(self.px_from_wall), px)
        return self.profile.places(self.camera, self.px_from_wall, px)

    @classmethod
    def aimed(
        cls, rng: np.random.Generator, *, away: float = 9.0, lumens: float = 3000.0,
        wild: float = 1, profile: Profile | None = None,
    ) -> Lamp:  # fmt: skip
        """Throw ratio 1.4, shifted up by half a picture, turned up to 8, 6 and 3.2 degrees."""
        yaw, pitch, roll = np.radians(rng.uniform([-8, -6, -3.2], [8, 6, 3.2]) * wild)
        focal = 1.4 * 1920
        inner = np.array([[focal, 0, 960.0], [0, focal, 1080.0], [0, 0, 1]])
        # Turned, it is moved sideways so that it still lights about the stretch it should.
        place = np.array([away * math.tan(yaw), 1.4 - away * math.tan(pitch) * 0.5, away])
        place[2] *= 1 + wild * rng.uniform(-0.1, 0.1)
        axes = turned(yaw, pitch, roll)
        return cls(
            lumens=lumens, px_from_wall=plane_matrix(axes, place, inner), profile=profile,
            camera=camera_matrix(axes, place, inner),
        )  # fmt: skip

    @property
    def outline(self) -> Array:
        """Corners of the lit patch on the wall. [m]"""
        w, h = self.columns, self.rows
        return self.places([(0, 0), (w, 0), (w, h), (0, h)])


@dataclass(frozen=True, kw_only=True)
class Phone:
    """A phone before the wall: where it stands, what it looks at, its lens, how it shakes."""

    matrix: Array  # wall to photo without the lens's bend
    width: int
    height: int
    bend: float = 0.0
    blur: float = 1.0  # px
    shake: float = 0.0  # px along a line
    exposure: float = 1 / 30  # s
    gain: float | None = None  # None: chosen by the phone
    quality: int = 90
    parts: int = 1  # places along each pixel that light is gathered at
    camera: Array | None = None  # (3, 4), where the wall is not flat
    profile: Profile | None = None

    @classmethod
    def standing(
        cls, middle: Array, away: float, *, width: int, oblique: float = 20.0, up: float = 1.6,
        fills: float = 7.6, **more: Any,
    ) -> Phone:  # fmt: skip
        """Before a place of the wall, so many degrees off square, so many metres in its width."""
        height = width * 3 // 4
        yaw = math.radians(oblique)
        place = np.array([middle[0] + away * math.sin(yaw), up, away * math.cos(yaw)])
        pitch = math.atan2(middle[1] - up, away)
        focal = width * away / fills
        inner = np.array([[focal, 0, width / 2], [0, focal, height / 2], [0, 0, 1]])
        axes = turned(-yaw, pitch, 0.01)
        return cls(
            matrix=plane_matrix(axes, place, inner), width=width, height=height,
            camera=camera_matrix(axes, place, inner), **more,
        )  # fmt: skip

    def photo_from_wall(self, places: Any) -> Array:
        """Where places of the wall are seen. [px]"""
        if self.profile is None or self.camera is None:
            straight = self._unit(mapped(self.matrix, places))
        else:
            straight = self._unit(self.profile.seen(self.camera, places))
        seen = straight.copy()
        for _ in range(30):
            seen = straight / (1 + self.bend * (seen**2).sum(axis=1, keepdims=True))
        return seen * self._half + self._middle

    def straight_from_photo(self, x: Any, y: Any) -> tuple[Any, Any]:
        """Pixels as a lens without bend would see them; the bend is given this way round."""
        u, v = (x - self.width / 2) / self._half, (y - self.height / 2) / self._half
        more = 1 + self.bend * (u * u + v * v)
        return u * more * self._half + self.width / 2, v * more * self._half + self.height / 2

    @property
    def _half(self) -> float:
        return math.hypot(self.width, self.height) / 2

    @property
    def _middle(self) -> Array:
        return np.array([self.width / 2, self.height / 2])

    def _unit(self, px: Array) -> Array:
        return (px - self._middle) / self._half


@dataclass(frozen=True, kw_only=True)
class Wall:
    """What is on the wall: paint, joints, chalk; drawn once, at a stated fineness."""

    low: Array  # lower left corner of what is drawn [m]
    fine: float  # m to a pixel
    reflectance: NDArray[np.float32]

    def hung(self, places: Any, rng: np.random.Generator, *, half: float = 0.085) -> Wall:
        """The same wall with a sheet of paper hung on each place: four squares, black upper left.

        Paper of 210 by 297 mm of reflectance 0.75, its black 0.06, hung up to 2 degrees crooked.
        """
        made = self.reflectance.copy()
        for x, y in np.asarray(places, np.float64).reshape(-1, 2).tolist():
            lean = math.radians(rng.uniform(-2, 2))
            turn = np.array([[math.cos(lean), -math.sin(lean)], [math.sin(lean), math.cos(lean)]])
            box = [(-0.105, -0.18), (0.105, -0.18), (0.105, 0.117), (-0.105, 0.117)]
            dark = [
                [(-half, 0.0), (0.0, 0.0), (0.0, half), (-half, half)],
                [(0.0, -half), (half, -half), (half, 0.0), (0.0, 0.0)],
            ]
            for ring, value in ((box, 0.75), (dark[0], 0.06), (dark[1], 0.06)):
                _fill(made, self.low, self.fine, (x, y) + np.array(ring) @ turn.T, value)
        return replace(self, reflectance=made)

    @classmethod
    def drawn(
        cls, rng: np.random.Generator, outline: Array, marks: Array, *, fine: float = 0.003,
        ground: float = 0.12, shapes: int = 14, joints: float = 0.25, lines: int = 4,
        arm: float = 0.075, stroke: float = 0.010, chalk: float = 0.55,
    ) -> Wall:  # fmt: skip
        low = outline.min(axis=0) - ROOM
        size = np.ceil((outline.max(axis=0) + ROOM - low) / fine).astype(int)
        made = np.full((size[1], size[0]), ground, np.float32)
        span = outline.max(axis=0) - outline.min(axis=0)
        for _ in range(shapes):
            centre = outline.min(axis=0) + rng.uniform(0, 1, 2) * span
            angles = np.sort(rng.uniform(0, 2 * math.pi, 9))
            reach = rng.uniform(0.15, 0.55, 9)
            blob = centre + reach[:, None] * np.column_stack([np.cos(angles), np.sin(angles)])
            _fill(made, low, fine, blob, float(rng.uniform(0.03, 0.7)))
        if joints:
            _brick(made, fine, joints)
        made *= (1 + 0.06 * rng.standard_normal(made.shape)).astype(np.float32)
        for _ in range(lines):
            at = outline.min(axis=0) + rng.uniform(0, 1, (2, 2)) * span
            _stroke(made, low, fine, at[0], at[1], 0.006, chalk, rng)
        for x, y in np.asarray(marks, np.float64).reshape(-1, 2).tolist():
            lean = np.radians(rng.normal(0, 2.0, 2))
            for angle in (lean[0], math.pi / 2 + lean[1]):
                along = np.array([math.cos(angle), math.sin(angle)])
                ends = arm * (1 + rng.normal(0, 0.08, 2))
                centre = np.array([x, y])
                _stroke(made, low, fine, centre - ends[0] * along, centre + ends[1] * along,
                        stroke * rng.uniform(0.8, 1.2), chalk, rng, patchy=0.2)  # fmt: skip
        return cls(low=low, fine=fine, reflectance=made)


def _px(low: Array, fine: float, places: Array) -> Array:
    return (places - low) / fine


def _fill(made: NDArray[np.float32], low: Array, fine: float, ring: Array, value: float) -> None:
    points = np.round(_px(low, fine, ring) * 16 - 8).astype(np.int32)
    cv2.fillPoly(made, [points], value, cv2.LINE_AA, 4)


def _brick(made: NDArray[np.float32], fine: float, depth: float) -> None:
    """Joints of 10 mm in courses of 75 mm, stretchers of 225 mm, every other course shifted."""
    rows = np.arange(made.shape[0]) * fine
    columns = np.arange(made.shape[1]) * fine
    course = np.floor(rows / 0.075).astype(int)
    bed = (rows % 0.075) < 0.010
    shifted = columns[None, :] + np.where(course % 2, 0.1125, 0.0)[:, None]
    made *= np.where(bed[:, None] | (shifted % 0.225 < 0.010), np.float32(1 - depth), 1.0)


def _stroke(
    made: NDArray[np.float32], low: Array, fine: float, start: Array, end: Array, width: float,
    value: float, rng: np.random.Generator, patchy: float = 0.35,
) -> None:  # fmt: skip
    """A line of chalk: it covers by the pixel what it crosses, in patches."""
    a, b = _px(low, fine, start), _px(low, fine, end)
    reach = width / fine
    x0, y0 = np.floor(np.minimum(a, b) - reach - 2).astype(int).clip(0)
    x1, y1 = np.ceil(np.maximum(a, b) + reach + 3).astype(int)
    part = made[y0:y1, x0:x1]
    if not part.size:
        return
    y, x = np.mgrid[y0 : y0 + part.shape[0], x0 : x0 + part.shape[1]] + 0.5
    along = (b - a) / np.linalg.norm(b - a)
    far = (x - a[0]) * along[0] + (y - a[1]) * along[1]
    off = np.abs((x - a[0]) * along[1] - (y - a[1]) * along[0])
    inside = (far > 0) & (far < np.linalg.norm(b - a))
    cover = np.clip(width / fine / 2 - off + 0.5, 0, 1) * inside
    cover *= np.clip(1 - patchy * rng.exponential(1, part.shape), 0.1, 1)
    part[:] = part * (1 - cover) + value * cover


@dataclass(frozen=True, kw_only=True)
class Night:
    """A wall, a projector, a phone and the light beside them."""

    lamp: Lamp
    phone: Phone
    wall: Wall
    ambient: float = 2.0  # lx
    street_lamp: float = 0.0  # lx more at the brightest place, falling off over 3 m
    hidden: tuple[tuple[Array, float], ...] = ()  # outlines in the photo and their brightness
    kept: dict[str, Any] = field(default_factory=dict, compare=False)

    @cached_property
    def _seen(self) -> tuple[Any, Any, Any, Any]:
        """Of each photo pixel: reflectance, projector pixel, light per lumen, light beside it."""
        phone, lamp, wall = self.phone, self.lamp, self.wall
        parts = phone.parts
        x, y = np.meshgrid(
            (np.arange(phone.width * parts, dtype=np.float32) + 0.5) / parts,
            np.arange(phone.height, dtype=np.float32) + 0.5,
        )
        x, y = (a.astype(np.float32) for a in phone.straight_from_photo(x, y))
        back = np.linalg.inv(phone.matrix).astype(np.float32)
        depth = back[2, 0] * x + back[2, 1] * y + back[2, 2]
        # What looks past the wall's horizon sees the wall's far end.
        depth = np.maximum(depth, np.float32(0.02 * abs(float(depth.mean()))))
        s = (back[0, 0] * x + back[0, 1] * y + back[0, 2]) / depth
        z = (back[1, 0] * x + back[1, 1] * y + back[1, 2]) / depth
        if phone.profile is not None and phone.camera is not None:
            s, z = _on_profile(phone.profile, phone.camera, back, s, z)
        rho = cv2.remap(
            wall.reflectance,
            ((s - wall.low[0]) / wall.fine - 0.5).astype(np.float32),
            ((z - wall.low[1]) / wall.fine - 0.5).astype(np.float32),
            cv2.INTER_LINEAR,
            borderMode=cv2.BORDER_REPLICATE,
        )
        h = lamp.px_from_wall.astype(np.float32)
        weight = h[2, 0] * s + h[2, 1] * z + h[2, 2]
        u = (h[0, 0] * s + h[0, 1] * z + h[0, 2]) / weight
        v = (h[1, 0] * s + h[1, 1] * z + h[1, 2]) / weight
        # Lux of a white pixel: its lumens over its area on the wall (determinant of a projective
        # map: det H / weight cubed).
        lit = lamp.lumens / (lamp.columns * lamp.rows) * abs(np.linalg.det(h)) / np.abs(weight) ** 3
        if lamp.profile is not None:
            # The light of a wall that is not flat is taken as that of the flat one behind it.
            shape = s.shape
            uv = lamp.px(np.column_stack([s.ravel(), z.ravel()])).astype(np.float32)
            u, v = uv[:, 0].reshape(shape), uv[:, 1].reshape(shape)
        beside = np.float32(self.ambient)
        if self.street_lamp:
            near = (s - s.mean() - 1.0) ** 2 + (z - z.mean() - 1.5) ** 2
            beside = self.ambient + self.street_lamp / (1 + near / 9.0)
        return (
            rho,
            ((u - 0.5).astype(np.float32), (v - 0.5).astype(np.float32)),
            np.float32(lit),
            beside,
        )

    def photo(self, frame: NDArray[np.uint8], rng: np.random.Generator) -> NDArray[np.uint8]:
        """A photo of a frame being shown, (rows, columns, 3)."""
        phone = self.phone
        rho, (u, v), lit, beside = self._seen
        light = np.where(frame == 0, 1 / CONTRAST, (frame / 255.0) ** 2.2).astype(np.float32)
        light = cv2.GaussianBlur(light, (0, 0), 0.45)
        shown = cv2.remap(light, u, v, cv2.INTER_LINEAR, borderValue=0.0)
        bright = rho * (lit * shown + beside) / math.pi
        if phone.parts > 1:
            size = (phone.width, phone.height)
            bright = cv2.resize(bright, size, interpolation=cv2.INTER_AREA)
        for outline, level in self.hidden:
            cv2.fillPoly(bright, [np.round(outline).astype(np.int32)], float(level), cv2.LINE_AA)
        x = (np.arange(phone.width) + 0.5) / phone.width - 0.5
        y = (np.arange(phone.height) + 0.5) / phone.width - 0.5 * phone.height / phone.width
        bright *= (1 - 0.5 * (x[None, :] ** 2 + y[:, None] ** 2)).astype(np.float32)
        bright = cv2.GaussianBlur(bright, (0, 0), phone.blur)
        if phone.shake:
            bright = _shaken(bright, phone.shake)
        pixel = 12e6 / (phone.width * phone.height)
        electrons = bright * np.float32(SENSOR * ELECTRONS * phone.exposure * pixel)
        noise = rng.standard_normal(electrons.shape, dtype=np.float32)
        electrons += noise * np.sqrt(np.maximum(electrons, 0) + READ_NOISE**2)
        gain = phone.gain
        if gain is None:
            gain = self.kept.setdefault("gain", 0.7 / float(np.percentile(electrons[::4, ::4], 99)))
        linear = np.clip(electrons * gain, 0, 1)
        encoded = np.where(
            linear <= 0.0031308,
            12.92 * linear,
            1.055 * np.maximum(linear, 1e-9) ** (1 / 2.4) - 0.055,
        )
        grey = np.round(255 * encoded).astype(np.uint8)
        _, packed = cv2.imencode(".jpg", grey, [cv2.IMWRITE_JPEG_QUALITY, phone.quality])
        return np.repeat(cv2.imdecode(packed, cv2.IMREAD_GRAYSCALE)[:, :, None], 3, axis=2)

    def moved(self, rng: np.random.Generator, px: float) -> Night:
        """The same night with the phone in a hand: turned by about so many pixels."""
        phone = self.phone
        angle = rng.normal(0, px / phone.width / 2)
        shift = rng.normal(0, px, 2)
        turn = np.array(
            [[math.cos(angle), -math.sin(angle), shift[0]],
             [math.sin(angle), math.cos(angle), shift[1]], [0, 0, 1]]
        )  # fmt: skip
        return replace(self, phone=replace(phone, matrix=turn @ phone.matrix), kept=dict(self.kept))


def _on_profile(
    profile: Profile, camera: Array, back: NDArray[np.float32], s: Any, z: Any
) -> tuple[Any, Any]:
    """Places that pixels see on a wall that is not flat, from those on the flat one behind it."""
    m = camera.astype(np.float32)
    wanted_s, wanted_z = s, z
    s, z = s.copy(), z.copy()
    for _ in range(14):
        if math.isfinite(profile.radius):
            angle = (s - np.float32(profile.at)) / np.float32(profile.radius)
            x = np.float32(profile.at) + np.float32(profile.radius) * np.sin(angle)
            out = np.float32(profile.radius) * (1 - np.cos(angle))
        else:
            past = np.maximum(s - np.float32(profile.at), 0)
            x = s - past * np.float32(1 - math.cos(profile.fold))
            out = past * np.float32(math.sin(profile.fold))
        a, b, c = (m[k, 0] * x + m[k, 1] * z + m[k, 2] * out + m[k, 3] for k in range(3))
        a, b = a / c, b / c
        depth = back[2, 0] * a + back[2, 1] * b + back[2, 2]
        s += wanted_s - (back[0, 0] * a + back[0, 1] * b + back[0, 2]) / depth
        z += wanted_z - (back[1, 0] * a + back[1, 1] * b + back[1, 2]) / depth
    return s, z


def _shaken(bright: NDArray[np.float32], length: float) -> NDArray[np.float32]:
    size = int(length) | 1
    kernel = np.zeros((size, size), np.float32)
    cv2.line(kernel, (0, size // 3), (size - 1, size - 1 - size // 3), 1.0)
    return cv2.filter2D(bright, -1, kernel / kernel.sum())


def leaves_and_posts(
    rng: np.random.Generator, width: int, height: int, share: float
) -> tuple[tuple[Array, float], ...]:
    """Dark posts and leaves before about a share of the photo."""
    made: list[tuple[Array, float]] = []
    covered = np.zeros((height // 8, width // 8), np.uint8)
    while covered.mean() < share:
        if len(made) < 2:
            x, wide = rng.uniform(0.15, 0.85) * width, 0.016 * width
            ring = np.array([(x, 0), (x + wide, 0), (x + wide, height), (x, height)])
        else:
            middle = rng.uniform(0, 1, 2) * (width, height)
            angles = np.linspace(0, 2 * math.pi, 7)[:-1] + rng.uniform(0, 1)
            reach = rng.uniform(0.01, 0.045, 6) * width
            ring = middle + reach[:, None] * np.column_stack([np.cos(angles), np.sin(angles)])
        made.append((ring, float(rng.uniform(0.0, 0.1))))
        cv2.fillPoly(covered, [np.round(ring / 8).astype(np.int32)], 1)
    return tuple(made)


@dataclass(frozen=True, kw_only=True)
class Scene:
    """A night, the marks on its wall, and where a plan has them in the picture."""

    night: Night
    marks: Array  # chainage and level [m]
    px: Array  # where they truly are in the projector's picture
    planned: Array  # where they would be if it stood as planned
    pitch: float  # m to a pixel, as planned
    relief: Array  # how far the wall is off a plane over how far it is from the lens, as planned
    changes: Array | None = None  # of place and that with a metre along and up, (n, 2, 3)

    def aimed_at(self, kind: Any) -> list[Any]:
        """The marks as a plan has them, M00 and so on."""
        made = []
        for number, ((x, y), off) in enumerate(
            zip(self.planned.tolist(), self.relief.tolist(), strict=True)
        ):
            more = {}
            if self.changes is not None:
                more = dict(zip(("along", "up"), map(tuple, self.changes[number]), strict=True))
            made.append(kind(name=f"M{number:02d}", x_px=x, y_px=y, relief=off, **more))
        return made

    def shots(
        self, positive: Any, negative: Any, rng: np.random.Generator, *, held: float = 0.0,
        white: bool = True,
    ) -> tuple[Any, Any, Any]:  # fmt: skip
        """Photos of a pattern, of its negative where there is one, and of white."""
        plain = np.full(positive.shape, 255, np.uint8)
        nights = [self.night.moved(rng, held) if held else self.night for _ in range(2)]
        return (
            self.night.photo(positive, rng),
            None if negative is None else nights[0].photo(negative, rng),
            nights[1].photo(plain, rng) if white else None,
        )

    def missed(self, x_px: Any, y_px: Any, at: Any) -> Array:
        """How far places found lie from the true ones of marks, on the wall. [m]"""
        lamp = self.night.lamp
        found = lamp.places(np.column_stack([x_px, y_px]))
        return np.hypot(*(found - lamp.places(self.px[list(at)])).T)


def scene(
    rng: np.random.Generator, *, away: float = 9.0, lumens: float = 3000.0, width: int = 1400,
    across: int = 4, down: int = 3, hidden: float = 0.0, bend: float = 0.02, blur: float = 0.8,
    oblique: float = 20.0, parts: int = 1, ground: float = 0.12, fills: float = 1.15,
    wild: float = 1.0, ambient: float = 2.0, street_lamp: float = 0.0, shapes: int = 14,
    lines: int = 4, shake: float = 0.0, exposure: float = 1 / 30, gain: float | None = None,
    fine: float = 0.003, hung: tuple[int, ...] = (),
    fold: float = 0.0, radius: float = math.inf, bent_at: float = 0.0,
) -> Scene:  # fmt: skip
    """A projector so far off, marks in a grid to the picture's rim, a phone beside it.

    A wall folds by so many rad, or is curved, so far right of the picture's middle.
    """
    lamp = Lamp.aimed(rng, away=away, lumens=lumens, wild=wild)
    profile = None
    if fold or math.isfinite(radius):
        middle = float(lamp.places([(lamp.columns / 2, lamp.rows / 2)])[0, 0])
        profile = Profile(at=middle + bent_at, fold=fold, radius=radius)
        lamp = replace(lamp, profile=profile)
    outline = lamp.outline
    x = np.linspace(0.036, 0.964, across) * lamp.columns
    y = np.linspace(0.056, 0.944, down) * lamp.rows
    px = np.array([(a, b) for b in y for a in x])
    marks = lamp.places(px)
    wall = Wall.drawn(rng, outline, marks, ground=ground, fine=fine, shapes=shapes, lines=lines)
    wall = wall.hung(marks[list(hung)], rng) if hung else wall
    wide = float(np.ptp(outline[:, 0]))
    phone = Phone.standing(
        outline.mean(axis=0), 0.95 * away, width=width, oblique=oblique, fills=wide * fills,
        bend=bend, blur=blur, parts=parts, shake=shake, exposure=exposure, gain=gain,
        profile=profile,
    )  # fmt: skip
    posts = leaves_and_posts(rng, phone.width, phone.height, hidden) if hidden else ()
    night = Night(lamp=lamp, phone=phone, wall=wall, hidden=posts, ambient=ambient,
                  street_lamp=street_lamp)  # fmt: skip
    # Planned square on, throw ratio 1.4, the picture's foot at the lens.
    pitch = away / 1.4 / lamp.columns
    planned = np.column_stack(
        [marks[:, 0] / pitch + lamp.columns / 2, lamp.rows - (marks[:, 1] - 1.4) / pitch]
    )
    relief, changes = np.zeros(len(marks)), None
    if profile is not None:
        # Planned before a wall that was read 50 mm, 1 degree and a tenth of its radius wrong.
        told = replace(
            profile, at=profile.at + 0.05, radius=1.1 * radius,
            fold=fold + math.copysign(math.radians(1), fold) * (fold != 0),
        )  # fmt: skip
        straight = Lamp.aimed(rng, away=away, wild=0, profile=told)

        def deep(places: Array) -> Array:
            space = told.space(places)
            ahead = space @ straight.camera[2, :3] + straight.camera[2, 3]
            return np.column_stack([straight.px(places), space[:, 2] / ahead])

        here = deep(marks)
        planned, relief = here[:, :2], here[:, 2]
        changes = np.stack([deep(marks + step) - here for step in np.eye(2) / 1000], axis=1) * 1000
    return Scene(
        night=night, marks=marks, px=px, planned=planned, pitch=pitch, relief=relief,
        changes=changes,
    )  # fmt: skip
