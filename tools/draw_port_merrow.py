"""Draw the artwork of the demo wall, `examples/port-merrow/artwork/tideline.svg`.

One artwork unit is one millimetre on the wall; x is the chainage, and the upper edge of the
drawing lies at level 3.20 m.  The same file comes out at every run.

    python tools/draw_port_merrow.py
"""

from __future__ import annotations

from pathlib import Path

from port_merrow import birds_flying, birds_standing, harbour, scene, seaweed
from port_merrow.curves import number
from port_merrow.marks import Elements, blade, stroke
from port_merrow.tides import canvas, ribbon, sea, swelling

WIDTH, HEIGHT = 78600, 3300
TARGET = Path(__file__).parents[1] / "examples" / "port-merrow" / "artwork" / "tideline.svg"

PAINTS = {
    "haze": "#CFDAD6",
    "tide": "#86B3B4",
    "deep": "#1F4B60",
    "ink": "#13202B",
    "kelp": "#94802F",
    "ember": "#D8512A",
    "foam": "#F7F3E7",
}
LINED = ("ink", "ember", "foam", "deep")


def style() -> str:
    rules = [f".{paint}{{fill:{tone}}}" for paint, tone in PAINTS.items()]
    rules += [f".{paint}-line{{stroke:{PAINTS[paint]}}}" for paint in LINED]
    rules.append(".line{fill:none;stroke-linecap:round;stroke-linejoin:round}")
    return "<style>\n" + "\n".join(rules) + "\n</style>"


def motifs() -> dict[str, Elements]:
    straps = (
        (-0.80, 1000, 92),
        (-0.50, 1400, 100),
        (-0.20, 1650, 104),
        (0.08, 1620, 104),
        (0.36, 1350, 100),
        (0.66, 950, 92),
    )
    low_straps = (
        (-0.80, 760, 84),
        (-0.42, 1050, 92),
        (-0.04, 1180, 96),
        (0.34, 980, 92),
        (0.70, 640, 84),
    )
    return {
        "heron": birds_standing.heron(),
        "heron-hunting": birds_standing.heron_hunting(),
        "curlew": birds_standing.curlew(),
        "curlew-probing": birds_standing.curlew_probing(),
        "oystercatcher": birds_standing.oystercatcher(),
        "oystercatcher-feeding": birds_standing.oystercatcher_feeding(),
        "redshank": birds_standing.redshank(),
        "heron-flying": birds_flying.heron_flying(),
        "curlew-up": birds_flying.curlew_flying_up(),
        "curlew-down": birds_flying.curlew_flying_down(),
        "oystercatcher-flying": birds_flying.oystercatcher_flying(),
        "dunlin-up": birds_flying.dunlin_up(),
        "dunlin-down": birds_flying.dunlin_down(),
        "dunlin-glide": birds_flying.dunlin_glide(),
        "sail-far": harbour.sail_far(),
        "dinghy": harbour.dinghy(),
        "mussel": harbour.mussel(),
        "cockle": harbour.cockle(),
        "star": harbour.starfish(),
        "oarweed-tall": seaweed.oarweed(520, 0.5, straps, 0.05),
        "oarweed-low": seaweed.oarweed(300, 0.75, low_straps, 0.12),
        "sugar-tall": seaweed.sugar_kelp(2150, 300, 0.35, 0.13, 0.6),
        "sugar-low": seaweed.sugar_kelp(1350, 220, 0.5, 0.14, 0.1),
        "eelgrass": seaweed.eelgrass(1200, 7, 0.5, 0.1),
        "wrack": seaweed.bladder_wrack(900),
        "fine": seaweed.fine_fronds(1200, 0.5),
    }


def transform(chainage: float, level: float, scale: float, flip: bool, turn: float) -> str:
    x, y = canvas(chainage, level)
    parts = [f"translate({number(round(x))} {number(round(y))})"]
    if flip:
        parts.append(f"scale({-scale:g} {scale:g})")
    elif scale != 1:
        parts.append(f"scale({scale:g})")
    if turn:
        parts.append(f"rotate({turn:g})")
    return " ".join(parts)


def use(placing: scene.Placing, paint: str = "") -> str:
    motif, chainage, level, scale, options = placing
    inherited = f' class="{paint}"' if paint else ""
    where = transform(
        chainage, level, scale, bool(options.get("flip")), float(str(options.get("turn", 0)))
    )
    mark = f'<use{inherited} href="#motif-{motif}" transform="{where}"/>'
    return f'<g id="{options["id"]}">{mark}</g>' if "id" in options else mark


def placed(
    name: str,
    elements: Elements,
    chainage: float,
    level: float,
    scale: float = 1.0,
    flip: bool = False,
    turn: float = 0.0,
) -> str:
    where = transform(chainage, level, scale, flip, turn)
    return f'<g id="{name}" transform="{where}">' + "\n".join(elements) + "</g>"


def group(name: str, elements: Elements, paint: str = "") -> str:
    inherited = f' class="{paint}"' if paint else ""
    return f'<g id="{name}"{inherited}>\n' + "\n".join(elements) + "\n</g>"


def band(paint: str, data: str) -> str:
    return f'<path class="{paint}" d="{data}"/>'


def tide_far() -> Elements:
    return [
        *(band("foam", swelling(knots)) for knots in scene.SKY_FOAM),
        *(band("tide", swelling(knots)) for knots in scene.SKY_TIDE),
        band("tide", sea(scene.HORIZON)),
        *(band("haze", swelling(knots)) for knots in scene.FAR_GLINTS),
    ]


def tide_mid() -> Elements:
    return [
        band("deep", sea(scene.NEAR)),
        *(band(paint, swelling(knots)) for paint, knots in scene.NEAR_LINES),
    ]


SUN = (31.7, 1.62, 0.98)


def sun() -> Elements:
    x, y = canvas(*SUN[:2])
    centre = f'cx="{number(x)}" cy="{number(y)}"'
    disc = f'<circle class="ember" {centre} r="{number(SUN[2] * 1000)}"/>'
    return [
        f'<g clip-path="url(#above-horizon)">{disc}</g>',
        *(
            blade("ember", f"{x - a} {y + d}, {x + b} {y + d + 6}, {x + c} {y + d}", 0, size, 0)
            for a, b, c, d, size in (
                (1500, -60, 1250, 560, 64),
                (820, 160, 1120, 715, 56),
                (620, -120, 560, 800, 46),
            )
        ),
    ]


LUGGER = (17.4, 0.61, 0.94)
TRAWLER = (43.2, 0.98, 0.92)


def boats() -> Elements:
    return [
        use(("sail-far", 29.5, 1.17, 0.66, {})),
        use(("sail-far", 33.7, 1.18, 0.4, {"flip": True})),
        use(("sail-far", 73.1, 1.54, 0.5, {"flip": True})),
        placed("lugger", harbour.lugger(), *LUGGER, turn=-3.4),
        placed(
            "post-slip",
            [
                '<g transform="translate(-330 0)">',
                *harbour.post(900, 70),
                "</g>",
                '<g transform="translate(330 0)">',
                *harbour.post(790, -60),
                "</g>",
                *harbour.post(1330, 10),
                stroke("ink", 40, "-240 -700, 0 -640, 250 -620"),
            ],
            20.55,
            0.5,
        ),
        placed(
            "post-buoy",
            [
                *harbour.post(1560, -30),
                stroke("ink", 30, "-22 -1360, -18 -1180"),
                '<g transform="translate(-14 -960) rotate(8) scale(1.15)">',
                *harbour.life_buoy(),
                "</g>",
            ],
            26.05,
            0.42,
        ),
        placed("dinghy-slip", harbour.dinghy(), 28.4, 0.475, 1.06),
        stroke("ink", 34, "26060 1720, 26420 2310, 26900 2450, 27460 2300"),
        placed("trawler", harbour.trawler(), *TRAWLER, turn=-3.4),
        placed("bell-buoy", harbour.bell_buoy(), 53.75, 0.87, 1.0, turn=7),
        placed("post-steps", harbour.post(760, 20), 62.0, 0.86),
        use(("dinghy", 63.5, 0.96, 0.74, {"flip": True, "id": "dinghy-steps"})),
    ]


def flock() -> Elements:
    """The far flock: dense at its head, thinning to stragglers."""
    kinds = ("dunlin-up", "dunlin-glide", "dunlin-down", "dunlin-up", "dunlin-down")
    birds: list[tuple[float, float, float]] = []
    trial = 0
    while len(birds) < 34 and trial < 6000:
        trial += 1
        u, v = (trial * 0.754877666) % 1, (trial * 0.569840291) % 1
        along = u**1.4
        chainage = 66.4 + 7.7 * along
        level = 2.02 + 0.18 * along + (0.42 - 0.18 * along) * (2 * v - 1)
        room = 0.34 + 0.44 * along
        if all(
            ((chainage - x) / (1.4 * room)) ** 2 + ((level - y) / room) ** 2 > 1
            for x, y, _ in birds
        ):
            birds.append((chainage, level, 0.86 - 0.30 * along))
    return [
        use(
            (
                kinds[(3 * k) % 5],
                round(x, 2),
                round(y, 2),
                round(size, 2),
                {"flip": True, "turn": (-7, 4, -2, 9)[k % 4]},
            )
        )
        for k, (x, y, size) in enumerate(birds)
    ]


def rigging() -> Elements:
    return [
        placed(
            "lugger-rigging",
            [
                stroke("ink", 22, "905 -2230!, 2310 -705!", "2290 -690!, 1690 -170!"),
                stroke("ink", 22, "905 -2200!, 700 -420!", "905 -2200!, 1120 -450!"),
                stroke("ink", 20, "-905 -1780!, -1090 -430!", "-905 -1780!, -730 -410!"),
            ],
            *LUGGER,
            turn=-3.4,
        ),
        placed(
            "trawler-rigging",
            [
                stroke("ink", 22, "600 -2140!, 2380 -1030!", "600 -2140!, -1600 -1320!"),
                stroke("ink", 20, "600 -2080!, -410 -1710!", "-720 -1330!, -720 -1860!"),
            ],
            *TRAWLER,
            turn=-3.4,
        ),
    ]


def drawing() -> str:
    defs = "\n".join(
        f'<g id="motif-{name}">' + "\n".join(elements) + "</g>"
        for name, elements in motifs().items()
    )
    horizon = f'<path d="{sea(scene.HORIZON, 3.30)}"/>'
    size = f'width="{WIDTH // 10}" height="{HEIGHT // 10}"'
    layers = [
        group("tide-far", tide_far()),
        group("tide-mid", tide_mid()),
        group("sun", sun()),
        group("boats", boats()),
        group(
            "kelp",
            [
                group("kelp-back", [use(place) for place in scene.KELP_BACK], "deep"),
                group("kelp-front", [use(place) for place in scene.KELP], "kelp"),
            ],
        ),
        group("kelp-fine", [use(place) for place in scene.KELP_FINE], "kelp"),
        group("birds-standing", [use(place) for place in scene.STANDING]),
        group("birds-flying", [use(place) for place in scene.FLYING]),
        group("birds-far", flock()),
        group("rigging", rigging()),
        group("wrack", [use(place, "kelp") for place in scene.WRACK]),
        group("foam-line", [band("foam", ribbon(scene.FOAM_LINE))]),
    ]
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" {size} viewBox="0 0 {WIDTH} {HEIGHT}">',
            style(),
            f'<defs>\n<clipPath id="above-horizon">{horizon}</clipPath>\n{defs}\n</defs>',
            f'<rect id="ground" class="haze" width="{WIDTH}" height="{HEIGHT}"/>',
            *layers,
            "</svg>\n",
        ]
    )


def main() -> None:
    TARGET.parent.mkdir(parents=True, exist_ok=True)
    TARGET.write_text(drawing(), encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
