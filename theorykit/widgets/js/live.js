/** The host in a notebook: an anywidget view over the study's widget model. */
import { ensureBokeh } from "./bokeh.js";
import { KernelBoxes } from "./boxes.js";
import { makeElement } from "./chart.js";
import { Explorer } from "./explorer.js";
import { Quiz } from "./quiz.js";

async function linkedModel(model, name) {
  const reference = model.get(name);
  const id = typeof reference === "string" ? reference.replace("IPY_MODEL_", "") : reference.model_id;
  return model.widget_manager.get_model(id);
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
    const study = await linkedModel(model, "study");
    const bokeh = await ensureBokeh(model.get("bokeh_version"), async () => (await linkedModel(model, "loader")).get("code"));
    const explorer = await Explorer.open({
      study,
      kind: model.get("kind"),
      figures: model.get("figures"),
      element: el,
      bokeh,
    });
    return () => explorer.remove();
  } catch (error) {
    // A notebook swallows what a view throws, and would show nothing at all.
    el.append(makeElement("p", "tk-error", `This view could not be drawn: ${error.message}`));
    throw error;
  }
}
