/** A Bokeh figure by itself, with its text alternative. */
import { makeElement } from "./chart.js";
import { EmbeddedFigure } from "./figures.js";

export class PlainFigure {
  /** @param {object} options `figures` (Bokeh's json item `figure`), `words`, `element`, `bokeh` */
  static async open({ figures, words, element, bokeh }) {
    const view = new PlainFigure();
    view.element = makeElement("div", "tk-explorer tk-plain");
    const picture = makeElement("div", "tk-picture");
    picture.setAttribute("role", "img");
    picture.setAttribute("aria-label", words);
    view.element.append(picture);
    element.append(view.element);
    view.figure = await EmbeddedFigure.embed(bokeh, figures.figure, picture);
    element.dataset.ready = "true";
    return view;
  }

  remove() {
    this.figure.remove();
    this.element.remove();
  }
}
