// Fields of a list in a value of the job: "{colour|crystal}" stands for what a row has
// in its column colour, and for crystal where it has nothing.

export interface Field {
  name: string;
  or: string;
}

/** The field that a value is and nothing else; null for any other. */
export function fieldOf(value: string): Field | null {
  const m = /^\{([^{}|]+)(?:\|([^{}]*))?\}$/.exec(value);
  return m ? { name: m[1]!.trim(), or: m[2] ?? '' } : null;
}

/** A value as it is where a row says nothing. */
export function emptied(value: string): string {
  return value.replace(/(?<!\{)\{[^{}|]+(?:\|([^{}]*))?\}/g, (_, or: string | undefined) => or ?? '');
}

/** The field written; a name loses what no column can be called by here. */
export function written(field: Field): string {
  return `{${field.name.replace(/[{}|":,]/g, '').trim()}|${field.or}}`;
}
