/** BokehJS, fetched from nowhere: from the page that holds it, or from a widget that carries its text. */

let bokehPromise = null;

/**
 * @param {string} version the version that the figures were made with
 * @param {function(): Promise<string>} readSource gives the text of bokeh.min.js
 * @returns {Promise<object>} the BokehJS namespace of that version
 */
export function ensureBokeh(version, readSource) {
  const present = presentBokeh(version);
  if (present) return Promise.resolve(present);
  // Two views that open at once must not load it twice.
  bokehPromise ??= loadBokeh(version, readSource);
  return bokehPromise;
}

function presentBokeh(version) {
  const { Bokeh } = window;
  if (!Bokeh) return null;
  if (Bokeh.version === version) return Bokeh;
  return Bokeh.versions?.get?.(version) ?? null;
}

async function loadBokeh(version, readSource) {
  const before = window.Bokeh;
  const script = document.createElement("script");
  script.textContent = await readSource();
  document.head.append(script);
  script.remove();
  const loaded = presentBokeh(version);
  if (!loaded) throw new Error(`BokehJS ${version} did not load`);
  // Another extension of the page may rely on its own BokehJS.
  if (before && window.Bokeh !== before) window.Bokeh = before;
  return loaded;
}
