/** Written music to practise from: a line over the changes or a scale in a sequence; see the Python module `sheet`. */
import { makeElement } from "./chart.js";
import { pushButton } from "./fields.js";
import { capitalised, phrase } from "./phrases.js";
import { sceneOf } from "./scene.js";

const ENGRAVED = "engraved/";
const PACKED_LINES = "packed lines";

/** The kinds of written music that lie over a chart. */
const OVER_A_CHART = ["lines", "tunes"];

/** What the atlas calls the music of a choice; as `line_name` and `sequence_name` in Python. */
function sheetName(table, choice, kind, number = choice.number) {
  const key = table.keys[choice.key].name;
  const instrument = table.instruments[choice.instrument].name;
  if (kind === "sequences") {
    const ways = [choice.figure, choice.direction, choice.rhythm].join(".");
    return ["sequence", key, table.scales[choice.scale].name, instrument, ways].join("/");
  }
  const line = [choice.level, choice.grit, number].join(".");
  const words = [key, table.progressions[choice.progression].name, table.styles[choice.style], instrument, line];
  return kind === "tunes" ? ["tune", ...words, tuneMark(choice.tune)].join("/") : ["line", ...words].join("/");
}

/** A short name for a tune's text; as `tune_mark` in Python. */
function tuneMark(text) {
  let found = 0x811c9dc5;
  for (const letter of text) found = Math.imul(found ^ letter.codePointAt(0), 0x01000193) >>> 0;
  return found.toString(16);
}

function tuneWords(table, { tune }, number) {
  const title = tune.match(/^T:(.*)$/m)?.[1].trim() || "The tune";
  return number === 0 ? title : phrase(table, "tune variation", { title, number });
}

function readNote(code) {
  const [beat, beats, midi, string, fret, finger, name, degree, ...bend] = code.split(" ");
  const [at, length, sounding] = [beat, beats, midi].map(Number);
  const place = string === "-" ? null : { string: Number(string), fret: Number(fret), finger: Number(finger) };
  const points = bend.map((point) => point.split(":").map(Number));
  return { beat: at, beats: length, midi: sounding, place, name, degree, ...(points.length && { bend: points }) };
}

/** A sheet of the atlas: {beats, notes, tablature, reasons, problem}; null while the atlas lacks it. */
function readSheet(atlas, name) {
  const code = atlas[name];
  if (!code) return null;
  const [beats, notes, tablature, reasons, problem] = code;
  return {
    beats: Number(beats),
    notes: notes ? notes.split(";").map(readNote) : [],
    tablature,
    reasons: reasons ? reasons.split("\n") : [],
    problem,
  };
}

/** The sheet that is shown, and the one that was kept to compare it with. */
export function sheetsOf(table, choice, atlas, kind) {
  const kept = OVER_A_CHART.includes(kind) && choice.kept >= 0 ? readSheet(atlas, sheetName(table, choice, kind, choice.kept)) : null;
  return { shown: readSheet(atlas, sheetName(table, choice, kind)), kept };
}

/** The number of the line after this one: in a page, of those that it was packed with. */
export function lineAfter(atlas, number) {
  const packed = atlas[PACKED_LINES]?.map(Number);
  if (!packed) return number + 1;
  return packed.find((one) => one > number) ?? packed[0];
}

function sheetTitle(table, choice, kind) {
  const option = (name) => table.menus[name].options[choice[name]];
  if (kind === "sequences") {
    const figure = capitalised(option("figure"));
    return phrase(table, "sequence title", { figure, rhythm: option("rhythm"), way: option("direction") });
  }
  if (kind === "tunes") {
    const kept = choice.kept < 0 ? "" : phrase(table, "tune kept", { what: tuneWords(table, choice, choice.kept) });
    return tuneWords(table, choice, choice.number) + kept;
  }
  const kept = choice.kept < 0 ? "" : phrase(table, "line kept", { number: choice.kept + 1 });
  return phrase(table, "line title", { number: choice.number + 1, level: option("level") }) + kept;
}

function sheetSentence(table, choice, kind, sheet, note) {
  if (sheet.problem) return sheet.problem;
  if (note < 0) return sheetPromise(table, choice, kind);
  const numbers = { number: note + 1, count: sheet.notes.length };
  if (OVER_A_CHART.includes(kind)) return phrase(table, "line note", { why: sheet.reasons[note], ...numbers });
  const { name, degree, place } = sheet.notes[note];
  const where = place ? phrase(table, place.fret ? "note stopped" : "note open", place) : "";
  return phrase(table, "sequence note", { pitch: name, degree, ...numbers }) + where;
}

/** What the music as a whole is. */
function sheetPromise(table, choice, kind) {
  if (kind === "tunes" && choice.number === 0) return phrase(table, "tune itself");
  return OVER_A_CHART.includes(kind) ? table.promises[choice.level] : `${capitalised(table.figure_words[choice.figure])}.`;
}

/** @param {boolean} whole whether the atlas has all that it ever will, as in a page */
export function sheetSceneOf(table, choice, atlas, kind, whole) {
  const lines = OVER_A_CHART.includes(kind);
  const base = sceneOf(table, { ...choice, compare: -1, capo: 0 }, lines ? "progression" : "scale");
  const sheet = sheetsOf(table, choice, atlas, kind).shown;
  const count = sheet?.notes.length ?? 0;
  const note = choice.note < count ? choice.note : -1;
  return {
    ...base,
    sentence: sheet ? sheetSentence(table, choice, kind, sheet, note) : phrase(table, whole ? "not packed" : "writing"),
    title: sheetTitle(table, choice, kind),
    sheet: sheetName(table, choice, kind),
    kept: lines && choice.kept >= 0 ? sheetName(table, choice, kind, choice.kept) : "",
    count,
    note,
  };
}

/** The notes of a sheet as the player takes them, in the order of their starts. */
export function sheetEvents({ notes, beats: whole }, voice) {
  const events = notes.map(({ beat, beats, midi, bend }, index) => ({ beat, beats, midi, part: "line", voice, level: 1, index, ...(bend && { bend }) }));
  // Over a band, a pick-up leads into the next time round.
  const placed = events.map((event) => (event.beat < 0 ? { ...event, beat: event.beat + whole } : event));
  return placed.sort((one, other) => one.beat - other.beat);
}

/** A sheet played by itself, its pick-up first. */
export function sheetScore(sheet, voice, beatsPerBar) {
  const pickup = Math.max(0, -(sheet.notes[0]?.beat ?? 0));
  const notes = sheet.notes.map((note) => ({ ...note, beat: note.beat + pickup }));
  return { beats: sheet.beats + pickup, beatsPerBar, events: sheetEvents({ notes, beats: sheet.beats }, voice), steps: [] };
}

/** Engraved music: its notes are found by number, lit up and tapped; the arrow keys go from note to note. */
export class EngravedMusic {
  #ids = [];
  #lit = [];

  /** @param {object} actions functions `note(number)`, `before()`, `after()` */
  constructor({ note, before, after }) {
    this.element = makeElement("div", "tk-music");
    this.element.tabIndex = 0;
    const keys = { ArrowLeft: before, ArrowRight: after };
    this.element.addEventListener("keydown", (event) => {
      if (!(event.key in keys) || event.shiftKey || event.altKey || event.ctrlKey || event.metaKey) return;
      event.preventDefault();
      event.stopPropagation();
      keys[event.key]();
    });
    this.element.addEventListener("click", ({ target }) => {
      const id = target.closest("[id]")?.closest("g.note")?.id ?? target.closest("g.note")?.id;
      const number = this.#ids.findIndex((ids) => ids.includes(id));
      if (number >= 0) note(number);
    });
  }

  /** @param {string} svg; @param {string[][]} ids what is drawn of each note; @param {string} words the text alternative */
  paint(svg, ids, words) {
    this.#ids = ids;
    this.#lit = [];
    this.element.innerHTML = svg;
    this.element.setAttribute("role", "img");
    this.element.setAttribute("aria-label", words);
  }

  /** Text stands where there is no picture. */
  paintText(...elements) {
    this.#ids = [];
    this.#lit = [];
    this.element.removeAttribute("role");
    this.element.setAttribute("aria-label", "Tablature");
    this.element.replaceChildren(...elements);
  }

  /** Light up notes of the engraving, by their numbers. */
  light(numbers) {
    for (const head of this.#lit) head.classList.remove("tk-now");
    this.#lit = numbers.flatMap((number) => this.#ids[number] ?? []).map((id) => this.element.querySelector(`#${id}`)).filter(Boolean);
    for (const head of this.#lit) head.classList.add("tk-now");
    return this.#lit;
  }
}

/** The picture of a sheet, or its tablature, with buttons to go through it note by note. */
export class SheetView {
  #shown = "";

  /** @param {string} kind; @param {object} actions functions `note(number)`, `nextLine()`, `line(number)`, `keep()` */
  constructor(kind, actions) {
    const lines = OVER_A_CHART.includes(kind);
    const tune = kind === "tunes";
    this.element = makeElement("div", "tk-sheet");
    this.title = makeElement("p", "tk-title");
    this.before = pushButton("before", "‹ note", () => actions.note(this.scene.note < 0 ? this.scene.count - 1 : this.scene.note - 1));
    this.after = pushButton("after", "note ›", () => actions.note(this.scene.note + 1));
    const row = makeElement("div", "tk-row tk-sheet-row");
    row.append(this.title, this.before, this.after);
    if (lines) {
      this.keepWords = tune ? "Keep this one" : "Keep this line";
      this.keep = pushButton("keep", this.keepWords, actions.keep);
      if (tune) row.append(pushButton("itself", "The tune itself", () => actions.line(0)));
      row.append(pushButton("another", tune ? "Vary it" : "New line", actions.nextLine), this.keep);
    }
    this.music = new EngravedMusic({ note: actions.note, before: () => this.before.click(), after: () => this.after.click() });
    this.element.append(row, this.music.element);
  }

  /** @param {object} table; @param {object} scene; @param {object} atlas; @param {object} choice; @param {object|null} sheet */
  paint(table, scene, atlas, choice, sheet) {
    this.scene = scene;
    this.title.textContent = scene.title;
    for (const button of [this.before, this.after]) button.disabled = scene.count === 0;
    if (this.keep) {
      const kept = choice.kept === choice.number;
      this.keep.textContent = kept ? "Kept" : this.keepWords;
      this.keep.setAttribute("aria-pressed", String(kept));
    }
    const engraved = atlas[ENGRAVED + scene.sheet];
    const shown = `${scene.sheet} ${Boolean(engraved?.length)} ${Boolean(sheet)}`;
    if (shown !== this.#shown) this.#paintMusic(engraved, sheet, phrase(table, "as text"));
    this.#shown = shown;
  }

  #paintMusic(engraved, sheet, words) {
    if (engraved?.length) {
      const [svg, ids, alternative] = engraved;
      this.music.paint(svg, ids.split(";").map((each) => each.split(" ")), alternative);
      return;
    }
    const text = sheet?.tablature;
    this.music.paintText(...(text ? [makeElement("p", "tk-hint", words), makeElement("pre", "tk-tablature", text)] : []));
  }

  /** Light up notes of the engraving, by their numbers. */
  light(numbers) {
    this.music.light(numbers);
  }
}
