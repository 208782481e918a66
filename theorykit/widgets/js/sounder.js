/** The player of an explorer: what its controls do, and the one audio context of the page. */
import { shapeScore } from "./band.js";
import { PlayerControls } from "./controls.js";
import { beatOfBar, callAndResponse, cutBars, passageOf, wholeBars, withClick } from "./passage.js";
import { Player, scaleRun } from "./player.js";

/** The choices that the band's part is made from. */
const PLAYED = ["key", "progression", "thirds", "feel", "comp_held", "level", "grit", "style", "number", "instrument", "capo", "atlas", "table"];

let audioContext = null;
let soundingPanel = null;

/** Whoever sounds next is heard alone: what sounds now is told to stop. @param {{stop: function()}} panel */
export function soundAlone(panel) {
  if (soundingPanel !== panel) soundingPanel?.stop();
  soundingPanel = panel;
}

export function sharedContext() {
  audioContext ??= new AudioContext();
  return audioContext;
}

/** Who asks for less motion sees the chart's current bar change, and nothing else move. */
function wantsCalm() {
  return window.matchMedia("(prefers-reduced-motion: reduce)").matches;
}

/** What is played of one explorer, and how: everything but tempo, key and step, which are the study's. */
export class SoundPanel {
  #host;
  #firstLine;
  #band;
  #taps;
  #controls;
  #what = null;
  #paused = false;
  #holding = false;
  #loop = null;
  #call = false;
  #repeat = false;
  #half = false;
  #ramp = null;
  #rampFrom = 0;
  #countBars = 1;
  #swing = 0;
  #preview = true;
  #clickBefore = false;
  #sounding = [];
  #next = [];
  #ringing = false;
  #told = 0;

  /**
   * @param {object} host of the explorer: `choice()`, `tempos` (slowest and fastest), `voice(instrument)` of an instrument or the chosen
   *   one, `lineScore(what)`, `otherIsThere()`, `chart` (null if there are no changes to play), `asks` (whether a class can be asked
   *   about them), `changes(swing)` (their score, with `bars`), `setChoice(name, value)`, `showSounding(notes, next)`,
   *   `showTapped(place)`, `showPlaying(on)`, `say(text)`
   * @param {object} lines the words of the buttons that play a line, by what they play; the first is played by key
   * @param {{given: boolean}} options whether the chords are given, and not to be chosen
   */
  constructor(host, lines, { given = false } = {}) {
    this.#host = host;
    [this.#firstLine] = Object.keys(lines);
    this.#band = new Player({
      context: sharedContext,
      onStep: (index) => this.#what === "changes" && host.setChoice("step", index),
      onNotes: (notes) => this.#ring({ sounding: notes.filter(({ part }) => part === "line") }),
      onNext: (midis) => this.#ring({ next: midis }),
      onTempo: (tempo) => {
        this.#told = tempo;
        host.setChoice("tempo", tempo);
      },
      onPlace: (bar, share) => this.#what === "changes" && !wantsCalm() && host.chart.showHead(bar, share),
      onCount: (count) => this.#what === "changes" && host.chart.showCount(count),
      onState: (state) => state === "stopped" && this.#rest(),
    });
    this.#taps = new Player({
      context: sharedContext,
      onState: (state) => state === "stopped" && host.showTapped(null),
    });
    this.#controls = new PlayerControls(this.#actions(), { overChords: Boolean(host.chart), given, asks: host.asks, lines, tempo: host.tempos });
    this.element = this.#controls.element;
    this.switches = this.#controls.switches;
    this.#offerParts();
  }

  /** What keys and controls may ask for, by name. */
  #actions() {
    const { chart } = this.#host;
    return {
      playOrPause: () => this.toggle(chart ? "changes" : this.#firstLine),
      toggle: (what) => this.toggle(what),
      stop: () => this.stop(),
      setPart: (part, change) => this.#band.setPart(part, change),
      setVolume: (volume) => [this.#band, this.#taps].forEach((player) => player.setVolume(volume)),
      setTempo: (tempo) => this.#host.setChoice("tempo", tempo),
      faster: () => this.#nudge(2),
      slower: () => this.#nudge(-2),
      setChoice: (name, value) => this.#host.setChoice(name, value),
      halfSpeed: () => this.#setHalf(!this.#half),
      setHalf: (on) => this.#setHalf(on),
      setRamp: (ramp) => this.#setRamp(ramp),
      setCall: (on) => this.#setCall(on),
      setRepeat: (on) => (this.#repeat = on),
      setCountBars: (bars) => (this.#countBars = bars),
      setSwing: (swing) => {
        this.#swing = swing;
        this.#renew();
      },
      setPreview: (on) => {
        this.#preview = on;
        this.#ring({});
      },
      setLoop: (loop) => this.setLoop(loop),
      loopBar: () => chart && this.setLoop(this.#loop ? null : { first: chart.bar, last: chart.bar }),
      reach: (key) => chart?.reachFurther(key) ?? false,
      click: () => this.#controls.mixer.setOn("click", !this.#controls.mixer.isOn("click")),
      showKeys: () => this.#controls.showKeys(),
    };
  }

  get actions() {
    return this.#actions();
  }

  #nudge(change) {
    const [slowest, fastest] = this.#host.tempos;
    this.#host.setChoice("tempo", Math.min(Math.max(this.#host.choice().tempo + change, slowest), fastest));
  }

  #setHalf(on) {
    this.#half = on;
    this.#controls.showHalf(on);
    this.#band.setRate(on ? 0.5 : 1);
  }

  #setRamp(ramp) {
    this.#ramp = ramp;
    this.#rampFrom = this.#host.choice().tempo;
    this.#band.setRamp(ramp);
  }

  /** While the student answers, the click keeps the time; afterwards it is as it was before. */
  #setCall(on) {
    this.#call = on;
    const { mixer } = this.#controls;
    if (on) this.#clickBefore = mixer.isOn("click");
    mixer.setOn("click", on || this.#clickBefore);
    this.#renew();
  }

  /** Loop some bars of the chart, from the next bar line on. @param {{first: number, last: number}|null} loop */
  setLoop(loop) {
    const { chart } = this.#host;
    const whole = !loop || (loop.first === 0 && loop.last === chart.barCount - 1);
    if (whole && !this.#loop) {
      chart.showLoop(null);
      return;
    }
    this.#loop = whole ? null : loop;
    chart.showLoop(this.#loop);
    this.#controls.showLoop(this.#loop, chart.barCount);
    const bars = loop && loop.first === loop.last ? `bar ${loop.first + 1}` : loop && `bars ${loop.first + 1} to ${loop.last + 1}`;
    this.#host.say(whole ? "The whole chart is looped." : `Loop: ${bars}.`);
    if (this.#what === "changes") this.#renew();
  }

  #score() {
    if (this.#what === "changes") {
      const whole = withClick(passageOf(this.#host.changes(this.#swing)));
      const cut = this.#loop ? cutBars(whole, this.#loop) : whole;
      return this.#call ? callAndResponse(cut) : cut;
    }
    const run = this.#host.lineScore(this.#what);
    return this.#repeat ? withClick(passageOf(wholeBars(run))) : run;
  }

  /** The changes, if there are any, say which parts are to be mixed. */
  #offerParts() {
    const played = this.#host.chart ? this.#host.changes(this.#swing).events.map(({ part }) => part) : [];
    this.#controls.mixer.offer(new Set([...played, "line", "click"]));
  }

  /** Start or stop one of the lines; "changes" are paused and taken up again. */
  async toggle(what) {
    if (this.#what === what) {
      if (what === "changes") this.pause();
      else this.stop();
      return;
    }
    const goesOn = what === "changes" && this.#paused;
    if (!goesOn) this.stop();
    soundAlone(this);
    this.#paused = false;
    this.#what = what;
    const { tempo } = this.#host.choice();
    if (!goesOn) this.#rampFrom = tempo;
    this.#told = tempo;
    this.#paintButtons();
    this.#host.showPlaying(true);
    try {
      const score = this.#score();
      const loops = what === "changes" || this.#repeat;
      const fromBeat = goesOn ? beatOfBar(score, this.#host.chart.bar) : 0;
      await this.#band.play(score, {
        tempo,
        rate: this.#half ? 0.5 : 1,
        ramp: loops ? this.#ramp : null,
        loop: loops,
        countInBeats: loops ? this.#countBars * score.beatsPerBar : 0,
        fromBeat,
      });
      // Painted now, while it is counted in, and not sooner: the first note would wait for it.
      const step = score.steps.findLast(({ beat }) => beat <= fromBeat);
      if (this.#what === "changes") this.#host.setChoice("step", step.index);
    } catch (error) {
      this.#rest();
      this.#host.say(`No sound: ${error.message}`);
    }
  }

  /** Silence; the next press on play goes on from the bar reached, or from one chosen meanwhile. */
  pause() {
    this.#holding = true;
    this.#band.stop();
    this.#holding = false;
    this.#host.say(`Paused in bar ${this.#host.chart.bar + 1}.`);
  }

  stop() {
    if (this.#band.playing) this.#band.stop();
    else if (this.#paused) this.#rest();
  }

  /** One note, beside whatever plays. */
  tap(midi, instrument) {
    this.#taps
      .play(scaleRun([midi], { beatsEach: 2, voice: this.#host.voice(instrument) }), { tempo: 120, loop: false })
      .catch((error) => this.#host.say(`No sound: ${error.message}`));
  }

  /** A chord, beside whatever plays. */
  strum(midis) {
    this.#taps
      .play(shapeScore(midis, this.#host.voice()), { tempo: 120, loop: false })
      .catch((error) => this.#host.say(`No sound: ${error.message}`));
  }

  /** Keep up with a changed choice: what is looped goes over to it at the next bar line. */
  follows(changed) {
    const has = (...names) => names.some((name) => changed.has(name));
    const { tempo } = this.#host.choice();
    if (has("tempo")) {
      if (tempo !== this.#told) this.#rampFrom = tempo;
      this.#controls.showTempo(tempo);
      this.#band.setTempo(tempo);
    }
    if (has("progression") && this.#loop) this.setLoop(null);
    if (this.#what === "other" && !this.#host.otherIsThere()) this.stop();
    if (this.#what === "changes" && has(...PLAYED)) this.#renew();
    if (this.#what !== "changes" && !has("tempo")) this.#renew();
  }

  /** Loop some bars, and play them if nothing plays. @param {{first: number, last: number}} loop */
  playBars(loop) {
    this.setLoop(loop);
    if (this.#what !== "changes") this.toggle("changes");
  }

  #renew() {
    if (this.#what === "changes" || (this.#what && this.#repeat)) this.#band.setScore(this.#score());
  }

  paint(choice) {
    this.#controls.paint(choice, this.#host.otherIsThere());
    if (this.#host.chart) this.#controls.showLoop(this.#loop, this.#host.chart.barCount);
  }

  /** Rings change together, once: each change is painted on neck and keyboard. */
  #ring({ sounding = this.#sounding, next = this.#next }) {
    this.#sounding = sounding;
    this.#next = next;
    if (this.#ringing) return;
    this.#ringing = true;
    queueMicrotask(() => {
      this.#ringing = false;
      if (wantsCalm()) this.#host.showSounding([], []);
      else this.#host.showSounding(this.#sounding, this.#preview ? this.#next : []);
    });
  }

  #paintButtons() {
    this.#controls.showPlaying(this.#what, this.#paused);
  }

  /** The band has stopped: at its end, on a press, or because it could not play. */
  #rest() {
    this.#paused = this.#holding && this.#what === "changes";
    this.#what = null;
    if (soundingPanel === this) soundingPanel = null;
    this.#ring({ sounding: [], next: [] });
    this.#host.chart?.showHead(null);
    this.#host.chart?.showCount(null);
    this.#host.showPlaying(false);
    this.#paintButtons();
    if (!this.#paused) this.#endRamp();
  }

  /** The next run begins as slowly as this one did. */
  #endRamp() {
    const { tempo } = this.#host.choice();
    if (!this.#ramp || tempo === this.#rampFrom) return;
    this.#host.say(`Reached tempo ${tempo}; back to ${this.#rampFrom}.`);
    this.#host.setChoice("tempo", this.#rampFrom);
  }

  remove() {
    this.stop();
    this.#taps.stop();
  }
}
