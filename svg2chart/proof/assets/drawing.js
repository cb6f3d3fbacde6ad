// The drawing itself: its picture under the chart, and where elements lie of which the chart has nothing.

// Returns the picture with its place in squares, null where the browser cannot draw it.
export async function readDrawing(address, box) {
  const image = new Image();
  image.src = address;
  try {
    await image.decode();
  } catch {
    return null;
  }
  return { image, box };
}

// Returns for each id the box of its element in squares, null where it has none. The drawing is laid out in a
// frame in which no script runs, measured and taken away again.
export async function measureElements(address, ids, box) {
  if (!ids.length) return [];
  const frame = document.createElement("iframe");
  frame.setAttribute("sandbox", "allow-same-origin");
  frame.title = "The drawing, measured";
  frame.inert = true;
  Object.assign(frame.style, { position: "absolute", left: "-200rem", width: "1000px", height: "1000px", border: "0" });
  const isLoaded = new Promise((resolve) => frame.addEventListener("load", resolve, { once: true }));
  frame.src = address;
  document.body.append(frame);
  await isLoaded;
  try {
    return measured(frame.contentDocument, ids, box);
  } finally {
    frame.remove();
  }
}

function measured(drawing, ids, [left, top, right, bottom]) {
  const root = drawing?.documentElement;
  if (root?.localName !== "svg") return ids.map(() => null);
  const page = root.getBoundingClientRect();
  return ids.map((id) => {
    const seen = drawing.getElementById(id)?.getBoundingClientRect();
    if (!seen || !(seen.width || seen.height) || !page.width || !page.height) return null;
    const x = (px) => left + ((px - page.left) / page.width) * (right - left);
    const y = (py) => top + ((py - page.top) / page.height) * (bottom - top);
    return [x(seen.left), y(seen.top), x(seen.right), y(seen.bottom)];
  });
}
