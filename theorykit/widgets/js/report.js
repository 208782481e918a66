/** What is said of a take: praise, what to work on, findings by bar, earlier takes, and the table of notes. */
import { makeElement } from "./chart.js";
import { pushButton } from "./fields.js";

function wordList(tag, items) {
  const list = makeElement(tag);
  for (const item of items) list.append(makeElement("li", "", item));
  return list;
}

function titled(title, ...elements) {
  const section = makeElement("section");
  section.append(makeElement("p", "tk-title", title), ...elements);
  section.setAttribute("aria-label", title);
  return section;
}

function folded(title, ...elements) {
  const details = makeElement("details", "tk-folded");
  details.append(makeElement("summary", "", title), ...elements);
  return details;
}

/** A table; the first cell of each row is its heading. */
function plainTable({ header, rows }) {
  const table = makeElement("table", "tk-table");
  const head = makeElement("tr");
  for (const words of header) {
    const cell = makeElement("th", "", words);
    cell.scope = "col";
    head.append(cell);
  }
  table.createTHead().append(head);
  const body = table.createTBody();
  for (const [first, ...rest] of rows) {
    const row = body.insertRow();
    const name = makeElement("th", "", first);
    name.scope = "row";
    row.append(name, ...rest.map((words) => makeElement("td", "", words)));
  }
  return table;
}

/** The report of a take as elements. */
export function reportElements({ report, compared }) {
  const { praise, tasks, figures } = report;
  // A report in which there is nothing to mend has one line in place of the tasks.
  const columns = makeElement("div", "tk-report");
  columns.append(titled("What went well", wordList("ul", praise)), titled("What to work on", wordList("ol", tasks)));
  const parts = [columns];
  if (compared) {
    const rest = compared.rows.length ? [plainTable(compared)] : [];
    parts.push(titled("Beside earlier takes", makeElement("p", "", compared.words), ...rest));
  }
  parts.push(folded("For the record", wordList("ul", figures)));
  return parts;
}

/**
 * Findings by bar, each of which leads to its place.
 * @param {object} scene of the take
 * @param {object} actions functions `visit(finding)`, `playBar(bar)` (0 for the first bar)
 */
export function findingElements({ findings }, { visit, playBar }) {
  if (findings.length === 0) return [];
  const list = makeElement("ol", "tk-findings");
  for (const finding of findings) {
    const item = makeElement("li", finding.grave ? "tk-grave" : "");
    const go = pushButton("visit", finding.place, () => visit(finding));
    go.setAttribute("aria-label", `${finding.place}: ${finding.title}. Show it`);
    go.disabled = finding.bar === 0;
    const words = makeElement("span", "tk-finding-words");
    words.append(makeElement("strong", "", finding.title), ` – ${finding.words} ${finding.suggestion}`);
    item.append(go, words);
    if (finding.bar > 0) {
      const play = pushButton("play-bar", "▶ bar", () => playBar(finding.bar - 1));
      play.setAttribute("aria-label", `Play bar ${finding.bar}`);
      item.append(play);
    }
    list.append(item);
  }
  const count = findings.length;
  return [titled(`Found in ${count} ${count === 1 ? "place" : "places"}`, list)];
}

/** The notes as a table, folded away. */
export function recordElements({ records }) {
  const frame = makeElement("div", "tk-scrolled");
  frame.tabIndex = 0;
  frame.setAttribute("role", "region");
  frame.setAttribute("aria-label", "Table of notes");
  frame.append(plainTable(records));
  return [folded(`All ${records.rows.length} notes as a table`, frame)];
}
