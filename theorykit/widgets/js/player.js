/**
 * Plays scores in the browser, and tells followers what sounds.
 *
 * A timer hands notes to WebAudio a little ahead of time (schedule.js says when each sounds), so its own
 * lateness is not heard. Followers read the clock of the speakers, once a frame.
 */
import { SampleBank, VOICES } from "./synth.js";
import { CALM_VOLUME, PART_GAINS, RELEASE_SECONDS, beatAtTime, checkScore, checkTempo, createSession, dropNote, endBeat, endNote, locateBeat, partGain, scheduleNotes, soundingNotes, timeAtBeat, volumeToGain } from "./schedule.js";

const TICK_MILLISECONDS = 25;
const HORIZON_SECONDS = 0.15;
// A hidden page gets its timers once a second.
const HIDDEN_HORIZON_SECONDS = 1.5;
const START_SECONDS = 0.08;
// Whatever starts sooner than this may already be on its way to the speakers.
const COMMITTED_SECONDS = 0.02;
// After a stall, notes later than this are left out: a bunch of them at once would be worse.
const LATE_SECONDS = 0.03;
const STOP_SECONDS = 0.03;
const RELEASED_MILLISECONDS = 250;
const GLIDE_SECONDS = 0.01;

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
   * @param {function(Array<{midi: number, part: string}>)} [options.onNotes] notes that sound, when they
   *   change: all parts but clicks, lowest first
   * @param {function(string)} [options.onState] "counting", "playing" or "stopped"
   * @param {object} [options.voices] table like `VOICES`
   */
  constructor({ context, onStep = () => {}, onNotes = () => {}, onState = () => {}, voices = VOICES }) {
    this.#makeContext = context;
    this.#voices = voices;
    this.#listeners = { onStep, onNotes, onState };
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
   * Play from the start, in place of whatever plays. Call it from a press.
   * @param {object} score see schedule.js
   * @param {object} [options]
   * @param {number} [options.tempo] quarter notes a minute
   * @param {boolean} [options.loop] repeat until `stop`
   * @param {number} [options.countInBeats] clicks before beat 0
   * @returns {Promise<void>} resolves when the audio clock runs
   */
  async play(score, { tempo = 96, loop = true, countInBeats = 0 } = {}) {
    checkScore(score, this.#voices);
    checkTempo(tempo);
    this.#context ??= this.#makeContext();
    this.#halt();
    this.#bank ??= new SampleBank(this.#context, this.#voices);
    const session = createSession({
      context: this.#context,
      bank: this.#bank,
      score,
      tempo,
      countInBeats,
      passes: loop ? Infinity : 1,
      parts: this.#parts,
      volume: this.#volume,
    });
    this.#session = session;
    try {
      await this.#context.resume();
    } catch (error) {
      if (this.#session === session) this.stop();
      throw error;
    }
    // Another press may have come while the audio device woke up.
    if (this.#session !== session) return;
    session.tempos[0].time = this.#context.currentTime + START_SECONDS;
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
    this.#listeners.onState("stopped");
  }

  /**
   * Change the tempo at once, from the position reached.
   * @param {number} tempo quarter notes a minute
   */
  setTempo(tempo) {
    checkTempo(tempo);
    const session = this.#session;
    if (!session) return;
    if (!session.started) {
      session.tempos[0].tempo = tempo;
      return;
    }
    const time = Math.max(this.#context.currentTime + COMMITTED_SECONDS, session.tempos.at(-1).time);
    const beat = beatAtTime(session, time);
    // Old entries serve only the speakers' delay; a dragged slider must not grow the list for ever.
    session.tempos = [...session.tempos.slice(-99), { time, beat, tempo }];
    this.#rewind(beat);
    for (const note of session.notes) {
      if (note.lastBeat > beat) endNote(note, timeAtBeat(session, note.lastBeat), time);
    }
  }

  /**
   * Go over to another score at the next bar line, at the same bar (modulo the new length); in the
   * count-in, at beat 0. Does nothing when stopped: the next `play` names its score.
   * @param {object} score see schedule.js
   */
  setScore(score) {
    checkScore(score, this.#voices);
    const session = this.#session;
    if (!session) return;
    const time = this.#context.currentTime + COMMITTED_SECONDS;
    const { segment, passStart, local, counting } = locateBeat(session, beatAtTime(session, time));
    if (counting || !session.started) {
      session.segments = [...session.segments.filter(({ start }) => start < 0), { start: 0, origin: 0, score }];
      this.#rewind(0);
      return;
    }
    const { beats, beatsPerBar } = segment.score;
    const bar = Math.min((Math.floor(local / beatsPerBar) + 1) * beatsPerBar, beats);
    const start = passStart + bar;
    const kept = session.segments.slice(0, session.segments.indexOf(segment) + 1).slice(-9);
    session.segments = [...kept, { start, origin: start - ((bar % beats) % score.beats), score }];
    this.#rewind(start);
  }

  /**
   * Balance or mute a part, now and for later scores.
   * @param {string} part key of `PART_GAINS`
   * @param {{gain?: number, muted?: boolean}} change gain 1 is the default balance
   */
  setPart(part, change) {
    if (!(part in PART_GAINS)) {
      throw new RangeError(`unknown part "${part}"; known are ${Object.keys(PART_GAINS).join(", ")}`);
    }
    this.#parts[part] = { ...this.#parts[part], ...change };
    this.#glide(this.#session?.mixer.inputs[part], partGain(part, this.#parts));
  }

  /** @param {number} volume 0 (silence) to 1; `CALM_VOLUME` at first */
  setVolume(volume) {
    this.#volume = Math.min(Math.max(volume, 0), 1);
    this.#glide(this.#session?.mixer.master, volumeToGain(this.#volume));
  }

  /** A jump in gain would click. */
  #glide(node, gain) {
    node?.gain.setTargetAtTime(gain, this.#context.currentTime, GLIDE_SECONDS);
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
    const place = locateBeat(session, this.#heardBeat());
    const step = place.counting ? undefined : place.segment.score.steps.findLast(({ beat }) => beat <= place.local);
    const notes = soundingNotes(place);
    this.#tell(session, "onState", place.counting ? "counting" : "playing");
    if (step) this.#tell(session, "onStep", step.index, step);
    this.#tell(session, "onNotes", notes, notes.map(({ midi, part }) => `${part}${midi}`).join());
  };

  /** Call a listener if its news is new, unless an earlier listener has just stopped the player. */
  #tell(session, listener, news, key = news) {
    if (session !== this.#session || session.told[listener] === key) return;
    session.told[listener] = key;
    this.#listeners[listener](news);
  }
}

/**
 * The sound of a score without playing it: the player's own notes and graph, offline.
 * @param {object} score see schedule.js
 * @param {object} [options] as for `play`, and: passes (times it is played), sampleRate (frames per
 *   second), volume and parts (as `setVolume` and `setPart` take them), voices (table like `VOICES`)
 * @returns {Promise<AudioBuffer>} mono; starts with the count-in, ends when the last note has
 */
export function renderScore(score, options = {}) {
  const { tempo = 96, countInBeats = 0, passes = 1, sampleRate = 44100 } = options;
  const { volume = CALM_VOLUME, parts = {}, voices = VOICES } = options;
  checkScore(score, voices);
  checkTempo(tempo);
  const lastEnd = Math.max(score.beats, ...score.events.map(({ beat, beats }) => beat + beats));
  const seconds = ((countInBeats + (passes - 1) * score.beats + lastEnd) * 60) / tempo + RELEASE_SECONDS;
  const context = new OfflineAudioContext(1, Math.ceil(seconds * sampleRate), sampleRate);
  const bank = new SampleBank(context, voices);
  const session = createSession({ context, bank, score, tempo, countInBeats, passes, parts, volume });
  scheduleNotes(session, -countInBeats, Infinity);
  return context.startRendering();
}

/**
 * A score that plays notes one after another; step i is note i.
 * @param {number[]} midis key numbers
 * @param {object} [options] beatsEach (quarter notes), voice (key of `VOICES`), part, beatsPerBar
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
