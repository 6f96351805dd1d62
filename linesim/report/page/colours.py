"""The colours of the page, by what they are for: on light paper and on a dark screen.

Calm on purpose: what runs is grey; colour is kept for what is lost, and hatches and words say the
same for those who see no colour. States have the colours that they have in the window: red down,
yellow and amber waiting for a neighbour, blue waiting for people or a reel, violet changed over.
"""

from __future__ import annotations

LIGHT = {
    "page": "#fbfaf7",
    "card": "#ffffff",
    "ink": "#22262b",
    "quiet": "#5b6470",
    "faint": "#d5d2ca",
    "grid": "#e8e5de",
    "accent": "#275d7a",
    "band": "#c9dbe4",
    "paper": "#efe6d2",
    "web": "#b39a63",
    "machine": "#dfe3e6",
    "running": "#d9dcdf",
    "slowed": "#b9c2ca",
    "starved": "#ecd06a",
    "blocked": "#d1862a",
    "down": "#b02a3c",
    "changeover": "#7a6aa8",
    "people": "#1f4e8c",
    "reel": "#6fa3d8",
    "rejects": "#c78fa6",
    "planned": "#efede7",
    "good": "#4f8a6b",
    "warning": "#fff3d6",
    "warning_edge": "#b98a1c",
}
DARK = {
    "page": "#17191c",
    "card": "#1f2226",
    "ink": "#e7e5e0",
    "quiet": "#a3abb4",
    "faint": "#454b52",
    "grid": "#2e3338",
    "accent": "#7fb6d3",
    "band": "#2c4350",
    "paper": "#57503f",
    "web": "#c4ab74",
    "machine": "#3a4047",
    "running": "#434a51",
    "slowed": "#65717c",
    "starved": "#e3c65c",
    "blocked": "#c27a26",
    "down": "#e2465a",
    "changeover": "#8a78bd",
    "people": "#2f6fc0",
    "reel": "#86b8ec",
    "rejects": "#b97e96",
    "planned": "#292c30",
    "good": "#6fae8c",
    "warning": "#3a3220",
    "warning_edge": "#d0a53c",
}
