/** The teacher's desk of an explorer: presenting, covered labels, a pause to ask the class, undo. */
import { makeElement } from "./chart.js";
import { pushButton } from "./fields.js";
import { historyOf } from "./history.js";
import { Presenter } from "./present.js";
import { Veil } from "./veil.js";

/** With another one of these other notes are shown, and none of them has been asked about. */
const OTHER_NOTES = ["key", "scale", "compare", "progression", "style", "instrument", "capo", "thirds", "follow", "root", "quality"];

/** What to call the choices that were undone, where it is not the menu's own words. */
const SWITCH_WORDS = {
  capo: "Capo", thirds: "thirds in the chords", comp_held: "chords as held", follow: "show what to play", left_handed: "left-handed",
  fingers: "fingers", number: "line", kept: "kept line", tune: "tune",
};

export class TeacherDesk {
  #host;
  #veil = new Veil();
  #presenter;
  #history;
  #buttons = {};
  #forget;

  /**
   * @param {HTMLElement} root of the explorer
   * @param {object} host `study`, `traits`, `chart` (null without one), `asks` (whether a class can be asked), `step()`,
   *   `pictures()` (each picture's name with its marks), `usualHeight()` (of the necks together), `setStep(step)`, `setScale(scale)`, `repaint()`, `say(text)`
   */
  constructor(root, host) {
    this.#host = host;
    this.#presenter = new Presenter(root, (scale) => this.#rescale(scale), host.usualHeight);
    this.#history = historyOf(host.study, host.traits);
    this.#forget = this.#history.watch(() => this.#paint());
    this.element = makeElement("div", "tk-desk tk-row");
    this.element.setAttribute("role", "toolbar");
    this.element.setAttribute("aria-label", "Teaching");
    this.answerButton = pushButton("answer", "Show the answer", () => this.#reveal());
    this.#build();
    this.#paint();
  }

  #build() {
    const { asks, chart } = this.#host;
    const add = (name, text, press) => {
      this.#buttons[name] = pushButton(`desk tk-${name}`, text, press);
      this.element.append(this.#buttons[name]);
    };
    const { present, cover, ask, undo, redo, goBack, goOn } = this.actions;
    add("present", "Present", present);
    if (chart) {
      add("before", "‹ Chord", goBack);
      add("next", "Chord ›", goOn);
      this.#buttons.before.setAttribute("aria-label", "The chord before");
      this.#buttons.next.setAttribute("aria-label", "Next: the answer that was kept back, or the next chord");
    }
    if (asks) add("ask", "Ask first", ask);
    add("cover", "Cover labels", cover);
    add("reveal", "Next label", () => this.#uncoverNext());
    add("coverall", "Cover all", () => this.#coverAll());
    add("showall", "Show all", () => this.#showAll());
    add("undo", "Undo", undo);
    add("redo", "Redo", redo);
  }

  /** By name, for the keys; what this explorer has not got is not there. */
  get actions() {
    const { asks, chart } = this.#host;
    return {
      present: () => this.#presenter.toggle(),
      isPresenting: () => this.#presenter.on,
      cover: () => this.#setCovers(!this.#veil.covers),
      reveal: () => this.#reveal(),
      undo: () => this.#go("back", "Undone"),
      redo: () => this.#go("forward", "Done again"),
      ...(asks && { ask: () => this.#setAsks(!this.#veil.asks) }),
      ...(chart && { goOn: () => this.#goOn(), goBack: () => this.#moveStep(-1) }),
    };
  }

  /** Tells whether a presentation was left. */
  leave() {
    return this.#presenter.leave();
  }

  get covers() {
    return this.#veil.covers;
  }

  /** Whether the answer at the current chord is kept back. */
  get hidden() {
    return this.#veil.hides(this.#host.step());
  }

  /** The parts of a scene as the class sees them. */
  seen(picture, marks) {
    return this.#veil.seen(picture, marks, this.#host.step());
  }

  seenRuler(ruler) {
    return this.#veil.seenRuler(ruler, this.#host.step());
  }

  seenChart(chart) {
    return this.#veil.seenChart(chart);
  }

  alternative(picture, text, marks, heading) {
    return this.#veil.alternative(picture, text, marks, { step: this.#host.step(), heading });
  }

  /** A place that was tapped shows its label; tells whether it was covered. */
  tapped(picture, place) {
    if (!this.#veil.isCovered(picture, place)) return false;
    this.#veil.uncover(picture, place);
    this.#host.repaint();
    return true;
  }

  follows(changed) {
    if (!OTHER_NOTES.some((name) => changed.has(name))) return;
    this.#veil.forgetAnswers();
    this.#veil.coverAll();
  }

  /** After the explorer has painted: the answer's button is there while there is an answer to show. */
  paint() {
    this.answerButton.hidden = !this.hidden;
  }

  #setCovers(on) {
    this.#veil.setCovers(on);
    this.#host.say(on ? "Labels covered: tap a mark to show its label, R for the next." : "All labels are shown.");
    this.#refresh();
  }

  #setAsks(on) {
    this.#veil.setAsks(on, this.#host.step());
    this.#host.say(on ? "At each chord the answer waits for R or a click." : "Answers are shown at once.");
    this.#refresh();
  }

  #coverAll() {
    this.#veil.coverAll();
    this.#refresh();
  }

  #showAll() {
    this.#veil.uncoverAll(this.#host.pictures());
    this.#refresh();
  }

  #reveal() {
    if (!this.hidden) {
      if (this.#veil.covers) this.#uncoverNext();
      return;
    }
    const focused = this.answerButton.matches(":focus");
    this.#veil.answer(this.#host.step());
    this.#refresh();
    // The button goes; from the chart the arrow keys lead on.
    if (focused) this.#host.chart.element.focus();
  }

  #uncoverNext() {
    const mark = this.#veil.uncoverNext(this.#host.pictures());
    if (!mark) this.#host.say("All labels are shown.");
    else this.#host.say(mark.string === undefined ? mark.label : `${mark.label} · string ${mark.string}, ${mark.fret ? `fret ${mark.fret}` : "open"}`);
    this.#refresh();
  }

  #goOn() {
    if (this.hidden) this.#reveal();
    else this.#moveStep(1);
  }

  #moveStep(steps) {
    const there = this.#host.step() + steps;
    if (there >= 0 && there < this.#host.chart.stepCount) this.#host.setStep(there);
  }

  #go(way, words) {
    const names = this.#history[way]();
    const { menus } = this.#host.study.get("table");
    const told = names.map((name) => menus[name]?.words ?? SWITCH_WORDS[name] ?? name);
    this.#host.say(told.length ? `${words}: ${told.join(", ")}.` : `Nothing to ${way === "back" ? "undo" : "redo"}.`);
  }

  #rescale(scale) {
    this.#paint();
    this.#host.setScale(scale);
  }

  #refresh() {
    this.#paint();
    this.#host.repaint();
  }

  #paint() {
    const { covers, asks } = this.#veil;
    const pressed = { present: this.#presenter.on, cover: covers, ask: asks };
    for (const [name, on] of Object.entries(pressed)) this.#buttons[name]?.setAttribute("aria-pressed", String(on));
    for (const name of ["reveal", "coverall", "showall"]) this.#buttons[name].hidden = !covers;
    this.#able("undo", this.#history.hasBack);
    this.#able("redo", this.#history.hasForward);
  }

  /** Not `disabled`: a button that is pressed until nothing is left must keep the focus. */
  #able(name, able) {
    this.#buttons[name].setAttribute("aria-disabled", String(!able));
  }

  remove() {
    this.#presenter.leave();
    this.#forget();
  }
}
