/** Rows of things to choose from: the positions of a scale, the shapes of a chord. */
import { makeElement } from "./chart.js";
import { chordDiagram } from "./diagram.js";

/** Arrow keys move along a row of buttons, Home and End to its ends. */
function moveByKeys(event, row) {
  const buttons = [...row.querySelectorAll("button[data-number]")];
  const here = buttons.indexOf(document.activeElement);
  const moves = { ArrowRight: here + 1, ArrowLeft: here - 1, Home: 0, End: buttons.length - 1 };
  if (here < 0 || !(event.key in moves) || event.altKey || event.ctrlKey || event.metaKey) return;
  event.preventDefault();
  event.stopPropagation();
  const next = buttons[Math.min(Math.max(moves[event.key], 0), buttons.length - 1)];
  next.focus();
  next.click();
}

/** The positions of a scale, and a button for none of them. */
export class PositionStrip {
  #signature = "";

  /** @param {function(number)} onChoose told the number of a position, -1 for none */
  constructor(onChoose) {
    this.element = makeElement("div", "tk-strip");
    this.element.setAttribute("role", "group");
    this.element.setAttribute("aria-label", "Positions");
    this.element.addEventListener("keydown", (event) => moveByKeys(event, this.element));
    this.element.addEventListener("click", (event) => {
      const button = event.target.closest("[data-number]");
      if (button) onChoose(Number(button.dataset.number));
    });
  }

  paint({ positions, position }) {
    const signature = JSON.stringify(positions);
    if (signature !== this.#signature) {
      this.#signature = signature;
      this.element.replaceChildren(...["All", ...positions].map((name, i) => this.#button(name, i - 1)));
    }
    for (const button of this.element.children) {
      button.setAttribute("aria-pressed", String(Number(button.dataset.number) === position));
    }
  }

  #button(name, number) {
    const button = makeElement("button", "tk-button tk-position", name);
    button.type = "button";
    button.dataset.number = number;
    return button;
  }
}

/** The shapes of a chord as diagrams, to choose one and to set another beside it. */
export class ShapeStrip {
  #signature = "";

  /**
   * @param {function(number)} onChoose told the number of a shape
   * @param {function(number)} onCompare told the number of the shape to compare with, -1 for none
   */
  constructor(onChoose, onCompare) {
    this.element = makeElement("div", "tk-strip tk-shapes");
    this.element.setAttribute("role", "group");
    this.element.setAttribute("aria-label", "Shapes, the easiest first");
    this.element.addEventListener("keydown", (event) => moveByKeys(event, this.element));
    this.element.addEventListener("click", (event) => {
      const compare = event.target.closest("[data-compare]");
      const choose = event.target.closest("[data-number]");
      if (compare) onCompare(compare.getAttribute("aria-pressed") === "true" ? -1 : Number(compare.dataset.compare));
      else if (choose) onChoose(Number(choose.dataset.number));
    });
  }

  /** @param {object} scene; @param {object} options of the diagrams */
  paint({ shapes, shape, beside }, options) {
    const signature = JSON.stringify([shapes, options]);
    if (signature !== this.#signature) {
      this.#signature = signature;
      this.element.replaceChildren(...shapes.map((one, i) => this.#card(one, i, options)));
    }
    [...this.element.children].forEach((card, i) => {
      card.querySelector("[data-number]").setAttribute("aria-pressed", String(i === shape));
      const compare = card.querySelector("[data-compare]");
      compare.setAttribute("aria-pressed", String(i === beside));
      compare.disabled = i === shape;
    });
  }

  #card(shape, number, options) {
    const card = makeElement("div", "tk-card");
    const choose = makeElement("button", "tk-shape");
    choose.type = "button";
    choose.dataset.number = number;
    choose.setAttribute("aria-label", `Shape ${number + 1}: ${[...shape.text].join(" ")}`);
    choose.append(chordDiagram(shape, options), makeElement("span", "tk-frets", shape.text));
    const compare = makeElement("button", "tk-compare", "compare");
    compare.type = "button";
    compare.dataset.compare = number;
    compare.setAttribute("aria-label", `Compare with shape ${number + 1}`);
    card.append(choose, compare);
    return card;
  }
}
