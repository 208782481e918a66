/** The chart of bars, with the advice under each chord: a list box that the arrow keys step through. */

let chartCount = 0;

export function makeElement(tag, className, text) {
  const element = document.createElement(tag);
  if (className) element.className = className;
  if (text !== undefined) element.textContent = text;
  return element;
}

export class Chart {
  #signature = "";
  #cells = [];
  #onStep;
  #prefix = `tk-chart-${++chartCount}-`;

  /** @param {function(number)} onStep told the step that is chosen */
  constructor(onStep) {
    this.#onStep = onStep;
    this.element = makeElement("div", "tk-chart");
    this.element.setAttribute("role", "listbox");
    this.element.tabIndex = 0;
    this.element.addEventListener("keydown", (event) => this.#key(event));
    this.element.addEventListener("click", (event) => {
      const cell = event.target.closest("[data-step]");
      if (cell) this.#onStep(Number(cell.dataset.step));
    });
  }

  paint({ chart, step, heading }) {
    const signature = JSON.stringify(chart);
    if (signature !== this.#signature) {
      this.#signature = signature;
      this.#build(chart);
    }
    this.element.setAttribute("aria-label", `Chart, ${chart.length} bars: ${heading}`);
    this.#cells.forEach((cell, i) => {
      if ((cell.getAttribute("aria-selected") === "true") !== (i === step)) {
        cell.setAttribute("aria-selected", String(i === step));
      }
    });
    this.element.setAttribute("aria-activedescendant", this.#cells[step].id);
    this.step = step;
  }

  #build(chart) {
    this.#cells = [];
    const bars = chart.map((chords, i) => {
      const bar = makeElement("div", "tk-bar");
      bar.setAttribute("role", "group");
      bar.setAttribute("aria-label", `Bar ${i + 1}`);
      bar.append(makeElement("span", "tk-bar-number", String(i + 1)));
      for (const chord of chords) bar.append(this.#cell(chord));
      return bar;
    });
    this.element.replaceChildren(...bars);
  }

  #cell({ step, bar, numeral, chord, verdict, short }) {
    const cell = makeElement("div", `tk-chord tk-${verdict}`);
    cell.id = this.#prefix + step;
    cell.dataset.step = step;
    cell.setAttribute("role", "option");
    cell.setAttribute("aria-selected", "false");
    cell.setAttribute("aria-label", `Bar ${bar}, ${numeral}, ${chord}: ${short}`);
    cell.append(
      makeElement("span", "tk-numeral", numeral),
      makeElement("span", "tk-symbol", chord),
      makeElement("span", "tk-verdict", short),
    );
    this.#cells.push(cell);
    return cell;
  }

  #key(event) {
    const last = this.#cells.length - 1;
    const moves = {
      ArrowRight: this.step + 1,
      ArrowLeft: this.step - 1,
      ArrowDown: this.#nextRow(1),
      ArrowUp: this.#nextRow(-1),
      Home: 0,
      End: last,
    };
    if (!(event.key in moves) || event.altKey || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    event.stopPropagation();
    this.#onStep(Math.min(Math.max(moves[event.key], 0), last));
  }

  /** The step in the row of bars below or above that lies nearest. */
  #nextRow(direction) {
    const box = (cell) => cell.getBoundingClientRect();
    const here = box(this.#cells[this.step]);
    let best = this.step;
    let least = Infinity;
    this.#cells.forEach((cell, i) => {
      const { top, left } = box(cell);
      const down = (top - here.top) * direction;
      if (down < 4) return;
      const distance = down * 100 + Math.abs(left - here.left);
      if (distance < least) [best, least] = [i, distance];
    });
    return best;
  }
}

/**
 * The legend of the codes in use, each drawn as on the neck.
 * @param {object} scene `legend` and `neck`; over a chord every code is explained, else only those that are there
 * @param {{first: string, second: string}} names of the scales that are compared
 */
export function paintLegend(element, table, { legend, neck }, names) {
  const present = new Set(neck.map(({ role }) => role));
  const roles = table.legends[legend].filter((role) => ["chord", "scale"].includes(legend) || present.has(role));
  const words = roles.map((role) => (names[role] ? `only in ${names[role]}` : table.codes[role].words));
  if (element.dataset.legend === String(words)) return;
  element.dataset.legend = String(words);
  element.replaceChildren(
    ...roles.map((role, i) => {
      const item = makeElement("span", "tk-legend-item");
      item.append(codeIcon(table.codes[role]), document.createTextNode(words[i]));
      return item;
    }),
  );
}

const ICON_POINTS = {
  hex: "12,1 22,6.5 22,17.5 12,23 2,17.5 2,6.5",
  square: "3,3 21,3 21,21 3,21",
  diamond: "12,1 20,12 12,23 4,12",
  triangle: "12,2 23,21 1,21",
  inverted_triangle: "12,22 23,3 1,3",
};

function codeIcon({ marker, size, fill, line, line_width, dash }) {
  const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  svg.setAttribute("viewBox", "0 0 24 24");
  svg.setAttribute("aria-hidden", "true");
  const round = marker === "circle";
  const shape = document.createElementNS("http://www.w3.org/2000/svg", round ? "circle" : "polygon");
  const attributes = round ? { cx: 12, cy: 12, r: size / 2.5 } : { points: ICON_POINTS[marker] };
  Object.assign(attributes, { fill, stroke: line, "stroke-width": line_width });
  if (dash === "dashed") attributes["stroke-dasharray"] = "4 2.5";
  for (const [name, value] of Object.entries(attributes)) shape.setAttribute(name, value);
  svg.append(shape);
  return svg;
}
