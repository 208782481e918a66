/**
 * Plays scores in the browser, and tells followers what sounds.
 *
 * A timer hands notes to WebAudio a little ahead of time (timeline.js says when each sounds), so its own
 * lateness is not heard. Followers read the clock of the speakers, once a frame.
 */
import { SampleBank } from "./synth.js";
import { PART_GAINS, VOICES } from "./tables.js";
import { barIndexAt, chartBar, passageOf } from "./passage.js";
import { CALM_VOLUME, checkScore, checkTempo, createSession, dropNote, endNote, partMix, prepareNotes, releaseOf, scheduleNotes, takeUpNotes, volumeToGain } from "./schedule.js";
import { beatAtTime, changePassage, changeTempo, createTimeline, endBeat, extendTempos, forgetTempos, locateBeat, nextNotes, soundingNotes, tempoAt, timeAtBeat } from "./timeline.js";

const TICK_MILLISECONDS = 25;
const HORIZON_SECONDS = 0.15;
// A hidden page gets its timers once a second.
const HIDDEN_HORIZON_SECONDS = 1.5;
const START_SECONDS = 0.035;
// Whatever starts sooner than this may already be on its way to the speakers.
const COMMITTED_SECONDS = 0.02;
// After a stall, notes later than this are left out: a bunch of them at once would be worse.
const LATE_SECONDS = 0.03;
const STOP_SECONDS = 0.03;
const RELEASED_MILLISECONDS = 250;
const GLIDE_SECONDS = 0.01;
// Offline, notes are handed in so far at a time: the browser looks at every one that there is, started or not.
const SLICE_SECONDS = 2;

/** Plays scores live. Makes nothing before the first `play`: browsers give sound only after a press. */
export class Player {
  #makeContext;
  #voices;
  #listeners;
  #context = null;
  #bank = null;
  #session = null;
  #fading = new Set();
  #timer = 0;
  #frame = 0;
  #parts = {};
  #volume = CALM_VOLUME;

  /**
   * @param {object} options
   * @param {function(): AudioContext} options.context called once, at the first `play`
   * @param {function(number)} [options.onStep] index of the step under the play head, when it changes
   * @param {function(Array<{midi: number, part: string, index: number}>)} [options.onNotes] notes that sound,
   *   when they change: all parts but clicks, lowest first; the index is the event's own, if it has one
   * @param {function(number[])} [options.onNext] keys of the line's next notes, when they change
   * @param {function(number)} [options.onTempo] tempo, when it changes
   * @param {function(number, number)} [options.onPlace] each frame: bar of the chart, share of it gone by
   * @param {function({bar: number, number: number}|null)} [options.onCount] each beat of the count-in: bar that
   *   the music begins with, and what is counted; null when the music begins
   * @param {function(string)} [options.onState] "counting", "playing" or "stopped"
   * @param {object} [options.voices] table like `VOICES`
   */
  constructor({ context, voices = VOICES, ...listeners }) {
    this.#makeContext = context;
    this.#voices = voices;
    this.#listeners = listeners;
  }

  /** True from the press on play until the end or `stop`. */
  get playing() {
    return this.#session !== null;
  }

  /** What is heard now: beat within the score, negative in the count-in, null when stopped. */
  get beat() {
    return this.#session && locateBeat(this.#session, this.#heardBeat()).local;
  }

  /** Notes handed to the audio context and not yet released. */
  get activeCount() {
    return [this.#session, ...this.#fading].reduce((sum, session) => sum + (session?.notes.size ?? 0), 0);
  }

  /**
   * Play in place of whatever plays. Call it from a press.
   * @param {object} score see schedule.js; or a passage (passage.js)
   * @param {object} [options]
   * @param {number} [options.tempo] beats a minute
   * @param {number} [options.rate] share of the tempo that is played; pitches stay
   * @param {{step: number, top: number}|null} [options.ramp] faster by `step` each pass, up to `top`
   * @param {boolean} [options.loop] repeat until `stop`
   * @param {number} [options.countInBeats] clicks before the music
   * @param {number} [options.fromBeat] where in the score to begin
   * @returns {Promise<void>} resolves when the audio clock runs
   */
  async play(score, { tempo = 96, rate = 1, ramp = null, loop = true, countInBeats = 0, fromBeat = 0 } = {}) {
    checkScore(score, this.#voices);
    checkTempo(tempo);
    this.#context ??= this.#makeContext();
    this.#halt();
    this.#bank ??= new SampleBank(this.#context, this.#voices);
    const passes = loop ? Infinity : 1;
    const timeline = createTimeline({ passage: passageOf(score), tempo, rate, ramp, countInBeats, fromBeat, passes });
    const session = createSession(timeline, {
      context: this.#context,
      bank: this.#bank,
      parts: this.#parts,
      volume: this.#volume,
    });
    this.#session = session;
    prepareNotes(session, session.cursor, beatAtTime(session, HORIZON_SECONDS));
    try {
      await this.#context.resume();
    } catch (error) {
      if (this.#session === session) this.stop();
      throw error;
    }
    // Another press may have come while the audio device woke up.
    if (this.#session !== session) return;
    // On a whole frame, so that all that follows lies where its beat is from there.
    const { currentTime, sampleRate } = this.#context;
    const start = Math.ceil((currentTime + START_SECONDS) * sampleRate) / sampleRate;
    for (const entry of session.tempos) entry.time += start;
    session.started = true;
    this.#timer = setInterval(this.#tick, TICK_MILLISECONDS);
    document.addEventListener("visibilitychange", this.#tick);
    this.#tick();
    this.#follow();
  }

  /** Silence within 30 ms, without a click. */
  stop() {
    if (!this.#session) return;
    this.#halt();
    this.#listeners.onState?.("stopped");
  }

  /**
   * Change the tempo at once, from the position reached.
   * @param {number} tempo beats a minute
   */
  setTempo(tempo) {
    checkTempo(tempo);
    this.#changeTempo({ tempo });
  }

  /** @param {number} rate share of the tempo that is played: 0.5 is half speed, at the same pitches */
  setRate(rate) {
    this.#changeTempo({ rate });
  }

  /** @param {{step: number, top: number}|null} ramp from the next pass on; null to keep the tempo reached */
  setRamp(ramp) {
    const session = this.#session;
    if (!session) return;
    session.ramp = ramp;
    if (!session.started) return;
    const beat = this.#freeBeat();
    forgetTempos(session, beat);
    this.#rewind(beat);
  }

  #changeTempo(change) {
    const session = this.#session;
    if (!session) return;
    const beat = session.started ? this.#freeBeat() : session.tempos[0].beat;
    const now = tempoAt(session, beat);
    if (Object.entries(change).every(([name, value]) => now[name] === value)) return;
    changeTempo(session, beat, change);
    this.#rewind(beat);
    for (const note of session.notes) {
      if (note.lastBeat > beat) endNote(note, timeAtBeat(session, note.lastBeat), timeAtBeat(session, beat));
    }
  }

  /** The first beat that is not yet on its way to the speakers. */
  #freeBeat() {
    const session = this.#session;
    return Math.max(beatAtTime(session, this.#context.currentTime + COMMITTED_SECONDS), session.tempos[0].beat);
  }

  /**
   * Go over to another score at the next bar line, at the same bar of the chart, or from the score's beginning
   * if it has not got that bar. Does nothing when stopped: the next `play` names its score.
   * @param {object} score see schedule.js; or a passage (passage.js)
   */
  setScore(score) {
    checkScore(score, this.#voices);
    const session = this.#session;
    if (!session) return;
    const start = changePassage(session, passageOf(score), session.started ? this.#freeBeat() : -1);
    forgetTempos(session, start);
    this.#rewind(start);
    // What would ring on belongs to the score that has been left.
    const now = this.#context.currentTime + COMMITTED_SECONDS;
    for (const note of session.notes) {
      if (note.lastBeat <= start) continue;
      note.lastBeat = start;
      endNote(note, timeAtBeat(session, start), now);
    }
  }

  /**
   * Balance, place or mute a part, now and for later scores.
   * @param {string} part key of `PART_GAINS`
   * @param {{gain?: number, muted?: boolean, pan?: number}} change gain 1 is the default balance, pan runs
   *   from -1 (left) to 1
   */
  setPart(part, change) {
    if (!(part in PART_GAINS)) {
      throw new RangeError(`unknown part "${part}"; known are ${Object.keys(PART_GAINS).join(", ")}`);
    }
    const wasMuted = this.#parts[part]?.muted;
    this.#parts[part] = { ...this.#parts[part], ...change };
    if (wasMuted && change.muted === false) this.#takeUp(part);
    const mixer = this.#session?.mixer;
    for (const name of Object.keys(mixer?.inputs ?? {})) {
      const { gain, pan } = partMix(name, this.#parts);
      this.#glide(mixer.inputs[name].gain, gain);
      this.#glide(mixer.panners[name].pan, pan);
    }
  }

  /** A part that was switched off has no notes yet. */
  #takeUp(part) {
    const session = this.#session;
    if (!session?.started) return;
    const beat = this.#freeBeat();
    this.#rewind(beat);
    takeUpNotes(session, part, beat);
  }

  /** @param {number} volume 0 (silence) to 1; `CALM_VOLUME` at first */
  setVolume(volume) {
    this.#volume = Math.min(Math.max(volume, 0), 1);
    const master = this.#session?.mixer.master;
    if (master) this.#glide(master.gain, volumeToGain(this.#volume));
  }

  /** A jump would click. */
  #glide(parameter, value) {
    parameter.setTargetAtTime(value, this.#context.currentTime, GLIDE_SECONDS);
  }

  #halt() {
    clearInterval(this.#timer);
    cancelAnimationFrame(this.#frame);
    document.removeEventListener("visibilitychange", this.#tick);
    const session = this.#session;
    if (!session) return;
    this.#session = null;
    this.#fading.add(session);
    const now = this.#context.currentTime;
    const { gain } = session.mixer.gate;
    // The quantum being rendered is past changing: a ramp from now itself would begin with a step.
    gain.setValueAtTime(1, now + STOP_SECONDS / 4);
    gain.linearRampToValueAtTime(0, now + STOP_SECONDS);
    setTimeout(() => {
      for (const note of session.notes) dropNote(session, note);
      session.mixer.gate.disconnect();
      this.#fading.delete(session);
    }, RELEASED_MILLISECONDS);
  }

  /** Take back the notes from a beat on; the next tick hands them in again as things now stand. */
  #rewind(beat) {
    const session = this.#session;
    for (const note of session.notes) if (note.beat >= beat) dropNote(session, note);
    session.cursor = Math.min(session.cursor, beat);
    if (session.started) this.#tick();
  }

  #tick = () => {
    const session = this.#session;
    const now = this.#context.currentTime;
    const from = Math.max(session.cursor, beatAtTime(session, now - LATE_SECONDS));
    const to = beatAtTime(session, now + (document.hidden ? HIDDEN_HORIZON_SECONDS : HORIZON_SECONDS));
    if (to > from) {
      scheduleNotes(session, from, to);
      session.cursor = to;
    }
    if (session.notes.size === 0 && beatAtTime(session, now) >= endBeat(session)) this.stop();
  };

  /** The beat that leaves the speakers now; `currentTime` runs ahead of them, in coarser steps. */
  #heardBeat() {
    const session = this.#session;
    if (!session.started) return session.tempos[0].beat;
    const { contextTime, performanceTime } = this.#context.getOutputTimestamp?.() ?? {};
    const { currentTime, outputLatency = 0 } = this.#context;
    const heard =
      contextTime > 0 && performanceTime > 0
        ? Math.min(contextTime + (performance.now() - performanceTime) / 1000, currentTime)
        : currentTime - outputLatency;
    // Two readings may disagree by a hair; a play head never steps back.
    session.heard = Math.max(session.heard, heard);
    return beatAtTime(session, session.heard);
  }

  #follow = () => {
    // First, so that a listener's error does not end the following.
    this.#frame = requestAnimationFrame(this.#follow);
    const session = this.#session;
    const beat = this.#heardBeat();
    const place = locateBeat(session, beat);
    const { segment, local, counting } = place;
    const step = counting ? undefined : segment.score.steps.findLast((one) => one.beat <= local);
    const notes = soundingNotes(place);
    const next = nextNotes(session, beat, "line");
    this.#tell(session, "onState", counting ? "counting" : "playing");
    this.#tell(session, "onTempo", tempoAt(session, beat).tempo);
    if (step) this.#tell(session, "onStep", step.index, step);
    this.#tell(session, "onNotes", notes, notes.map(({ midi, part, index }) => `${part}${midi} ${index}`).join());
    this.#tell(session, "onNext", next, next.join());
    if (session !== this.#session) return;
    if (counting) this.#tellCount(session, segment, local);
    else this.#tellPlace(session, segment.score, local);
  };

  #tellCount(session, { start, score }, beat) {
    const number = (Math.floor(beat - start) % score.beatsPerBar) + 1;
    const music = session.segments.at(-1);
    const bar = chartBar(music.score, barIndexAt(music.score, -music.origin));
    this.#tell(session, "onCount", { bar, number }, `${bar} ${number}`);
  }

  #tellPlace(session, passage, local) {
    this.#tell(session, "onCount", null);
    const index = barIndexAt(passage, local);
    const from = passage.bars[index];
    const to = passage.bars[index + 1] ?? passage.beats;
    this.#listeners.onPlace?.(chartBar(passage, index), (local - from) / (to - from));
  }

  /** Call a listener if its news is new, unless an earlier listener has just stopped the player. */
  #tell(session, listener, news, key = news) {
    if (session !== this.#session || session.told[listener] === key) return;
    session.told[listener] = key;
    this.#listeners[listener]?.(news);
  }
}

/**
 * The sound of a score without playing it: the player's own notes and graph, offline.
 * @param {object} score see schedule.js; or a passage (passage.js)
 * @param {object} [options] as for `play`, and: passes (times it is played), sampleRate (frames per
 *   second), channels (1 or 2), volume and parts (as `setVolume` and `setPart` take them), voices (table
 *   like `VOICES`)
 * @returns {Promise<AudioBuffer>} starts with the count-in, ends when the last note has
 */
export function renderScore(score, options = {}) {
  const { tempo = 96, passes = 1, sampleRate = 44100, channels = 1 } = options;
  const { volume = CALM_VOLUME, parts = {}, voices = VOICES } = options;
  checkScore(score, voices);
  checkTempo(tempo);
  const passage = passageOf(score);
  const timeline = createTimeline({ ...options, passage, tempo, passes });
  extendTempos(timeline, Infinity);
  const ringing = Math.max(0, ...passage.events.map(({ beat, beats }) => beat + beats - passage.beats));
  const release = Math.max(releaseOf({}), ...passage.events.map(({ voice }) => releaseOf(voices[voice])));
  const seconds = timeAtBeat(timeline, endBeat(timeline) + ringing) + release;
  const context = new OfflineAudioContext(channels, Math.ceil(seconds * sampleRate), sampleRate);
  const session = createSession(timeline, { context, bank: new SampleBank(context, voices), parts, volume });
  const scheduleUntil = (time) => {
    const to = beatAtTime(session, time);
    scheduleNotes(session, session.cursor, to);
    session.cursor = to;
  };
  scheduleUntil(2 * SLICE_SECONDS);
  for (let time = SLICE_SECONDS; time < seconds; time += SLICE_SECONDS) {
    context.suspend(time).then(() => {
      scheduleUntil(time + 2 * SLICE_SECONDS);
      return context.resume();
    });
  }
  return context.startRendering();
}

/**
 * A score that plays notes one after another; step i is note i.
 * @param {number[]} midis key numbers
 * @param {object} [options] beatsEach (beats), voice (key of `VOICES`), part, beatsPerBar
 * @returns {object} score
 */
export function scaleRun(midis, { beatsEach = 0.5, voice = "guitar", part = "line", beatsPerBar = 4 } = {}) {
  const at = (i) => i * beatsEach;
  return {
    beats: at(midis.length),
    beatsPerBar,
    events: midis.map((midi, i) => ({ beat: at(i), beats: beatsEach, midi, part, voice, level: 1 })),
    steps: midis.map((_, index) => ({ beat: at(index), index })),
  };
}
