/** What was chosen before: one step back and forward, over everything that the menus of a study hold. */

/** Of these no step is made: the music moves them, or they follow another choice. */
const PASSING = ["step", "tempo", "note", "shape", "beside", "position", "table", "atlas"];
const MOST_STEPS = 200;

const histories = new WeakMap();

/** The one history of a study, whichever explorer asks for it. */
export function historyOf(study, traits) {
  if (!histories.has(study)) histories.set(study, new StudyHistory(study, traits));
  return histories.get(study);
}

/** A list of states with a place in it. */
export class StepList {
  #states;
  #at = 0;

  constructor(first) {
    this.#states = [first];
  }

  get current() {
    return this.#states[this.#at];
  }

  get hasBack() {
    return this.#at > 0;
  }

  get hasForward() {
    return this.#at < this.#states.length - 1;
  }

  /** A new state; what was undone before it is gone. */
  add(state) {
    this.#states.splice(this.#at + 1, Infinity, state);
    if (this.#states.length > MOST_STEPS) this.#states.shift();
    this.#at = this.#states.length - 1;
  }

  /** @param {number} steps -1 or 1; @returns the state there, or null at the end */
  move(steps) {
    const there = this.#states[this.#at + steps];
    if (there === undefined) return null;
    this.#at += steps;
    return there;
  }
}

class StudyHistory {
  #study;
  #traits;
  #steps;
  #due = false;
  #watchers = new Set();

  constructor(study, traits) {
    this.#study = study;
    this.#traits = Object.fromEntries(Object.entries(traits).filter(([name]) => !PASSING.includes(name)));
    this.#steps = new StepList(this.#state());
    for (const trait of Object.values(this.#traits)) study.on(`change:${trait}`, () => this.#note());
  }

  /** Called at every change of what can be undone; gives what takes it off again. */
  watch(watcher) {
    this.#watchers.add(watcher);
    return () => this.#watchers.delete(watcher);
  }

  get hasBack() {
    return this.#steps.hasBack;
  }

  get hasForward() {
    return this.#steps.hasForward;
  }

  back() {
    return this.#go(-1);
  }

  forward() {
    return this.#go(1);
  }

  #state() {
    return Object.fromEntries(Object.values(this.#traits).map((trait) => [trait, this.#study.get(trait)]));
  }

  /** What changes together is one step. */
  #note() {
    if (this.#due) return;
    this.#due = true;
    queueMicrotask(() => {
      this.#due = false;
      const state = this.#state();
      const { current } = this.#steps;
      if (Object.keys(state).some((trait) => state[trait] !== current[trait])) this.#steps.add(state);
      this.#tell();
    });
  }

  /** Tells which choices have changed; none at either end. */
  #go(steps) {
    const before = this.#steps.current;
    const there = this.#steps.move(steps);
    if (!there) return [];
    const changed = Object.entries(this.#traits).filter(([, trait]) => there[trait] !== before[trait]);
    // A shorter chart must not be left at a bar that it has not got.
    if (changed.some(([name]) => name === "progression")) this.#study.set("step", 0);
    for (const [, trait] of changed) this.#study.set(trait, there[trait]);
    this.#study.save_changes();
    this.#tell();
    return changed.map(([name]) => name);
  }

  #tell() {
    for (const watcher of this.#watchers) watcher();
  }
}
