/**
 * What the player is given: the changes with bass and comp, and scales up and down.
 *
 * The band plays a feel of the Python package's table as that package does (theorykit/score/arrange.py).
 */
import { SAME_BEAT, bassLine, bassStrokes, keyFrom, modulo, strokesWithin } from "./bassline.js";
import { scaleRun } from "./player.js";
import { chartSteps } from "./scene.js";
import { FALLBACKS, FEELS, METERS } from "./tables.js";

/** What is played where nobody has chosen. */
const USUAL_FEEL = "bluegrass";

const CHOP_LOWEST = 55; // G3, the lowest note of a mandolin
const POWER_LOWEST = 52; // E3, an octave over the bass
const DRONE_LOWEST = 48; // C3
const DRONE_BARS = 4;
const DRONE_LEVEL = 0.45;
const DRONE_VOICE = "organ";
const MOST_NOTES = 4;
const ADDED_LEVEL = 0.85;

const MAJOR_STEPS = [0, 2, 4, 5, 7, 9, 11];
const MINOR_STEPS = [0, 2, 3, 5, 7, 8, 10];

/** What a line may pass through over a chord: the key's notes, but for those that the chord puts aside. */
function passingScale({ root, members, tonic, minor }) {
  const aside = new Set();
  for (const [one, other] of [[3, 4], [4, 3], [10, 11], [11, 10]]) {
    if (members.includes(one) && !members.includes(other)) aside.add(other);
  }
  if (!members.includes(7) && (members.includes(6) || members.includes(8))) aside.add(7);
  const scale = (minor ? MINOR_STEPS : MAJOR_STEPS).map((step) => (tonic + step) % 12);
  return new Set(scale.filter((pitchClass) => !aside.has(modulo(pitchClass - root, 12))));
}

/** Chords as spans of beats, one that comes again at once as one span. */
function chordSpans(chords) {
  const spans = [];
  let start = 0;
  for (const chord of chords) {
    const scale = chord.silent ? new Set() : passingScale(chord);
    const sound = chord.silent ? "silence" : [chord.root, chord.bass, chord.members, [...scale].sort()].join();
    const before = spans.at(-1);
    if (before?.sound === sound) before.beats += chord.beats;
    else spans.push({ ...chord, start, scale, sound });
    start += chord.beats;
  }
  return spans;
}

function closeVoicing({ root, members }) {
  let stack = [...new Set(members)];
  for (const spared of [7, 0]) {
    if (stack.length > MOST_NOTES) stack = stack.filter((member) => member !== spared);
  }
  while (stack.length > MOST_NOTES) stack.splice(2, 1);
  return stack.map((member) => keyFrom(CHOP_LOWEST, root + member)).sort((a, b) => a - b);
}

function powerVoicing({ root, members }) {
  const low = keyFrom(POWER_LOWEST, root);
  const fifth = [7, 6, 8].find((semitones) => members.includes(semitones));
  return [low, ...(fifth === undefined ? [] : [low + fifth]), low + 12];
}

function compStrokes(spans, strokes) {
  return spans.flatMap((span) => {
    if (span.silent) return [];
    const end = span.start + span.beats;
    const inside = strokesWithin(span, strokes).map((stroke) => ({ ...stroke, beats: Math.min(stroke.beats, end - stroke.at), span }));
    if (inside.length) return inside;
    return [{ at: span.start, beats: Math.min(span.beats, 0.5), what: "chord", level: ADDED_LEVEL, span }];
  });
}

/** Where a beat is heard when the first half of each quarter is `swing` times the second; triplets are in place. */
function swungBeat(beat, swing, quarters) {
  const at = beat * quarters;
  const whole = Math.floor(at + SAME_BEAT);
  const inside = at - whole;
  const straight = Math.abs(inside * 64 - Math.round(inside * 64)) < 64 * SAME_BEAT;
  if (swing === 1 || !straight) return beat;
  const first = swing / (swing + 1);
  const heard = inside <= 0.5 ? 2 * inside * first : first + (2 * inside - 1) * (1 - first);
  return (whole + heard) / quarters;
}

/** Tonic and fifth, struck anew every few bars and where the key changes. */
function droneStrokes(chords, length, barBeats) {
  const keys = [];
  let start = 0;
  for (const { tonic, beats } of chords) {
    if (keys.at(-1)?.tonic !== tonic) keys.push({ at: start, tonic });
    start += beats;
  }
  const edges = new Set(keys.map(({ at }) => at));
  for (let at = 0; at < length; at += DRONE_BARS * barBeats) edges.add(at);
  const starts = [...edges].sort((a, b) => a - b);
  return starts.flatMap((at, i) => {
    const low = keyFrom(DRONE_LOWEST, keys.findLast((key) => key.at <= at).tonic);
    return [low, low + 7].map((midi) => ({ at, beats: (starts[i + 1] ?? length) - at, midi }));
  });
}

/**
 * What a band plays over a chorus.
 * @param {object} chart
 * @param {string} chart.meter a meter of the table
 * @param {Array<object>} chart.chords in order: {beats, silent} or {beats, root, bass, members, tonic, minor}
 * @param {string} [chart.feel] its name; in a meter that it has no pattern for, another stands in
 * @param {boolean} [chart.thirds] false if the chords have none
 * @param {number} [chart.swing] of a quarter's first half to its second, not as in the feel
 * @param {function({root: number, members: number[]})} [chart.held] keys that a chord is played with; null for
 *   close position
 * @param {Array<object>} [chart.line] notes that are played over it, as events; swung like the rest
 * @param {string} [chart.heldVoice] what sounds the chords, not as in the feel
 * @returns {{feel: string, events: Array<object>}} the feel that is played; events as a score has them
 */
export function bandEvents({ meter, chords, feel = USUAL_FEEL, thirds = true, swing: asked, held, heldVoice, line: melody = [] }) {
  const { beats: barBeats, quarters, parts } = METERS[meter];
  const name = meter in FEELS[feel].patterns ? feel : FALLBACKS[meter];
  const { patterns, bassVoice, compVoice, strumBeats } = FEELS[name];
  const swing = asked || FEELS[name].swing;
  const spans = chordSpans(chords);
  const length = chords.reduce((sum, { beats }) => sum + beats, 0);
  const bars = Array.from({ length: Math.ceil(length / barBeats - SAME_BEAT) }, (_, bar) => bar * barBeats);
  const placed = (strokes) => bars.flatMap((bar) => strokes.map((stroke) => ({ ...stroke, at: bar + stroke.at })));
  const heard = (beat) => swungBeat(beat, parts === 3 ? 1 : swing, quarters);
  const sound = (start, beats, late, rest) => {
    const from = heard(start);
    return { beat: from + late, beats: heard(start + beats) - from - late, ...rest };
  };
  const low = bassStrokes(spans, placed(patterns[meter].bass), barBeats);
  const line = bassLine(low, thirds);
  const events = low.map(({ start, beats, level }, i) => sound(start, beats, 0, { midi: line[i], part: "bass", voice: bassVoice, level }));
  for (const { at, beats, what, level, span } of compStrokes(spans, placed(patterns[meter].comp))) {
    const midis = what === "power" ? powerVoicing(span) : (held?.(span) ?? closeVoicing(span));
    midis.forEach((midi, i) => {
      const each = { midi, part: "comp", voice: heldVoice ?? compVoice, level: level / Math.sqrt(midis.length) };
      events.push(sound(at, beats, i * strumBeats, each));
    });
  }
  for (const { at, beats, midi } of droneStrokes(chords, length, barBeats)) {
    events.push(sound(at, beats, 0, { midi, part: "drone", voice: DRONE_VOICE, level: DRONE_LEVEL }));
  }
  for (const note of melody) events.push({ ...note, ...sound(note.beat, note.beats, 0, {}) });
  return { feel: name, events };
}

/** What an atlas calls the keys that a band plays a chord with: see held_name in atlas.py. */
function heldName(instrument, members) {
  const sorted = [...new Set(members)].sort((a, b) => a - b);
  return `held/${instrument}/${sorted.join(".")}`;
}

/** The keys that an instrument's shape of a chord sounds, if the atlas has one. */
function heldVoicings(table, atlas, { instrument, capo }) {
  const { name } = table.instruments[instrument];
  return ({ root, members }) => {
    const code = atlas[heldName(name, members)]?.[modulo(root - capo, 12)];
    return code ? code.split(" ").map((midi) => Number(midi) + capo) : null;
  };
}

/**
 * The changes of a choice, played by the band.
 * @param {object} table
 * @param {object} choice
 * @param {object} [options] atlas (how instruments hold chords), swing, line
 */
export function bandScore(table, choice, { atlas = {}, swing = 0, line = [] } = {}) {
  const { beats: beatsPerBar, meter, minor } = table.progressions[choice.progression];
  const steps = [];
  let beat = 0;
  const chords = chartSteps(table, choice).map(({ chord, beats, key }, index) => {
    steps.push({ beat, index });
    beat += beats;
    const tonic = table.keys[key].semi;
    const { bass, semi, members, silent } = table.chords[chord];
    return {
      beats,
      silent,
      tonic,
      minor,
      root: (semi + tonic) % 12,
      bass: (bass + tonic) % 12,
      members: members.map((member) => modulo(member.semi - semi, 12)),
    };
  });
  const own = choice.comp_held && {
    held: heldVoicings(table, atlas, choice),
    heldVoice: table.instruments[choice.instrument].voice,
  };
  const feel = Object.keys(FEELS)[choice.feel];
  const { events } = bandEvents({ meter, chords, feel, thirds: choice.thirds, swing, line, ...own });
  return { beats: beat, beatsPerBar, events, steps };
}

/** A shown scale from its tonic up an octave and back, where the instrument has it. */
export function scaleScore(table, choice, number, key) {
  const neck = table.instruments[choice.instrument];
  const lowest = Math.min(...neck.strings.map(({ midi }) => midi)) + choice.capo;
  const { semi } = table.shown[number];
  const start = keyFrom(lowest, (semi[0] + table.keys[key].semi) % 12);
  const up = semi.map((semitones) => start + ((semitones - semi[0] + 12) % 12)).sort((a, b) => a - b);
  const turn = start + 12;
  return scaleRun([...up, turn, ...up.reverse()], { beatsEach: 1, voice: neck.voice });
}

/** A position from its lowest note up and back. */
export function positionScore(midis, voice) {
  return scaleRun([...midis, ...midis.slice(0, -1).reverse()], { beatsEach: 0.5, voice });
}

/** A strum takes this share of a beat from string to string. */
const STRUM_BEATS = 0.05;

/** A shape strummed down, its lowest string first. */
export function shapeScore(midis, voice) {
  const events = midis.map((midi, i) => ({
    beat: i * STRUM_BEATS,
    beats: 3,
    midi,
    part: "line",
    voice,
    level: 1 / Math.sqrt(midis.length),
  }));
  return { beats: 4, beatsPerBar: 4, events, steps: [] };
}
