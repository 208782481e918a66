/** What the player is given: the changes with bass and comp, and scales up and down. */
import { scaleRun } from "./player.js";
import { chartSteps } from "./scene.js";

const BASS_LOWEST = 40; // E2, the lowest note of a guitar; a phone's speaker has little below it
const CHOP_LOWEST = 55; // G3, the lowest note of a mandolin

/** The lowest key from `lowest` up that sounds a pitch class. */
function keyFrom(lowest, pitchClass) {
  return lowest + ((pitchClass - lowest) % 12 + 12) % 12;
}

/** The changes of a choice: bass on the beat, the chord as a chop off it. */
export function bandScore(table, choice) {
  const { beats: beatsPerBar } = table.progressions[choice.progression];
  const events = [];
  const steps = [];
  let beat = 0;
  chartSteps(table, choice).forEach(({ chord, beats, key }, index) => {
    const tonic = table.keys[key].semi;
    const { bass, semi, members } = table.chords[chord];
    steps.push({ beat, index });
    if (table.chords[chord].silent) {
      beat += beats;
      return;
    }
    const pitchClasses = [...new Set(members.map((member) => (member.semi + tonic) % 12))];
    const chop = pitchClasses.map((pitchClass) => keyFrom(CHOP_LOWEST, pitchClass)).sort((a, b) => a - b);
    const root = keyFrom(BASS_LOWEST, (bass + tonic) % 12);
    const fifth = members.find((member) => (member.semi - semi + 12) % 12 === 7);
    const other = fifth ? keyFrom(BASS_LOWEST, (fifth.semi + tonic) % 12) : root;
    const alternates = beatsPerBar === 4;
    for (let at = 0; at < beats; at++) {
      const onBass = alternates ? (beat + at) % 2 === 0 : at === 0;
      const length = Math.min(1, beats - at);
      if (onBass || at === 0) {
        events.push({ beat: beat + at, beats: length, midi: at % 4 >= 2 ? other : root, part: "bass", voice: "bass", level: 1 });
      } else {
        for (const midi of chop) {
          events.push({ beat: beat + at, beats: Math.min(0.4, length), midi, part: "comp", voice: "mandolin", level: 1 / Math.sqrt(chop.length) });
        }
      }
    }
    beat += beats;
  });
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
