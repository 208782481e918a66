/** What a class is not to see yet: labels that are covered, and the answer at a chord. */

/** What a mark's place is called. @param {string} picture "neck", "keyboard" and so on */
function placeName(picture, { string, fret, midi }) {
  return string === undefined ? `${picture} ${midi}` : `${picture} ${string}/${fret}`;
}

/** In the order in which labels are shown: from the lowest string up, each from its nut. */
function inOrder(marks) {
  return [...marks].sort((a, b) => (b.string ?? 0) - (a.string ?? 0) || a.midi - b.midi);
}

/** Which labels are covered, and at which chords the answer is out. */
export class Veil {
  covers = false;
  asks = false;
  #uncovered = new Set();
  #answered = new Set();

  /** @param {boolean} on; @param {number} step where the answer is to be seen already */
  setAsks(on, step) {
    this.asks = on;
    this.#answered = new Set(on ? [step] : []);
  }

  setCovers(on) {
    this.covers = on;
    this.coverAll();
  }

  coverAll() {
    this.#uncovered.clear();
  }

  /** Whether the answer at a step is still kept back. */
  hides(step) {
    return this.asks && !this.#answered.has(step);
  }

  answer(step) {
    this.#answered.add(step);
  }

  /** Other notes, other answers. */
  forgetAnswers() {
    this.#answered.clear();
  }

  isCovered(picture, mark) {
    return this.covers && !this.#uncovered.has(placeName(picture, mark));
  }

  uncover(picture, mark) {
    this.#uncovered.add(placeName(picture, mark));
  }

  /** Show the next label. @param {Array<[string, object[]]>} pictures with their marks; @returns {object|null} the mark */
  uncoverNext(pictures) {
    for (const [picture, marks] of pictures) {
      const next = inOrder(marks).find((mark) => this.isCovered(picture, mark));
      if (!next) continue;
      this.uncover(picture, next);
      return next;
    }
    return null;
  }

  uncoverAll(pictures) {
    for (const [picture, marks] of pictures) for (const mark of marks) this.uncover(picture, mark);
  }

  /** The marks of a picture as the class sees them. */
  seen(picture, marks, step) {
    if (this.hides(step)) return [];
    if (!this.covers) return marks;
    return marks.map((mark) => (this.isCovered(picture, mark) ? { ...mark, label: "" } : mark));
  }

  /** The half-step ruler: what the chord has is no secret. */
  seenRuler(ruler, step) {
    if (this.hides(step)) return { ...ruler, above: [], links: [] };
    if (!this.covers) return ruler;
    const bare = (marks) => marks.map((mark) => ({ ...mark, label: "" }));
    return { ...ruler, above: bare(ruler.above), below: bare(ruler.below), slots: ruler.slots.map(() => "") };
  }

  /** A chart whose advice is there only where the answer is out. */
  seenChart(chart) {
    if (!this.asks) return chart;
    return chart.map((bar) => bar.map((chord) => (this.hides(chord.step) ? { ...chord, verdict: "stay", short: "?" } : chord)));
  }

  /** The text alternative of a picture: it must not tell what the picture does not show. */
  alternative(picture, text, marks, { step, heading }) {
    if (this.hides(step)) return `${heading}: the answer is not shown yet`;
    if (!this.covers) return text;
    const open = inOrder(marks).filter((mark) => !this.isCovered(picture, mark));
    const told = open.map(({ label }) => label).filter(Boolean);
    return `${heading}: ${open.length} of ${marks.length} labels shown${told.length ? `: ${told.join(", ")}` : ""}`;
  }
}
