/** A neck that a quiz shows and asks on: a picture, or a place to answer with keys and taps. */
import { makeElement } from "./chart.js";
import { neckCells } from "./scene.js";
import { svgElement } from "./svg.js";

/** Pixels of the picture: its length by how many frets it shows, and each string. */
const NECK_PIXELS = [300, 64, 1140];
const STRING_PIXELS = 36;
/** Where there is less room, the neck is scrolled and its marks stay as large as they are. */
const LEAST_PIXELS = 560;
const MARK_RADIUS = 13;

export class QuizNeck {
  #neck;
  #cells = [];
  #frets = 0;
  #leftHanded = false;
  #cursor = { string: 1, fret: 0 };
  #answers = false;
  #focused = false;
  #marks = [];
  #onAnswer;
  #tell;
  #width = LEAST_PIXELS;
  #watch;

  /**
   * @param {object} neck geometry, as the Python package writes it
   * @param {function({string: number, fret: number, midi: number})} onAnswer told the place that is chosen
   * @param {function(string)} tell told in words where the keys have moved to
   */
  constructor(neck, onAnswer, tell) {
    this.#neck = neck;
    this.#onAnswer = onAnswer;
    this.#tell = tell;
    this.element = makeElement("div", "tk-neck tk-quiz-neck");
    this.element.addEventListener("keydown", (event) => this.#key(event));
    this.element.addEventListener("click", (event) => this.#tap(event));
    this.element.addEventListener("focus", () => this.#focus(true));
    this.element.addEventListener("blur", () => this.#focus(false));
    this.#watch = new ResizeObserver(() => this.#roomFor() !== this.#width && this.#draw());
    this.#watch.observe(this.element);
  }

  /** Another instrument. */
  setNeck(neck) {
    this.#neck = neck;
  }

  setLeftHanded(on) {
    this.#leftHanded = on;
    this.#draw();
  }

  /**
   * @param {object} shown
   * @param {number} shown.frets how far up the neck
   * @param {boolean} shown.answers whether a place is to be chosen
   * @param {Array<object>} shown.marks {string, fret, label, look}: "ask", "note", "care", "right", "wrong"
   * @param {string} shown.words what is to be seen
   */
  show({ frets, answers, marks, words }) {
    this.#frets = Math.min(frets, this.#neck.fret_x.length - 1);
    this.#answers = answers;
    this.#marks = marks;
    this.#cells = neckCells(this.#neck, 0).filter(({ fret }) => fret <= this.#frets);
    if (answers) this.#cursor = this.#cursorCell();
    this.element.tabIndex = answers ? 0 : -1;
    this.element.setAttribute("role", answers ? "application" : "img");
    this.element.setAttribute("aria-label", words);
    this.#draw();
  }

  cellsWithin(frets) {
    return neckCells(this.#neck, 0).filter(({ fret }) => fret <= frets);
  }

  /** A place in words. */
  where({ string, fret }) {
    const name = `string ${string} (${this.#neck.strings[string - 1].name})`;
    if (fret === 0) return `open ${name}`;
    const x = this.#neck.stop_x[fret];
    const words = this.#neck.board.words;
    const place = words.x.indexOf(x);
    return `${name}, fret ${place < 0 ? fret : words.text[place]}`;
  }

  #focus(on) {
    this.#focused = on;
    this.#drawCursor();
    if (on && this.#answers) this.#tell(this.where(this.#cursor));
  }

  #cursorCell() {
    const onString = this.#cells.filter(({ string }) => string === this.#cursor.string);
    return onString.find(({ fret }) => fret === this.#cursor.fret) ?? onString[0] ?? this.#cells[0];
  }

  #key(event) {
    if (!this.#answers || event.altKey || event.ctrlKey || event.metaKey || event.shiftKey) return;
    const ahead = this.#leftHanded ? -1 : 1;
    const moves = { ArrowRight: [0, ahead], ArrowLeft: [0, -ahead], ArrowUp: [-1, 0], ArrowDown: [1, 0] };
    if (event.key in moves) this.#move(...moves[event.key]);
    else if (event.key === "Enter" || event.key === " ") this.#onAnswer(this.#cursorCell());
    else return;
    event.preventDefault();
    event.stopPropagation();
  }

  #move(strings, frets) {
    const here = this.#cursorCell();
    const string = Math.min(Math.max(here.string + strings, 1), this.#neck.strings.length);
    const line = this.#cells.filter((cell) => cell.string === string);
    let next = line.reduce((best, cell) => (Math.abs(cell.x - here.x) < Math.abs(best.x - here.x) ? cell : best));
    if (frets) next = line[Math.min(Math.max(line.indexOf(next) + frets, 0), line.length - 1)];
    this.#cursor = next;
    this.#drawCursor();
    this.#tell(this.where(next));
  }

  #tap(event) {
    if (!this.#answers) return;
    const svg = this.element.querySelector("svg");
    const box = svg.getBoundingClientRect();
    const { width, height } = svg.viewBox.baseVal;
    const x = ((event.clientX - box.left) * width) / box.width;
    const y = ((event.clientY - box.top) * height) / box.height;
    const far = (cell) => Math.abs(this.#x(cell.x) - x) + 4 * Math.abs(this.#y(cell.y) - y);
    this.#cursor = this.#cells.reduce((best, cell) => (far(cell) < far(best) ? cell : best));
    this.#onAnswer(this.#cursor);
  }

  /** How long a neck of these frets is to be. */
  get #wanted() {
    const [start, each, most] = NECK_PIXELS;
    return Math.min(start + each * this.#frets, most);
  }

  /** How long it can be; before it is on the page nobody knows. */
  #roomFor() {
    const room = this.element.clientWidth - 8;
    return room > 0 ? Math.min(Math.max(room, LEAST_PIXELS), this.#wanted) : this.#wanted;
  }

  get #right() {
    const [left, right] = this.#neck.board.window;
    const last = this.#neck.fret_x.length - 1;
    return this.#frets >= last ? right : this.#neck.fret_x[this.#frets] + (right - left) * 0.012;
  }

  #x(x) {
    const [left] = this.#neck.board.window;
    const share = ((x - left) / (this.#right - left)) * this.#width;
    return this.#leftHanded ? this.#width - share : share;
  }

  #y(y) {
    return STRING_PIXELS * (-y - 0.35);
  }

  #draw() {
    if (!this.#cells.length) return;
    const { board, strings } = this.#neck;
    // A neck of few frets is not blown up to the width of the page.
    this.element.style.maxWidth = `${this.#wanted + 8}px`;
    this.#width = this.#roomFor();
    const height = STRING_PIXELS * (strings.length + 0.95);
    const svg = svgElement("svg", { viewBox: `0 0 ${this.#width} ${height}`, "aria-hidden": "true" });
    svg.style.width = `${this.#width}px`;
    const right = this.#frets >= this.#neck.fret_x.length - 1 ? board.wood.right[0] : this.#right;
    const across = (from, to) => ({ x: Math.min(this.#x(from), this.#x(to)), width: Math.abs(this.#x(to) - this.#x(from)) });
    const top = this.#y(board.wood.top[0]);
    svg.append(svgElement("rect", { ...across(board.wood.left[0], right), y: top, height: this.#y(board.wood.bottom[0]) - top, class: "tk-wood" }));
    board.inlays.x.forEach((x, i) => {
      if (x < right) svg.append(svgElement("circle", { cx: this.#x(x), cy: this.#y(board.inlays.y[i]), r: 6, class: "tk-inlay" }));
    });
    const { x0, y0, x1, y1, color, width } = board.lines;
    x0.forEach((from, i) => {
      if (from > right) return;
      const ends = { x1: this.#x(from), y1: this.#y(y0[i]), x2: this.#x(Math.min(x1[i], right)), y2: this.#y(y1[i]) };
      svg.append(svgElement("line", { ...ends, stroke: color[i], "stroke-width": width[i] }));
    });
    board.words.x.forEach((x, i) => {
      if (x < right) svg.append(svgElement("text", { x: this.#x(x), y: this.#y(board.words.y[i]), class: "tk-neck-word" }, board.words.text[i]));
    });
    for (const mark of this.#marks) this.#drawMark(svg, mark);
    this.element.replaceChildren(svg);
    this.#drawCursor();
  }

  /** By itself: a press brings the focus, and what it fell on must still be there when it ends. */
  #drawCursor() {
    this.element.querySelector(".tk-quiz-cursor")?.remove();
    if (!this.#answers || !this.#focused) return;
    const { x, y } = this.#cursorCell();
    const cursor = svgElement("circle", { cx: this.#x(x), cy: this.#y(y), r: MARK_RADIUS + 2, class: "tk-quiz-cursor" });
    this.element.querySelector("svg").append(cursor);
    const { left, right } = this.element.getBoundingClientRect();
    const box = cursor.getBoundingClientRect();
    if (box.left < left || box.right > right) this.element.scrollLeft += box.left - (left + right) / 2;
  }

  /** Nothing is drawn any more. */
  remove() {
    this.#watch.disconnect();
  }

  #drawMark(svg, { string, fret, label, look }) {
    const cell = this.#cells.find((each) => each.string === string && each.fret === fret);
    if (!cell) return;
    const [x, y] = [this.#x(cell.x), this.#y(cell.y)];
    const group = svgElement("g", { class: `tk-quiz-mark tk-mark-${look}` });
    const r = MARK_RADIUS;
    if (look === "care") group.append(svgElement("path", { d: `M${x - r - 3} ${y - r + 3} h${2 * r + 6} l${-r - 3} ${2 * r} Z` }));
    else if (look === "wrong") group.append(svgElement("rect", { x: x - r + 1, y: y - r + 1, width: 2 * r - 2, height: 2 * r - 2 }));
    else group.append(svgElement("circle", { cx: x, cy: y, r }));
    group.append(svgElement("text", { x, y: look === "care" ? y - 2 : y }, label));
    svg.append(group);
  }
}
