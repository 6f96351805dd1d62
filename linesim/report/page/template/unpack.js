// The run as it stands in the page, read again: numbers, columns, texts. Nothing here touches the
// page, so that it can be tried by itself.

const DIGITS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
const VALUE = new Map([...DIGITS].map((digit, value) => [digit, value]));

// Digits of base 64, the last first: five bits each, and one that says whether more follow.
function numbersOf(packed) {
  const found = [];
  let number = 0;
  let weight = 1;
  for (const digit of packed) {
    const value = VALUE.get(digit);
    number += (value % 32) * weight;
    weight *= 32;
    if (value < 32) {
      found.push(number);
      number = 0;
      weight = 1;
    }
  }
  return found;
}

// Steps, each with a number behind it that says how often it comes again where it does.
function columnOf(packed) {
  const tokens = numbersOf(packed);
  const found = [];
  let value = 0;
  for (let place = 0; place < tokens.length; place++) {
    const sign = Math.floor(tokens[place] / 2);
    const step = sign % 2 ? -(sign + 1) / 2 : sign / 2;
    const times = tokens[place] % 2 ? tokens[++place] + 1 : 1;
    for (let time = 0; time < times; time++) {
      value += step;
      found.push(value);
    }
  }
  return found;
}

// A text is so many words, and which.
function textsOf(packed) {
  const words = packed.words.split(" ");
  const rows = numbersOf(packed.rows);
  const found = [];
  for (let place = 0; place < rows.length; place += rows[place] + 1) {
    const own = rows.slice(place + 1, place + 1 + rows[place]);
    found.push(own.map((word) => words[word]).join(" "));
  }
  return found;
}

// Groups of numbers, each behind its count; `each` numbers make one entry of a group.
function groupsOf(packed, each) {
  const numbers = numbersOf(packed);
  const found = [];
  for (let place = 0; place < numbers.length; ) {
    const count = numbers[place++];
    const group = [];
    for (let entry = 0; entry < count; entry++, place += each) {
      group.push(numbers.slice(place, place + each));
    }
    found.push(group);
  }
  return found;
}

// The last place of a rising column whose value is not after `value`; 0 where there is none.
function lastAt(column, value) {
  let low = 0;
  let high = column.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (column[middle] <= value) low = middle + 1;
    else high = middle;
  }
  return Math.max(0, low - 1);
}

// A lane as stretches: from when on, and what is done. Each is told by the last moment before it:
// so many moments on, doubled, and one more where the ms after it follow; then what is done.
function stretchesOf(packed, at) {
  const tokens = numbersOf(packed);
  const found = [];
  let moment = 0;
  for (let place = 0; place < tokens.length; place += 2) {
    moment += Math.floor(tokens[place] / 2);
    const after = tokens[place] % 2 ? tokens[++place] : 0;
    found.push([at[moment] + after, tokens[place + 1]]);
  }
  return found;
}

// What is done at each of the moments.
function statesOf(stretches, at) {
  let row = 0;
  return at.map((ms) => {
    while (row + 1 < stretches.length && stretches[row + 1][0] <= ms) row++;
    return stretches[row][1];
  });
}

// When the run starts, where that is known; moments then have a day and a time of day.
let starts = null;

function clockOf(ms) {
  const seconds = Math.floor(ms / 1000);
  const two = (number) => String(number).padStart(2, "0");
  if (starts !== null) return `${dayOf(ms)} ${new Date(starts + ms).toISOString().slice(11, 19)}`;
  return `${Math.floor(seconds / 3600)}:${two(Math.floor(seconds / 60) % 60)}:${two(seconds % 60)}`;
}

function dayOf(ms) {
  const [day, date, month] = new Date(starts + ms).toUTCString().split(" ");
  return `${day.slice(0, 3)} ${Number(date)} ${month}`;
}

// For an axis: the time alone, or the day that begins.
function markOf(ms) {
  const said = clockOf(ms).split(" ").pop().replace(/:00$/, "");
  return starts !== null && said === "00:00" ? dayOf(ms) : said;
}

// Everything in its place, once for the whole page.
function unpacked(run) {
  const each = (columns) =>
    Object.fromEntries(Object.entries(columns).map(([name, packed]) => [name, columnOf(packed)]));
  starts = run.starts;
  const texts = textsOf(run.texts);
  const at = columnOf(run.at);
  const stops = each(run.stops.columns);
  const heads = run.stops.heads.length;
  return {
    ...run,
    texts,
    at,
    from: at[0],
    until: at[at.length - 1],
    says: columnOf(run.says).map((text) => texts[text]),
    lanes: run.lanes.map((lane) => {
      const stretches = stretchesOf(lane.changes, at);
      const states = statesOf(stretches, at);
      return { ...lane, states, stretches, starts: stretches.map(([ms]) => ms) };
    }),
    curves: each(run.curves),
    without: run.without && { ...run.without, curves: each(run.without.curves) },
    numbers: each(run.numbers),
    words: each(run.words),
    travelling: groupsOf(run.travelling, 2),
    stops: {
      ...stops,
      count: run.stops.count,
      heads: run.stops.heads,
      rows: groupsOf(run.stops.cells, heads).map((rows) =>
        rows.map((cells) => cells.map((text) => texts[text])),
      ),
      reached: groupsOf(run.stops.reached, 3),
    },
  };
}
