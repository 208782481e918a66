/** What is on the screen is painted at once; what is not waits for a quiet moment, or until it is scrolled to. */

/** Resolves when the browser has nothing better to do, or after half a second. */
export function idleMoment() {
  return new Promise((resolve) => {
    if (window.requestIdleCallback) requestIdleCallback(resolve, { timeout: 500 });
    else setTimeout(resolve);
  });
}

export class Sight {
  #paint;
  #observer;
  /** Until the browser has told, as if it were. */
  #seen = true;
  #due = false;

  /** @param {HTMLElement} element; @param {function(): Promise} paint paints all of it */
  constructor(element, paint) {
    this.#paint = paint;
    this.#observer = new IntersectionObserver((entries) => this.#tell(entries.at(-1)));
    this.#observer.observe(element);
  }

  #tell({ isIntersecting }) {
    this.#seen = isIntersecting;
    if (this.#seen && this.#due) this.paint();
  }

  /** Paint, now or soon; asked for twice before that, it is done once. */
  async paint() {
    if (this.#seen) {
      await this.#finish();
      return;
    }
    if (this.#due) return;
    this.#due = true;
    // First of all comes what is seen, which may itself wait for a frame.
    for (let frames = 0; frames < 2; frames++) await new Promise(requestAnimationFrame);
    await idleMoment();
    if (this.#due) await this.#finish();
  }

  #finish() {
    this.#due = false;
    return this.#paint();
  }

  remove() {
    this.#due = false;
    this.#observer.disconnect();
  }
}
