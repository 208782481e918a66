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
  #bars = [];
  #onStep;
  #onLoop;
  #loop = null;
  // Where a loop that is being chosen began, and its other end.
  #anchor = null;
  #reach = null;
  #head = makeElement("div", "tk-head");
  #count = makeElement("div", "tk-count");
  #prefix = `tk-chart-${++chartCount}-`;

  /**
   * @param {function(number)} onStep told the step that is chosen
   * @param {function({first: number, last: number})} onLoop told the bars that are chosen, 0 for the first
   */
  constructor(onStep, onLoop) {
    this.#onStep = onStep;
    this.#onLoop = onLoop;
    this.element = makeElement("div", "tk-chart");
    this.element.setAttribute("role", "listbox");
    this.element.tabIndex = 0;
    this.element.addEventListener("keydown", (event) => this.#key(event));
    this.element.addEventListener("click", (event) => {
      const cell = event.target.closest("[data-step]");
      if (cell && !event.shiftKey) this.#onStep(Number(cell.dataset.step));
    });
    for (const one of [this.#head, this.#count]) one.setAttribute("aria-hidden", "true");
    this.#listenForDrags();
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

  /** The bar of the current step, 0 for the first. */
  get bar() {
    return this.#barOf(this.#cells[this.step]);
  }

  get stepCount() {
    return this.#cells.length;
  }

  get barCount() {
    return this.#bars.length;
  }

  /** Mark the bars that are looped. @param {{first: number, last: number}|null} loop */
  showLoop(loop) {
    this.#loop = loop;
    if (!loop) this.#anchor = this.#reach = null;
    else if (this.#anchor === null) [this.#anchor, this.#reach] = [loop.first, loop.last];
    this.#bars.forEach((bar, i) => {
      const inside = Boolean(loop) && i >= loop.first && i <= loop.last;
      bar.classList.toggle("tk-in-loop", inside);
      bar.classList.toggle("tk-loop-first", inside && i === loop.first);
      bar.classList.toggle("tk-loop-last", inside && i === loop.last);
      bar.setAttribute("aria-label", inside ? `Bar ${i + 1}, looped` : `Bar ${i + 1}`);
    });
  }

  /** Show the play head in a bar; null takes it away. */
  showHead(bar, share) {
    const place = bar === null ? undefined : this.#bars[bar];
    if (!place) this.#head.remove();
    else if (this.#head.parentElement !== place) place.append(this.#head);
    this.#head.style.transform = `scaleX(${share ?? 0})`;
  }

  /** Show what is counted, in the bar that the music will begin with. @param {{bar: number, number: number}|null} count */
  showCount(count) {
    const place = this.#bars[count?.bar];
    if (!place) this.#count.remove();
    else if (this.#count.parentElement !== place) place.append(this.#count);
    this.#count.textContent = count?.number ?? "";
  }

  #build(chart) {
    this.#cells = [];
    this.#bars = chart.map((chords, i) => {
      const bar = makeElement("div", "tk-bar");
      bar.setAttribute("role", "group");
      bar.append(makeElement("span", "tk-bar-number", String(i + 1)));
      for (const chord of chords) bar.append(this.#cell(chord));
      return bar;
    });
    this.element.replaceChildren(...this.#bars);
    this.showLoop(this.#loop);
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

  #barOf(element) {
    return this.#bars.indexOf(element?.closest(".tk-bar"));
  }

  /** A drag from bar to bar, or a click with Shift held, chooses bars to loop. */
  #listenForDrags() {
    const under = ({ clientX, clientY }) => this.#barOf(this.element.getRootNode().elementFromPoint(clientX, clientY));
    let from = -1;
    let dragging = false;
    let before = null;
    const end = (event) => {
      if (dragging && event.type === "pointerup") this.#onLoop(this.#loop);
      else if (dragging) this.showLoop(before);
      from = -1;
      dragging = false;
    };
    this.element.addEventListener("pointerdown", (event) => {
      if (event.button !== 0) return;
      from = this.#barOf(event.target);
      before = this.#loop;
      if (event.shiftKey && from >= 0) {
        this.#anchor ??= this.bar;
        this.#reachTo(from);
        from = -1;
      }
    });
    this.element.addEventListener("pointermove", (event) => {
      const bar = from < 0 ? -1 : under(event);
      if (bar < 0 || (!dragging && bar === from)) return;
      // Not before it is a drag: a captured press would click the chart, and no chord.
      if (!dragging) this.element.setPointerCapture(event.pointerId);
      dragging = true;
      [this.#anchor, this.#reach] = [from, bar];
      this.showLoop(this.#chosen());
    });
    this.element.addEventListener("pointerup", end);
    this.element.addEventListener("pointercancel", end);
  }

  #chosen() {
    return { first: Math.min(this.#anchor, this.#reach), last: Math.max(this.#anchor, this.#reach) };
  }

  #reachTo(bar) {
    this.#reach = bar;
    this.#onLoop(this.#chosen());
  }

  #key(event) {
    if (event.altKey || event.ctrlKey || event.metaKey) return;
    if (event.shiftKey ? this.reachFurther(event.key) : this.#move(event.key)) {
      event.preventDefault();
      event.stopPropagation();
    }
  }

  #move(key) {
    const last = this.#cells.length - 1;
    const moves = {
      ArrowRight: this.step + 1,
      ArrowLeft: this.step - 1,
      ArrowDown: this.#nextRow(this.#cells, this.step, 1),
      ArrowUp: this.#nextRow(this.#cells, this.step, -1),
      Home: 0,
      End: last,
    };
    if (!(key in moves)) return false;
    this.#onStep(Math.min(Math.max(moves[key], 0), last));
    return true;
  }

  /** Loop from the current bar, or the end of the loop moved by a key; tells whether it is such a key. */
  reachFurther(key) {
    const here = this.#reach ?? this.bar;
    const last = this.#bars.length - 1;
    const reaches = {
      ArrowRight: here + 1,
      ArrowLeft: here - 1,
      ArrowDown: this.#nextRow(this.#bars, here, 1),
      ArrowUp: this.#nextRow(this.#bars, here, -1),
      Home: 0,
      End: last,
    };
    if (!(key in reaches)) return false;
    this.#anchor ??= this.bar;
    this.#reachTo(Math.min(Math.max(reaches[key], 0), last));
    return true;
  }

  /** Of some cells or bars, the one in the row below or above that lies nearest. */
  #nextRow(places, from, direction) {
    const box = (place) => place.getBoundingClientRect();
    const here = box(places[from]);
    let best = from;
    let least = Infinity;
    places.forEach((place, i) => {
      const { top, left } = box(place);
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
