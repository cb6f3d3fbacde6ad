// The remarks, by element; each shows the place of its element.

import { byId, make } from "./dom.js";

// Fills the list. `places` holds for each remark a box of squares or null; `onPlace` shows one, null for none.
export function showRemarks(chart, places, onPlace) {
  const groups = new Map();
  chart.remarks.forEach((remark, i) => {
    const name = remark.element ? `${remark.element}${remark.layer ? ` in layer ${remark.layer}` : ""}` : "";
    if (!groups.has(name)) groups.set(name, { place: null, lines: [] });
    const group = groups.get(name);
    group.place ??= places[i] ?? null;
    group.lines.push(`${remark.severity}: ${remark.what}`);
  });
  const items = [...groups].map(([name, { place, lines }]) => {
    const words = lines.map((line) => make("p", { textContent: line }));
    if (!place) return make("li", {}, make("strong", { textContent: name || "The whole drawing" }), ...words);
    const button = make("button", { type: "button", ariaPressed: "false", textContent: `Show ${name}` });
    button.addEventListener("click", () => {
      const isShown = button.ariaPressed === "true";
      for (const other of byId("remarks-list").querySelectorAll("button")) other.ariaPressed = "false";
      button.ariaPressed = String(!isShown);
      onPlace(isShown ? null : place);
    });
    return make("li", {}, button, ...words);
  });
  byId("remarks-none").hidden = items.length > 0;
  byId("remarks-list").replaceChildren(...items);
}
