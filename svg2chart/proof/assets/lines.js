// Backstitch and knots, over the squares. The context has one unit a square.

const WIDE = { stitches: 0.3, symbols: 0.19 };
const HALO = 0.05; // white on either side of a line on symbols, which stay readable under it
const KNOT = 0.36; // radius; this and the symbol's size as in the PDF
const KNOT_SYMBOL = 0.62;
const FADED = 0.12;

// Draws the lines and knots that reach into a box of squares: left, top, right, bottom.
export function drawLines(context, chart, { look, alone, box }) {
  const lines = chart.backstitch.filter((line) => reaches(line, box));
  context.lineCap = "round";
  context.lineJoin = "round";
  if (look === "symbols") {
    context.strokeStyle = "#fff";
    context.lineWidth = WIDE.symbols + 2 * HALO;
    for (const line of lines) if (alone === null || line.thread === alone) strokeLine(context, line);
  }
  context.lineWidth = WIDE[look];
  for (const line of lines) {
    const thread = chart.threads[line.thread];
    context.globalAlpha = alone === null || line.thread === alone ? 1 : FADED;
    context.strokeStyle = look === "symbols" ? thread.line : thread.colour;
    strokeLine(context, line);
  }
  for (const knot of chart.knots) {
    if (reaches({ from: knot.at, to: knot.at }, box)) drawKnot(context, chart, knot, look, alone);
  }
  context.globalAlpha = 1;
}

function reaches({ from, to }, [left, top, right, bottom]) {
  return (
    Math.max(from[0], to[0]) > left - 1 &&
    Math.min(from[0], to[0]) < right + 1 &&
    Math.max(from[1], to[1]) > top - 1 &&
    Math.min(from[1], to[1]) < bottom + 1
  );
}

function strokeLine(context, { from, to }) {
  context.beginPath();
  context.moveTo(...from);
  context.lineTo(...to);
  context.stroke();
}

function drawKnot(context, chart, knot, look, alone) {
  const thread = chart.threads[knot.thread];
  const [x, y] = knot.at;
  context.globalAlpha = alone === null || knot.thread === alone ? 1 : FADED;
  context.beginPath();
  context.arc(x, y, KNOT, 0, 2 * Math.PI);
  context.fillStyle = look === "symbols" ? thread.tint : thread.colour;
  context.fill();
  context.strokeStyle = look === "symbols" ? "#000" : "rgb(0 0 0 / 35%)";
  context.lineWidth = 0.05;
  context.stroke();
  if (look !== "symbols") return;
  context.save();
  context.translate(x - KNOT_SYMBOL / 2, y - KNOT_SYMBOL / 2);
  context.scale(KNOT_SYMBOL, KNOT_SYMBOL);
  context.fillStyle = "#000";
  context.fill(thread.path);
  context.restore();
}
