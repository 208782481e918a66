/** Words with fields in angle brackets, from the table. */

/** A text of the table's `phrases` with its fields filled in. */
export function phrase(table, name, fields = {}) {
  return table.phrases[name].replace(/<(\w+)>/g, (_, field) => fields[field]);
}

/** A name as the start of a sentence has it. */
export function capitalised(name) {
  return name[0].toUpperCase() + name.slice(1);
}
