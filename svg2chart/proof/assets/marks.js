// Squares that are done, kept in the browser for this chart; where it keeps nothing, in a file.

import { heldAt } from "./chart.js";
import { byId, make } from "./dom.js";

const FORMAT = "svg2chart squares done";
const MOST_STEPS = 200; // that can be taken back

export class Marks {
  // `name` tells this chart from others.
  constructor(chart, name, onChange) {
    this.chart = chart;
    this.name = name;
    this.onChange = onChange;
    this.done = new Set();
    this.steps = [];
    this.stroke = null; // the drag that is going on: which way it turns squares, where it is, what it has turned
    this.load();
    byId("marks-back").addEventListener("click", () => this.back());
    byId("marks-save").addEventListener("click", () => this.save());
    byId("marks-read").addEventListener("change", (event) => this.read(event.target));
    this.changed();
  }

  isMarking() {
    return byId("marking").checked;
  }

  begin(square) {
    if (!square) return;
    const number = this.number(square);
    this.stroke = { isDone: !this.done.has(number), at: square, turned: [] };
    this.go(square);
  }

  // Turns the squares on the way to this one: a fast pointer is not seen in each.
  go(square) {
    if (!square || !this.stroke) return;
    const { at } = this.stroke;
    const [down, right] = [square.row - at.row, square.column - at.column];
    const steps = Math.max(Math.abs(down), Math.abs(right), 1);
    for (let i = 0; i <= steps; i++) {
      const row = at.row + Math.round((down * i) / steps);
      this.turnOne({ row, column: at.column + Math.round((right * i) / steps) });
    }
    this.stroke.at = square;
    this.changed();
  }

  turnOne(square) {
    const number = this.number(square);
    const isBare = !this.chart.arrangements[heldAt(this.chart, square)].length;
    if (isBare || this.done.has(number) === this.stroke.isDone) return;
    this.put(number, this.stroke.isDone);
    this.stroke.turned.push(number);
  }

  end() {
    if (this.stroke?.turned.length) {
      this.steps.push(this.stroke);
      if (this.steps.length > MOST_STEPS) this.steps.shift();
      this.keep();
      this.changed();
    }
    this.stroke = null;
  }

  turn(square) {
    this.begin(square);
    this.end();
    return true;
  }

  back() {
    const step = this.steps.pop();
    if (!step) return;
    for (const number of step.turned) this.put(number, !step.isDone);
    this.keep();
    this.changed();
  }

  number({ row, column }) {
    return row * this.chart.wide + column;
  }

  put(number, isDone) {
    if (isDone) this.done.add(number);
    else this.done.delete(number);
  }

  changed() {
    const { chart } = this;
    this.all ??= chart.squares.reduce((sum, held) => sum + (chart.arrangements[held].length ? 1 : 0), 0);
    byId("marks-count").textContent =
      `${this.done.size.toLocaleString("en")} of ${this.all.toLocaleString("en")} squares are done`;
    byId("marks-back").disabled = !this.steps.length;
    this.onChange(this.done);
  }

  // Returns the squares done as runs, each [first, how many]: short, and the same for the same squares.
  written() {
    const runs = [];
    for (const number of [...this.done].sort((a, b) => a - b)) {
      const last = runs.at(-1);
      if (last && last[0] + last[1] === number) last[1]++;
      else runs.push([number, 1]);
    }
    return JSON.stringify({ format: FORMAT, chart: this.name, runs });
  }

  // Takes squares as `written` gives them; returns whether they are of this chart.
  take(text) {
    let value = null;
    try {
      value = JSON.parse(text);
    } catch {
      return false;
    }
    if (value?.format !== FORMAT || value.chart !== this.name || !isRuns(value.runs)) return false;
    this.done = new Set();
    for (const [first, count] of value.runs) {
      for (let number = first; number < Math.min(first + count, this.chart.squares.length); number++) {
        this.done.add(number);
      }
    }
    return true;
  }

  load() {
    try {
      const text = localStorage.getItem(this.name);
      if (text) this.take(text);
    } catch {
      this.tellUnkept();
    }
  }

  keep() {
    try {
      localStorage.setItem(this.name, this.written());
    } catch {
      this.tellUnkept();
    }
  }

  tellUnkept() {
    byId("marks-note").textContent = "This browser keeps nothing for this page: keep the squares in a file.";
  }

  save() {
    const address = URL.createObjectURL(new Blob([this.written()], { type: "application/json" }));
    make("a", { href: address, download: `${this.chart.title || "chart"} squares done.json` }).click();
    setTimeout(() => URL.revokeObjectURL(address), 1000);
  }

  async read(input) {
    const [file] = input.files;
    if (!file) return;
    const isTaken = this.take(await file.text());
    input.value = "";
    byId("marks-note").textContent = isTaken
      ? `Read from ${file.name}.`
      : `${file.name} does not hold squares of this chart.`;
    if (!isTaken) return;
    this.steps = [];
    this.keep();
    this.changed();
  }
}

// Whether a value is a list of runs: whole numbers, none below zero.
function isRuns(value) {
  const isRun = (run) => Array.isArray(run) && run.length === 2 && run.every((n) => Number.isInteger(n) && n >= 0);
  return Array.isArray(value) && value.every(isRun);
}
