// Plays a shared page without a browser: what its script asks of a page, and no more. Says as JSON
// what stands in the strip and beside it.

import { readFileSync } from "node:fs";

const html = readFileSync(process.argv[2], "utf-8");

class Element {
  constructor(tag) {
    Object.assign(this, { tag, attributes: {}, children: [], heard: {}, style: {}, text: "" });
    this.classList = { toggle() {} };
    this.viewBox = { baseVal: { width: 420 } };
    this.clientWidth = 900;
    this.offsetTop = this.scrollTop = this.clientHeight = 0;
  }
  setAttribute(name, value) {
    if (String(value).includes("NaN")) throw new Error(`${this.tag} ${name} ${value}`);
    this.attributes[name] = value;
  }
  removeAttribute(name) {
    delete this.attributes[name];
  }
  append(child) {
    child.parentElement = this;
    this.children.push(child);
  }
  remove() {
    this.parentElement.children = this.parentElement.children.filter((each) => each !== this);
    this.parentElement = null;
  }
  get isConnected() {
    return Boolean(this.parentElement);
  }
  replaceChildren() {
    this.children = [];
  }
  addEventListener(name, act) {
    this.heard[name] = act;
  }
  querySelectorAll() {
    return [];
  }
  getBBox() {
    return { x: 0, y: 20, width: 400, height: 150 };
  }
  getBoundingClientRect() {
    return { left: 0, top: 0 };
  }
  getComputedTextLength() {
    return 7 * this.text.length;
  }
  set textContent(text) {
    this.text = String(text);
    this.children = [];
  }
  get textContent() {
    return this.text + this.children.map((each) => each.textContent).join("");
  }
}

const ids = {};
for (const [, id] of html.matchAll(/ id="([\w-]+)"/g)) {
  ids[id] = new Element(id);
  ids[id].parentElement = new Element("parent");
}
ids.run.text = html.match(/<div hidden id="run">(.*?)<\/div>/s)[1].replaceAll("&#34;", '"')
  .replaceAll("&#39;", "'").replaceAll("&lt;", "<").replaceAll("&gt;", ">")
  .replaceAll("&amp;", "&");
globalThis.document = {
  body: new Element("body"),
  getElementById: (id) => ids[id],
  createElement: (tag) => new Element(tag),
  createElementNS: (_, tag) => new Element(tag),
  addEventListener() {},
};
globalThis.matchMedia = () => ({ matches: false });
globalThis.ResizeObserver = class {
  observe() {}
};
(0, eval)(html.match(/<script>(.*)<\/script>/s)[1]);

const look = () => {
  const [picture] = ids.strip.children;
  return {
    words: picture.children.filter(({ tag }) => tag === "text").map(({ text }) => text),
    without: picture.children.filter(({ attributes }) => attributes.class === "without").length,
    clock: ids.clock.text,
    told: ids.told.text,
    rows: ids.reached.children.map((row) => row.children.map(({ text }) => text)),
  };
};
const first = look();
ids.back.heard.click();
const all = look();
const pointed = (id, y) => {
  ids.strip.heard.pointermove({ clientX: 500, clientY: y, pointerId: 1 });
  return ids[id].text;
};
ids.strip.hasPointerCapture = () => false;
const under = Array.from({ length: 60 }, (_, place) => pointed("under", 10 * place));
console.log(JSON.stringify({ first, all, under: [...new Set(under)] }));
process.exit(0);
