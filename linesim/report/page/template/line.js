// The line drawn as it is at a moment, in three pictures that stand side by side or below each
// other: reels to knives, pockets to bridge, wrappers and what is behind them.

const SVG = "http://www.w3.org/2000/svg";
const FLOW = 98;

function make(parent, name, attributes, text) {
  const made = document.createElementNS(SVG, name);
  put(made, attributes);
  if (text !== undefined) made.textContent = text;
  parent.append(made);
  return made;
}

function put(element, attributes) {
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
}

// What is filled by a state: its colour, and its hatch above it.
class Machine {
  constructor(parent, attributes, shape = "rect") {
    this.fill = make(parent, shape, attributes);
    this.hatch = make(parent, shape, { ...attributes, fill: "none" });
  }

  show(run, look) {
    const [state, quiet] = run.looks[look];
    const waits = quiet && run.states[state].hatch;
    this.fill.setAttribute("class", `f-${waits ? "running" : run.states[state].look} s-quiet`);
    const hatch = run.states[state].hatch;
    put(this.hatch, {
      fill: hatch ? `url(#on-${waits ? "ink" : "hatch"}-${hatch})` : "none",
      class: waits ? "waits" : "",
    });
  }
}

// Words below each other, about the middle.
function name(parent, x, y, text, size = 12) {
  text.split(" ").forEach((word, line) => {
    const place = { x, y: y + line * (size + 1), "text-anchor": "middle", "font-size": size };
    make(parent, "text", { ...place, class: "f-ink" }, word);
  });
}

class LineDrawing {
  constructor(run, hosts) {
    this.run = run;
    this.machines = {};
    [this.sheeting, this.middle, this.packing] = hosts;
    this.reels();
    this.onWebs();
    this.pockets();
    this.bridge();
    this.wrappers();
    this.behind();
  }

  machine(station, parent, attributes) {
    this.machines[station] = new Machine(parent, attributes);
  }

  reels() {
    const { webs, spares, largest, core } = this.run.plan;
    const parent = this.sheeting;
    const pitch = 176 / (webs + spares);
    this.scale = Math.min(0.94 * pitch, 84) / largest;
    const axis = 172 - (largest * this.scale) / 2;
    const gap = Math.min(4, 32 / webs);
    this.reelParts = [];
    for (let place = 0; place < webs + spares; place++) {
      const x = 8 + (place + 0.5) * pitch;
      const round = { cx: x, cy: axis };
      if (place >= webs) {
        const r = (largest * this.scale) / 2;
        make(parent, "circle", { ...round, r, class: "f-none s-faint", "stroke-dasharray": "3 3" });
        continue;
      }
      const reel = make(parent, "circle", { ...round, class: "f-paper s-web" });
      const hub = Math.max(2, (core * this.scale) / 2);
      make(parent, "circle", { ...round, r: hub, class: "f-quiet" });
      const web = make(parent, "polyline", { class: "f-none s-web web" });
      this.reelParts.push({ reel, web, x, axis, level: 18 + gap * place });
    }
    this.machine("unwind", parent, { x: 8, y: 174, width: 176, height: 9 });
    name(parent, 96, 198, "unwind");
  }

  onWebs() {
    const stations = this.run.plan["on webs"];
    const parent = this.sheeting;
    const wide = 220 / stations.length;
    this.webEnd = 196;
    stations.forEach((station, place) => {
      const x = 194 + wide * place;
      this.machine(station, parent, { x: x + 2, y: FLOW - 24, width: wide - 4, height: 48 });
      const lane = this.run.lanes.find((each) => each.name === station);
      name(parent, x + wide / 2, FLOW + 40, lane ? lane.title : station);
    });
    this.web = make(parent, "line", {
      x1: 194, x2: 194 + wide * (stations.length - 1), y1: FLOW, y2: FLOW, class: "s-web web",
    });
    const knives = stations.indexOf("cutter");
    if (knives >= 0) {
      const x = 194 + wide * (knives + 0.5);
      const round = { cx: x, r: 7, class: "f-card s-ink" };
      for (const y of [FLOW - 9, FLOW + 9]) make(parent, "circle", { ...round, cy: y });
      make(parent, "line", { x1: x, x2: x, y1: FLOW - 8, y2: FLOW + 8, class: "s-down knife" });
    }
    const belt = stations.indexOf("overlap_belt");
    if (belt >= 0) {
      this.belt = { x: 194 + wide * belt + 5, wide: wide - 10 };
      this.sheets = make(parent, "path", { class: "f-none s-web web" });
    }
  }

  pockets() {
    const parent = this.middle;
    const most = this.run.plan.most;
    const tall = Math.min(150, 26 * most + 6);
    this.frame = { x: 8, y: FLOW - tall / 2, width: 84, height: tall };
    this.machine("pockets", parent, this.frame);
    this.pocketParts = Array.from({ length: most }, () => ({
      room: make(parent, "rect", { class: "f-card s-ink" }),
      paper: make(parent, "rect", { class: "f-paper s-web" }),
    }));
    const bottom = FLOW + tall / 2;
    name(parent, 50, bottom + 16, "pockets");
    const rails = { x1: 96, x2: 156, class: "s-faint" };
    make(parent, "line", { ...rails, y1: FLOW - tall / 2, y2: FLOW - tall / 2 });
    make(parent, "line", { ...rails, y1: bottom, y2: bottom });
    this.gripped = make(parent, "path", { class: "f-paper s-web" });
    this.machine("transfer", parent, { x: 0, y: FLOW - tall / 2 - 6, width: 8, height: tall + 12 });
    name(parent, 128, bottom + 16, "transfer");
  }

  bridge() {
    const { places, tracks, levels } = this.run.plan;
    const parent = this.middle;
    const tall = Math.min(84, 30 * tracks);
    const rows = Math.max(1, Math.ceil(places / tracks));
    const pitch = 244 / rows;
    this.beltOf = { left: 168, right: 412, top: FLOW - tall / 2, each: tall / tracks, pitch, tracks };
    this.machine("bridge", parent, { x: 168, y: FLOW - tall / 2, width: 244, height: tall });
    let marks = "";
    for (let row = 1; pitch >= 5 && row < rows; row++) {
      marks += `M${(412 - row * pitch).toFixed(1)} ${FLOW - tall / 2}v${tall}`;
    }
    make(parent, "path", { d: marks, class: "s-faint" });
    this.reams = make(parent, "path", { class: "f-paper s-web" });
    this.level = make(parent, "text", {
      x: 290, y: FLOW - tall / 2 - 9, "text-anchor": "middle", "font-size": 13, class: "f-ink level",
    });
    levels.forEach(([reams, words], row) => {
      const x = Math.max(168, 412 - (reams / tracks) * pitch);
      const y = FLOW + tall / 2;
      make(parent, "line", { x1: x, x2: x, y1: y - tall, y2: y + 6 + 14 * row, class: "s-accent" });
      const left = x < 320;
      make(parent, "text", {
        x: left ? x + 4 : x - 4, y: y + 13 + 14 * row, "font-size": 12,
        "text-anchor": left ? "start" : "end", class: "f-accent",
      }, words);
    });
    name(parent, 290, Math.min(206, FLOW + tall / 2 + 20 + 14 * levels.length), "bridge");
  }

  wrappers() {
    const names = this.run.plan.wrappers;
    const parent = this.packing;
    const each = Math.min(90, 164 / names.length);
    const top = FLOW - (each * names.length) / 2;
    this.wrapperParts = names.map((station, place) => {
      const y = top + each * place + 3;
      const tall = each - 6;
      make(parent, "polyline", {
        points: `0,${FLOW} 8,${FLOW} 8,${y + tall / 2} 16,${y + tall / 2}`, class: "f-none s-quiet",
      });
      this.machine(station, parent, { x: 16, y, width: 116, height: tall });
      const box = { x: 30, y: y + 0.2 * tall, width: 88, height: 0.6 * tall };
      make(parent, "rect", { ...box, class: "f-card" });
      const paper = make(parent, "rect", { ...box, class: "f-paper" });
      const wrapped = make(parent, "rect", { ...box, class: "f-accent wrapped" });
      make(parent, "rect", { ...box, class: "f-none s-ink" });
      return { paper, wrapped, width: box.width };
    });
    const below = Math.min(206, top + each * names.length + 16);
    const words = names.length === 1 ? names[0] : `${names.length} wrappers`;
    short(make(parent, "text", {
      x: 74, y: below, "font-size": 12, "text-anchor": "middle", class: "f-ink",
    }), words, 22);
  }

  behind() {
    const places = this.run.plan.behind;
    const parent = this.packing;
    const wide = 146 / Math.max(1, places.length);
    let left = 132;
    places.forEach(([title, names], place) => {
      const x = 146 + wide * place;
      make(parent, "line", { x1: left, x2: x, y1: FLOW, y2: FLOW, class: "s-quiet" });
      const each = Math.min(60, 150 / names.length);
      const top = FLOW - (each * names.length) / 2;
      names.forEach((station, beside) => {
        const box = { x, y: top + each * beside + 2, width: wide - 10, height: each - 4 };
        this.machine(station, parent, box);
      });
      name(parent, x + (wide - 10) / 2, top + each * names.length + 15, title, 11);
      left = x + wide - 10;
    });
    make(parent, "path", {
      d: `M${left} ${FLOW}H${left + 14}m-5 -4l5 4l-5 4`, class: "f-none s-quiet",
    });
  }

  // No empty paper above and below: side by side as high as the highest, one below the other each
  // as high as what is in it. What moves stays between what stands.
  crop() {
    const hosts = [this.sheeting, this.middle, this.packing];
    const [first, second] = hosts.map((host) => host.getBoundingClientRect().left);
    const apart = first === second;
    const boxes = hosts.map((host) => host.getBBox());
    const ends = boxes.map(({ y, height }) => [y - 6, y + height + 6]);
    const highest = Math.min(...ends.map(([top]) => top));
    const lowest = Math.max(...ends.map(([, bottom]) => bottom));
    hosts.forEach((host, place) => {
      const [top, bottom] = apart ? ends[place] : [highest, lowest];
      const { width } = host.viewBox.baseVal;
      host.setAttribute("viewBox", `0 ${top.toFixed(1)} ${width} ${(bottom - top).toFixed(1)}`);
    });
  }

  show(place) {
    const { run } = this;
    const now = (column) => run.numbers[column][place];
    for (const lane of run.lanes) {
      const machine = this.machines[lane.name];
      if (machine) machine.show(run, lane.states[place]);
    }
    this.showReels(now);
    this.showPockets(now);
    this.showBridge(now("standing"), run.travelling[place]);
    this.level.textContent = run.texts[run.words.bridge[place]];
    this.wrapperParts.forEach(({ paper, wrapped, width }, number) => {
      const part = now(`wrapper ${number}`);
      paper.setAttribute("width", part < 0 ? 0 : width);
      wrapped.setAttribute("width", (width * Math.max(0, part)) / 100);
    });
  }

  showReels(now) {
    for (const [number, { reel, web, x, axis, level }] of this.reelParts.entries()) {
      const radius = (now(`reel ${number}`) * this.scale) / 2;
      reel.setAttribute("r", radius);
      const from = x - radius;
      const turn = `${from},${axis} ${from},${level + 5} ${from + 5},${level}`;
      web.setAttribute("points", `${turn} 186,${level} 194,${FLOW}`);
    }
    const stands = !now("moving");
    for (const part of this.sheeting.querySelectorAll(".web")) part.classList.toggle("stands", stands);
    if (!this.sheets) return;
    // Where sheets are held back they lie closer.
    const held = Math.min(1, now("belt cuts") / Math.max(1, this.run.plan.held));
    const dense = this.belt.x + this.belt.wide * (1 - held);
    let path = "";
    for (let x = this.belt.x; x < this.belt.x + this.belt.wide - 6; x += x < dense ? 7 : 2.5) {
      path += `M${x.toFixed(1)} ${FLOW + 3}l8 -5`;
    }
    this.sheets.setAttribute("d", path);
  }

  showPockets(now) {
    const lanes = now("lanes");
    const part = Math.min(1, now("pocket cuts") / now("cuts per ream"));
    const { x, y, width, height } = this.frame;
    const each = height / lanes;
    this.pocketParts.forEach(({ room, paper }, lane) => {
      const there = lane < lanes;
      const box = { x: x + 4, y: y + lane * each + 2.5, height: Math.max(0, each - 5) };
      put(room, { ...box, width: there ? width - 8 : 0 });
      put(paper, { ...box, width: there ? (width - 8) * part : 0 });
    });
    const grip = 94 + (58 * now("transfer")) / 20;
    this.machines.transfer.fill.setAttribute("x", grip);
    this.machines.transfer.hatch.setAttribute("x", grip);
    const reams = now("in its grip");
    const room = height / Math.max(reams, lanes);
    let path = "";
    for (let lane = 0; lane < reams; lane++) {
      path += `M${grip - 8} ${y + lane * room + 3}h24v${Math.max(1, room - 6)}h-24z`;
    }
    this.gripped.setAttribute("d", path);
  }

  showBridge(standing, travelling) {
    const { right, top, each, pitch, tracks } = this.beltOf;
    let path = "";
    const ream = (row, track) => {
      const x = right - (row + 1) * pitch + 0.08 * pitch;
      const y = top + track * each + 0.14 * each;
      path += `M${x.toFixed(1)} ${y.toFixed(1)}h${(0.84 * pitch).toFixed(2)}v${0.72 * each}`;
      path += `h${(-0.84 * pitch).toFixed(2)}z`;
    };
    for (let number = 0; number < standing; number++) {
      ream(Math.floor(number / tracks), number % tracks);
    }
    let number = standing;
    for (const [row, reams] of travelling) {
      for (let own = 0; own < reams; own++, number++) {
        ream(row + Math.floor(own / tracks), number % tracks);
      }
    }
    this.reams.setAttribute("d", path);
  }
}

// A text no longer than so many letters.
function short(element, text, most) {
  element.textContent = text.length > most ? `${text.slice(0, most - 1)}…` : text;
}
