/** Buttons, fields and groups that the controls of the player are made of. */
import { makeElement } from "./chart.js";

const ICONS = {
  play: "M5 3 L17 10 L5 17 Z",
  pause: "M4 3 H8 V17 H4 Z M12 3 H16 V17 H12 Z",
  stop: "M4 4 H16 V16 H4 Z",
};

function icon(name) {
  const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  svg.setAttribute("viewBox", "0 0 20 20");
  svg.setAttribute("aria-hidden", "true");
  const path = document.createElementNS("http://www.w3.org/2000/svg", "path");
  path.setAttribute("d", ICONS[name]);
  svg.append(path);
  return svg;
}

/** A button; `name` becomes its class, for the style sheet and for tests. */
export function pushButton(name, text, onPress) {
  const button = makeElement("button", `tk-button tk-${name}`, text);
  button.type = "button";
  button.addEventListener("click", onPress);
  return button;
}

/** Change what a button shows, its icon included. */
export function paintButton(button, text, iconName) {
  if (button.textContent === text) return;
  button.replaceChildren(...(iconName ? [icon(iconName)] : []), document.createTextNode(text));
}

function labelFor(className, words, ...elements) {
  const label = makeElement("label", className);
  label.append(makeElement("span", "", words), ...elements);
  return label;
}

/** A box to tick: {element, input}. */
export function tickBox(words, ticked, onChange) {
  const input = makeElement("input");
  input.type = "checkbox";
  input.checked = ticked;
  input.addEventListener("change", () => onChange(input.checked));
  const element = makeElement("label", "tk-toggle");
  element.append(input, makeElement("span", "", words));
  return { element, input };
}

/** A slider: {element, input}. */
export function slideBar(words, { min, max, step, value }, onInput) {
  const input = makeElement("input");
  Object.assign(input, { type: "range", min, max, step, value });
  input.addEventListener("input", () => onInput(Number(input.value)));
  return { element: labelFor("tk-slide", words, input), input };
}

/** A field for a whole number: {element, input}. What is out of range is not taken. */
export function numberBox(words, { min, max, value }, onChange) {
  const input = makeElement("input");
  Object.assign(input, { type: "number", min, max, step: 1, value });
  let taken = value;
  input.addEventListener("change", () => {
    const typed = Math.round(Number(input.value));
    const fits = input.value !== "" && typed >= Number(input.min) && typed <= Number(input.max);
    if (fits) taken = typed;
    input.value = taken;
    if (fits) onChange(typed);
  });
  const show = (number) => {
    taken = number;
    // Nobody's half-typed number is written over.
    if (input.getRootNode().activeElement !== input || Number(input.value) !== number) input.value = number;
  };
  return { element: labelFor("tk-number", words, input), input, show };
}

/** A menu of [value, text]: {element, input}. */
export function dropMenu(words, options, value, onChange) {
  const input = makeElement("select");
  for (const [key, text] of options) input.add(new Option(text, key));
  input.value = value;
  input.addEventListener("change", () => onChange(Number(input.value)));
  return { element: labelFor("tk-pick", words, input), input };
}

/** A titled group of controls. */
export function controlGroup(title, ...elements) {
  const group = makeElement("fieldset", "tk-group");
  group.append(makeElement("legend", "", title), ...elements);
  return group;
}
