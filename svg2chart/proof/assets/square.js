// The square that is pointed at: what it holds, and why.

import { heldAt, linesAt } from "./chart.js";
import { byId, make, patch } from "./dom.js";

const WAIT_MS = 60; // a pointer that only passes asks nothing

export class SquarePanel {
  // `explain` returns a promise of what is seen in a square, or null where nothing more is known.
  constructor(explain) {
    this.explain = explain;
    this.chart = null;
    this.asked = 0;
  }

  show(square) {
    const number = ++this.asked;
    if (!square || !this.chart) return this.clear();
    byId("square-place").textContent = `Row ${square.row + 1}, column ${square.column + 1}`;
    if (!this.explain) return this.fill(square, null);
    setTimeout(async () => {
      if (number !== this.asked) return;
      const told = await this.explain(square);
      if (number === this.asked) this.fill(square, told);
    }, WAIT_MS);
  }

  clear() {
    byId("square-place").textContent = "Point at a square, or go there with the arrow keys.";
    byId("square-words").textContent = "";
    byId("square-seen").replaceChildren();
    byId("square-notes").textContent = "";
  }

  fill(square, told) {
    const { chart } = this;
    byId("square-words").textContent = told ? told.sentence : chart.words[heldAt(chart, square)];
    const items = (told?.seen ?? []).map((seen) => {
      const by = seen.element ? `, element ${seen.element}${seen.layer ? ` in layer ${seen.layer}` : ""}` : "";
      const words = `${seen.name}, ${seen.area.toFixed(2)} of the square${by}`;
      return make("li", {}, patch(seen.colour), make("span", { textContent: words }));
    });
    byId("square-seen").replaceChildren(...items);
    const lines = linesAt(chart, square).map((thread) => chart.threads[thread].name);
    const notes = told ? [`${told.as_drawn.toFixed(2)} of it shows as drawn`, ...told.notes] : [];
    if (lines.length) notes.push(`lines or knots here: ${lines.join(", ")}`);
    byId("square-notes").textContent = notes.join("; ");
  }
}
