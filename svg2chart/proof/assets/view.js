// Which part of the chart is seen: `scale` pixels a square, and the point (x, y), in squares, at the top left.

export const LEVELS = [0.125, 0.25, 0.5, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 14, 16, 20, 24, 28, 32, 40, 48, 64, 80, 96];
const RIM = 0.4; // of the canvas that may lie beyond the chart's edge

// `room` is the canvas in pixels: width, height, and the strip of numbers along its left and top.
export function wholeView(chart, room) {
  const scale = Math.min((room.width - room.strip) / chart.wide, (room.height - room.strip) / chart.high) * 0.97;
  const level = LEVELS.findLast((one) => one <= scale) ?? scale;
  return centred(chart.wide / 2, chart.high / 2, level, room);
}

// Returns the view with a point of the chart in the middle.
export function centred(x, y, scale, room) {
  return {
    scale,
    x: x - (room.width + room.strip) / 2 / scale,
    y: y - (room.height + room.strip) / 2 / scale,
  };
}

export function middle(view, room) {
  return [
    view.x + (room.width + room.strip) / 2 / view.scale,
    view.y + (room.height + room.strip) / 2 / view.scale,
  ];
}

// Returns the view at another scale, what lies at a pixel staying there.
export function zoomedAt(view, scale, [px, py]) {
  const next = Math.min(Math.max(scale, LEVELS[0]), LEVELS.at(-1));
  return { scale: next, x: view.x + px / view.scale - px / next, y: view.y + py / view.scale - py / next };
}

export function nextLevel(scale, direction) {
  const near = 1.001;
  if (direction > 0) return LEVELS.find((level) => level > scale * near) ?? LEVELS.at(-1);
  return LEVELS.findLast((level) => level < scale / near) ?? LEVELS[0];
}

export function movedBy(view, dx, dy) {
  return { ...view, x: view.x - dx / view.scale, y: view.y - dy / view.scale };
}

// Returns the view kept near the chart.
export function held(view, chart, room) {
  const bound = (at, size, seen) => Math.min(Math.max(at, -seen * RIM), Math.max(size - seen * (1 - RIM), -seen * RIM));
  return {
    scale: view.scale,
    x: bound(view.x, chart.wide, room.width / view.scale),
    y: bound(view.y, chart.high, room.height / view.scale),
  };
}

// Returns the view moved as little as needed to show a box of squares whole, where it has room.
export function showing(view, [left, top, right, bottom], room) {
  const pad = 1;
  const axis = (at, low, high, size) => {
    const first = at + room.strip / view.scale;
    const last = at + size / view.scale;
    if (high + pad > last) at += high + pad - last;
    if (low - pad < at + (first - (last - size / view.scale))) at = low - pad - room.strip / view.scale;
    return at;
  };
  return {
    scale: view.scale,
    x: axis(view.x, left, right, room.width),
    y: axis(view.y, top, bottom, room.height),
  };
}

export function squareAt(view, [px, py]) {
  return { row: Math.floor(view.y + py / view.scale), column: Math.floor(view.x + px / view.scale) };
}
