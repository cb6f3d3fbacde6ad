// Mouse, wheel, touch and keys on the canvas.

const TEN = 10;
const STILL = 5; // CSS pixels within which a press is no drag
const WHEEL = 0.0016; // how much a wheel changes the size

// `marker` is asked whether presses mark squares, and told which.
export function listen(board, marker) {
  listenToPointers(board, marker);
  board.canvas.addEventListener("wheel", (event) => turn(board, event), { passive: false });
  board.canvas.addEventListener("keydown", (event) => press(board, marker, event));
}

function pixel(board, event) {
  const box = board.canvas.getBoundingClientRect();
  const { ratio } = board.room;
  return [(event.clientX - box.left) * ratio, (event.clientY - box.top) * ratio];
}

function listenToPointers(board, marker) {
  const { canvas } = board;
  const down = new Map(); // where each finger, or the mouse, is
  let isDrag = false;
  canvas.addEventListener("pointerdown", (event) => {
    if (!board.chart || event.button > 0) return;
    canvas.setPointerCapture(event.pointerId);
    down.set(event.pointerId, { at: pixel(board, event), from: pixel(board, event) });
    isDrag = down.size > 1;
    board.point(pixel(board, event));
    if (down.size === 1 && marker.isMarking()) marker.begin(board.pointed);
  });
  canvas.addEventListener("pointermove", (event) => {
    const finger = down.get(event.pointerId);
    const at = pixel(board, event);
    if (!finger) return board.point(at);
    const before = [...down.values()].map((one) => one.at);
    finger.at = at;
    const far = Math.hypot(at[0] - finger.from[0], at[1] - finger.from[1]);
    isDrag ||= far > STILL * board.room.ratio;
    if (down.size === 2) return pinch(board, before, [...down.values()].map((one) => one.at));
    if (marker.isMarking()) {
      board.point(at);
      return marker.go(board.pointed);
    }
    if (isDrag) {
      canvas.classList.add("moving");
      board.move(at[0] - before[0][0], at[1] - before[0][1]);
    }
  });
  const up = (event) => {
    if (!down.delete(event.pointerId)) return;
    canvas.classList.remove("moving");
    marker.end();
    if (!isDrag && board.pointed) {
      board.square = board.pointed;
      board.onSquare(board.square);
    }
  };
  canvas.addEventListener("pointerup", up);
  canvas.addEventListener("pointercancel", up);
  canvas.addEventListener("pointerleave", () => down.size || board.point(null));
}

function pinch(board, before, after) {
  const apart = ([a, b]) => Math.hypot(a[0] - b[0], a[1] - b[1]) || 1;
  const between = ([a, b]) => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
  const [from, to] = [between(before), between(after)];
  board.move(to[0] - from[0], to[1] - from[1]);
  board.zoom((board.view.scale * apart(after)) / apart(before), to);
}

function turn(board, event) {
  if (!board.chart) return;
  event.preventDefault();
  const lines = event.deltaMode === 1 ? 30 : 1;
  if (event.shiftKey || Math.abs(event.deltaX) > Math.abs(event.deltaY)) {
    board.move(-(event.deltaX || event.deltaY) * lines, 0);
  } else {
    const strength = event.ctrlKey ? 6 : 1; // a pinch on a touch pad comes in small steps
    board.zoom(board.view.scale * Math.exp(-event.deltaY * lines * WHEEL * strength), pixel(board, event));
  }
  board.point(pixel(board, event));
}

const WAYS = { ArrowLeft: [0, -1], ArrowRight: [0, 1], ArrowUp: [-1, 0], ArrowDown: [1, 0] };

function press(board, marker, event) {
  if (!board.chart || event.ctrlKey || event.metaKey || event.altKey) return;
  const { chart } = board;
  const here = board.square ?? { row: Math.floor(chart.high / 2), column: Math.floor(chart.wide / 2) };
  const isFirst = !board.square;
  const steps = event.shiftKey ? TEN : 1;
  if (event.key in WAYS) {
    const [down, right] = WAYS[event.key];
    board.goTo(isFirst ? here : { row: here.row + down * steps, column: here.column + right * steps });
  } else if (event.key === "Home") board.goTo({ row: here.row, column: 0 });
  else if (event.key === "End") board.goTo({ row: here.row, column: chart.wide - 1 });
  else if (event.key === "PageUp") board.goTo({ row: here.row - TEN, column: here.column });
  else if (event.key === "PageDown") board.goTo({ row: here.row + TEN, column: here.column });
  else if (event.key === "+" || event.key === "=") board.step(1);
  else if (event.key === "-") board.step(-1);
  else if (event.key === "0") board.whole();
  else if (event.key === " " && board.square && marker.turn(board.square)) board.onSquare(board.square);
  else return;
  event.preventDefault();
}
