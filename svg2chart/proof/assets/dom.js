// Elements of the page, found and made.

export function byId(id) {
  return document.getElementById(id);
}

export function make(tag, properties = {}, ...children) {
  const element = Object.assign(document.createElement(tag), properties);
  element.append(...children);
  return element;
}

const SVG = "http://www.w3.org/2000/svg";

// Returns the symbol of a thread on its tint, as it stands in the chart.
export function symbolPicture(thread) {
  const svg = document.createElementNS(SVG, "svg");
  svg.setAttribute("viewBox", "0 0 1 1");
  svg.setAttribute("aria-hidden", "true");
  svg.style.backgroundColor = thread.tint;
  const path = document.createElementNS(SVG, "path");
  path.setAttribute("d", thread.outline);
  svg.append(path);
  return svg;
}

export function patch(colour) {
  const element = make("span", { className: "patch", ariaHidden: "true" });
  element.style.backgroundColor = colour;
  return element;
}

// Returns a thread's name, with its code where it has another one.
export function threadName(thread) {
  return thread.code && thread.code !== thread.name ? `${thread.code} ${thread.name}` : thread.name;
}
