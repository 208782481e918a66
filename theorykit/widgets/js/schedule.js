/**
 * From a score to audio nodes: the one code path of the live player and of the offline rendering.
 *
 * A score is plain data, in beats from 0:
 *   {beats, beatsPerBar, events: [{beat, beats, midi, part, voice, level, bend, vibrato}], steps: [{beat, index}]},
 * bend and vibrato as `readingCurve` takes them, if any; steps in order, and `bars`, where each bar starts, if they are not all of one length. A session is a
 * timeline (see timeline.js) with all that sounds of it.
 */
import { readingCurve } from "./synth.js";
import { PART_GAINS } from "./tables.js";
import { COUNT_PART, eventsBetween, extendTempos, timeAtBeat } from "./timeline.js";

/** Volume, 0 to 1, of a new player: a calm level, about -18 LUFS for bass, comp and line. */
export const CALM_VOLUME = 0.7;

/** How long a note fades after its end. */
export const RELEASE_SECONDS = 0.04;

// No note is longer: a drone's is four bars.
const LONGEST_BEATS = 32;
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

/** Gain, pan and so on of a part under the settings {part: {gain, muted, pan}}. */
export function partMix(part, settings) {
  const counting = part === COUNT_PART;
  const { gain = 1, muted = false, pan = 0 } = settings[counting ? "click" : part] ?? {};
  const balance = PART_GAINS[counting ? "click" : part];
  // The panner's law has equal power and takes 3 dB off a part in the middle, where it should take none.
  return { gain: muted && !counting ? 0 : gain * balance * Math.SQRT2, pan };
}

/** The node graph: parts with gain and pan -> volume -> ceiling -> gate. A curve, unlike a compressor, has no delay. */
function createMixer(context, parts, volume) {
  const master = new GainNode(context, { gain: volumeToGain(volume) });
  const ceiling = new WaveShaperNode(context, { curve: ceilingCurve(), oversample: "none" });
  const gate = new GainNode(context);
  master.connect(ceiling).connect(gate).connect(context.destination);
  const inputs = {};
  const panners = {};
  for (const part of [...Object.keys(PART_GAINS), COUNT_PART]) {
    const { gain, pan } = partMix(part, parts);
    inputs[part] = new GainNode(context, { gain });
    panners[part] = new StereoPannerNode(context, { pan });
    inputs[part].connect(panners[part]).connect(master);
  }
  return { inputs, panners, master, gate };
}

/** All that one run needs, live or offline. It starts at 0 s. */
export function createSession(timeline, { context, bank, parts, volume }) {
  return {
    ...timeline,
    context,
    bank,
    parts,
    mixer: createMixer(context, parts, volume),
    cursor: timeline.tempos[0].beat,
    notes: new Set(),
    started: false,
    heard: -Infinity,
    told: {},
  };
}

/** Browsers may blur a start between two frames over both, so starts are whole frames. */
function snapToFrame(time, { sampleRate }) {
  return Math.round(time * sampleRate) / sampleRate;
}

/** Cut a note at `end` with its release, a ramp; again at a new end, if the tempo changes under it. */
export function endNote({ envelope, source, level, release }, end, from) {
  envelope.gain.cancelScheduledValues(from);
  envelope.gain.setValueAtTime(level, end);
  envelope.gain.linearRampToValueAtTime(0, end + release);
  source.stop(end + release);
}

/** How long a note of a voice fades after its end. */
export function releaseOf({ releaseSeconds = RELEASE_SECONDS }) {
  return releaseSeconds;
}

/** Forget a note, whether it has sounded or not. */
export function dropNote({ notes }, note) {
  note.source.onended = null;
  note.source.stop();
  note.envelope.disconnect();
  notes.delete(note);
}

/** The notes of a stretch of beats that are to be heard: for a part that is switched off nothing is made. */
function heardEvents(session, from, to) {
  extendTempos(session, to);
  return eventsBetween(session, from, to).filter(({ event }) => event.part === COUNT_PART || !session.parts[event.part]?.muted);
}

/** Notes, each with its sound and where it lies on the audio clock. */
function timedNotes(session, placed) {
  return placed.map(({ beat, event }) => {
    const start = snapToFrame(timeAtBeat(session, beat), session.context);
    const lastBeat = beat + event.beats;
    const end = Math.max(timeAtBeat(session, lastBeat), start);
    const voice = session.bank.voice(event.voice);
    const release = releaseOf(voice);
    const seconds = end + release - start;
    const curve = readingCurve(event, voice, seconds, (end - start) / event.beats);
    const buffer = session.bank.note(event.voice, event.midi, seconds * (curve?.fastest ?? 1));
    return { beat, lastBeat, start, end, release, curve, buffer, level: event.level ?? 1, part: event.part };
  });
}

/** Have the sounds of a stretch of beats ready, so that its first note is not late. */
export function prepareNotes(session, from, to) {
  timedNotes(session, heardEvents(session, from, to));
}

/** Hand the notes of a stretch of beats to the audio context. */
export function scheduleNotes(session, from, to) {
  startNotes(session, heardEvents(session, from, to));
}

/** Hand in what a part, just switched on, would be in the middle of. */
export function takeUpNotes(session, part, now) {
  const begun = heardEvents(session, now - LONGEST_BEATS, now).filter(({ event }) => event.part === part);
  const sounding = begun.filter(({ beat, event }) => beat + event.beats > now);
  startNotes(session, sounding.map(({ beat, event }) => ({ beat: now, event: { ...event, beats: beat + event.beats - now } })));
}

/** The one way in, live and offline. */
function startNotes(session, placed) {
  const { context, mixer, notes } = session;
  for (const { beat, lastBeat, start, end, release, curve, buffer, level, part } of timedNotes(session, placed)) {
    const source = new AudioBufferSourceNode(context, { buffer });
    const envelope = new GainNode(context, { gain: level });
    source.connect(envelope).connect(mixer.inputs[part]);
    if (curve) source.playbackRate.setValueCurveAtTime(curve.rates, start, curve.seconds);
    const note = { beat, lastBeat, level, release, source, envelope };
    notes.add(note);
    source.onended = () => dropNote(session, note);
    source.start(start);
    endNote(note, end, start);
  }
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

/** The same for a tempo, beats a minute. */
export function checkTempo(tempo) {
  if (tempo > 0 && tempo < Infinity) return;
  throw new RangeError(`tempo ${tempo} is not a positive number of beats a minute`);
}
