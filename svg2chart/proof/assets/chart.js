// A chart as it is drawn from: the chart file with its rows spread out, and what the page was given besides.

export function readChart(file, beside) {
  const { wide, high } = file.size;
  const squares = new Uint32Array(wide * high);
  file.rows.forEach((runs, row) => {
    let at = row * wide;
    for (const [count, held] of runs) {
      squares.fill(held, at, at + count);
      at += count;
    }
  });
  return {
    title: file.title,
    size: beside.size,
    wide,
    high,
    squares,
    cloth: file.fabric.colour,
    arrangements: file.arrangements,
    words: beside.words,
    threads: file.threads.map((thread, i) => ({
      ...thread,
      ...beside.threads[i],
      path: new Path2D(beside.threads[i].outline),
    })),
    backstitch: file.backstitch,
    knots: file.knots,
    remarks: file.report,
  };
}

export function heldAt(chart, square) {
  return chart.squares[square.row * chart.wide + square.column];
}

export function hasSquare(chart, { row, column }) {
  return row >= 0 && column >= 0 && row < chart.high && column < chart.wide;
}

// Returns the threads of the lines and knots that touch a square, each once, in the order of the key.
export function linesAt(chart, { row, column }) {
  const near = ([x, y]) => x >= column && x <= column + 1 && y >= row && y <= row + 1;
  const found = new Set();
  for (const line of chart.backstitch) {
    if (crosses(line.from, line.to, column, row)) found.add(line.thread);
  }
  for (const knot of chart.knots) if (near(knot.at)) found.add(knot.thread);
  return [...found].sort((a, b) => a - b);
}

// Whether a line runs through a square or along its side: more of it than a point lies there.
function crosses([x1, y1], [x2, y2], left, top) {
  let first = 0;
  let last = 1;
  for (const [from, step, low] of [[x1, x2 - x1, left], [y1, y2 - y1, top]]) {
    if (step === 0) {
      if (from < low || from > low + 1) return false;
    } else {
      const ends = [(low - from) / step, (low + 1 - from) / step].sort((a, b) => a - b);
      first = Math.max(first, ends[0]);
      last = Math.min(last, ends[1]);
    }
  }
  return last > first;
}
