/** The buttons that make sound, and the one audio context of the page. */
import { bandScore, shapeScore } from "./band.js";
import { makeElement } from "./chart.js";
import { CALM_VOLUME } from "./schedule.js";
import { Player, scaleRun } from "./player.js";

let audioContext = null;
let soundingPanel = null;

function sharedContext() {
  audioContext ??= new AudioContext();
  return audioContext;
}

const CAUTION = "Start quiet, and rest your hands and ears often; if something hurts, stop and ask your teacher or a doctor.";

/** Play buttons and switches of one explorer. */
export class SoundPanel {
  #host;
  #band;
  #taps;
  #what = null;

  /**
   * @param {object} host `table()`, `choice()`, `scene()`, `lineScore(what)`, `setStep(index)`, `setChoice(name, value)`,
   *   `showSounding(midis)`, `say(text)` of the explorer
   * @param {object} options `overChords`: whether there are changes to play; `lines`: the words of the buttons
   *   that play a line, by what they play
   */
  constructor(host, { overChords, lines }) {
    this.#host = host;
    this.#band = new Player({
      context: sharedContext,
      onStep: (index) => this.#what === "changes" && host.setStep(index),
      onNotes: (notes) => host.showSounding(notes.filter(({ part }) => part === "line").map(({ midi }) => midi)),
      onState: (state) => this.#state(state),
    });
    this.#taps = new Player({
      context: sharedContext,
      onState: (state) => state === "stopped" && host.showTapped(null),
    });
    this.element = makeElement("div", "tk-sound");
    this.#buildButtons(overChords, lines);
    this.element.append(makeElement("p", "tk-caution", CAUTION));
  }

  #buildButtons(overChords, lines) {
    this.buttons = {};
    if (overChords) this.#button("changes", "Play the changes");
    for (const [what, words] of Object.entries(lines)) this.#button(what, words);
    if (overChords) {
      for (const part of ["bass", "chop"]) this.#partSwitch(part);
      this.thirds = this.#switch("thirds in the chords", (on) => this.#host.setChoice("thirds", on));
      this.follow = this.#switch("show what to play", (on) => this.#host.setChoice("follow", on));
    }
    const volume = makeElement("input");
    Object.assign(volume, { type: "range", min: 0, max: 1, step: 0.05, value: CALM_VOLUME });
    volume.addEventListener("input", () => {
      this.#band.setVolume(Number(volume.value));
      this.#taps.setVolume(Number(volume.value));
    });
    const label = makeElement("label", "tk-volume", "Volume ");
    label.append(volume);
    this.element.append(label);
  }

  #button(what, text) {
    const button = makeElement("button", `tk-button tk-${what}`, text);
    button.type = "button";
    button.dataset.rest = text;
    button.addEventListener("click", () => this.toggle(what));
    this.buttons[what] = button;
    this.element.append(button);
  }

  #switch(text, onChange) {
    const box = makeElement("input");
    box.type = "checkbox";
    box.addEventListener("change", () => onChange(box.checked));
    const label = makeElement("label", "tk-toggle");
    label.append(box, ` ${text}`);
    this.element.append(label);
    return box;
  }

  #partSwitch(part) {
    const box = this.#switch(part, (on) => this.#band.setPart(part, { muted: !on }));
    box.checked = true;
  }

  /** Start or stop: "changes", or one of the lines. */
  async toggle(what) {
    if (this.#what === what) {
      this.stop();
      return;
    }
    soundingPanel?.stop();
    const table = this.#host.table();
    const choice = this.#host.choice();
    this.#what = what;
    soundingPanel = this;
    const { tempo } = choice;
    try {
      if (what === "changes") {
        const score = bandScore(table, choice);
        await this.#band.play(score, { tempo, countInBeats: score.beatsPerBar, loop: true });
      } else {
        await this.#band.play(this.#host.lineScore(what), { tempo, loop: false });
      }
    } catch (error) {
      this.#state("stopped");
      this.#host.say(`No sound: ${error.message}`);
    }
  }

  stop() {
    this.#band.stop();
  }

  /** One note, beside whatever plays. */
  tap(midi) {
    const table = this.#host.table();
    const { voice } = table.instruments[this.#host.choice().instrument];
    this.#taps
      .play(scaleRun([midi], { beatsEach: 2, voice }), { tempo: 120, loop: false })
      .catch((error) => this.#host.say(`No sound: ${error.message}`));
  }

  /** A chord, beside whatever plays. */
  strum(midis) {
    const table = this.#host.table();
    const { voice } = table.instruments[this.#host.choice().instrument];
    this.#taps
      .play(shapeScore(midis, voice), { tempo: 120, loop: false })
      .catch((error) => this.#host.say(`No sound: ${error.message}`));
  }

  /** Keep up with a changed choice: the changes go over to it at the next bar line. */
  follows(changed) {
    if (this.#what !== "changes") return;
    const choice = this.#host.choice();
    if (changed.has("tempo")) this.#band.setTempo(choice.tempo);
    if (["key", "progression", "thirds", "table"].some((name) => changed.has(name))) {
      this.#band.setScore(bandScore(this.#host.table(), choice));
    }
  }

  paint(choice, otherIsThere) {
    if (this.thirds) {
      this.thirds.checked = choice.thirds;
      this.follow.checked = choice.follow;
    }
    if (this.buttons.other) this.buttons.other.hidden = !otherIsThere;
  }

  #state(state) {
    if (state === "stopped") {
      this.#what = null;
      if (soundingPanel === this) soundingPanel = null;
      this.#host.showSounding([]);
    }
    for (const [what, button] of Object.entries(this.buttons)) {
      const sounds = what === this.#what;
      button.textContent = !sounds ? button.dataset.rest : state === "counting" ? "Stop (counting in)" : "Stop";
      button.setAttribute("aria-pressed", String(sounds));
    }
  }

  remove() {
    this.#band.stop();
    this.#taps.stop();
  }
}
