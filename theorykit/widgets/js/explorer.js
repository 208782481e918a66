/** An explorer: sentence, neck, keyboard, legend and sound over one study, and what its kind has besides. */
import { bandScore, positionScore, shapeScore, scaleScore } from "./band.js";
import { Chart, makeElement, paintLegend } from "./chart.js";
import { EmbeddedFigure, paintBoard, paintKeyboard, paintNeck, paintRings, paintRuler, repaintSoon } from "./figures.js";
import { positionSceneOf } from "./positions.js";
import { chartBars, neckCells, sceneOf } from "./scene.js";
import { SheetView, lineAfter, sheetEvents, sheetSceneOf, sheetScore, sheetsOf } from "./sheet.js";
import { nearestShape, shapeSceneOf, shapesOf } from "./shapes.js";
import { listenForKeys } from "./keys.js";
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

/** What each kind of explorer shows and plays. */
const KINDS = {
  progression: { figures: ["neck", "ruler", "keyboard"], lines: { scale: "Hear the scale" }, overChords: true },
  scale: { figures: ["neck", "ruler", "keyboard"], lines: { scale: "Hear the scale", other: "Hear the other" } },
  positions: { figures: ["neck", "keyboard"], lines: { position: "Hear the position" }, fingers: true },
  shapes: { figures: ["neck", "keyboard"], lines: { shape: "Strum it", other: "Strum the other" }, fingers: true },
  sequences: { figures: ["neck", "keyboard"], lines: { written: "Hear it" }, sheet: true },
  lines: { figures: ["neck", "keyboard"], lines: { written: "Hear the line alone", other: "Hear the kept line" }, overChords: true, sheet: true },
  tunes: { figures: ["neck", "keyboard"], lines: { written: "Hear it alone", other: "Hear the kept one" }, overChords: true, sheet: true },
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
  #cursor = { string: 1, fret: 0 };
  #cursorShown = false;
  #board = "";
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
   * @param {object} options.figures Bokeh's json items: `neck`, `keyboard`, `ruler`
   * @param {HTMLElement} options.element
   * @param {object} options.bokeh
   * @returns {Promise<Explorer>}
   */
  static async open({ study, kind, figures, element, bokeh }) {
    const explorer = new Explorer();
    explorer.#study = study;
    explorer.#kind = kind;
    explorer.#build(element);
    for (const name of KINDS[kind].figures) {
      explorer.#figures[name] = await EmbeddedFigure.embed(bokeh, figures[name], explorer.places[name]);
    }
    explorer.#figures.neck.onTap((x, y) => explorer.#tapNeck(x, y));
    explorer.#figures.keyboard.onTap((x, y) => explorer.#tapKeyboard(x, y));
    for (const [name, trait] of Object.entries(STUDY_TRAITS)) {
      const listener = () => explorer.#note(name);
      study.on(`change:${trait}`, listener);
      explorer.#listeners.push([`change:${trait}`, listener]);
    }
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
    const frames = Object.fromEntries(figures.map((name) => [name, this.#place(name)]));
    this.#neckTitle = makeElement("p", "tk-title");
    frames.neck.prepend(this.#neckTitle);
    if (frames.ruler) {
      this.#rulerTitle = makeElement("p", "tk-title");
      frames.ruler.prepend(this.#rulerTitle);
    }
    frames.keyboard.prepend(makeElement("p", "tk-title", "Keyboard"));
    const pair = makeElement("div", "tk-pair");
    pair.append(...figures.filter((name) => name !== "neck").map((name) => frames[name]));
    this.#makeNeckKeys(frames.neck);
    const choosers = this.#makeChoosers();
    this.#sound = new SoundPanel(
      {
        choice: () => this.#choice(),
        tempos: this.#study.get("table").tempo,
        voice: () => this.#voice(),
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
      },
      lines,
    );
    this.#forgetKeys = listenForKeys(root, this.#sound.actions);
    root.append(...choosers, this.#sound.element, this.#sentence);
    if (overChords) root.append(this.#sound.switches);
    if (this.#sheet) root.append(this.#sheet.element);
    root.append(frames.neck, this.#makeSwitches(), this.#legend, this.#status, pair);
    element.append(root);
    this.element = root;
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

  #voice() {
    return this.#study.get("table").instruments[this.#choice().instrument].voice;
  }

  /** What is chosen, as this kind of explorer takes it: written music is for a neck with no capo. */
  #choice() {
    const choice = readChoice(this.#study);
    return this.#sheet ? { ...choice, capo: 0 } : choice;
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
  #neckTitle;
  #rulerTitle;
  #sound;

  #place(name) {
    const frame = makeElement("div", `tk-figure tk-${name}`);
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
    if ([...changed].some((name) => name !== "tempo")) this.#paint();
    this.#sound.follows(changed);
  }

  #paint() {
    const table = this.#study.get("table");
    const choice = this.#choice();
    const { neck, keyboard, ruler } = this.#figures;
    this.#scene = this.#sceneOf(table, choice);
    if (choice.omit === 0) this.#whole = this.#scene.shapes?.[this.#scene.shape]?.frets ?? null;
    const { instrument, capo, left_handed: leftHanded } = choice;
    const board = `${instrument} ${capo} ${leftHanded} ${table.instruments.length}`;
    if (board !== this.#board) paintBoard(neck, table, table.instruments[instrument], { capo, leftHanded });
    this.#board = board;
    paintNeck(neck, table, this.#scene);
    if (ruler) paintRuler(ruler, table, this.#scene);
    paintKeyboard(keyboard, table, this.#scene);
    return repaintSoon(this.#repaint);
  }

  #sceneOf(table, choice) {
    const atlas = this.#study.get("atlas");
    if (this.#kind === "positions") return positionSceneOf(table, choice, atlas);
    if (this.#kind === "shapes") return shapeSceneOf(table, choice, atlas);
    if (this.#sheet) return sheetSceneOf(table, choice, atlas, this.#kind, Boolean(this.#study.whole));
    return sceneOf(table, choice, this.#kind);
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
    this.#chart?.paint(this.#scene);
    if (this.#sheet) {
      this.#sheet.paint(table, this.#scene, this.#study.get("atlas"), choice, this.#sheets().shown);
      this.#paintRings();
    }
    const starts = table.instruments[choice.instrument].strings.map(({ start }) => start).reverse();
    this.#strip?.paint(this.#scene, { starts, leftHanded: choice.left_handed });
    for (const [name, box] of this.#switches) box.checked = choice[name];
    this.#sentence.textContent = this.#scene.sentence;
    this.#sentence.dataset.verdict = this.#scene.chart.flat()[this.#scene.step]?.verdict ?? "none";
    paintLegend(this.#legend, table, this.#scene, this.#comparedNames(table, choice));
    this.#neckTitle.textContent = this.#scene.heading;
    if (this.#rulerTitle) this.#paintRulerTitle(table, choice);
    for (const [name, place] of Object.entries(this.places)) place.setAttribute("aria-label", this.#scene.alt[name]);
    this.#sound.paint(choice);
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

  #cells() {
    const { instrument, capo } = this.#choice();
    return neckCells(this.#study.get("table").instruments[instrument], capo);
  }

  #tapNeck(x, y) {
    const string = Math.round(-y);
    const cells = this.#cells().filter((cell) => cell.string === string);
    if (cells.length === 0) return;
    const nearest = cells.reduce((best, cell) => (Math.abs(cell.x - x) < Math.abs(best.x - x) ? cell : best));
    this.#cursor = nearest;
    this.#soundCell(nearest);
  }

  #soundCell(cell) {
    const where = cell.fret === 0 ? `open string ${cell.string}` : `string ${cell.string}, fret ${cell.fret}`;
    this.#soundNote(cell.midi, where, cell);
  }

  #tapKeyboard(x, y) {
    const keys = this.#study.get("table").keyboard;
    const under = ({ left, width, bottom }) => x >= left && x <= left + width && y >= bottom;
    // Black keys lie over the white ones.
    const key = keys.findLast(under);
    if (key) this.#soundNote(key.midi, "", null);
  }

  #soundNote(midi, where, cell) {
    const table = this.#study.get("table");
    const pitchClass = midi % 12;
    const mark = this.#scene.marks[pitchClass];
    const { names, semi } = table.keys[this.#scene.key];
    const name = mark?.name ?? names[table.chromatic[(pitchClass - semi + 12) % 12]];
    const told = mark ? `${mark.degree}, ${table.codes[mark.role].words}` : "not in the scale";
    this.#say([name, where, told].filter(Boolean).join(" · "));
    this.#sound.tap(midi);
    this.#showTapped({ midi, cell });
  }

  #makeNeckKeys(frame) {
    frame.tabIndex = 0;
    frame.setAttribute("role", "application");
    frame.setAttribute("aria-label", "Neck: arrow keys move over it, Enter sounds a note and names it");
    const moves = { ArrowRight: [0, 1], ArrowLeft: [0, -1], ArrowUp: [-1, 0], ArrowDown: [1, 0] };
    frame.addEventListener("keydown", (event) => {
      if (event.altKey || event.ctrlKey || event.metaKey) return;
      if (event.key in moves) this.#moveCursor(...moves[event.key]);
      else if (event.key === "Enter") this.#soundCell(this.#cursorCell());
      else return;
      event.preventDefault();
      event.stopPropagation();
    });
    frame.addEventListener("focus", () => this.#moveCursor(0, 0));
    frame.addEventListener("blur", () => this.#showCursor(false));
  }

  #cursorCell() {
    const cells = this.#cells();
    const onString = cells.filter(({ string }) => string === this.#cursor.string);
    const found = onString.find(({ fret }) => fret === this.#cursor.fret);
    return found ?? onString[0] ?? cells[0];
  }

  #moveCursor(strings, frets) {
    const all = this.#cells();
    const here = this.#cursorCell();
    const last = Math.max(...all.map(({ string }) => string));
    const string = Math.min(Math.max(here.string + strings, 1), last);
    const line = all.filter((cell) => cell.string === string);
    let next = line.reduce((best, cell) => (Math.abs(cell.x - here.x) < Math.abs(best.x - here.x) ? cell : best));
    if (frets) next = line[Math.min(Math.max(line.indexOf(next) + frets, 0), line.length - 1)];
    this.#cursor = next;
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
    const { neck, keyboard } = this.#figures;
    const cells = this.#sounding.length || this.#next.length ? this.#cells() : [];
    const placed = this.#sheet ? this.#placedNotes() : null;
    this.#sheet?.light(placed.numbers);
    const onNeck = (midis) => cells.filter(({ midi }) => midis.includes(midi));
    // The keyboard has two octaves: a note outside is shown in the nearest of them.
    const keys = this.#study.get("table").keyboard;
    const onKeys = (midis) => midis.map((midi) => keys.find((key) => key.midi === midi) ?? keys.find((key) => key.midi % 12 === midi % 12));
    const tapped = this.#tapped ? [this.#tapped] : [];
    const cursor = this.#cursorShown ? [this.#cursorCell()] : [];
    const rings = (places, style) => places.map(({ x, y }) => ({ x, y, style }));
    paintRings(neck, "neck-rings", [
      ...rings(placed?.now ?? [], "sounding"),
      ...rings([...(placed ? [] : onNeck(this.#sounding)), ...tapped.flatMap(({ cell }) => cell ?? [])], "sounding"),
      ...rings(placed?.next ?? onNeck(this.#next), "next"),
      ...rings(cursor, "cursor"),
    ]);
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
    this.#sound.remove();
    for (const [event, listener] of this.#listeners) this.#study.off(event, listener);
    for (const figure of Object.values(this.#figures)) figure.remove();
    this.#figures = {};
    this.element.remove();
  }
}

/** The places of a neck that a shape holds, the lowest string first. */
function atPlaces(cells, { frets }) {
  return frets.flatMap((fret, i) => cells.filter((cell) => cell.string === frets.length - i && cell.fret === fret));
}
