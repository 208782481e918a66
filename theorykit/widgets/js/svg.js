/** Elements of pictures. */

/** The namespace of SVG. */
const NAMESPACE = "http://www.w3.org/2000/svg";

/** @param {string} tag; @param {object} attributes; @param {string} [text] */
export function svgElement(tag, attributes, text) {
  const element = document.createElementNS(NAMESPACE, tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  if (text !== undefined) element.textContent = text;
  return element;
}
