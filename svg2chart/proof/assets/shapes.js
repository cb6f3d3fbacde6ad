// What stitches cover of their square, whose side is 1, y down.

export function cornerPoint(corner) {
  return [corner.endsWith("right") ? 1 : 0, corner.startsWith("bottom") ? 1 : 0];
}

// Returns the corners of the area that a stitch colours: the quarter in a shared square has all of its half.
export function stitchArea(stitch, arrangement) {
  if (!stitch.corner) return [[0, 0], [1, 0], [1, 1], [0, 1]];
  const [x, y] = cornerPoint(stitch.corner);
  const isShared = arrangement.some((one) => one.stitch === "three-quarter");
  if (isShared) return [[x, y], [1 - x, y], [x, 1 - y]];
  return [[x, y], [0.5, y], [0.5, 0.5], [x, 0.5]];
}

// Returns the legs of a stitch, the lower first: the upper leg of all crosses runs from bottom left to top right.
export function stitchLegs(stitch) {
  const down = [[0, 0], [1, 1]];
  const up = [[0, 1], [1, 0]];
  if (!stitch.corner) return [down, up];
  const [x, y] = cornerPoint(stitch.corner);
  const quarter = [[x, y], [0.5, 0.5]];
  if (stitch.stitch === "quarter") return [quarter];
  return [quarter, x === y ? up : down];
}

// Returns a path around points, in squares.
export function ring(points) {
  const path = new Path2D();
  points.forEach(([x, y], i) => (i ? path.lineTo(x, y) : path.moveTo(x, y)));
  path.closePath();
  return path;
}

// Mixes "#rrggbb" with another by its share of the second, as rgb().
export function mixed(colour, other, share) {
  const at = (text, i) => parseInt(text.slice(1 + 2 * i, 3 + 2 * i), 16);
  const channels = [0, 1, 2].map((i) => Math.round(at(colour, i) * (1 - share) + at(other, i) * share));
  return `rgb(${channels.join(" ")})`;
}
