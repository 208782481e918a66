/**
 * Which bars of a score are played, and by whom: scores made from scores.
 *
 * A passage is a score (see schedule.js) that knows its place in the chart:
 *   bars       beat at which each of its bars starts
 *   firstBar   number of its first bar in the chart, 0 for the chart's first
 *   round      beats after which the chart's bars come again; a passage may hold several rounds
 *   roundBars  the same in bars
 */
import { BLOCK_KEYS } from "./synth.js";

/** A score as a passage: of its whole chart, unless it says more. */
export function passageOf(score) {
  if (score.round) return score;
  const count = Math.ceil(score.beats / score.beatsPerBar);
  const bars = score.bars ?? Array.from({ length: count }, (_, bar) => bar * score.beatsPerBar);
  return { ...score, bars, firstBar: 0, round: score.beats, roundBars: bars.length };
}

/** Index of the bar of a passage that a beat lies in. */
export function barIndexAt({ bars }, beat) {
  return Math.max(bars.findLastIndex((start) => start <= beat), 0);
}

/** Number in the chart of a passage's bar; the bar after the last of a round counts on. */
export function chartBar({ firstBar, roundBars }, index) {
  return firstBar + (index % roundBars);
}

/** Beat of a passage at which a bar of the chart starts; its beginning, if it has not got that bar. */
export function beatOfBar({ bars, firstBar, roundBars }, number) {
  const index = number - firstBar;
  return index >= 0 && index < roundBars ? bars[index] : 0;
}

/** A score made longer, if need be, to end with a whole bar: so it can be looped in time. */
export function wholeBars(score) {
  return { ...score, beats: Math.ceil(score.beats / score.beatsPerBar) * score.beatsPerBar };
}

/**
 * What sounds of a note between two beats; of all parts only the drone is taken up in its middle. A note of a
 * take may be early: it goes with the bar that it is meant for.
 */
function clipped(event, from, to) {
  const { meant = event.beat } = event;
  const end = Math.min(event.beat + event.beats, to);
  const takenUp = event.part === "drone" || (meant >= from && meant < to);
  const beat = takenUp ? Math.max(event.beat, from) : event.beat;
  return beat >= from && beat < end && meant < to ? [{ ...event, beat, beats: end - beat }] : [];
}

/**
 * Bars cut out of a passage, so that looping it repeats them.
 * @param {object} passage of one round
 * @param {{first: number, last: number}} range numbers in the chart, both included
 */
export function cutBars(passage, { first, last }) {
  const { bars, beats, events, steps, firstBar } = passage;
  const from = bars[first - firstBar];
  const to = bars[last - firstBar + 1] ?? beats;
  const moved = (item) => ({ ...item, beat: Math.max(item.beat - from, 0), ...("meant" in item && { meant: item.meant - from }) });
  // The chord that a cut begins in the middle of is shown from its beginning on.
  const held = steps.filter(({ beat }) => beat <= from).slice(-1);
  return {
    ...passage,
    beats: to - from,
    events: events.flatMap((event) => clipped(event, from, to)).map(moved),
    steps: [...held, ...steps.filter(({ beat }) => beat > from && beat < to)].map(moved),
    bars: bars.filter((bar) => bar >= from && bar < to).map((bar) => bar - from),
    firstBar: first,
    round: to - from,
    roundBars: last - first + 1,
  };
}

/** Bars that are played before as many are left to the student. */
const CALL_BARS = 2;

/** Two bars played, two left to the student, with nothing but the click in them; the chart goes on. */
export function callAndResponse(passage) {
  const { round, roundBars } = passage;
  // Rounds until calls fall on the same bars again.
  let rounds = 1;
  while ((rounds * roundBars) % (2 * CALL_BARS)) rounds += 1;
  const unrolled = (items, move) => Array.from({ length: rounds }, (_, n) => items.map((item) => move(item, n * round))).flat();
  const later = (item, beats) => ({ ...item, beat: item.beat + beats, ...("meant" in item && { meant: item.meant + beats }) });
  const bars = unrolled(passage.bars, (bar, beats) => bar + beats);
  const beats = rounds * round;
  const calls = bars.filter((_, bar) => bar % (2 * CALL_BARS) === 0);
  const ends = calls.map((_, call) => bars[call * 2 * CALL_BARS + CALL_BARS]);
  const heard = (event) => (event.part === "click" ? [event] : calls.flatMap((from, call) => clipped(event, from, ends[call])));
  return {
    ...passage,
    beats,
    bars,
    events: unrolled(passage.events, later).flatMap(heard),
    steps: unrolled(passage.steps, later),
  };
}

/** A click at every beat, the accented one at the start of each bar; a score that has its own keeps it. */
export function withClick(passage) {
  if (passage.events.some(({ part }) => part === "click")) return passage;
  const { bars, beats, events } = passage;
  const clicks = bars.flatMap((from, bar) => {
    const length = (bars[bar + 1] ?? beats) - from;
    return Array.from({ length: Math.ceil(length) }, (_, beat) => clickAt(from + beat, beat === 0));
  });
  return { ...passage, events: [...events, ...clicks] };
}

/** One stroke on the wood block. */
export function clickAt(beat, accent, part = "click") {
  const midi = accent ? BLOCK_KEYS.high : BLOCK_KEYS.low;
  return { beat, beats: 1, midi, part, voice: "woodblock", level: 1 };
}
