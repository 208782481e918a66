/** The scene of a scale cut up along the neck, by look-ups in the atlas; see the Python function `position_scene`. */
import { capitalised, phrase } from "./phrases.js";
import { isUneven, labelOf, neckCells, sceneOf } from "./scene.js";

/** What the atlas calls the positions of the notes that have marks: the bits of a number. A capo moves them. */
function positionName(table, { instrument, capo, pattern }, marks) {
  const bits = marks.reduce((sum, mark, pitchClass) => sum + (mark ? 1 << (pitchClass - capo + 12) % 12 : 0), 0);
  return `${table.instruments[instrument].name}/${bits}/${pattern}`;
}

const FREE = "-";

/** Read a position's code: index finger, last fret, closed, the frets of each string, the way on. */
function readPosition(neck, code) {
  const [body, way] = code.split(".");
  const [index, last] = [...body.slice(0, 2)].map((digit) => parseInt(digit, 36));
  const spans = body.slice(3).match(/../g);
  const strings = neck.melody.map((number, i) => [number, spans[i]]).filter(([, span]) => !span.startsWith(FREE));
  const bounds = new Map(strings.map(([number, span]) => [number, [...span].map((digit) => parseInt(digit, 36))]));
  const step = way && [...way].map((digit) => parseInt(digit, 36));
  return { index, last, closed: body[2] === "c", bounds, way: step };
}

/** The positions of a choice that lie on the part of the neck that is shown; null while the atlas lacks them. */
function positionsOf(table, atlas, choice, marks) {
  const codes = atlas[positionName(table, choice, marks)];
  if (!codes) return null;
  const neck = table.instruments[choice.instrument];
  const highest = neck.fret_x.length - 1 - choice.capo;
  if (isUneven(neck, choice.capo)) return [];
  return codes
    .map((code) => readPosition(neck, code))
    .filter(({ last, bounds }) => Math.max(last, ...[...bounds.values()].flat()) <= highest);
}

/** The finger for a fret, 0 for an open string: a wide hand gives two half steps to each finger. */
function fingerOf({ index, last }, fret) {
  if (fret === 0) return 0;
  const each = last - index < 4 ? 1 : 2;
  return Math.min(Math.max(Math.floor((fret - index) / each) + 1, 1), 4);
}

function isUnder({ bounds }, { string, fret }) {
  const span = bounds.get(string);
  return span !== undefined && fret >= span[0] && fret <= span[1];
}

export function positionSceneOf(table, choice, atlas) {
  const base = sceneOf(table, { ...choice, compare: -1 }, "scale");
  const neck = table.instruments[choice.instrument];
  const found = positionsOf(table, atlas, choice, base.marks);
  const scalePlaces = neckCells(neck, choice.capo).filter(({ midi }) => base.marks[midi % 12]);
  const all = found ?? [];
  let number = choice.position < all.length ? choice.position : 0;
  if (all.length === 0) number = -1;
  const here = number >= 0 ? all[number] : null;
  const run = here ? scalePlaces.filter((cell) => isUnder(here, cell)).sort((a, b) => a.midi - b.midi) : [];
  const title = here
    ? phrase(table, "counted", { what: positionTitle(table, choice, here), number: number + 1, count: all.length })
    : phrase(table, "no position");
  const heading = `${base.heading}, ${title}`;
  const instrument = capitalised(neck.name);
  return {
    ...base,
    heading,
    sentence: found ? positionSentence(table, choice, all, number, run) : phrase(table, "looking"),
    legend: "positions",
    neck: scalePlaces.map((cell) => {
      const mark = base.marks[cell.midi % 12];
      if (here && !isUnder(here, cell)) return { ...cell, role: "faded", label: "" };
      const label = choice.fingers && here ? String(fingerOf(here, cell.fret)) : labelOf(table, choice, mark);
      return { ...cell, role: mark.role, label };
    }),
    positions: all.map(({ closed, index }) => (closed ? phrase(table, "fret name", { index }) : phrase(table, "open name"))),
    position: number,
    run: run.map(({ string, fret }) => [string, fret]),
    alt: { ...base.alt, neck: phrase(table, "neck", { instrument, heading, places: placesInWords(table, here, run) }) },
  };
}

function positionTitle(table, choice, { index, last, closed }) {
  if (choice.pattern !== 0) return phrase(table, "pattern", { notes: table.patterns[choice.pattern], index, last });
  return phrase(table, closed ? "closed position" : "open position", { index, last });
}

function positionSentence(table, choice, all, number, run) {
  const neck = table.instruments[choice.instrument];
  if (isUneven(neck, choice.capo)) return phrase(table, "uneven", { instrument: neck.name });
  if (all.length === 0 && neck.fingered && choice.pattern !== 0) {
    return phrase(table, "no pattern", { notes: table.patterns[choice.pattern] });
  }
  if (all.length === 0) return phrase(table, "no positions", { instrument: neck.name });
  if (number < 0) return phrase(table, "choose");
  if (choice.pattern !== 0) return phrase(table, "moved");
  const { index, last, way } = all[number];
  const apart = neck.fret_x[last + choice.capo] - neck.fret_x[index + choice.capo];
  const said = [phrase(table, "hand", { index, last, mm: Math.floor(apart + 0.5) })];
  const stretches = run.filter(({ fret }) => fret !== 0 && (fret < index || fret > last));
  if (stretches.length) {
    said.push(phrase(table, "stretch", { places: stretches.map((cell) => phrase(table, "stopped", cell)).join(", ") }));
  }
  if (number + 1 === all.length) said.push(phrase(table, "last"));
  else if (way) {
    const [string, start, end, finger, other] = way;
    said.push(phrase(table, finger === other ? "slide" : "shift", { string, start, end, finger, other }));
  }
  return said.join(" ");
}

function placesInWords(table, here, run) {
  if (!here) return phrase(table, "no position");
  const strings = [...new Set(run.map(({ string }) => string))].sort((a, b) => b - a);
  const fretsOn = (number) => run.filter(({ string }) => string === number).map(({ fret }) => fret);
  return strings.map((string) => phrase(table, "string run", { string, frets: fretsOn(string).join(" ") })).join("; ");
}
