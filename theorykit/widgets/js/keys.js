/** Keys that work wherever the focus is in an explorer, and the list that tells of them. */
import { makeElement } from "./chart.js";

/** Each key with what a student reads of it; the actions are the sound panel's. */
const KEYS = [
  { keys: [" "], shown: "Space", words: "play, pause", action: "playOrPause" },
  { keys: ["Escape"], shown: "Esc", words: "stop", action: "stop" },
  { keys: ["l", "L"], shown: "L", words: "loop the current bar, or the whole chart again", action: "loopBar", chart: true },
  { keys: ["+", "="], shown: "+", words: "faster by 2", action: "faster" },
  { keys: ["-", "_"], shown: "–", words: "slower by 2", action: "slower" },
  { keys: ["h", "H"], shown: "H", words: "half speed, on and off", action: "halfSpeed" },
  { keys: ["c", "C"], shown: "C", words: "click, on and off", action: "click", chart: true },
  { keys: ["?"], shown: "?", words: "show these", action: "showKeys" },
];
const LOOP_KEYS = { shown: "Shift + arrows", words: "loop bars, from the current one on", chart: true };

export const TYPED = "input, select, textarea, [contenteditable], [contenteditable] *";
export const PRESSED = "button, summary, a[href]";

/**
 * Whether a key that is pressed on an element is the element's own: a field takes every key, and a button
 * what presses it.
 */
function isTaken(element, key) {
  return element.matches(TYPED) || (element.matches(PRESSED) && (key === " " || key === "Enter"));
}

/**
 * Listen for keys in an explorer.
 * @param {HTMLElement} root
 * @param {object} actions functions by name, and `reach(key)` that moves the end of the loop
 * @returns {function()} stops listening
 */
export function listenForKeys(root, actions) {
  // So that a press anywhere in the explorer gives it the keys.
  root.tabIndex = -1;
  const listener = (event) => {
    if (event.defaultPrevented || event.altKey || event.ctrlKey || event.metaKey) return;
    if (isTaken(event.target, event.key)) return;
    const found = KEYS.find(({ keys }) => keys.includes(event.key));
    if (found && !event.repeat) actions[found.action]();
    else if (!found && !(event.shiftKey && actions.reach(event.key))) return;
    event.preventDefault();
    event.stopPropagation();
  };
  root.addEventListener("keydown", listener);
  return shieldKeys(root);
}

/** Keep a notebook's own short cuts away from the keys that are pressed in an element. @returns {function()} ends it */
export function shieldKeys(root) {
  // JupyterLab looks at each key before the page does, and would delete a cell at two presses of D; it leaves
  // an element alone that has this mark. Its commands with Ctrl, and Shift + Enter, stay its own.
  const mark = (event) => {
    if (!root.contains(event.target)) return;
    const command = event.ctrlKey || event.metaKey || event.altKey || (event.shiftKey && event.key === "Enter");
    if (command) delete event.target.dataset.lmSuppressShortcuts;
    else event.target.dataset.lmSuppressShortcuts = "true";
  };
  window.addEventListener("keydown", mark, true);
  return () => window.removeEventListener("keydown", mark, true);
}

/** The keys, as a list to read; those of the chart only where there is one. */
export function keyList(overChords) {
  const list = makeElement("dl", "tk-keys");
  const shown = [...KEYS.slice(0, 2), LOOP_KEYS, ...KEYS.slice(2)].filter(({ chart }) => overChords || !chart);
  for (const { shown: key, words } of shown) {
    const term = makeElement("dt");
    term.append(makeElement("kbd", "", key));
    list.append(term, makeElement("dd", "", words));
  }
  return list;
}
