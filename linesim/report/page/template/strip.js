// The strip: what each station did over time, how full the bridge was, the reams that came out. In
// every column of a lane the states take the part of its time that they took, the loud ones first;
// what is loud and there at all is seen, and a stop is at least three wide while stops are few.

const LEAST_TALL = 2;
const LEAST_WIDE = 3;
const AXIS = 22;
const ORDERS = 40;
const STEPS_S = [5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 14400, 28800, 43200, 86400];

// Loud states, then waits for a slower station, then what is as planned.
function layersOf(run) {
  const found = run.loud.map((state) => ({ state, quiet: false }));
  for (const look of ["blocked", "starved", "slowed", "planned"]) {
    found.push({ state: run.states.findIndex((each) => each.look === look), quiet: true });
  }
  return found.map((layer) => {
    const { look, hatch } = run.states[layer.state];
    const { state } = layer;
    const isIt = ([of, quiet]) => of === state && quiet === layer.quiet;
    const looks = new Set(run.looks.flatMap((each, number) => (isIt(each) ? [number] : [])));
    return { ...layer, look, hatch, looks, waits: layer.quiet && hatch !== "" };
  });
}

// Of each column the part of its time that a layer takes; `edges` are their count, begin and end.
function sharesOf(lane, looks, { count, from, until }) {
  const shares = new Float64Array(count);
  const each = (until - from) / count;
  const { stretches, starts } = lane;
  for (let row = lastAt(starts, from); row < stretches.length; row++) {
    const [begin, look] = stretches[row];
    if (begin >= until) break;
    if (!looks.has(look)) continue;
    const end = row + 1 < stretches.length ? stretches[row + 1][0] : lane.end;
    const first = Math.max(0, (begin - from) / each);
    const last = Math.min(count, (end - from) / each);
    for (let column = Math.floor(first); column < last; column++) {
      shares[column] += Math.min(last, column + 1) - Math.max(first, column);
    }
  }
  return shares;
}

class Strip {
  constructor(run, host, chosen) {
    this.run = run;
    this.host = host;
    this.chosen = chosen;
    this.layers = layersOf(run);
    this.withParts = false;
    this.stop = -1;
    this.only = -1;
    for (const lane of run.lanes) lane.end = run.until;
    this.back();
  }

  back() {
    this.from = this.run.from;
    this.until = this.run.until;
  }

  // Look at so much of the run about a moment.
  look(length, middle) {
    const { from, until } = this.run;
    const long = Math.min(until - from, Math.max(60000, length));
    this.from = Math.max(from, Math.min(until - long, middle - long / 2));
    this.until = this.from + long;
  }

  lanes() {
    const parts = this.run.lanes.some((lane) => lane.name === "sheeter");
    return this.run.lanes.filter((lane) => !lane.part || !parts || this.withParts);
  }

  // The lane in which a station is shown: a part of the sheeter in the sheeter's.
  laneOf(number) {
    const shown = this.rows.findIndex(({ lane }) => lane === this.run.lanes[number]);
    if (shown >= 0) return shown;
    return this.rows.findIndex(({ lane }) => lane.name === "sheeter");
  }

  x(ms) {
    return this.left + ((ms - this.from) / (this.until - this.from)) * this.wide;
  }

  ms(x) {
    const part = Math.min(1, Math.max(0, (x - this.left) / this.wide));
    return this.from + part * (this.until - this.from);
  }

  draw() {
    const width = Math.max(240, Math.floor(this.host.clientWidth));
    const narrow = width < 620;
    this.narrow = narrow;
    this.left = narrow ? 2 : 126;
    this.wide = width - this.left - (narrow ? 2 : 8);
    const lanes = this.lanes();
    const tall = width > 1500 ? 30 : 24;
    const head = narrow ? 17 : 0;
    const { run } = this;
    const orders = run.orders.length ? ORDERS : 0;
    this.orders = { top: AXIS + head, tall: orders, words: (ms) => orderWords(run, ms) };
    const above = AXIS + (orders ? orders + head + 9 : 0);
    this.rows = lanes.map((lane, place) => {
      return { lane, top: above + place * (tall + head + 7) + head, tall };
    });
    const below = above + lanes.length * (tall + head + 7);
    const high = width > 1500 ? 110 : 80;
    const more = run.without ? 15 : 0;
    const first = below + 22 + (narrow ? more : 0);
    this.level = { top: first, tall: high, words: (ms) => levelWords(run, ms) };
    const out = first + high + 30 + (narrow ? 15 + more : 0);
    this.out = { top: out, tall: high, words: (ms) => reamsWords(run, ms) };
    this.height = this.out.top + this.out.tall + 6;
    this.host.replaceChildren();
    const picture = make(this.host, "svg", {
      viewBox: `0 0 ${width} ${this.height}`, width, height: this.height, "aria-hidden": "true",
    });
    this.axis(picture);
    this.headings = [];
    if (orders) this.title(picture, this.orders, "orders", true);
    if (orders) drawOrders(this, picture);
    for (const row of this.rows) this.lane(picture, row);
    drawLevel(this, picture);
    drawReams(this, picture);
    this.ripple(picture);
    // It leaves the words out.
    const d = this.headings.reduce((way, [above, below]) => `${way}V${above}M0 ${below}`, "");
    this.cursor = make(picture, "path", {
      d: `M0 ${AXIS - 6}${d}V${this.height}`, class: "cursor f-none",
    });
    this.show(this.now ?? this.run.from);
  }

  show(ms) {
    this.now = ms;
    const inside = ms >= this.from && ms <= this.until;
    const transform = `translate(${this.x(ms)})`;
    put(this.cursor, { transform, visibility: inside ? "visible" : "hidden" });
  }

  axis(picture) {
    if (starts !== null && !this.narrow) {
      const day = { x: this.left - 24, y: 12, "text-anchor": "end", class: "f-quiet small" };
      make(picture, "text", day, dayOf(this.from));
    }
    const seconds = (this.until - this.from) / 1000;
    const most = this.wide / 74;
    const every = 1000 * (STEPS_S.find((each) => seconds / each <= most) ?? 172800);
    let taken = -Infinity;
    for (let ms = Math.ceil(this.from / every) * every; ms <= this.until; ms += every) {
      const x = this.x(ms);
      make(picture, "line", { x1: x, x2: x, y1: AXIS - 6, y2: this.height, class: "s-grid" });
      const anchor = x < this.left + 24 ? "start" : x > this.left + this.wide - 24 ? "end" : "middle";
      const said = markOf(ms);
      if (anchor === "end" && x - taken < 100) continue;
      taken = x;
      make(picture, "text", { x, y: 12, "text-anchor": anchor, class: "f-quiet small" }, said);
    }
  }

  title(picture, { top, tall }, words, loud) {
    const at = this.narrow
      ? { x: this.left, y: top - 4 }
      : { x: this.left - 8, y: top + tall / 2 + 4, "text-anchor": "end" };
    const label = make(picture, "text", { ...at, class: `${loud ? "f-ink" : "f-quiet"} small` });
    short(label, words, this.narrow ? 40 : 17);
  }

  lane(picture, row) {
    const { lane, top, tall } = row;
    this.title(picture, row, lane.title, !lane.part);
    const ground = { x: this.left, y: top, width: this.wide, height: tall };
    make(picture, "rect", { ...ground, class: "f-running" });
    const count = Math.floor(this.wide);
    const floor = new Float64Array(count);
    for (const layer of this.layers) {
      const range = { count, from: this.from, until: this.until };
      const shares = sharesOf(lane, layer.looks, range);
      if (!layer.quiet) this.mark(lane, layer.state, shares);
      const path = this.columns(shares, floor, layer, top, tall);
      if (!path) continue;
      const look = layer.waits ? "f-running" : `f-${layer.look}`;
      make(picture, "path", { d: path, class: look });
      const strokes = layer.waits ? "ink" : "hatch";
      const fill = layer.hatch ? `url(#on-${strokes}-${layer.hatch})` : "none";
      make(picture, "path", { d: path, fill, class: layer.waits ? "waits" : "" });
    }
  }

  // Stops too short to be seen at their length, while they are few.
  mark(lane, state, shares) {
    const { run } = this;
    const { start, length, lane: where } = run.stops;
    const each = (this.until - this.from) / shares.length;
    const found = [];
    for (let stop = 0; stop < run.stops.count; stop++) {
      const own = run.lanes[where[stop]];
      const here = own === lane || (own.part && lane.name === "sheeter");
      if (!here || run.stops.state[stop] !== state) continue;
      const middle = start[stop] + length[stop] / 2;
      if (length[stop] >= LEAST_WIDE * each || middle < this.from || middle >= this.until) continue;
      found.push(Math.floor((middle - this.from) / each));
    }
    if (found.length > shares.length / (3 * LEAST_WIDE)) return;
    for (const column of found) {
      for (let beside = -1; beside <= 1; beside++) {
        if (column + beside >= 0 && column + beside < shares.length) shares[column + beside] = 1;
      }
    }
  }

  // Columns on top of what lies there, those of one height together.
  columns(shares, floor, layer, top, tall) {
    let path = "";
    for (let first = 0; first < shares.length; ) {
      const share = shares[first];
      if (share <= 0) {
        first++;
        continue;
      }
      const low = floor[first];
      let last = first;
      while (last < shares.length && shares[last] === share && floor[last] === low) last++;
      const least = layer.quiet ? 0 : LEAST_TALL;
      const high = Math.min(tall, low + Math.max(least, share * tall));
      floor.fill(high, first, last);
      if (high > low) {
        const y = (top + tall - high).toFixed(2);
        path += `M${this.left + first} ${y}h${last - first}v${(high - low).toFixed(2)}h${first - last}z`;
      }
      first = last;
    }
    return path;
  }

  // Frames around the stop looked at and what waited for it.
  ripple(picture) {
    if (this.stop < 0) return;
    const { start, length, lane } = this.run.stops;
    const begun = start[this.stop];
    const frames = this.run.stops.reached[this.stop].map(([where, after, long]) => {
      return [where, begun + after, long, "reached"];
    });
    frames.push([lane[this.stop], begun, length[this.stop], "stopped"]);
    for (const [where, from, long, look] of frames) {
      const row = this.rows[this.laneOf(where)];
      if (!row || from > this.until || from + long < this.from) continue;
      const x = Math.max(this.left - 2, this.x(from) - 2);
      const end = Math.min(this.left + this.wide + 2, this.x(from + long) + 2);
      make(picture, "rect", {
        x, y: row.top - 2, width: Math.max(5, end - x), height: row.tall + 4, class: `frame ${look}`,
      });
    }
  }

  // What lies at a place of the picture: moment, lane, and the stop shown there if there is one.
  found(x, y) {
    const ms = this.ms(x);
    const at = ({ top, tall }) => y >= top - 3 && y <= top + tall + 3;
    const row = this.rows.find(at);
    if (!row) {
      const other = [this.orders, this.level, this.out].find((each) => each.tall && at(each));
      return { ms, words: other ? other.words(ms) : "", stop: -1 };
    }
    const near = ((this.until - this.from) / this.wide) * 4;
    const { start, length, lane } = this.run.stops;
    let stop = -1;
    let nearest = Infinity;
    for (let each = 0; each < this.run.stops.count; each++) {
      const own = this.run.lanes[lane[each]];
      if (own !== row.lane && !(own.part && row.lane.name === "sheeter")) continue;
      const away = Math.max(start[each] - ms, ms - start[each] - length[each], 0);
      if (away <= near && away < nearest) {
        stop = each;
        nearest = away;
      }
    }
    const look = row.lane.stretches[lastAt(row.lane.starts, ms)][1];
    return { ms, words: `${row.lane.title}: ${this.run.says[look]}`, stop };
  }
}
