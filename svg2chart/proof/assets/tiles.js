// The chart in tiles: painted when they are first seen, a few a frame, and kept while they are used.

import { drawLines } from "./lines.js";
import { smallPicture } from "./small.js";
import { makeStamps, stampAt } from "./stamps.js";
import { LEVELS } from "./view.js";

const TILE = 512; // pixels, about
const MOST_TILES = 240;
const MOST_MS = 7; // for new tiles in one frame
const FAR = 4; // pixels a square up to which the small picture serves

export class Tiles {
  constructor() {
    this.chart = null;
    this.drawing = null; // {image, box}: the picture and where it lies, in squares
    this.alone = null;
    this.forget();
  }

  // Drops all that was painted: the chart, the drawing or the thread seen alone is another one.
  forget() {
    this.tiles = new Map();
    this.stamps = new Map();
    this.small = new Map();
    this.levels = new Map(); // the last one painted of each look
  }

  // Draws what is seen of the chart in a look; returns whether all of it is painted as finely as it should be.
  // In a hurry, while the size changes from frame to frame, nothing is painted anew.
  draw(context, view, room, look, isHurried) {
    const wanted = LEVELS.find((one) => one >= view.scale * 0.999) ?? LEVELS.at(-1);
    if (look !== "drawing" && wanted <= FAR) {
      this.drawSmall(context, view, look);
      return true;
    }
    const level = isHurried ? this.levels.get(look) ?? wanted : wanted;
    this.levels.set(look, level);
    const side = Math.max(1, Math.floor(TILE / level));
    const first = [Math.max(0, Math.floor(view.x / side)), Math.max(0, Math.floor(view.y / side))];
    const last = [
      Math.min(Math.ceil(this.chart.wide / side), Math.ceil((view.x + room.width / view.scale) / side)),
      Math.min(Math.ceil(this.chart.high / side), Math.ceil((view.y + room.height / view.scale) / side)),
    ];
    if (!this.hasAll(look, level, first, last)) this.drawSmall(context, view, look);
    const until = isHurried ? 0 : performance.now() + MOST_MS;
    let isWhole = true;
    for (let row = first[1]; row < last[1]; row++) {
      for (let column = first[0]; column < last[0]; column++) {
        const tile = this.tile(look, level, side, row, column, until);
        if (tile) put(context, view, tile, column * side, row * side, level);
        else isWhole = false;
      }
    }
    return isWhole && level === wanted;
  }

  hasAll(look, level, first, last) {
    for (let row = first[1]; row < last[1]; row++) {
      for (let column = first[0]; column < last[0]; column++) {
        if (!this.tiles.has(`${look} ${level} ${row} ${column}`)) return false;
      }
    }
    return true;
  }

  drawSmall(context, view, look) {
    if (look === "drawing") return;
    if (!this.small.has(look)) this.small.set(look, smallPicture(this.chart, { look, alone: this.alone }));
    const { canvas, side } = this.small.get(look);
    put(context, view, canvas, 0, 0, side);
  }

  tile(look, level, side, row, column, until) {
    const name = `${look} ${level} ${row} ${column}`;
    let tile = this.tiles.get(name);
    if (!tile) {
      if (performance.now() > until) return null;
      tile = this.paint(look, level, side, row, column);
      if (this.tiles.size >= MOST_TILES) this.tiles.delete(this.tiles.keys().next().value);
    }
    this.tiles.delete(name); // the least used come first
    this.tiles.set(name, tile);
    return tile;
  }

  paint(look, level, side, row, column) {
    const box = [
      column * side,
      row * side,
      Math.min((column + 1) * side, this.chart.wide),
      Math.min((row + 1) * side, this.chart.high),
    ];
    const canvas = document.createElement("canvas");
    canvas.width = Math.ceil((box[2] - box[0]) * level);
    canvas.height = Math.ceil((box[3] - box[1]) * level);
    const context = canvas.getContext("2d", { alpha: false });
    if (look === "drawing") this.paintDrawing(context, level, box);
    else this.paintSquares(context, look, level, box);
    return canvas;
  }

  paintSquares(context, look, level, box) {
    const name = `${look} ${level}`;
    if (!this.stamps.has(name)) {
      this.stamps.set(name, makeStamps(this.chart, { look, side: level, alone: this.alone }));
    }
    const stamps = this.stamps.get(name);
    for (let row = box[1]; row < box[3]; row++) {
      for (let column = box[0]; column < box[2]; column++) {
        const [x, y] = stampAt(stamps, this.chart.squares[row * this.chart.wide + column]);
        const at = [(column - box[0]) * level, (row - box[1]) * level];
        context.drawImage(stamps.canvas, x, y, level, level, ...at, level, level);
      }
    }
    context.setTransform(level, 0, 0, level, -box[0] * level, -box[1] * level);
    drawLines(context, this.chart, { look, alone: this.alone, box });
  }

  paintDrawing(context, level, box) {
    context.fillStyle = this.chart.cloth;
    context.fillRect(0, 0, context.canvas.width, context.canvas.height);
    if (!this.drawing) return;
    const { image, box: place } = this.drawing;
    context.drawImage(
      image,
      (place[0] - box[0]) * level,
      (place[1] - box[1]) * level,
      (place[2] - place[0]) * level,
      (place[3] - place[1]) * level,
    );
  }
}

// Puts a picture with `side` pixels a square where it belongs, on whole pixels so that no seam shows.
function put(context, view, picture, column, row, side) {
  const x = Math.round((column - view.x) * view.scale);
  const y = Math.round((row - view.y) * view.scale);
  const right = Math.round((column + picture.width / side - view.x) * view.scale);
  const bottom = Math.round((row + picture.height / side - view.y) * view.scale);
  context.imageSmoothingEnabled = side > view.scale;
  context.drawImage(picture, x, y, right - x, bottom - y);
}
