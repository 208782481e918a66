/** A blank neck: marks that are put on it and taken off again, by pointer or by keys. */
import { makeElement } from "./chart.js";
import { dropMenu, pushButton, tickBox } from "./fields.js";
import { StepList } from "./history.js";
import { keepInNotebook } from "./keep.js";
import { guardKeys, keyTerms } from "./keys.js";
import { Player, scaleRun } from "./player.js";
import { Presenter } from "./present.js";
import { sharedContext } from "./sounder.js";
import { svgElement } from "./svg.js";

const WATCHED = ["board", "marks", "key", "labels", "left_handed"];
const LABEL_WORDS = { notes: "notes", degrees: "degrees", numbers: "numbers, as marked", hidden: "hidden" };

/** Pixels; a narrower frame is scrolled. */
const NARROWEST = 640;

const BLANK_KEYS = [
  { shown: "arrows", words: "move over the neck" },
  { shown: "Enter, Space", words: "mark, or take the mark away" },
  { shown: "0–9, T", words: "write a number or T, e.g. a finger, on the mark" },
  { shown: "Backspace", words: "take the number off it again" },
  { shown: "S", words: "the next shape, of the mark or of the next ones" },
  { shown: "L", words: "the next kind of labels" },
  { shown: "Ctrl + Z, Ctrl + Y", words: "undo, redo" },
  { shown: "P", words: "present, on and off (Esc leaves too)" },
  { shown: "?", words: "show these" },
];

/** From neck to picture: {across(x), down(y)}, and back by `nearest(x, y)` to a cell. */
function blankPlaces({ board, cells }, leftHanded, width) {
  const [left, right, bottom, top] = board.window;
  const rounded = (number) => Math.round(number * 10) / 10;
  const across = (x) => {
    const share = (x - left) / (right - left);
    return rounded(width * (leftHanded ? 1 - share : share));
  };
  const down = (y) => rounded((board.height * (top - y)) / (top - bottom));
  const nearest = (x, y) => {
    const string = Math.round(-(top - (y / board.height) * (top - bottom)));
    const line = cells.filter((cell) => cell.string === string);
    const far = (cell) => Math.abs(across(cell.x) - x);
    return line.reduce((best, cell) => (best && far(best) <= far(cell) ? best : cell), null);
  };
  return { across, down, nearest };
}

/** What is written on each mark. */
function blankLabels({ cells, keys }, marks, { key, labels }) {
  return marks.map(([string, fret, , text], i) => {
    if (labels === "hidden") return "";
    if (text || labels === "numbers") return text || String(i + 1);
    const { midi } = cells.find((cell) => cell.string === string && cell.fret === fret);
    return keys[key][labels === "degrees" ? "degrees" : "names"][midi % 12];
  });
}

function markShape({ marker, size, fill, line, line_width, dashed }, outlines, x, y) {
  const half = size / 2;
  const ink = { fill, stroke: line, "stroke-width": line_width, ...(dashed && { "stroke-dasharray": "4 2.5" }) };
  const corners = outlines[marker];
  if (!corners.length) return svgElement("circle", { cx: x, cy: y, r: half, ...ink });
  const points = corners.map(([dx, dy]) => `${(x + half * dx).toFixed(1)},${(y + half * dy).toFixed(1)}`).join(" ");
  return svgElement("polygon", { points, ...ink });
}

/** The whole picture of a neck and its marks, so many units wide; marks and words have their sizes in units. */
export function blankPicture(data, { marks, key, labels, left_handed: leftHanded }, width = data.width) {
  const { board, roles, outlines, cells } = data;
  const { across, down } = blankPlaces(data, leftHanded, width);
  const svg = svgElement("svg", {
    viewBox: `0 0 ${width} ${board.height}`, role: "img", "font-family": "Liberation Sans, Arial, sans-serif", "text-anchor": "middle",
  });
  const title = blankWords(data, marks, { key, labels });
  svg.setAttribute("aria-label", title);
  svg.append(svgElement("title", {}, title));
  const { wood, inlays, lines, words } = board;
  const edges = [across(wood.left[0]), across(wood.right[0])].sort((a, b) => a - b);
  const [high, low] = [down(wood.top[0]), down(wood.bottom[0])];
  svg.append(svgElement("rect", { x: edges[0], y: high, width: edges[1] - edges[0], height: low - high, fill: data.wood }));
  inlays.x.forEach((x, i) => svg.append(svgElement("circle", { cx: across(x), cy: down(inlays.y[i]), r: data.inlay, fill: "#e2d8c4" })));
  lines.x0.forEach((x0, i) => {
    const ends = { x1: across(x0), y1: down(lines.y0[i]), x2: across(lines.x1[i]), y2: down(lines.y1[i]) };
    svg.append(svgElement("line", { ...ends, stroke: lines.color[i], "stroke-width": lines.width[i] }));
  });
  const middle = { "dominant-baseline": "central", "font-size": 12 };
  words.x.forEach((x, i) => svg.append(svgElement("text", { x: across(x), y: down(words.y[i]), fill: "#444", ...middle }, words.text[i])));
  const written = blankLabels(data, marks, { key, labels });
  marks.forEach(([string, fret, role], i) => {
    const cell = cells.find((one) => one.string === string && one.fret === fret);
    const code = roles[role];
    const [x, y] = [across(cell.x), down(cell.y)];
    const group = svgElement("g", { class: "tk-mark", "data-place": `${string}/${fret}` });
    const label = { x, y: Math.round((y - code.lift * code.size) * 10) / 10, fill: code.text, "font-weight": "bold", ...middle };
    group.append(markShape(code, outlines, x, y), svgElement("text", label, written[i]));
    svg.append(group);
  });
  return svg;
}

/** The text alternative: every mark, the lowest string first. */
function blankWords(data, marks, naming) {
  const name = `${data.name[0].toUpperCase()}${data.name.slice(1)} neck`;
  if (!marks.length) return `${name} with no marks`;
  const labels = blankLabels(data, marks, naming);
  const told = marks
    .map(([string, fret], i) => ({ string, fret, label: labels[i] }))
    .sort((a, b) => b.string - a.string || a.fret - b.fret)
    .map(({ string, fret, label }) => [placeWords(string, fret), label].filter(Boolean).join(" "));
  return `${name} with ${marks.length} mark${marks.length > 1 ? "s" : ""}: ${told.join(", ")}`;
}

function placeWords(string, fret) {
  return `string ${string} ${fret ? `fret ${fret}` : "open"}`;
}

export class BlankView {
  #model;
  #steps;
  #role = "scale";
  #cursor = { string: 1, fret: 0 };
  #presenter;
  #unguard;
  #buttons = {};
  #shapes = {};
  #player = new Player({ context: sharedContext });
  #scale = 1;
  #width = 0;
  /** A picture that is only squeezed would have letters that nobody can read. */
  #sizes = new ResizeObserver(() => this.#units() !== this.#width && this.#paint());

  /** @param {object} model a widget model or its stand-in: board, marks, key, labels, left_handed */
  constructor(model, element) {
    this.#model = model;
    this.#steps = new StepList(model.get("marks"));
    this.#build();
    element.append(this.element);
    const height = () => model.get("board").board.height;
    this.#presenter = new Presenter(this.element, (scale) => this.#rescale(scale), height);
    this.#sizes.observe(this.frame);
    this.#unguard = guardKeys(this.element);
    for (const name of WATCHED) model.on(`change:${name}`, this.#follow);
    this.#paint();
    element.dataset.ready = "true";
  }

  #build() {
    this.element = makeElement("div", "tk-explorer tk-blank");
    this.element.tabIndex = -1;
    this.element.addEventListener("keydown", (event) => this.#key(event));
    this.frame = makeElement("div", "tk-blank-neck");
    this.frame.tabIndex = 0;
    this.frame.setAttribute("role", "application");
    this.frame.setAttribute("aria-label", "Blank neck: arrow keys move over it, Enter marks a place or takes its mark away");
    this.frame.addEventListener("click", (event) => this.#click(event));
    this.frame.addEventListener("focus", () => this.#paint());
    this.frame.addEventListener("blur", () => this.#paint());
    this.status = makeElement("p", "tk-status", "Click on the neck to mark a place, click again to take the mark away.");
    this.status.setAttribute("role", "status");
    this.keys = makeElement("div", "tk-further");
    this.keys.append(keyTerms(BLANK_KEYS));
    this.keys.hidden = true;
    this.element.append(this.#row(), this.#shapeRow(), this.frame, this.status, this.keys);
  }

  #row() {
    const { keys, labels } = this.#model.get("board");
    const row = makeElement("div", "tk-desk tk-row");
    row.setAttribute("role", "toolbar");
    row.setAttribute("aria-label", "Marks and picture");
    const add = (name, text, press) => {
      this.#buttons[name] = pushButton(`desk tk-${name}`, text, press);
      row.append(this.#buttons[name]);
    };
    add("present", "Present", () => this.#presenter.toggle());
    this.labels = choiceMenu("Labels", labels.map((name) => [name, LABEL_WORDS[name]]), (value) => this.#set("labels", value));
    this.key = choiceMenu("Key", Object.entries(keys).map(([name, one]) => [name, one.name]), (value) => this.#set("key", value));
    this.hand = tickBox("left-handed", false, (on) => this.#set("left_handed", on));
    this.sound = tickBox("sound", true, () => {});
    row.append(this.labels.element, this.key.element, this.hand.element, this.sound.element);
    add("undo", "Undo", () => this.#go(-1));
    add("redo", "Redo", () => this.#go(1));
    add("clear", "Clear", () => this.#clear());
    add("save", "Save picture", () => this.#save());
    add("print", "Print", () => this.#print());
    add("help", "Keys", () => this.#showKeys());
    return row;
  }

  /** The shapes to mark with, each drawn as on the neck. */
  #shapeRow() {
    const { roles, outlines } = this.#model.get("board");
    const row = makeElement("div", "tk-row tk-brushes");
    row.setAttribute("role", "group");
    row.setAttribute("aria-label", "Shape of the next marks");
    for (const [role, code] of Object.entries(roles)) {
      const button = pushButton("brush", code.words, () => {
        this.#role = role;
        this.#paint();
      });
      const icon = svgElement("svg", { viewBox: "-20 -20 40 40", "aria-hidden": "true" });
      icon.append(markShape(code, outlines, 0, 0));
      button.prepend(icon);
      this.#shapes[role] = button;
      row.append(button);
    }
    return row;
  }

  get #marks() {
    return this.#model.get("marks");
  }

  #set(name, value) {
    this.#model.set(name, value);
    this.#model.save_changes();
  }

  /** New marks, to be undone later. */
  #setMarks(marks) {
    this.#steps.add(marks);
    this.#set("marks", marks);
  }

  /** A cell of the notebook may set marks too. */
  #follow = () => {
    const marks = this.#marks;
    if (JSON.stringify(marks) !== JSON.stringify(this.#steps.current)) this.#steps.add(marks);
    this.#paint();
  };

  #go(steps) {
    const marks = this.#steps.move(steps);
    if (marks) this.#set("marks", marks);
    this.#say(marks ? `${marks.length} mark${marks.length === 1 ? "" : "s"}.` : "Nothing more.");
    this.#paint();
  }

  #clear() {
    if (this.#marks.length) this.#setMarks([]);
    this.#say("No marks. Undo brings them back.");
  }

  #markAt({ string, fret }) {
    return this.#marks.findIndex((mark) => mark[0] === string && mark[1] === fret);
  }

  #cell() {
    const { cells } = this.#model.get("board");
    const at = ({ string, fret }) => cells.find((cell) => cell.string === string && cell.fret === fret);
    return at(this.#cursor) ?? cells[0];
  }

  #toggle(cell) {
    const { string, fret, midi } = cell;
    this.#cursor = { string, fret };
    const found = this.#markAt(cell);
    if (found >= 0) {
      this.#setMarks(this.#marks.filter((_, i) => i !== found));
      this.#say(`${placeWords(string, fret)}: mark taken away`);
      return;
    }
    this.#setMarks([...this.#marks, [string, fret, this.#role, ""]]);
    this.#sayCell(cell);
    if (this.sound.input.checked) this.#hear(midi);
  }

  /** Change the mark at the cursor; where there is none it is made first. */
  #change(change) {
    const cell = this.#cell();
    const found = this.#markAt(cell);
    const before = found < 0 ? [cell.string, cell.fret, this.#role, ""] : this.#marks[found];
    const after = change([...before]);
    this.#setMarks(found < 0 ? [...this.#marks, after] : this.#marks.map((mark, i) => (i === found ? after : mark)));
    this.#sayCell(cell);
  }

  #nextShape() {
    const roles = Object.keys(this.#shapes);
    const after = (role) => roles[(roles.indexOf(role) + 1) % roles.length];
    const here = this.frame.matches(":focus") && this.#markAt(this.#cell()) >= 0;
    if (here) this.#change(([string, fret, role, text]) => [string, fret, after(role), text]);
    else {
      this.#role = after(this.#role);
      this.#say(`Next marks: ${this.#model.get("board").roles[this.#role].words}`);
      this.#paint();
    }
  }

  #sayCell({ string, fret, midi }) {
    const { keys, roles } = this.#model.get("board");
    const names = keys[this.#model.get("key")];
    const mark = this.#marks[this.#markAt({ string, fret })];
    // Who has hidden the labels wants them told to nobody.
    const note = this.#model.get("labels") === "hidden" ? "" : `${names.names[midi % 12]}, ${names.degrees[midi % 12]}`;
    this.#say([placeWords(string, fret), note, mark && roles[mark[2]].words, mark?.[3]].filter(Boolean).join(" · "));
  }

  #hear(midi) {
    const { voice } = this.#model.get("board");
    this.#player
      .play(scaleRun([midi], { beatsEach: 2, voice }), { tempo: 120, loop: false })
      .catch((error) => this.#say(`No sound: ${error.message}`));
  }

  #click({ clientX, clientY }) {
    const { left, top, width, height } = this.picture.getBoundingClientRect();
    const data = this.#model.get("board");
    const [x, y] = [((clientX - left) / width) * this.#width, ((clientY - top) / height) * data.board.height];
    const cell = blankPlaces(data, this.#model.get("left_handed"), this.#width).nearest(x, y);
    if (cell) this.#toggle(cell);
  }

  #move(strings, frets) {
    const { cells } = this.#model.get("board");
    const here = this.#cell();
    const last = Math.max(...cells.map(({ string }) => string));
    const line = cells.filter(({ string }) => string === Math.min(Math.max(here.string + strings, 1), last));
    let next = line.reduce((best, cell) => (Math.abs(cell.x - here.x) < Math.abs(best.x - here.x) ? cell : best));
    if (frets) next = line[Math.min(Math.max(line.indexOf(next) + frets, 0), line.length - 1)];
    this.#cursor = { string: next.string, fret: next.fret };
    this.#sayCell(next);
    this.#paint();
  }

  #key(event) {
    const command = event.ctrlKey || event.metaKey;
    if (event.altKey || event.defaultPrevented || event.target.matches("input, select")) return;
    const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
    const action = command ? this.#commandOf(key, event.shiftKey) : this.#neckKey(event, key) ?? this.#anyKey(key);
    if (!action) return;
    action();
    event.preventDefault();
    event.stopPropagation();
  }

  #commandOf(key, shift) {
    if (key === "z") return () => this.#go(shift ? 1 : -1);
    return key === "y" ? () => this.#go(1) : null;
  }

  #anyKey(key) {
    const labels = this.#model.get("board").labels;
    return {
      s: () => this.#nextShape(),
      l: () => this.#set("labels", labels[(labels.indexOf(this.#model.get("labels")) + 1) % labels.length]),
      p: () => this.#presenter.toggle(),
      Escape: this.#presenter.on ? () => this.#presenter.leave() : undefined,
      "?": () => this.#showKeys(),
    }[key];
  }

  /** Keys of the neck alone. */
  #neckKey(event, key) {
    if (event.target !== this.frame) return undefined;
    const side = this.#model.get("left_handed") ? -1 : 1;
    const moves = { ArrowRight: [0, side], ArrowLeft: [0, -side], ArrowUp: [-1, 0], ArrowDown: [1, 0] };
    if (key in moves) return () => this.#move(...moves[key]);
    if (key === "Enter" || key === " ") return () => this.#toggle(this.#cell());
    if (/^[0-9t]$/.test(key)) return () => this.#change(([string, fret, role]) => [string, fret, role, key.toUpperCase()]);
    const marked = this.#markAt(this.#cell()) >= 0;
    if (key === "Backspace" && marked) return () => this.#change(([string, fret, role]) => [string, fret, role, ""]);
    if (key === "Delete" && marked) return () => this.#toggle(this.#cell());
    return undefined;
  }

  #showKeys() {
    this.keys.hidden = !this.keys.hidden;
    this.#buttons.help.setAttribute("aria-expanded", String(!this.keys.hidden));
  }

  #state() {
    return Object.fromEntries(WATCHED.slice(1).map((name) => [name, this.#model.get(name)]));
  }

  #rescale(scale) {
    this.#scale = scale;
    this.#paint();
  }

  /** The width of the picture in units; before it has a place, that of a file. */
  #units() {
    const { width } = this.#model.get("board");
    return Math.min(Math.max(this.frame.clientWidth || width, NARROWEST) / this.#scale, width);
  }

  #paint() {
    const data = this.#model.get("board");
    const state = this.#state();
    this.#width = this.#units();
    this.picture = blankPicture(data, state, this.#width);
    if (this.frame.matches(":focus")) this.picture.append(this.#ring(data, state.left_handed));
    this.frame.replaceChildren(this.picture);
    this.labels.input.value = state.labels;
    this.key.input.value = state.key;
    this.hand.input.checked = state.left_handed;
    for (const [role, button] of Object.entries(this.#shapes)) button.setAttribute("aria-pressed", String(role === this.#role));
    this.#buttons.present.setAttribute("aria-pressed", String(Boolean(this.#presenter?.on)));
    this.#buttons.undo.setAttribute("aria-disabled", String(!this.#steps.hasBack));
    this.#buttons.redo.setAttribute("aria-disabled", String(!this.#steps.hasForward));
    this.#buttons.clear.setAttribute("aria-disabled", String(!state.marks.length));
  }

  #ring(data, leftHanded) {
    const { across, down } = blankPlaces(data, leftHanded, this.#width);
    const { x, y } = this.#cell();
    return svgElement("circle", { cx: across(x), cy: down(y), r: 18, fill: "none", stroke: "#111", "stroke-width": 3, "stroke-dasharray": "5 4" });
  }

  /** The picture by itself, as a file holds it. */
  #file() {
    const data = this.#model.get("board");
    const svg = blankPicture(data, this.#state());
    svg.setAttribute("width", data.width);
    svg.setAttribute("height", data.board.height);
    return svg;
  }

  #save() {
    const text = new XMLSerializer().serializeToString(this.#file());
    const link = makeElement("a");
    link.href = URL.createObjectURL(new Blob([text], { type: "image/svg+xml" }));
    link.download = `${this.#model.get("board").name} neck.svg`;
    link.click();
    // The browser reads it after this turn.
    setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
    this.#say(`Saved as “${link.download}”.`);
  }

  /** Only the neck, on a sheet of its own. */
  #print() {
    const sheet = makeElement("iframe");
    sheet.style.cssText = "position: fixed; width: 0; height: 0; border: 0; left: -10px";
    document.body.append(sheet);
    const { contentDocument, contentWindow } = sheet;
    const svg = this.#file();
    svg.setAttribute("width", "100%");
    svg.removeAttribute("height");
    contentDocument.body.append(contentDocument.importNode(svg, true));
    contentWindow.addEventListener("afterprint", () => sheet.remove());
    contentWindow.print();
  }

  #say(text) {
    this.status.textContent = text;
  }

  remove() {
    this.#presenter.leave();
    this.#unguard();
    this.#player.stop();
    this.#sizes.disconnect();
    for (const name of WATCHED) this.#model.off(`change:${name}`, this.#follow);
    this.element.remove();
  }
}

/** A menu of texts: {element, input}. */
function choiceMenu(words, options, onChange) {
  const menu = dropMenu(words, options, options[0][0], () => onChange(menu.input.value));
  return menu;
}

/** anywidget's `render`; the function that it returns cleans up when the cell is run again. */
export function renderBlank({ model, el }) {
  const view = new BlankView(model, el);
  const traits = WATCHED.slice(1);
  const forget = keepInNotebook(model.widget_manager, model, {
    traits,
    read: () => Object.fromEntries(traits.map((name) => [name, model.get(name)])),
    write: (kept) => {
      for (const name of traits) if (name in kept) model.set(name, kept[name]);
      model.save_changes();
    },
  });
  return () => {
    forget();
    view.remove();
  };
}
