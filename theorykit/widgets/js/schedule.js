/**
 * From a score to audio nodes: the one code path of the live player and of the offline rendering.
 *
 * A score is plain data, in beats (quarter notes) from 0:
 *   {beats, beatsPerBar, events: [{beat, beats, midi, part, voice, level}], steps: [{beat, index}]},
 * steps in order. A session is one run of it. Its beats count on from pass to pass, from minus the count-in;
 * each note's frame follows from where the tempo last changed, never from the note before: nothing drifts.
 */
import { BLOCK_KEYS } from "./synth.js";

/** Parts of a score and their gains, balanced by a loudness meter. */
export const PART_GAINS = { bass: 2.1, chop: 1, line: 1.5, click: 1, drone: 0.9 };

/** Volume, 0 to 1, of a new player: a calm level, about -18 LUFS for bass, chop and line. */
export const CALM_VOLUME = 0.7;

/** How long a note fades after its end. */
export const RELEASE_SECONDS = 0.04;

const LOWEST_KEY = 16;
const HIGHEST_KEY = 112;
const CEILING = 0.885; // -1.06 dBFS
const CEILING_KNEE = 0.6;
const CEILING_RANGE = 4; // as far above full scale as the curve reaches

/** Transfer curve: a straight line up to the knee, then a bend that never reaches the ceiling. */
function ceilingCurve() {
  const room = CEILING - CEILING_KNEE;
  return Float32Array.from({ length: 8193 }, (_, i) => {
    const x = CEILING_RANGE * (i / 4096 - 1);
    const over = Math.abs(x) - CEILING_KNEE;
    return over <= 0 ? x : Math.sign(x) * (CEILING_KNEE + room * Math.tanh(over / room));
  });
}

/** Gain for a volume from 0 to 1: a square lies near enough to felt loudness. The ceiling wants it scaled. */
export function volumeToGain(volume) {
  return volume ** 2 / CEILING_RANGE;
}

/** Gain of a part under the settings {part: {gain, muted}}. */
export function partGain(part, settings) {
  const { gain = 1, muted = false } = settings[part] ?? {};
  return muted ? 0 : gain * PART_GAINS[part];
}

/** The node graph: part gains -> volume -> ceiling -> gate. A curve, unlike a compressor, has no delay. */
function createMixer(context, parts, volume) {
  const master = new GainNode(context, { gain: volumeToGain(volume) });
  const ceiling = new WaveShaperNode(context, { curve: ceilingCurve(), oversample: "none" });
  const gate = new GainNode(context);
  master.connect(ceiling).connect(gate).connect(context.destination);
  const inputs = {};
  for (const part of Object.keys(PART_GAINS)) {
    inputs[part] = new GainNode(context, { gain: partGain(part, parts) });
    inputs[part].connect(master);
  }
  return { inputs, master, gate };
}

/** All that one run of a score needs, live or offline. It starts at 0 s; the count-in is a score of its own. */
export function createSession({ context, bank, score, tempo, countInBeats, passes, parts, volume }) {
  const { beatsPerBar } = score;
  const clicks = Array.from({ length: countInBeats }, (_, beat) => {
    const midi = (countInBeats - beat) % beatsPerBar === 0 ? BLOCK_KEYS.high : BLOCK_KEYS.low;
    return { beat, beats: 1, midi, part: "click", voice: "woodblock", level: 1 };
  });
  const countIn = { beats: countInBeats, beatsPerBar, events: clicks, steps: [] };
  const song = { start: 0, origin: 0, score };
  return {
    context,
    bank,
    passes,
    mixer: createMixer(context, parts, volume),
    segments: countInBeats ? [{ start: -countInBeats, origin: -countInBeats, score: countIn }, song] : [song],
    tempos: [{ time: 0, beat: -countInBeats, tempo }],
    cursor: -countInBeats,
    notes: new Set(),
    started: false,
    heard: -Infinity,
    told: {},
  };
}

/** The last entry whose `key` is not after `value`; entries are in order. */
function lastUpTo(entries, key, value) {
  return entries.findLast((entry) => entry[key] <= value) ?? entries[0];
}

/** Beat that a session reaches at a time (seconds of its context's clock); before its start, its first. */
export function beatAtTime({ tempos }, time) {
  const from = lastUpTo(tempos, "time", time);
  return from.beat + (Math.max(time - from.time, 0) * from.tempo) / 60;
}

/** Time (seconds of its context's clock) at which a session reaches a beat. */
export function timeAtBeat({ tempos }, beat) {
  const from = lastUpTo(tempos, "beat", beat);
  return from.time + ((beat - from.beat) * 60) / from.tempo;
}

/** Browsers may blur a start between two frames over both, so starts are whole frames. */
function snapToFrame(time, { sampleRate }) {
  return Math.round(time * sampleRate) / sampleRate;
}

/**
 * The notes that start in a stretch of beats, in order, looped scores unrolled.
 * @param {Array<{start: number, origin: number, score: object}>} segments scores in order: each counts from
 *   beat `start` until the next takes over, and its own beat 0 lies at beat `origin`
 * @param {number} from first beat
 * @param {number} to beat before which notes start
 * @param {number} passes times that a score is played, Infinity to loop
 * @returns {Array<{beat: number, event: object}>} beats on the scale of `from` and `to`
 */
export function eventsBetween(segments, from, to, passes) {
  const found = [];
  segments.forEach(({ start, origin, score }, i) => {
    const low = Math.max(from, start);
    const high = Math.min(to, segments[i + 1]?.start ?? Infinity);
    if (low >= high) return;
    // One pass more on either side, because the quotients are rounded; the comparison below is exact.
    const first = Math.max(0, Math.floor((low - origin) / score.beats) - 1);
    const last = Math.min(passes - 1, Math.ceil((high - origin) / score.beats));
    for (let pass = first; pass <= last; pass++) {
      for (const event of score.events) {
        const beat = origin + pass * score.beats + event.beat;
        if (beat >= low && beat < high) found.push({ beat, event });
      }
    }
  });
  return found.sort((a, b) => a.beat - b.beat);
}

/** Cut a note at `end` with a short ramp; again at a new end, if the tempo changes under it. */
export function endNote({ envelope, source, level }, end, from) {
  envelope.gain.cancelScheduledValues(from);
  envelope.gain.setValueAtTime(level, end);
  envelope.gain.linearRampToValueAtTime(0, end + RELEASE_SECONDS);
  source.stop(end + RELEASE_SECONDS);
}

/** Forget a note, whether it has sounded or not. */
export function dropNote({ notes }, note) {
  note.source.onended = null;
  note.source.stop();
  note.envelope.disconnect();
  notes.delete(note);
}

/** Hand the notes of a stretch of beats to the audio context. The one way in, live and offline. */
export function scheduleNotes(session, from, to) {
  const { context, bank, mixer, segments, passes, notes } = session;
  for (const { beat, event } of eventsBetween(segments, from, to, passes)) {
    const start = snapToFrame(timeAtBeat(session, beat), context);
    const lastBeat = beat + event.beats;
    const end = Math.max(timeAtBeat(session, lastBeat), start);
    const level = event.level ?? 1;
    const buffer = bank.note(event.voice, event.midi, end + RELEASE_SECONDS - start);
    const source = new AudioBufferSourceNode(context, { buffer });
    const envelope = new GainNode(context, { gain: level });
    source.connect(envelope).connect(mixer.inputs[event.part]);
    const note = { beat, lastBeat, level, source, envelope };
    notes.add(note);
    source.onended = () => dropNote(session, note);
    source.start(start);
    endNote(note, end, start);
  }
}

/** Where a session is at a beat: in which segment and pass, and at which beat of the score (count-in: < 0). */
export function locateBeat({ segments, passes }, beat) {
  const segment = lastUpTo(segments, "start", beat);
  const { score, origin } = segment;
  if (beat < 0) return { segment, pass: 0, passStart: origin, local: beat, counting: true };
  const pass = Math.min(Math.floor((beat - origin) / score.beats), passes - 1);
  const passStart = origin + pass * score.beats;
  return { segment, pass, passStart, local: Math.min(beat - passStart, score.beats), counting: false };
}

/** Beat at which a session is over; Infinity if it loops. */
export function endBeat({ segments, passes }) {
  const { score, origin } = segments.at(-1);
  return origin + passes * score.beats;
}

/** Notes that sound at a place, lowest first; clicks have no pitch to show. */
export function soundingNotes({ segment, pass, local, counting }) {
  if (counting) return [];
  // A note may ring on past the end of the pass before.
  const places = pass > 0 ? [local, local + segment.score.beats] : [local];
  return segment.score.events
    .filter((e) => e.part !== "click" && places.some((at) => at >= e.beat && at < e.beat + e.beats))
    .map(({ midi, part }) => ({ midi, part }))
    .sort((a, b) => a.midi - b.midi);
}

/** Fail at the press, with words, rather than later in a timer. */
export function checkScore(score, voices) {
  if (!(score.beats > 0)) throw new RangeError(`a score cannot last ${score.beats} beats; it needs more than 0`);
  const oneOf = (what, value, table) => {
    if (value in table) return;
    throw new RangeError(`unknown ${what} "${value}"; known are ${Object.keys(table).join(", ")}`);
  };
  for (const { beat, midi, voice, part } of score.events) {
    oneOf("voice", voice, voices);
    oneOf("part", part, PART_GAINS);
    if (!(beat >= 0 && beat < score.beats)) {
      throw new RangeError(`a note starts at beat ${beat}, outside its score of ${score.beats} beats`);
    }
    if (!(midi >= LOWEST_KEY && midi <= HIGHEST_KEY)) {
      throw new RangeError(`key ${midi} cannot be played; keys ${LOWEST_KEY} to ${HIGHEST_KEY} can`);
    }
  }
}

/** The same for a tempo, quarter notes a minute. */
export function checkTempo(tempo) {
  if (tempo > 0 && tempo < Infinity) return;
  throw new RangeError(`tempo ${tempo} is not a positive number of beats a minute`);
}
