/**
 * Bass lines, worked out as in the Python package (theorykit/score/bass.py), which says what the rules are.
 * A span is a chord for as long as it lasts: {start, beats, root, bass, members, scale, silent}, pitch classes but for
 * the members, which are half steps above the root.
 */
const BASS_LOWEST = 40;
const BASS_HIGHEST = 57;

const MOVES = { 0: 9, 1: 1, 2: 0, 3: 2, 4: 2, 5: 3, 7: 4, 12: 6 };
const ARRIVALS = { 0: 9, 1: 0, 2: 0, 3: 5, 4: 5, 5: 3, 7: 3 };
const FAR = 8;
const TURN = 2;
const HIGH_ROOT = 1;
const ROOT_AGAIN = 3;
const WEAK_MEMBER = 1;
const STRONG_PASSING = 5;
const FOREIGN = 12;
const APPROACH = 3;
const BARRED = 30;

/** Beats are sums of thirds and halves: nearer than this they are one. */
export const SAME_BEAT = 1e-6;

/** What is left of a division, never negative. */
export function modulo(value, divisor) {
  return ((value % divisor) + divisor) % divisor;
}

/** The lowest key from `lowest` up that sounds a pitch class. */
export function keyFrom(lowest, pitchClass) {
  return lowest + modulo(pitchClass - lowest, 12);
}

/** The strokes placed in a span. */
export function strokesWithin({ start, beats }, strokes) {
  return strokes.filter(({ at }) => at >= start - SAME_BEAT && at < start + beats - SAME_BEAT);
}

function withLeads(span, inside, barBeats) {
  const end = span.start + span.beats;
  const isLead = ({ what, at }) => what === "lead" && at > span.start + SAME_BEAT && at >= end - barBeats - SAME_BEAT;
  let leads = inside.filter(isLead).map(({ at }) => at);
  if (span.beats < 2 * barBeats - SAME_BEAT) leads = span.beats >= barBeats - SAME_BEAT ? leads.slice(-1) : [];
  if (!leads.length) return inside.filter(({ what }) => what !== "lead");
  return inside.filter(({ what, at }) => (what === "lead" ? leads.includes(at) : at < leads[0] - SAME_BEAT));
}

/** The strokes that sound over a chorus: each chord has one at its start, leads only lead. */
export function bassStrokes(spans, strokes, barBeats) {
  return spans.flatMap((span, i) => {
    if (span.silent) return [];
    const following = spans[(i + 1) % spans.length];
    const changes = !following.silent && following.bass !== span.bass;
    const within = strokesWithin(span, strokes);
    const inside = changes ? withLeads(span, within, barBeats) : within.filter(({ what }) => what !== "lead");
    const end = span.start + span.beats;
    if (!inside.length || inside[0].at > span.start + SAME_BEAT) {
      const until = inside.length ? inside[0].at : end;
      inside.unshift({ at: span.start, beats: Math.min(until - span.start, 1), what: "root", level: 1 });
    }
    return inside.map(({ at, beats, what, level }, index) => {
      const room = (inside[index + 1]?.at ?? end) - at;
      return { start: at, beats: Math.min(beats, room), level, what, span, index, last: changes && index === inside.length - 1 };
    });
  });
}

function fifthOf({ root, members }) {
  const found = [7, 6, 8].find((semitones) => members.includes(semitones));
  return found === undefined ? null : (root + found) % 12;
}

function fifthKey(span) {
  const root = keyFrom(BASS_LOWEST, span.bass);
  const own = fifthOf(span);
  const fifth = own === span.bass ? span.root : own;
  if (fifth === null) return root;
  const below = root - modulo(root - fifth, 12);
  return below >= BASS_LOWEST ? below : below + 12;
}

function candidates({ span, what, index }) {
  const root = keyFrom(BASS_LOWEST, span.bass);
  const all = () => Array.from({ length: BASS_HIGHEST - BASS_LOWEST + 1 }, (_, i) => BASS_LOWEST + i);
  if (what === "same" && index) return all();
  if (index === 0) return what === "walk" && root + 12 <= BASS_HIGHEST ? [root, root + 12] : [root];
  if (what === "fifth" || (what === "alt" && index % 2)) return [fifthKey(span)];
  return what === "walk" || what === "lead" ? all() : [root];
}

function pitchCost({ span, what, index, last, start }, midi, thirds) {
  if (index === 0) return midi === keyFrom(BASS_LOWEST, span.bass) ? 0 : HIGH_ROOT;
  if (what !== "walk" && what !== "lead") return 0;
  const sound = midi % 12;
  const above = modulo(sound - span.root, 12);
  if (!thirds && (above === 3 || above === 4)) return BARRED;
  const strong = what === "walk" && Math.abs(start - Math.round(start)) < SAME_BEAT && index % 2 === 0;
  if (sound === span.bass) return last || index % 4 ? ROOT_AGAIN : 0;
  if (span.members.includes(above)) return strong ? 0 : WEAK_MEMBER;
  if (span.scale.has(sound)) return strong ? STRONG_PASSING : 0;
  return last ? APPROACH : FOREIGN;
}

/** What it costs to go from one pitch to the next, and the way that one heads then. */
function moveCost(before, stroke, from, midi, heading) {
  const turn = Math.sign(midi - from) || heading;
  const fixed = ({ what }) => what !== "walk" && what !== "lead";
  if (fixed(before) && fixed(stroke) && before.what !== "same") return [0, turn];
  const way = Math.abs(midi - from);
  if (before.last && stroke.index === 0) return [ARRIVALS[way] ?? FAR, turn];
  return [(MOVES[way] ?? FAR) + (heading * turn < 0 ? TURN : 0), turn];
}

/**
 * The key of each stroke: the cheapest path through them.
 * @param {Array<object>} strokes see `bassStrokes`
 * @param {boolean} thirds false if none may sound
 * @returns {number[]} MIDI key numbers
 */
export function bassLine(strokes, thirds) {
  const path = [];
  strokes.forEach((stroke, i) => {
    const states = new Map();
    const reached = i ? [...path[i - 1].values()].sort((a, b) => a.midi - b.midi || a.heading - b.heading) : [];
    for (const midi of candidates(stroke)) {
      const cost = pitchCost(stroke, midi, thirds);
      if (!i) states.set(`${midi} 0`, { midi, heading: 0, cost, from: null });
      for (const from of reached) {
        if (stroke.what === "same" && midi !== from.midi) continue;
        const [move, heading] = stroke.what === "same" ? [0, from.heading] : moveCost(strokes[i - 1], stroke, from.midi, midi, from.heading);
        const total = from.cost + cost + move;
        const known = states.get(`${midi} ${heading}`);
        if (!known || total < known.cost) states.set(`${midi} ${heading}`, { midi, heading, cost: total, from });
      }
    }
    path.push(states);
  });
  if (!path.length) return [];
  const ends = [...path.at(-1).values()].sort((a, b) => a.cost - b.cost || a.midi - b.midi || a.heading - b.heading);
  const line = [];
  for (let state = ends[0]; state; state = state.from) line.unshift(state.midi);
  return line;
}
