/** The piano roll of a take, page by page: its notes are tapped, stepped through by key, and followed while they sound. */
import { makeElement } from "./chart.js";
import { pushButton } from "./fields.js";
import { EmbeddedFigure, paintRings, paintRoll, repaintSoon } from "./figures.js";

/** A tap further than this from a note, in pixels, is meant for none. */
const REACH = 26;

export class RollView {
  #figure = null;
  #scene = null;
  #page = 0;
  #labels = "name";
  #rings = [];
  #note;
  #head = makeElement("div", "tk-roll-head");

  /** @param {object} actions functions `note(number)`, `step(notes)`, `hear()` */
  constructor(actions) {
    this.#note = actions.note;
    this.element = makeElement("div", "tk-roll");
    this.title = makeElement("p", "tk-title", "Piano roll");
    this.before = pushButton("page-before", "‹ bars", () => this.show(this.#page - 1));
    this.after = pushButton("page-after", "bars ›", () => this.show(this.#page + 1));
    this.label = pushButton("degrees", "Degrees", () => this.#swapLabels());
    this.label.setAttribute("aria-pressed", "false");
    const row = makeElement("div", "tk-row tk-sheet-row");
    row.append(this.title, this.before, this.after, this.label);
    this.frame = makeElement("div", "tk-figure tk-roll-frame");
    this.frame.tabIndex = 0;
    this.frame.setAttribute("role", "application");
    this.frame.setAttribute("aria-label", "Piano roll: left and right arrow go from note to note, Enter sounds it");
    this.picture = makeElement("div", "tk-picture");
    this.picture.setAttribute("role", "img");
    this.#head.setAttribute("aria-hidden", "true");
    this.#head.hidden = true;
    this.picture.append(this.#head);
    this.frame.append(this.picture);
    this.frame.addEventListener("keydown", (event) => this.#key(event, actions));
    this.element.append(row, this.frame);
  }

  async embed(bokeh, item) {
    this.#figure = await EmbeddedFigure.embed(bokeh, item, this.picture);
    this.#figure.onTap((x, y) => this.#tap(x, y));
  }

  #key(event, { step, hear }) {
    if (event.shiftKey || event.altKey || event.ctrlKey || event.metaKey) return;
    const moves = { ArrowLeft: -1, ArrowRight: 1, Home: -Infinity, End: Infinity };
    if (event.key in moves) step(moves[event.key]);
    else if (event.key === "Enter") hear();
    else return;
    event.preventDefault();
    event.stopPropagation();
  }

  #swapLabels() {
    this.#labels = this.#labels === "name" ? "degree" : "name";
    this.label.setAttribute("aria-pressed", String(this.#labels === "degree"));
    this.#paint();
  }

  /** Paint a take's scene from its first page on. */
  paint(scene) {
    this.#scene = scene;
    this.#page = 0;
    return this.#paint();
  }

  /** Turn to a page, by its number. */
  show(page) {
    if (page === this.#page || !this.#scene?.pages[page]) return;
    this.#page = page;
    this.#paint();
  }

  /** Turn to the page that has a bar of the chart, 0 for the first. */
  showBar(bar) {
    this.show(this.#scene.pages.findIndex(({ first, last }) => bar + 1 >= first && bar + 1 <= last));
  }

  get #shown() {
    return this.#scene.pages[this.#page];
  }

  #paint() {
    const { pages, notes } = this.#scene;
    const { first, last, alt } = this.#shown;
    for (const button of [this.before, this.after]) button.hidden = pages.length < 2;
    this.before.disabled = this.#page === 0;
    this.after.disabled = this.#page === pages.length - 1;
    this.title.textContent = `Piano roll, ${first === last ? `bar ${first}` : `bars ${first} to ${last}`}`;
    this.picture.setAttribute("aria-label", alt);
    paintRoll(this.#figure, this.#scene, this.#shown, notes.map((note) => note[this.#labels]));
    this.#head.hidden = true;
    this.#paintRings();
    return repaintSoon(this.#repaint);
  }

  #repaint = { figures: () => (this.#figure ? [this.#figure] : []), words: () => {} };

  /** Ring notes by their numbers: those that sound, or the one that is asked about. */
  ring(numbers, style) {
    this.#rings = numbers.map((number) => ({ number, style }));
    this.#paintRings();
    repaintSoon(this.#repaint);
  }

  #paintRings() {
    const at = ({ number, style }) => this.#shown.marks.filter(({ note }) => note === number).map(({ x, y }) => ({ x, y, style }));
    paintRings(this.#figure, "roll-rings", this.#rings.flatMap(at));
  }

  /** Show the play head in a bar of the chart; null takes it away. */
  showHead(bar, share) {
    const page = this.#scene?.pages[this.#page];
    const row = bar === null ? undefined : page?.rows.findLast(({ first }) => bar + 1 >= first);
    this.#head.hidden = !row || bar + 1 > page.last;
    if (this.#head.hidden) return;
    const [left, right, bottom, top] = page.window;
    const beats = this.#scene.band.beats_per_bar;
    const x = ((bar + 1 - row.first + share) * beats - left) / (right - left);
    const down = (y) => (top - y) / (top - bottom);
    this.#head.style.left = `${x * 100}%`;
    this.#head.style.top = `${down(row.top) * 100}%`;
    this.#head.style.height = `${(down(row.bottom) - down(row.top)) * 100}%`;
  }

  #tap(x, y) {
    const { width, height } = this.picture.getBoundingClientRect();
    const [left, right, bottom, top] = this.#shown.window;
    const away = (mark) => Math.hypot(((mark.x - x) / (right - left)) * width, ((mark.y - y) / (top - bottom)) * height);
    const near = this.#shown.marks.reduce((best, mark) => (!best || away(mark) < away(best) ? mark : best), null);
    if (near && away(near) <= REACH) this.#note(near.note);
  }

  remove() {
    this.#figure?.remove();
    this.#figure = null;
  }
}
