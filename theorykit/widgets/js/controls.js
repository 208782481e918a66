/** The player's controls, as they are laid out, named and painted. */
import { makeElement } from "./chart.js";
import { controlGroup, dropMenu, numberBox, paintButton, pushButton, slideBar, tickBox } from "./fields.js";
import { keyList } from "./keys.js";
import { PartMixer } from "./mixer.js";
import { CALM_VOLUME } from "./schedule.js";

const CAUTION = "Start quiet, and rest your hands and ears often; if something hurts, stop and ask your teacher or a doctor.";

/** How much longer the first half of a quarter is than the second; 0 leaves it to the band. */
const SWINGS = [[0, "as the band has it"], [1, "even"], [1.5, "light, 3 to 2"], [2, "triplets, 2 to 1"], [3, "hard, 3 to 1"]];

let panelCount = 0;

/** The controls of a player: a row, more of them below it, and the switches that change what is shown. */
export class PlayerControls {
  #actions;
  #overChords;
  #given;
  #lines;
  #buttons = {};

  /**
   * @param {object} actions functions by name; see SoundPanel
   * @param {{overChords: boolean, given: boolean, asks: boolean, lines: object, tempo: number[]}} options whether there are
   *   changes to play, whether they are given, so that nothing of them can be chosen, and whether a class can be asked about
   *   them; the words of the buttons that play a line, by what they play; slowest and fastest
   */
  constructor(actions, { overChords, given, asks, lines, tempo }) {
    this.#actions = actions;
    this.#lines = lines;
    this.#overChords = overChords;
    this.#given = given;
    this.element = makeElement("div", "tk-sound");
    this.element.setAttribute("role", "group");
    this.element.setAttribute("aria-label", "Player");
    this.mixer = new PartMixer(actions.setPart);
    this.element.append(this.#row(tempo), this.#further(tempo, asks), this.#notes());
    this.switches = this.#switchRow();
  }

  #row(tempo) {
    const row = makeElement("div", "tk-row");
    if (this.#overChords) {
      row.append(this.#button("changes", () => this.#actions.toggle("changes")));
      row.append(pushButton("stop", "", () => this.#stop()));
      paintButton(row.lastChild, "Stop", "stop");
    }
    for (const what of Object.keys(this.#lines)) row.append(this.#button(what, () => this.#actions.toggle(what)));
    row.append(this.#tempo(tempo));
    this.half = tickBox("half speed", false, this.#actions.setHalf);
    row.append(this.half.element);
    this.volume = slideBar("Volume", { min: 0, max: 1, step: 0.05, value: CALM_VOLUME }, this.#actions.setVolume);
    this.more = pushButton("more", "More", () => this.#openMore(this.panel.hidden));
    row.append(this.volume.element);
    if (this.#overChords) row.append(this.#loopSlot());
    row.append(this.more);
    this.showPlaying(null, false);
    return row;
  }

  #button(what, onPress) {
    this.#buttons[what] = pushButton(what, "", onPress);
    return this.#buttons[what];
  }

  /** Who has stopped will want to play again next. */
  #stop() {
    this.#actions.stop();
    this.#buttons.changes.focus();
  }

  #tempo([min, max]) {
    const { setTempo } = this.#actions;
    this.tempo = numberBox("Tempo", { min, max, value: min }, setTempo);
    this.tempoBar = makeElement("input");
    Object.assign(this.tempoBar, { type: "range", name: "tempo", min, max, step: 1 });
    this.tempoBar.setAttribute("aria-label", "Tempo");
    this.tempoBar.addEventListener("input", () => setTempo(Number(this.tempoBar.value)));
    const group = makeElement("span", "tk-tempo");
    group.append(this.tempo.element, this.tempoBar);
    return group;
  }

  #loopSlot() {
    this.loopHint = makeElement("span", "tk-hint", "Drag over bars to loop them");
    this.whole = pushButton("whole", "", () => this.#actions.setLoop(null));
    this.whole.hidden = true;
    const slot = makeElement("span", "tk-loop");
    slot.append(this.loopHint, this.whole);
    return slot;
  }

  #further(tempo, asks) {
    this.panel = makeElement("div", "tk-further");
    this.panel.id = `tk-further-${++panelCount}`;
    this.panel.hidden = true;
    this.more.setAttribute("aria-controls", this.panel.id);
    this.more.setAttribute("aria-expanded", "false");
    this.keys = controlGroup("Keys, while the focus is in this explorer", keyList({ chart: this.#overChords, asks }));
    this.keys.tabIndex = -1;
    this.panel.append(this.#practice(tempo), this.mixer.element, this.keys);
    return this.panel;
  }

  #practice(tempo) {
    const { setCountBars, setPreview, setCall, setRepeat, setSwing, setChoice } = this.#actions;
    const countIn = dropMenu("Count-in", [[0, "none"], [1, "1 bar"], [2, "2 bars"]], 1, setCountBars);
    const preview = tickBox("ring the next note lightly", true, setPreview);
    const parts = [countIn.element, this.#rampLine(tempo)];
    if (this.#overChords) {
      parts.push(dropMenu("Swing", SWINGS, 0, setSwing).element, this.#loopLine());
      if (!this.#given) {
        this.held = tickBox("chords as the instrument holds them", false, (on) => setChoice("comp_held", on));
        parts.push(this.held.element);
      }
      parts.push(tickBox("call and response: 2 bars played, 2 left to you", false, setCall).element);
    } else {
      parts.unshift(tickBox("repeat what is heard", false, setRepeat).element);
    }
    return controlGroup("Practice", ...parts, preview.element);
  }

  #rampLine([slowest, fastest]) {
    const tell = () => this.#actions.setRamp(on.input.checked ? { step: Number(step.input.value), top: Number(top.input.value) } : null);
    const on = tickBox("faster each pass", false, tell);
    const step = numberBox("by", { min: 1, max: 20, value: 4 }, tell);
    const top = numberBox("up to", { min: slowest, max: fastest, value: 160 }, tell);
    step.input.name = "ramp-step";
    top.input.name = "ramp-top";
    const line = makeElement("div", "tk-line");
    line.append(on.element, step.element, top.element);
    return line;
  }

  #loopLine() {
    const tell = () => {
      const ends = [this.loopFrom, this.loopTo].map(({ input }) => Number(input.value) - 1);
      this.#actions.setLoop({ first: Math.min(...ends), last: Math.max(...ends) });
    };
    this.loopFrom = numberBox("Loop bars", { min: 1, max: 1, value: 1 }, tell);
    this.loopTo = numberBox("to", { min: 1, max: 1, value: 1 }, tell);
    this.loopFrom.input.name = "loop-from";
    this.loopTo.input.name = "loop-to";
    const line = makeElement("div", "tk-line");
    line.append(this.loopFrom.element, this.loopTo.element);
    return line;
  }

  #notes() {
    const line = makeElement("p", "tk-caution");
    const hint = makeElement("span", "tk-key-hint");
    hint.append(makeElement("kbd", "", "Space"), " plays and pauses, ", makeElement("kbd", "", "?"), " shows more keys.");
    line.append(hint, ` ${CAUTION}`);
    return line;
  }

  /** They change what is shown as well as what is played, and stand by the neck. */
  #switchRow() {
    const row = makeElement("div", "tk-switches");
    if (!this.#overChords || this.#given) return row;
    this.thirds = tickBox("thirds in the chords", true, (on) => this.#actions.setChoice("thirds", on));
    this.follow = tickBox("show what to play", false, (on) => this.#actions.setChoice("follow", on));
    row.append(this.thirds.element, this.follow.element);
    return row;
  }

  #openMore(open) {
    this.panel.hidden = !open;
    this.more.setAttribute("aria-expanded", String(open));
  }

  showKeys() {
    this.#openMore(true);
    this.keys.focus();
  }

  paint({ thirds, follow, tempo, comp_held: held }, otherIsThere) {
    if (this.held) this.held.input.checked = held;
    if (this.thirds) {
      this.thirds.input.checked = thirds;
      this.follow.input.checked = follow;
    }
    if (this.#buttons.other) this.#buttons.other.hidden = !otherIsThere;
    this.showTempo(tempo);
  }

  showTempo(tempo) {
    this.tempo.show(tempo);
    this.tempoBar.value = tempo;
  }

  showHalf(on) {
    this.half.input.checked = on;
  }

  showLoop(loop, barCount) {
    this.loopHint.hidden = Boolean(loop);
    this.whole.hidden = !loop;
    const first = (loop?.first ?? 0) + 1;
    const last = (loop?.last ?? barCount - 1) + 1;
    if (loop) {
      paintButton(this.whole, `${first === last ? `Bar ${first}` : `Bars ${first}–${last}`} ×`);
      this.whole.setAttribute("aria-label", `Loop the whole chart again, not bars ${first} to ${last}`);
    }
    for (const [box, bar] of [[this.loopFrom, first], [this.loopTo, last]]) {
      box.input.max = barCount;
      box.show(bar);
    }
  }

  /** @param {string|null} what sounds; @param {boolean} paused whether the changes wait to go on */
  showPlaying(what, paused) {
    const { changes } = this.#buttons;
    if (changes) paintButton(changes, what === "changes" ? "Pause" : "Play", what === "changes" ? "pause" : "play");
    changes?.setAttribute("aria-label", what === "changes" ? "Pause" : paused ? "Play on from the current bar" : "Play the changes");
    for (const [name, words] of Object.entries(this.#lines)) {
      const button = this.#buttons[name];
      paintButton(button, what === name ? "Stop" : words, what === name ? "stop" : null);
      button.setAttribute("aria-pressed", String(what === name));
    }
  }
}
