/** An explorer: sentence, neck, keyboard, legend and sound over one study, and what its kind has besides. */
import { bandScore, positionScore, shapeScore, scaleScore } from "./band.js";
import { Chart, makeElement, paintLegend } from "./chart.js";
import { EmbeddedFigure, paintBoard, paintMarks, paintRings, paintRuler, repaintSoon } from "./figures.js";
import { TeacherDesk } from "./desk.js";
import { positionSceneOf } from "./positions.js";
import { chartBars, labelled, neckCells, sceneOf } from "./scene.js";
import { SheetView, lineAfter, sheetEvents, sheetSceneOf, sheetScore, sheetsOf } from "./sheet.js";
import { nearestShape, shapeSceneOf, shapesOf } from "./shapes.js";
import { listenForKeys } from "./keys.js";
import { Sight } from "./sight.js";
import { SoundPanel } from "./sounder.js";
import { PositionStrip, ShapeStrip } from "./strip.js";

/** What a study holds, by the name that a choice gives it. */
export const STUDY_TRAITS = {
  key: "key_index",
  scale: "scale_index",
  compare: "compare_index",
  progression: "progression_index",
  style: "style_index",
  feel: "feel_index",
  instrument: "instrument_index",
  labels: "labels_index",
  pattern: "pattern_index",
  root: "root_index",
  quality: "quality_index",
  omit: "omit_index",
  place: "place_index",
  figure: "figure_index",
  direction: "direction_index",
  rhythm: "rhythm_index",
  level: "level_index",
  grit: "grit_index",
  capo: "capo",
  tempo: "tempo",
  step: "step",
  thirds: "thirds",
  comp_held: "comp_held",
  follow: "follow",
  left_handed: "left_handed",
  fingers: "fingers",
  position: "position",
  shape: "shape",
  beside: "beside",
  number: "number",
  kept: "kept",
  note: "note",
  tune: "tune",
  table: "table",
  atlas: "atlas",
};

/** The choice of a study's model. In menus "compare" has a first entry for nothing. */
export function readChoice(study) {
  const choice = {};
  for (const [name, trait] of Object.entries(STUDY_TRAITS)) {
    if (name !== "table" && name !== "atlas") choice[name] = study.get(trait);
  }
  choice.compare -= 1;
  return choice;
}

/** What each kind of explorer shows and plays; `atlas` where its pictures come from what the study has found. */
const KINDS = {
  progression: { figures: ["neck", "ruler", "keyboard"], lines: { scale: "Hear the scale" }, overChords: true },
  ensemble: { figures: ["neck", "keyboard"], lines: { scale: "Hear the scale" }, overChords: true },
  scale: { figures: ["neck", "ruler", "keyboard"], lines: { scale: "Hear the scale", other: "Hear the other" } },
  positions: { figures: ["neck", "keyboard"], lines: { position: "Hear the position" }, fingers: true, atlas: true },
  shapes: { figures: ["neck", "keyboard"], lines: { shape: "Strum it", other: "Strum the other" }, fingers: true, atlas: true },
  sequences: { figures: ["neck", "keyboard"], lines: { written: "Hear it" }, sheet: true, atlas: true },
  lines: { figures: ["neck", "keyboard"], lines: { written: "Hear the line alone", other: "Hear the kept line" }, overChords: true, sheet: true, atlas: true },
  tunes: { figures: ["neck", "keyboard"], lines: { written: "Hear it alone", other: "Hear the kept one" }, overChords: true, sheet: true, atlas: true },
};

/** With another one of these the music is another. */
const SHEET_CHOICES = ["key", "scale", "progression", "style", "figure", "direction", "rhythm", "level", "grit", "number", "instrument", "tune"];

/** With another one of these another list of shapes begins. */
const CHORD_CHOICES = ["root", "quality", "omit", "place", "instrument"];

export class Explorer {
  #study;
  #kind;
  #figures = {};
  #changed = new Set();
  #listeners = [];
  #scene = null;
  /** One, or a wall of them: {name, instrument (its name; null for the study's), capo, board, title, marks}. */
  #necks = [];
  #cursor = { neck: 0, string: 1, fret: 0 };
  #cursorShown = false;
  #desk;
  #sight;
  #tapped = null;
  #sounding = [];
  #next = [];
  /** Of the notes that sound, where they are those of a sheet. */
  #numbers = [];
  #forgetKeys;

  /**
   * @param {object} options
   * @param {object} options.study a widget model, or the page's stand-in for one
   * @param {string} options.kind one of `KINDS`
   * @param {object[]} options.necks of several instruments, one under another: {instrument (its name), capo}
   * @param {object} options.figures Bokeh's json items: `neck`, `keyboard`, `ruler`
   * @param {HTMLElement} options.element
   * @param {object} options.bokeh
   * @returns {Promise<Explorer>}
   */
  static async open({ study, kind, necks = [], figures, element, bokeh }) {
    const explorer = new Explorer();
    explorer.#study = study;
    explorer.#kind = kind;
    const wall = necks.length ? necks : [{ instrument: null }];
    explorer.#necks = wall.map((neck, i) => ({ ...neck, name: i ? `neck ${i + 1}` : "neck", board: "" }));
    explorer.#build(element);
    for (const [name, place] of Object.entries(explorer.places)) {
      explorer.#figures[name] = await EmbeddedFigure.embed(bokeh, figures[name.split(" ")[0]], place);
    }
    explorer.#necks.forEach(({ name }, number) => explorer.#figures[name].onTap((x, y) => explorer.#tapNeck(number, x, y)));
    explorer.#figures.keyboard.onTap((x, y) => explorer.#tapKeyboard(x, y));
    for (const [name, trait] of Object.entries(STUDY_TRAITS)) {
      const listener = () => explorer.#note(name);
      study.on(`change:${trait}`, listener);
      explorer.#listeners.push([`change:${trait}`, listener]);
    }
    explorer.#sight = new Sight(explorer.element, () => explorer.#paintScene());
    await explorer.#paint();
    element.dataset.ready = "true";
    return explorer;
  }

  #build(element) {
    const root = makeElement("div", "tk-explorer");
    root.dataset.kind = this.#kind;
    const { figures, lines, overChords = false } = KINDS[this.#kind];
    this.#sentence = makeElement("p", "tk-sentence");
    this.#sentence.setAttribute("aria-live", "polite");
    this.#legend = makeElement("div", "tk-legend");
    this.#status = makeElement("p", "tk-status", "Tap the neck or a key to hear it and name it.");
    this.#status.setAttribute("role", "status");
    this.places = {};
    const wall = this.#necks.map((neck, number) => this.#makeNeck(neck, number));
    const frames = Object.fromEntries(figures.filter((name) => name !== "neck").map((name) => [name, this.#place(name)]));
    if (frames.ruler) {
      this.#rulerTitle = makeElement("p", "tk-title");
      frames.ruler.prepend(this.#rulerTitle);
    }
    frames.keyboard.prepend(makeElement("p", "tk-title", "Keyboard"));
    const pair = makeElement("div", "tk-pair");
    pair.append(...Object.values(frames));
    const choosers = this.#makeChoosers();
    this.#sound = new SoundPanel(
      {
        choice: () => this.#choice(),
        tempos: this.#study.get("table").tempo,
        voice: (instrument) => this.#voice(instrument),
        changes: (swing) => this.#changes(swing),
        chart: overChords ? this.#chart : null,
        lineScore: (what) => this.#lineScore(what),
        otherIsThere: () => this.#otherIsThere(this.#choice()),
        setChoice: (name, value) => this.#set(name, value),
        showSounding: (notes, next) => this.#showSounding(notes, next),
        showTapped: (place) => this.#showTapped(place),
        // Read aloud at each chord, the sentence would talk into the music.
        showPlaying: (on) => this.#sentence.setAttribute("aria-live", on ? "off" : "polite"),
        say: (text) => this.#say(text),
        asks: this.#asks,
      },
      lines,
    );
    this.#desk = this.#makeDesk(root);
    const stop = () => this.#desk.leave() || this.#sound.stop();
    this.#forgetKeys = listenForKeys(root, { ...this.#sound.actions, ...this.#desk.actions, stop });
    const said = makeElement("div", "tk-said");
    said.append(this.#sentence, this.#desk.answerButton);
    root.append(this.#desk.element, ...choosers, this.#sound.element, said);
    if (overChords) root.append(this.#sound.switches);
    if (this.#sheet) root.append(this.#sheet.element);
    root.append(...wall, this.#makeSwitches(), this.#legend, this.#status, pair);
    element.append(root);
    this.element = root;
  }

  /** Whether a class can be asked at each chord: written music would tell. */
  get #asks() {
    const { overChords = false, sheet = false } = KINDS[this.#kind];
    return overChords && !sheet;
  }

  #makeDesk(root) {
    return new TeacherDesk(root, {
      study: this.#study,
      traits: STUDY_TRAITS,
      chart: KINDS[this.#kind].overChords ? this.#chart : null,
      asks: this.#asks,
      step: () => this.#scene?.step ?? 0,
      setStep: (step) => this.#set("step", step),
      pictures: () => [...this.#necks.map(({ name, marks }) => [name, marks]), ["keyboard", this.#scene.keyboard]],
      usualHeight: () => this.#usualHeight(),
      setScale: (scale) => this.#rescale(scale),
      repaint: () => this.#paint(),
      say: (text) => this.#say(text),
    });
  }

  /** Of the necks together, in pixels at the usual scale. */
  #usualHeight() {
    const { instruments } = this.#study.get("table");
    return this.#necks.reduce((sum, _, number) => sum + instruments[this.#neckChoice(number).instrument].board.height, 0);
  }

  #rescale(scale) {
    for (const figure of Object.values(this.#figures)) figure.setScale(scale);
    if (this.#scene) this.#paint();
  }

  #makeNeck(neck, number) {
    const frame = this.#place(neck.name);
    neck.title = makeElement("p", "tk-title");
    frame.prepend(neck.title);
    this.#makeNeckKeys(frame, number);
    return frame;
  }

  /** What stands above the sentence, by the kind of the explorer. */
  #makeChoosers() {
    if (KINDS[this.#kind].sheet) this.#sheet = this.#makeSheet();
    if (KINDS[this.#kind].overChords) {
      this.#chart = new Chart((step) => this.#set("step", step), (loop) => this.#sound.setLoop(loop));
      return [this.#chart.element];
    }
    if (this.#kind === "positions") {
      this.#strip = new PositionStrip((number) => this.#set("position", number));
      return [this.#strip.element];
    }
    if (this.#kind === "shapes") {
      this.#strip = new ShapeStrip((number) => this.#chooseShape(number), (number) => this.#set("beside", number));
      return [this.#strip.element];
    }
    return [];
  }

  #makeSheet() {
    return new SheetView(this.#kind, {
      note: (number) => this.#askNote(number),
      line: (number) => this.#set("number", number),
      nextLine: () => this.#set("number", lineAfter(this.#study.get("atlas"), this.#choice().number)),
      keep: () => {
        const { kept, number } = this.#choice();
        this.#set("kept", kept === number ? -1 : number);
      },
    });
  }

  /** Ask about a note, and hear it; beyond either end about none. */
  #askNote(number) {
    const sheet = this.#sheets().shown;
    const note = sheet?.notes[number] ? number : -1;
    this.#set("note", note);
    if (note >= 0) this.#sound.tap(sheet.notes[note].midi);
  }

  #sheets() {
    return sheetsOf(this.#study.get("table"), this.#choice(), this.#study.get("atlas"), this.#kind);
  }

  #lineEvents() {
    const shown = this.#lineOverChords ? this.#sheets().shown : null;
    return shown ? sheetEvents(shown, this.#voice()) : [];
  }

  /** Whether there is written music to play over the changes. */
  get #lineOverChords() {
    const { sheet = false, overChords = false } = KINDS[this.#kind];
    return sheet && overChords;
  }

  #changes(swing) {
    const table = this.#study.get("table");
    const choice = this.#choice();
    const score = bandScore(table, choice, { atlas: this.#study.get("atlas"), swing, line: this.#lineEvents() });
    return { bars: chartBars(table, choice), ...score };
  }

  #voice(instrument = this.#choice().instrument) {
    return this.#study.get("table").instruments[instrument].voice;
  }

  /** What is chosen, as this kind of explorer takes it: written music is for a neck with no capo. */
  #choice() {
    const choice = readChoice(this.#study);
    const { labels } = this.#study.get("table");
    if (this.#sheet) choice.capo = 0;
    // What is covered needs something under the cover.
    if (this.#desk?.covers && labels[choice.labels] === "hidden") choice.labels = 0;
    return choice;
  }

  /** The same for one of the necks. */
  #neckChoice(number) {
    const { instrument, capo } = this.#necks[number];
    const choice = this.#choice();
    if (!instrument) return choice;
    const { instruments } = this.#study.get("table");
    return { ...choice, capo, instrument: instruments.findIndex(({ name }) => name === instrument) };
  }

  #chooseShape(number) {
    this.#set("shape", number);
    const held = atPlaces(this.#cells(), this.#scene.shapes[number]);
    this.#sound.strum(held.map(({ midi }) => midi));
  }

  /** Switches of how the neck is seen. */
  #makeSwitches() {
    const row = makeElement("div", "tk-switches");
    const names = { left_handed: "left-handed", ...(KINDS[this.#kind].fingers && { fingers: "fingers on the marks" }) };
    this.#switches = Object.entries(names).map(([name, words]) => {
      const box = makeElement("input");
      box.type = "checkbox";
      box.addEventListener("change", () => this.#set(name, box.checked));
      const label = makeElement("label", "tk-toggle");
      label.append(box, ` ${words}`);
      row.append(label);
      return [name, box];
    });
    return row;
  }

  /** The notes that a button of the sound panel plays. */
  #lineScore(what) {
    const table = this.#study.get("table");
    const choice = this.#choice();
    const scene = this.#scene;
    const { voice } = table.instruments[choice.instrument];
    if (this.#kind === "positions") {
      const midis = scene.run.map(([string, fret]) => this.#cells().find((cell) => cell.string === string && cell.fret === fret).midi);
      return positionScore(midis, voice);
    }
    if (this.#kind === "shapes") {
      const shape = scene.shapes[what === "other" ? scene.beside : scene.shape];
      return shapeScore(atPlaces(this.#cells(), shape).map(({ midi }) => midi), voice);
    }
    if (this.#sheet) {
      const { shown, kept } = this.#sheets();
      const sheet = what === "other" ? kept : shown;
      if (!sheet?.notes.length) throw new Error("there is no music for that choice");
      return sheetScore(sheet, voice, this.#beatsPerBar(table, choice));
    }
    return scaleScore(table, choice, what === "other" ? scene.compared : scene.shown, scene.key);
  }

  #beatsPerBar(table, { progression }) {
    return this.#lineOverChords ? table.progressions[progression].beats : 4;
  }

  #chart;
  #sheet = null;
  #strip;
  #switches = [];
  /** The frets of the shape that was held before a member was left out. */
  #whole = null;
  #chordChange = null;
  #sentence;
  #legend;
  #status;
  #rulerTitle;
  #sound;

  #place(name) {
    const frame = makeElement("div", `tk-figure tk-${name.split(" ")[0]}`);
    this.places[name] = makeElement("div", "tk-picture");
    this.places[name].setAttribute("role", "img");
    frame.append(this.places[name]);
    return frame;
  }

  #set(name, value) {
    if (this.#study.get(STUDY_TRAITS[name]) === value) return;
    this.#study.set(STUDY_TRAITS[name], value);
    this.#study.save_changes();
  }

  /** Changes that come together are painted once. */
  #note(name) {
    if (this.#changed.size === 0) queueMicrotask(() => this.#update());
    this.#changed.add(name);
  }

  #update() {
    const changed = this.#changed;
    this.#changed = new Set();
    if (!this.element.isConnected && changed.size === 0) return;
    if (this.#kind === "shapes") this.#followChord(changed);
    if (this.#sheet && SHEET_CHOICES.some((name) => changed.has(name)) && !changed.has("note")) this.#set("note", -1);
    if (this.#kind === "positions" && changed.has("pattern")) this.#set("position", 0);
    this.#desk.follows(changed);
    if ([...changed].some((name) => !this.#paintsWithout(name))) this.#paint();
    this.#sound.follows(changed);
  }

  /** Whether all pictures and words stay as they are when that choice, or what the study has found, changes. */
  #paintsWithout(name) {
    return name === "tempo" || (name === "atlas" && !KINDS[this.#kind].atlas);
  }

  #paint() {
    const table = this.#study.get("table");
    const choice = this.#choice();
    this.#scene = this.#sceneOf(table, choice);
    if (choice.omit === 0) this.#whole = this.#scene.shapes?.[this.#scene.shape]?.frets ?? null;
    return this.#sight.paint();
  }

  #paintScene() {
    const table = this.#study.get("table");
    const { keyboard, ruler } = this.#figures;
    this.#necks.forEach((neck, number) => this.#paintNeck(table, neck, number));
    if (ruler) paintRuler(ruler, table, this.#desk.seenRuler(this.#scene.ruler));
    paintMarks(keyboard, table, "keyboard", this.#desk.seen("keyboard", this.#scene.keyboard));
    return repaintSoon(this.#repaint);
  }

  #paintNeck(table, neck, number) {
    const choice = this.#neckChoice(number);
    const figure = this.#figures[neck.name];
    const { instrument, capo, left_handed: leftHanded } = choice;
    const board = `${instrument} ${capo} ${leftHanded} ${table.instruments.length}`;
    if (board !== neck.board) paintBoard(figure, table, table.instruments[instrument], { capo, leftHanded });
    neck.board = board;
    neck.marks = neck.instrument ? labelled(choice, table, this.#cells(number), this.#scene.marks) : this.#scene.neck;
    paintMarks(figure, table, "neck", this.#desk.seen(neck.name, neck.marks));
  }

  #sceneOf(table, choice) {
    const atlas = this.#study.get("atlas");
    if (this.#kind === "positions") return positionSceneOf(table, choice, atlas);
    if (this.#kind === "shapes") return shapeSceneOf(table, choice, atlas);
    if (this.#sheet) return sheetSceneOf(table, choice, atlas, this.#kind, Boolean(this.#study.whole));
    return sceneOf(table, choice, this.#kind === "scale" ? "scale" : "progression");
  }

  /**
   * Another list of shapes begins at its first, or, where a member is left out, at the nearest to what was held.
   * A kernel may still have to find them; until then nothing is chosen.
   */
  #followChord(changed) {
    const names = [...changed].filter((name) => name !== "atlas");
    if (CHORD_CHOICES.some((name) => changed.has(name)) && !changed.has("shape")) {
      this.#chordChange = names.length === 1 && names[0] === "omit" ? "omit" : "chord";
    }
    const shapes = shapesOf(this.#study.get("table"), this.#study.get("atlas"), readChoice(this.#study));
    if (!this.#chordChange || !shapes) return;
    const near = this.#chordChange === "omit" && this.#whole && shapes.found.length;
    this.#chordChange = null;
    this.#set("beside", -1);
    this.#set("shape", near ? nearestShape(shapes.found, this.#whole) : 0);
  }

  #repaint = { figures: () => Object.values(this.#figures), words: () => this.#paintWords() };

  #paintWords() {
    const table = this.#study.get("table");
    const choice = this.#choice();
    const { step, chart, sentence } = this.#scene;
    const { hidden } = this.#desk;
    const heading = hidden ? askedHeading(chart.flat()[step]) : this.#scene.heading;
    this.#chart?.paint({ ...this.#scene, heading, chart: this.#desk.seenChart(chart) });
    if (this.#sheet) {
      this.#sheet.paint(table, this.#scene, this.#study.get("atlas"), choice, this.#sheets().shown);
      this.#paintRings();
    }
    const starts = table.instruments[choice.instrument].strings.map(({ start }) => start).reverse();
    this.#strip?.paint(this.#scene, { starts, leftHanded: choice.left_handed });
    for (const [name, box] of this.#switches) box.checked = choice[name];
    this.#sentence.textContent = hidden ? `${heading}: what would you play?` : sentence;
    this.#sentence.dataset.verdict = hidden ? "none" : chart.flat()[step]?.verdict ?? "none";
    this.#desk.paint();
    paintLegend(this.#legend, table, this.#scene, this.#comparedNames(table, choice));
    this.#necks.forEach((neck, number) => this.#paintNeckTitle(table, neck, number, heading));
    if (this.#rulerTitle) this.#paintRulerTitle(table, choice);
    this.#describe("keyboard", this.#scene.alt.keyboard, this.#scene.keyboard, heading);
    if (this.places.ruler) this.#describe("ruler", this.#scene.alt.ruler, this.#scene.keyboard, heading);
    this.#sound.paint(choice);
  }

  #paintNeckTitle(table, { name, title, marks }, number, heading) {
    const words = table.instruments[this.#neckChoice(number).instrument].name;
    const called = `${words[0].toUpperCase()}${words.slice(1)}`;
    const { instrument, capo } = this.#necks[number];
    const tuned = capo ? `${called}, capo ${capo}` : called;
    title.textContent = instrument ? `${tuned}: ${heading}` : heading;
    this.#describe(name, this.#scene.alt.neck.replace(/^.*? neck, /, `${called} neck, `), marks, `${called} neck, ${heading}`);
  }

  /** The text alternative of a picture. */
  #describe(name, text, marks, heading) {
    this.places[name].setAttribute("aria-label", this.#desk.alternative(name, text, marks, heading));
  }

  /** What the two that are compared are called. */
  #comparedNames(table, choice) {
    const { shapes, shape, beside } = this.#scene;
    if (this.#kind === "shapes") return { first: shapes[shape]?.text, second: shapes[beside]?.text };
    return { first: table.scales[choice.scale].name, second: table.scales[choice.compare]?.name };
  }

  /** Whether there is a second scale or shape to hear. */
  #otherIsThere(choice) {
    if (this.#kind === "shapes") return this.#scene.beside >= 0;
    return this.#sheet ? this.#lineOverChords && choice.kept >= 0 : choice.compare >= 0;
  }

  #paintRulerTitle(table, choice) {
    const first = this.#scene.ruler.slots[0];
    const below =
      this.#kind === "progression" ? ", chord below" : choice.compare >= 0 ? `, ${table.scales[choice.compare].name} below` : "";
    this.#rulerTitle.textContent = `Half steps from ${first}: scale above${below}`;
  }

  #cells(number = 0) {
    const { instrument, capo } = this.#neckChoice(number);
    return neckCells(this.#study.get("table").instruments[instrument], capo);
  }

  #tapNeck(number, x, y) {
    const string = Math.round(-y);
    const cells = this.#cells(number).filter((cell) => cell.string === string);
    if (cells.length === 0) return;
    const nearest = cells.reduce((best, cell) => (Math.abs(cell.x - x) < Math.abs(best.x - x) ? cell : best));
    this.#cursor = { ...nearest, neck: number };
    this.#soundCell(nearest, number);
  }

  #soundCell(cell, number) {
    const where = cell.fret === 0 ? `open string ${cell.string}` : `string ${cell.string}, fret ${cell.fret}`;
    this.#desk.tapped(this.#necks[number].name, cell);
    this.#soundNote(cell.midi, where, { cell, neck: number });
  }

  #tapKeyboard(x, y) {
    const keys = this.#study.get("table").keyboard;
    const under = ({ left, width, bottom }) => x >= left && x <= left + width && y >= bottom;
    // Black keys lie over the white ones.
    const key = keys.findLast(under);
    if (!key) return;
    this.#desk.tapped("keyboard", { midi: key.midi });
    this.#soundNote(key.midi, "", {});
  }

  #soundNote(midi, where, { cell = null, neck = 0 }) {
    const table = this.#study.get("table");
    const pitchClass = midi % 12;
    const mark = this.#scene.marks[pitchClass];
    const { names, semi } = table.keys[this.#scene.key];
    const name = mark?.name ?? names[table.chromatic[(pitchClass - semi + 12) % 12]];
    const told = mark ? `${mark.degree}, ${table.codes[mark.role].words}` : "not in the scale";
    this.#say([name, where, !this.#desk.hidden && told].filter(Boolean).join(" · "));
    this.#sound.tap(midi, this.#neckChoice(neck).instrument);
    this.#showTapped({ midi, cell, neck });
  }

  #makeNeckKeys(frame, number) {
    frame.tabIndex = 0;
    frame.setAttribute("role", "application");
    const named = this.#necks[number].instrument ?? "neck";
    frame.setAttribute("aria-label", `${named[0].toUpperCase()}${named.slice(1)}: arrow keys move over it, Enter sounds a note and names it`);
    const moves = { ArrowRight: [0, 1], ArrowLeft: [0, -1], ArrowUp: [-1, 0], ArrowDown: [1, 0] };
    frame.addEventListener("keydown", (event) => {
      if (event.altKey || event.ctrlKey || event.metaKey) return;
      if (event.key in moves) this.#moveCursor(...moves[event.key]);
      else if (event.key === "Enter") this.#soundCell(this.#cursorCell(), number);
      else return;
      event.preventDefault();
      event.stopPropagation();
    });
    frame.addEventListener("focus", () => {
      if (this.#cursor.neck !== number) this.#cursor = { ...this.#cursor, neck: number };
      this.#moveCursor(0, 0);
    });
    frame.addEventListener("blur", () => this.#showCursor(false));
  }

  #cursorCell() {
    const cells = this.#cells(this.#cursor.neck);
    const onString = cells.filter(({ string }) => string === this.#cursor.string);
    const found = onString.find(({ fret }) => fret === this.#cursor.fret);
    return found ?? onString[0] ?? cells[0];
  }

  #moveCursor(strings, frets) {
    const { neck } = this.#cursor;
    const all = this.#cells(neck);
    const here = this.#cursorCell();
    const last = Math.max(...all.map(({ string }) => string));
    const string = Math.min(Math.max(here.string + strings, 1), last);
    const line = all.filter((cell) => cell.string === string);
    let next = line.reduce((best, cell) => (Math.abs(cell.x - here.x) < Math.abs(best.x - here.x) ? cell : best));
    if (frets) next = line[Math.min(Math.max(line.indexOf(next) + frets, 0), line.length - 1)];
    this.#cursor = { ...next, neck };
    this.#showCursor(true);
  }

  #showCursor(shown) {
    this.#cursorShown = shown;
    this.#paintRings();
  }

  /** @param {Array<{midi: number, index: number}>} notes of the line that sound; @param {number[]} next keys */
  #showSounding(notes, next) {
    this.#sounding = notes.map(({ midi }) => midi);
    this.#numbers = notes.flatMap(({ index }) => index ?? []);
    this.#next = next;
    this.#paintRings();
  }

  #showTapped(tapped) {
    this.#tapped = tapped;
    this.#paintRings();
  }

  #paintRings() {
    const { keyboard } = this.#figures;
    const placed = this.#sheet ? this.#placedNotes() : null;
    this.#sheet?.light(placed.numbers);
    // The keyboard has two octaves: a note outside is shown in the nearest of them.
    const keys = this.#study.get("table").keyboard;
    const onKeys = (midis) => midis.map((midi) => keys.find((key) => key.midi === midi) ?? keys.find((key) => key.midi % 12 === midi % 12));
    const tapped = this.#tapped ? [this.#tapped] : [];
    const rings = (places, style) => places.map(({ x, y }) => ({ x, y, style }));
    this.#necks.forEach(({ name }, number) => {
      const cells = this.#sounding.length || this.#next.length ? this.#cells(number) : [];
      const onNeck = (midis) => cells.filter(({ midi }) => midis.includes(midi));
      const here = tapped.filter(({ neck }) => neck === number).flatMap(({ cell }) => cell ?? []);
      const cursor = this.#cursorShown && this.#cursor.neck === number ? [this.#cursorCell()] : [];
      paintRings(this.#figures[name], "neck-rings", [
        ...rings(placed?.now ?? [], "sounding"),
        ...rings([...(placed ? [] : onNeck(this.#sounding)), ...here], "sounding"),
        ...rings(placed?.next ?? onNeck(this.#next), "next"),
        ...rings(cursor, "cursor"),
      ]);
    });
    paintRings(keyboard, "keyboard-rings", [
      ...rings(onKeys([...this.#sounding, ...tapped.map(({ midi }) => midi)]), "sounding"),
      ...rings(onKeys(this.#next), "next"),
    ]);
  }

  /** The notes of the sheet that sound, or the one that is asked about, and the next one, where they are fingered. */
  #placedNotes() {
    const notes = this.#sheets().shown?.notes ?? [];
    const { note } = this.#scene;
    const numbers = this.#numbers.length || note < 0 ? this.#numbers : [note];
    const cells = this.#cells();
    const at = (number) => {
      const place = notes[number]?.place;
      return place ? cells.filter(({ string, fret }) => string === place.string && fret === place.fret) : [];
    };
    const next = this.#next.length && this.#numbers.length ? at(Math.max(...this.#numbers) + 1) : [];
    return { numbers, now: numbers.flatMap(at), next };
  }

  #say(text) {
    this.#status.textContent = text;
  }

  /** Take the explorer off the page, and all that it holds with it. */
  remove() {
    this.#forgetKeys();
    this.#sight.remove();
    this.#desk.remove();
    this.#sound.remove();
    for (const [event, listener] of this.#listeners) this.#study.off(event, listener);
    for (const figure of Object.values(this.#figures)) figure.remove();
    this.#figures = {};
    this.element.remove();
  }
}

/** What is asked at a chord. */
function askedHeading({ bar, numeral, chord }) {
  return `Bar ${bar}: ${[numeral, chord].filter(Boolean).join(", ")}`;
}

/** The places of a neck that a shape holds, the lowest string first. */
function atPlaces(cells, { frets }) {
  return frets.flatMap((fret, i) => cells.filter((cell) => cell.string === frets.length - i && cell.fret === fret));
}
