"""What a belt holds: places one behind another, on tracks side by side."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Belt:
    """``pitch_mm`` is the length that one piece takes, ``tracks`` how many lie side by side."""

    pitch_mm: float
    tracks: int

    def places_within(self, length_m: float) -> int:
        """Pieces that fit on so many metres.

        >>> Belt(330.0, 2).places_within(6.6)
        40
        """
        return int(length_m * 1000 / self.pitch_mm + 1e-9) * self.tracks

    def length_for(self, places: int) -> float:
        """Length in m of the shortest belt with so many places.

        >>> Belt(330.0, 2).length_for(41)
        6.93
        """
        return -(-places // self.tracks) * self.pitch_mm / 1000
