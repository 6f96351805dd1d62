// Play, pause, seek, step; the clock, the words of the moment, the stops and what each did.

const SPEEDS = [1, 10, 60, 300, 1200, 3600];
const REST_MS = 400;

function byId(id) {
  return document.getElementById(id);
}

function add(parent, tag, text = "", className = "") {
  const made = document.createElement(tag);
  made.textContent = text;
  if (className) made.className = className;
  parent.append(made);
  return made;
}

class Player {
  constructor(run) {
    this.run = run;
    this.ms = run.from;
    this.place = -1;
    this.playing = false;
    this.speed = run.hours > 24 ? 1200 : 60;
    this.stop = -1;
    this.calm = matchMedia("(prefers-reduced-motion: reduce)").matches;
    const scenes = ["sheeting", "middle", "packing"].map(byId);
    this.line = new LineDrawing(run, scenes);
    this.strip = new Strip(run, byId("strip"));
    this.stations();
    this.moment();
    this.legend();
    this.list();
    this.controls();
    this.pointer();
    this.keys();
    new ResizeObserver(() => this.redraw()).observe(byId("strip-room"));
    this.redraw();
    this.go(run.from);
    this.line.crop();
    if (run["put in"] >= 0) this.choose(run["put in"]);
  }

  redraw() {
    const wide = byId("strip").clientWidth;
    if (wide === this.width) return;
    this.width = wide;
    this.strip.draw();
    this.line.crop();
  }

  // To a moment; nothing is drawn where it is the one that is drawn.
  go(ms) {
    const { run } = this;
    this.ms = Math.min(run.until, Math.max(run.from, ms));
    const place = lastAt(run.at, this.ms);
    for (const id of ["clock", "when"]) byId(id).textContent = clockOf(this.ms);
    const seek = byId("seek");
    seek.value = String(Math.round(this.ms));
    seek.setAttribute("aria-valuetext", clockOf(this.ms));
    this.strip.show(this.ms);
    if (place === this.place) return;
    this.place = place;
    this.line.show(place);
    this.showStations();
    this.showMoment();
    if (!this.playing) this.tell();
  }

  play(on) {
    if (on && this.ms >= this.run.until) this.go(this.run.from);
    this.playing = on;
    byId("play").textContent = on ? "Pause" : "Play";
    if (!on) {
      this.tell();
      return;
    }
    let before = performance.now();
    const step = (now) => {
      if (!this.playing) return;
      // Who wants little motion gets a picture twice a second.
      if (!this.calm || now - before >= 500) {
        this.go(this.ms + (now - before) * this.speed);
        before = now;
        this.follow();
      }
      if (this.ms >= this.run.until) this.play(false);
      else requestAnimationFrame(step);
    };
    requestAnimationFrame(step);
  }

  // The part of the run that is looked at goes along.
  follow() {
    const { strip } = this;
    if (this.ms >= strip.from && this.ms <= strip.until) return;
    const long = strip.until - strip.from;
    strip.look(long, this.ms + long / 2);
    strip.draw();
  }

  seek(ms) {
    this.go(ms);
    this.follow();
  }

  // Words for who cannot see the picture, when it has come to rest.
  tell() {
    clearTimeout(this.telling);
    this.telling = setTimeout(() => {
      const { run, place } = this;
      const words = (name) => run.texts[run.words[name][place]];
      byId("status").textContent =
        `At ${clockOf(this.ms)}: ${words("doing")}. On the bridge: ${words("bridge")}.`;
    }, REST_MS);
  }

  stations() {
    const host = byId("stations");
    this.chips = this.run.lanes
      .filter((lane) => this.line.machines[lane.name])
      .map((lane) => {
        const item = add(host, "li");
        const swatch = make(item, "svg", { viewBox: "0 0 24 14", "aria-hidden": "true" });
        const fill = new Machine(swatch, { x: 0.5, y: 0.5, width: 23, height: 13 });
        add(item, "strong", lane.title);
        return { lane, item, fill, words: add(item, "span") };
      });
  }

  showStations() {
    const { run, place } = this;
    for (const { lane, item, fill, words } of this.chips) {
      const look = lane.states[place];
      if (look === item.look) continue;
      item.look = look;
      fill.show(run, look);
      words.textContent = run.says[look];
      item.className = run.looks[look][1] ? "calm" : "";
    }
  }

  moment() {
    const { run } = this;
    const host = byId("moment");
    const rows = [["Speed", ["speed"]], ["Pockets", ["pockets"]]];
    if (run.plan.held) rows.push(["Overlap belt", ["belt"]]);
    rows.push(["Under way", ["sets"]]);
    run.plan.wrappers.forEach((title, number) => rows.push([title, [`wrapper ${number}`]]));
    if (run.texts[run.words.order[0]]) rows.unshift(["Order", ["order"]]);
    const reels = run.numbers["reel 0"] ? run.plan.webs : 0;
    if (reels) rows.push(["Reels", Array.from({ length: reels }, (_, web) => `reel ${web}`)]);
    if (run.plan.brought.length) rows.push(["Reels come", run.plan.brought]);
    this.rows = rows.map(([title, names]) => {
      const row = add(host, "div");
      add(row, "dt", title);
      return { names, words: add(row, "dd") };
    });
    const row = add(host, "div");
    add(row, "dt", "Out");
    this.out = add(row, "dd");
  }

  showMoment() {
    const { run, place } = this;
    for (const { names, words } of this.rows) {
      const said = names.map((name) => (run.words[name] ? run.texts[run.words[name][place]] : name));
      words.textContent = said.join(", ") || "–";
    }
    this.out.textContent = `${run.numbers.wrapped[place].toLocaleString("en-GB")} ${run.wrapped}`;
  }

  legend() {
    const { run } = this;
    const used = new Set(run.lanes.flatMap((lane) => lane.stretches.map(([, look]) => look)));
    const host = byId("legend");
    const seen = new Set();
    const entries = [...used].map((look) => [look, ...run.looks[look]]);
    entries.sort((one, other) => Number(one[2]) - Number(other[2]) || other[1] - one[1]);
    for (const [look, state, quiet] of entries) {
      const waits = quiet && run.states[state].hatch;
      const words = waits ? run.pace : run.states[state].words;
      if (seen.has(words)) continue;
      seen.add(words);
      const item = add(host, "li");
      const swatch = make(item, "svg", { viewBox: "0 0 24 14", "aria-hidden": "true" });
      new Machine(swatch, { x: 0.5, y: 0.5, width: 23, height: 13 }).show(run, look);
      add(item, "span", words);
    }
  }

  list() {
    const { run } = this;
    const { count, cause, lane, start, stood } = run.stops;
    const only = byId("cause");
    const names = [...new Set(cause)].map((text) => [run.texts[text], text]);
    names.sort(([one], [other]) => (one < other ? -1 : 1));
    for (const [text, number] of names) {
      const option = add(only, "option", text);
      option.value = String(number);
    }
    only.addEventListener("change", () => this.filter(Number(only.value)));
    const host = byId("stops");
    this.items = [];
    for (let stop = 0; stop < count; stop++) {
      const item = add(host, "li");
      const button = add(item, "button");
      button.type = "button";
      add(button, "span", clockOf(start[stop]), "when");
      add(button, "span", `${run.lanes[lane[stop]].title}: ${run.texts[cause[stop]]}`);
      add(button, "span", run.texts[stood[stop]], "long");
      button.addEventListener("click", () => this.choose(stop));
      this.items.push({ item, button });
    }
    byId("count").textContent = count.toLocaleString("en-GB");
    host.classList.toggle("many", count > 300);
    byId("no-stop").hidden = count > 0;
  }

  filter(cause) {
    this.items.forEach(({ item }, stop) => {
      item.hidden = cause >= 0 && this.run.stops.cause[stop] !== cause;
    });
  }

  // Look at a stop: its moment, its ripple on the strip, in words and as a table.
  choose(stop) {
    const { run, strip } = this;
    if (this.stop >= 0) this.items[this.stop].button.removeAttribute("aria-current");
    this.stop = strip.stop = stop;
    byId("back").disabled = stop < 0;
    byId("ripple").hidden = stop < 0;
    byId("no-ripple").hidden = stop >= 0;
    if (stop < 0) {
      strip.back();
      strip.draw();
      return;
    }
    const { start, until, told } = run.stops;
    const { item, button } = this.items[stop];
    button.setAttribute("aria-current", "true");
    const list = byId("stops");
    const down = item.offsetTop;
    if (down < list.scrollTop || down > list.scrollTop + list.clientHeight - 40) {
      list.scrollTop = down - list.clientHeight / 2;
    }
    this.go(start[stop]);
    strip.look(1.5 * until[stop], start[stop] + until[stop] / 2);
    strip.draw();
    byId("told").textContent = run.texts[told[stop]];
    const head = byId("heads");
    const body = byId("reached");
    head.replaceChildren();
    body.replaceChildren();
    for (const text of run.stops.heads) add(head, "th", text).scope = "col";
    for (const cells of run.stops.rows[stop]) {
      const row = add(body, "tr");
      for (const text of cells) add(row, "td", text);
    }
  }

  // The next stop after now, or the one before, of those that the list shows.
  step(forward) {
    const { start, count } = this.run.stops;
    const shown = (stop) => !this.items[stop].item.hidden;
    let stop = this.stop;
    if (stop < 0 || Math.abs(start[stop] - this.ms) > 1) {
      stop = forward ? -1 : count;
      for (let each = 0; each < count; each++) {
        if (forward && start[each] <= this.ms) stop = each;
        if (!forward && start[each] >= this.ms) {
          stop = each;
          break;
        }
      }
    }
    do stop += forward ? 1 : -1;
    while (stop >= 0 && stop < count && !shown(stop));
    if (stop >= 0 && stop < count) {
      this.play(false);
      this.choose(stop);
    }
  }

  faster(by) {
    const place = SPEEDS.indexOf(this.speed) + by;
    this.speed = SPEEDS[Math.min(SPEEDS.length - 1, Math.max(0, place))];
    byId("speed").value = String(this.speed);
  }

  closer(by) {
    const { strip } = this;
    strip.look((strip.until - strip.from) * by, this.ms);
    strip.draw();
  }

  controls() {
    const { run } = this;
    const speed = byId("speed");
    for (const each of SPEEDS) {
      const option = add(speed, "option", `${each.toLocaleString("en-GB")} ×`);
      option.value = String(each);
    }
    speed.value = String(this.speed);
    speed.addEventListener("change", () => {
      this.speed = Number(speed.value);
    });
    const seek = byId("seek");
    put(seek, { min: run.from, max: run.until });
    seek.addEventListener("input", () => this.seek(Number(seek.value)));
    byId("length").textContent = `${starts === null ? "of" : "until"} ${clockOf(run.until)}`;
    document.body.classList.toggle("dated", starts !== null);
    const clicks = {
      play: () => this.play(!this.playing),
      previous: () => this.step(false),
      next: () => this.step(true),
      earlier: () => this.seek(this.ms - 60000),
      later: () => this.seek(this.ms + 60000),
      back: () => this.choose(-1),
      closer: () => this.closer(0.5),
      farther: () => this.closer(2),
    };
    for (const [id, act] of Object.entries(clicks)) byId(id).addEventListener("click", act);
    const parts = byId("parts");
    const sheeter = run.lanes.some((lane) => lane.part);
    parts.parentElement.hidden = !sheeter;
    parts.addEventListener("change", () => {
      this.strip.withParts = parts.checked;
      this.strip.draw();
    });
  }

  pointer() {
    const host = byId("strip");
    const at = (event) => {
      const box = host.getBoundingClientRect();
      return this.strip.found(event.clientX - box.left, event.clientY - box.top);
    };
    const say = ({ ms, words }) => {
      byId("under").textContent = `${clockOf(ms)} ${words}`;
    };
    host.addEventListener("pointerdown", (event) => {
      const found = at(event);
      say(found);
      if (found.stop >= 0) {
        this.play(false);
        this.choose(found.stop);
      } else {
        this.go(found.ms);
        if (event.pointerType === "mouse") host.setPointerCapture(event.pointerId);
      }
    });
    host.addEventListener("pointermove", (event) => {
      const found = at(event);
      say(found);
      host.classList.toggle("stop", found.stop >= 0);
      if (host.hasPointerCapture(event.pointerId)) this.go(found.ms);
    });
  }

  keys() {
    const step = (ms) => () => this.seek(this.ms + ms);
    const acts = {
      " ": () => this.play(!this.playing),
      ArrowLeft: step(-1000),
      ArrowRight: step(1000),
      "shift ArrowLeft": step(-60000),
      "shift ArrowRight": step(60000),
      Home: () => this.seek(this.run.from),
      End: () => this.seek(this.run.until),
      n: () => this.step(true),
      p: () => this.step(false),
      "+": () => this.faster(1),
      "-": () => this.faster(-1),
      Escape: () => this.choose(-1),
    };
    document.addEventListener("keydown", (event) => {
      if (event.ctrlKey || event.altKey || event.metaKey) return;
      const { tagName, type } = event.target;
      // What a control does with a key of its own comes first.
      if (tagName === "SELECT" || (tagName === "INPUT" && type === "checkbox")) return;
      if (tagName === "BUTTON" && event.key === " ") return;
      const arrow = event.key.startsWith("Arrow");
      if (arrow && event.target.closest(".table")) return;
      const act = acts[event.shiftKey && arrow ? `shift ${event.key}` : event.key];
      if (!act) return;
      event.preventDefault();
      act();
    });
  }
}

new Player(unpacked(JSON.parse(byId("run").textContent)));
