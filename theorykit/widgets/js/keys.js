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
  { keys: ["n", "N"], shown: "N", words: "next: the answer that was kept back, or the next chord", action: "goOn", chart: true },
  { keys: ["b", "B"], shown: "B", words: "the chord before", action: "goBack", chart: true },
  { keys: ["q", "Q"], shown: "Q", words: "ask the class first, on and off", action: "ask", asks: true },
  { keys: ["v", "V"], shown: "V", words: "cover the labels, on and off", action: "cover" },
  { keys: ["r", "R"], shown: "R", words: "reveal the answer, or the next label", action: "reveal" },
  { keys: ["p", "P"], shown: "P", words: "present, on and off (Esc leaves too)", action: "present" },
  { keys: ["z", "Z"], control: true, shown: "Ctrl + Z", words: "undo a choice", action: "undo" },
  { keys: ["y", "Y"], control: true, shown: "Ctrl + Y", words: "redo it", action: "redo" },
  { keys: ["?"], shown: "?", words: "show these", action: "showKeys" },
];
/** What a pointer for slides sends. */
const REMOTE = { PageDown: "goOn", PageUp: "goBack" };
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
    if (event.defaultPrevented || event.altKey || isTaken(event.target, event.key)) return;
    const action = actionOf(event, actions);
    if (action && !event.repeat) actions[action]();
    else if (!action && !(event.shiftKey && !isCommand(event) && actions.reach(event.key))) return;
    event.preventDefault();
    event.stopPropagation();
  };
  root.addEventListener("keydown", listener);
  return guardKeys(root);
}

function isCommand({ ctrlKey, metaKey }) {
  return ctrlKey || metaKey;
}

/** The action of a key, if the explorer has it. */
function actionOf(event, actions) {
  const again = isCommand(event) && event.shiftKey && event.key.toLowerCase() === "z";
  const found = KEYS.find(({ keys, control = false }) => keys.includes(event.key) && control === isCommand(event));
  const action = again ? "redo" : found?.action ?? (actions.isPresenting?.() && !isCommand(event) ? REMOTE[event.key] : undefined);
  return action && action in actions ? action : null;
}

/** Keys that a notebook would take for its own commands, though an explorer knows them. */
const OWN_COMMANDS = ["z", "y"];

/**
 * Keep a notebook's hands off the keys that are pressed in an element.
 * @returns {function()} stops it
 */
export function guardKeys(root) {
  // JupyterLab looks at each key before the page does, and would delete a cell at two presses of D; it leaves
  // an element alone that has this mark. Its commands with Ctrl, and Shift + Enter, stay its own.
  const mark = (event) => {
    if (!root.contains(event.target)) return;
    const own = isCommand(event) && OWN_COMMANDS.includes(event.key.toLowerCase());
    const command = isCommand(event) || event.altKey || (event.shiftKey && event.key === "Enter");
    if (command && !own) delete event.target.dataset.lmSuppressShortcuts;
    else event.target.dataset.lmSuppressShortcuts = "true";
  };
  window.addEventListener("keydown", mark, true);
  return () => window.removeEventListener("keydown", mark, true);
}

/**
 * The keys, as a list to read.
 * @param {object} has `chart` and `asks`, whether there is a chart, and one to ask about
 */
export function keyList(has) {
  const shown = [...KEYS.slice(0, 2), LOOP_KEYS, ...KEYS.slice(2)];
  return keyTerms(shown.filter(({ chart, asks }) => (has.chart || !chart) && (has.asks || !asks)));
}

/** @param {Array<{shown: string, words: string}>} keys */
export function keyTerms(keys) {
  const list = makeElement("dl", "tk-keys");
  for (const { shown: key, words } of keys) {
    const term = makeElement("dt");
    term.append(makeElement("kbd", "", key));
    list.append(term, makeElement("dd", "", words));
  }
  return list;
}
