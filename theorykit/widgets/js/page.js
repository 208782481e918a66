/** The host in a page with no kernel: menus, and a stand-in for the study's widget model. */
import { BlankView } from "./blank.js";
import { ensureBokeh } from "./bokeh.js";
import { PageBoxes } from "./boxes.js";
import { makeElement } from "./chart.js";
import { Explorer, STUDY_TRAITS } from "./explorer.js";
import { PlainFigure } from "./plainfigure.js";
import { SoloView } from "./solo.js";
import { Quiz } from "./quiz.js";
import { idleMoment } from "./sight.js";

/** Holds a study's state and tells listeners of changes, as a widget model does. */
export class PageStudy {
  /** Whether its atlas has all that it ever will. */
  whole = false;
  #state;
  #listeners = new Map();

  constructor(state) {
    this.#state = state;
  }

  get(name) {
    return this.#state[name];
  }

  set(name, value) {
    if (this.#state[name] === value) return;
    this.#state[name] = value;
    for (const listener of this.#listeners.get(`change:${name}`) ?? []) listener();
  }

  /** Nobody else is to be told. */
  save_changes() {}

  on(event, listener) {
    if (!this.#listeners.has(event)) this.#listeners.set(event, new Set());
    this.#listeners.get(event).add(listener);
  }

  off(event, listener) {
    this.#listeners.get(event)?.delete(listener);
  }
}

/** The menus of a page, each option by its number in the table. */
export function buildMenus(study, kind, offer) {
  const table = study.get("table");
  const row = makeElement("div", "tk-menus");
  const offered = { ...offer, compare: [0, ...offer.scale.map((number) => number + 1)] };
  for (const name of table.kinds[kind]) {
    const { words, options: texts } = table.menus[name];
    const options = offered[name] ?? texts.map((_, number) => number);
    row.append(menu(study, name, words, options.map((number) => [number, texts[number]])));
  }
  if (table.capo_kinds.includes(kind)) row.append(numberField(study, "capo", "Capo", 0, 7));
  return row;
}

function menuLabel(words, ...elements) {
  const label = makeElement("label", "tk-menu");
  label.append(makeElement("span", "", words), ...elements);
  return label;
}

function menu(study, name, words, options) {
  const select = makeElement("select");
  select.name = name;
  for (const [number, text] of options) select.add(new Option(text, number));
  const trait = STUDY_TRAITS[name];
  const show = () => (select.value = study.get(trait));
  select.addEventListener("change", () => {
    // A shorter chart must not be left at a bar that it has not got.
    if (name === "progression") study.set("step", 0);
    study.set(trait, Number(select.value));
  });
  study.on(`change:${trait}`, show);
  show();
  return menuLabel(words, select);
}

function numberField(study, name, words, low, high) {
  const field = makeElement("input");
  Object.assign(field, { type: "number", name, min: low, max: high });
  const show = () => (field.value = study.get(name));
  field.addEventListener("change", () => {
    const value = Math.round(Number(field.value));
    if (field.value !== "" && value >= low && value <= high) study.set(name, value);
    show();
  });
  study.on(`change:${name}`, show);
  show();
  return menuLabel(words, field);
}

function embeddedData(id) {
  return JSON.parse(document.getElementById(id).textContent);
}

/** Data that was packed as gzip in base 64. */
async function unpacked(text) {
  const bytes = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip"));
  return new Response(stream).json();
}

const PLACES = "figure.theorykit, figure.tk-view, figure.theorykit-quiz, figure.theorykit-blank";

/**
 * Bring every explorer, view, quiz and blank neck of the page to life: what is on the screen comes first,
 * and the rest follows while the student reads, always what is next to the screen.
 */
export async function mountPage() {
  const waiting = [...document.querySelectorAll(PLACES)];
  const blanks = waiting.filter((place) => place.matches(".theorykit-blank"));
  const withData = waiting.some((place) => place.matches(".theorykit, .tk-view"));
  const explorers = withData ? await PageExplorers.unpack() : null;
  const openNearest = async () => {
    const distances = waiting.map(distanceFromScreen);
    const [place] = waiting.splice(distances.indexOf(Math.min(...distances)), 1);
    if (place.matches(".theorykit-blank")) mountBlank(place, blanks.indexOf(place));
    else if (place.matches(".theorykit-quiz")) await mountQuiz(place);
    else await explorers.open(place);
  };
  while (waiting.some((place) => distanceFromScreen(place) === 0)) await openNearest();
  document.documentElement.dataset.theorykit = "ready";
  performance.mark("theorykit-ready");
  while (waiting.length) {
    await idleMoment();
    await openNearest();
  }
  // Written music is large: it comes when all else stands.
  await explorers?.addMusic();
  document.documentElement.dataset.theorykit = "complete";
}

/** How far above or below what is seen a place lies, in pixels. */
function distanceFromScreen(place) {
  const { top, bottom } = place.getBoundingClientRect();
  return Math.max(top - window.innerHeight, -bottom, 0);
}

async function mountQuiz(place) {
  const host = makeElement("div", "tk-host");
  try {
    const data = await unpacked(JSON.parse(place.querySelector("script").textContent).packed);
    new Quiz({ data, boxes: new PageBoxes(), element: host });
    place.querySelector(".tk-fallback")?.remove();
    place.append(host);
  } catch (error) {
    place.append(makeElement("p", "tk-error", `This quiz could not be drawn: ${error.message}`));
    throw error;
  }
}

/** A blank neck in place of its picture; what is marked is kept by the browser, if it keeps anything. */
function mountBlank(place, number) {
  const text = place.querySelector("script").textContent;
  const state = JSON.parse(text);
  const name = `theorykit-blank ${location.pathname} ${number}`;
  const begun = JSON.stringify([state.board.name, state.marks]);
  const study = new PageStudy({ ...state, ...keptMarks(name, begun, state) });
  const kept = ["marks", "key", "labels", "left_handed"];
  const keep = () => {
    const now = Object.fromEntries(kept.map((each) => [each, study.get(each)]));
    try {
      localStorage.setItem(name, JSON.stringify({ begun, now }));
    } catch {
      // A browser may be told to keep nothing.
    }
  };
  for (const each of kept) study.on(`change:${each}`, keep);
  const host = makeElement("div", "tk-host tk-stage");
  place.querySelector("svg").remove();
  place.append(host);
  new BlankView(study, host);
}

/** What was marked before, unless the page itself has other marks by now, or what is kept no longer fits. */
function keptMarks(name, begun, { board }) {
  try {
    const kept = JSON.parse(localStorage.getItem(name));
    const there = ([string, fret]) => board.cells.some((cell) => cell.string === string && cell.fret === fret);
    return kept?.begun === begun && kept.now.marks.every(there) ? kept.now : {};
  } catch {
    return {};
  }
}

/** The explorers of a page, and what they share: tables, music, pictures and the state of each study. */
class PageExplorers {
  #shared;
  #music;
  #studies = new Map();

  static async unpack() {
    const data = embeddedData("theorykit-data");
    const [table, atlas, bokeh] = await Promise.all([
      unpacked(data.table),
      unpacked(data.atlas),
      ensureBokeh(data.bokeh_version, () => Promise.reject(new Error("the page holds no BokehJS"))),
    ]);
    const explorers = new PageExplorers();
    explorers.#shared = { table, atlas, bokeh, figures: data.figures };
    explorers.#music = data.music;
    return explorers;
  }

  async open(place) {
    const { table, atlas, bokeh, figures } = this.#shared;
    if (place.matches(".tk-view")) {
      await mountView(place, { figures, bokeh });
      return;
    }
    const { study: id, state, kind, necks, offer } = JSON.parse(place.querySelector("script").textContent);
    if (!this.#studies.has(id)) this.#studies.set(id, new PageStudy({ ...state, table, atlas }));
    await mountExplorer(place, { study: this.#studies.get(id), kind, necks, offer, figures, bokeh });
  }

  async addMusic() {
    const atlas = { ...this.#shared.atlas, ...(await unpacked(this.#music)) };
    for (const study of this.#studies.values()) {
      study.whole = true;
      study.set("atlas", atlas);
    }
  }
}

/** A view that brings its own data: a checked take, or a figure. */
async function mountView(place, { figures, bokeh }) {
  const host = makeElement("div", "tk-host");
  try {
    const data = await unpacked(JSON.parse(place.querySelector("script").textContent));
    place.querySelector(".tk-fallback")?.remove();
    place.append(host);
    if (place.dataset.view === "figure") await PlainFigure.open({ ...data, element: host, bokeh });
    else await SoloView.open({ model: new PageStudy(data), figures, element: host, bokeh });
  } catch (error) {
    place.append(makeElement("p", "tk-error", `This view could not be drawn: ${error.message}`));
    throw error;
  }
}

async function mountExplorer(place, { study, kind, necks, offer, figures, bokeh }) {
  const host = makeElement("div", "tk-host tk-stage");
  try {
    host.append(buildMenus(study, kind, offer));
    place.querySelector(".tk-fallback")?.remove();
    place.append(host);
    await Explorer.open({ study, kind, necks, figures, element: host, bokeh });
  } catch (error) {
    place.append(makeElement("p", "tk-error", `This view could not be drawn: ${error.message}`));
    throw error;
  }
}
