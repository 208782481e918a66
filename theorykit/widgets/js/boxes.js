/**
 * When a question comes back: the five boxes of the Python package (theorykit/log/boxes.py), card for card.
 *
 * A card is {level, box, due, asked, right}; `due` is a day as "2024-05-03", or null where it was never asked.
 */
import { BOX_DAYS } from "./tables.js";

const NEW_CARD = { level: 1, box: 1, due: null, asked: 0, right: 0 };

/** Today where the player is. */
export function localDay(date = new Date()) {
  const two = (number) => String(number).padStart(2, "0");
  return `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
}

function dayAfter(day, days) {
  const [year, month, date] = day.split("-").map(Number);
  // In universal time no day has 23 hours.
  return new Date(Date.UTC(year, month - 1, date + days)).toISOString().slice(0, 10);
}

function isDue({ due }, today) {
  return due === null || due <= today;
}

/** Where a card stands after an answer; one right before its day moves nothing. */
export function answeredCard(card, right, today, level = 1) {
  const { box, due, asked, right: count } = card ?? NEW_CARD;
  const counted = { level, asked: asked + 1, right: count + (right ? 1 : 0) };
  if (!right) return { ...counted, box: 1, due: dayAfter(today, BOX_DAYS[0]) };
  if (!isDue({ due }, today)) return { ...counted, box, due };
  const next = Math.min(box + 1, BOX_DAYS.length);
  return { ...counted, box: next, due: dayAfter(today, BOX_DAYS[next - 1]) };
}

/** What is to be asked of some questions: the lowest box first and in it the longest overdue, then what is new. */
export function dueCards(cards, today, offered) {
  const names = [...new Set(offered)];
  const known = names.filter((name) => cards[name]);
  const order = (one, other) => one.box - other.box || ((one.due ?? "") < (other.due ?? "") ? -1 : (one.due ?? "") > (other.due ?? "") ? 1 : 0);
  const waiting = known.filter((name) => isDue(cards[name], today)).sort((one, other) => order(cards[one], cards[other]));
  return [...waiting, ...names.filter((name) => !cards[name])];
}

const STORE_KEY = "theorykit-quiz-boxes";

function isCard(card) {
  const whole = (number, low, high) => Number.isInteger(number) && number >= low && number <= high;
  return (
    card !== null &&
    typeof card === "object" &&
    whole(card.box, 1, BOX_DAYS.length) &&
    whole(card.asked, 0, 1e9) &&
    whole(card.right, 0, 1e9) &&
    (card.due === null || /^\d{4}-\d\d-\d\d$/.test(card.due))
  );
}

/** The boxes of a page: in this browser's own storage, or, where there is none, until the page is closed. */
export class PageBoxes {
  #storage = null;
  cards = {};
  /** Nobody can make more questions. */
  more = null;

  constructor() {
    try {
      this.#storage = window.localStorage;
      this.cards = this.#read();
    } catch {
      this.#storage = null;
    }
  }

  get words() {
    return this.#storage
      ? "Your answers stay in this browser, on this machine."
      : "This browser keeps no records: your answers are forgotten when the page is closed.";
  }

  /** Put an answer away. @param {object} question @param {string} given @param {boolean} right */
  answer(question, _given, right) {
    // Another quiz, in another window, may have written meanwhile.
    this.cards = { ...this.cards, ...this.#read() };
    this.cards[question.card] = answeredCard(this.cards[question.card], right, localDay(), question.level);
    this.#write();
  }

  forget() {
    this.cards = {};
    this.#write();
  }

  #read() {
    try {
      const kept = JSON.parse(this.#storage?.getItem(STORE_KEY) ?? "{}");
      return Object.fromEntries(Object.entries(kept).filter(([, card]) => isCard(card)));
    } catch {
      return {};
    }
  }

  #write() {
    try {
      this.#storage?.setItem(STORE_KEY, JSON.stringify(this.cards));
    } catch {
      this.#storage = null;
    }
  }
}

/** The boxes of a notebook: the kernel's log has them, and is told of each answer. */
export class KernelBoxes {
  #model;

  constructor(model) {
    this.#model = model;
    this.cards = { ...model.get("cards") };
  }

  get words() {
    return this.#model.get("kept") ? "Your answers are kept in your practice log." : "Your answers are kept while this notebook's kernel runs.";
  }

  answer(question, given, right) {
    this.cards[question.card] = answeredCard(this.cards[question.card], right, localDay(), question.level);
    this.#model.send({ type: "answer", card: question.card, given, right });
  }

  /** The kernel has sent other questions, and where those of them stand that were asked before. */
  refresh() {
    this.cards = { ...this.cards, ...this.#model.get("cards") };
  }

  /** Have more questions made. @param {number} level */
  more = (level) => this.#model.send({ type: "more", level });
}
