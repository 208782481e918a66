/** The view of a checked take: report, chart, staff and piano roll over one scene; see the Python module `solo_scene`. */
import { bandEvents } from "./band.js";
import { Chart, makeElement, paintLegend } from "./chart.js";
import { pushButton } from "./fields.js";
import { listenForKeys } from "./keys.js";
import { findingElements, recordElements, reportElements } from "./report.js";
import { RollView } from "./roll.js";
import { EngravedMusic } from "./sheet.js";
import { SoundPanel } from "./sounder.js";

/** A first note may come a little before the first bar line: the player has nothing there. */
const EARLY_BEATS = 0.25;

/** The chart of a take; its play head is shown on the roll too. */
class TakeChart extends Chart {
  #onHead;

  constructor(onStep, onLoop, onHead) {
    super(onStep, onLoop);
    this.#onHead = onHead;
  }

  showHead(bar, share) {
    super.showHead(bar, share);
    this.#onHead(bar, share);
  }
}

/** The notes of a take as the player takes them, where they were played. */
function takeEvents({ notes, voice, band }) {
  return notes.flatMap(({ onset, meant, beats, midi }, index) => {
    if (onset < -EARLY_BEATS || onset >= band.beats) return [];
    return [{ beat: Math.max(onset, 0), meant: Math.max(meant, 0), beats, midi, part: "line", voice, level: 1, index }];
  });
}

/** The band behind a take. */
function takeScore(scene, swing) {
  const { band } = scene;
  const { events } = bandEvents({ ...band, swing });
  let beat = 0;
  const steps = band.chords.map(({ beats }, index) => {
    const step = { beat, index };
    beat += beats;
    return step;
  });
  return { beats: band.beats, beatsPerBar: band.beats_per_bar, bars: band.bars, events: [...events, ...takeEvents(scene)], steps };
}

/** The take by itself, with its pick-up and what comes after the form. */
function aloneScore({ notes, voice, band }) {
  const from = Math.min(...notes.map(({ onset }) => onset));
  const events = notes.map(({ onset, beats, midi }, index) => ({ beat: onset - from, beats, midi, part: "line", voice, level: 1, index }));
  const beats = Math.max(...events.map((event) => event.beat + event.beats));
  return { beats, beatsPerBar: band.beats_per_bar, events, steps: [] };
}

export class SoloView {
  #model;
  #listeners = [];
  #scene = null;
  #sound = null;
  #playing = [];
  #forgetKeys = () => {};

  /**
   * @param {object} options
   * @param {object} options.model a widget model, or the page's stand-in for one, with `solo` (the scene; empty
   *   without a take), `note`, `step`, `tempo`
   * @param {object} options.figures Bokeh's json items: `roll`
   * @param {HTMLElement} options.element
   * @param {object} options.bokeh
   * @returns {Promise<SoloView>}
   */
  static async open({ model, figures, element, bokeh }) {
    const view = new SoloView();
    view.#model = model;
    view.#build(element);
    await view.roll.embed(bokeh, figures.roll);
    for (const [name, act] of [
      ["solo", () => view.#renew()],
      ["note", () => view.#paintNote()],
      ["step", () => view.#paintStep()],
      ["tempo", () => view.#sound?.follows(new Set(["tempo"]))],
    ]) {
      model.on(`change:${name}`, act);
      view.#listeners.push([`change:${name}`, act]);
    }
    await view.#renew();
    element.dataset.ready = "true";
    return view;
  }

  #build(element) {
    this.element = makeElement("div", "tk-explorer tk-solo");
    this.element.dataset.kind = "solo";
    this.empty = makeElement("p", "tk-sentence", "No take yet: choose a file of MIDI, MusicXML or ABC above.");
    this.heading = makeElement("p", "tk-solo-heading");
    this.heading.setAttribute("role", "heading");
    this.heading.setAttribute("aria-level", "3");
    this.report = makeElement("div");
    this.findings = makeElement("div");
    this.records = makeElement("div");
    this.legend = makeElement("div", "tk-legend");
    this.status = makeElement("p", "tk-status");
    this.status.setAttribute("role", "status");
    this.chart = new TakeChart(
      (step) => this.#chooseStep(step),
      (loop) => this.#sound.setLoop(loop),
      (bar, share) => this.roll.showHead(bar, share),
    );
    this.soundPlace = makeElement("div");
    const step = (notes) => this.#stepNote(notes);
    this.music = new EngravedMusic({ note: (number) => this.#chooseNote(number), before: () => step(-1), after: () => step(1) });
    this.roll = new RollView({ note: (number) => this.#chooseNote(number), step, hear: () => this.#hear() });
    this.sentence = makeElement("p", "tk-sentence tk-note-sentence");
    this.sentence.setAttribute("aria-live", "polite");
    this.whole = makeElement("div");
    this.whole.append(
      this.heading,
      this.report,
      this.soundPlace,
      this.chart.element,
      this.status,
      this.findings,
      this.#sheetElement(step),
      this.roll.element,
      this.sentence,
      this.legend,
      this.records,
    );
    this.element.append(this.empty, this.whole);
    element.append(this.element);
  }

  #sheetElement(step) {
    const sheet = makeElement("div", "tk-sheet");
    const row = makeElement("div", "tk-row tk-sheet-row");
    this.bar = pushButton("this-bar", "", () => this.#playBar(this.chart.bar));
    row.append(
      makeElement("p", "tk-title", "As it was played, written"),
      pushButton("before", "‹ note", () => step(-1)),
      pushButton("after", "note ›", () => step(1)),
      this.bar,
    );
    this.problem = makeElement("p", "tk-hint");
    // The same words stand under the roll, where they are read aloud.
    this.echo = makeElement("p", "tk-note-echo");
    this.echo.setAttribute("aria-hidden", "true");
    sheet.append(row, this.problem, this.music.element, this.echo);
    return sheet;
  }

  #get(name) {
    return this.#model.get(name);
  }

  #set(name, value) {
    if (this.#get(name) === value) return;
    this.#model.set(name, value);
    this.#model.save_changes();
  }

  /** Show another take, or the same one under other choices. */
  async #renew() {
    const scene = this.#get("solo");
    const there = Boolean(scene?.notes);
    this.empty.hidden = there;
    this.whole.hidden = !there;
    if (!there) return;
    const first = !this.#scene;
    this.#scene = scene;
    this.chart.paint({ chart: scene.chart, step: this.#step, heading: scene.heading });
    if (first) this.#addSound();
    else {
      this.#sound.setLoop(null);
      this.#sound.follows(new Set(["table"]));
    }
    this.heading.textContent = [scene.title, scene.heading].filter(Boolean).join(" – ");
    this.report.replaceChildren(...reportElements(scene));
    const actions = { visit: (finding) => this.#visit(finding), playBar: (bar) => this.#playBar(bar) };
    this.findings.replaceChildren(...findingElements(scene, actions));
    this.records.replaceChildren(...recordElements(scene));
    const { svg, ids, words, problem } = scene.sheet;
    this.music.paint(svg, ids, words);
    this.problem.textContent = problem;
    this.problem.hidden = !problem;
    paintLegend(this.legend, scene, { legend: "solo", neck: scene.notes }, {});
    await this.roll.paint(scene);
    this.#paintStep();
    this.#paintNote();
  }

  #addSound() {
    const host = {
      choice: () => ({ tempo: this.#get("tempo") }),
      tempos: this.#scene.tempos,
      voice: () => this.#scene.voice,
      chart: this.chart,
      changes: (swing) => takeScore(this.#scene, swing),
      lineScore: () => aloneScore(this.#scene),
      otherIsThere: () => false,
      setChoice: (name, value) => this.#set(name, value),
      showSounding: (notes) => this.#showSounding(notes),
      showTapped: () => {},
      showPlaying: (on) => this.sentence.setAttribute("aria-live", on ? "off" : "polite"),
      say: (text) => (this.status.textContent = text),
    };
    this.#sound = new SoundPanel(host, { written: "Hear the take alone" }, { given: true });
    this.#sound.paint({ tempo: this.#get("tempo") });
    this.#forgetKeys = listenForKeys(this.element, this.#sound.actions);
    this.soundPlace.replaceChildren(this.#sound.element);
  }

  /** Another chart may be shorter than the one that the step was chosen in. */
  get #step() {
    const step = this.#get("step");
    return step < this.#scene.band.chords.length ? step : 0;
  }

  #chooseStep(step) {
    this.#set("step", step);
  }

  #paintStep() {
    if (!this.#scene) return;
    const { chart, heading } = this.#scene;
    this.chart.paint({ chart, step: this.#step, heading });
    const { bar } = this.chart;
    this.bar.textContent = `▶ bar ${bar + 1}`;
    this.bar.setAttribute("aria-label", `Play bar ${bar + 1}`);
    this.roll.showBar(bar);
  }

  get #asked() {
    const note = this.#get("note");
    return note < (this.#scene?.notes.length ?? 0) ? note : -1;
  }

  #stepNote(notes) {
    const last = this.#scene.notes.length - 1;
    const from = this.#asked < 0 && notes < 0 ? last + 1 : this.#asked;
    this.#chooseNote(Math.min(Math.max(from + notes, 0), last));
  }

  /** Ask about a note: it is said, ringed and heard, and its bar is the current one. */
  #chooseNote(number) {
    this.#set("note", number);
    this.#set("step", this.#stepAt(this.#scene.notes[number]));
    this.roll.showBar(Math.max(this.#scene.notes[number].bar, 1) - 1);
    this.#hear();
  }

  #hear() {
    if (this.#asked >= 0 && this.#playing.length === 0) this.#sound.tap(this.#scene.notes[this.#asked].midi);
  }

  /** The chord of the chart that a note is meant for. */
  #stepAt({ meant }) {
    let end = 0;
    const found = this.#scene.band.chords.findIndex(({ beats }) => (end += beats) > meant + 0.01);
    return found < 0 ? this.#scene.band.chords.length - 1 : found;
  }

  #visit({ step, note }) {
    const asked = this.#scene.notes[note];
    if (asked) this.#set("note", note);
    this.#set("step", step);
    const [head] = this.music.light(asked ? [note] : []);
    (head ?? this.music.element).scrollIntoView({ block: "center", inline: "nearest" });
    this.music.element.focus({ preventScroll: true });
  }

  #playBar(bar) {
    this.#set("step", this.#scene.chart[bar][0].step);
    this.#sound.playBars({ first: bar, last: bar });
  }

  #showSounding(notes) {
    this.#playing = notes.flatMap(({ index }) => index ?? []);
    this.#light();
  }

  #paintNote() {
    if (!this.#scene) return;
    const words = this.#asked < 0 ? "Choose a note, in the staff or on the roll: here stands what it does." : this.#scene.notes[this.#asked].sentence;
    this.sentence.textContent = words;
    this.echo.textContent = words;
    this.#light();
  }

  /** While the take sounds its notes are lit up, else the one that is asked about. */
  #light() {
    const numbers = this.#playing.length ? this.#playing : this.#asked >= 0 ? [this.#asked] : [];
    this.music.light(numbers);
    this.roll.ring(numbers, this.#playing.length ? "sounding" : "cursor");
  }

  /** Take the view off the page, and all that it holds with it. */
  remove() {
    this.#forgetKeys();
    this.#sound?.remove();
    for (const [event, listener] of this.#listeners) this.#model.off(event, listener);
    this.roll.remove();
    this.element.remove();
  }
}
