// Pages to print: the key, and the chart in parts that fit on paper, each with its numbers.

import { byId, make, symbolPicture, threadName } from "./dom.js";
import { kindCells, kindHeads, kindsOf } from "./key.js";
import { drawLines } from "./lines.js";
import { drawGrid } from "./ruling.js";
import { makeStamps, stampAt } from "./stamps.js";

const WIDE = 50; // squares a page
const HIGH = 60;
const SIDE = 32; // pixels a square: about 220 dots to the inch
const EDGE = 56; // for the numbers, in pixels
const TEN = 10;
const LINE = "Line: backstitch, in sides of a square.";

// Fills the element with the pages; resolves when all pictures are there.
export async function fillSheets(chart, sheets, onBack) {
  const bar = make("p", { className: "bar row" });
  const print = make("button", { type: "button", textContent: "Print" });
  const back = make("button", { type: "button", textContent: "Back to the chart" });
  print.addEventListener("click", () => window.print());
  back.addEventListener("click", onBack);
  bar.append(print, back);
  const first = make("section", { className: "sheet" });
  first.append(make("h2", { textContent: chart.title }), make("p", { textContent: chart.size }), keyTable(chart));
  sheets.replaceChildren(bar, first);
  print.focus();
  const onPaper = { ...chart, cloth: "#ffffff" };
  const stamps = makeStamps(onPaper, { look: "symbols", side: SIDE, alone: null });
  for (let top = 0; top < chart.high; top += HIGH) {
    for (let left = 0; left < chart.wide; left += WIDE) {
      sheets.append(await sheet(chart, stamps, left, top));
    }
  }
}

function keyTable(chart) {
  const kinds = kindsOf(chart);
  const table = make("table");
  if (kinds.some(([kind]) => kind === "backstitch")) table.append(make("caption", { textContent: LINE }));
  const names = ["Symbol", "Thread"].map((name) => make("th", { scope: "col", textContent: name }));
  table.append(make("thead", {}, make("tr", {}, ...names, ...kindHeads(kinds))));
  const body = make("tbody");
  for (const thread of chart.threads) {
    const name = make("th", { scope: "row", textContent: threadName(thread) });
    body.append(make("tr", {}, make("td", {}, symbolPicture(thread)), name, ...kindCells(kinds, thread)));
  }
  table.append(body);
  return table;
}

async function sheet(chart, stamps, left, top) {
  const right = Math.min(left + WIDE, chart.wide);
  const bottom = Math.min(top + HIGH, chart.high);
  const words = `Columns ${left + 1} to ${right}, rows ${top + 1} to ${bottom}`;
  const canvas = document.createElement("canvas");
  canvas.width = EDGE + WIDE * SIDE + 2;
  canvas.height = EDGE + (bottom - top) * SIDE + 2;
  drawPart(canvas.getContext("2d"), chart, stamps, [left, top, right, bottom]);
  const blob = await new Promise((resolve) => canvas.toBlob(resolve));
  const image = make("img", { alt: `The chart, ${words.toLowerCase()}`, src: URL.createObjectURL(blob) });
  await image.decode();
  return make("section", { className: "sheet" }, make("h2", { textContent: words }), image);
}

function drawPart(context, chart, stamps, box) {
  const [left, top, right, bottom] = box;
  context.fillStyle = "#fff";
  context.fillRect(0, 0, context.canvas.width, context.canvas.height);
  for (let row = top; row < bottom; row++) {
    for (let column = left; column < right; column++) {
      const [x, y] = stampAt(stamps, chart.squares[row * chart.wide + column]);
      const at = [EDGE + (column - left) * SIDE, EDGE + (row - top) * SIDE];
      context.drawImage(stamps.canvas, x, y, SIDE, SIDE, ...at, SIDE, SIDE);
    }
  }
  context.save();
  context.beginPath();
  context.rect(EDGE, EDGE, (right - left) * SIDE, (bottom - top) * SIDE);
  context.clip();
  context.save();
  context.setTransform(SIDE, 0, 0, SIDE, EDGE - left * SIDE, EDGE - top * SIDE);
  drawLines(context, chart, { look: "symbols", alone: null, box });
  context.restore();
  const view = { scale: SIDE, x: left - EDGE / SIDE, y: top - EDGE / SIDE };
  drawGrid(context, view, chart, { width: context.canvas.width, height: context.canvas.height, ratio: 2 });
  context.restore();
  drawEdges(context, box);
}

function drawEdges(context, [left, top, right, bottom]) {
  context.fillStyle = "#000";
  context.font = "24px system-ui, sans-serif";
  context.textBaseline = "middle";
  context.textAlign = "center";
  for (let column = Math.ceil((left + 1) / TEN) * TEN; column <= right; column += TEN) {
    context.fillText(String(column), EDGE + (column - 0.5 - left) * SIDE, EDGE - 18);
  }
  context.textAlign = "right";
  for (let row = Math.ceil((top + 1) / TEN) * TEN; row <= bottom; row += TEN) {
    context.fillText(String(row), EDGE - 8, EDGE + (row - 0.5 - top) * SIDE);
  }
}

export function showSheets(isShown) {
  document.body.classList.toggle("sheets", isShown);
  byId("sheets").hidden = !isShown;
  byId("work").hidden = isShown;
}
