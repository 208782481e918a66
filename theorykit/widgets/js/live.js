/** The host in a notebook: an anywidget view over the study's widget model. */
import { ensureBokeh } from "./bokeh.js";
import { makeElement } from "./chart.js";
import { Explorer, STUDY_TRAITS } from "./explorer.js";
import { choicesToKeep, keepInNotebook } from "./keep.js";

async function linkedModel(model, name) {
  const reference = model.get(name);
  const id = typeof reference === "string" ? reference.replace("IPY_MODEL_", "") : reference.model_id;
  return model.widget_manager.get_model(id);
}

/** anywidget's `render`; the function that it returns cleans up when the cell is run again. */
export async function renderLive({ model, el }) {
  try {
    const study = await linkedModel(model, "study");
    const bokeh = await ensureBokeh(model.get("bokeh_version"), async () => (await linkedModel(model, "loader")).get("code"));
    const explorer = await Explorer.open({
      study,
      kind: model.get("kind"),
      necks: model.get("necks"),
      figures: model.get("figures"),
      element: el,
      bokeh,
    });
    // A tune comes from its file.
    const kept = model.get("kind") !== "tunes";
    const forget = kept ? keepInNotebook(model.widget_manager, study, choicesToKeep(study, STUDY_TRAITS)) : () => {};
    return () => {
      forget();
      explorer.remove();
    };
  } catch (error) {
    // A notebook swallows what a view throws, and would show nothing at all.
    el.append(makeElement("p", "tk-error", `This view could not be drawn: ${error.message}`));
    throw error;
  }
}
