/** A chord diagram as SVG: strings down, frets across, finger numbers on the dots. */

const SVG = "http://www.w3.org/2000/svg";
const ROWS = 4;
const STRING_GAP = 15;
const FRET_GAP = 19;
const TOP = 26;
const LEFT = 22;
const DOT = 7;

function draw(parent, name, attributes, text) {
  const element = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) element.setAttribute(key, value);
  if (text !== undefined) element.textContent = text;
  parent.append(element);
  return element;
}

/**
 * @param {object} shape `frets`, `fingers` and `degrees` from the lowest string; null is a muted string
 * @param {object} options `starts` (the fret at which each string begins, lowest string first) and `leftHanded`
 * @returns {SVGElement} hidden from screen readers: whoever shows it says what it is
 */
export function chordDiagram({ frets, fingers, degrees }, { starts, leftHanded }) {
  const stopped = frets.filter((fret) => fret);
  const highest = Math.max(0, ...stopped);
  const base = highest <= ROWS ? 0 : Math.min(...stopped) - 1;
  const rows = Math.max(ROWS, highest - base);
  const count = frets.length;
  const width = LEFT + (count - 1) * STRING_GAP + 16;
  const height = TOP + rows * FRET_GAP + 20;
  const x = (i) => LEFT + (leftHanded ? count - 1 - i : i) * STRING_GAP;
  const y = (fret) => TOP + (fret - base) * FRET_GAP;
  const svg = document.createElementNS(SVG, "svg");
  for (const [key, value] of Object.entries({ viewBox: `0 0 ${width} ${height}`, width, height, "aria-hidden": "true" })) {
    svg.setAttribute(key, value);
  }
  const ends = [x(0), x(count - 1)];
  const span = { x1: Math.min(...ends), x2: Math.max(...ends) };
  for (let row = 0; row <= rows; row++) {
    const at = TOP + row * FRET_GAP;
    draw(svg, "line", { ...span, y1: at, y2: at, stroke: "#333", "stroke-width": row === 0 && base === 0 ? 3.5 : 1 });
  }
  if (base > 0) draw(svg, "text", { x: span.x1 - 9, y: y(base + 0.5) + 4, class: "tk-base" }, base + 1);
  frets.forEach((_, i) => {
    const from = y(Math.min(Math.max(starts[i], base), base + rows));
    draw(svg, "line", { x1: x(i), x2: x(i), y1: from, y2: TOP + rows * FRET_GAP, stroke: "#333", "stroke-width": 1 });
  });
  for (const [fret, from, to] of barresOf(frets, fingers)) {
    const at = y(fret - 0.5);
    draw(svg, "line", { x1: x(from), x2: x(to), y1: at, y2: at, stroke: "#111", "stroke-width": 2 * DOT, "stroke-linecap": "round" });
  }
  frets.forEach((fret, i) => {
    if (degrees[i] !== null) draw(svg, "text", { x: x(i), y: height - 5, class: "tk-member" }, degrees[i]);
    if (!fret) {
      draw(svg, "text", { x: x(i), y: TOP - 8, class: "tk-loose" }, fret === null ? "×" : "○");
      return;
    }
    const at = y(fret - 0.5);
    draw(svg, "circle", { cx: x(i), cy: at, r: DOT, fill: "#111" });
    if (fingers[i]) draw(svg, "text", { x: x(i), y: at + 4, class: "tk-finger" }, fingers[i]);
  });
  return svg;
}

/** Where one finger stops several strings: [fret, first, last]. */
function barresOf(frets, fingers) {
  return [1, 2, 3, 4].flatMap((finger) => {
    const strings = fingers.flatMap((each, i) => (each === finger ? [i] : []));
    return strings.length > 1 ? [[frets[strings[0]], strings[0], strings.at(-1)]] : [];
  });
}
