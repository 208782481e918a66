/** What was chosen, kept in the notebook itself: a cell that is run again goes on from there. */

const METADATA = "theorykit";
/** After the last of many changes, as of a slider that is dragged. */
const QUIET_MILLISECONDS = 300;

/**
 * Keep the state of a widget in its notebook, and take up there what was kept, if the cell asks for the same as it did then.
 * @param {object} manager of the widgets; only a notebook's has a document
 * @param {object} model with `origin`, the name that Python gave it, and `touched`, whether it is as the cell made it
 * @param {{traits: string[], read: function(): object, write: function(object)}} state
 * @returns {function()} ends it
 */
export function keepInNotebook(manager, model, { traits, read, write }) {
  const notebook = manager?.context?.model;
  const origin = model.get("origin");
  if (!origin || !notebook?.setMetadata) return () => {};
  const kept = notebook.getMetadata(METADATA)?.[origin];
  if (kept && !model.get("touched")) write(kept);
  model.set("touched", true);
  model.save_changes();
  let timer = 0;
  const keep = () => {
    timer = 0;
    const all = notebook.getMetadata(METADATA) ?? {};
    const state = read();
    if (JSON.stringify(all[origin]) === JSON.stringify(state)) return;
    notebook.setMetadata(METADATA, { ...ofCells(all, notebook), [origin]: state });
  };
  const wait = () => {
    clearTimeout(timer);
    timer = setTimeout(keep, QUIET_MILLISECONDS);
  };
  for (const trait of traits) model.on(`change:${trait}`, wait);
  return () => {
    for (const trait of traits) model.off(`change:${trait}`, wait);
    if (timer) keep();
    clearTimeout(timer);
  };
}

/** Without what cells have left behind that are gone. */
function ofCells(all, notebook) {
  const cells = new Set([...notebook.cells].map(({ id }) => id));
  return Object.fromEntries(Object.entries(all).filter(([origin]) => cells.has(origin.split(" ")[0])));
}

/** Choices of a study by name, since a menu may have grown: {traits, read, write}. @param {object} traits by choice */
export function choicesToKeep(study, traits) {
  const names = Object.keys(traits).filter((name) => !["table", "atlas", "tune"].includes(name));
  const optionsOf = (name) => study.get("table").menus[name]?.options;
  const put = (name, value) => {
    const options = optionsOf(name);
    const there = options ? options.indexOf(value) : value;
    if (there !== -1 || !options) study.set(traits[name], there);
  };
  return {
    traits: names.map((name) => traits[name]),
    read: () => Object.fromEntries(names.map((name) => [name, optionsOf(name)?.[study.get(traits[name])] ?? study.get(traits[name])])),
    write: (kept) => {
      // First the chart and the other menus, then what counts in them.
      for (const inMenus of [true, false]) {
        for (const name of names) if (name in kept && Boolean(optionsOf(name)) === inMenus) put(name, kept[name]);
        study.save_changes();
      }
    },
  };
}
