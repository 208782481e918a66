/** The host in a notebook: an anywidget view over the study's widget model, or over its own. */
import { ensureBokeh } from "./bokeh.js";
import { KernelBoxes } from "./boxes.js";
import { makeElement } from "./chart.js";
import { Explorer, STUDY_TRAITS } from "./explorer.js";
import { choicesToKeep, keepInNotebook } from "./keep.js";
import { PlainFigure } from "./plainfigure.js";
import { SoloView } from "./solo.js";
import { Quiz } from "./quiz.js";

async function linkedModel(model, name) {
  const reference = model.get(name);
  const id = typeof reference === "string" ? reference.replace("IPY_MODEL_", "") : reference.model_id;
  return model.widget_manager.get_model(id);
}

async function openView(model, place) {
  const kind = model.get("kind");
  if (kind === "solo") return SoloView.open({ model, ...place });
  if (kind === "figure") return PlainFigure.open({ words: model.get("words"), ...place });
  return openExplorer(model, await linkedModel(model, "study"), { kind, necks: model.get("necks"), ...place });
}

/** An explorer, whose choices a notebook keeps; but a tune comes from its file. */
async function openExplorer(model, study, place) {
  const explorer = await Explorer.open({ study, ...place });
  if (place.kind === "tunes") return explorer;
  const forget = keepInNotebook(model.widget_manager, study, choicesToKeep(study, STUDY_TRAITS));
  return {
    remove() {
      forget();
      explorer.remove();
    },
  };
}

function openQuiz(model, element) {
  const boxes = new KernelBoxes(model);
  const quiz = new Quiz({ data: model.get("quiz"), boxes, element });
  const renew = () => {
    boxes.refresh();
    quiz.renew(model.get("quiz"));
  };
  model.on("change:quiz", renew);
  element.dataset.ready = "true";
  return () => {
    model.off("change:quiz", renew);
    quiz.remove();
  };
}

/** anywidget's `render`; the function that it returns cleans up when the cell is run again. */
export async function renderLive({ model, el }) {
  try {
    if (model.get("kind") === "quiz") return openQuiz(model, el);
    const bokeh = await ensureBokeh(model.get("bokeh_version"), async () => (await linkedModel(model, "loader")).get("code"));
    const view = await openView(model, { figures: model.get("figures"), element: el, bokeh });
    return () => view.remove();
  } catch (error) {
    // A notebook swallows what a view throws, and would show nothing at all.
    el.append(makeElement("p", "tk-error", `This view could not be drawn: ${error.message}`));
    throw error;
  }
}
