/** Bokeh figures: put on the page once, then repainted by new columns alone. */


/** A figure's document, embedded in an element. */
export class EmbeddedFigure {
  #bokeh;
  #views;
  #sources = new Map();
  #shown = new Map();
  #pending = [];
  #height = 0;
  /** How much larger than usual marks and words are drawn. */
  scale = 1;

  /** @param {object} bokeh the BokehJS namespace; @param {object} item from Python's `json_item` */
  static async embed(bokeh, item, element) {
    const figure = new EmbeddedFigure();
    figure.#bokeh = bokeh;
    // A copy each: BokehJS keeps references into what it is given.
    const embedded = await bokeh.embed.embed_item(structuredClone(item), element);
    figure.#views = [...(embedded.roots ?? embedded)];
    for (const view of figure.#views) quietSpareGlyphs(view);
    figure.document = figure.#views[0].model.document;
    figure.model = figure.#views[0].model;
    figure.#height = figure.model.height;
    return figure;
  }

  source(name) {
    let source = this.#sources.get(name);
    if (!source) this.#sources.set(name, (source = this.document.get_model_by_name(name)));
    return source;
  }

  /** Give a source new columns; `settled` tells when they are taken in. */
  paint(name, columns) {
    const source = this.source(name);
    const renderers = this.#renderersOf(source);
    const rows = Object.values(columns)[0].length;
    if (rows === source.get_length() && renderers.every(({ update_data }) => update_data)) {
      // With as many rows as before nothing else depends on them, and BokehJS need not compare old with new.
      Object.assign(source.data, columns);
      for (const renderer of renderers) this.#pending.push(renderer.update_data());
    } else {
      source.data = columns;
      this.#pending.push(new Promise((resolve) => setTimeout(resolve)));
    }
  }

  /** Whether that was shown last; from now on it is taken to be. */
  isShown(name, marks) {
    const text = JSON.stringify(marks);
    const same = this.#shown.get(name) === text;
    this.#shown.set(name, text);
    return same;
  }

  #renderersOf(source) {
    return this.#views
      .flatMap((view) => view.computed_renderer_views ?? [])
      .filter(({ model }) => model.data_source === source);
  }

  /** Resolves when every column painted so far is taken in. */
  async settled() {
    await Promise.all(this.#pending.splice(0));
  }

  setWindow([left, right, bottom, top]) {
    const { x_range, y_range } = this.model;
    x_range.setv({ start: left, end: right });
    y_range.setv({ start: bottom, end: top });
  }

  /** Its height in pixels at the usual scale. */
  setHeight(height) {
    this.#height = height;
    const scaled = Math.round(height * this.scale);
    if (this.model.height !== scaled) this.model.height = scaled;
  }

  /** Draw everything larger; marks take it in when they are painted next. */
  setScale(scale) {
    if (scale === this.scale) return;
    const before = this.scale;
    this.scale = scale;
    this.setHeight(this.#height);
    for (const { glyph } of this.model.renderers) {
      if (glyph?.text_font_size) glyph.text_font_size = { value: `${FONT_SIZE * scale}px` };
      // Rings and inlays have one size for all.
      if (typeof glyph?.size?.value === "number") glyph.size = { value: (glyph.size.value / before) * scale };
    }
  }

  onTap(listener) {
    // Two quick taps side by side, as in a fast run, come as a tap and a "doubletap".
    for (const name of ["tap", "doubletap"]) this.model.on_event(name, ({ x, y }) => listener(x, y));
  }

  /** Paint at once what would wait for the next frame. */
  repaint() {
    for (const view of this.#views) view.repaint?.();
  }

  /** Without this, running a cell again would leave its documents behind. */
  remove() {
    for (const view of this.#views) view.remove();
    this.document.clear();
    const documents = this.#bokeh.documents;
    const place = documents.indexOf(this.document);
    if (place >= 0) documents.splice(place, 1);
  }
}

/** Of the words on a figure, in pixels; see `plots/mark.py`. */
const FONT_SIZE = 12;
const SPARE_GLYPHS = ["selection_glyph", "nonselection_glyph", "muted_glyph", "decimated_glyph"];
const SPARE_WORK = ["set_data", "set_visuals", "after_visuals", "after_lazy_visuals", "map_data"];

/**
 * BokehJS keeps four more copies of each glyph, for selected, other, muted and thinned-out points, works
 * them all out at every change, and searches for the points that lie in the window. These figures have no
 * such points and never scroll, and most of a repaint's time went there.
 */
function quietSpareGlyphs(view) {
  for (const renderer of view.computed_renderer_views ?? []) {
    if (renderer.glyph?._mask_data) renderer.glyph._mask_data = null;
    for (const spare of SPARE_GLYPHS) {
      for (const work of SPARE_WORK) {
        if (renderer[spare]?.[work]) renderer[spare][work] = () => {};
      }
    }
  }
}

const waitingRepaints = new Set();
let repaintPromise = null;

/**
 * Repaint as soon as BokehJS has taken in its new columns, not at the next frame, for which it would wait by
 * itself. The figures of every explorer come first and the words after them: a changed page has to be
 * styled anew before BokehJS can read its styles.
 * @param {{figures: function(): EmbeddedFigure[], words: function()}} repaint asked for twice, it is done once
 * @returns {Promise<void>} resolves when it is done
 */
export function repaintSoon(repaint) {
  if (waitingRepaints.size === 0) repaintPromise = Promise.resolve().then(repaintWaiting);
  waitingRepaints.add(repaint);
  return repaintPromise;
}

async function repaintWaiting() {
  const due = [...waitingRepaints];
  waitingRepaints.clear();
  const figures = due.flatMap((repaint) => repaint.figures());
  await Promise.all(figures.map((figure) => figure.settled()));
  for (const figure of figures) figure.repaint();
  for (const { words } of due) words();
}

/** Rows come in such steps, and grow only: another number of them makes BokehJS work and paint twice. */
const ROW_STEP = 16;

/** The marks with as many spare ones after them as make a number of rows that the source has had. */
function padded(figure, name, marks, spare) {
  const needed = Math.ceil(marks.length / ROW_STEP) * ROW_STEP;
  const rows = Math.max(needed, figure.source(name).get_length() ?? 0);
  return [...marks, ...Array(rows - marks.length).fill(spare)];
}

/** Paint marks, each {x, y, role, label}; rows that are left over lie nowhere. */
function paintRoles(figure, name, { codes, lift }, shown) {
  const spare = { x: NaN, y: NaN, role: Object.keys(codes)[0], label: "" };
  const marks = padded(figure, name, shown, spare);
  const code = marks.map(({ role }) => codes[role]);
  const { scale } = figure;
  figure.paint(name, {
    x: marks.map(({ x }) => x),
    y: marks.map(({ y }) => y),
    marker: code.map(({ marker }) => marker),
    size: code.map(({ size }) => size * scale),
    fill: code.map(({ fill }) => fill),
    line: code.map(({ line }) => line),
    line_width: code.map(({ line_width }) => line_width * scale),
    dash: code.map(({ dash }) => dash),
    label: marks.map(({ label }) => label),
    text: code.map(({ text }) => text),
    lift: code.map(({ marker, size }) => -(lift[marker] ?? 0) * size * scale),
  });
}

/** Paint the board of an instrument: only when another one, another capo or another hand is chosen. */
export function paintBoard(figure, table, neck, { capo, leftHanded }) {
  const { board } = neck;
  for (const name of ["wood", "inlays", "words"]) figure.paint(`neck-${name}`, board[name]);
  figure.paint("neck-lines", boardLines(neck, capo, table.capo));
  const [left, right, bottom, top] = board.window;
  figure.setWindow(leftHanded ? [right, left, bottom, top] : board.window);
  figure.setHeight(board.height);
}

/** The lines of a neck, the capo's included where there is one. */
function boardLines({ board, fret_x, open_offset }, capo, { share, color, width }) {
  const { lines, wood } = board;
  if (!capo) return lines;
  const x = fret_x[capo] - share * open_offset;
  const bar = { x0: x, y0: wood.top[0], x1: x, y1: wood.bottom[0], color, width };
  return Object.fromEntries(Object.entries(lines).map(([name, values]) => [name, [...values, bar[name]]]));
}

/** @param {"neck"|"keyboard"} name of the picture; @param {object[]} marks to put on it */
export function paintMarks(figure, table, name, marks) {
  paintRoles(figure, `${name}-marks`, table, marks);
}

export function paintRuler(figure, table, ruler) {
  const above = ruler.above.map((mark) => ({ ...mark, x: mark.slot, y: table.ruler.above }));
  const below = ruler.below.map((mark) => ({
    ...mark,
    x: mark.slot,
    y: table.ruler.below,
    label: mark.label === "root" ? "R" : mark.label,
  }));
  paintRoles(figure, "ruler-marks", table, [...above, ...below]);
  figure.paint("ruler-slots", { x: ruler.slots.map((_, i) => i), text: ruler.slots });
  const shown = ruler.links.map(({ from, to, kind }) => ({ ...table.links[kind], curve: rulerCurve(from, to) }));
  const links = padded(figure, "ruler-links", shown, { ...Object.values(table.links)[0], curve: [] });
  figure.paint("ruler-links", {
    xs: links.map(({ curve }) => curve.map(([x]) => x)),
    ys: links.map(({ curve }) => curve.map(([, y]) => y)),
    color: links.map(({ color }) => color),
    dash: links.map(({ dash }) => dash),
    width: links.map(({ width }) => width),
  });
}

/** What lies under the notes of a piano roll, by the names of its sources. */
const ROLL_LAYERS = ["shades", "lines", "words", "lengths", "places", "offs"];

/** Paint a page of a take's piano roll; @param {object} scene of the take; @param {object} page; @param {string[]} labels of all notes */
export function paintRoll(figure, scene, page, labels) {
  for (const name of ROLL_LAYERS) figure.paint(`roll-${name}`, page[name]);
  figure.setWindow(page.window);
  if (figure.model.height !== page.height) figure.model.height = page.height;
  paintRoles(figure, "roll-marks", scene, page.marks.map((mark) => ({ ...mark, label: labels[mark.note] })));
}

function rulerCurve(from, to) {
  // From the last slot to the root an octave up, which the ruler does not show.
  const end = Math.abs(to - from) > 1 ? from + (to < from ? 1 : -1) : to;
  return Array.from({ length: 13 }, (_, i) => {
    const share = i / 12;
    return [from + (end - from) * share * share * (3 - 2 * share), 0.62 - 1.24 * share];
  });
}

/** How a ring is drawn: where a note sounds, where the next one will, and around the cursor. */
const RING_STYLES = {
  sounding: { dash: "solid", width: 3 },
  next: { dash: "solid", width: 1 },
  cursor: { dash: "dashed", width: 3 },
};

/** Rings, each {x, y, style}; rows that are left over lie nowhere, as with marks. */
export function paintRings(figure, name, rings) {
  // They are asked for with every word, and hardly ever others.
  if (figure.isShown(name, rings)) return;
  const spare = { x: NaN, y: NaN, style: "sounding" };
  const rows = padded(figure, name, rings, spare);
  figure.paint(name, {
    x: rows.map(({ x }) => x),
    y: rows.map(({ y }) => y),
    dash: rows.map(({ style }) => RING_STYLES[style].dash),
    width: rows.map(({ style }) => RING_STYLES[style].width),
  });
}
