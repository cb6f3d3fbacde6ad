// The canvas: what is on it, which part of it is seen, and the square that is spoken of.

import { hasSquare } from "./chart.js";
import { drawDone, drawFrame, drawGrid, drawNumbers } from "./ruling.js";
import { Tiles } from "./tiles.js";
import { centred, held, middle, movedBy, nextLevel, showing, squareAt, wholeView, zoomedAt } from "./view.js";

const STRIP = 34; // of the numbers, in CSS pixels
const HURRY_MS = 120; // after a turn of the wheel, in which the next one may come
const LEAST_GONE_TO = 10; // pixels a square at least where a place is shown

export class Board {
  constructor(canvas, { onSquare }) {
    this.canvas = canvas;
    this.context = canvas.getContext("2d", { alpha: false });
    this.tiles = new Tiles();
    this.onSquare = onSquare;
    this.look = "stitches";
    this.blend = 1; // how much of the chart lies over the drawing
    this.chart = null;
    this.ground = null; // where the squares lie over the drawing: left, top and square, in user units
    this.view = null;
    this.square = null; // where the keys are
    this.pointed = null; // what the pointer is over
    this.place = null; // what is pointed out, a box of squares
    this.done = null;
    this.isAsked = false;
    this.hurriedUntil = 0;
    new ResizeObserver(() => this.resize()).observe(canvas.parentElement);
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => this.recolour());
    this.recolour();
    this.resize();
  }

  recolour() {
    const style = getComputedStyle(document.documentElement);
    const colour = (name) => style.getPropertyValue(name).trim();
    this.colours = {
      ground: colour("--soft"),
      panel: colour("--panel"),
      ink: colour("--ink"),
      rule: colour("--rule"),
      accent: colour("--accent"),
      onAccent: colour("--on-accent"),
      veil: "rgb(250 248 242 / 82%)",
    };
    this.ask();
  }

  resize() {
    const ratio = window.devicePixelRatio || 1;
    const box = this.canvas.parentElement.getBoundingClientRect();
    const before = this.room;
    this.canvas.width = Math.max(1, Math.round(box.width * ratio));
    this.canvas.height = Math.max(1, Math.round(box.height * ratio));
    this.room = { width: this.canvas.width, height: this.canvas.height, strip: STRIP * ratio, ratio };
    if (this.chart && before) {
      const isWhole = before.width < 2 || before.height < 2 || this.isWhole;
      const [x, y] = middle(this.view, before);
      this.view = isWhole
        ? wholeView(this.chart, this.room)
        : held(centred(x, y, this.view.scale, this.room), this.chart, this.room);
    }
    this.draw();
  }

  // Shows another chart; what of the drawing was in the middle stays there, as large as it was.
  setChart(chart, ground = null) {
    const [before, old] = [this.chart, this.ground];
    this.chart = this.tiles.chart = chart;
    this.ground = ground;
    this.tiles.forget();
    if (!before || this.isWhole) {
      this.whole();
    } else if (ground && old) {
      const [x, y] = middle(this.view, this.room);
      const user = [old.left + x * old.square, old.top + y * old.square];
      const at = [(user[0] - ground.left) / ground.square, (user[1] - ground.top) / ground.square];
      const scale = (this.view.scale / old.square) * ground.square;
      this.view = held(centred(...at, scale, this.room), chart, this.room);
    }
    if (this.square && !hasSquare(chart, this.square)) this.square = null;
    if (this.pointed && !hasSquare(chart, this.pointed)) this.pointed = null;
    this.ask();
  }

  setDrawing(drawing) {
    this.tiles.drawing = drawing;
    this.tiles.forget();
    this.ask();
  }

  setLook(look, blend) {
    this.look = look;
    this.blend = blend;
    this.ask();
  }

  setAlone(thread) {
    this.tiles.alone = thread;
    this.tiles.forget();
    this.ask();
  }

  setDone(done) {
    this.done = done;
    this.ask();
  }

  whole() {
    if (!this.chart) return;
    this.view = wholeView(this.chart, this.room);
    this.isWhole = true;
    this.ask();
  }

  move(dx, dy) {
    this.see(movedBy(this.view, dx, dy));
  }

  // Changes the size about a pixel, as one of many small changes.
  zoom(scale, at) {
    this.hurriedUntil = performance.now() + HURRY_MS;
    this.see(zoomedAt(this.view, scale, at));
  }

  step(direction) {
    const { strip, width, height } = this.room;
    const at = this.square
      ? [(this.square.column + 0.5 - this.view.x) * this.view.scale, (this.square.row + 0.5 - this.view.y) * this.view.scale]
      : null;
    const isSeen = at && at[0] > strip && at[1] > strip && at[0] < width && at[1] < height;
    const about = isSeen ? at : [(width + strip) / 2, (height + strip) / 2];
    this.see(zoomedAt(this.view, nextLevel(this.view.scale, direction), about));
  }

  see(view) {
    if (!this.chart) return;
    this.isWhole = false;
    this.view = held(view, this.chart, this.room);
    this.ask();
  }

  // Goes to a square by keys.
  goTo(square) {
    const clamp = (at, count) => Math.min(Math.max(at, 0), count - 1);
    this.square = { row: clamp(square.row, this.chart.high), column: clamp(square.column, this.chart.wide) };
    this.pointed = null;
    const { row, column } = this.square;
    const view = showing(this.view, [column, row, column + 1, row + 1], this.room);
    if (view.x !== this.view.x || view.y !== this.view.y) this.see(view);
    this.ask();
    this.onSquare(this.square);
  }

  point(pixel) {
    const square = this.chart && pixel ? squareAt(this.view, pixel) : null;
    const { strip } = this.room;
    const isOn = square && hasSquare(this.chart, square) && pixel[0] > strip && pixel[1] > strip;
    const next = isOn ? square : null;
    if (next?.row === this.pointed?.row && next?.column === this.pointed?.column) return;
    this.pointed = next;
    this.ask();
    this.onSquare(this.pointed ?? this.square);
  }

  // Points out a place: a box of squares, moved into view and large enough to be seen.
  show(place) {
    this.place = place;
    if (place) {
      const [left, top, right, bottom] = place;
      const { width, height, strip } = this.room;
      const fits = Math.min((width - strip) / (right - left + 4), (height - strip) / (bottom - top + 4));
      const least = Math.min(LEAST_GONE_TO * this.room.ratio, fits);
      const scale = Math.min(Math.max(this.view.scale, least), fits);
      this.see(centred((left + right) / 2, (top + bottom) / 2, scale, this.room));
    }
    this.ask();
  }

  ask() {
    if (this.isAsked) return;
    this.isAsked = true;
    requestAnimationFrame(() => this.draw());
  }

  draw() {
    this.isAsked = false;
    const { context, room, view, chart } = this;
    context.fillStyle = this.colours.ground;
    context.fillRect(0, 0, room.width, room.height);
    if (!chart || !view) return;
    const isHurried = performance.now() < this.hurriedUntil;
    let isWhole = true;
    if (this.blend < 1) isWhole = this.tiles.draw(context, view, room, "drawing", isHurried);
    if (this.blend > 0) {
      context.globalAlpha = this.blend;
      isWhole = this.tiles.draw(context, view, room, this.look, isHurried) && isWhole;
      context.globalAlpha = 1;
    }
    if (this.done) drawDone(context, view, chart, room, this.done, this.colours);
    drawGrid(context, view, chart, room);
    this.drawPointed();
    if (!isWhole) this.ask();
  }

  drawPointed() {
    const { context, room, view, colours, chart } = this;
    const { ratio } = room;
    if (this.place) drawFrame(context, view, this.place, { colours, ratio, dashed: true });
    const square = this.pointed ?? this.square;
    if (square) {
      const { row, column } = square;
      drawFrame(context, view, [column, row, column + 1, row + 1], { colours, ratio, dashed: false });
    }
    drawNumbers(context, view, chart, room, colours, square);
  }
}
