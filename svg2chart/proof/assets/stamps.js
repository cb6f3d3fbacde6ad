// Every arrangement of a chart drawn once at a size, so that squares are only copied from there.

import { cornerPoint, mixed, ring, stitchArea, stitchLegs } from "./shapes.js";

const SMALL = 0.6; // a fraction's symbol, as a share of a whole one; this and the gap as in the PDF
const INK_GAP = 0.04;
const LEG = 0.4; // how wide a leg of a cross looks
const FADED = 0.14; // what is left of other threads where one is seen alone
const LEAST_LEGS = 8; // pixels a square from which single legs can be told
const LEAST_SYMBOL = 7;

export function makeStamps(chart, { look, side, alone }) {
  const across = Math.max(1, Math.min(chart.arrangements.length, Math.floor(4096 / side)));
  const canvas = document.createElement("canvas");
  canvas.width = across * side;
  canvas.height = Math.ceil(chart.arrangements.length / across) * side;
  const context = canvas.getContext("2d");
  chart.arrangements.forEach((arrangement, i) => {
    context.save();
    context.translate((i % across) * side, Math.floor(i / across) * side);
    context.beginPath();
    context.rect(0, 0, side, side);
    context.clip();
    context.fillStyle = chart.cloth;
    context.fillRect(0, 0, side, side);
    context.scale(side, side);
    for (const stitch of [...arrangement].reverse()) {
      const isFaded = alone !== null && stitch.thread !== alone;
      drawStitch(context, chart, stitch, arrangement, { look, side, isFaded });
    }
    context.restore();
  });
  return { canvas, across, side };
}

export function stampAt(stamps, held) {
  const { across, side } = stamps;
  return [(held % across) * side, Math.floor(held / across) * side];
}

function drawStitch(context, chart, stitch, arrangement, { look, side, isFaded }) {
  const thread = chart.threads[stitch.thread];
  const area = ring(stitchArea(stitch, arrangement));
  context.save();
  if (isFaded) context.globalAlpha = FADED;
  if (look === "symbols") {
    context.fillStyle = thread.tint;
    context.fill(area);
    if (!isFaded && side >= LEAST_SYMBOL) drawSymbol(context, thread, stitch, side);
  } else {
    context.fillStyle = side >= LEAST_LEGS ? mixed(thread.colour, "#000000", 0.16) : thread.colour;
    context.fill(area);
    if (side >= LEAST_LEGS) drawLegs(context, thread, stitch, area);
  }
  context.restore();
}

function drawLegs(context, thread, stitch, area) {
  context.clip(area);
  context.lineWidth = LEG;
  context.lineCap = "square";
  stitchLegs(stitch).forEach(([from, to], i) => {
    context.strokeStyle = i ? mixed(thread.colour, "#ffffff", 0.1) : thread.colour;
    context.beginPath();
    context.moveTo(...from);
    context.lineTo(...to);
    context.stroke();
  });
}

function drawSymbol(context, thread, stitch, side) {
  context.fillStyle = "#000";
  if (!stitch.corner) {
    context.fill(thread.path);
    return;
  }
  drawParting(context, stitch, side);
  const [x, y] = cornerPoint(stitch.corner);
  const [left, top, right, bottom] = thread.ink_box;
  context.translate(
    x ? 1 - INK_GAP - right * SMALL : INK_GAP - left * SMALL,
    y ? 1 - INK_GAP - bottom * SMALL : INK_GAP - top * SMALL,
  );
  context.scale(SMALL, SMALL);
  context.fill(thread.path);
}

// The diagonal behind a three-quarter stitch, the two sides of a quarter.
function drawParting(context, stitch, side) {
  const [x, y] = cornerPoint(stitch.corner);
  const isHalf = stitch.stitch === "three-quarter";
  const points = isHalf ? [[1 - x, y], [x, 1 - y]] : [[0.5, y], [0.5, 0.5], [x, 0.5]];
  context.strokeStyle = isHalf ? "#000" : "#404040";
  context.lineWidth = Math.max(isHalf ? 0.05 : 0.04, 1 / side);
  context.beginPath();
  points.forEach((point, i) => (i ? context.lineTo(...point) : context.moveTo(...point)));
  context.stroke();
}
