/** Throws unless x and y are equally long and finite; `caller` and the names go into the message. */
export function checkPairs(
  caller: string,
  columns: Readonly<Record<string, ArrayLike<number> | undefined>>,
  { positive = [] }: { positive?: readonly string[] } = {},
): void {
  let first: string | undefined;
  let n = 0;
  for (const [name, values] of Object.entries(columns)) {
    if (values === undefined) continue;
    if (first === undefined) {
      first = name;
      n = values.length;
    }
    if (values.length !== n)
      throw new RangeError(`${caller}: ${first} has ${n} values, ${name} has ${values.length}; they go in pairs`);
    for (let i = 0; i < n; i++) {
      if (!Number.isFinite(values[i]))
        throw new RangeError(`${caller}: ${name}[${i}] must be a finite number, got ${values[i]}`);
      if (positive.includes(name) && !(values[i] > 0))
        throw new RangeError(`${caller}: ${name}[${i}] must be above 0, got ${values[i]}`);
    }
  }
}

/** Throws unless the level of an interval is a probability between 0 and 1. */
export function checkLevel(caller: string, level: number): void {
  if (!(level > 0 && level < 1)) throw new RangeError(`${caller}: level must be between 0 and 1, got ${level}`);
}

/** Where x lies against the range of what was seen. */
export function extentOf(
  x: number,
  { lowest, highest }: { lowest: number; highest: number },
): 'inside' | 'below' | 'above' {
  return x < lowest ? 'below' : x > highest ? 'above' : 'inside';
}
