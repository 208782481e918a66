/** The scene of a chord's shapes, by look-ups in the atlas; see the Python function `shape_scene`. */
import { capitalised, phrase } from "./phrases.js";
import { isUneven, labelOf, labelled, neckCells } from "./scene.js";

/** What the atlas calls the shapes of a choice. A capo moves them down the neck. */
export function shapeName(table, { instrument, root, capo, quality, omit }) {
  const pitchClass = (table.keys[root].semi - capo + 12) % 12;
  const { suffix } = table.qualities[quality];
  return `${table.instruments[instrument].name}/${pitchClass}:${suffix}-${table.omissions[omit]}`;
}

/** Read a shape's code; everything has the lowest string first. */
function readShape(code) {
  const [frets, fingers, roughness, rub] = code.split(".");
  const read = [...frets].map((letter) => (letter === "x" ? null : parseInt(letter, 36)));
  const joint = read.some((fret) => fret > 9) ? "-" : "";
  return {
    text: read.map((fret) => fret ?? "x").join(joint),
    frets: read,
    fingers: [...fingers].map(Number),
    roughness: Number(roughness),
    rub: rub === "" ? null : Number(rub),
  };
}

function liesAt(table, { frets }, place) {
  if (place === "anywhere") return true;
  if (place === "with open strings") return frets.includes(0);
  if (place === "closed") return !frets.includes(0);
  const [low, high] = table.reaches[place];
  const stopped = frets.filter((fret) => fret);
  return stopped.length > 0 && stopped.every((fret) => fret >= low && fret <= high);
}

/** Every shape of a choice's chord, and those that lie at its place; null while the atlas lacks them. */
export function shapesOf(table, atlas, choice) {
  const codes = atlas[shapeName(table, choice)];
  if (!codes) return null;
  const every = codes.map(readShape);
  const neck = table.instruments[choice.instrument];
  if (isUneven(neck, choice.capo)) return { every, found: [] };
  const highest = neck.fret_x.length - 1 - choice.capo;
  const here = (shape) => liesAt(table, shape, table.places[choice.place]) && Math.max(...shape.frets) <= highest;
  return { every, found: every.filter(here) };
}

/** The number of the shape that has the fewest strings changed from another; the first of several. */
export function nearestShape(shapes, frets) {
  const changes = shapes.map((shape) => shape.frets.filter((fret, i) => fret !== frets[i]).length);
  return Math.max(changes.indexOf(Math.min(...changes)), 0);
}

/** The chord of a choice: its root, its members with names, and which of them is left out. */
function chordOf(table, choice) {
  const { semi, names, pretty } = table.keys[choice.root];
  const quality = table.qualities[choice.quality];
  const members = quality.members.map((member) => ({
    ...member,
    name: names[member.token],
    pitchClass: (semi + member.semi) % 12,
  }));
  const omit = table.omissions[choice.omit];
  const leftOut = members.find(({ number }) => number === omit);
  const name = pretty + quality.pretty;
  const words = leftOut ? phrase(table, "without", { chord: name, member: table.members[omit] }) : name;
  return { semi, members, omit, leftOut, name, words, third: members.find(({ number }) => number === "3") };
}

function chordMarksOf({ members, leftOut }) {
  const marks = Array(12).fill(null);
  for (const member of [...members].reverse()) {
    if (member === leftOut) continue;
    const role = member.number === "1" ? "root" : "chord tone";
    marks[member.pitchClass] = { role, name: member.name, degree: member.label };
  }
  return marks;
}

export function shapeSceneOf(table, choice, atlas) {
  const chord = chordOf(table, choice);
  const shapes = shapesOf(table, atlas, choice);
  const { every, found } = shapes ?? { every: [], found: [] };
  let number = choice.shape < found.length ? choice.shape : 0;
  let beside = choice.beside < found.length ? choice.beside : -1;
  if (found.length === 0) number = -1;
  if (beside === number) beside = -1;
  const first = number >= 0 ? found[number] : null;
  const second = beside >= 0 ? found[beside] : null;
  const marks = chordMarksOf(chord);
  const heading = shapeHeading(table, chord, { first, second, number, count: found.length });
  const neck = table.instruments[choice.instrument];
  const ordered = [...marks.slice(chord.semi), ...marks.slice(0, chord.semi)].filter(Boolean);
  const notes = ordered.map(({ name, degree }) => `${name} (${degree})`).join(", ");
  const places = first ? spoken(table, first) : "";
  const sentence = shapes ? shapeSentence(table, choice, chord, { every, first, second }) : phrase(table, "looking");
  return {
    heading,
    sentence,
    legend: second ? "shapes" : "shape",
    marks,
    neck: neckMarks(table, choice, marks, first, second),
    keyboard: labelled(choice, table, table.keyboard, marks).map(({ midi, x, y, role, label }) => ({ midi, x, y, role, label })),
    ruler: { slots: [], above: [], below: [], links: [] },
    chart: [],
    step: 0,
    shapes: found.map((shape) => cardOf(neck, choice.capo, marks, shape)),
    shape: number,
    beside,
    alt: {
      neck: phrase(table, "neck", { instrument: capitalised(neck.name), heading, places }),
      keyboard: phrase(table, "keys", { heading, notes }),
    },
    key: choice.root,
  };
}

function cardOf(neck, capo, marks, { text, frets, fingers }) {
  const degrees = frets.map((fret, i) => {
    if (fret === null) return null;
    const { midi, start } = neck.strings.at(-1 - i);
    return marks[(midi + capo + (fret ? fret - start : 0)) % 12].degree;
  });
  return { text, frets, fingers, degrees };
}

function shapeHeading(table, { words }, { first, second, number, count }) {
  if (!first) return words;
  const heading = phrase(table, "counted", { what: `${words}: ${first.text}`, number: number + 1, count });
  return second ? phrase(table, "beside", { what: heading, other: second.text }) : heading;
}

/** What stands at a string, 1 for the first, in a list that has the lowest string first. */
function atString(list, string) {
  return list[list.length - string];
}

function neckMarks(table, choice, marks, first, second) {
  return neckCells(table.instruments[choice.instrument], choice.capo).flatMap((cell) => {
    const { string, fret } = cell;
    const mine = first !== null && atString(first.frets, string) === fret;
    const theirs = second !== null && atString(second.frets, string) === fret;
    const mark = marks[cell.midi % 12];
    if (mark && (mine || theirs)) {
      const role = second === null ? mark.role : mine && theirs ? "both" : mine ? "first" : "second";
      const finger = atString((mine ? first : second).fingers, string);
      return [{ ...cell, role, label: choice.fingers ? String(finger) : labelOf(table, choice, mark) }];
    }
    if (fret === 0 && first !== null && atString(first.frets, string) === null) return [{ ...cell, role: "muted", label: "×" }];
    return mark && second === null ? [{ ...cell, role: "faded", label: "" }] : [];
  });
}

function placeInWords(table, fret, string) {
  return phrase(table, fret === null ? "muted" : fret === 0 ? "open" : "stopped", { string, fret });
}

function spoken(table, { frets }) {
  return frets.map((fret, i) => placeInWords(table, fret, frets.length - i)).join(", ");
}

function shapeSentence(table, choice, chord, { every, first, second }) {
  const neck = table.instruments[choice.instrument];
  const instrument = neck.name;
  if (isUneven(neck, choice.capo)) return phrase(table, "uneven", { instrument });
  if (every.length === 0) return phrase(table, "no chords", { instrument, chord: chord.words });
  if (!first) return phrase(table, "no shape", { chord: chord.words, instrument });
  const said = [memberWords(table, choice, chord, first)];
  if (second) said.push(...shapeComparison(table, choice, first, second));
  return said.join(" ");
}

/** Where the third sounds, or what is left out. */
function memberWords(table, choice, { name, omit, leftOut, third }, first) {
  const member = table.members[omit];
  if (omit && !leftOut) return phrase(table, "not a member", { chord: name, member });
  if (omit === "3") return phrase(table, "no third");
  if (omit) return phrase(table, "left out", { member });
  if (!third) return phrase(table, "has no third", { chord: name });
  const cells = neckCells(table.instruments[choice.instrument], choice.capo);
  const places = cells
    .filter(({ string, fret, midi }) => atString(first.frets, string) === fret && midi % 12 === third.pitchClass)
    .sort((a, b) => b.string - a.string)
    .map(({ string, fret }) => placeInWords(table, fret, string));
  return phrase(table, "third", { places: places.join(phrase(table, "and")) });
}

/** How rough the second is beside the first, and a lowered third above each. */
function shapeComparison(table, choice, first, second) {
  const fields = { first: first.text, second: second.text };
  const alone = percent(first.roughness, second.roughness);
  const word = alone === 0 ? "as rough" : alone < 0 ? "smoother" : "rougher";
  const said = [phrase(table, word, { ...fields, percent: Math.abs(alone) })];
  if (first.rub !== null && second.rub !== null && first.rub > 0) {
    const change = percent(first.rub, second.rub);
    const rubs = change === 0 ? "rubs as much" : change < 0 ? "rubs less" : "rubs more";
    said.push(phrase(table, rubs, { note: table.keys[choice.root].names.b3, percent: Math.abs(change) }));
  }
  return said;
}

function percent(before, after) {
  return before > 0 ? Math.floor((after * 200 + before) / (2 * before)) - 100 : 0;
}
