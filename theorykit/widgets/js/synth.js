/**
 * What a note sounds like: plucked and bowed strings, reeds, a wood block, a brush; computed, not sampled.
 * The voices are a table of the Python package (theorykit/audio/voices.py), which says what its columns mean.
 *
 * The string is a tuned delay loop (Karplus & Strong 1983, Computer Music Journal 7(2); its tuning and
 * decay after Jaffe & Smith 1983, same issue). Here the burst that starts it is built harmonic by
 * harmonic, so that neighbouring notes have the same timbre, and the loop's fractional delay is solved
 * at the fundamental, so that the pitch is exact.
 */

import { VOICES } from "./tables.js";

/** MIDI key numbers of the two wood blocks (General MIDI percussion map: high 76, low 77). */
export const BLOCK_KEYS = { high: 76, low: 77 };

const NOTE_RMS = 0.125;
const NOTE_RMS_SECONDS = 0.2;
const CLICK_PEAK = 0.7;
const FADE_SECONDS = 0.012;
const SIXTY_DB = Math.log(1000);
// The stick's noise on a block is over after so many times its own length.
const STICK_LENGTHS = 3;
const BRUSH_PARTIALS = 200;
const TABLE_SIZE = 2048;

/**
 * Frequency of a MIDI key: A4 = 440 Hz (ISO 16:1975), equal temperament.
 * @param {number} midi key number, 69 is A4; fractions are allowed
 * @returns {number} Hz
 */
export function midiToHz(midi) {
  return 440 * 2 ** ((midi - 69) / 12);
}

/** Marsaglia's xorshift32 (2003): a generator of our own, so that a note is the same in every browser. */
function seededRandom(seed) {
  // The golden-ratio multiplier parts neighbouring seeds; zero would be a fixed point.
  let state = Math.imul(seed + 1, 0x9e3779b1) || 1;
  const next = () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return (state >>> 0) / 2 ** 32;
  };
  for (let i = 0; i < 8; i++) next();
  return next;
}

/** Level of partial n of a string or a tone: slope x roll-off x body. */
function toneLevel(n, hz, voice) {
  const frequency = n * hz;
  const body = voice.body.reduce(
    (sum, [centre, q, gain]) => sum + gain / Math.hypot(1, q * (frequency / centre - centre / frequency)),
    1,
  );
  return body / n ** voice.slope / (1 + (frequency / voice.brightHz) ** 2);
}

/** Level of partial n in the burst: that, and where the string is plucked. */
function partialLevel(n, hz, voice) {
  return Math.sin(Math.PI * n * voice.pickPosition) * toneLevel(n, hz, voice);
}

/** One period of the string's motion when the pick lets go: fixed partial levels, seeded phases. */
function pluckBurst(hz, sampleRate, voice, seed) {
  const random = seededRandom(seed);
  const period = Math.round(sampleRate / hz);
  const cosine = Float64Array.from({ length: period }, (_, k) => Math.cos((2 * Math.PI * k) / period));
  const burst = new Float64Array(period);
  const highest = Math.min(Math.floor((period - 1) / 2), Math.floor((0.45 * sampleRate) / hz));
  const audible = 1e-4 * partialLevel(1, hz, voice);
  for (let n = 1; n <= highest; n++) {
    const level = partialLevel(n, hz, voice);
    const phase = Math.floor(random() * period);
    if (Math.abs(level) < audible) continue;
    for (let k = 0; k < period; k++) burst[k] += level * cosine[(n * k + phase) % period];
  }
  // The period is a circle: starting at its largest sample puts the onset at index 0.
  let peak = 0;
  for (let k = 1; k < period; k++) if (Math.abs(burst[k]) > Math.abs(burst[peak])) peak = k;
  return Float64Array.from(burst, (_, k) => burst[(k + peak) % period]);
}

/** Third-order Lagrange coefficients for a delay of d samples, 1 <= d < 2 (Laakso et al. 1996, from memory). */
function lagrangeTaps(d) {
  return [
    (-(d - 1) * (d - 2) * (d - 3)) / 6,
    (d * (d - 2) * (d - 3)) / 2,
    (-d * (d - 1) * (d - 3)) / 2,
    (d * (d - 1) * (d - 2)) / 6,
  ];
}

/** Gain and phase delay (samples) of an FIR filter at the angular frequency omega. */
function firResponse(taps, omega) {
  let real = 0;
  let imaginary = 0;
  taps.forEach((tap, k) => {
    real += tap * Math.cos(omega * k);
    imaginary += tap * Math.sin(omega * k);
  });
  return { gain: Math.hypot(real, imaginary), delay: Math.atan2(imaginary, real) / omega };
}

/** The loop of one string: whole-sample delay, Lagrange taps, one-pole damping, all exact at hz. */
function stringLoop(hz, sampleRate, voice) {
  const omega = (2 * Math.PI * hz) / sampleRate;
  // Far above a voice's own compass the knee moves along, or its notes would be mere ticks.
  const knee = Math.max(voice.kneeHz, hz / 2);
  const gainPerPeriod = (frequency) => 10 ** ((-3 * (1 + (frequency / knee) ** 2)) / (voice.decaySeconds * hz));
  const wanted = gainPerPeriod(hz);

  // The pole at which the damping falls by the wanted ratio between hz and a frequency well above it:
  // |1 - p e^-jw|^2 = 1 - 2 p cos w + p^2 at both ends gives p^2 - 2 b p + 1 = 0.
  const above = Math.min(Math.max(4 * hz, 2500), 0.4 * sampleRate);
  const ratio = (gainPerPeriod(above) / wanted) ** 2;
  const b = (Math.cos(omega) - ratio * Math.cos((2 * Math.PI * above) / sampleRate)) / (1 - ratio);
  const pole = Math.min(b > 1 ? b - Math.sqrt(b * b - 1) : 1, 0.9);
  const poleDelay = Math.atan2(pole * Math.sin(omega), 1 - pole * Math.cos(omega)) / omega;
  const poleGain = (1 - pole) / Math.hypot(1 - pole * Math.cos(omega), pole * Math.sin(omega));

  const rest = sampleRate / hz - poleDelay;
  const delay = Math.floor(rest - 1);
  // Lagrange's phase delay is d only near 0 Hz, so d is corrected until it holds at hz itself.
  let d = rest - delay;
  for (let i = 0; i < 4; i++) d += rest - delay - firResponse(lagrangeTaps(d), omega).delay;
  const taps = lagrangeTaps(d);
  // The cap is the law at 0 Hz, where both filters pass everything: so the loop is stable and drifts die.
  const gain = Math.min(wanted / (poleGain * firResponse(taps, omega).gain), gainPerPeriod(0));
  return { delay, taps, pole, input: gain * (1 - pole) };
}

/** Let one string ring into `samples`. */
function addString(samples, burst, { delay, taps, pole, input }) {
  const [a, b, c, d] = taps;
  const lead = delay + 3;
  const string = new Float64Array(lead + samples.length);
  let damped = 0;
  for (let k = 0, j = lead - delay; k < samples.length; k++, j++) {
    damped = input * (a * string[j] + b * string[j - 1] + c * string[j - 2] + d * string[j - 3]) + pole * damped;
    const value = k < burst.length ? damped + burst[k] : damped;
    string[k + lead] = value;
    samples[k] += value;
  }
}

/** Scale in place and fade the end, so that a buffer that runs out does not click. */
function scaleAndFade(samples, gain, sampleRate) {
  const fade = Math.min(Math.round(FADE_SECONDS * sampleRate), samples.length >> 1);
  for (let k = 0; k < samples.length; k++) {
    const left = samples.length - 1 - k;
    samples[k] *= left < fade ? gain * 0.5 * (1 - Math.cos((Math.PI * left) / fade)) : gain;
  }
  return samples;
}

/**
 * A plucked note. The onset is sample 0; every note has the same RMS over its first 200 ms.
 * @param {object} options
 * @param {number} options.hz fundamental, 20 Hz to a fifth of the sample rate
 * @param {number} options.seconds length
 * @param {number} options.sampleRate frames per second
 * @param {object} [options.voice] a string of `VOICES`
 * @param {number} [options.seed] whole number; the same seed gives the same samples
 * @returns {Float32Array} mono samples
 */
export function pluckSamples({ hz, seconds, sampleRate, voice = VOICES.guitar, seed = 1 }) {
  if (!(hz >= 20 && hz <= sampleRate / 5)) {
    throw new RangeError(`a string cannot sound at ${hz} Hz; from 20 to ${sampleRate / 5} Hz would do`);
  }
  const samples = new Float32Array(Math.max(1, Math.round(seconds * sampleRate)));
  // Both strings of a course get one burst: in step at the start, they stay symmetric about hz.
  const burst = pluckBurst(hz, sampleRate, voice, seed);
  for (const offset of voice.detuneHz) {
    const detuned = hz + Math.sign(offset) * Math.min(Math.abs(offset), 0.001 * hz);
    addString(samples, burst, stringLoop(detuned, sampleRate, voice));
  }
  const head = samples.subarray(0, Math.round(NOTE_RMS_SECONDS * sampleRate));
  const power = head.reduce((sum, value) => sum + value * value, 0) / head.length;
  return scaleAndFade(samples, NOTE_RMS / Math.sqrt(power), sampleRate);
}

/**
 * A stroke on the wood block. The onset is sample 0; every stroke has the same peak.
 * @param {object} options
 * @param {boolean} [options.accent] the smaller, higher block
 * @param {number} options.sampleRate frames per second
 * @param {object} [options.voice] a block of `VOICES`
 * @param {number} [options.seed] whole number; the same seed gives the same samples
 * @returns {Float32Array} mono samples, as long as the stroke is audible
 */
export function clickSamples({ accent = false, sampleRate, voice = VOICES.woodblock, seed = 1 }) {
  const random = seededRandom(seed);
  const hz = accent ? voice.highHz : voice.lowHz;
  const samples = new Float32Array(Math.round(voice.decaySeconds * sampleRate));
  const rate = SIXTY_DB / voice.decaySeconds;
  const noisy = Math.round(STICK_LENGTHS * voice.strokeSeconds * sampleRate);
  let peak = 0;
  for (let k = 0; k < samples.length; k++) {
    const t = k / sampleRate;
    const stroke = k < noisy ? (2 * random() - 1) * voice.strokeLevel * Math.exp((-SIXTY_DB * t) / voice.strokeSeconds) : 0;
    samples[k] = voice.modes.reduce(
      // Higher modes die sooner; cosines, because a sine would begin in silence.
      (sum, [ratio, level]) => sum + level * Math.cos(2 * Math.PI * hz * ratio * t) * Math.exp(-rate * ratio * t),
      stroke,
    );
    peak = Math.max(peak, Math.abs(samples[k]));
  }
  return scaleAndFade(samples, CLICK_PEAK / peak, sampleRate);
}

/**
 * A stroke of the brush: many partials at chance pitches, which is noise with exact edges.
 * @param {object} options sampleRate, voice, seed: as for a click
 * @returns {Float32Array} mono samples
 */
export function brushSamples({ sampleRate, voice = VOICES.brush, seed = 1 }) {
  const random = seededRandom(seed);
  const sums = new Float64Array(Math.round(voice.decaySeconds * sampleRate));
  for (let partial = 0; partial < BRUSH_PARTIALS; partial++) {
    const hz = voice.lowHz + (voice.highHz - voice.lowHz) * random();
    const phase = 2 * Math.PI * random();
    for (let k = 0; k < sums.length; k++) sums[k] += Math.cos((2 * Math.PI * hz * k) / sampleRate + phase);
  }
  let peak = 0;
  const samples = Float32Array.from(sums, (sum, k) => {
    const t = k / sampleRate;
    const value = sum * Math.min(t / voice.attackSeconds, 1) * Math.exp((-SIXTY_DB * t) / voice.decaySeconds);
    peak = Math.max(peak, Math.abs(value));
    return value;
  });
  return scaleAndFade(samples, CLICK_PEAK / peak, sampleRate);
}

/** One period of a tone, and its first sample once more: sines, all from zero upwards, the saw of a bowed string. */
function toneTable(hz, sampleRate, voice) {
  const sine = Float64Array.from({ length: TABLE_SIZE }, (_, k) => Math.sin((2 * Math.PI * k) / TABLE_SIZE));
  const period = new Float64Array(TABLE_SIZE + 1);
  const highest = Math.min(Math.floor((0.45 * sampleRate) / hz), TABLE_SIZE / 2 - 1);
  for (let n = 1; n <= highest; n++) {
    const level = toneLevel(n, hz, voice) * (n % 2 ? 1 : voice.evenLevel);
    for (let k = 0; k < TABLE_SIZE; k++) period[k] += level * sine[(n * k) % TABLE_SIZE];
  }
  period[TABLE_SIZE] = period[0];
  return period;
}

/**
 * A bowed or blown note: it swells, then holds at the RMS of all notes.
 * @param {object} options as for a pluck; voice is a tone of `VOICES`
 * @returns {Float32Array} mono samples
 */
export function toneSamples({ hz, seconds, sampleRate, voice = VOICES.fiddle }) {
  const period = toneTable(hz, sampleRate, voice);
  const samples = new Float32Array(Math.max(1, Math.round(seconds * sampleRate)));
  let ranks = 0;
  for (const [offset, level] of voice.ranks) {
    const detuned = hz + Math.sign(offset) * Math.min(Math.abs(offset), 0.001 * hz);
    const step = (TABLE_SIZE * detuned) / sampleRate;
    for (let k = 0; k < samples.length; k++) {
      const place = (k * step) % TABLE_SIZE;
      const whole = Math.floor(place);
      samples[k] += level * (period[whole] + (period[whole + 1] - period[whole]) * (place - whole));
    }
    ranks += level * level;
  }
  const power = period.subarray(0, TABLE_SIZE).reduce((sum, value) => sum + value * value, 0) / TABLE_SIZE;
  const attack = Math.min(Math.round(voice.attackSeconds * sampleRate), samples.length);
  for (let k = 0; k < attack; k++) samples[k] *= 0.5 * (1 - Math.cos((Math.PI * k) / attack));
  return scaleAndFade(samples, NOTE_RMS / Math.sqrt(power * ranks), sampleRate);
}

const CURVE_HZ = 100;

/** Half steps above the pitch along points [beats, half steps], straight between them and level outside. */
function bendAt(points, beats) {
  const next = points.findIndex(([at]) => at > beats);
  if (next === 0) return points[0][1];
  if (next < 0) return points.at(-1)[1];
  const [[at, from], [end, to]] = points.slice(next - 1, next + 1);
  return from + ((to - from) * (beats - at)) / (end - at);
}

/**
 * How fast a note's buffer is read, for bends, slides and vibrato: `rates`, the seconds they are for, the fastest.
 * @param {object} event with `bend`, points [beats after its start, half steps], and `vibrato` {hz, cents,
 *   delaySeconds}, both optional; a bowed voice has a vibrato of its own
 * @param {object} voice of `VOICES`
 * @param {number} seconds how long it sounds
 * @param {number} beatSeconds
 * @returns {{rates: Float32Array, seconds: number, fastest: number} | null} null where the pitch stays
 */
export function readingCurve({ bend, vibrato }, voice, seconds, beatSeconds) {
  const own = voice.vibratoCents ? { hz: voice.vibratoHz, cents: voice.vibratoCents, delaySeconds: voice.vibratoDelaySeconds } : null;
  const swing = vibrato ?? own;
  const swings = swing && seconds > swing.delaySeconds;
  if (!bend && !swings) return null;
  const rates = Float32Array.from({ length: Math.floor(seconds * CURVE_HZ) + 2 }, (_, k) => {
    const t = k / CURVE_HZ;
    const bent = bend ? 100 * bendAt(bend, t / beatSeconds) : 0;
    const swung = swings && t > swing.delaySeconds ? swing.cents * Math.sin(2 * Math.PI * swing.hz * (t - swing.delaySeconds)) : 0;
    return 2 ** ((bent + swung) / 1200);
  });
  return { rates, seconds: (rates.length - 1) / CURVE_HZ, fastest: Math.max(1, ...rates) };
}

const RENDERERS = {
  string: ({ midi, ...rest }) => pluckSamples({ hz: midiToHz(midi), seed: midi, ...rest }),
  tone: ({ midi, ...rest }) => toneSamples({ hz: midiToHz(midi), ...rest }),
  block: ({ midi, ...rest }) => clickSamples({ accent: midi === BLOCK_KEYS.high, ...rest }),
  brush: (options) => brushSamples(options),
};

const BANK_BUFFERS = 256;
const BANK_SECONDS = 240;
const SHORTEST_NOTE_SECONDS = 0.25;

/** Rendered notes, kept while they are in use: the least recently used go first. */
export class SampleBank {
  #context;
  #voices;
  #buffers = new Map();
  #seconds = 0;

  /**
   * @param {BaseAudioContext} context gives the sample rate and makes the buffers
   * @param {object} [voices] table like `VOICES`
   */
  constructor(context, voices = VOICES) {
    this.#context = context;
    this.#voices = voices;
  }

  /** Number of buffers held. */
  get size() {
    return this.#buffers.size;
  }

  /** The row of a voice. */
  voice(voiceName) {
    return this.#voices[voiceName];
  }

  /**
   * A note at least `seconds` long, or as long as the voice can be heard. Lengths double from step to
   * step, so that a change of tempo mostly finds its notes rendered; the player cuts them with a gain.
   * @param {string} voiceName key of the voice table
   * @param {number} midi key number; on a block `BLOCK_KEYS.high` is the accent
   * @param {number} seconds wanted length
   * @returns {AudioBuffer} mono
   */
  note(voiceName, midi, seconds) {
    const voice = this.#voices[voiceName];
    const step = Math.ceil(Math.log2(Math.max(seconds / SHORTEST_NOTE_SECONDS, 1)));
    const length = Math.min(SHORTEST_NOTE_SECONDS * 2 ** step, voice.decaySeconds);
    const key = `${voiceName} ${midi} ${length}`;
    const buffer = this.#buffers.get(key) ?? this.#render(voice, midi, length);
    if (!this.#buffers.delete(key)) this.#seconds += buffer.duration;
    this.#buffers.set(key, buffer);
    for (const [oldest, { duration }] of this.#buffers) {
      if (this.#buffers.size <= BANK_BUFFERS && this.#seconds <= BANK_SECONDS) break;
      this.#buffers.delete(oldest);
      this.#seconds -= duration;
    }
    return buffer;
  }

  #render(voice, midi, seconds) {
    const { sampleRate } = this.#context;
    const samples = RENDERERS[voice.kind]({ midi, seconds, sampleRate, voice });
    const buffer = this.#context.createBuffer(1, samples.length, sampleRate);
    buffer.copyToChannel(samples, 0);
    return buffer;
  }
}
