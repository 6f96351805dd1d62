// What stands in a strip besides its lanes: the orders above them, the reams on the bridge and the
// reams out below. Each has its words for the moment that is pointed at. Of a run with a stop put
// in, the same run without it is a thin line.

const plain = (value) => value.toLocaleString("en-GB");

// Lowest and highest value in each column.
function extremes(strip, { low, high }) {
  const { at } = strip.run;
  const count = Math.floor(strip.wide);
  const each = (strip.until - strip.from) / count;
  const found = [];
  for (let column = 0; column < count; column++) {
    const begin = lastAt(at, strip.from + column * each);
    const end = Math.max(begin + 1, lastAt(at, strip.from + (column + 1) * each));
    let least = Infinity;
    let most = -Infinity;
    for (let place = begin; place < end && place < at.length; place++) {
      least = Math.min(least, low[place]);
      most = Math.max(most, high[place]);
    }
    found.push({ least, most });
  }
  return found;
}

// What a curve is, above it: on a narrow page each part in a line of its own.
function heading(strip, picture, { top }, parts) {
  const lines = strip.narrow ? parts : [parts.join(", ")];
  strip.headings.push([top - 19 - 15 * (lines.length - 1), top - 3]);
  lines.forEach((words, line) => {
    const y = top - 7 - 15 * (lines.length - 1 - line);
    make(picture, "text", { x: strip.left, y, class: "f-ink small bold" }, words);
  });
}

// The first of some words that has room; none where none has.
function fitting(element, choices, room) {
  for (const words of choices) {
    element.textContent = words;
    if (element.getComputedTextLength() <= room) return;
  }
  element.remove();
}

// From begun to done, and above that when each is due. A late one is hatched from when it was due.
function drawOrders(strip, picture) {
  const { run, left, wide } = strip;
  const { top, tall } = strip.orders;
  const half = tall / 2;
  const inside = (ms) => Math.min(left + wide, Math.max(left, strip.x(ms)));
  run.orders.forEach(({ begun, done, due, late, titles }, place) => {
    if (begun === null) return;
    const x = inside(begun);
    const width = inside(done ?? run.until) - x;
    if (width <= 0) return;
    const box = { x, y: top + half, width, height: half };
    make(picture, "rect", { ...box, class: `order ${place % 2 ? "odd" : ""}` });
    if (late) {
      const from = Math.min(x + width, Math.max(x, inside(due)));
      const rest = { ...box, x: from, width: x + width - from };
      make(picture, "rect", { ...rest, fill: "url(#on-ink-left)", class: "waits" });
    }
    make(picture, "rect", { ...box, class: `f-none ${late ? "s-down" : "s-accent"}` });
    const middle = { x: x + width / 2, y: top + 1.5 * half + 4, "text-anchor": "middle" };
    fitting(make(picture, "text", { ...middle, class: "f-ink small over" }), titles, width - 6);
  });
  let free = left;
  const dues = run.orders.filter(({ due }) => due !== null).sort((one, two) => one.due - two.due);
  for (const { due, late, titles } of dues) {
    if (due < strip.from || due > strip.until) continue;
    const x = strip.x(due);
    make(picture, "line", {
      x1: x, x2: x, y1: top, y2: top + half, class: `due ${late ? "s-down" : "s-ink"}`,
    });
    // To the left of its line, so that it is read up to it.
    const at = { x: x - 4, y: top + half - 5, "text-anchor": "end" };
    const words = make(picture, "text", { ...at, class: `small ${late ? "f-down" : "f-ink"}` });
    const name = late ? titles[1].replace(/, late$/, "") : titles[0];
    fitting(words, [`${name} due`, "due"], x - 4 - free);
    if (words.isConnected) free = x + 4;
  }
}

function orderWords(run, ms) {
  const made = run.orders.filter(({ begun, done }) => {
    return begun !== null && begun <= ms && ms <= (done ?? run.until);
  });
  return made.map(({ says }) => says).join("; ") || "no order";
}

function drawLevel(strip, picture) {
  const { run, left, wide } = strip;
  const { top, tall } = strip.level;
  const { places, levels } = run.plan;
  const { without } = run;
  const all = [run.curves, ...(without ? [without.curves] : [])];
  const most = Math.max(places, ...all.map(({ high }) => high.reduce((a, b) => Math.max(a, b), 1)));
  const y = (reams) => top + tall - (reams / most) * tall;
  const said = [`reams on the bridge, room for ${plain(places)}`];
  if (without) said.push(`${without.title}: thin line`);
  heading(strip, picture, strip.level, said);
  const foot = (right) => `${right.toFixed(1)},${y(0)} ${left},${y(0)}`;
  const first = lastAt(run.at, strip.from);
  const last = lastAt(run.at, strip.until);
  if (4 * (last - first) < wide) {
    // So near that every moment of the file has room: steps.
    const steps = (level) => {
      const points = [];
      for (let place = first; place <= last; place++) {
        const from = Math.max(left, strip.x(run.at[place]));
        const until = place < last ? strip.x(run.at[place + 1]) : left + wide;
        const up = y(level[place]).toFixed(1);
        points.push(`${from.toFixed(1)},${up} ${until.toFixed(1)},${up}`);
      }
      return points.join(" ");
    };
    const points = steps(run.curves.level);
    make(picture, "polygon", { points: `${points} ${foot(left + wide)}`, class: "f-band" });
    make(picture, "polyline", { points, class: "f-none s-accent thick" });
    if (without) make(picture, "polyline", { points: steps(without.curves.level), class: "without" });
  } else {
    const found = extremes(strip, run.curves);
    const up = found.map(({ most: reams }, column) => `${left + column},${y(reams).toFixed(1)}`);
    const down = found.map(({ least }, column) => `${left + column},${y(least).toFixed(1)}`);
    const below = `${down.join(" ")} ${foot(left + found.length - 1)}`;
    make(picture, "polygon", { points: below, class: "f-band" });
    const area = `${up.join(" ")} ${down.reverse().join(" ")}`;
    make(picture, "polygon", { points: area, class: "f-accent s-accent between" });
    if (without) make(picture, "path", { d: edges(strip, found, y), class: "without" });
  }
  // Words that would lie on each other go down; a line leads from them to their level.
  let free = 0;
  for (const [reams, words] of [[places, `full ${places}`], ...[...levels].reverse()]) {
    const up = y(reams);
    make(picture, "line", { x1: left, x2: left + wide, y1: up, y2: up, class: "s-quiet dashed" });
    if (strip.narrow) continue;
    free = Math.max(free, up + 4);
    const at = { x: left - 18, y: free, "text-anchor": "end" };
    make(picture, "text", { ...at, class: "f-quiet tiny" }, words);
    make(picture, "line", { x1: left - 15, x2: left, y1: free - 4, y2: up, class: "s-quiet" });
    free += 13;
  }
}

// Of the run without the stop only where it differs, and where it swings only how far: as a band
// it would hide the run.
function edges(strip, shown, y) {
  const found = extremes(strip, strip.run.without.curves);
  const calm = ({ least, most }) => least === most;
  let path = "";
  found.forEach((column, place) => {
    const { least, most } = column;
    if (least === shown[place].least && most === shown[place].most) return;
    const x = strip.left + place;
    for (const end of calm(column) ? [least] : [least, most]) path += `M${x} ${y(end).toFixed(1)}h1`;
    const before = found[place - 1];
    if (!before || !(calm(before) || calm(column))) return;
    const low = y(Math.min(least, before.least)).toFixed(1);
    path += `M${x} ${low}V${y(Math.max(most, before.most)).toFixed(1)}`;
  });
  return path;
}

function levelWords({ curves, without, at }, ms) {
  const place = lastAt(at, ms);
  const other = without ? `, ${without.title} ${plain(without.curves.level[place])}` : "";
  return `reams on the bridge ${plain(curves.level[place])}${other}`;
}

function drawReams(strip, picture) {
  const { run, left } = strip;
  const { top, tall } = strip.out;
  const { good, promised } = run.curves;
  const { at, without } = run;
  const first = lastAt(at, strip.from);
  const last = lastAt(at, strip.until);
  const sum = (values) => values[last] - values[first];
  const lines = [[promised, "f-none s-quiet dashed"], [good, "f-none s-good thick"]];
  if (without) lines.splice(1, 0, [without.curves.good, "without"]);
  const most = Math.max(1, ...lines.map(([values]) => sum(values)));
  const since = strip.from > run.from ? ` since ${clockOf(strip.from)}` : "";
  const said = [
    `good reams ${plain(sum(good))}${since}`,
    `nameplate ${plain(sum(promised))} (dashed)`,
  ];
  if (without) said.push(`${without.title} ${plain(sum(without.curves.good))} (thin)`);
  heading(strip, picture, strip.out, said);
  for (const [values, look] of lines) {
    const points = [];
    for (let column = 0; column <= 400; column++) {
      const ms = strip.from + ((strip.until - strip.from) * column) / 400;
      const reams = values[lastAt(at, ms)] - values[first];
      points.push(`${strip.x(ms).toFixed(1)},${(top + tall - (reams / most) * tall).toFixed(1)}`);
    }
    make(picture, "polyline", { points: points.join(" "), class: look });
  }
}

function reamsWords({ curves, without, at }, ms) {
  const place = lastAt(at, ms);
  const other = without ? `, ${without.title} ${plain(without.curves.good[place])}` : "";
  return `good reams so far ${plain(curves.good[place])}${other}`;
}
