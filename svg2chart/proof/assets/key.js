// The key: each thread with its symbol and counts, and a press to see it alone.

import { byId, make, symbolPicture, threadName } from "./dom.js";

// What is counted: how it stands above its column, and how it is said.
const KINDS = [
  ["full", "full", "full stitches"],
  ["three-quarter", "¾", "three-quarter stitches"],
  ["quarter", "¼", "quarter stitches"],
  ["backstitch", "line", "backstitch, in sides of a square"],
  ["knots", "knots", "French knots"],
];

// Returns the kinds that a chart has.
export function kindsOf(chart) {
  return KINDS.filter(([kind]) => chart.threads.some((thread) => thread.counts[kind]));
}

// Returns the heads of their columns.
export function kindHeads(kinds) {
  return kinds.map(([, title, words]) =>
    make("th", { scope: "col", textContent: title, title: words, ariaLabel: words }),
  );
}

// Fills the key. `onAlone` is told the thread that is to be seen alone, null for all. Returns the thread alone.
export function showKey(chart, alone, onAlone) {
  const kinds = kindsOf(chart);
  const head = make("tr", {}, make("th", { scope: "col", textContent: "Thread" }), ...kindHeads(kinds));
  const kept = alone !== null && alone < chart.threads.length ? alone : null;
  const body = make("tbody");
  chart.threads.forEach((thread, i) => {
    const button = make("button", { type: "button", className: "thread", ariaPressed: String(i === kept) });
    button.append(symbolPicture(thread), make("span", { textContent: threadName(thread) }));
    button.addEventListener("click", () => {
      const isAlone = button.ariaPressed === "true";
      for (const other of body.querySelectorAll(".thread")) other.ariaPressed = "false";
      button.ariaPressed = String(!isAlone);
      onAlone(isAlone ? null : i);
    });
    const cells = kindCells(kinds, thread);
    body.append(make("tr", {}, make("th", { scope: "row" }, button), ...cells));
  });
  byId("key").replaceChildren(make("thead", {}, head), body);
  return kept;
}

// Returns how often a thread has each of the kinds.
export function kindCells(kinds, thread) {
  const counts = kinds.map(([kind]) => thread.counts[kind]);
  return counts.map((count) => make("td", { textContent: count ? count.toLocaleString("en") : "" }));
}
