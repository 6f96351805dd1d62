"""The colours of the page, by what they are for: on light paper and on a dark screen.

Calm on purpose: what runs is grey; colour is kept for what is lost, and hatches and words say the
same for those who see no colour. States have the colours that they have in the window: red down,
yellow and amber waiting for a neighbour, blue waiting for people or a reel, violet changed over.
"""

from __future__ import annotations

_BOTH = {
    "page": ("#fbfaf7", "#17191c"),
    "card": ("#ffffff", "#1f2226"),
    "ink": ("#22262b", "#e7e5e0"),
    "quiet": ("#5b6470", "#a3abb4"),
    "hatch": ("#000000", "#000000"),
    "faint": ("#d5d2ca", "#454b52"),
    "grid": ("#e8e5de", "#2e3338"),
    "accent": ("#275d7a", "#7fb6d3"),
    "band": ("#c9dbe4", "#2c4350"),
    "paper": ("#efe6d2", "#57503f"),
    "web": ("#b39a63", "#c4ab74"),
    "machine": ("#dfe3e6", "#3a4047"),
    "running": ("#d9dcdf", "#434a51"),
    "slowed": ("#b9c2ca", "#65717c"),
    "starved": ("#ecd06a", "#e3c65c"),
    "blocked": ("#d1862a", "#c27a26"),
    "down": ("#b02a3c", "#e2465a"),
    "changeover": ("#7a6aa8", "#8a78bd"),
    "people": ("#1f4e8c", "#2f6fc0"),
    "reel": ("#6fa3d8", "#86b8ec"),
    "rejects": ("#c78fa6", "#b97e96"),
    "planned": ("#efede7", "#292c30"),
    "good": ("#4f8a6b", "#6fae8c"),
    "warning": ("#fff3d6", "#3a3220"),
    "warning_edge": ("#b98a1c", "#d0a53c"),
}
LIGHT = {name: light for name, (light, _) in _BOTH.items()}
DARK = {name: dark for name, (_, dark) in _BOTH.items()}
