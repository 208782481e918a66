/**
 * When everything of a run happens: plain data and pure functions, no audio.
 *
 * The beats of a timeline count on from pass to pass, from minus the count-in; 0 is where the music begins.
 *   segments  passages in order: each counts from beat `start` until the next takes over, and its own
 *             beat 0 lies at beat `origin`
 *   tempos    where the tempo changes: {time, beat, tempo, rate}, beats a minute being tempo x rate. Each
 *             time follows from the last of these and never from the note before: nothing drifts.
 */
import { barIndexAt, chartBar, clickAt, passageOf } from "./passage.js";

/** The part of the count-in: it has the click's place in the mix, and sounds when the click is muted. */
export const COUNT_PART = "count";

/**
 * @param {object} options
 * @param {object} options.passage see passage.js
 * @param {number} options.tempo beats a minute
 * @param {number} [options.rate] share of the tempo that is played, 0.5 for half speed
 * @param {{step: number, top: number}|null} [options.ramp] faster by `step` each pass, up to `top`
 * @param {number} [options.countInBeats] clicks before the music
 * @param {number} [options.fromBeat] beat of the passage at which the music begins
 * @param {number} [options.passes] times the passage is played; Infinity to loop
 */
export function createTimeline({ passage, tempo, rate = 1, ramp = null, countInBeats = 0, fromBeat = 0, passes = Infinity }) {
  const { beatsPerBar } = passage;
  const events = Array.from({ length: countInBeats }, (_, beat) =>
    clickAt(beat, (countInBeats - beat) % beatsPerBar === 0, COUNT_PART),
  );
  const countIn = { start: -countInBeats, origin: -countInBeats, score: passageOf({ beats: countInBeats, beatsPerBar, events, steps: [] }) };
  const music = { start: 0, origin: -fromBeat, score: passage };
  return {
    passes,
    segments: countInBeats ? [countIn, music] : [music],
    tempos: [{ time: 0, beat: -countInBeats, tempo, rate }],
    ramp,
    rampedTo: 0,
  };
}

/** The last entry whose `key` is not after `value`; entries are in order. */
function lastUpTo(entries, key, value) {
  return entries.findLast((entry) => entry[key] <= value) ?? entries[0];
}

const beatsPerSecond = ({ tempo, rate }) => (tempo * rate) / 60;

/** Beat reached at a time (seconds of the audio clock); before the start, the first. */
export function beatAtTime({ tempos }, time) {
  const from = lastUpTo(tempos, "time", time);
  return from.beat + Math.max(time - from.time, 0) * beatsPerSecond(from);
}

/** Time (seconds of the audio clock) at which a beat is reached. */
export function timeAtBeat({ tempos }, beat) {
  const from = lastUpTo(tempos, "beat", beat);
  return from.time + (beat - from.beat) / beatsPerSecond(from);
}

/** Tempo and rate at a beat. */
export function tempoAt({ tempos }, beat) {
  return lastUpTo(tempos, "beat", beat);
}

/** Old entries serve only the speakers' delay; a dragged slider must not grow the list for ever. */
const KEPT_TEMPOS = 100;

/** Change tempo or rate at a beat; later changes are forgotten. */
export function changeTempo(timeline, beat, change) {
  const time = timeAtBeat(timeline, beat);
  const { tempo, rate } = tempoAt(timeline, beat);
  forgetTempos(timeline, beat);
  timeline.tempos = [...timeline.tempos.slice(1 - KEPT_TEMPOS), { time, beat, tempo, rate, ...change }];
}

/** Take back the ramp's changes after a beat. */
export function forgetTempos(timeline, beat) {
  timeline.tempos = timeline.tempos.filter((entry, i) => i === 0 || entry.beat <= beat);
  timeline.rampedTo = Math.min(timeline.rampedTo, Math.max(beat, 0));
}

/** Write down the ramp's tempos up to a beat. */
export function extendTempos(timeline, to) {
  if (!timeline.ramp) return;
  const { step, top } = timeline.ramp;
  for (;;) {
    const beat = nextRound(timeline, timeline.rampedTo);
    if (!(beat <= to) || beat >= endBeat(timeline)) return;
    timeline.rampedTo = beat;
    const { tempo } = tempoAt(timeline, beat);
    if (tempo < top) changeTempo(timeline, beat, { tempo: Math.min(tempo + step, top) });
  }
}

/** The first beat after another at which a passage comes round again. */
function nextRound({ segments }, after) {
  for (const [i, { start, origin, score }] of segments.entries()) {
    if (start < 0) continue;
    const round = Math.max(Math.floor((Math.max(after, start) - origin) / score.round) + 1, 1);
    const beat = origin + round * score.round;
    if (beat <= (segments[i + 1]?.start ?? Infinity)) return beat;
  }
  return Infinity;
}

/**
 * The notes that start in a stretch of beats, in order, looped passages unrolled.
 * @returns {Array<{beat: number, event: object}>} beats of the timeline
 */
export function eventsBetween({ segments, passes }, from, to) {
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

/** Where a beat lies: in which segment and pass, and at which beat of the passage (count-in: < 0). */
export function locateBeat({ segments, passes }, beat) {
  const segment = lastUpTo(segments, "start", beat);
  const { score, origin } = segment;
  if (beat < 0) return { segment, pass: 0, passStart: origin, local: beat, counting: true };
  const pass = Math.min(Math.floor((beat - origin) / score.beats), passes - 1);
  const passStart = origin + pass * score.beats;
  return { segment, pass, passStart, local: Math.min(beat - passStart, score.beats), counting: false };
}

/** Beat at which a run is over; Infinity if it loops. */
export function endBeat({ segments, passes }) {
  const { score, origin } = segments.at(-1);
  return origin + passes * score.beats;
}

/**
 * Go over to another passage at the next bar line, at the same bar of the chart, or at the passage's
 * beginning if it has not got that bar.
 * @returns {number} beat at which it takes over
 */
export function changePassage(timeline, passage, beat) {
  const { segments } = timeline;
  if (beat < 0) {
    const { score, origin } = segments.at(-1);
    const fromBeat = beatOfPlace(score, barIndexAt(score, -origin), passage);
    timeline.segments = [...segments.filter(({ start }) => start < 0), { start: 0, origin: -fromBeat, score: passage }];
    return 0;
  }
  const { segment, passStart, local } = locateBeat(timeline, beat);
  const { score } = segment;
  const next = barIndexAt(score, local) + 1;
  const start = passStart + (score.bars[next] ?? score.beats);
  const kept = segments.slice(0, segments.indexOf(segment) + 1).slice(-9);
  timeline.segments = [...kept, { start, origin: start - beatOfPlace(score, next, passage), score: passage }];
  return start;
}

/** Beat of a passage that answers to the start of a bar of another. */
function beatOfPlace(from, index, to) {
  const alike = from.bars.length === to.bars.length && from.firstBar === to.firstBar;
  if (alike) return to.bars[index % to.bars.length];
  // Counted on from the bar before: past the end of a loop the chart goes on.
  const number = index > 0 ? chartBar(from, index - 1) + 1 : from.firstBar;
  const wanted = number - to.firstBar;
  return wanted >= 0 && wanted < to.roundBars ? to.bars[wanted] : 0;
}

/** Notes that sound at a place, lowest first; clicks have no pitch to show. */
export function soundingNotes({ segment, pass, local, counting }) {
  if (counting) return [];
  // A note may ring on past the end of the pass before.
  const places = pass > 0 ? [local, local + segment.score.beats] : [local];
  return segment.score.events
    .filter((e) => e.part !== "click" && places.some((at) => at >= e.beat && at < e.beat + e.beats))
    .map(({ midi, part, index }) => ({ midi, part, ...(index !== undefined && { index }) }))
    .sort((a, b) => a.midi - b.midi);
}

/** Notes of a part that start next after a beat, lowest first; none if no more come. */
export function nextNotes({ segments, passes }, beat, part) {
  for (const [i, { start, origin, score }] of segments.entries()) {
    const until = segments[i + 1]?.start ?? Infinity;
    if (until <= beat) continue;
    const after = Math.max(beat, start - 1e-9);
    const pass = Math.max(Math.floor((after - origin) / score.beats), 0);
    let soonest = until;
    let midis = [];
    for (const event of score.events) {
      if (event.part !== part) continue;
      const here = origin + pass * score.beats + event.beat;
      const at = here > after ? here : here + score.beats;
      if (at > soonest || at >= until || at >= origin + passes * score.beats) continue;
      midis = at < soonest ? [event.midi] : [...midis, event.midi];
      soonest = at;
    }
    if (midis.length) return midis.sort((a, b) => a - b);
  }
  return [];
}
