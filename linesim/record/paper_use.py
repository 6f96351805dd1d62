"""Where the paper went, by mass."""

from __future__ import annotations

from dataclasses import dataclass

from linesim.record.record import Record

_UG_PER_KG = 1e9
REJECT_WORDS = {
    "after_stop": "after a stop",
    "spoiled": "as spoiled by a stop",
    "no_room": "for want of room",
    "splice": "at a splice",
    "joint": "at a mill joint",
    "defect": "for a defect",
}

_LOST_WORDS = {
    "edge_trim": "edge trim",
    "broken": "lost in web breaks",
    "spoiled": "spoiled before the knives",
    "butts": "left on the cores",
}


@dataclass(frozen=True)
class PaperUse:
    """Paper used in the counted time, in kg.

    Sheets count at the mean mass of the sheets that passed the gate. ``on_the_line_kg`` is what
    was added to the work on the line behind the gate; negative where that became less.
    """

    good_reams_kg: float
    on_the_line_kg: float
    lost_kg: dict[str, float]
    """Everything else, by where it was lost."""
    avoidable_kg: float
    """Of that, what need not be lost: without the trim of the sheets that passed, and without the
    sheets above the count. Those are part of the paper of a ream."""

    @property
    def used_kg(self) -> float:
        """Paper taken off the reels for good, without what is still on the line."""
        return self.good_reams_kg + sum(self.lost_kg.values())

    @property
    def waste_fraction(self) -> float:
        """Paper not in good reams by paper used, both without the work still on the line."""
        return sum(self.lost_kg.values()) / self.used_kg if self.used_kg > 0 else 0.0

    @property
    def avoidable_fraction(self) -> float:
        """What need not be lost, by paper used; the rest is paper of the good reams."""
        return self.avoidable_kg / self.used_kg if self.used_kg > 0 else 0.0


def paper_use(record: Record) -> PaperUse:
    """Mass of paper in good reams, and lost in each way.

    Sheets above the ream count are lost as "given away".
    """
    books = record.books
    mass = {what: ug / _UG_PER_KG for what, ug in books.mass_ug.items()}
    passed = books.sheets.to_pockets
    sheet_kg = mass.get("to_pockets", 0.0) / passed if passed else 0.0
    ordered = record.scenario.product.sheets_per_ream
    webs = record.scenario.unwind.webs
    extra = -(-ordered // webs) * webs - ordered
    reams = books.reams
    lost = {
        "given away above the count": reams.good * extra * sheet_kg,
        "reams lost": reams.lost * (ordered + extra) * sheet_kg,
        "cleared out of pockets": books.sheets.spoiled * sheet_kg,
    }
    rejected_um = sum(books.paper.rejected.values())
    for reason, length in sorted(books.paper.rejected.items()):
        share = length / rejected_um if rejected_um else 0.0
        words = REJECT_WORDS.get(reason, reason.replace("_", " "))
        lost[f"rejected {words}"] = share * mass.get("rejected", 0.0)
    for what, words in _LOST_WORDS.items():
        lost[words] = mass.get(what, 0.0)
    good = reams.good * ordered * sheet_kg
    behind_gate = good + sum(lost[name] for name in list(lost)[:3])
    passed_kg = mass.get("to_pockets", 0.0)
    cut_kg = passed_kg + mass.get("rejected", 0.0)
    kept_kg = passed_kg - lost["reams lost"] - lost["cleared out of pockets"]
    of_reams = lost["given away above the count"]
    of_reams += lost["edge trim"] * kept_kg / cut_kg if cut_kg else 0.0
    return PaperUse(good, passed_kg - behind_gate, lost, sum(lost.values()) - of_reams)
