// The lines of the squares, the numbers along the edges, and what is pointed out.

const TEN = 10;
const LEAST_LINES = 6; // pixels a square from which each has its lines
const LEAST_NUMBERS = 26; // and from which each row and column has its number

// Returns the lines among `count` that are seen, every so many, the last one too.
function seenLines(first, last, count, every) {
  const lines = [];
  const from = Math.max(0, Math.ceil(first / every) * every);
  for (let line = from; line <= Math.min(last, count); line += every) lines.push(line);
  if (count <= last && count >= first && count % every) lines.push(count);
  return lines;
}

export function drawGrid(context, view, chart, room) {
  if (view.scale >= LEAST_LINES) strokeLines(context, view, chart, room, 1, 1, "rgb(120 120 120 / 60%)");
  const every = view.scale * TEN >= 14 ? TEN : view.scale * 50 >= 14 ? 50 : 100;
  const bold = (view.scale >= LEAST_LINES ? 2 : 1) * Math.max(1, Math.round(room.ratio));
  strokeLines(context, view, chart, room, every, bold + 1, "rgb(255 255 255 / 45%)");
  strokeLines(context, view, chart, room, every, bold, "rgb(40 40 40 / 85%)");
}

function strokeLines(context, view, chart, room, every, wide, colour) {
  const left = Math.max(0, (0 - view.x) * view.scale);
  const top = Math.max(0, (0 - view.y) * view.scale);
  const right = Math.min(room.width, (chart.wide - view.x) * view.scale);
  const bottom = Math.min(room.height, (chart.high - view.y) * view.scale);
  const crisp = wide % 2 ? 0.5 : 0;
  context.strokeStyle = colour;
  context.lineWidth = wide;
  context.beginPath();
  for (const line of seenLines(view.x, view.x + room.width / view.scale, chart.wide, every)) {
    const x = Math.round((line - view.x) * view.scale) + crisp;
    context.moveTo(x, top);
    context.lineTo(x, bottom);
  }
  for (const line of seenLines(view.y, view.y + room.height / view.scale, chart.high, every)) {
    const y = Math.round((line - view.y) * view.scale) + crisp;
    context.moveTo(left, y);
    context.lineTo(right, y);
  }
  context.stroke();
}

// Draws the strips with the numbers of columns and rows; they stay in view. Square n is counted from 1.
export function drawNumbers(context, view, chart, room, colours, square) {
  const { strip, ratio } = room;
  context.fillStyle = colours.panel;
  context.fillRect(0, 0, room.width, strip);
  context.fillRect(0, 0, strip, room.height);
  context.strokeStyle = colours.rule;
  context.lineWidth = 1;
  context.strokeRect(strip - 0.5, strip - 0.5, room.width, room.height);
  context.font = `${Math.round(12 * ratio)}px system-ui, sans-serif`;
  context.textAlign = "center";
  context.textBaseline = "middle";
  const every = view.scale >= LEAST_NUMBERS * ratio ? 1 : numbered(view.scale / ratio);
  for (const isColumn of [true, false]) {
    const [start, count, size] = isColumn ? [view.x, chart.wide, room.width] : [view.y, chart.high, room.height];
    const here = square && (isColumn ? square.column : square.row) + 1;
    const numbers = seenLines(start, start + size / view.scale + 1, count, every).filter((n) => n && n % every === 0);
    const written = here ? [here, ...numbers.filter((n) => Math.abs(n - here) * view.scale > 26 * ratio)] : numbers;
    for (const number of written) {
      const at = Math.round((number - 0.5 - start) * view.scale);
      if (at < strip + 4 * ratio || at > size) continue;
      const [x, y] = isColumn ? [at, strip / 2] : [strip / 2, at];
      if (number === here) mark(context, x, y, strip, ratio, colours);
      context.fillStyle = number === here ? colours.onAccent : colours.ink;
      context.fillText(String(number), x, y);
    }
  }
  context.fillStyle = colours.panel;
  context.fillRect(0, 0, strip - 1, strip - 1);
}

function numbered(scale) {
  return [10, 20, 50, 100, 200, 500].find((every) => every * scale >= 30) ?? 1000;
}

function mark(context, x, y, strip, ratio, colours) {
  const half = strip / 2 - 2 * ratio;
  context.fillStyle = colours.accent;
  context.fillRect(x - half, y - 8 * ratio, 2 * half, 16 * ratio);
}

// Draws a frame round a box of squares, seen on any ground.
export function drawFrame(context, view, [left, top, right, bottom], { colours, ratio, dashed }) {
  const [x, y] = [(left - view.x) * view.scale, (top - view.y) * view.scale].map(Math.round);
  const [w, h] = [(right - left) * view.scale, (bottom - top) * view.scale].map(Math.round);
  context.setLineDash([]);
  context.strokeStyle = colours.panel;
  context.lineWidth = 5 * ratio;
  context.strokeRect(x, y, w, h);
  context.setLineDash(dashed ? [7 * ratio, 4 * ratio] : []);
  context.strokeStyle = colours.accent;
  context.lineWidth = 2.5 * ratio;
  context.strokeRect(x, y, w, h);
  context.setLineDash([]);
}

// Draws a veil over the squares that are done: what is left to do stands out.
export function drawDone(context, view, chart, room, done, colours) {
  const first = [Math.max(0, Math.floor(view.x)), Math.max(0, Math.floor(view.y))];
  const last = [
    Math.min(chart.wide, Math.ceil(view.x + room.width / view.scale)),
    Math.min(chart.high, Math.ceil(view.y + room.height / view.scale)),
  ];
  context.fillStyle = colours.veil;
  for (let row = first[1]; row < last[1]; row++) {
    for (let column = first[0]; column < last[0]; column++) {
      let end = column;
      while (end < last[0] && done.has(row * chart.wide + end)) end++;
      if (end > column) veil(context, view, row, column, end);
      column = end;
    }
  }
}

function veil(context, view, row, column, end) {
  const x = Math.round((column - view.x) * view.scale);
  const y = Math.round((row - view.y) * view.scale);
  const right = Math.round((end - view.x) * view.scale);
  const bottom = Math.round((row + 1 - view.y) * view.scale);
  context.fillRect(x, y, right - x, bottom - y);
}
