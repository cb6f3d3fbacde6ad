// The page put together: a live one that asks its server, or one that carries its chart along.

import { Board } from "./board.js";
import { readChart } from "./chart.js";
import { byId } from "./dom.js";
import { measureElements, readDrawing } from "./drawing.js";
import { listen } from "./input.js";
import { showKey } from "./key.js";
import { ENDED, fetchJson, listenToNews } from "./live.js";
import { Marks } from "./marks.js";
import { fillSheets, showSheets } from "./printing.js";
import { showRemarks } from "./remarks.js";
import { SettingsForm } from "./settings.js";
import { SquarePanel } from "./square.js";

const NO_MARKS = { isMarking: () => false, begin() {}, go() {}, end() {}, turn: () => false };

// Leaves in the page what it can do: "live", "drawing", "marks".
function keepParts(able) {
  for (const part of document.querySelectorAll("[data-needs]")) {
    if (!able.includes(part.dataset.needs)) part.remove();
  }
}

function listenToTools(board) {
  const looks = [...document.querySelectorAll("input[name=look]")];
  const blend = byId("blend");
  const show = (look, share) => {
    board.setLook(look, share);
    for (const radio of looks) radio.checked = radio.value === (share > 0 ? look : "drawing");
    if (blend) blend.value = String(Math.round(share * 100));
  };
  for (const radio of looks) {
    radio.addEventListener("change", () => {
      if (radio.value === "drawing") show(board.look, 0);
      else show(radio.value, board.blend || 1);
    });
  }
  blend?.addEventListener("input", () => show(board.look, Number(blend.value) / 100));
  byId("smaller").addEventListener("click", () => board.step(-1));
  byId("larger").addEventListener("click", () => board.step(1));
  byId("whole").addEventListener("click", () => board.whole());
}

function showChart(board, panel, chart, ground = null) {
  document.title = chart.title;
  byId("title").textContent = chart.title;
  byId("size").textContent = chart.size;
  byId("chart").ariaLabel = `Chart, ${chart.wide} squares wide, ${chart.high} high`;
  panel.chart = chart;
  board.setAlone(showKey(chart, board.tiles.alone, (thread) => board.setAlone(thread)));
  board.setChart(chart, ground);
  panel.show(board.pointed ?? board.square);
}

function startAlone(content) {
  keepParts(["marks"]);
  const chart = readChart(content.chart, content.beside);
  const panel = new SquarePanel(null);
  const board = new Board(byId("chart"), { onSquare: (square) => panel.show(square) });
  listenToTools(board);
  showChart(board, panel, chart);
  showRemarks(chart, [], () => {});
  listen(board, new Marks(chart, content.name, (done) => board.setDone(done)));
  const back = () => {
    showSheets(false);
    byId("print").focus();
  };
  byId("print").addEventListener("click", async () => {
    showSheets(true);
    await fillSheets(chart, byId("sheets"), back);
  });
}

class Live {
  constructor() {
    keepParts(["live", "drawing"]);
    this.revision = 0;
    this.panel = new SquarePanel((square) => this.explain(square));
    this.board = new Board(byId("chart"), { onSquare: (square) => this.panel.show(square) });
    this.form = new SettingsForm((wanted) => this.change(wanted));
    listenToTools(this.board);
    listen(this.board, NO_MARKS);
    byId("write").addEventListener("click", () => this.write());
    byId("status").textContent = "Charting…";
    listenToNews(
      (news) => this.hear(news),
      () => (byId("status").textContent = ENDED),
    );
  }

  async explain({ row, column }) {
    const { isDone, value } = await fetchJson(`square/${row}/${column}`);
    return isDone && value.revision === this.revision ? value : null;
  }

  hear({ revision, trouble, busy }) {
    if (busy) byId("status").textContent = "Charting…";
    else byId("status").textContent = trouble ? "Not charted" : this.charted ?? "";
    this.tell(trouble);
    if (revision !== this.revision && !busy) this.load();
  }

  tell(trouble) {
    byId("trouble").textContent = trouble;
    byId("trouble").hidden = !trouble;
  }

  async load() {
    const { isDone, value } = await fetchJson("state");
    if (!isDone || value.revision <= this.revision) return; // answers may overtake each other
    this.revision = value.revision;
    const chart = readChart(value.chart, value.beside);
    showChart(this.board, this.panel, chart, value.ground);
    this.form.show(value.settings);
    byId("files-names").textContent = value.targets.join(", ");
    this.charted = value.told;
    byId("status").textContent = value.told;
    await this.loadDrawing(chart, value);
    document.documentElement.dataset.revision = value.revision; // all of it is there
  }

  async loadDrawing(chart, { revision, box, places }) {
    const address = `drawing/${revision}.svg`;
    const drawing = await readDrawing(address, box);
    if (revision !== this.revision) return;
    this.board.setDrawing(drawing);
    const unknown = chart.remarks.flatMap(({ element }, i) => (element && !places[i] ? [i] : []));
    const found = await measureElements(address, unknown.map((i) => chart.remarks[i].element), box);
    if (revision !== this.revision) return;
    const all = [...places];
    unknown.forEach((i, k) => (all[i] = found[k]));
    showRemarks(chart, all, (place) => this.board.show(place));
  }

  async change(wanted) {
    byId("status").textContent = "Charting…";
    const { value } = await fetchJson("settings", wanted);
    if (value) this.hear(value);
    else byId("status").textContent = ENDED;
  }

  async write() {
    byId("written").textContent = "Writing…";
    const { value } = await fetchJson("write", { revision: this.revision });
    byId("written").textContent = value?.told ?? ENDED;
  }
}

const carried = byId("content");
if (carried) startAlone(JSON.parse(carried.textContent));
else new Live();
