/** A row for each part that may sound: on or off, how loud, how far left or right. */
import { makeElement } from "./chart.js";
import { controlGroup } from "./fields.js";

/** Parts in the order in which they are listed, with the words for each, and whether they begin switched off. */
const MIXED = {
  bass: { words: "bass" },
  comp: { words: "comp" },
  line: { words: "line" },
  drone: { words: "drone", muted: true },
  click: { words: "click", muted: true },
};

/** A slider at this place leaves a part as it is balanced; a square lies near enough to felt loudness. */
const EVEN = 0.7;

export class PartMixer {
  #rows = {};
  #onPart;

  /** @param {function(string, object)} onPart told a part and its change, as `Player.setPart` takes it */
  constructor(onPart) {
    this.#onPart = onPart;
    const grid = makeElement("div", "tk-mixer");
    for (const words of ["", "volume", "left – right"]) grid.append(makeElement("span", "tk-mixer-head", words));
    for (const [part, { words, muted = false }] of Object.entries(MIXED)) this.#addRow(grid, part, words, muted);
    this.element = controlGroup("Parts", grid);
  }

  #addRow(grid, part, words, muted) {
    const on = makeElement("input");
    Object.assign(on, { type: "checkbox", checked: !muted, name: `${part}-on` });
    on.addEventListener("change", () => this.#onPart(part, { muted: !on.checked }));
    const name = makeElement("label", "tk-toggle");
    name.append(on, makeElement("span", "", words));
    const volume = this.#slider(`${part}-volume`, `${words}, volume`, { min: 0, max: 1, step: 0.05, value: EVEN }, (value) => ({
      gain: (value / EVEN) ** 2,
    }));
    const pan = this.#slider(`${part}-pan`, `${words}, left to right`, { min: -1, max: 1, step: 0.1, value: 0 }, (value) => ({
      pan: value,
    }));
    // The middle is what a slider is hardest to be put back to.
    pan.addEventListener("dblclick", () => {
      pan.value = 0;
      pan.dispatchEvent(new Event("input"));
    });
    pan.title = "A double click puts it back to the middle";
    const row = makeElement("div", "tk-mixer-row");
    row.append(name, volume, pan);
    grid.append(row);
    this.#rows[part] = { row, on };
    if (muted) this.#onPart(part, { muted });
  }

  #slider(name, words, range, change) {
    const slider = makeElement("input");
    Object.assign(slider, { type: "range", name, ...range });
    slider.setAttribute("aria-label", words);
    const part = name.split("-")[0];
    slider.addEventListener("input", () => this.#onPart(part, change(Number(slider.value))));
    return slider;
  }

  /** Whether a part is switched on. */
  isOn(part) {
    return this.#rows[part].on.checked;
  }

  /** Switch a part on or off, as if by hand. */
  setOn(part, on) {
    this.#rows[part].on.checked = on;
    this.#onPart(part, { muted: !on });
  }

  /** List only the parts that there are. @param {Set<string>} parts */
  offer(parts) {
    for (const [part, { row }] of Object.entries(this.#rows)) row.hidden = !parts.has(part);
  }
}
