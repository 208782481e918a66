/** A quiz: one question at a time, answered by a press, a key or a place on the neck, with no hurry. */
import { dueCards, localDay } from "./boxes.js";
import { makeElement } from "./chart.js";
import { dropMenu, pushButton, slideBar, tickBox } from "./fields.js";
import { TYPED, PRESSED, guardKeys } from "./keys.js";
import { Player } from "./player.js";
import { QuizNeck } from "./quizneck.js";
import { sharedContext, soundAlone } from "./sounder.js";

/** Softer than the band: a question by ear is not to startle anybody. */
const QUIZ_VOLUME = 0.5;
const QUIZ_TEMPO = 88;

/** After so many others a question that was missed comes again, and the next of those after as many more. */
const OTHERS_BETWEEN = 3;

const RIGHT_WORDS = ["Right.", "Yes.", "That is it."];
const WRONG_WORDS = ["Not this one.", "Not quite.", "It is another one."];

/** What is heard after an answer, by the kind of question. */
const PROOF_WORDS = { rub: "Hear it over the chord", switch: "Hear what rubs", third: "Hear it without and with", next: "Hear the change" };

let quizCount = 0;

/** Rows of numbers and words, as the Python package packs them: parts between semicolons, fields between spaces. */
function packedRows(text) {
  return (text ?? "").split(";").filter(Boolean).map((row) => row.split(" "));
}

/** What is played of a question: chords no louder than notes. */
function toneScore(text, voice) {
  const tones = packedRows(text).map((row) => row.map(Number));
  const together = (beat) => tones.filter(([, other]) => Math.abs(other - beat) < 0.4).length;
  const events = tones.map(([midi, beat, beats]) => ({ beat, beats, midi, part: "line", voice, level: 1 / Math.sqrt(together(beat)) }));
  const end = Math.max(...tones.map(([, beat, beats]) => beat + beats));
  return { beats: end, beatsPerBar: 4, events, steps: [] };
}

export class Quiz {
  #data;
  #boxes;
  #level;
  #kinds;
  #question = null;
  #answered = false;
  #asked = 0;
  /** Cards that were missed, the longest ago first, and how many others have come since one of them was asked again. */
  #missed = [];
  #others = 0;
  #lastCard = "";
  #again = false;
  #player;
  #neck;
  #parts = {};
  #forgetKeys;

  /**
   * @param {object} options
   * @param {object} options.data the quiz, as the Python package writes it
   * @param {object} options.boxes where answers are kept (boxes.js)
   * @param {HTMLElement} options.element
   */
  constructor({ data, boxes, element }) {
    this.#data = data;
    this.#boxes = boxes;
    this.#level = data.level;
    this.#kinds = new Set(Object.keys(data.kinds));
    this.#player = new Player({ context: sharedContext, onState: (state) => this.#showPlaying(state !== "stopped") });
    this.#player.setVolume(QUIZ_VOLUME);
    this.#neck = new QuizNeck(data.neck, (cell) => this.#choosePlace(cell), (words) => this.#say(words));
    this.#neck.setLeftHanded(Boolean(data.left_handed));
    this.element = this.#build();
    element.append(this.element);
    this.#forgetKeys = guardKeys(this.element);
    this.#ask();
  }

  #build() {
    const root = makeElement("section", "tk-explorer tk-quiz");
    root.dataset.kind = "quiz";
    root.setAttribute("aria-label", this.#data.title);
    root.tabIndex = -1;
    root.addEventListener("keydown", (event) => this.#key(event));
    const parts = this.#parts;
    parts.place = makeElement("p", "tk-quiz-place");
    parts.text = makeElement("p", "tk-quiz-text");
    parts.text.tabIndex = -1;
    parts.text.id = `tk-quiz-text-${++quizCount}`;
    parts.options = makeElement("div", "tk-quiz-options");
    parts.options.setAttribute("role", "group");
    parts.options.setAttribute("aria-labelledby", parts.text.id);
    parts.cursor = makeElement("p", "tk-status tk-quiz-cursor-words");
    parts.cursor.setAttribute("aria-live", "polite");
    parts.legend = makeElement("p", "tk-status tk-quiz-legend", "▽ on the neck: a note to mind.");
    parts.verdict = makeElement("div", "tk-quiz-verdict");
    parts.verdict.setAttribute("aria-live", "polite");
    parts.verdict.setAttribute("aria-atomic", "true");
    parts.after = makeElement("div", "tk-row tk-quiz-after");
    parts.next = pushButton("next", "Next question", () => this.#ask(true));
    parts.compare = pushButton("proof", "", () => this.#play(this.#question.proof));
    parts.after.append(parts.next, parts.compare);
    parts.standing = makeElement("p", "tk-quiz-standing");
    root.append(this.#choices(), parts.place, parts.text, this.#soundRow(), parts.options, this.#neck.element, parts.legend, parts.cursor);
    root.append(parts.verdict, parts.after, parts.standing, this.#keeping());
    return root;
  }

  #choices() {
    const row = makeElement("div", "tk-row tk-quiz-choices");
    const levels = Object.entries(this.#data.levels);
    this.#parts.level = dropMenu("Level", levels, this.#level, (level) => this.#setLevel(level));
    row.append(this.#parts.level.element);
    const kinds = makeElement("fieldset", "tk-quiz-kinds");
    kinds.append(makeElement("legend", "", "Ask me"));
    for (const [kind, words] of Object.entries(this.#data.kinds)) {
      const box = tickBox(words, true, (on) => this.#setKind(kind, on, box.input));
      kinds.append(box.element);
    }
    if (Object.keys(this.#data.kinds).length > 1) row.append(kinds);
    const left = tickBox("left-handed neck", Boolean(this.#data.left_handed), (on) => this.#neck.setLeftHanded(on));
    row.append(left.element);
    return row;
  }

  #soundRow() {
    const row = makeElement("div", "tk-row tk-quiz-sound");
    const parts = this.#parts;
    parts.hear = pushButton("hear", "Hear it", () => this.#play(this.#question.sound));
    const volume = slideBar("Volume", { min: 0, max: 1, step: 0.05, value: QUIZ_VOLUME }, (value) => this.#player.setVolume(value));
    parts.calm = makeElement("span", "tk-hint");
    row.append(parts.hear, volume.element, parts.calm);
    parts.sound = row;
    return row;
  }

  #keeping() {
    const line = makeElement("div", "tk-quiz-keeping");
    const keys = makeElement("p", "tk-key-hint");
    const key = (name) => makeElement("kbd", "", name);
    keys.append(key("1"), " to ", key("5"), " choose an answer, ", key("R"), " plays again, ", key("Enter"), " goes on. On the neck the arrow keys move and ", key("Enter"), " answers.");
    const kept = makeElement("p", "tk-caution");
    this.#parts.kept = makeElement("span", "", `${this.#boxes.words} `);
    kept.append(this.#parts.kept);
    if (this.#boxes.forget) {
      const forget = pushButton("forget", "Forget them", () => {
        this.#boxes.forget();
        this.#missed = [];
        this.#showStanding();
        this.#say("Your answers are forgotten: every question is new.");
      });
      kept.append(forget);
    }
    line.append(keys, kept);
    return line;
  }

  #setLevel(level) {
    this.#level = level;
    this.#missed = [];
    if (!this.#pool().length && this.#boxes.more) this.#boxes.more(level);
    this.#ask();
  }

  #setKind(kind, on, input) {
    if (on) this.#kinds.add(kind);
    else this.#kinds.delete(kind);
    if (this.#kinds.size === 0) {
      // Something must be asked.
      this.#kinds.add(kind);
      input.checked = true;
      this.#say("At least one kind stays chosen.");
      return;
    }
    if (!this.#kinds.has(this.#question?.kind) || !this.#question) this.#ask();
    else this.#showStanding();
  }

  /** Another pool, of another instrument perhaps. @param {object} data */
  renew(data) {
    const other = data.title !== this.#data.title;
    this.#data = data;
    this.element.setAttribute("aria-label", data.title);
    this.#neck.setNeck(data.neck);
    if (other) {
      this.#missed = [];
      this.#neck.setLeftHanded(Boolean(data.left_handed));
    }
    if (other || !this.#question) this.#ask();
    else this.#showStanding();
  }

  #pool() {
    return this.#data.questions.filter(({ kind, level }) => level === this.#level && this.#kinds.has(kind));
  }

  /** What is asked now: what was missed a while ago, what is due, what is new; or else what comes back soonest. */
  #choose() {
    const pool = this.#pool();
    const byCard = new Map(pool.map((question) => [question.card, question]));
    const others = [...byCard.keys()].filter((card) => card !== this.#lastCard);
    const waiting = this.#missed.find((card) => byCard.has(card) && card !== this.#lastCard);
    this.#again = false;
    if (waiting && this.#others >= OTHERS_BETWEEN) {
      this.#missed = this.#missed.filter((card) => card !== waiting);
      this.#others = 0;
      return byCard.get(waiting);
    }
    if (this.#missed.length) this.#others += 1;
    const [due] = dueCards(this.#boxes.cards, localDay(), others);
    if (due) return byCard.get(due);
    this.#again = true;
    const { cards } = this.#boxes;
    const soonest = others.filter((card) => cards[card]).sort((one, other) => cards[one].asked - cards[other].asked || (cards[one].due < cards[other].due ? -1 : 1));
    return byCard.get(soonest[0]) ?? pool[0] ?? null;
  }

  /** @param {boolean} [byHand] whether the player asked for it, who then finds the focus at the question */
  #ask(byHand = false) {
    this.#player.stop();
    this.#question = this.#choose();
    this.#answered = false;
    this.element.dataset.state = "asking";
    const parts = this.#parts;
    const question = this.#question;
    parts.verdict.replaceChildren();
    parts.cursor.textContent = "";
    parts.after.hidden = true;
    parts.legend.hidden = true;
    for (const part of [parts.sound, parts.options, this.#neck.element]) part.hidden = !question;
    if (!question) {
      parts.place.textContent = "";
      parts.text.textContent = this.#boxes.more ? "Making questions…" : "There is no question of that kind at this level. Choose another level or kind.";
      return;
    }
    this.#asked += 1;
    this.#lastCard = question.card;
    this.element.dataset.card = question.card;
    const seen = this.#boxes.cards[question.card];
    const standing = !seen ? "new" : this.#again ? "once more for practice" : `box ${seen.box} of 5`;
    parts.place.textContent = `Question ${this.#asked} · ${this.#data.kinds[question.kind]} · ${standing}`;
    parts.text.textContent = question.text;
    parts.sound.hidden = !question.sound;
    const byEar = this.#data.ear.includes(question.kind);
    parts.hear.classList.toggle("tk-changes", byEar);
    parts.calm.textContent = "It starts quietly. Hear it as often as you like; there is no hurry.";
    this.#paintOptions();
    this.#showNeck();
    this.#showStanding();
    if (byHand) (question.places ? this.#neck.element : parts.text).focus();
  }

  #paintOptions() {
    const { options } = this.#parts;
    const buttons = (this.#question.options ?? []).map((text, i) => {
      const button = pushButton("option", "", () => this.#chooseOption(i));
      button.append(makeElement("kbd", "", String(i + 1)), makeElement("span", "tk-option-text", text));
      return button;
    });
    options.replaceChildren(...buttons);
    options.hidden = !buttons.length;
  }

  #showNeck() {
    const { frets, places, shown } = this.#question;
    const marks = packedRows(shown).map(([string, fret, label]) => ({ string: Number(string), fret: Number(fret), label, look: "ask" }));
    // The neck is a help to see afterwards; with a question by ear it would give the answer away or be in the way.
    this.#neck.element.hidden = !places && !marks.length;
    const words = places
      ? "Neck: arrow keys move over it, Enter answers"
      : `Neck to fret ${frets}, with a mark at ${marks.map((mark) => this.#neck.where(mark)).join(" and ")}`;
    this.#neck.show({ frets, answers: Boolean(places), marks, words });
  }

  #key(event) {
    if (event.defaultPrevented || event.altKey || event.ctrlKey || event.metaKey) return;
    const typed = event.target.matches(TYPED) && event.target.type !== "checkbox" && event.target.type !== "range";
    const pressed = event.target.matches(PRESSED) && (event.key === "Enter" || event.key === " ");
    if (typed || pressed || !this.#question) return;
    const number = /^[1-9]$/.test(event.key) ? Number(event.key) : 0;
    const options = this.#question.options ?? [];
    if (number && number <= options.length && !this.#answered) this.#chooseOption(number - 1);
    else if (event.key === "r" || event.key === "R") {
      if (!this.#question.sound) return;
      this.#play(this.#question.sound);
    } else if (event.key === "Enter" && this.#answered) this.#ask(true);
    else if (event.key === "Escape") this.#player.stop();
    else return;
    event.preventDefault();
    event.stopPropagation();
  }

  #chooseOption(number) {
    if (this.#answered) return;
    const { answer, options, wrong, why } = this.#question;
    const right = number === answer;
    [...this.#parts.options.children].forEach((button, i) => {
      button.setAttribute("aria-disabled", "true");
      if (i !== answer && i !== number) return;
      button.classList.add(i === answer ? "tk-option-right" : "tk-option-wrong");
      button.append(makeElement("span", "tk-option-sign", i === answer ? "✓ right" : "✗ yours"));
    });
    const told = right ? why : [`You chose “${options[number]}”.`, wrong?.[number], `The answer is “${options[answer]}”.`, why].filter(Boolean).join(" ");
    this.#finish(right, options[number], told, []);
  }

  #choosePlace(cell) {
    if (this.#answered) return;
    const { places, tonic, why } = this.#question;
    const rows = packedRows(places).map((row) => row.map(Number));
    const right = rows.some(([string, fret]) => string === cell.string && fret === cell.fret);
    const name = this.#data.names[tonic][cell.midi % 12];
    const where = this.#neck.where(cell);
    const same = rows.some(([string, fret]) => this.#cellAt(string, fret).midi % 12 === cell.midi % 12);
    const told = right ? `${where}. ${why}` : same ? `${where} is ${name} too, but the question is about one string. ${why}` : `${where} is ${name}. ${why}`;
    this.#finish(right, where, told[0].toUpperCase() + told.slice(1), [{ ...cell, label: right ? "✓" : name, look: right ? "right" : "wrong" }]);
  }

  #cellAt(string, fret) {
    return this.#neck.cellsWithin(this.#question.frets).find((cell) => cell.string === string && cell.fret === fret);
  }

  #finish(right, given, told, chosen) {
    const question = this.#question;
    const parts = this.#parts;
    this.#answered = true;
    this.#boxes.answer(question, given, right);
    if (!right) this.#missed.push(question.card);
    this.element.dataset.state = right ? "right" : "wrong";
    const words = right ? RIGHT_WORDS : WRONG_WORDS;
    const head = makeElement("strong", "", `${right ? "✓" : "○"} ${words[this.#asked % words.length]}`);
    const line = makeElement("p", right ? "tk-verdict-right" : "tk-verdict-wrong");
    line.append(head, ` ${told}`);
    parts.verdict.replaceChildren(line);
    parts.cursor.textContent = "";
    parts.after.hidden = false;
    parts.compare.hidden = !question.proof;
    parts.compare.textContent = PROOF_WORDS[question.kind] ?? "";
    this.#showAnswerOnNeck(chosen);
    this.#showStanding();
    parts.next.focus({ preventScroll: true });
    parts.after.scrollIntoView({ block: "nearest" });
  }

  #showAnswerOnNeck(chosen) {
    const { frets, marks, notes } = this.#question;
    const placed = packedRows(marks).map(([string, fret, label]) => ({ string: Number(string), fret: Number(fret), label, look: "note" }));
    const named = new Map(packedRows(notes).map(([pitchClass, label, care]) => [Number(pitchClass), { label, look: care ? "care" : "note" }]));
    const everywhere = this.#neck.cellsWithin(frets).flatMap((cell) => (named.has(cell.midi % 12) ? { ...cell, ...named.get(cell.midi % 12) } : []));
    const taken = (mark) => chosen.some(({ string, fret }) => string === mark.string && fret === mark.fret);
    const all = [...placed, ...everywhere].filter((mark) => !taken(mark)).concat(chosen);
    this.#parts.legend.hidden = !all.some(({ look }) => look === "care");
    const labels = [...new Set(all.map(({ label }) => label))];
    this.#neck.element.hidden = !all.length;
    const words = all.length > 8 ? `${labels.join(", ")}, wherever they lie` : all.map((mark) => `${mark.label} at ${this.#neck.where(mark)}`).join("; ");
    this.#neck.show({ frets, answers: false, marks: all, words: `Neck to fret ${frets}: ${words}` });
  }

  #showStanding() {
    const { standing } = this.#parts;
    const cards = new Set(this.#pool().map(({ card }) => card));
    const known = [...cards].map((card) => this.#boxes.cards[card]).filter(Boolean);
    const safe = known.filter(({ box }) => box >= 3).length;
    const words = [`${cards.size} questions here`, `${cards.size - known.length} not asked yet`, `${known.length - safe} being learnt`, `${safe} known well (box 3 and up)`];
    standing.textContent = `${words.join(" · ")}.`;
    const answered = this.#asked - (this.#answered ? 0 : 1);
    if (this.#answered && this.#asked % 10 === 0) {
      standing.textContent += ` ${answered} answered in this sitting: a good moment for a rest.`;
    }
    if (this.#again && !this.#answered) standing.textContent += " All of them are done for today; going round again does no harm.";
    if (this.#again && this.#boxes.more && !this.#parts.moreButton) {
      this.#parts.moreButton = pushButton("more-questions", "New questions", () => this.#boxes.more(this.#level));
      standing.after(this.#parts.moreButton);
    }
    if (this.#parts.moreButton) this.#parts.moreButton.hidden = !this.#again;
  }

  #play(text) {
    if (!text) return;
    soundAlone(this);
    this.#player
      .play(toneScore(text, this.#data.neck.voice), { tempo: QUIZ_TEMPO, loop: false })
      .catch((error) => this.#say(`No sound: ${error.message}`));
  }

  /** What sounds is told to be still, by another view too. */
  stop() {
    this.#player.stop();
  }

  #showPlaying(on) {
    this.element.dataset.playing = String(on);
  }

  #say(words) {
    this.#parts.cursor.textContent = words;
  }

  /** Take the quiz off the page. */
  remove() {
    this.#forgetKeys();
    this.stop();
    this.#neck.remove();
    this.element.remove();
  }
}
