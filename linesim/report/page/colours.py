"""The colours of the page, by what they are for: on light paper and on a dark screen.

Calm on purpose: what runs is grey; colour is kept for what is lost, and hatches and words say the
same for those who see no colour.
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
    "starved": "#8fb0c9",
    "blocked": "#e0b36a",
    "down": "#b9483f",
    "changeover": "#8d77b0",
    "people": "#c78fa6",
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
    "starved": "#5f8cab",
    "blocked": "#c4924a",
    "down": "#d9695f",
    "changeover": "#a08bc4",
    "people": "#b97e96",
    "planned": "#292c30",
    "good": "#6fae8c",
    "warning": "#3a3220",
    "warning_edge": "#d0a53c",
}
