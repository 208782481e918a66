/**
 * From the table and a choice to everything that the views show.
 *
 * The table is key-free and holds no theory to be worked out here: every scene is reached by look-ups.
 * The same data comes from the Python function `scene`; a test holds the two against each other.
 */

const TOKEN = /\{([^}:]+)(?::([^}]*))?\}/g;

/** Put a key's names into a template. */
export function fillNames(table, key, textNumber) {
  const { names } = table.keys[key];
  return table.texts[textNumber].replace(TOKEN, (_, token, suffix) => names[token] + musicSigns(suffix ?? ""));
}

function musicSigns(text) {
  return text.replaceAll("b", "♭").replaceAll("#", "♯");
}

/** Every chord of a choice's chart in order: {bar, written, chord, beats, key}; a chart may change key. */
export function chartSteps(table, choice) {
  return table.progressions[choice.progression].bars.flatMap((bar, i) =>
    bar.map(([written, beats, shift]) => ({
      bar: i + 1,
      written,
      chord: soundedChord(table, choice, written),
      beats,
      key: table.keys[choice.key].shifted[shift],
    })),
  );
}

/** Beats at which the bars of a choice's chart start. */
export function chartBars(table, choice) {
  const starts = [];
  let beat = 0;
  for (const { bar, beats } of chartSteps(table, choice)) {
    starts[bar - 1] ??= beat;
    beat += beats;
  }
  return starts;
}

function soundedChord(table, choice, written) {
  return choice.thirds ? written : table.chords[written].bare;
}

function currentStep(table, choice) {
  const steps = chartSteps(table, choice);
  return choice.step < steps.length ? choice.step : 0;
}

/** The number, in `table.shown`, of a scale over a chord. */
function shownScale(table, scale, chord) {
  return table.scales[scale].shown ?? table.chords[chord].tones;
}

function shownTitle(table, choice, number) {
  return fillNames(table, choice.key, table.shown[number].title);
}

/** The notes of a shown scale as they are printed in the key: {pitchClass, name, degree}. */
function shownNotes(table, choice, number) {
  const { semi, names, second } = table.keys[choice.key];
  const scale = table.shown[number];
  return scale.token.map((token, i) => ({
    pitchClass: (scale.semi[i] + semi) % 12,
    name: names[token],
    degree: scale.label[i].split("|").at(second.includes(token) ? -1 : 0),
  }));
}

function noteClass(table, chord, semitones) {
  return table.classes[Number(table.chords[chord].classes[semitones])];
}

/**
 * @param {object} table see the Python function `scene_table`
 * @param {object} chosen menu numbers `key`, `scale`, `compare` (-1: none), `progression`, `style`, `instrument`,
 *   `labels`, and `capo`, `step`, `thirds`, `follow`
 * @param {string} kind "progression" (over the current chord) or "scale" (no chord)
 */
export function sceneOf(table, chosen, kind) {
  const overChord = kind === "progression";
  const steps = overChord ? chartSteps(table, chosen) : [];
  const step = overChord ? currentStep(table, chosen) : 0;
  const choice = overChord ? { ...chosen, key: steps[step].key } : chosen;
  const chord = overChord ? steps[step].chord : table.home;
  const { silent } = table.chords[chord];
  const advice = overChord ? table.advice[choice.style][choice.scale][chord] : null;
  let number = shownScale(table, choice.scale, chord);
  const follows = Boolean(advice && choice.follow && !silent && advice[1] >= 0);
  if (follows) number = advice[1];
  const compared = choice.compare >= 0 ? shownScale(table, choice.compare, chord) : null;
  const marks = marksOf(table, choice, { overChord, chord, number, compared });
  const chordName = silent ? "no chord" : fillNames(table, choice.key, table.chords[chord].name);
  const heading =
    shownTitle(table, choice, number) +
    (follows ? " (advised)" : "") +
    (overChord ? ` over ${chordName}` : "") +
    (compared === null ? "" : `, beside ${comparedTitle(table, choice, compared)}`);
  const scale = table.scales[choice.scale];
  const said = advice ? advice[2] : choice.compare >= 0 ? scale.beside[choice.compare] : scale.sentence;
  return {
    heading,
    sentence: silent ? table.silence.sentence : fillNames(table, choice.key, said),
    legend: compared !== null ? "compare" : overChord ? "chord" : "scale",
    marks,
    neck: labelled(choice, table, neckCells(table.instruments[choice.instrument], choice.capo), marks),
    keyboard: labelled(choice, table, table.keyboard, marks).map(({ midi, x, y, role, label }) => ({ midi, x, y, role, label })),
    ruler: rulerOf(table, choice, { overChord, chord, marks }),
    chart: overChord ? chartOf(table, choice, steps) : [],
    step,
    alt: alternativesOf(table, choice, heading, marks),
    shown: number,
    compared,
    chord,
    key: choice.key,
  };
}

/** The chord's tones are named after the chord only where they are what is held. */
function comparedTitle(table, choice, number) {
  const title = shownTitle(table, choice, number);
  if (table.scales[choice.compare].shown !== null) return title;
  const { names } = table.keys[choice.key];
  const root = table.shown[number].token[0];
  return `${names[root]} ${table.scales[choice.compare].name}`;
}

function marksOf(table, choice, { overChord, chord, number, compared }) {
  const marks = Array(12).fill(null);
  const first = shownNotes(table, choice, number);
  const second = compared === null ? [] : shownNotes(table, choice, compared);
  const inFirst = new Set(first.map(({ pitchClass }) => pitchClass));
  const inSecond = new Set(second.map(({ pitchClass }) => pitchClass));
  const { semi } = table.keys[choice.key];
  const root = (table.chords[chord].semi + semi) % 12;
  const tonic = first[0].pitchClass;
  for (const { pitchClass, name, degree } of [...second, ...first]) {
    let role;
    if (compared !== null) {
      role = !inSecond.has(pitchClass) ? "first" : !inFirst.has(pitchClass) ? "second" : pitchClass === tonic ? "home" : "both";
    } else if (!overChord) {
      role = pitchClass === tonic ? "tonic" : "scale";
    } else if (table.chords[chord].silent) {
      role = "colour";
    } else {
      role = noteClass(table, chord, (pitchClass - semi + 12) % 12).role;
      if (role === "chord tone" && pitchClass === root) role = "root";
    }
    marks[pitchClass] = { role, name, degree };
  }
  return marks;
}

/** Every place of a neck that sounds, with its place on the picture; frets count from the capo. */
export function neckCells(neck, capo) {
  const cells = [];
  const last = neck.fret_x.length - 1;
  neck.strings.forEach(({ midi, start }, i) => {
    const place = { string: i + 1, y: -(i + 1) };
    const before = Math.round((neck.fret_x[Math.min(start + capo, last)] - neck.open_offset) * 1000) / 1000;
    cells.push({ ...place, fret: 0, midi: midi + capo, x: before });
    for (let fret = start + 1; fret <= last - capo; fret++) {
      if (neck.stop_x[fret + capo] === null) continue;
      cells.push({ ...place, fret, midi: midi + capo + fret - start, x: neck.stop_x[fret + capo] });
    }
  });
  return cells;
}

/** True where a capo does not move what lies on the neck, because frets are left out. */
export function isUneven(neck, capo) {
  return capo > 0 && neck.stop_x.includes(null);
}

/** What is written on a mark. */
export function labelOf(table, choice, mark) {
  const shows = table.labels[choice.labels];
  return shows === "hidden" ? "" : shows === "notes" ? mark.name : mark.degree;
}

/** The places, each with `midi`, that have a mark, with its role and label. */
export function labelled(choice, table, places, marks) {
  return places.flatMap((place) => {
    const mark = marks[place.midi % 12];
    return mark ? [{ ...place, role: mark.role, label: labelOf(table, choice, mark) }] : [];
  });
}

function rulerOf(table, choice, { overChord, chord, marks }) {
  const { semi, names } = table.keys[choice.key];
  const entry = table.chords[chord];
  const members = new Map([...entry.members].reverse().map((member) => [member.semi, member]));
  const ruler = { slots: [], above: [], below: [], links: [] };
  const sounds = overChord && !entry.silent;
  for (let slot = 0; slot < 12; slot++) {
    const semitones = (entry.semi + slot) % 12;
    const mark = marks[(semitones + semi) % 12];
    const member = members.get(semitones);
    ruler.slots.push(mark?.name ?? names[member?.token ?? table.chromatic[semitones]]);
    if (sounds && member) {
      ruler.below.push({ slot, role: member.label === "root" ? "root" : "chord tone", label: member.label });
    }
    if (!mark) continue;
    const placed = { slot, role: mark.role, label: mark.degree };
    if (!overChord && ["home", "both", "second"].includes(mark.role)) ruler.below.push(placed);
    if (overChord || mark.role !== "second") ruler.above.push(placed);
    const { role, rubs } = noteClass(table, chord, semitones);
    if (sounds && rubs && (role === "avoid" || role === "blue")) {
      ruler.links.push({ from: slot, to: (slot + rubs + 12) % 12, kind: role });
    }
  }
  return ruler;
}

function chartOf(table, choice, steps) {
  const bars = [];
  steps.forEach(({ bar, written, chord, beats, key }, step) => {
    const [verdict, , , short] = table.advice[choice.style][choice.scale][chord];
    const { numeral, silent } = table.chords[written];
    (bars[bar - 1] ??= []).push({
      step,
      bar,
      beats,
      numeral,
      chord: silent ? "" : fillNames(table, key, table.chords[chord].name),
      verdict: silent ? "stay" : table.verdicts[verdict],
      short: silent ? table.silence.short : fillNames(table, key, short),
    });
  });
  return bars;
}

function alternativesOf(table, choice, heading, marks) {
  const tonic = table.keys[choice.key].semi;
  const notes = [...marks.slice(tonic), ...marks.slice(0, tonic)]
    .filter(Boolean)
    .map(({ name, degree, role }) => `${name} (${degree}) ${table.codes[role].words}`)
    .join(", ");
  const { name } = table.instruments[choice.instrument];
  return {
    neck: `${name[0].toUpperCase()}${name.slice(1)} neck, ${heading}: ${notes}`,
    keyboard: `Piano keyboard, ${heading}: ${notes}`,
    ruler: `Half-step ruler, ${heading}: ${notes}`,
  };
}
