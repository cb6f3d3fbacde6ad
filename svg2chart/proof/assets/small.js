// The whole chart at a few pixels a square: for far views, and under tiles that are not painted yet.

import { drawLines } from "./lines.js";
import { stitchArea } from "./shapes.js";

const FADED = 0.14;

// Returns pixels a square: four show diagonals as they are; very large charts have to do with fewer.
function sideFor(chart) {
  const squares = chart.wide * chart.high;
  return squares <= 300_000 ? 4 : squares <= 1_200_000 ? 2 : 1;
}

export function smallPicture(chart, { look, alone }) {
  const side = sideFor(chart);
  const canvas = document.createElement("canvas");
  canvas.width = chart.wide * side;
  canvas.height = chart.high * side;
  const context = canvas.getContext("2d");
  const picture = context.createImageData(canvas.width, canvas.height);
  const pixels = new Uint32Array(picture.data.buffer);
  const patterns = chart.arrangements.map((held) => pattern(chart, held, side, { look, alone }));
  for (let row = 0; row < chart.high; row++) {
    for (let column = 0; column < chart.wide; column++) {
      const own = patterns[chart.squares[row * chart.wide + column]];
      for (let y = 0; y < side; y++) {
        const start = (row * side + y) * canvas.width + column * side;
        for (let x = 0; x < side; x++) pixels[start + x] = own[y * side + x];
      }
    }
  }
  context.putImageData(picture, 0, 0);
  context.scale(side, side);
  drawLines(context, chart, { look, alone, box: [0, 0, chart.wide, chart.high] });
  return { canvas, side };
}

// Returns the pixels of one arrangement, by what lies at the middle of each.
function pattern(chart, arrangement, side, { look, alone }) {
  const colours = new Uint32Array(side * side).fill(packed(chart.cloth, chart.cloth, 0));
  for (let y = 0; y < side; y++) {
    for (let x = 0; x < side; x++) {
      const at = [(x + 0.5) / side, (y + 0.5) / side];
      const stitch = arrangement.find((one) => covers(stitchArea(one, arrangement), at));
      if (!stitch) continue;
      const thread = chart.threads[stitch.thread];
      const isFaded = alone !== null && stitch.thread !== alone;
      const colour = look === "symbols" ? thread.tint : thread.colour;
      colours[y * side + x] = packed(colour, chart.cloth, isFaded ? 1 - FADED : 0);
    }
  }
  return colours;
}

// Whether a convex area covers a point, its edge counted in.
function covers(area, [x, y]) {
  const sides = area.map(([x1, y1], i) => {
    const [x2, y2] = area[(i + 1) % area.length];
    return (x2 - x1) * (y - y1) - (y2 - y1) * (x - x1);
  });
  return sides.every((side) => side >= 0) || sides.every((side) => side <= 0);
}

// Returns a colour mixed with another as the bytes red, green, blue, opaque of a picture.
function packed(colour, other, share) {
  const bytes = new Uint8Array(4).fill(255);
  for (let i = 0; i < 3; i++) {
    const [one, two] = [colour, other].map((text) => parseInt(text.slice(1 + 2 * i, 3 + 2 * i), 16));
    bytes[i] = Math.round(one * (1 - share) + two * share);
  }
  return new Uint32Array(bytes.buffer)[0];
}
