"""The line as its scenario describes it, in two rows: from reels to pockets, then to its end.

A drawing of what there is, not to scale but for the bridge, whose places are counted out.
"""

from __future__ import annotations

import math

from linesim.record.capacity import SHEETER, TRANSFER, station_rates
from linesim.record.states import station_words
from linesim.report.page.drawing import Drawing, shortened
from linesim.report.plain import bridge_levels, brought_words, station_name
from linesim.scenario import Scenario
from linesim.scenario.people import crew_sizes
from linesim.statistics import counted, rough

_WIDTH, _HEIGHT = 960.0, 440.0
_FLOOR = 168.0
_WEB_Y = 44.0
_BELT_Y = 320.0
_LABEL = 30.0
"""Height of a name with a line of facts below it."""
_MOST_CELLS = 120
_MOST_WRAPPERS = 4
_CHANGES = {
    "standing_change": "standing reel change",
    "standstill_splice": "standstill splice",
    "flying_splice": "flying splice",
}


def line_drawing(scenario: Scenario) -> Drawing:
    """The line of a scenario as a drawing 960 wide, and 440 high or more."""
    height = _HEIGHT + _LABEL * max(0, len(scenario.end_places) - 2)
    drawing = Drawing(_WIDTH, height, f"The line of {scenario.line.name}", _description(scenario))
    rates = {rate.station: rate.rated for rate in station_rates(scenario)}
    _reels_and_webs(drawing, scenario)
    _knives(drawing, scenario, rates[SHEETER])
    _belt_and_pockets(drawing, scenario)
    _row_link(drawing)
    _transfer(drawing, scenario, rates[TRANSFER])
    _bridge(drawing, scenario)
    _wrappers(drawing, scenario, rates)
    _end_of_line(drawing, scenario)
    return drawing


def _description(scenario: Scenario) -> str:
    unwind, bridge = scenario.unwind, scenario.bridge
    parts = [
        f"{unwind.webs} webs from {unwind.stands} stands ({_CHANGES[unwind.change]})",
        *brought_words(scenario),
        f"slit into {scenario.slitter.lanes} lanes and cut at up to"
        f" {rough(scenario.cutter.web_speed_m_per_min)} m/min",
        f"a bridge of {scenario.bridge_places} places"
        + (f" with a stop level at {bridge.stop_at_reams}" if bridge.stop_at_reams else ""),
        "wrappers: "
        + ", ".join(f"{w.name} ({rough(w.rate_reams_per_min)} a minute)" for w in scenario.wrapper),
    ]
    for place, names in scenario.end_places.items():
        paces = [rough(scenario.end_of_line[name].pace_reams_per_min) for name in names]
        if len(names) == 1:
            article = "an" if names[0][0] in "aeiou" else "a"
            parts.append(f"{article} {station_words(names[0])} of {paces[0]} a minute")
            continue
        each = (f"{name} ({pace} a minute)" for name, pace in zip(names, paces, strict=True))
        parts.append(f"{station_name(scenario, place)}: " + ", ".join(each))
    return "From left to right, in two rows: " + "; ".join(parts) + "."


def _pace(rated: float) -> str:
    return f"{rough(rated)} reams/min" if math.isfinite(rated) else "in no time"


def _label(drawing: Drawing, x: float, y: float, name: str, *facts: str, room: float = 130) -> None:
    drawing.text(x, y, shortened(name, room, 13), anchor="middle", bold=True)
    for number, fact in enumerate(facts):
        text = shortened(fact, room, 11.5)
        drawing.text(x, y + 16 + 14 * number, text, "quiet", size=11.5, anchor="middle")


def _reels_and_webs(drawing: Drawing, scenario: Scenario) -> None:
    webs, pair = scenario.unwind.webs, scenario.unwind.stands_per_web == 2
    spares = scenario.unwind.spare_stands or 0
    step = 400.0 / (webs + spares)
    radius = min(30.0, step * (0.22 if pair else 0.4))
    hub, y = max(2.0, radius * 0.2), _FLOOR - radius
    drawing.line((16, _FLOOR), (424, _FLOOR), colour="faint", thick=2)
    for web in range(webs):
        middle = 20 + step * (web + 0.5)
        front = middle - (radius + 1.5 if pair else 0)
        height = _WEB_Y + _web_gap(scenario) * web
        drawing.circle(front, y, radius, "paper", "web", 1.2)
        drawing.circle(front, y, hub, "card", "quiet")
        if pair:
            drawing.circle(middle + radius + 1.5, y, radius, "", "web")
            drawing.circle(middle + radius + 1.5, y, hub, "", "quiet")
        turn = front + radius
        drawing.line((turn, y), (turn, height + 6), (turn + 6, height), (470, height), colour="web")
    for place in range(webs, webs + spares):
        middle = 20 + step * (place + 0.5)
        drawing.circle(middle, y, radius, "", "web")
        drawing.circle(middle, y, hub, "", "quiet")
    change = _CHANGES[scenario.unwind.change]
    stands = "a pair of stands each" if pair else "one stand each"
    if spares:
        stands += f" and {spares} spare"
    facts = [f"{stands}, {change}", *brought_words(scenario)]
    _label(drawing, 220, _FLOOR + 22, f"{webs} webs", *facts, room=400)


def _web_gap(scenario: Scenario) -> float:
    return min(3.0, 14.0 / scenario.unwind.webs)


def _knives(drawing: Drawing, scenario: Scenario, rated: float) -> None:
    top = _WEB_Y - 2
    bottom = _WEB_Y + _web_gap(scenario) * (scenario.unwind.webs - 1) + 2
    drawing.area((470, top), (640, top), (640, bottom), (470, bottom), fill="paper", stroke="web")
    for x, radius in ((492, 9), (566, 11)):
        drawing.rect(x - 24, 22, 48, _FLOOR - 22, "", "faint", round=4)
        drawing.circle(x, top - radius, radius, "machine", "quiet")
        drawing.circle(x, bottom + radius, radius, "machine", "quiet")
    drawing.line((566, top - 11), (566, top), colour="down", thick=2.5)
    drawing.line((566, bottom), (566, bottom + 11), colour="down", thick=2.5)
    _label(drawing, 492, _FLOOR + 22, "slitter", f"{scenario.slitter.lanes} lanes", room=80)
    speed = f"{rough(scenario.cutter.web_speed_m_per_min)} m/min"
    _label(drawing, 566, _FLOOR + 22, "cutter", speed, _pace(rated), room=118)
    drawing.line((630, bottom), (652, bottom + 34), colour="quiet", thick=2.5)
    drawing.rect(628, 112, 40, _FLOOR - 112, "planned", "faint", round=3)
    _label(drawing, 648, _FLOOR + 22, "gate", "rejects", room=70)


def _belt_and_pockets(drawing: Drawing, scenario: Scenario) -> None:
    top = _WEB_Y + 4
    drawing.rect(672, top, 120, 14, "machine", "quiet", round=7)
    for number in range(9):
        x = 680.0 + 12 * number
        drawing.line((x, top - 1), (x + 16, top - 7), colour="web", thick=2)
    held = f"holds {scenario.overlap_belt.hold_cuts:,} cuts"
    _label(drawing, 732, _FLOOR + 22, "overlap belt", held, room=100)
    lanes = scenario.slitter.lanes
    step = 132.0 / lanes
    for lane in range(lanes):
        x = 808 + step * lane
        width = step - min(6.0, step * 0.3)
        drawing.line((x, 96), (x, _FLOOR), (x + width, _FLOOR), (x + width, 96), colour="quiet")
        drawing.rect(x + 1.5, _FLOOR - 34, width - 3, 33, "paper", "web")
    drawing.line((792, top + 7), (800, 70), (946, 70), colour="web", thick=1.5, dashed=True)
    sheets = f"{scenario.product.sheets_per_ream} sheets a ream"
    pockets = counted(lanes, "pocket")
    _label(drawing, 874, _FLOOR + 22, pockets, sheets, room=150)


def _row_link(drawing: Drawing) -> None:
    y = 236.0
    drawing.line((946, 140), (954, 140), (954, y), (8, y), (8, _BELT_Y - 20), colour="faint")
    for x in (760.0, 480.0, 200.0):
        drawing.area((x + 5, y - 4), (x + 5, y + 4), (x - 4, y), fill="faint")
    drawing.area((4, _BELT_Y - 20), (12, _BELT_Y - 20), (8, _BELT_Y - 11), fill="faint")


def _transfer(drawing: Drawing, scenario: Scenario, rated: float) -> None:
    lanes = scenario.slitter.lanes
    drawing.rect(20, 256, 84, 8, "machine", "quiet", round=3)
    drawing.line((62, 264), (62, 278), colour="quiet", thick=3)
    step = 76.0 / lanes
    for lane in range(lanes):
        x = 24 + step * lane
        width = step - min(4.0, step * 0.25)
        drawing.line((x, 278), (x + width, 278), colour="quiet", thick=2)
        drawing.rect(x, 281, width, 26, "paper", "web")
    drawing.line((104, 294), (124, 294), colour="quiet")
    drawing.area((124, 290), (124, 298), (131, 294), fill="quiet")
    _label(drawing, 62, _BELT_Y + 46, "transfer", f"{lanes} at a time", _pace(rated), room=110)


def _bridge(drawing: Drawing, scenario: Scenario) -> None:
    places, bridge = scenario.bridge_places, scenario.bridge
    left, right = 142.0, 660.0
    width = right - left
    drawing.rect(left, _BELT_Y, width, 14, "machine", "quiet", round=7)
    # Beyond what can be told apart a cell stands for several places, and the label says so.
    each = -(-places // _MOST_CELLS)
    cells = -(-places // each)
    step = width / cells
    for cell in range(cells):
        gap = min(3.0, step * 0.25)
        drawing.rect(left + step * cell + gap / 2, _BELT_Y - 20, step - gap, 18, "", "web")
    shown = bridge_levels(scenario)
    # Reams queue before the wrappers: a level is counted from there. Each has a row of its own, in
    # such an order that no words cross another's mark.
    marks = [(right - width * min(1.0, value / places), words) for value, words in shown]
    marks.sort(key=lambda mark: mark[0] if mark[0] < right - 100 else -mark[0])
    for row, (x, said) in enumerate(marks):
        y = _BELT_Y - 27 - 13 * (len(marks) - 1 - row)
        drawing.line((x, y + 3), (x, _BELT_Y + 14), colour="accent", thick=1.5)
        if x < right - 100:
            drawing.text(x + 5, y + 5, said, "accent", size=11.5)
        else:
            drawing.text(x - 5, y + 5, said, "accent", size=11.5, anchor="end")
    facts = [f"{places:,} places" + (f", each cell {each} of them" if each > 1 else "")]
    if bridge.belt_speed_m_per_min:
        facts.append(f"belt {rough(bridge.belt_speed_m_per_min)} m/min")
    if not shown:
        facts.append("no levels: full, it stops the sheeter" if bridge.when_full == "wait" else "")
    _label(drawing, (left + right) / 2, _BELT_Y + 46, "bridge", *filter(None, facts), room=500)


def _wrappers(drawing: Drawing, scenario: Scenario, rates: dict[str, float]) -> None:
    wrappers = scenario.wrapper
    count = min(len(wrappers), _MOST_WRAPPERS)
    height = min(44.0, 100.0 / count)
    top = _BELT_Y - 6 - count * height / 2
    for number, wrapper in enumerate(wrappers[:count]):
        y = top + number * height
        drawing.line((660, _BELT_Y - 6), (682, y + height / 2 - 2), colour="quiet")
        drawing.rect(682, y, 122, height - 4, "machine", "quiet", round=4)
        rated = rates[wrapper.name]
        middle = y + (height - 4) / 2
        if height < 36:
            name = shortened(wrapper.name, 60, 12)
            drawing.text(688, middle + 4, name, size=12, bold=True)
            drawing.text(799, middle + 4, rough(rated), "quiet", size=11.5, anchor="end")
        else:
            name = shortened(wrapper.name, 116, 12)
            drawing.text(743, middle - 2, name, size=12, anchor="middle", bold=True)
            drawing.text(743, middle + 13, _pace(rated), "quiet", size=11.5, anchor="middle")
        drawing.line((804, middle), (826, _BELT_Y - 6), colour="quiet")
    facts = [f"rule: {scenario.divert.rule.replace('_', ' ')}"] if len(wrappers) > 1 else []
    if scenario.rework.places:
        facts.append(f"rework table: {scenario.rework.places}")
    label = "one wrapper" if len(wrappers) == 1 else f"{len(wrappers)} wrappers"
    if len(wrappers) > count:
        label += f", {count} drawn"
    below = max(_BELT_Y + 46, top + count * height + 16)
    _label(drawing, 743, below, label, *facts, room=180)


def _end_of_line(drawing: Drawing, scenario: Scenario) -> None:
    y, ends = _BELT_Y - 26, scenario.end_places
    fewest, most = crew_sizes(scenario)
    crew = f"crew of {most}" if fewest == most else f"crew of {fewest} to {most}"
    if not ends:
        drawing.line((826, y + 20), (936, y + 20), colour="quiet")
        drawing.area((936, y + 16), (936, y + 24), (944, y + 20), fill="quiet")
        _label(drawing, 890, _BELT_Y + 46, "off the line", crew, room=120)
        return
    step = 120 / len(ends)
    for number, (place, names) in enumerate(ends.items()):
        x, wide = 826 + step * number, step - 8
        part, high = wide / 112, 40 / len(names)
        for beside in range(len(names)):
            top, tall = y + beside * high, high if len(names) == 1 else 0.9 * high
            drawing.rect(x, top, wide, tall, "machine", "quiet", round=4)
            for ream in range(3):
                left = x + (14 + 30 * ream) * part
                drawing.rect(left, top + tall / 4, 22 * part, tall / 2, "paper", "web")
        tables = [scenario.end_of_line[name] for name in names]
        waiting = f"{tables[0].reams_waiting:,}"
        facts = [_pace(sum(table.pace_reams_per_min for table in tables)), f"{waiting} may wait"]
        if len(ends) > 1:
            facts = [f"{facts[0]}, room {waiting}"]
        if number == len(ends) - 1:
            facts.append(crew)
        room = 130.0 if len(ends) == 1 else 154.0
        below = _BELT_Y + 46 + _LABEL * number
        said = station_name(scenario, place)
        said = said if len(names) == 1 else f"{len(names)} {said}"
        _label(drawing, 882, below, said, *facts, room=room)
